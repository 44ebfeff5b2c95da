//! Copying, sharing, printing.

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::ShareData;

/// Copy `text`; `None` where the browser denies it.
pub async fn copy(text: &str) -> Option<()> {
    let navigator = gloo::utils::window().navigator();
    // Absent outside a secure context; web-sys would hand out an undefined clipboard.
    if !has(&navigator, "clipboard") {
        return None;
    }
    JsFuture::from(navigator.clipboard().write_text(text))
        .await
        .ok()
        .map(drop)
}

/// Whether the system has a share sheet.
pub fn can_share() -> bool {
    has(&gloo::utils::window().navigator(), "share")
}

/// Hand `text` to the system's share sheet; `None` where there is none or the user thought better of it.
pub async fn share(title: &str, text: &str) -> Option<()> {
    if !can_share() {
        return None;
    }
    let data = ShareData::new();
    data.set_title(title);
    data.set_text(text);
    JsFuture::from(gloo::utils::window().navigator().share_with_data(&data))
        .await
        .ok()
        .map(drop)
}

/// The address that begins a text message.
pub fn message(text: &str) -> String {
    let body = js_sys::encode_uri_component(text);
    ["sms:?&body=", &String::from(body)].concat()
}

/// 1234.5 of a currency as this browser's language writes it, which start.js asks for; empty where it cannot say.
pub fn money_sample() -> String {
    let sample = Reflect::get(&gloo::utils::window(), &"pourcardMoney".into());
    let sample = sample.ok().and_then(|sample| sample.as_string());
    sample.unwrap_or_default()
}

/// Print the part of the page that the style sheet keeps where `data-print` says `part`. The mark stays until the
/// browser has printed: some go on at once.
pub fn print(part: &str) -> Option<()> {
    let root = gloo::utils::document().document_element()?;
    root.set_attribute("data-print", part).ok()?;
    let window = gloo::utils::window();
    let printed = move |_: &_| drop(root.remove_attribute("data-print"));
    gloo::events::EventListener::once(&window, "afterprint", printed).forget();
    window.print().ok()
}

fn has(target: &JsValue, name: &str) -> bool {
    Reflect::get(target, &name.into())
        .is_ok_and(|value| value.is_object() || value.dyn_ref::<Function>().is_some())
}
