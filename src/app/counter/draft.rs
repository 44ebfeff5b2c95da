//! The counter's numbers taken out of its fields. A row that is not whole is left out, and noted.

use super::{Owner, PackRow, Place};
use crate::app::{
    choice::DoseBy,
    draft::{Draft, Problem, Trouble},
    field::{Entry, Unit},
    model::{Model, Spot},
    take::as_volume,
};
use crate::job::file::{Charge, Job, Labour, Money, Pack, Rounding, Tax};

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
    made.job.money = Some(take.money(model)).filter(|money| *money != Money::default());
    made.counter = take.problems;
    for lp in &model.loops {
        let mut take = Take {
            problems: Vec::new(),
        };
        if lp.dose == DoseBy::Some {
            take.packs(Owner::Additive, &lp.bottles);
            take.number(Place::AdditiveHave, &lp.bottles_have);
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
            let have = take.number(Place::AdditiveHave, &row.bottles_have);
            additive.have = have.and_then(as_volume);
        }
    }
}

/// Is anything of the counter broken or half filled in, in any loop?
pub fn half_typed(made: &Draft) -> bool {
    !made.counter.is_empty() || made.bottles.iter().any(|list| !list.is_empty())
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
