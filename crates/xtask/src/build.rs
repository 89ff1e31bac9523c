//! Compiles the page crate to wasm and writes the JavaScript that loads it.

use std::fs;

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use crate::run::{cargo, root, run, target};
use crate::{methods_page, prerequisites};

const TRIPLE: &str = "wasm32-unknown-unknown";

/// Writes `www/wasm/page.js`, `page.d.ts`, `page_bg.wasm` and `www/methods.html`.
pub fn build() -> Result<()> {
    prerequisites::wasm_target(TRIPLE)?;
    run(&mut cargo(&[
        "build",
        "--package",
        "wetframe-page",
        "--lib",
        "--profile",
        "page",
        "--target",
        TRIPLE,
    ]))?;
    let compiled = target().join(TRIPLE).join("page").join("wetframe_page.wasm");
    let folder = root().join("www").join("wasm");
    fs::create_dir_all(&folder)?;
    Bindgen::new()
        .input_path(&compiled)
        .out_name("page")
        .web(true)
        .context("wasm-bindgen refused the web output")?
        .omit_default_module_path(false)
        .typescript(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(&folder)
        .with_context(|| format!("wasm-bindgen could not translate {}", compiled.display()))?;
    methods_page::write()
}
