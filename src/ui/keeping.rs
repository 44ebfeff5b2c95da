//! Keeping the desk on the device: [`pourcard::app::keeping`] over the browser's storage, and what other tabs do to it.

use gloo::events::EventListener;
use pourcard::app::{
    desk::{Desk, DeskAction},
    keeping::{self, Device, OPEN, PRICES},
    saved::NAME as JOB,
};

use crate::browser::{address, storage};

/// The browser's storage.
pub struct Browser;

impl Device for Browser {
    fn read(&self, name: &str) -> Option<String> {
        storage::read(name)
    }

    fn has(&self, name: &str) -> bool {
        storage::has(name)
    }

    fn write(&self, name: &str, text: &str) -> Option<()> {
        storage::write(name, text)
    }

    fn remove(&self, name: &str) -> Option<()> {
        storage::remove(name)
    }

    fn names(&self, prefix: &str) -> Vec<String> {
        storage::names(prefix)
    }

    fn new_id(&self) -> String {
        new_id()
    }
}

/// The desk as it was left; with an empty job on it where the address's fragment asks for one.
pub fn desk() -> Desk {
    if address::fragment().is_some_and(|f| address::is_fresh(&f)) {
        let mut desk = keeping::desk(&Browser, None);
        desk.take(DeskAction::Empty(new_id()));
        return desk;
    }
    let open = storage::read_tab(OPEN).or_else(|| storage::read(OPEN));
    keeping::desk(&Browser, open.as_deref())
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

/// What another tab did.
pub enum Elsewhere {
    /// Kept a job, or deleted it: its name, and the record where there is one.
    Job(String, Option<String>),
    /// Changed the price list.
    Prices,
    /// Cleared everything; or this tab came back into sight and may have missed something.
    Any,
}

/// Tells of what other tabs keep and forget, and of every return to this one.
pub fn watch(tell: impl Fn(Elsewhere) + Clone + 'static) -> [EventListener; 2] {
    let heard = tell.clone();
    [
        storage::watch(move |name, record| match name {
            None => heard(Elsewhere::Any),
            Some(name) if name == PRICES => heard(Elsewhere::Prices),
            Some(name) => {
                if let Some(id) = name.strip_prefix(JOB) {
                    heard(Elsewhere::Job(id.to_owned(), record));
                }
            }
        }),
        EventListener::new(&gloo::utils::window(), "focus", move |_| {
            tell(Elsewhere::Any);
        }),
    ]
}

/// What is written on the device.
pub struct Keeping {
    kept: keeping::Keeping,
    asked: bool,
}

impl Keeping {
    /// As the desk was found.
    pub fn new(desk: &Desk) -> Self {
        Self {
            kept: keeping::Keeping::new(desk, &Browser),
            asked: false,
        }
    }

    /// Writes what changed; by what the user did, or by what another tab did.
    pub fn keep(&mut self, desk: &mut Desk, acted: bool) {
        self.kept.keep(desk, &Browser, acted);
        // Each tab has its own; a new one begins with the last.
        _ = storage::write_tab(OPEN, &desk.open);
        if !self.asked && self.kept.is_any() {
            self.asked = true;
            // Refused: the browser may clear it one day; the export is there.
            wasm_bindgen_futures::spawn_local(async { _ = storage::persist().await });
        }
    }

    /// Takes on what another tab did.
    pub fn heed(&mut self, elsewhere: &Elsewhere, desk: &mut Desk) {
        match elsewhere {
            Elsewhere::Job(id, told) => self.kept.heed(id, told.as_deref(), desk, &Browser),
            Elsewhere::Prices => self.kept.heed_prices(desk, &Browser),
            Elsewhere::Any => self.kept.look(desk, &Browser),
        }
    }
}
