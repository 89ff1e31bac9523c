//! Serves the site on this machine only.

use anyhow::{Context, Result, bail};

use crate::dist::dist;
use crate::site_server::SiteServer;

/// Builds the site, prints its address, opens it in the browser and serves until interrupted.
pub fn serve(arguments: &[String]) -> Result<()> {
    let mut port: u16 = 8080;
    let mut open_browser = std::env::var_os("CI").is_none();
    let mut words = arguments.iter();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--port" => {
                let number = words.next().context("--port wants a number")?;
                port = number
                    .parse()
                    .with_context(|| format!("`{number}` is not a port"))?;
            }
            "--no-open" => open_browser = false,
            other => bail!("serve does not know `{other}`"),
        }
    }
    let folder = dist(&[])?;
    let server = SiteServer::bind(&folder, port)?;
    println!(
        "wetframe is at {} — choose \"Open the demo\" there. Ctrl+C ends it.",
        server.address()
    );
    if open_browser && let Err(trouble) = open::that_detached(server.address()) {
        eprintln!("No browser could be opened ({trouble}); open the address yourself.");
    }
    server.serve_forever()
}
