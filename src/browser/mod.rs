//! The browser's doors: everything the page asks of the browser beside drawing.
//!
//! Invariant: a door that a browser may deny (storage, clipboard, files) answers with an `Option`, and the page goes
//! on without it. Absent on purpose: what is behind the doors means nothing here; texts go in and out as they are.
//! Starting, updates and the boxes outside the page are in `start.js`, which works when the page does not.

pub mod address;
pub mod background;
pub mod clipboard;
pub mod crash;
pub mod file;
pub mod storage;
pub mod stream;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

/// Bring the element with this id into sight and give it the focus; `None` where there is none.
pub fn go_to(id: &str) -> Option<()> {
    let element = gloo::utils::document().get_element_by_id(id)?;
    element.dyn_into::<HtmlElement>().ok()?.focus().ok()
}

/// The element index.html keeps for the page. Never `<body>`: mounting empties it.
pub fn page_root() -> Option<Element> {
    gloo::utils::document().get_element_by_id("page")
}
