//! `serve`: the finished folder over HTTP, to this machine only, with the headers it should have anywhere.

use std::fs;
use std::io::Write;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::{Result, anyhow, ensure};
use lexopt::prelude::*;
use tiny_http::{Header, Method, Request, Response, Server};

use crate::{pack, policy, project};

const WORKERS: usize = 4;

/// `serve [--port N] [--no-build] [--dir FOLDER]`.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut port: u16 = 8080;
    let mut build = true;
    let mut folder = None;
    while let Some(arg) = args.next()? {
        match arg {
            Long("port") => port = args.value()?.parse()?,
            Long("no-build") => build = false,
            Long("dir") => folder = Some(PathBuf::from(args.value()?)),
            other => return Err(other.unexpected().into()),
        }
    }
    if build && folder.is_none() {
        pack::dist()?;
    }
    let folder = folder.unwrap_or_else(project::dist);
    ensure!(
        folder.join("index.html").is_file(),
        "{} holds no page; run `cargo xtask build`",
        folder.display()
    );

    let server = Server::http((Ipv4Addr::LOCALHOST, port))
        .map_err(|e| anyhow!("listening on port {port}: {e}"))?;
    let port = server
        .server_addr()
        .to_ip()
        .map_or(port, |address| address.port());
    println!("Serving on http://localhost:{port}/ (stop with Ctrl-C)");
    std::io::stdout().flush()?;

    let server = Arc::new(server);
    let threads = (0..WORKERS).map(|_| {
        let (server, folder) = (Arc::clone(&server), folder.clone());
        std::thread::spawn(move || {
            while let Ok(request) = server.recv() {
                // A browser that has gone away is not our failure.
                let _ = answer(request, &folder);
            }
        })
    });
    for thread in threads.collect::<Vec<_>>() {
        thread
            .join()
            .map_err(|_| anyhow!("a serving thread stopped"))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn answer(request: Request, folder: &Path) -> std::io::Result<()> {
    let accepts = accepted(&request);
    let reply = reply(request.method(), request.url(), &accepts, folder);
    let mut response = Response::from_data(reply.body).with_status_code(reply.status);
    for (name, value) in reply.headers {
        if let Ok(header) = Header::from_bytes(name.as_bytes(), value.as_bytes()) {
            response.add_header(header);
        }
    }
    request.respond(response)
}

fn accepted(request: &Request) -> String {
    let headers = request
        .headers()
        .iter()
        .filter(|header| header.field.equiv("Accept-Encoding"));
    headers
        .map(|header| header.value.as_str())
        .collect::<Vec<_>>()
        .join(",")
}

struct Reply {
    status: u16,
    headers: Vec<(&'static str, String)>,
    body: Vec<u8>,
}

impl Reply {
    fn words(status: u16, words: &str) -> Self {
        let mut headers = policy::headers();
        headers.push(("Content-Type", "text/plain; charset=utf-8".into()));
        headers.push(("Cache-Control", "no-cache".into()));
        Self {
            status,
            headers,
            body: words.into(),
        }
    }
}

/// What a request gets.
fn reply(method: &Method, url: &str, accepts: &str, folder: &Path) -> Reply {
    if !matches!(method, Method::Get | Method::Head) {
        let mut reply = Reply::words(405, "This server only gives.\n");
        reply.headers.push(("Allow", "GET, HEAD".into()));
        return reply;
    }
    let Some(name) = file_name(url) else {
        return Reply::words(404, "Not here.\n");
    };
    let path = folder.join(&name);
    let Ok(plain) = fs::read(&path) else {
        return Reply::words(404, "Not here.\n");
    };

    let mut headers = policy::headers();
    headers.push(("Content-Type", content_type(&name).into()));
    headers.push(("Cache-Control", policy::cache_control(&name).into()));
    headers.push(("Vary", "Accept-Encoding".into()));
    for encoding in ["br", "gzip"] {
        let suffix = if encoding == "gzip" { "gz" } else { encoding };
        if admits(accepts, encoding)
            && let Ok(packed) = fs::read(folder.join(format!("{name}.{suffix}")))
        {
            headers.push(("Content-Encoding", encoding.into()));
            return Reply {
                status: 200,
                headers,
                body: packed,
            };
        }
    }
    Reply {
        status: 200,
        headers,
        body: plain,
    }
}

/// The file an address asks for. The folder is flat, so anything with a second slash, or a name that starts with a
/// point or an underscore, is none of ours.
fn file_name(url: &str) -> Option<String> {
    let name = url.split(['?', '#']).next()?.strip_prefix('/')?;
    let name = if name.is_empty() { "index.html" } else { name };
    let plain = name
        .bytes()
        .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b));
    (plain && !name.starts_with(['.', '_'])).then(|| name.to_owned())
}

/// Whether an Accept-Encoding list admits `encoding` (RFC 9110, 12.5.3; `*` is not taken up).
fn admits(accepts: &str, encoding: &str) -> bool {
    accepts.split(',').any(|item| {
        let mut parts = item.split(';').map(str::trim);
        let named = parts
            .next()
            .is_some_and(|name| name.eq_ignore_ascii_case(encoding));
        let refused = parts
            .filter_map(|part| part.strip_prefix("q="))
            .any(|q| q.parse() == Ok(0.0));
        named && !refused
    })
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses() {
        let cases = [
            ("/", Some("index.html")),
            ("/?job", Some("index.html")),
            ("/sw.js", Some("sw.js")),
            ("/../Cargo.toml", None),
            ("/a/b", None),
            ("/%2e%2e/x", None),
            ("/.git", None),
            ("/_headers", None),
            ("http://other/", None),
        ];
        for (url, name) in cases {
            assert_eq!(file_name(url).as_deref(), name, "{url}");
        }
    }

    #[test]
    fn encodings() {
        let cases = [
            ("gzip, deflate, br", "br", true),
            ("gzip;q=1.0, br;q=0", "br", false),
            ("BR", "br", true),
            ("broken", "br", false),
            ("", "gzip", false),
        ];
        for (accepts, encoding, admitted) in cases {
            assert_eq!(admits(accepts, encoding), admitted, "{accepts}");
        }
    }

    #[test]
    fn every_reply_carries_the_policy() {
        let folder = std::env::temp_dir();
        for (method, url, status) in [
            (Method::Get, "/nothing-here", 404),
            (Method::Post, "/", 405),
        ] {
            let reply = reply(&method, url, "", &folder);
            assert_eq!(reply.status, status);
            assert!(
                reply
                    .headers
                    .contains(&("Content-Security-Policy", policy::header()))
            );
        }
    }
}
