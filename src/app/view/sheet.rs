//! The counter sheet: what to take, what is left over, what it comes to, for all loops.

use std::ops::Range;

use super::{
    card::{CautionView, Standing, caution_views},
    field::stock_digest,
    step::doing,
};
use crate::app::{
    amount,
    choice::System,
    counter::{self, Place},
    model::{Model, Spot, StockRow},
    number::significant,
    page::{Page, Shown},
    words,
};
use crate::job::{
    answer::{Amount, Line, LineFor, Sheet, Take},
    file::RoundBy,
    units::VolumeUnit,
};

/// The sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetView {
    /// How it stands to what is typed.
    pub standing: Standing,
    /// The job's title.
    pub title: String,
    /// Its date: as typed, or today.
    pub date: String,
    /// The customer's words.
    pub words: String,
    /// What else stands at its head: label and text.
    pub facts: Vec<(&'static str, String)>,
    /// Each loop's name and what is done to it.
    pub loops: Vec<(String, String)>,
    /// What to take.
    pub take: Vec<TakeView>,
    /// The bill.
    pub lines: Vec<LineView>,
    /// What it comes to: words and amount, the total last.
    pub sums: Vec<(String, String)>,
    /// The total alone; empty where nothing is paid.
    pub total: String,
    /// A sentence each.
    pub notes: Vec<String>,
    /// Those of all loops that are more than a note.
    pub cautions: Vec<CautionView>,
}

/// A stock or an additive to take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakeView {
    /// Its name.
    pub name: String,
    /// What it is: "100 %".
    pub kind: String,
    /// What is needed.
    pub needed: String,
    /// Whole packs: "2 × 5 L"; words where there is nothing to buy.
    pub packs: String,
    /// What is left over.
    pub left: String,
}

/// A line of the bill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineView {
    /// What for.
    pub name: String,
    /// How many of it.
    pub count: String,
    /// Price of one.
    pub each: String,
    /// Of all.
    pub amount: String,
}

/// The sheet, where anything is for sale; `today` stands in for a date that was not typed.
pub fn sheet(page: &Page, today: &str) -> Option<SheetView> {
    if !counter::sells(&page.model) {
        return None;
    }
    let model = &page.model;
    let typed = model.counter.date.trim();
    let mut view = SheetView {
        standing: match (&page.quote, page.quote_fresh) {
            (None, _) => Standing::Blank,
            (Some(_), true) => Standing::Fresh,
            (Some(_), false) => Standing::OutOfDate,
        },
        title: words::job_title(&model.title),
        date: words::isolated(if typed.is_empty() { today } else { typed }),
        words: words::isolated(model.counter.words.trim()),
        facts: facts(model, 0..counter::RECORD),
        loops: Vec::new(),
        take: Vec::new(),
        lines: Vec::new(),
        sums: Vec::new(),
        total: String::new(),
        notes: Vec::new(),
        cautions: Vec::new(),
    };
    let Some(quote) = &page.quote else {
        return Some(view);
    };
    let system = model.system;
    let mut without_plan = Vec::new();
    let several = model.loops.len() > 1;
    for (i, (lp, shown)) in model.loops.iter().zip(&page.shown).enumerate() {
        let name = words::loop_title(&lp.name, i);
        match does(shown, system) {
            Some(does) => {
                view.loops.push((name.clone(), does));
                view.cautions(page, shown, several.then_some(&name));
            }
            None => without_plan.push(name),
        }
    }
    view.take = quote.take.iter().map(|t| take(page, t)).collect();
    view.bill(quote);
    if quote.waste_litres > 0.0 {
        let waste = amount::pour(quote.waste_litres, system);
        view.notes.push(words::waste(&waste));
    }
    if !without_plan.is_empty() {
        view.notes.push(words::left_out(&without_plan));
    }
    if !quote.proven {
        view.notes.push(words::NOT_PROVEN.to_owned());
    }
    Some(view)
}

/// What is typed for papers: label and text of each.
pub(super) fn facts(model: &Model, places: Range<usize>) -> Vec<(&'static str, String)> {
    let typed = places.map(|i| (i, model.counter.papers[i].trim()));
    let typed = typed.filter(|(_, text)| !text.is_empty());
    let label = |i| words::label(&Spot::Counter(Place::Paper(i))).0;
    typed
        .map(|(i, text)| (label(i), words::isolated(text)))
        .collect()
}

/// What is done to a loop; `None` where it has no plan.
fn does(shown: &Shown, system: System) -> Option<String> {
    let solved = shown.solved.as_ref().filter(|s| s.answer.way.is_some())?;
    let pieces = words::headline(&doing(&solved.answer, system));
    Some(pieces.iter().map(|p| p.text.as_str()).collect())
}

fn take(page: &Page, take: &Take) -> TakeView {
    let system = page.model.system;
    let litres = |l: f64| {
        if take.additive {
            amount::dose(l, system)
        } else {
            amount::pour(l, system)
        }
    };
    let row = page
        .model
        .shelf
        .iter()
        .find(|row| row.on && row.name == take.name);
    let packs: Vec<String> = take
        .packs
        .iter()
        .map(|p| words::packs_of(p.count, &size(p.size.value, p.size.unit)))
        .collect();
    TakeView {
        name: named(&take.name, take.additive),
        kind: row
            .filter(|_| !take.additive)
            .map_or(String::new(), strength),
        needed: litres(take.needed_litres),
        packs: if packs.is_empty() {
            words::FROM_SHELF.to_owned()
        } else {
            packs.join(" + ")
        },
        left: take.left_litres.map_or(String::new(), litres),
    }
}

fn strength(row: &StockRow) -> String {
    let blank = crate::app::field::Entry::blank(row.have.shown_in);
    stock_digest(&StockRow {
        have: blank,
        ..row.clone()
    })
}

fn named(name: &str, additive: bool) -> String {
    match name.trim() {
        "" if additive => words::ADDITIVE.to_owned(),
        name => words::isolated(name),
    }
}

/// A pack's size as its label has it.
fn size(value: f64, unit: &str) -> String {
    let words = VolumeUnit::ALL
        .iter()
        .find(|u| u.text() == unit)
        .map(|u| words::unit(crate::app::field::Unit::Volume(*u)));
    words::spaced(&significant(value, 6), &words.unwrap_or_default())
}

impl SheetView {
    fn cautions(&mut self, page: &Page, shown: &Shown, name: Option<&String>) {
        for mut caution in caution_views(page, shown) {
            if caution.code == "note" {
                continue;
            }
            if let Some(name) = name {
                caution.text = [name, ": ", &caution.text].concat();
            }
            if !self.cautions.contains(&caution) {
                self.cautions.push(caution);
            }
        }
    }

    fn bill(&mut self, quote: &Sheet) {
        let bill = &quote.bill;
        let money = |amount: Amount| words::money(amount, &bill.currency);
        self.lines = bill.lines.iter().map(line).collect();
        if bill.lines.is_empty() {
            return;
        }
        let rounding = bill.rounding.minor != 0;
        let mut sums = Vec::new();
        if bill.tax.is_some() || rounding {
            sums.push((words::NET.to_owned(), words::amount(bill.net)));
        }
        if let (Some(tax), Some(percent)) = (bill.tax, bill.tax_percent) {
            let percent = significant(percent, 6);
            sums.push((words::tax(&percent, bill.tax_included), words::amount(tax)));
        }
        if rounding {
            sums.push((words::ROUNDED.to_owned(), words::amount(bill.rounding)));
        }
        self.total = money(bill.total);
        sums.push((words::TOTAL.to_owned(), self.total.clone()));
        self.sums = sums;
    }
}

fn line(line: &Line) -> LineView {
    let name = match (line.what, line.name.trim()) {
        (LineFor::Labour, _) => words::LABOUR.to_owned(),
        (LineFor::Charge, "") => words::CHARGE.to_owned(),
        (LineFor::Pack, "") => words::ADDITIVE.to_owned(),
        (_, name) => words::isolated(name),
    };
    let name = match line.size {
        Some(s) => [&name, ", ", &size(s.value, s.unit)].concat(),
        None => name,
    };
    let waste = matches!(line.unit, "L" | "US_gal" | "imp_gal");
    let count = significant(line.count, if waste { 3 } else { 6 });
    LineView {
        name,
        count: if line.unit == "job" {
            String::new()
        } else {
            words::counted(&count, line.unit)
        },
        each: words::amount(line.each),
        amount: words::amount(line.amount),
    }
}

/// The fold's digest: the total, or how many packs.
pub fn sheet_digest(page: &Page) -> String {
    page.quote
        .as_ref()
        .filter(|q| page.quote_fresh && !q.bill.lines.is_empty())
        .map_or(String::new(), |q| {
            words::money(q.bill.total, &q.bill.currency)
        })
}

/// How the money is written and rounded, in a few words.
pub fn money_digest(counter: &counter::Counter) -> String {
    let decimals = counter.decimals.unwrap_or(counter::USUAL_DECIMALS);
    let by = words::round_by(counter.round_by.unwrap_or(RoundBy::Nearest));
    let to = match counter.round_to.text().trim() {
        "" => words::CENT.to_owned(),
        text => text.to_owned(),
    };
    let figures = [decimals.to_string(), by.to_owned(), to];
    words::filled(words::MORE_MONEY, &figures)
}
