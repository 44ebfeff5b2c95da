//! Keeping the desk on the device, where other tabs keep theirs too.
//!
//! Invariants: nothing is written over a record that was not read here before; what cannot be read is never written
//! to; a job the list shows that is missing on the device is written again. Where two tabs wrote at once, both records
//! stay, one of them under a name of its own. A record is written and read whole, so that two never mix.
//! Absent on purpose: the storage itself, and when other tabs are listened to.

use std::rc::Rc;

use super::{
    desk::{Desk, Tidings},
    prices,
    saved::NAME as JOB,
};

/// Name of the one that is open.
pub const OPEN: &str = "pourcard.open";

/// Name of the price list.
pub const PRICES: &str = "pourcard.prices";

/// Where texts are kept by name. It may be denied, emptied or full at any time.
pub trait Device {
    /// The text; `None` where there is none or storage is denied.
    fn read(&self, name: &str) -> Option<String>;
    /// Is there a text of this name?
    fn has(&self, name: &str) -> bool;
    /// Keep a text; `None` where it could not be kept. What was there then stays.
    fn write(&self, name: &str, text: &str) -> Option<()>;
    /// Forget a name; `None` where storage is denied.
    fn remove(&self, name: &str) -> Option<()>;
    /// All names that begin so, in no order.
    fn names(&self, prefix: &str) -> Vec<String>;
    /// A name no job has had.
    fn new_id(&self) -> String;
}

/// A job's record on the device, as this tab knows it.
#[derive(Debug, Clone)]
struct Known {
    id: String,
    record: Rc<str>,
    /// Written here, not read.
    own: bool,
    /// Another tab deleted it while it was open here: written again once it is changed.
    deleted: bool,
}

/// What is on the device, as this tab knows it.
#[derive(Debug, Clone)]
pub struct Keeping {
    known: Vec<Known>,
    /// The price list as it stands on the device, and as it would be written here.
    prices: [Option<String>; 2],
    refused: bool,
}

/// The desk as it was left on the device.
pub fn desk(device: &dyn Device, last: Option<&str>) -> Desk {
    let found = device
        .names(JOB)
        .into_iter()
        .filter_map(|name| Some((name.strip_prefix(JOB)?.to_owned(), device.read(&name)?)));
    let mut desk = Desk::new(found.collect(), last, &device.new_id());
    desk.prices = prices::read(&device.read(PRICES).unwrap_or_default()).articles;
    desk
}

impl Keeping {
    /// As the desk was found; the price list as it stands.
    pub fn new(desk: &Desk, device: &dyn Device) -> Self {
        let known = desk.records().into_iter();
        Self {
            known: known.map(|(id, record)| Known::read(id, record)).collect(),
            prices: [device.read(PRICES), desk.price_record()],
            refused: false,
        }
    }

    /// Is anything kept?
    pub fn is_any(&self) -> bool {
        !self.known.is_empty()
    }

    /// Writes what changed or is missing, and tells on the desk what came of it: a refusal as often as it begins.
    /// The next tab begins with the job in which the user `acted` last.
    pub fn keep(&mut self, desk: &mut Desk, device: &dyn Device, acted: bool) {
        let before = std::mem::take(&mut self.known);
        let now = desk.records();
        let mut kept = true;
        for old in &before {
            if now.iter().all(|(id, _)| *id != old.id) {
                kept &= self.forget(old, desk, device);
            }
        }
        let any = !now.is_empty();
        for (i, (id, record)) in now.into_iter().enumerate() {
            // Mostly in the place where it was.
            let old = before.get(i).filter(|old| old.id == id);
            let old = old.or_else(|| before.iter().find(|old| old.id == id));
            kept &= self.put(id, record, old, desk, device);
        }
        kept &= self.keep_prices(desk, device);
        if any && (acted || !device.has(OPEN)) {
            kept &= device.write(OPEN, &desk.open).is_some();
        }
        if kept && desk.tidings == Some(Tidings::NotKept) {
            desk.tidings = None;
        }
        if !std::mem::replace(&mut self.refused, !kept) && !kept {
            desk.tidings = Some(Tidings::NotKept);
        }
    }

    /// Forgets a job deleted here; one that another tab changed in the meantime is listed again.
    fn forget(&mut self, old: &Known, desk: &mut Desk, device: &dyn Device) -> bool {
        let name = [JOB, &old.id].concat();
        match device.read(&name) {
            None => true,
            Some(text) if *text != *old.record => {
                desk.list(old.id.clone(), &text);
                self.known.push(Known::read(old.id.clone(), text.into()));
                true
            }
            Some(_) => {
                let done = device.remove(&name).is_some();
                if !done {
                    self.known.push(old.clone());
                }
                done
            }
        }
    }

    /// Puts a record on the device, if it is not there to the letter. What is refused counts as it was: the older
    /// record stays, and it is tried again at the next change.
    fn put(
        &mut self,
        id: String,
        record: Rc<str>,
        old: Option<&Known>,
        desk: &mut Desk,
        device: &dyn Device,
    ) -> bool {
        let name = [JOB, &id].concat();
        if let Some(old) = old.filter(|old| old.record == record)
            && (device.has(&name) || (old.deleted && old.id == desk.open))
        {
            self.known.push(old.clone());
            return true;
        }
        let theirs = device.read(&name).filter(|text| **text != *record);
        if let Some(theirs) = theirs
            && old.is_none_or(|old| *old.record != *theirs)
        {
            // Not what this record was made from.
            let own = device.new_id();
            if id == desk.open {
                desk.part(own.clone(), &theirs);
            } else {
                desk.list(id.clone(), &theirs);
                desk.list(own.clone(), &record);
            }
            self.known.push(Known::read(id, theirs.into()));
            return self.put(own, record, None, desk, device);
        }
        let done = device.write(&name, &record).is_some();
        if done {
            self.known.push(Known {
                id,
                record,
                own: true,
                deleted: false,
            });
        } else {
            self.known.extend(old.cloned());
        }
        done
    }

    /// Takes on what another tab did to a job: `told` is what it wrote; none where it deleted it. By then the device
    /// may hold a later record, which is what counts.
    pub fn heed(&mut self, id: &str, told: Option<&str>, desk: &mut Desk, device: &dyn Device) {
        let place = self.known.iter().position(|known| known.id == id);
        let Some(now) = device.read(&[JOB, id].concat()) else {
            match place {
                Some(place) if id == desk.open => self.known[place].deleted = true,
                Some(place) => {
                    desk.unlist(id);
                    self.known.remove(place);
                }
                None => {}
            }
            return;
        };
        let known = place.map(|place| &mut self.known[place]);
        if let Some(known) = known
            && *known.record == *now
        {
            known.deleted = false;
            let unseen = |told: &&str| known.own && **told != *now;
            if let Some(told) = told.filter(unseen)
                && desk.kept.iter().all(|kept| *kept.record != *told)
            {
                // Browsers tell one tab of another's writing late: this was written over here before it was known.
                desk.list(device.new_id(), told);
                desk.tidings = Some(Tidings::Parted);
            }
            return;
        }
        if id != desk.open {
            desk.list(id.to_owned(), &now);
        } else if place.is_none_or(|place| self.known[place].record != desk.record())
            || !desk.take_over(&now)
        {
            desk.part(device.new_id(), &now);
        }
        let read = Known::read(id.to_owned(), now.into());
        match place {
            Some(place) => self.known[place] = read,
            None => self.known.push(read),
        }
    }

    /// Takes on what other tabs did while this one was not listening.
    pub fn look(&mut self, desk: &mut Desk, device: &dyn Device) {
        for name in device.names(JOB) {
            if let Some(id) = name.strip_prefix(JOB) {
                self.heed(id, None, desk, device);
            }
        }
        if device.has(PRICES) {
            self.heed_prices(desk, device);
        }
    }

    /// Takes on another tab's price list, where it can be read.
    pub fn heed_prices(&mut self, desk: &mut Desk, device: &dyn Device) {
        let now = device.read(PRICES);
        if now != self.prices[0]
            && desk.price_record() == self.prices[1]
            && is_readable(now.as_deref())
        {
            desk.prices = prices::read(now.as_deref().unwrap_or_default()).articles;
            self.prices = [now, desk.price_record()];
        }
    }

    /// Writes the price list where it changed or is missing: added to what another tab wrote unheard, and with what
    /// cannot be read set aside under a name of its own.
    fn keep_prices(&mut self, desk: &mut Desk, device: &dyn Device) -> bool {
        let list = desk.price_record();
        if list == self.prices[1] && (list.is_none() || device.has(PRICES)) {
            return true;
        }
        let there = device.read(PRICES);
        let mut aside = None;
        if let Some(text) = &there {
            if !is_readable(there.as_deref()) {
                let name = [PRICES, "-", &device.new_id()].concat();
                if device.write(&name, text).is_none() {
                    return false;
                }
                aside = Some(name);
            } else if there != self.prices[0] {
                desk.prices = prices::merged(&prices::read(text).articles, &desk.prices);
            }
        }
        let list = desk.price_record();
        let done = match &list {
            Some(list) => device.write(PRICES, list),
            None => device.remove(PRICES),
        };
        if done.is_some() {
            self.prices = [list.clone(), list];
        } else if let Some(aside) = aside {
            // Still where it was.
            _ = device.remove(&aside);
        }
        done.is_some()
    }
}

/// Can a price list be read to its last row?
fn is_readable(text: Option<&str>) -> bool {
    let read = prices::read(text.unwrap_or_default());
    text.is_none_or(str::is_empty)
        || (read.missing.is_empty() && read.refused.is_empty() && read.passed_over.is_empty())
}

impl Known {
    fn read(id: String, record: Rc<str>) -> Self {
        Self {
            id,
            record,
            own: false,
            deleted: false,
        }
    }
}
