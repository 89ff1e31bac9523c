//! Compiles the page crate to wasm and writes the JavaScript that loads it.

use std::fs;

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use crate::run::{cargo, root, run, target};
use crate::{methods_page, prerequisites};

const TRIPLE: &str = "wasm32-unknown-unknown";

/// The modules that the browser loads: package, and its name in `www/wasm`.
const MODULES: [(&str, &str); 2] = [("wetframe-page", "page"), ("wetframe-worker", "worker")];

/// Writes `NAME.js`, `NAME.d.ts` and `NAME_bg.wasm` of each module into `www/wasm`, and `www/methods.html`.
pub fn build() -> Result<()> {
    prerequisites::wasm_target(TRIPLE)?;
    for (package, name) in MODULES {
        module(package, name)?;
    }
    methods_page::write()
}

fn module(package: &str, name: &str) -> Result<()> {
    run(&mut cargo(&[
        "build",
        "--package",
        package,
        "--lib",
        "--profile",
        "page",
        "--target",
        TRIPLE,
    ]))?;
    let file = format!("{}.wasm", package.replace('-', "_"));
    let compiled = target().join(TRIPLE).join("page").join(file);
    let folder = root().join("www").join("wasm");
    fs::create_dir_all(&folder)?;
    Bindgen::new()
        .input_path(&compiled)
        .out_name(name)
        .web(true)
        .context("wasm-bindgen refused the web output")?
        .omit_default_module_path(false)
        .typescript(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(&folder)
        .with_context(|| format!("wasm-bindgen could not translate {}", compiled.display()))
}
