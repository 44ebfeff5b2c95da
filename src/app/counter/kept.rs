//! The counter from a job file, and from and to the record kept on the device.
//!
//! In a record, each row of packs and charges begins with its first key; a record's job file holds none of them.

use super::{ChargeRow, Counter, PAPERS, PackRow};
use crate::app::{
    choice::System,
    field::{Entry, Measure, Unit},
    model::Model,
    saved::{entry_of, entry_text, place},
};
use crate::job::file::{Charge, Job, Pack, Per, RoundBy, Wish};

/// A file's packs.
pub fn import_packs(packs: &[Pack]) -> Vec<PackRow> {
    packs
        .iter()
        .map(|p| PackRow {
            size: Entry::of(p.size.value, Unit::Volume(p.size.unit)),
            price: Entry::of(p.price, Unit::None),
        })
        .collect()
}

/// The counter of a job file.
pub fn import(job: &Job) -> Counter {
    let mut out = Counter::blank();
    out.date = job.date.clone().unwrap_or_default();
    out.words = job.notes.clone().unwrap_or_default();
    let mut file = job.papers.clone().unwrap_or_default();
    for (from, to) in super::papers(&mut file).into_iter().zip(&mut out.papers) {
        *to = std::mem::take(from);
    }
    let Some(money) = &job.money else {
        return out;
    };
    out.currency.clone_from(&money.currency);
    out.decimals = money.decimals;
    out.wish = money.wish;
    if let Some(tax) = money.tax {
        out.tax = Entry::of(tax.percent, Unit::Percent);
        out.tax_included = tax.included;
    }
    if let Some(rounding) = money.rounding {
        out.round_to = Entry::of(rounding.to, Unit::None);
        out.round_by = rounding.by;
    }
    if let Some(labour) = money.labour {
        out.labour = Entry::of(labour.rate, Unit::None);
        if let Some(hours) = labour.hours {
            out.hours = Entry::of(hours, Unit::None);
        }
    }
    let row = |charge: &Charge| ChargeRow {
        name: charge.name.clone(),
        amount: Entry::of(charge.amount, Unit::None),
        per: charge.per,
    };
    out.charges = money.charges.iter().map(row).collect();
    out
}

/// The lines of a record that are the counter's.
pub fn write(model: &Model, fields: &mut Vec<(String, String)>) {
    let counter = &model.counter;
    let mut put = |key: String, value: String| fields.push((key, value));
    let blank = Counter::blank();
    for (key, text) in [
        ("date", &counter.date),
        ("words", &counter.words),
        ("currency", &counter.currency),
    ] {
        if !text.is_empty() {
            put(["c0.", key].concat(), text.clone());
        }
    }
    for (key, text) in PAPERS.iter().zip(&counter.papers) {
        if !text.is_empty() {
            put(["c0.", key].concat(), text.clone());
        }
    }
    let chosen = [
        ("decimals", counter.decimals.map(|d| d.to_string())),
        ("wish", counter.wish.map(|w| w.text().to_owned())),
        ("round-by", counter.round_by.map(|r| r.text().to_owned())),
        ("tax-included", counter.tax_included.then(|| "1".to_owned())),
    ];
    for (key, code) in chosen {
        if let Some(code) = code {
            put(["c0.", key].concat(), code);
        }
    }
    for (key, entry) in [
        ("tax", &counter.tax),
        ("round-to", &counter.round_to),
        ("hours", &counter.hours),
        ("labour", &counter.labour),
    ] {
        if *entry != blank.tax && *entry != blank.labour {
            put(["c0.", key].concat(), entry_text(entry));
        }
    }
    for (i, charge) in counter.charges.iter().enumerate() {
        let per = charge.per.map_or("", Per::text).to_owned();
        put(place("c", i, "charge-per"), per);
        put(place("c", i, "charge-name"), charge.name.clone());
        put(place("c", i, "charge-amount"), entry_text(&charge.amount));
    }
    for (i, row) in model.shelf.iter().enumerate() {
        write_packs(fields, "s", i, &row.packs);
    }
    for (i, lp) in model.loops.iter().enumerate() {
        write_packs(fields, "l", i, &lp.bottles);
    }
}

fn write_packs(fields: &mut Vec<(String, String)>, head: &str, i: usize, packs: &[PackRow]) {
    for (j, pack) in packs.iter().enumerate() {
        let key = |of: &str| place(head, i, &place("p", j, of));
        fields.push((key("size"), entry_text(&pack.size)));
        fields.push((key("price"), entry_text(&pack.price)));
    }
}

/// Puts one of those lines back. `None`: it means nothing; `Some(false)`: it is none of the counter's.
pub fn restore(model: &mut Model, key: &str, value: &str) -> Option<bool> {
    let (head, rest) = key.split_once('.')?;
    let index: usize = head.get(1..)?.parse().ok()?;
    let packs = match head.as_bytes().first()? {
        b'c' => return restore_counter(&mut model.counter, index, rest, value).map(|()| true),
        b's' => &mut model.shelf.get_mut(index)?.packs,
        b'l' => &mut model.loops.get_mut(index)?.bottles,
        _ => return Some(false),
    };
    let Some((row, of)) = rest.strip_prefix('p').and_then(|r| r.split_once('.')) else {
        return Some(false);
    };
    let Ok(row) = row.parse::<usize>() else {
        return Some(false);
    };
    if row == packs.len() {
        packs.push(PackRow::blank(Measure::Volume, System::Metric));
    }
    let pack = packs.get_mut(row)?;
    match of {
        "size" => pack.size = entry_of(Measure::Volume, value)?,
        "price" => pack.price = entry_of(Measure::Number, value)?,
        _ => return None,
    }
    Some(true)
}

fn restore_counter(counter: &mut Counter, index: usize, key: &str, value: &str) -> Option<()> {
    let number = || entry_of(Measure::Number, value);
    match key {
        "date" => value.clone_into(&mut counter.date),
        "words" => value.clone_into(&mut counter.words),
        "currency" => value.clone_into(&mut counter.currency),
        "decimals" => counter.decimals = value.parse().ok(),
        "wish" => counter.wish = Some(named(Wish::ALL, Wish::text, value)?),
        "round-by" => counter.round_by = Some(named(RoundBy::ALL, RoundBy::text, value)?),
        "tax-included" => counter.tax_included = true,
        "tax" => counter.tax = entry_of(Measure::Percent, value)?,
        "round-to" => counter.round_to = number()?,
        "hours" => counter.hours = number()?,
        "labour" => counter.labour = number()?,
        "charge-per" => {
            let per = named(Per::ALL, Per::text, value);
            if index != counter.charges.len() {
                return None;
            }
            counter.charges.push(ChargeRow {
                name: String::new(),
                amount: Entry::blank(Unit::None),
                per,
            });
        }
        "charge-name" => value.clone_into(&mut counter.charges.get_mut(index)?.name),
        "charge-amount" => counter.charges.get_mut(index)?.amount = number()?,
        key => {
            let place = PAPERS.iter().position(|paper| *paper == key)?;
            value.clone_into(&mut counter.papers[place]);
        }
    }
    Some(())
}

fn named<T: Copy>(all: &[T], text: fn(T) -> &'static str, value: &str) -> Option<T> {
    all.iter().copied().find(|t| text(*t) == value)
}
