//! When the page itself fails: say so, and let nothing look alive.

use gloo::utils::document;

/// Write a panic's own words into the crash box and show it. With `panic = "abort"` the trap that follows ends the
/// page; `start.js` sees that trap as well, and every failure that is not a panic.
pub fn watch() {
    yew::set_custom_panic_hook(Box::new(|info| {
        if let Some(detail) = document().get_element_by_id("crash-detail") {
            detail.set_text_content(Some(&info.to_string()));
        }
        if let Some(page) = document().get_element_by_id("page") {
            // A denied attribute is no reason to fail inside the hook.
            let _ = page.set_attribute("inert", "");
        }
        if let Some(shown) = document().get_element_by_id("crash") {
            let _ = shown.remove_attribute("hidden");
        }
    }));
}
