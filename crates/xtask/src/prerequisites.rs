//! What the tasks need beyond cargo: found, installed where that is safe, or named in one line.

use std::path::{Path, PathBuf};

use anyhow::{Result, anyhow, bail};

use crate::run::{command, output, run};

/// Adds the wasm target of the pinned toolchain where it is missing.
pub fn wasm_target(triple: &str) -> Result<()> {
    let library = output(&mut command(
        "rustc",
        &["--print", "target-libdir", "--target", triple],
    ))?;
    if Path::new(library.trim()).is_dir() {
        return Ok(());
    }
    run(&mut command("rustup", &["target", "add", triple]))
        .map_err(|trouble| anyhow!("{trouble}\nInstall it by hand: rustup target add {triple}"))
}

/// A program that a test needs, under the names it may have, and the Debian package that brings it.
pub struct Program {
    names: &'static [&'static str],
    debian_package: &'static str,
}

/// The browser that the page is tested in.
pub const CHROMIUM: Program = Program {
    names: &["chromium", "chromium-browser", "google-chrome"],
    debian_package: "chromium",
};
/// Drives the browser for the wasm tests.
pub const CHROMEDRIVER: Program = Program {
    names: &["chromedriver"],
    debian_package: "chromium-driver",
};
/// The second browser.
pub const FIREFOX: Program = Program {
    names: &["firefox-esr", "firefox"],
    debian_package: "firefox-esr",
};
/// The oracle of the frame tables.
pub const FFPROBE: Program = Program {
    names: &["ffprobe"],
    debian_package: "ffmpeg",
};
/// Runs the page's tests.
pub const NODE: Program = Program {
    names: &["node"],
    debian_package: "nodejs",
};
/// Installs what the page's tests need.
pub const NPM: Program = Program {
    names: &["npm"],
    debian_package: "npm",
};

impl Program {
    /// Where it is on the PATH.
    pub fn find(&self) -> Option<PathBuf> {
        let path = std::env::var_os("PATH")?;
        let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
        let candidates = self
            .names
            .iter()
            .flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
        candidates.into_iter().find(|path| path.is_file())
    }
}

/// Sees to it that all are there: as root on a Debian machine by apt-get, elsewhere by saying what to run.
pub fn ensure(programs: &[&Program]) -> Result<()> {
    let missing: Vec<&str> = programs
        .iter()
        .filter(|program| program.find().is_none())
        .map(|program| program.debian_package)
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let line = format!(
        "apt-get install --yes --no-install-recommends {}",
        missing.join(" ")
    );
    if !may_install() {
        bail!("install what the tests need: sudo {line}");
    }
    run(command("apt-get", &["update", "--quiet"]).env("DEBIAN_FRONTEND", "noninteractive"))?;
    let mut arguments = vec!["install", "--yes", "--quiet", "--no-install-recommends"];
    arguments.extend(&missing);
    run(command("apt-get", &arguments).env("DEBIAN_FRONTEND", "noninteractive"))?;
    match programs.iter().find(|program| program.find().is_none()) {
        Some(program) => bail!("{} is still missing after `{line}`", program.names[0]),
        None => Ok(()),
    }
}

/// Root on a machine that has apt-get.
fn may_install() -> bool {
    let root = output(&mut command("id", &["-u"])).is_ok_and(|id| id.trim() == "0");
    root && Program {
        names: &["apt-get"],
        debian_package: "apt",
    }
    .find()
    .is_some()
}
