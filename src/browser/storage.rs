//! What is kept on the device. The browser may deny it, empty it or be full: every answer is an `Option`.
//!
//! Names begin with `pourcard`, which is how `start.js` finds them when the page has stopped.

use gloo::events::EventListener;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Storage, StorageEvent};

fn device() -> Option<Storage> {
    gloo::utils::window().local_storage().ok().flatten()
}

fn tab() -> Option<Storage> {
    gloo::utils::window().session_storage().ok().flatten()
}

/// The text kept under `name`; `None` where there is none or storage is denied.
pub fn read(name: &str) -> Option<String> {
    device()?.get_item(name).ok().flatten()
}

/// Keep `text` under `name`; `None` where it could not be kept (denied or full). What was there then stays.
pub fn write(name: &str, text: &str) -> Option<()> {
    device()?.set_item(name, text).ok()
}

/// What this tab alone keeps under `name`, until it is closed.
pub fn read_tab(name: &str) -> Option<String> {
    tab()?.get_item(name).ok().flatten()
}

/// Keep `text` under `name` for this tab alone.
pub fn write_tab(name: &str, text: &str) -> Option<()> {
    tab()?.set_item(name, text).ok()
}

/// Forget `name`; `None` where storage is denied.
pub fn remove(name: &str) -> Option<()> {
    device()?.remove_item(name).ok()
}

/// All names that begin with `prefix`, in no order.
pub fn names(prefix: &str) -> Vec<String> {
    let Some(device) = device() else {
        return Vec::new();
    };
    let count = device.length().unwrap_or(0);
    (0..count)
        .filter_map(|i| device.key(i).ok().flatten())
        .filter(|name| name.starts_with(prefix))
        .collect()
}

/// Whether anything is kept under `name`.
pub fn has(name: &str) -> bool {
    device().is_some_and(|device| js_sys::Reflect::has(&device, &name.into()).unwrap_or(false))
}

/// Tell of what another tab keeps or forgets: its name, and the text where there is one; no name where it cleared
/// everything. Dropped, it tells no more.
pub fn watch(tell: impl Fn(Option<String>, Option<String>) + 'static) -> EventListener {
    EventListener::new(&gloo::utils::window(), "storage", move |event| {
        if let Some(event) = event.dyn_ref::<StorageEvent>() {
            tell(event.key(), event.new_value());
        }
    })
}

/// Ask the browser not to clear what is kept when space runs short; `Some(true)` where it agreed.
pub async fn persist() -> Option<bool> {
    let asked = gloo::utils::window().navigator().storage().persist().ok()?;
    JsFuture::from(asked).await.ok()?.as_bool()
}
