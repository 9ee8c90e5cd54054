//! Turns a compiled stage into a component. In: a core module with the notes that the bindings leave in it. Out: the component;
//! none if the module imports anything, because a stage must not.

use std::error::Error;
use std::ffi::OsString;
use std::process::ExitCode;
use std::{env, fs};

use wit_component::ComponentEncoder;

fn main() -> ExitCode {
    let arguments: Vec<OsString> = env::args_os().skip(1).collect();
    let [module, component] = arguments.as_slice() else {
        eprintln!("componentise MODULE COMPONENT");
        return ExitCode::from(2);
    };
    match componentised(module).and_then(|bytes| Ok(fs::write(component, bytes)?)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{}: {error}", module.to_string_lossy());
            ExitCode::FAILURE
        }
    }
}

fn componentised(module: &OsString) -> Result<Vec<u8>, Box<dyn Error>> {
    let module = fs::read(module)?;
    let bytes = ComponentEncoder::default()
        .validate(true)
        .module(&module)
        .and_then(|mut encoder| encoder.encode())
        .map_err(|error| format!("{error:#}"))?;
    Ok(bytes)
}
