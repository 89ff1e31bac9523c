//! `cargo xtask`: builds, serves, tests and benchmarks wetframe.
//!
//! Each task fetches what it needs from the package registries, or says in one line what to install.

mod bench;
mod build;
mod dist;
mod methods_page;
mod prerequisites;
mod run;
mod serve;
mod site_server;
mod test;

use std::process::ExitCode;

const HELP: &str = "\
cargo xtask <task>

  serve [--port N] [--no-open]  build everything and serve the page on this machine, the demo one click away
  test [part …]                 run every test; or only these parts: rust wasm types browser firefox
  dist [folder]                 write a folder that any static file server can host (target/site)
  bench [part …]                run the benchmarks; or only these parts: rust browser
  build                         compile the wasm module into www/wasm and the methods page into www
  help                          this text
";

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let task = arguments.next().unwrap_or_else(|| "help".to_owned());
    let rest: Vec<String> = arguments.collect();
    let done = match task.as_str() {
        "serve" => serve::serve(&rest),
        "test" => test::test(&rest),
        "dist" => dist::dist(&rest).map(|folder| println!("{} is ready to be hosted", folder.display())),
        "bench" => bench::bench(&rest),
        "build" => build::build(),
        "help" | "--help" | "-h" => {
            print!("{HELP}");
            Ok(())
        }
        other => Err(anyhow::anyhow!("there is no task `{other}`\n\n{HELP}")),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("xtask: {trouble:#}");
            ExitCode::FAILURE
        }
    }
}
