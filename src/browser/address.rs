//! The address's fragment, which no server sees.

/// Asks for an empty job while the kept ones stay where they are: the crash box's way back in.
const FRESH: &str = "#fresh";

/// Take the fragment, without its `#`, and leave the address without one; `None` where there is none.
pub fn take_fragment() -> Option<String> {
    let window = gloo::utils::window();
    let fragment = window
        .location()
        .hash()
        .ok()
        .filter(|hash| hash.len() > 1)?;
    let path = window.location().pathname().ok()?;
    let history = window.history().ok()?;
    // An address that keeps its fragment is opened again on reload; no harm.
    let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&path));
    Some(fragment.trim_start_matches('#').to_owned())
}

/// Whether a fragment asks for an empty job.
pub fn is_fresh(fragment: &str) -> bool {
    FRESH.strip_prefix('#') == Some(fragment)
}
