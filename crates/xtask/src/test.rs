//! Runs every test there is, from the crates to the page in two real browsers.

use std::path::PathBuf;
use std::time::Instant;

use anyhow::{Context, Result, bail};

use crate::dist::dist;
use crate::prerequisites::{CHROMEDRIVER, CHROMIUM, FFPROBE, FIREFOX, NODE, NPM, ensure};
use crate::run::{cargo, command, output, root, run, target};

/// A named part of a task.
pub type Part = (&'static str, fn() -> Result<()>);

/// In the order that finds a mistake soonest.
const PARTS: [Part; 5] = [
    ("rust", rust),
    ("wasm", wasm),
    ("types", types),
    ("browser", browser),
    ("firefox", firefox),
];

/// Runs the named parts, or all; goes on after a failed part, so that one run tells everything.
pub fn test(wanted: &[String]) -> Result<()> {
    if let Some(unknown) = wanted
        .iter()
        .find(|name| !PARTS.iter().any(|(part, _)| part == name))
    {
        bail!(
            "there is no test part `{unknown}`; there are: {}",
            PARTS.map(|(part, _)| part).join(" ")
        );
    }
    let mut failed = Vec::new();
    for (name, part) in PARTS {
        if !wanted.is_empty() && !wanted.iter().any(|word| word == name) {
            continue;
        }
        eprintln!("\n=== {name}");
        let started = Instant::now();
        match part() {
            Ok(()) => eprintln!("=== {name}: passed in {:.0} s", started.elapsed().as_secs_f64()),
            Err(trouble) => {
                eprintln!("=== {name}: FAILED: {trouble:#}");
                failed.push(name);
            }
        }
    }
    if failed.is_empty() {
        Ok(())
    } else {
        bail!("failed: {}", failed.join(", "))
    }
}

/// Form, lints and the tests of every crate, the oracles and reference checks among them.
fn rust() -> Result<()> {
    ensure(&[&FFPROBE])?;
    crate::prerequisites::wasm_target("wasm32-unknown-unknown")?;
    run(&mut cargo(&["fmt", "--all", "--check"]))?;
    run(&mut cargo(&[
        "clippy",
        "--quiet",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))?;
    run(&mut cargo(&[
        "clippy",
        "--quiet",
        "-p",
        "wetframe-page",
        "-p",
        "wetframe-worker",
        "-p",
        "wetframe-vision",
        "--target",
        "wasm32-unknown-unknown",
        "--lib",
        "--tests",
        "--examples",
        "--",
        "-D",
        "warnings",
    ]))?;
    run(&mut cargo(&["test", "--quiet", "--workspace", "--no-fail-fast"]))
}

/// The boundary crate's own tests, as wasm in a real browser, and the vector kernels' in Node.
fn wasm() -> Result<()> {
    ensure(&[&CHROMIUM, &CHROMEDRIVER, &NODE])?;
    crate::prerequisites::wasm_target("wasm32-unknown-unknown")?;
    let version = locked_version("wasm-bindgen")?;
    let runner = cargo_tool("wasm-bindgen-cli", &version, "wasm-bindgen-test-runner")?;
    let driver = CHROMEDRIVER.find().context("chromedriver is missing")?;
    run(cargo(&[
        "test",
        "-p",
        "wetframe-page",
        "-p",
        "wetframe-worker",
        "-p",
        "wetframe-vision",
        "--target",
        "wasm32-unknown-unknown",
    ])
    .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
    .env("CHROMEDRIVER", driver)
    .env("WASM_BINDGEN_TEST_TIMEOUT", "120"))
}

/// The page's JavaScript against its own annotations and the types that wasm-bindgen wrote.
fn types() -> Result<()> {
    npm_packages()?;
    crate::build::build()?;
    run(&mut command(
        "node",
        &[
            "tests/browser/node_modules/typescript/bin/tsc",
            "--project",
            "www",
        ],
    ))
}

/// The page from end to end in Chromium.
fn browser() -> Result<()> {
    ensure(&[&CHROMIUM, &FFPROBE])?;
    let chromium = CHROMIUM.find().context("chromium is missing")?;
    node_tests(
        |name| !name.contains(".firefox."),
        &[("WETFRAME_CHROMIUM", chromium)],
    )
}

/// What has to be the same in a second browser.
fn firefox() -> Result<()> {
    ensure(&[&FIREFOX, &CHROMIUM])?;
    let firefox = FIREFOX.find().context("firefox is missing")?;
    let chromium = CHROMIUM.find().context("chromium is missing")?;
    let driver = cargo_tool("geckodriver", GECKODRIVER, "geckodriver")?;
    node_tests(
        |name| name.contains(".firefox."),
        &[
            ("WETFRAME_FIREFOX", firefox),
            ("WETFRAME_GECKODRIVER", driver),
            ("WETFRAME_CHROMIUM", chromium),
        ],
    )
}

const GECKODRIVER: &str = "0.37.0";

/// Runs the files of `tests/browser` whose names are wanted, one after the other: they share two cores
/// with a browser each.
fn node_tests(wanted: impl Fn(&str) -> bool, environment: &[(&str, PathBuf)]) -> Result<()> {
    npm_packages()?;
    let site = dist(&[])?;
    let folder = root().join("tests/browser");
    let mut files: Vec<String> = std::fs::read_dir(&folder)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".test.mjs") && wanted(name))
        .map(|name| format!("tests/browser/{name}"))
        .collect();
    files.sort();
    if files.is_empty() {
        bail!("no test files in {}", folder.display());
    }
    let mut node = command(
        "node",
        &["--test", "--test-concurrency=1", "--test-reporter=spec"],
    );
    node.args(&files).env("WETFRAME_SITE", site);
    for (name, value) in environment {
        node.env(name, value);
    }
    run(&mut node)
}

/// Installs what `tests/browser/package-lock.json` names, unless that is there already.
pub fn npm_packages() -> Result<()> {
    ensure(&[&NODE, &NPM])?;
    let folder = root().join("tests/browser");
    let wanted = std::fs::read_to_string(folder.join("package-lock.json"))?;
    let stamp = folder.join("node_modules/.wetframe-lock");
    if std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    run(command("npm", &["ci", "--no-audit", "--no-fund", "--ignore-scripts"]).current_dir(&folder))?;
    std::fs::write(&stamp, wanted).with_context(|| format!("cannot write {}", stamp.display()))
}

/// A program from the package registry, built once into `target/tools`. The program's version is fixed, its
/// own dependencies are not: a registry's mirror may lack one that its lock file names.
fn cargo_tool(package: &str, version: &str, program: &str) -> Result<PathBuf> {
    let folder = target().join("tools").join(format!("{package}-{version}"));
    let path = folder.join("bin").join(program);
    if !path.is_file() {
        let place = folder.to_string_lossy().into_owned();
        run(&mut cargo(&[
            "install",
            package,
            "--version",
            version,
            "--root",
            &place,
        ]))?;
    }
    Ok(path)
}

/// The version of a package that Cargo.lock holds.
fn locked_version(package: &str) -> Result<String> {
    let id = output(&mut cargo(&["pkgid", package]))?;
    let version = id.trim().rsplit(['@', '#']).next().unwrap_or_default();
    Ok(version.to_owned())
}
