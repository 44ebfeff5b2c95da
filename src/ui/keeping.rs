//! Keeping the desk on the device: read once at the start, and every difference written as it happens.

use std::rc::Rc;

use gloo::events::EventListener;
use pourcard::app::{
    desk::{Desk, DeskAction},
    saved::NAME as JOB,
};

use super::hand::Send;

use crate::browser::{address, storage};

/// Name of the one that is open.
const OPEN: &str = "pourcard.open";

/// The desk as it was left; with an empty job on it where the address's fragment asks for one.
pub fn desk(fragment: Option<&str>) -> Desk {
    let fresh = fragment.filter(|f| address::is_fresh(f)).map(|_| new_id());
    let found = storage::names(JOB)
        .into_iter()
        .filter_map(|name| Some((name.strip_prefix(JOB)?.to_owned(), storage::read(&name)?)));
    Desk::new(found.collect(), storage::read(OPEN).as_deref(), fresh)
}

/// A name no job has had on this device: the time, and chance.
pub fn new_id() -> String {
    let chance = (js_sys::Math::random() * 1e6) as u32;
    [
        &(js_sys::Date::now() as u64).to_string(),
        "-",
        &chance.to_string(),
    ]
    .concat()
}

/// Tells of what other tabs keep and forget.
pub fn watch(send: &Send) -> EventListener {
    let send = send.clone();
    storage::watch(move |name, record| {
        if let Some(id) = name.strip_prefix(JOB) {
            send.emit(DeskAction::Elsewhere(id.to_owned(), record));
        }
    })
}

/// What is written on the device.
pub struct Keeping {
    written: Vec<(String, Rc<str>)>,
    refused: bool,
    asked: bool,
}

impl Keeping {
    /// As the desk was left.
    pub fn new(desk: &Desk) -> Self {
        Self {
            written: desk.records(),
            refused: false,
            asked: false,
        }
    }

    /// Writes what changed; `false` the first time the device refuses.
    pub fn keep(&mut self, desk: &Desk) -> bool {
        let now = desk.records();
        let mut kept = true;
        for (id, record) in now.iter().filter(|entry| !self.written.contains(entry)) {
            kept &= storage::write(&[JOB, id].concat(), record).is_some();
        }
        for (id, _) in &self.written {
            if now.iter().all(|(other, _)| other != id) {
                kept &= storage::remove(&[JOB, id].concat()).is_some();
            }
        }
        kept &= storage::write(OPEN, &desk.open).is_some();
        self.written = now;
        if !self.asked && !self.written.is_empty() {
            self.asked = true;
            // Refused: the browser may clear it one day; the export is there.
            wasm_bindgen_futures::spawn_local(async { _ = storage::persist().await });
        }
        kept || std::mem::replace(&mut self.refused, true)
    }
}
