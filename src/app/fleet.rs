//! The fleet on the page: a table chosen, planned slice by slice, shown a page at a time.
//!
//! Planning is [`crate::job::fleet`]'s; here is how far it is, which rows are in sight, and their words.

use super::{amount, choice::System, draft::Draft, number::fixed, words};
use crate::engine::caution::Weight;
use crate::job::{
    file::Job,
    fleet::{Fleet, Plan, Row, buy::Taken, reasons},
    money::Amount,
};

/// Rows planned at a time: some milliseconds' worth on a slow phone.
pub const SLICE: usize = 25;
/// Rows planned between two drawings.
const DRAWN_EVERY: usize = 200;
/// Rows in sight at a time.
pub const ROWS: usize = 50;
/// The most lines of the report in sight.
pub const LINES: usize = 50;

/// What a user does with a fleet.
#[derive(Debug, Clone, PartialEq)]
pub enum FleetAction {
    /// Opened or closed it.
    Shown(bool),
    /// Chose a table: its file's name and text.
    Chosen(String, String),
    /// The next slice is due.
    Due,
    /// Had enough of it.
    Stopped,
    /// Looked at other rows: the first of them.
    Turned(usize),
    /// Wants the table of plans as a file.
    Wanted,
}

/// The fleet on the desk.
#[derive(Debug, Clone, Default)]
pub struct FleetDesk {
    /// Name of the table's file.
    pub name: String,
    /// Why the table as a whole is refused.
    pub refused: Option<String>,
    /// Is there more to plan?
    pub running: bool,
    fleet: Option<Fleet>,
    /// All rows are planned; the packs are not chosen yet.
    planned: bool,
    bought: Option<(Vec<Taken>, Amount)>,
    first: usize,
    /// Rows that were planned when it was last drawn.
    drawn: usize,
}

impl FleetDesk {
    /// Takes a table for the shelf and the settings of what is on the page: `chosen` is the loop in sight.
    pub fn choose(&mut self, draft: &Draft, chosen: usize, name: String, text: String) {
        *self = Self {
            name,
            ..Self::default()
        };
        if draft.job.shelf.is_empty() || !draft.shelf.is_empty() {
            self.refused = Some(words::FLEET_NEEDS_SHELF.to_owned());
            return;
        }
        match Fleet::new(&base(draft, chosen), text) {
            Ok(fleet) => {
                self.fleet = Some(fleet);
                self.running = true;
            }
            Err(why) => self.refused = Some(words::capitalised(&[&why, "."].concat())),
        }
    }

    /// Plans the next slice.
    pub fn go_on(&mut self) {
        let Some(fleet) = &mut self.fleet else {
            return;
        };
        if self.running && !self.planned {
            self.planned = !fleet.step(SLICE);
        } else {
            // A breath of its own, for the packs may take as long as a slice.
            self.running = false;
            self.sum_up();
        }
    }

    /// Is there enough that is new to draw it?
    pub fn is_due(&mut self) -> bool {
        let rows = self.fleet.as_ref().map_or(0, |fleet| fleet.rows.len());
        let due = !self.running || rows >= self.drawn + DRAWN_EVERY;
        if due {
            self.drawn = rows;
        }
        due
    }

    /// Are all rows planned, so that the next slice is the packs?
    pub fn is_last(&self) -> bool {
        self.planned
    }

    /// Leaves off.
    pub fn stop(&mut self) {
        self.running = false;
        if let Some(fleet) = &mut self.fleet {
            fleet.stop();
        }
        self.sum_up();
    }

    /// Finds the packs, once, when there is no more to plan.
    fn sum_up(&mut self) {
        if !self.running {
            self.bought = self.fleet.as_ref().map(Fleet::to_buy);
        }
    }

    /// Puts other rows in sight.
    pub fn turn(&mut self, first: usize) {
        self.first = first;
    }

    /// A row as a job of its own.
    pub fn row(&self, row: usize) -> Option<Job> {
        self.fleet.as_ref()?.alone(row)
    }

    /// The table of plans as a file's text.
    pub fn csv(&self) -> Option<String> {
        self.fleet.as_ref().map(Fleet::csv)
    }

    /// What to show; `None` before a table is chosen.
    pub fn view(&self, system: System) -> Option<FleetView> {
        let fleet = self.fleet.as_ref()?;
        let count = fleet.rows.len();
        let first = self.first.min(count.saturating_sub(1)) / ROWS * ROWS;
        let last = (first + ROWS).min(count);
        let sums = &fleet.sums;
        let report: Vec<String> = fleet.report().take(LINES).collect();
        let more = fleet.notes.len() + sums.refused - report.len();
        let mut totals = Vec::new();
        if let Some((taken, cost)) = &self.bought {
            let mut put = |name: &str, litres: f64, text: String| {
                if litres > 0.0 {
                    totals.push((name.to_owned(), text));
                }
            };
            put(
                words::FLEET_DRAWN,
                sums.drawn,
                amount::about(sums.drawn, 2, system),
            );
            put(
                words::FLEET_DOSED,
                sums.dose,
                amount::about(sums.dose, 2, system),
            );
            for (stock, litres) in fleet.job.shelf.iter().zip(&sums.poured) {
                put(&stock.name, *litres, amount::about(*litres, 2, system));
            }
            let sold: Vec<_> = taken.iter().filter(|t| !t.packs.is_empty()).collect();
            for taken in &sold {
                totals.push((words::fleet_buy(&taken.name), taken.packs_text()));
            }
            if !sold.is_empty() {
                let currency = fleet.job.money.as_ref().map_or("", |m| &m.currency);
                let cost = [currency, " ", &cost.text()].concat();
                totals.push((words::FLEET_COST.to_owned(), cost.trim().to_owned()));
            }
        }
        Some(FleetView {
            percent: (fleet.progress() * 100.0) as u32,
            told: words::fleet_told(&[sums.to_do, sums.nothing, sums.no_plan, sums.refused]),
            headings: headings(fleet),
            rows: (first..last)
                .map(|i| row(&fleet.rows[i], i, system))
                .collect(),
            range: words::fleet_range(first + 1, last, count),
            earlier: (first > 0).then(|| first - ROWS),
            later: (last < count).then_some(last),
            report,
            more,
            totals,
        })
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

/// The fleet, ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FleetView {
    /// How much of the table was read.
    pub percent: u32,
    /// How many rows came to what.
    pub told: String,
    /// Over the columns.
    pub headings: Vec<String>,
    /// In sight.
    pub rows: Vec<RowView>,
    /// Which those are.
    pub range: String,
    /// First of the rows before them.
    pub earlier: Option<usize>,
    /// First of the rows after them.
    pub later: Option<usize>,
    /// What was wrong.
    pub report: Vec<String>,
    /// Lines of it that are only in the file.
    pub more: usize,
    /// What it takes together.
    pub totals: Vec<(String, String)>,
}

/// A row, ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowView {
    /// Its place, to be opened by.
    pub place: usize,
    /// Its line in the table.
    pub line: String,
    /// Vehicle and loop.
    pub name: String,
    /// One for each further heading; of a refused row: the reason alone.
    pub cells: Vec<String>,
    /// Is it refused?
    pub wrong: bool,
    /// Can it be opened?
    pub opens: bool,
}

fn headings(fleet: &Fleet) -> Vec<String> {
    let mut list: Vec<String> = words::FLEET_HEADINGS
        .iter()
        .map(|h| (*h).to_owned())
        .collect();
    let stocks = fleet.job.shelf.iter().map(|stock| stock.name.clone());
    list.splice(words::FLEET_STOCKS_AT..words::FLEET_STOCKS_AT, stocks);
    list
}

fn row(row: &Row, place: usize, system: System) -> RowView {
    let names: Vec<&str> = [&*row.vehicle, &row.own]
        .into_iter()
        .filter(|name| !name.is_empty())
        .collect();
    RowView {
        place,
        line: row.line.to_string(),
        name: names.join(", "),
        cells: match &row.outcome {
            Ok(plan) => cells(plan, system),
            Err(_) => vec![reasons(row)],
        },
        wrong: row.outcome.is_err(),
        opens: row.place.is_some(),
    }
}

fn cells(plan: &Plan, system: System) -> Vec<String> {
    let some = |litres: f64, text: fn(f64, System) -> String| {
        if litres > 0.0 {
            text(litres, system)
        } else {
            String::new()
        }
    };
    let mut list = vec![
        plan.way.map_or(words::NO_PLAN, words::way).to_owned(),
        some(plan.drawn, amount::pour),
        some(plan.dose, amount::dose),
    ];
    list.extend(plan.poured.iter().map(|litres| some(*litres, amount::pour)));
    list.push(
        plan.percent
            .map_or(String::new(), |p| words::spaced(&fixed(p, 1), "%")),
    );
    list.push(match (plan.freezing_c, plan.freezing_at_most_c) {
        (Some(at), _) => amount::whole_degrees(at, system),
        (None, Some(most)) => words::at_or_below(&amount::whole_degrees(most, system)),
        (None, None) => String::new(),
    });
    let count = |weight: Weight| {
        plan.cautions
            .iter()
            .filter(|c| c.0.weight() == weight)
            .count()
    };
    list.push(words::fleet_cautions(
        count(Weight::Stop),
        count(Weight::Mind),
    ));
    list
}
