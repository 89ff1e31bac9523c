//! Runs the benchmarks: never timed tests, each a ratio or a distribution from one run.

use anyhow::{Context, Result, bail};

use crate::dist::dist;
use crate::prerequisites::{CHROMIUM, FFPROBE, ensure};
use crate::run::{cargo, command, root, run};
use crate::test::{Part, npm_packages};

const PARTS: [Part; 2] = [("rust", rust), ("browser", browser)];

/// Runs the named parts, or all.
pub fn bench(wanted: &[String]) -> Result<()> {
    if let Some(unknown) = wanted
        .iter()
        .find(|name| !PARTS.iter().any(|(part, _)| part == name))
    {
        bail!(
            "there is no benchmark part `{unknown}`; there are: {}",
            PARTS.map(|(part, _)| part).join(" ")
        );
    }
    for (name, part) in PARTS {
        if wanted.is_empty() || wanted.iter().any(|word| word == name) {
            eprintln!("\n=== {name}");
            part()?;
        }
    }
    Ok(())
}

fn rust() -> Result<()> {
    run(&mut cargo(&[
        "bench",
        "--quiet",
        "--workspace",
        "--exclude",
        "wetframe-page",
        "--exclude",
        "xtask",
        "--benches",
    ]))
}

/// Every `bench-*.mjs` of `tests/browser`, one after the other.
fn browser() -> Result<()> {
    ensure(&[&CHROMIUM, &FFPROBE])?;
    npm_packages()?;
    let site = dist(&[])?;
    let chromium = CHROMIUM.find().context("chromium is missing")?;
    let mut files: Vec<String> = std::fs::read_dir(root().join("tests/browser"))?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.starts_with("bench-") && name.ends_with(".mjs"))
        .collect();
    files.sort();
    for file in files {
        let path = format!("tests/browser/{file}");
        run(command("node", &[&path])
            .env("WETFRAME_SITE", &site)
            .env("WETFRAME_CHROMIUM", &chromium))?;
    }
    Ok(())
}
