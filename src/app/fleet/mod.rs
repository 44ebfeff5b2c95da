//! The fleet on the page: a table chosen, planned in the background, shown a page at a time.
//!
//! A large table is long work, and only some people's: the [`planner`] and all of [`crate::job::fleet`] are compiled
//! into a module of their own that runs in a thread of its own (`src/background`). What goes between the two are
//! [`message`]s. Here is what the page itself holds: which table, and what it was last told of it.

pub mod message;
pub mod planner;

use super::{
    choice::{Choice, System},
    draft::Draft,
    words,
};
use crate::job::file::Job;
use message::{FleetView, Order, Told, received, sent};

/// What a user does with a fleet, and what the planner tells.
#[derive(Debug, Clone, PartialEq)]
pub enum FleetAction {
    /// Opened or closed it.
    Shown(bool),
    /// Chose a table: its file's name and text.
    Chosen(String, String),
    /// The planner told something; and, where it was asked for, the table of plans as a file's text.
    Told(String, Option<String>),
    /// The planner cannot be had, or stopped.
    Failed,
    /// Had enough of it.
    Stopped,
    /// Looked at other rows: the first of them.
    Turned(u32),
    /// Wants the table of plans as a file.
    Wanted,
}

/// The fleet on the page.
#[derive(Debug, Clone, Default)]
pub struct FleetDesk {
    /// Name of the table's file.
    pub name: String,
    /// Why the table as a whole is refused.
    pub refused: Option<String>,
    /// Is there more to plan?
    pub running: bool,
    /// What to show; `None` before anything was told of the table.
    pub view: Option<FleetView>,
    run: u32,
    first: u32,
    system: Option<System>,
    orders: Vec<(String, Option<String>)>,
    csv: Option<String>,
    /// What the job is to be called that a row is to become.
    opening: Option<String>,
}

impl FleetDesk {
    /// Takes a table for the shelf and the settings of what is on the page: `chosen` is the loop in sight.
    pub fn choose(
        &mut self,
        (draft, system, chosen): (&Draft, System, usize),
        name: String,
        text: String,
    ) {
        *self = Self {
            name,
            run: self.run + 1,
            system: Some(system),
            ..Self::default()
        };
        if draft.job.shelf.is_empty() || !draft.shelf.is_empty() {
            self.refused = Some(words::FLEET_NEEDS_SHELF.to_owned());
            return;
        }
        self.running = true;
        self.order(|order| order.job = Some(base(draft, chosen)), Some(text));
    }

    /// What has to be sent to the planner: orders, each with the table it may be about.
    pub fn orders(&mut self) -> Vec<(String, Option<String>)> {
        std::mem::take(&mut self.orders)
    }

    /// The table of plans, once, after it was asked for.
    pub fn csv(&mut self) -> Option<String> {
        self.csv.take()
    }

    /// Leaves off.
    pub fn stop(&mut self) {
        self.order(|order| order.stop = true, None);
    }

    /// Puts other rows in sight.
    pub fn turn(&mut self, first: u32) {
        self.first = first;
        self.order(|_| (), None);
    }

    /// Asks for the table of plans.
    pub fn want(&mut self) {
        self.order(|order| order.csv = true, None);
    }

    /// Asks for a row as a job of its own, to be called `id`.
    pub fn want_row(&mut self, row: u32, id: String) {
        self.opening = Some(id);
        self.order(|order| order.row = Some(row), None);
    }

    /// Goes over to other units.
    pub fn speak(&mut self, system: System) {
        if self.view.is_some() && self.system != Some(system) {
            self.system = Some(system);
            self.order(|_| (), None);
        }
    }

    /// Takes in what the planner told; a job to be opened, and its name.
    pub fn hear(&mut self, told: &str, csv: Option<String>) -> Option<(String, Job)> {
        let told: Told = received(told)?;
        if told.run != self.run {
            return None; // of the table before
        }
        self.running = told.running;
        self.refused = told
            .refused
            .map(|why| words::capitalised(&[&why, "."].concat()));
        self.view = told.view;
        self.csv = csv;
        self.opening.take_if(|_| told.row.is_some()).zip(told.row)
    }

    /// There is no planner.
    pub fn fail(&mut self) {
        *self = Self {
            refused: Some(words::FLEET_FAILED.to_owned()),
            name: std::mem::take(&mut self.name),
            run: self.run,
            ..Self::default()
        };
    }

    fn order(&mut self, fill: impl FnOnce(&mut Order), table: Option<String>) {
        let mut order = Order {
            run: self.run,
            system: self.system.map_or("", System::code).to_owned(),
            job: None,
            first: Some(self.first),
            stop: false,
            csv: false,
            row: None,
        };
        fill(&mut order);
        self.orders.push((sent(&order), table));
    }
}

/// The job whose shelf and first loop a fleet goes by.
fn base(draft: &Draft, chosen: usize) -> Job {
    let mut job = draft.job.clone();
    if let Some(place) = draft.places.iter().position(|place| *place == chosen) {
        job.loops.swap(0, place);
    }
    job
}
