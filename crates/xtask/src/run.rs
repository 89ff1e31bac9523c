//! Runs other programs from the workspace's root and says which one failed.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

/// The workspace's root folder: cargo names this crate's folder when it runs it.
pub fn root() -> PathBuf {
    let crates_xtask = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    crates_xtask
        .ancestors()
        .nth(2)
        .unwrap_or(&crates_xtask)
        .to_owned()
}

/// Where cargo puts what it builds.
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), |folder| root().join(folder))
}

/// A command that will run in the workspace's root.
pub fn command(program: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(arguments).current_dir(root());
    command
}

/// The cargo that runs this task.
pub fn cargo(arguments: &[&str]) -> Command {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    command(&cargo, arguments)
}

/// Runs it to its end, its output going where ours goes.
pub fn run(command: &mut Command) -> Result<()> {
    let shown = shown(command);
    eprintln!("» {shown}");
    let status = command
        .status()
        .with_context(|| format!("cannot start `{shown}`"))?;
    if !status.success() {
        bail!("`{shown}` failed ({status})");
    }
    Ok(())
}

/// Runs it quietly; its standard output, if it succeeds.
pub fn output(command: &mut Command) -> Result<String> {
    let shown = shown(command);
    let output = command
        .output()
        .with_context(|| format!("cannot start `{shown}`"))?;
    if !output.status.success() {
        bail!(
            "`{shown}` failed ({}): {}",
            output.status,
            String::from_utf8_lossy(&output.stderr).trim()
        );
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    let words: Vec<_> = words.map(|word| word.to_string_lossy().into_owned()).collect();
    let program = Path::new(&words[0])
        .file_name()
        .map_or_else(|| words[0].clone(), |name| name.to_string_lossy().into_owned());
    std::iter::once(program)
        .chain(words.into_iter().skip(1))
        .collect::<Vec<_>>()
        .join(" ")
}
