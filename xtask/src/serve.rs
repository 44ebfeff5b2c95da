//! `serve`: the finished folder over HTTP, to this machine only, with the headers it should have anywhere.
//!
//! What a caller can take from it is bounded: no body is read, a head must come whole within [`HEAD`], a connection is
//! let go after [`LIFE`], and no more than [`CONNECTIONS`] are served at once. Another host's name in a request is refused, so that
//! no other page can reach this one under a name of its own (DNS rebinding).

use std::convert::Infallible;
use std::fs;
use std::io::Write;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use anyhow::{Context, Result, ensure};
use http_body_util::Full;
use hyper::body::{Body, Bytes, Incoming};
use hyper::header::{ACCEPT_ENCODING, CONNECTION, HOST, HeaderMap};
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode, Uri, server::conn::http1};
use hyper_util::rt::{TokioIo, TokioTimer};
use lexopt::prelude::*;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::timeout;

use crate::{pack, policy, project};

/// The longest wait for a request's head, between two requests as well.
const HEAD: Duration = Duration::from_secs(10);
/// The longest a connection is used; what is being sent then may still end, for as long as a head may take.
const LIFE: Duration = Duration::from_secs(120);
/// The most connections at once; the next waits for one to end.
const CONNECTIONS: usize = 256;

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
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    runtime.block_on(serve(port, folder))
}

async fn serve(port: u16, folder: PathBuf) -> Result<ExitCode> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
        .await
        .with_context(|| format!("listening on port {port}"))?;
    let port = listener.local_addr()?.port();
    // Whoever started this may have gone; the page is served all the same.
    let mut out = std::io::stdout();
    let _ = writeln!(
        out,
        "Serving on http://localhost:{port}/ (stop with Ctrl-C)"
    )
    .and_then(|()| out.flush());

    let site = Arc::new(Site { folder, port });
    let free = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let place = Arc::clone(&free).acquire_owned().await?;
        // A connection that was gone before it was taken, or no more files to open: not the end of it all.
        let Ok((stream, _)) = listener.accept().await else {
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let site = Arc::clone(&site);
        tokio::spawn(async move {
            connection(stream, site).await;
            drop(place);
        });
    }
}

/// Answer what comes over one connection, for so long as it may last. A browser that goes away is not our failure.
async fn connection(stream: TcpStream, site: Arc<Site>) {
    let service = service_fn(move |request| {
        let site = Arc::clone(&site);
        async move { Ok::<_, Infallible>(site.answer(&request)) }
    });
    let mut connection = std::pin::pin!(
        http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD)
            .serve_connection(TokioIo::new(stream), service)
    );
    if timeout(LIFE, connection.as_mut()).await.is_err() {
        connection.as_mut().graceful_shutdown();
        let _ = timeout(HEAD, connection).await;
    }
}

/// What is served, and where.
struct Site {
    folder: PathBuf,
    port: u16,
}

impl Site {
    fn answer(&self, request: &Request<Incoming>) -> Response<Full<Bytes>> {
        let headers = request.headers();
        let reply = if !is_ours(self.port, request.uri(), headers) {
            Reply::words(421, "This server answers for localhost alone.\n")
        } else if request.body().is_end_stream() {
            let (path, accepts) = (request.uri().path(), accepted(headers));
            reply(request.method(), path, &accepts, &self.folder)
        } else if is_read(request.method()) {
            Reply::words(413, "A request here has no body.\n")
        } else {
            reply(request.method(), "/", "", &self.folder)
        };
        let mut response = Response::new(Full::from(reply.body));
        *response.status_mut() = StatusCode::from_u16(reply.status).unwrap_or_default();
        for (name, value) in reply.headers {
            if let Ok(value) = value.parse() {
                response.headers_mut().append(name, value);
            }
        }
        // What was refused may have more to say; nobody listens.
        if reply.status != 200 && reply.status != 404 {
            let close = hyper::header::HeaderValue::from_static("close");
            response.headers_mut().insert(CONNECTION, close);
        }
        response
    }
}

/// Whether a request is for this machine under this machine's own name: its one Host header, and its address where that
/// names a host.
fn is_ours(port: u16, uri: &Uri, headers: &HeaderMap) -> bool {
    let ours = |host: &str| {
        let (name, named_port) = match host.rsplit_once(':') {
            Some((name, digits)) => (name, digits.parse() == Ok(port)),
            None => (host, port == 80),
        };
        named_port && (name.eq_ignore_ascii_case("localhost") || name == "127.0.0.1")
    };
    let mut hosts = headers.get_all(HOST).iter();
    let host = hosts.next().and_then(|host| host.to_str().ok());
    host.is_some_and(ours)
        && hosts.next().is_none()
        && uri.authority().is_none_or(|named| ours(named.as_str()))
}

fn accepted(headers: &HeaderMap) -> String {
    let lists = headers.get_all(ACCEPT_ENCODING).iter();
    lists
        .filter_map(|list| list.to_str().ok())
        .collect::<Vec<_>>()
        .join(",")
}

fn is_read(method: &Method) -> bool {
    matches!(*method, Method::GET | Method::HEAD)
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
    if !is_read(method) {
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
        "txt" => "text/plain; charset=utf-8",
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
    fn hosts() {
        let named = |address: &str, hosts: &[&'static str]| {
            let mut headers = HeaderMap::new();
            for host in hosts {
                headers.append(HOST, host.parse().unwrap());
            }
            is_ours(8080, &address.parse().unwrap(), &headers)
        };
        for host in ["localhost:8080", "127.0.0.1:8080", "LOCALHOST:8080"] {
            assert!(named("/", &[host]), "{host}");
        }
        for host in [
            "localhost",
            "localhost:80",
            "rebound.example:8080",
            "localhost.rebound.example:8080",
            "127.0.0.1:8080@rebound.example",
            "",
        ] {
            assert!(!named("/", &[host]), "{host}");
        }
        assert!(!named("/", &[]));
        assert!(!named("/", &["localhost:8080", "rebound.example"]));
        assert!(!named("http://rebound.example/", &["localhost:8080"]));
        assert!(named("http://localhost:8080/", &["localhost:8080"]));
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
            (Method::GET, "/nothing-here", 404),
            (Method::POST, "/", 405),
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
