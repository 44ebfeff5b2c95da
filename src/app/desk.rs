//! The desk: the job that is open, and the others kept on the device.
//!
//! Invariants: what cannot be read is listed and left alone; a job deleted last can be had back; an example is
//! not kept until the user says so, and neither is an empty page that nobody touched. Absent on purpose: the device itself. [`Desk::records`] is what
//! should be kept; [`super::keeping`] writes the differences.

use std::rc::Rc;

use super::{
    action::Action,
    choice::System,
    fleet::{FleetAction, FleetDesk},
    link::{self, Link, LinkError, Packed},
    logs::{self, LogsAction, LogsDesk},
    model::Model,
    page::Page,
    prices::{self, Article},
    saved::{self, RecordError},
    words,
};
use crate::engine::order::in_order;
use crate::job;

/// A job kept on the device and not open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its name in storage, unique.
    pub id: String,
    /// As it is kept.
    pub record: Rc<str>,
    /// Its title, or why it cannot be read.
    pub title: Result<String, RecordError>,
}

/// Something to tell the user once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tidings {
    /// Files were taken in.
    Imported {
        /// So many jobs.
        jobs: usize,
        /// So many were here already, to the letter.
        same: usize,
        /// Files refused: name and reason.
        refused: Vec<(String, String)>,
    },
    /// A job was deleted and can be had back.
    Deleted(String),
    /// The device keeps nothing more.
    NotKept,
    /// Another tab changed the open job, which is shown as it was left there.
    ChangedElsewhere,
    /// Another tab changed the open job, and so did this one: each goes on as a job of its own.
    Parted,
    /// Copied as text.
    Copied,
    /// The browser denied it.
    NotCopied,
    /// The counter sheet was copied as text.
    SheetCopied,
    /// A price list was taken in, or emptied: so many packs. It can be had back as it was.
    Prices(usize),
    /// The link was copied.
    LinkCopied,
    /// A link's job is open.
    LinkOpened,
    /// A link was not opened.
    LinkRefused(LinkError),
}

/// What a user does with jobs.
#[derive(Debug, Clone, PartialEq)]
pub enum DeskAction {
    /// Something on the page.
    On(Action),
    /// Wants an empty job. The name is for what comes; it has never been used.
    Empty(String),
    /// Wants the example.
    Example(String),
    /// Wants the example kept, as a job like any other.
    ExampleKept,
    /// Opens a kept one.
    Opened(String),
    /// Copies the open one under a new name.
    Duplicated(String),
    /// Deletes one, open or not; a name for what comes where the open one goes.
    Deleted(String, String),
    /// Has the last one deleted back.
    Undeleted,
    /// Chose files: name and text of each; a name for each that will be a job.
    Imported(Vec<(String, String, String)>),
    /// The card went to the clipboard.
    Copied,
    /// Nothing went to the clipboard.
    NotCopied,
    /// Came by a link: the job's text, and a name for it.
    LinkTaken(Result<String, LinkError>, String),
    /// Wants customer, phone, plate and VIN in links, or not.
    LinkPrivate(bool),
    /// Opened or closed the view of the link.
    LinkShown(bool),
    /// The texts that were wanted are packed, for a page at this address.
    LinkMade([String; 2], String, [Packed; 2]),
    /// Chose a price list: its text.
    PricesImported(String),
    /// Empties the price list.
    PricesEmptied,
    /// Has the price list back as it was.
    PricesUndone,
    /// The counter sheet went to the clipboard.
    SheetCopied,
    /// The link went to the clipboard.
    LinkCopied,
    /// Something with logs of drives.
    Logs(LogsAction),
    /// Something with a fleet.
    Fleet(FleetAction),
    /// Opens a row of the fleet as a job; and a name for it.
    FleetRow(u32, String),
    /// Has read what there was to tell.
    Noticed,
    /// Wants all jobs as one file. The desk gives it ([`Desk::all_jobs`]); whoever can write files writes it.
    AllWanted,
    /// Looks for a job by its title.
    Sought(String),
}

/// A job on the page that is not kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unkept {
    /// The example, whatever is done to it, until it is left.
    Example,
    /// An empty one, until it is touched.
    Empty,
}

/// The open job and the kept ones.
#[derive(Debug, Clone)]
pub struct Desk {
    /// The open job.
    pub page: Page,
    /// Its name in storage.
    pub open: String,
    /// The others, as they were found.
    pub kept: Vec<Kept>,
    /// What there is to tell.
    pub tidings: Option<Tidings>,
    /// The price list.
    pub prices: Vec<Article>,
    /// What was read of it last, and what was not.
    pub price_report: prices::Read,
    prices_before: Option<Vec<Article>>,
    /// Is the view of the link open?
    pub link_shown: bool,
    link: Option<Rc<Link>>,
    /// May links say whose the vehicle is?
    pub link_private: bool,
    /// The fleet, where it is open.
    pub fleet: Option<FleetDesk>,
    /// Logs of drives, where there are some.
    pub logs: Option<LogsDesk>,
    /// What is looked for among the kept ones.
    pub sought: String,
    unkept: Option<Unkept>,
    /// The job that was open before the example.
    before_example: Option<String>,
    /// The record the open job was read from, and the same as it would be written here.
    read_from: Option<[Rc<str>; 2]>,
    deleted: Option<Kept>,
    /// The empty job that came in its place, where it was open.
    deleted_for: String,
}

impl Desk {
    /// The desk as it was left: what is kept, and which was open; an empty job where there is nothing, under
    /// `id`, a name that has never been used.
    pub fn new(found: Vec<(String, String)>, last: Option<&str>, id: &str) -> Self {
        let mut kept: Vec<Kept> = found
            .into_iter()
            .map(|(id, record)| Kept::of(id, &record))
            .collect();
        in_order(&mut kept, |a, b| a.id.cmp(&b.id));
        let mut desk = Self {
            page: Page::new(Model::empty(System::Metric)),
            open: id.to_owned(),
            kept,
            tidings: None,
            prices: Vec::new(),
            price_report: prices::Read::default(),
            prices_before: None,
            link_shown: false,
            link: None,
            link_private: false,
            fleet: None,
            logs: None,
            sought: String::new(),
            unkept: Some(Unkept::Empty),
            before_example: None,
            read_from: None,
            deleted: None,
            deleted_for: String::new(),
        };
        if let Some(last) = last {
            desk.open_kept(last);
        }
        desk
    }

    /// What the device should hold: the open job and the others.
    pub fn records(&self) -> Vec<(String, Rc<str>)> {
        let mut list: Vec<(String, Rc<str>)> = self
            .kept
            .iter()
            .map(|k| (k.id.clone(), k.record.clone()))
            .collect();
        if self.is_worth_keeping() {
            list.push((self.open.clone(), self.record()));
        }
        list
    }

    /// The open job's record: to the letter as it was read until something is changed.
    pub fn record(&self) -> Rc<str> {
        let made: Rc<str> = saved::encode(&self.page.model).into();
        match &self.read_from {
            Some([read, same]) if *same == made => read.clone(),
            _ => made,
        }
    }

    /// Is the open job the example?
    pub fn is_example(&self) -> bool {
        self.unkept == Some(Unkept::Example)
    }

    /// Is it an empty one that nobody touched?
    pub fn is_empty(&self) -> bool {
        self.unkept == Some(Unkept::Empty)
    }

    /// The job that was open before the example, where it is still there.
    pub fn before_example(&self) -> Option<&Kept> {
        let before = self.before_example.as_ref().filter(|_| self.is_example())?;
        self.kept.iter().find(|k| k.id == *before)
    }

    /// The desk after an action.
    #[must_use]
    pub fn act(&self, action: DeskAction) -> Self {
        let mut next = self.clone();
        next.take(action);
        next
    }

    /// Takes an action in.
    pub fn take(&mut self, action: DeskAction) {
        let system = self.page.model.system;
        match action {
            DeskAction::On(action) => {
                if self.is_empty()
                    && !matches!(action, Action::UnitsChosen(_) | Action::LoopChosen(_))
                {
                    self.unkept = None;
                }
                self.page.take(action);
            }
            DeskAction::Empty(id) => self.put_on_top(id, Model::empty(system), Some(Unkept::Empty)),
            DeskAction::Example(id) => {
                let before = self.open.clone();
                // In the units of the page: the next job keeps them.
                let units = Action::UnitsChosen(system);
                let example = super::update::update(&Model::demo(), units);
                self.put_on_top(id, example, Some(Unkept::Example));
                self.before_example = Some(before);
            }
            DeskAction::ExampleKept => self.unkept = None,
            DeskAction::Opened(id) => self.open_kept(&id),
            DeskAction::Duplicated(id) => {
                let mut copy = (*self.page.model).clone();
                copy.title = words::copy_of(&copy.title);
                self.put_on_top(id, copy, None);
            }
            DeskAction::Deleted(id, other) => self.delete(&id, other),
            DeskAction::Undeleted => {
                self.tidings = None;
                if let Some(kept) = self.deleted.take() {
                    let id = kept.id.clone();
                    self.kept.push(kept);
                    // In the place of the empty one that came for it.
                    if self.deleted_for == self.open && self.unkept.is_some() {
                        self.open_kept(&id);
                    }
                }
            }
            DeskAction::Imported(files) => self.import(files),
            DeskAction::Copied => self.tidings = Some(Tidings::Copied),
            DeskAction::NotCopied => self.tidings = Some(Tidings::NotCopied),
            DeskAction::LinkTaken(text, id) => self.take_link(text, id),
            DeskAction::PricesImported(text) => {
                let read = prices::read(&text);
                let list = prices::merged(&self.prices, &read.articles);
                if read.articles.is_empty() {
                    self.tidings = None;
                } else {
                    self.change_prices(list, read.articles.len());
                }
                self.price_report = read;
            }
            DeskAction::PricesEmptied => self.change_prices(Vec::new(), 0),
            DeskAction::PricesUndone => {
                self.tidings = None;
                if let Some(before) = self.prices_before.take() {
                    self.prices = before;
                }
                self.price_report = prices::Read::default();
            }
            DeskAction::SheetCopied => self.tidings = Some(Tidings::SheetCopied),
            DeskAction::LinkPrivate(private) => self.link_private = private,
            DeskAction::LinkShown(shown) => self.link_shown = shown,
            DeskAction::LinkMade(texts, here, packed) => {
                self.link = Some(link::link(texts, &here, &packed).into());
            }
            DeskAction::LinkCopied => self.tidings = Some(Tidings::LinkCopied),
            DeskAction::Fleet(action) => self.take_fleet(action),
            DeskAction::Logs(action) => self.logs = Some(logs::take(&action)),
            DeskAction::FleetRow(row, id) => {
                if let Some(fleet) = &mut self.fleet {
                    fleet.want_row(row, id);
                }
            }
            DeskAction::Noticed => self.tidings = None,
            DeskAction::Sought(text) => self.sought = text,
            DeskAction::AllWanted => {}
        }
        if let Some(fleet) = &mut self.fleet {
            fleet.speak(self.page.model.system);
        }
    }

    fn change_prices(&mut self, list: Vec<Article>, packs: usize) {
        self.prices_before = Some(std::mem::replace(&mut self.prices, list));
        self.price_report = prices::Read::default();
        self.tidings = Some(Tidings::Prices(packs));
    }

    /// The price list as it is kept; `None` where there is none.
    pub fn price_record(&self) -> Option<String> {
        (!self.prices.is_empty()).then(|| prices::write(&self.prices))
    }

    /// The link of the job as it stands; `None` while it is being made, or cannot be.
    pub fn link(&self) -> Option<&Link> {
        let texts = link::texts(&self.page.draft, self.link_private)?;
        self.link.as_deref().filter(|link| link.of == texts[0])
    }

    /// The texts to pack for the link in sight, or on the counter sheet; `None` where there is nothing to do.
    pub fn link_wanted(&self) -> Option<[String; 2]> {
        let shown = self.link_shown || self.page.quote_fresh;
        if !shown || self.link().is_some() {
            return None;
        }
        link::texts(&self.page.draft, self.link_private)
    }

    fn is_worth_keeping(&self) -> bool {
        self.unkept.is_none()
    }

    /// Puts the open job away and another in its place.
    fn put_on_top(&mut self, id: String, model: Model, unkept: Option<Unkept>) {
        if self.is_worth_keeping() {
            self.kept.push(Kept::of(self.open.clone(), &self.record()));
        }
        self.read_from = None;
        self.link_private = false; // asked of each job anew
        self.unkept = unkept;
        self.before_example = None;
        self.page = Page::new(model);
        self.open = id;
    }

    fn open_kept(&mut self, id: &str) {
        let Some(place) = self.kept.iter().position(|k| k.id == id) else {
            return;
        };
        if let Ok(model) = saved::decode(&self.kept[place].record) {
            let opened = self.kept.remove(place);
            self.put_on_top(opened.id, model, None);
            self.reads_from(opened.record);
        }
    }

    fn reads_from(&mut self, record: Rc<str>) {
        self.read_from = Some([record, saved::encode(&self.page.model).into()]);
    }

    fn delete(&mut self, id: &str, other: String) {
        let gone = if id == self.open {
            let gone = Kept::of(self.open.clone(), &self.record());
            self.read_from = None;
            self.page = Page::new(Model::empty(self.page.model.system));
            self.unkept = Some(Unkept::Empty);
            self.deleted_for.clone_from(&other);
            self.open = other;
            gone
        } else {
            let Some(place) = self.kept.iter().position(|k| k.id == id) else {
                return;
            };
            self.deleted_for.clear();
            self.kept.remove(place)
        };
        self.tidings = Some(Tidings::Deleted(words::job_title(
            gone.title.as_deref().unwrap_or_default(),
        )));
        self.deleted = Some(gone);
    }

    /// Lists a record found on the device, in the place of an older one of that name.
    pub fn list(&mut self, id: String, record: &str) {
        self.unlist(&id);
        self.kept.push(Kept::of(id, record));
    }

    /// Takes a record off the list.
    pub fn unlist(&mut self, id: &str) {
        self.kept.retain(|k| k.id != id);
    }

    /// Shows the open job as another tab left it; `false` where that cannot be read, and nothing changes.
    pub fn take_over(&mut self, record: &str) -> bool {
        let Ok(model) = saved::decode(record) else {
            return false;
        };
        self.page.take_over(model);
        self.reads_from(record.into());
        self.unkept = None;
        self.tidings = Some(Tidings::ChangedElsewhere);
        true
    }

    /// The open job goes on under a name of its own, beside the record of its old name.
    pub fn part(&mut self, id: String, theirs: &str) {
        let old = std::mem::replace(&mut self.open, id);
        self.list(old, theirs);
        self.tidings = Some(Tidings::Parted);
    }

    fn take_fleet(&mut self, action: FleetAction) {
        if let FleetAction::Shown(shown) = action {
            self.fleet = shown.then(FleetDesk::default);
            return;
        }
        let Some(fleet) = &mut self.fleet else {
            return;
        };
        match action {
            FleetAction::Chosen(name, text) => {
                let model = &self.page.model;
                let draft = (&*self.page.draft, model.system, model.selected);
                fleet.choose(draft, name, text);
            }
            FleetAction::Told(told, csv) => {
                if let Some((id, job)) = fleet.hear(&told, csv) {
                    self.put_on_top(id, super::import::model(&job), None);
                    self.tidings = Some(Tidings::Imported {
                        jobs: 1,
                        same: 0,
                        refused: Vec::new(),
                    });
                }
            }
            FleetAction::Failed => fleet.fail(),
            FleetAction::Stopped => fleet.stop(),
            FleetAction::Turned(first) => fleet.turn(first),
            FleetAction::Wanted => fleet.want(),
            FleetAction::Shown(_) => {}
        }
    }

    /// A link's job becomes the open one, beside what was here; the same link again opens the same job, as long as
    /// that is as it came. One that cannot be read changes nothing.
    fn take_link(&mut self, text: Result<String, LinkError>, id: String) {
        self.tidings = Some(match text.and_then(|text| link::opened(&text)) {
            Ok(job) => {
                let model = super::import::model(&job);
                let record = saved::encode(&model);
                match self.kept.iter().position(|k| *k.record == *record) {
                    Some(place) => self.open_kept(&self.kept[place].id.clone()),
                    None if self.unkept.is_none() && *self.record() == *record => {}
                    None => self.put_on_top(id, model, None),
                }
                Tidings::LinkOpened
            }
            Err(error) => Tidings::LinkRefused(error),
        });
    }

    /// The kept jobs whose title has what is looked for; all of them where nothing is. Large and small letters count
    /// as the same in ASCII only: the rest of Unicode would bring its tables into the page.
    pub fn found(&self) -> Vec<&Kept> {
        let sought = self.sought.trim().as_bytes();
        let mut list = Vec::new();
        for kept in &self.kept {
            let title = words::bare_title(kept.title.as_deref().unwrap_or_default());
            let title = title.as_bytes();
            let fits = |from| {
                let part = title.get(from..from + sought.len());
                part.is_some_and(|part| part.eq_ignore_ascii_case(sought))
            };
            if (0..=title.len()).any(fits) {
                list.push(kept);
            }
        }
        list
    }

    /// All jobs as one file.
    pub fn all_jobs(&self) -> String {
        saved::bundle(&self.records())
    }

    /// Every file that can be read becomes a job; the last is opened. The others are named with the reason. A file of
    /// many jobs gives each of them.
    fn import(&mut self, files: Vec<(String, String, String)>) {
        let (mut jobs, mut same, mut refused) = (0, 0, Vec::new());
        for (name, text, id) in files {
            if let Some(records) = saved::unbundle(&text) {
                for (record, i) in records.into_iter().zip(1u32..) {
                    if self.records().iter().any(|(_, known)| **known == *record) {
                        same += 1;
                        continue;
                    }
                    match saved::decode(&record) {
                        Ok(model) => {
                            jobs += 1;
                            self.put_on_top([&id, "-", &i.to_string()].concat(), model, None);
                        }
                        Err(error) => {
                            refused.push((name.clone(), words::record_error(error).to_owned()));
                        }
                    }
                }
                continue;
            }
            match job::read(&text) {
                Ok(read) => {
                    jobs += 1;
                    self.put_on_top(id, super::import::model(&read), None);
                }
                Err(fault) => refused.push((name, fault.message)),
            }
        }
        self.tidings = Some(Tidings::Imported {
            jobs,
            same,
            refused,
        });
    }
}

impl Kept {
    fn of(id: String, record: &str) -> Self {
        let title = match saved::decode(record) {
            Ok(model) => Ok(model.title),
            Err(error) => Err(error),
        };
        Self {
            id,
            record: record.into(),
            title,
        }
    }
}
