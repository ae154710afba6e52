//! `barwright-bindgen INPUT.wasm FOLDER NAME`: the module as a browser takes it, with its JavaScript.
//!
//! The work is done by `wasm-bindgen-cli-support`, whose version is that of `wasm-bindgen` itself.

use std::env::args_os;
use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<_> = args_os().skip(1).collect();
    let [input, folder, name] = arguments.as_slice() else {
        eprintln!("barwright-bindgen INPUT.wasm FOLDER NAME");
        return ExitCode::from(2);
    };
    let Some(name) = name.to_str() else {
        eprintln!("The name is no text.");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    bindgen.input_path(input).out_name(name).typescript(true).remove_name_section(true).remove_producers_section(true);
    // Otherwise a plain `await init()` finds no module.
    bindgen.omit_default_module_path(false);
    if let Err(error) = bindgen.web(true).and_then(|bindgen| bindgen.generate(folder)) {
        eprintln!("{error:?}");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}
