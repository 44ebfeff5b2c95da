//! The server as it is run: what a caller can do to it.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs)] // a test may panic

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// Longer than any wait of the server's own.
const PATIENCE: Duration = Duration::from_secs(60);

struct Server {
    child: Child,
    port: u16,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Server {
    /// Serving a folder with one page.
    fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("index.html"), "the page").unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_xtask"))
            .args(["serve", "--no-build", "--port", "0", "--dir"])
            .arg(&folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        out.read_line(&mut line).unwrap();
        let port = line.split("localhost:").nth(1).unwrap();
        let port = port.split('/').next().unwrap().parse().unwrap();
        Self { child, port }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream
    }

    /// What comes back for these words, until the server ends it.
    fn says(&self, words: &str) -> String {
        let mut stream = self.connect();
        stream.write_all(words.as_bytes()).unwrap();
        let mut reply = Vec::new();
        // It may end by a reset, where more was sent than it read.
        let _ = stream.read_to_end(&mut reply);
        String::from_utf8_lossy(&reply).into_owned()
    }

    fn host(&self) -> String {
        format!("Host: localhost:{}\r\n", self.port)
    }

    fn page(&self) -> String {
        let host = self.host();
        self.says(&format!(
            "GET / HTTP/1.1\r\n{host}Connection: close\r\n\r\n"
        ))
    }

    #[track_caller]
    fn still_serves(&self) {
        let page = self.page();
        assert!(
            page.starts_with("HTTP/1.1 200 ") && page.ends_with("the page"),
            "{page}"
        );
    }
}

#[test]
fn the_page_is_served_and_nothing_else() {
    let server = Server::new("serve-page");
    server.still_serves();
    let host = server.host();
    let says = |line: &str| {
        server.says(&format!(
            "{line} HTTP/1.1\r\n{host}Connection: close\r\n\r\n"
        ))
    };
    assert!(says("HEAD /").starts_with("HTTP/1.1 200 "));
    assert!(!says("HEAD /").contains("the page"));
    assert!(says("GET /nothing.js").starts_with("HTTP/1.1 404 "));
    assert!(says("GET /../Cargo.toml").starts_with("HTTP/1.1 404 "));
    assert!(says("DELETE /").starts_with("HTTP/1.1 405 "));
    assert!(
        says("GET /").contains("content-security-policy: "),
        "{}",
        says("GET /")
    );
}

#[test]
fn no_body_is_waited_for_however_long_it_says_it_is() {
    let server = Server::new("serve-body");
    let host = server.host();
    for length in ["99999999999999", "1000"] {
        let reply = server.says(&format!(
            "POST / HTTP/1.1\r\n{host}Content-Length: {length}\r\n\r\n"
        ));
        assert!(reply.starts_with("HTTP/1.1 405 "), "{length}: {reply}");
        let reply = server.says(&format!(
            "GET / HTTP/1.1\r\n{host}Content-Length: {length}\r\n\r\n"
        ));
        assert!(reply.starts_with("HTTP/1.1 413 "), "{length}: {reply}");
        server.still_serves();
    }
    for length in ["18446744073709551615", "99999999999999999999999", "-1"] {
        let reply = server.says(&format!(
            "POST / HTTP/1.1\r\n{host}Content-Length: {length}\r\n\r\n"
        ));
        assert!(reply.starts_with("HTTP/1.1 4"), "{length}: {reply}");
        server.still_serves();
    }
}

#[test]
fn what_stalls_blocks_nobody_and_is_let_go() {
    let server = Server::new("serve-stall");
    let host = server.host();
    let stalled: Vec<TcpStream> = (0..16)
        .map(|i| {
            let mut stream = server.connect();
            let words = match i % 3 {
                0 => format!("POST / HTTP/1.1\r\n{host}Content-Length: 10\r\n\r\nab"),
                1 => format!("GET / HTTP/1.1\r\n{host}"),
                _ => String::new(),
            };
            stream.write_all(words.as_bytes()).unwrap();
            stream
        })
        .collect();
    server.still_serves();
    for mut stream in stalled {
        let mut rest = Vec::new();
        match stream.read_to_end(&mut rest) {
            Ok(_) => {}
            Err(error) => assert_ne!(error.kind(), std::io::ErrorKind::WouldBlock, "still open"),
        }
    }
    server.still_serves();
}

/// A page elsewhere whose name is made to point here would read what is served here.
#[test]
fn another_host_is_refused() {
    let server = Server::new("serve-host");
    let port = server.port;
    let get = |host: &str, path: &str| {
        server.says(&format!(
            "GET {path} HTTP/1.1\r\n{host}Connection: close\r\n\r\n"
        ))
    };
    for host in [
        format!("Host: rebound.example:{port}\r\n"),
        "Host: localhost:1\r\n".to_owned(),
        String::new(),
        format!("Host: localhost:{port}\r\nHost: rebound.example\r\n"),
    ] {
        let reply = get(&host, "/");
        assert!(!reply.contains("the page"), "{host}: {reply}");
        let status = &reply[..13.min(reply.len())];
        assert!(
            ["HTTP/1.1 421 ", "HTTP/1.1 400 "].contains(&status),
            "{host}: {reply}"
        );
    }
    let absolute = get(&server.host(), "http://rebound.example/");
    assert!(absolute.starts_with("HTTP/1.1 421 "), "{absolute}");
    assert!(get(&format!("Host: 127.0.0.1:{port}\r\n"), "/").ends_with("the page"));
    server.still_serves();
}
