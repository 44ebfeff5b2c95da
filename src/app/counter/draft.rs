//! The counter's numbers taken out of its fields. A row that is not whole is left out, and noted.

use super::{Owner, PackRow, Place};
use crate::app::{
    choice::DoseBy,
    draft::{Draft, Problem, Trouble},
    field::{Entry, Unit},
    model::{Model, Spot},
    take::as_volume,
};
use crate::job::file::{Charge, Job, Labour, Money, Pack, Papers, Rounding, Tax};

/// Puts packs and money into a draft, and what is wrong with them beside it.
pub fn fill_in(model: &Model, made: &mut Draft) {
    let mut take = Take {
        problems: Vec::new(),
    };
    let rows = model.shelf.iter().enumerate().filter(|(_, row)| row.on);
    for ((i, row), stock) in rows.zip(&mut made.job.shelf) {
        stock.packs = take.packs(Owner::Stock(i), &row.packs);
    }
    let counter = &model.counter;
    let words = |text: &String| (!text.trim().is_empty()).then(|| text.clone());
    made.job.date = words(&counter.date);
    made.job.notes = words(&counter.words);
    let mut file = Papers::default();
    for (to, typed) in super::papers(&mut file).into_iter().zip(&counter.papers) {
        typed.trim().clone_into(to);
    }
    made.job.papers = Some(file).filter(|file| *file != Papers::default());
    made.job.money = Some(take.money(model)).filter(|money| *money != Money::default());
    made.counter = take.problems;
    for lp in &model.loops {
        let mut take = Take {
            problems: Vec::new(),
        };
        if lp.dose != DoseBy::None {
            take.packs(Owner::Additive, &lp.bottles);
        }
        made.bottles.push(take.problems);
    }
    bottles(model, &made.places, &mut made.job);
}

/// Each additive's bottles, where it is dosed.
fn bottles(model: &Model, places: &[usize], job: &mut Job) {
    for (lp, &place) in job.loops.iter_mut().zip(places) {
        let row = &model.loops[place];
        if let Some(additive) = &mut lp.additive {
            let mut take = Take {
                problems: Vec::new(),
            };
            additive.packs = take.packs(Owner::Additive, &row.bottles);
        }
    }
}

/// Is anything of the counter broken or half filled in, in any loop?
pub fn half_typed(made: &Draft) -> bool {
    !made.counter.is_empty() || made.bottles.iter().any(|list| !list.is_empty())
}

/// Is a key of a job file about packs or money?
pub fn is_about(key: &str) -> bool {
    key.starts_with("money") || key.contains("packs")
}

/// The job without packs and money.
pub fn without(job: &Job) -> Job {
    let mut job = job.clone();
    job.money = None;
    job.shelf.iter_mut().for_each(|stock| stock.packs.clear());
    for lp in &mut job.loops {
        lp.additive.iter_mut().for_each(|a| a.packs.clear());
    }
    job
}

/// The place a key of a job file is about; of an additive: of the loop in sight, whose loop it may not be.
pub fn spot_of(key: &str, model: &Model) -> Option<Place> {
    let number = |text: &str, before: &str| -> Option<usize> {
        let rest = &text[text.find(before)? + before.len()..];
        rest.split(']').next()?.parse().ok()
    };
    if key.starts_with("money") {
        return Some(match key.strip_prefix("money.")? {
            "tax.percent" => Place::Tax,
            "rounding.to" => Place::RoundTo,
            "labour.hours" => Place::Hours,
            "labour.rate" => Place::Labour,
            "decimals" => Place::Currency,
            charge => Place::ChargeAmount(number(charge, "charges[").unwrap_or(0)),
        });
    }
    let (owner, packs) = if let Some(index) = number(key, "shelf[") {
        let mut on = model.shelf.iter().enumerate().filter(|(_, row)| row.on);
        let (i, row) = on.nth(index)?;
        (Owner::Stock(i), &row.packs)
    } else {
        (Owner::Additive, &model.current().bottles)
    };
    // Blank rows are not in the file.
    let said = |(_, p): &(usize, &PackRow)| !p.size.is_blank() || !p.price.is_blank();
    let mut rows = packs.iter().enumerate().filter(said);
    let row = rows.nth(number(key, "packs[").unwrap_or(0))?.0;
    Some(if key.ends_with("size") {
        Place::PackSize(owner, row)
    } else {
        Place::PackPrice(owner, row)
    })
}

struct Take {
    problems: Vec<Problem>,
}

impl Take {
    fn note(&mut self, place: Place, trouble: Trouble) {
        self.problems.push(Problem {
            spot: Spot::Counter(place),
            trouble,
        });
    }

    fn number(&mut self, place: Place, entry: &Entry) -> Option<(f64, Unit)> {
        match entry.value() {
            Ok(value) => value.map(|v| (v, entry.typed_in)),
            Err(e) => {
                self.note(place, Trouble::Number(e));
                None
            }
        }
    }

    fn plain(&mut self, place: Place, entry: &Entry) -> Option<f64> {
        self.number(place, entry).map(|(value, _)| value)
    }

    fn needed(&mut self, place: Place, entry: &Entry) -> Option<(f64, Unit)> {
        if entry.is_blank() {
            self.note(place, Trouble::Needed);
        }
        self.number(place, entry)
    }

    fn packs(&mut self, owner: Owner, rows: &[PackRow]) -> Vec<Pack> {
        let mut list = Vec::new();
        for (i, row) in rows.iter().enumerate() {
            if row.size.is_blank() && row.price.is_blank() {
                continue;
            }
            let size = self.needed(Place::PackSize(owner, i), &row.size);
            let price = self.needed(Place::PackPrice(owner, i), &row.price);
            if let (Some(size), Some((price, _))) = (size.and_then(as_volume), price) {
                list.push(Pack { size, price });
            }
        }
        list
    }

    fn money(&mut self, model: &Model) -> Money {
        let counter = &model.counter;
        let tax = self.plain(Place::Tax, &counter.tax);
        let to = self.plain(Place::RoundTo, &counter.round_to);
        let hours = self.plain(Place::Hours, &counter.hours);
        let rate = if counter.hours.is_blank() {
            self.plain(Place::Labour, &counter.labour)
        } else {
            self.needed(Place::Labour, &counter.labour).map(|(v, _)| v)
        };
        let mut charges = Vec::new();
        for (i, row) in counter.charges.iter().enumerate() {
            if row.name.trim().is_empty() && row.amount.is_blank() {
                continue;
            }
            if let Some((amount, _)) = self.needed(Place::ChargeAmount(i), &row.amount) {
                charges.push(Charge {
                    name: row.name.clone(),
                    amount,
                    per: row.per,
                });
            }
        }
        Money {
            currency: counter.currency.clone(),
            decimals: counter.decimals,
            wish: counter.wish,
            tax: tax.map(|percent| Tax {
                percent,
                included: counter.tax_included,
            }),
            rounding: to.map(|to| Rounding {
                to,
                by: counter.round_by,
            }),
            charges,
            labour: rate.map(|rate| Labour { hours, rate }),
        }
    }
}
