//! Files out and in.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Url};

/// How long a saved file's address is held for the browser to read, milliseconds.
const HELD_MS: u32 = 10_000;

/// A file the user chose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opened {
    /// Its name.
    pub name: String,
    /// Its bytes as text; bytes that are not UTF-8 come as U+FFFD.
    pub text: String,
}

/// Offer `text` as a file called `name`, of media type `kind`; `None` where the browser has no way to.
pub fn save(name: &str, kind: &str, text: &str) -> Option<()> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = js_sys::Array::of1(&text.into());
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options).ok()?;
    let address = Url::create_object_url_with_blob(&blob).ok()?;
    let link: HtmlAnchorElement = gloo::utils::document()
        .create_element("a")
        .ok()?
        .dyn_into()
        .ok()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    gloo::timers::callback::Timeout::new(HELD_MS, move || {
        // Nothing to do where it is already gone.
        let _ = Url::revoke_object_url(&address);
    })
    .forget();
    Some(())
}

/// Read the files chosen in a file input, in order, and empty it so that the same file can be chosen again.
/// A file that cannot be read any more comes as an empty text, which whoever asked for it refuses by name.
pub async fn open(input: &HtmlInputElement) -> Vec<Opened> {
    let Some(files) = input.files() else {
        return Vec::new();
    };
    let mut opened = Vec::new();
    for file in (0..files.length()).filter_map(|i| files.get(i)) {
        let text = JsFuture::from(file.text()).await;
        opened.push(Opened {
            name: file.name(),
            text: text
                .ok()
                .and_then(|text| text.as_string())
                .unwrap_or_default(),
        });
    }
    input.set_value("");
    opened
}
