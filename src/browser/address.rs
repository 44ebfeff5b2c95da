//! The address and its fragment, which no server sees.

use gloo::events::EventListener;

/// Asks for an empty job while the kept ones stay where they are: the crash box's way back in.
const FRESH: &str = "fresh";

/// The page's address without its query and fragment.
pub fn here() -> String {
    let location = gloo::utils::window().location();
    [
        location.origin().unwrap_or_default(),
        location.pathname().unwrap_or_default(),
    ]
    .concat()
}

/// The fragment, without its `#`; `None` where there is none.
pub fn fragment() -> Option<String> {
    let hash = gloo::utils::window().location().hash().ok()?;
    hash.strip_prefix('#')
        .filter(|fragment| !fragment.is_empty())
        .map(str::to_owned)
}

/// Leave the address without query and fragment.
pub fn clear() {
    let window = gloo::utils::window();
    if let (Ok(path), Ok(history)) = (window.location().pathname(), window.history()) {
        // An address that keeps its fragment is opened again on reload; no harm.
        let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&path));
    }
}

/// Tell of every fragment that is put into the address later. Dropped, it tells no more.
pub fn watch(tell: impl Fn(String) + 'static) -> EventListener {
    EventListener::new(&gloo::utils::window(), "hashchange", move |_| {
        if let Some(fragment) = fragment() {
            tell(fragment);
        }
    })
}

/// Whether a fragment asks for an empty job.
pub fn is_fresh(fragment: &str) -> bool {
    fragment == FRESH
}
