//! The example stages: the compiled components do what their sources say.
//!
//! No compiler for WASM is needed: the sources are compiled here unchanged, and each component is compared with them. This
//! finds a component that was not built again after a change.

mod dust;
mod dusty_picture;
mod in_process;
mod triads;

#[path = "../../crates/plugin-host/example-plugins/dust/src/lib.rs"]
#[allow(dead_code, unreachable_pub, reason = "a crate of its own")]
mod dust_source;
#[path = "../../crates/plugin-host/example-plugins/triads/src/lib.rs"]
#[allow(dead_code, unreachable_pub, reason = "a crate of its own")]
mod triads_source;

use velatura_pipeline::Parameters;
use velatura_plugin_host::{Attached, Limits, attach};
use velatura_tests::read_from_root;

/// An example by its name, attached.
fn attached(name: &str) -> Attached {
    let path = format!("crates/plugin-host/example-plugins/{name}/{name}.wasm");
    let bytes = read_from_root(&path).unwrap();
    attach(&bytes, &path, &Limits::default()).unwrap_or_else(|problem| panic!("{problem}"))
}

fn parameters(json: &str) -> Parameters {
    Parameters(serde_json::from_str(json).unwrap())
}

/// Whether a file holds a path of the machine that built it: the folder of a person, of the crates or of this repository.
fn holds_a_path(bytes: &[u8]) -> bool {
    let root = velatura_tests::root();
    let cargo = [".cargo", "/root/", "/home/", "/Users/", "/tmp/"];
    cargo.iter().copied().chain(root.to_str()).any(|path| {
        bytes
            .windows(path.len())
            .any(|part| part == path.as_bytes())
    })
}

#[test]
fn no_path_of_the_machine_that_built_them_is_in_the_components() {
    for name in ["dust", "triads"] {
        let path = format!("crates/plugin-host/example-plugins/{name}/{name}.wasm");
        assert!(!holds_a_path(&read_from_root(&path).unwrap()), "{name}");
    }
    // Must fail.
    assert!(holds_a_path(b"at /home/wick/.cargo/registry/src"));
}
