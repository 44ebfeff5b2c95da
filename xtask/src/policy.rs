//! What the page may do, as headers: said by `serve`, written to `dist/_headers` for static hosts, and stated
//! again in index.html for hosts that send no headers of their own.

/// The one Trusted Types policy: it makes the worker's address and nothing else.
pub const WORKER_POLICY: &str = "pourcard-worker";

/// The policy as index.html states it. `frame-ancestors` has no effect in a meta element, so it is left out there.
pub fn meta() -> String {
    [
        "default-src 'none'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        &format!("trusted-types {WORKER_POLICY}"),
    ]
    .join("; ")
}

/// The policy as a header.
pub fn header() -> String {
    format!("{}; frame-ancestors 'none'", meta())
}

/// Headers of every answer: those of OWASP's list of secure headers that say something of a static page.
pub fn headers() -> Vec<(&'static str, String)> {
    vec![
        ("Content-Security-Policy", header()),
        ("X-Content-Type-Options", "nosniff".into()),
        // `frame-ancestors` for browsers of old.
        ("X-Frame-Options", "DENY".into()),
        ("X-Permitted-Cross-Domain-Policies", "none".into()),
        ("Referrer-Policy", "no-referrer".into()),
        ("Cross-Origin-Opener-Policy", "same-origin".into()),
        ("Cross-Origin-Resource-Policy", "same-origin".into()),
        ("Cross-Origin-Embedder-Policy", "require-corp".into()),
        ("Permissions-Policy", permissions()),
    ]
}

/// A host's answers over HTTPS also ask for HTTPS from then on; the hosts beside it are its own affair.
const STRICT_TRANSPORT: (&str, &str) = ("Strict-Transport-Security", "max-age=31536000");

/// Nothing but sharing the card and copying it, which the page itself may do by default. Only names that the browsers
/// of the tests know: an unknown one is a warning on the console.
fn permissions() -> String {
    const DENIED: [&str; 28] = [
        "accelerometer",
        "autoplay",
        "camera",
        "clipboard-read",
        "display-capture",
        "encrypted-media",
        "fullscreen",
        "gamepad",
        "geolocation",
        "gyroscope",
        "hid",
        "identity-credentials-get",
        "idle-detection",
        "local-fonts",
        "magnetometer",
        "microphone",
        "midi",
        "otp-credentials",
        "payment",
        "picture-in-picture",
        "publickey-credentials-create",
        "publickey-credentials-get",
        "screen-wake-lock",
        "serial",
        "storage-access",
        "usb",
        "window-management",
        "xr-spatial-tracking",
    ];
    DENIED.map(|name| format!("{name}=()")).join(", ")
}

/// How long a file may be kept: for ever where its name is made from its bytes, else asked for each time.
pub fn cache_control(file: &str) -> &'static str {
    if is_hashed(file) {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    }
}

/// `name.0123456789abcdef.ext`: sixteen hexadecimal digits before the last dot.
pub fn is_hashed(file: &str) -> bool {
    file.rsplit('.')
        .nth(1)
        .is_some_and(|part| part.len() == 16 && part.bytes().all(|b| b.is_ascii_hexdigit()))
}

/// The headers as a `_headers` file, which several static hosts read.
pub fn headers_file<'a>(files: impl Iterator<Item = &'a str>) -> String {
    let mut text = String::from("/*\n");
    let (strict, age) = STRICT_TRANSPORT;
    for (name, value) in headers().into_iter().chain([(strict, age.to_owned())]) {
        text += &format!("  {name}: {value}\n");
    }
    for file in files {
        text += &format!("/{file}\n  Cache-Control: {}\n", cache_control(file));
        if file == "index.html" {
            text += &format!("/\n  Cache-Control: {}\n", cache_control(file));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_made_from_bytes_are_kept_for_ever() {
        let cases = [
            ("page.0123456789abcdef.css", true),
            ("index.html", false),
            ("sw.js", false),
            ("page.0123456789abcde.css", false),
            ("page.0123456789abcdeg.css", false),
        ];
        for (file, kept) in cases {
            assert_eq!(cache_control(file).contains("immutable"), kept, "{file}");
        }
    }

    #[test]
    fn a_host_asks_for_https_and_our_own_server_does_not() {
        let file = headers_file(["index.html"].into_iter());
        assert!(
            file.contains("\n  Strict-Transport-Security: max-age=31536000\n"),
            "{file}"
        );
        assert!(
            headers()
                .iter()
                .all(|(name, _)| *name != STRICT_TRANSPORT.0)
        );
    }

    #[test]
    fn index_states_the_same_policy() {
        let index = include_str!("../../index.html");
        let words = index.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.contains(&format!("content=\"{}\"", meta())),
            "index.html should state: {}",
            meta()
        );
    }
}
