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

/// Name of the price list.
const PRICES: &str = "pourcard.prices";

/// The desk as it was left; with an empty job on it where the address's fragment asks for one.
pub fn desk() -> Desk {
    let fragment = address::fragment().filter(|f| address::is_fresh(f));
    let fresh = fragment.map(|_| new_id());
    let found = storage::names(JOB)
        .into_iter()
        .filter_map(|name| Some((name.strip_prefix(JOB)?.to_owned(), storage::read(&name)?)));
    let open = storage::read_tab(OPEN).or_else(|| storage::read(OPEN));
    let mut desk = Desk::new(found.collect(), open.as_deref(), fresh);
    desk.take(DeskAction::PricesElsewhere(storage::read(PRICES)));
    desk
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

/// Today, as ISO 8601 writes it.
pub fn today() -> String {
    let now = js_sys::Date::new_0();
    let two = |n: u32| [if n < 10 { "0" } else { "" }, &n.to_string()].concat();
    [
        now.get_full_year().to_string(),
        two(now.get_month() + 1),
        two(now.get_date()),
    ]
    .join("-")
}

/// Tells of what other tabs keep and forget.
pub fn watch(send: &Send) -> EventListener {
    let send = send.clone();
    storage::watch(move |name, record| {
        if let Some(id) = name.strip_prefix(JOB) {
            send.emit(DeskAction::Elsewhere(id.to_owned(), record));
        } else if name == PRICES {
            send.emit(DeskAction::PricesElsewhere(record));
        }
    })
}

/// What is written on the device.
pub struct Keeping {
    written: Vec<(String, Rc<str>)>,
    prices: Option<String>,
    refused: bool,
    asked: bool,
}

impl Keeping {
    /// As the desk was left.
    pub fn new(desk: &Desk) -> Self {
        Self {
            written: desk.records(),
            prices: desk.price_record(),
            refused: false,
            asked: false,
        }
    }

    /// Writes what changed; `false` the first time the device refuses.
    pub fn keep(&mut self, desk: &Desk) -> bool {
        let now = desk.records();
        let mut kept = true;
        // What is refused counts as it was: the older record stays, and it is tried again at the next change.
        let before = std::mem::take(&mut self.written);
        for old in &before {
            let gone = now.iter().all(|(id, _)| *id != old.0);
            if gone && storage::remove(&[JOB, &old.0].concat()).is_none() {
                kept = false;
                self.written.push(old.clone());
            }
        }
        for new in now {
            if before.contains(&new) || storage::write(&[JOB, &new.0].concat(), &new.1).is_some() {
                self.written.push(new);
            } else {
                kept = false;
                let old = before.iter().find(|old| old.0 == new.0);
                self.written.extend(old.cloned());
            }
        }
        let prices = desk.price_record();
        if prices != self.prices {
            let done = match &prices {
                Some(list) => storage::write(PRICES, list),
                None => storage::remove(PRICES),
            };
            if done.is_some() {
                self.prices = prices;
            } else {
                kept = false;
            }
        }
        // Each tab has its own; a new one begins with the last.
        kept &= storage::write(OPEN, &desk.open).is_some();
        _ = storage::write_tab(OPEN, &desk.open);
        if !self.asked && !self.written.is_empty() {
            self.asked = true;
            // Refused: the browser may clear it one day; the export is there.
            wasm_bindgen_futures::spawn_local(async { _ = storage::persist().await });
        }
        kept || std::mem::replace(&mut self.refused, true)
    }
}
