//! Writes the site: a folder that any static file server can host, also under a sub-path.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::build::build;
use crate::run::{root, target};

/// What in `www` and `demo` serves development only.
fn is_shipped(path: &Path) -> bool {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    !(name.ends_with(".d.ts") || name == "tsconfig.json" || name.starts_with('.'))
}

/// What of the demo the page fetches.
const DEMO: [&str; 4] = ["before.mp4", "after.mp4", "scenario.json", "session.wetframe"];

/// Builds everything and writes the site; returns its folder.
pub fn dist(arguments: &[String]) -> Result<PathBuf> {
    let folder = match arguments {
        [] => target().join("site"),
        [folder] => std::env::current_dir()?.join(folder),
        _ => bail!("dist takes one folder"),
    };
    build()?;
    clear(&folder)?;
    copy_tree(&root().join("www"), &folder)?;
    let demo = folder.join("demo");
    fs::create_dir_all(&demo)?;
    for name in DEMO {
        let from = root().join("demo").join(name);
        fs::copy(&from, demo.join(name)).with_context(|| format!("cannot copy {}", from.display()))?;
    }
    fs::write(
        folder.join(MARKER),
        "Written by `cargo xtask dist`; it may be written over.\n",
    )?;
    Ok(folder)
}

/// A folder that we wrote carries this file, so that no other folder is ever emptied by mistake.
const MARKER: &str = "wetframe-site.txt";

fn clear(folder: &Path) -> Result<()> {
    let Ok(mut entries) = fs::read_dir(folder) else {
        return Ok(());
    };
    if entries.next().is_none() {
        return Ok(());
    }
    if !folder.join(MARKER).is_file() {
        bail!(
            "{} is not empty and was not written by this task; name another folder",
            folder.display()
        );
    }
    fs::remove_dir_all(folder).with_context(|| format!("cannot empty {}", folder.display()))
}

fn copy_tree(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to).with_context(|| format!("cannot make {}", to.display()))?;
    for entry in fs::read_dir(from).with_context(|| format!("cannot read {}", from.display()))? {
        let path = entry?.path();
        if !is_shipped(&path) {
            continue;
        }
        let Some(name) = path.file_name() else { continue };
        if path.is_dir() {
            copy_tree(&path, &to.join(name))?;
        } else {
            fs::copy(&path, to.join(name)).with_context(|| format!("cannot copy {}", path.display()))?;
        }
    }
    Ok(())
}
