//! Damaged plugins: refused, left out, or as good as any other, but never more than that.

use rand::RngExt;
use velatura::{MemoryOutputs, RenderOptions, render, session};
use velatura_plugin_host::{Limits, attach};
use velatura_tests::root;

use crate::kit::base::{FIGURE, TINY};
use crate::kit::case::Case;
use crate::kit::oracle::{diagnostics, error, written};
use crate::kit::texts::flip;
use crate::kit::{Chance, Target, Verdict};

const PLUGIN: &str = "plugin.wasm";

pub(crate) const TARGET: Target = Target {
    name: "plugin",
    share: 6,
    make,
    run,
};

fn make(chance: &mut Chance) -> Case {
    let name = if chance.random_bool(0.6) {
        "dust"
    } else {
        "triads"
    };
    let path = root().join(format!(
        "crates/plugin-host/example-plugins/{name}/{name}.wasm"
    ));
    let mut bytes = std::fs::read(path).expect("the example is there");
    match chance.random_range(0..10) {
        0 => bytes.truncate(chance.random_range(0..bytes.len())),
        1 => {
            let from = chance.random_range(0..bytes.len());
            let to = (from + chance.random_range(1..400)).min(bytes.len());
            let piece = bytes[from..to].to_vec();
            let at = chance.random_range(0..bytes.len());
            bytes.splice(at..at, piece);
        }
        _ => (0..chance.random_range(1..4)).for_each(|_| flip(&mut bytes, chance)),
    }
    TINY.clone().file(PLUGIN, bytes)
}

fn run(case: &Case) -> Verdict {
    let attached = match attach(case.bytes(PLUGIN), PLUGIN, &Limits::default()) {
        Err(problem) => return diagnostics(&[problem]),
        Ok(attached) => attached,
    };
    let session = match session().stage(attached.stage).build() {
        Ok(session) => session,
        Err(why) => return error(&why),
    };
    let job = match session.load(&case.memory(), FIGURE) {
        Ok(job) => job,
        // A plugin's own schemes may be wrong, and its parameters may be missing.
        Err(why) => return diagnostics(why.diagnostics()),
    };
    let outputs = MemoryOutputs::new();
    let result = render(&job, &RenderOptions::default().long_edge(300), &outputs);
    if let Ok(report) = &result {
        for left_out in &report.left_out {
            diagnostics(&left_out.problems)?;
        }
    }
    written(&result, &outputs)
}
