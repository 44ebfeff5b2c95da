//! Deflating and inflating with the browser's own streams (the Compression Streams standard).

use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, ReadableStreamDefaultReader};

/// Why nothing came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StreamError {
    /// The browser has no such stream.
    Absent,
    /// The bytes are not what the stream takes, or end too early.
    Damaged,
    /// More would come out than was allowed.
    TooMuch,
}

/// `bytes` deflated (raw).
///
/// # Errors
/// [`StreamError::Absent`] in a browser without the stream.
pub async fn deflate(bytes: &[u8]) -> Result<Vec<u8>, StreamError> {
    through("CompressionStream", bytes, usize::MAX).await
}

/// `bytes` inflated (raw), if no more than `most` come out: reading stops there.
///
/// # Errors
/// See [`StreamError`].
pub async fn inflate(bytes: &[u8], most: usize) -> Result<Vec<u8>, StreamError> {
    through("DecompressionStream", bytes, most).await
}

/// web-sys has the two streams only behind a compiler flag, so they are asked for by name.
async fn through(name: &str, bytes: &[u8], most: usize) -> Result<Vec<u8>, StreamError> {
    let absent = |_| StreamError::Absent;
    let class = Reflect::get(&js_sys::global(), &name.into()).map_err(absent)?;
    let class: Function = class.dyn_into().map_err(absent)?;
    // An older one does not know the raw form and throws.
    let pair = Reflect::construct(&class, &Array::of1(&"deflate-raw".into())).map_err(absent)?;
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence(&parts).map_err(absent)?;
    let stream = blob.stream().pipe_through(pair.unchecked_ref());
    let reader = ReadableStreamDefaultReader::new(&stream).map_err(absent)?;
    let mut out = Vec::new();
    loop {
        let part = JsFuture::from(reader.read())
            .await
            .map_err(|_| StreamError::Damaged)?;
        if member(&part, "done").is_truthy() {
            return Ok(out);
        }
        let chunk: Uint8Array = member(&part, "value").unchecked_into();
        if out.len() + chunk.length() as usize > most {
            // The rest is thrown away unread.
            let _ = JsFuture::from(reader.cancel()).await;
            return Err(StreamError::TooMuch);
        }
        out.extend(chunk.to_vec());
    }
}

fn member(of: &JsValue, name: &str) -> JsValue {
    Reflect::get(of, &name.into()).unwrap_or(JsValue::UNDEFINED)
}
