//! Makes a JavaScript module of the engine that was compiled for browsers.
//!
//! `cargo run -p velatura-to-javascript -- ENGINE.wasm FOLDER` writes `engine.js` and `engine_bg.wasm`. The library that does it has
//! the version of the one that the engine was compiled with, because both come from the same lock file.

use std::io::Write as _;
use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [engine, folder] = arguments.as_slice() else {
        return failed("expected two arguments: ENGINE.wasm FOLDER", 2);
    };
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(engine)
        .out_name("engine")
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true);
    let made = bindgen
        .web(true)
        .and_then(|bindgen| bindgen.generate(folder));
    match made {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => failed(&format!("{engine}: {error:#}"), 1),
    }
}

fn failed(why: &str, status: u8) -> ExitCode {
    // Where standard error is closed there is nobody to read it.
    let _ = writeln!(std::io::stderr(), "{why}");
    ExitCode::from(status)
}
