//! The two compressed forms of a file.

use std::collections::HashMap;
use std::io::Write;
use std::sync::{LazyLock, Mutex, PoisonError};

use anyhow::Result;

use crate::bundle::digest;

/// What was packed before in this run: a build is written twice by the tests and weighed once, and brotli is slow.
static PACKED: LazyLock<Mutex<HashMap<String, Vec<u8>>>> = LazyLock::new(Mutex::default);

/// Brotli at its strongest.
pub fn brotli(bytes: &[u8]) -> Result<Vec<u8>> {
    let name = digest(bytes);
    let packed = || PACKED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = packed().get(&name) {
        return Ok(known.clone());
    }
    let params = brotli::enc::BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        ..Default::default()
    };
    let mut out = Vec::new();
    brotli::BrotliCompress(&mut &bytes[..], &mut out, &params)?;
    packed().insert(name, out.clone());
    Ok(out)
}

/// Gzip at its strongest; no name and no time in its header, so that two builds agree.
pub fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?)
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    #[test]
    fn both_forms_unpack_to_what_went_in() {
        let text = "draw, dose, pour, run, check. ".repeat(200);
        let mut back = Vec::new();
        brotli::BrotliDecompress(
            &mut super::brotli(text.as_bytes()).unwrap().as_slice(),
            &mut back,
        )
        .unwrap();
        assert_eq!(back, text.as_bytes());

        let mut back = String::new();
        let packed = super::gzip(text.as_bytes()).unwrap();
        flate2::read::GzDecoder::new(packed.as_slice())
            .read_to_string(&mut back)
            .unwrap();
        assert_eq!(back, text);
        assert!(packed.len() < text.len() / 10);
    }
}
