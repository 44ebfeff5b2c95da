//! The planner in the background: a table planned slice by slice, and what there is to show of it, in words.
//!
//! Planning is [`crate::job::fleet`]'s; here is how far it is and which rows are in sight. It runs in a thread of its
//! own, so a slice may be long; between two slices it takes orders. Absent on purpose: the thread itself.

use super::message::{FleetView, Order, RowView, Told, Total, received, sent};
use crate::app::{
    amount,
    choice::{Choice, System},
    number::fixed,
    words,
};
use crate::engine::caution::Weight;
use crate::job::{
    fleet::{Cut, Fleet, Plan, Row, buy::Taken, column::Usual, reasons},
    money::Amount,
};

/// Rows planned between two drawings.
pub const SLICE: usize = 200;
/// Rows in sight at a time.
pub const ROWS: usize = 50;
/// The most lines of the report in sight.
pub const LINES: usize = 50;

/// A table being planned.
#[derive(Debug, Default)]
pub struct Planner {
    run: u32,
    system: Option<System>,
    running: bool,
    refused: Option<String>,
    fleet: Option<Fleet>,
    bought: Option<(Vec<Taken>, Amount)>,
    first: usize,
    csv: Option<String>,
}

impl Planner {
    /// Takes an order, with the table it may be about, and tells what there is to show.
    pub fn take(&mut self, order: &str, table: Option<String>) -> String {
        // An order the page did not write cannot come.
        let Some(order) = received::<Order>(order) else {
            return self.told(None);
        };
        self.system = System::from_code(&order.system);
        if let Some(job) = &order.job {
            *self = Self {
                run: order.run,
                system: self.system,
                ..Self::default()
            };
            match Fleet::with_units(job, table.unwrap_or_default(), usual(self.system)) {
                Ok(fleet) => {
                    self.fleet = Some(fleet);
                    self.running = true;
                }
                Err(why) => self.refused = Some(why),
            }
        }
        self.first = order.first.unwrap_or(0) as usize;
        if order.stop && self.running {
            if let Some(fleet) = &mut self.fleet {
                fleet.stop();
            }
            self.sum_up();
        }
        if order.csv {
            self.csv = self.fleet.as_ref().map(Fleet::csv);
        }
        self.told(order.row)
    }

    /// Is there more to plan?
    pub fn runs(&self) -> bool {
        self.running
    }

    /// Plans the next slice and tells how far it is.
    pub fn go_on(&mut self) -> String {
        let more = self.fleet.as_mut().is_some_and(|fleet| fleet.step(SLICE));
        if self.running && !more {
            self.sum_up();
        }
        self.told(None)
    }

    /// The table of plans, once, after it was ordered.
    pub fn csv(&mut self) -> Option<String> {
        self.csv.take()
    }

    /// Finds the packs, once, when there is no more to plan.
    fn sum_up(&mut self) {
        self.running = false;
        // Of a part there are no sums: they would look like the whole's.
        let whole = self.fleet.as_ref().filter(|fleet| fleet.cut.is_none());
        self.bought = whole.map(Fleet::to_buy);
    }

    fn told(&self, row: Option<u32>) -> String {
        let row = row.and_then(|row| self.fleet.as_ref()?.alone(row as usize));
        sent(&Told {
            run: self.run,
            running: self.running,
            refused: self.refused.clone(),
            view: self.view(),
            row,
        })
    }

    fn view(&self) -> Option<FleetView> {
        let system = self.system.unwrap_or(System::Metric);
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
                    totals.push(total(name, text));
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
                totals.push(total(&words::fleet_buy(&taken.name), taken.packs_text()));
            }
            if !sold.is_empty() {
                let currency = fleet.job.money.as_ref().map_or("", |m| &m.currency);
                let cost = [&words::isolated(currency), " ", &cost.text()].concat();
                totals.push(total(words::FLEET_COST, cost.trim().to_owned()));
            }
        }
        Some(FleetView {
            percent: (fleet.progress() * 100.0) as u32,
            told: words::fleet_told(
                &[sums.to_do, sums.nothing, sums.no_plan, sums.refused],
                fleet.cut.map(Cut::words),
            ),
            headings: headings(fleet),
            rows: (first..last)
                .map(|i| row(&fleet.rows[i], i, system))
                .collect(),
            range: words::fleet_range(first + 1, last, count),
            earlier: (first > 0).then(|| (first - ROWS) as u32),
            later: (last < count).then_some(last as u32),
            report,
            more: more as u32,
            totals,
        })
    }
}

fn total(name: &str, amount: String) -> Total {
    Total {
        name: name.to_owned(),
        amount,
    }
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
    let names: Vec<String> = [&*row.vehicle, &row.own]
        .into_iter()
        .filter(|name| !name.is_empty())
        .map(words::isolated)
        .collect();
    RowView {
        place: place as u32,
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

/// The units of a page, for numbers of a table that have none.
const fn usual(system: Option<System>) -> Usual {
    match system {
        Some(System::Us) => ["US_qt", "degF", "psi", "ft", "US_fl_oz"],
        Some(System::Imperial) => ["imp_pt", "degC", "psi", "ft", "imp_fl_oz"],
        Some(System::Metric) | None => ["L", "degC", "bar", "m", "mL"],
    }
}
