//! A static file server on the loopback address, for development and the tests' site.

use std::fs::File;
use std::path::{Component, Path, PathBuf};

use anyhow::{Result, anyhow};
use tiny_http::{Header, Method, Request, Response, Server};

/// Serves one folder.
pub struct SiteServer {
    folder: PathBuf,
    server: Server,
    address: String,
}

impl SiteServer {
    /// Binds to `port` on 127.0.0.1, or to a free port when that one is taken.
    pub fn bind(folder: &Path, port: u16) -> Result<Self> {
        let server = Server::http(("127.0.0.1", port))
            .or_else(|_| Server::http(("127.0.0.1", 0)))
            .map_err(|trouble| anyhow!("cannot listen on 127.0.0.1: {trouble}"))?;
        let bound = server
            .server_addr()
            .to_ip()
            .ok_or_else(|| anyhow!("the server has no address"))?;
        Ok(Self {
            folder: folder.to_owned(),
            server,
            address: format!("http://{bound}/"),
        })
    }

    /// The address to open.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Answers requests until the process ends.
    pub fn serve_forever(&self) -> Result<()> {
        for request in self.server.incoming_requests() {
            // A browser that goes away in the middle of an answer is no trouble of ours.
            if let Err(trouble) = self.answer(request) {
                eprintln!("{trouble}");
            }
        }
        Ok(())
    }

    fn answer(&self, request: Request) -> std::io::Result<()> {
        if !matches!(request.method(), Method::Get | Method::Head) {
            return request.respond(Response::from_string("only GET").with_status_code(405));
        }
        let path = self.path_of(request.url());
        let Some((path, file)) = path.and_then(|path| File::open(&path).ok().map(|file| (path, file))) else {
            return request.respond(Response::from_string("not found").with_status_code(404));
        };
        let mut response = Response::from_file(file);
        for (name, value) in [
            ("Content-Type", content_type(&path)),
            ("Cache-Control", "no-cache"),
        ] {
            if let Ok(header) = Header::from_bytes(name, value) {
                response.add_header(header);
            }
        }
        request.respond(response)
    }

    /// The file that an address names; `None` for anything outside the folder.
    fn path_of(&self, url: &str) -> Option<PathBuf> {
        let asked = url.split(['?', '#']).next()?.trim_start_matches('/');
        let inside = Path::new(asked)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        if !inside {
            return None;
        }
        let path = self.folder.join(asked);
        Some(if path.is_dir() {
            path.join("index.html")
        } else {
            path
        })
    }
}

fn content_type(path: &Path) -> &'static str {
    match path
        .extension()
        .and_then(|extension| extension.to_str())
        .unwrap_or_default()
    {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" | "webmanifest" => "application/json; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "wasm" => "application/wasm",
        "woff2" => "font/woff2",
        "mp4" => "video/mp4",
        "webm" => "video/webm",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
