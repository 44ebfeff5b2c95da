//! Keeping the desk on the device: read once at the start, and every difference written as it happens.

use std::{cell::RefCell, collections::BTreeMap, rc::Rc};

use pourcard::app::desk::{Desk, DeskAction};
use yew::{Callback, hook, use_effect_with, use_mut_ref};

use crate::browser::{address, storage};

/// Names of the records.
const JOB: &str = "pourcard.job.";
/// Name of the one that is open.
const OPEN: &str = "pourcard.open";

/// The desk as it was left.
pub fn desk() -> Desk {
    let fresh = address::take_fragment()
        .filter(|f| address::is_fresh(f))
        .map(|_| new_id());
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

/// Writes what changed since the last drawing. Where the device refuses, the user is told once.
#[hook]
pub fn use_keeping(desk: &Desk, send: &Callback<DeskAction>) {
    let written: Rc<RefCell<Option<BTreeMap<String, Rc<str>>>>> = use_mut_ref(|| None);
    let refused = use_mut_ref(|| false);
    let send = send.clone();
    use_effect_with(desk.clone(), move |desk| {
        let now: BTreeMap<String, Rc<str>> = desk.records().into_iter().collect();
        let before = written.borrow_mut().replace(now.clone());
        let mut kept = true;
        if let Some(before) = before {
            for (id, record) in now
                .iter()
                .filter(|(id, record)| before.get(*id) != Some(record))
            {
                kept &= storage::write(&[JOB, id].concat(), record).is_some();
            }
            for id in before.keys().filter(|id| !now.contains_key(*id)) {
                kept &= storage::remove(&[JOB, id].concat()).is_some();
            }
            kept &= storage::write(OPEN, &desk.open).is_some();
        }
        if !kept && !refused.replace(true) {
            send.emit(DeskAction::NotKept);
        }
    });
}
