//! The chemistry of what a loop comes to hold: which families it is of, and what its supplement has to do with it.
//!
//! A family's share is its share of the product (concentrate) in the loop: the inhibitors came with that, and water that
//! was poured brought none. Extended-life coolants are those with organic acids.
//! Never done here: planning; dosing.

use super::{
    answer::{Do, Level, Step},
    check::{self, Checked, Stock},
    doses,
    file::{Family, Loop, Rate, Supplement},
};
use crate::engine::{
    caution::Caution,
    mix::Charge,
    plan::{Plan, Task},
    quantity::{Volume, in_litres, litres},
};

/// The share of another chemistry that an extended-life coolant usually takes: common practice.
const USUAL_FOREIGN: f64 = 0.25;

/// A share too small to speak of.
const TRACE: f64 = 0.01;

/// What is found.
#[derive(Debug, Default)]
pub(super) struct Chemistry {
    /// The share of the product that is foreign to the loop's family; `None`: not known.
    pub foreign: Option<f64>,
    /// What to say of it.
    pub cautions: Vec<Caution>,
}

const fn is_organic(family: Family) -> bool {
    matches!(family, Family::Oat | Family::Hoat | Family::Noat)
}

/// The loop once all of this went.
pub(super) fn of(
    checked: &Checked,
    lp: &Loop,
    shelf: &[Stock],
    so_far: &[Step],
    steps: &[Step],
) -> Chemistry {
    let mut found = Chemistry::default();
    let poured = poured(shelf, so_far.iter().chain(steps));
    let shares = shares(checked, lp, shelf, so_far.iter().chain(steps));
    let total: f64 = shares.iter().map(|s| s.1).sum();
    let share = |family: Family| {
        let own = shares.iter().filter(|s| s.0 == Some(family));
        own.map(|s| s.1).sum::<f64>() / total
    };
    let known: f64 = Family::ALL.iter().map(|f| share(*f)).sum();
    let kept = lp
        .family
        .filter(|f| is_organic(*f) && in_litres(checked.task.before.concentrate) > 0.0);
    let largest = Family::ALL
        .iter()
        .copied()
        .max_by(|a, b| share(*a).total_cmp(&share(*b)));
    if let Some(family) = kept.or(largest).filter(|_| known > 1.0 - TRACE) {
        let foreign = (1.0 - share(family)).max(0.0);
        let limit = lp.foreign_limit.map_or(USUAL_FOREIGN, |s| s.fraction);
        found.foreign = Some(foreign);
        if is_organic(family) && foreign > limit + 1e-9 {
            found.cautions.push(Caution::ForeignChemistry {
                percent: foreign * 100.0,
                limit: limit * 100.0,
            });
        }
    }
    let additive = lp.additive.as_ref();
    let supplements = checked.task.dosing.is_some_and(|d| d.supplement);
    let dosed = doses::dosed(so_far) + doses::dosed(steps) > 0.0;
    let asked_for = additive.is_some_and(|a| a.for_organic_acid == Some(true));
    let organic = Family::ALL.iter().filter(|f| is_organic(**f));
    if supplements && dosed && !asked_for && organic.map(|f| share(*f)).sum::<f64>() > TRACE {
        found.cautions.push(Caution::SupplementIntoOrganicAcid);
    }
    for stock in poured {
        match shelf[stock].supplement {
            None if supplements && dosed && shelf[stock].glycol.is_some() => {
                found.cautions.push(Caution::SupplementUnsaid { stock });
            }
            Some(Supplement::None {}) if !supplements => {
                found.cautions.push(Caution::FirstCharge { stock });
            }
            _ => {}
        }
    }
    found
}

/// Places of the stocks that are poured, each once.
fn poured<'a>(shelf: &[Stock], steps: impl Iterator<Item = &'a Step>) -> Vec<usize> {
    let mut list = Vec::new();
    for step in steps {
        let place = shelf
            .iter()
            .position(|s| Some(&s.name) == step.stock.as_ref());
        list.extend(place.filter(|p| !list.contains(p)));
    }
    list
}

/// Litres of product of each family, or of none that is known.
fn shares<'a>(
    checked: &Checked,
    lp: &Loop,
    shelf: &[Stock],
    steps: impl Iterator<Item = &'a Step>,
) -> Vec<(Option<Family>, f64)> {
    let blend = &checked.task.blend;
    let mut charge: Charge = checked.task.before;
    let product = |charge: &Charge| in_litres(charge.concentrate);
    let mut list = vec![(lp.family, product(&charge))];
    for step in steps {
        let amount: Volume = litres(step.litres.unwrap_or(0.0));
        match step.what {
            Do::Draw => {
                let next = charge.drawn(amount, charge.volume(blend));
                let stays = product(&next) / product(&charge).max(f64::MIN_POSITIVE);
                list.iter_mut().for_each(|share| share.1 *= stays);
                charge = next;
            }
            Do::Dose => charge = charge.dosed(amount),
            Do::Pour => {
                let stock = shelf.iter().find(|s| Some(&s.name) == step.stock.as_ref());
                if let Some(stock) = stock {
                    let next = charge.poured(blend, amount, stock.strength);
                    list.push((stock.family, product(&next) - product(&charge)));
                    charge = next;
                }
            }
            Do::Run | Do::Check => {}
        }
    }
    list
}

/// What the supplement's test shows before and should show after, in its own unit.
pub(super) fn level(checked: &Checked, lp: &Loop, plan: &Plan) -> Option<Level> {
    let additive = lp.additive.as_ref()?;
    let Rate::Reading { now, raises, .. } = additive.rate else {
        return None;
    };
    let (glycol, strength) = (checked.task.blend.glycol(), plan.after.strength());
    let one = check::per_litre(raises.unit, glycol, strength);
    let limit = match additive.limit {
        Some(Rate::Reading { aim, .. }) if aim.unit == raises.unit => Some(aim.value),
        _ => None,
    };
    Some(Level {
        before: now.value,
        after: plan.after.levels.nominal / one,
        limit,
        unit: raises.unit.text(),
    })
}

/// Does a stock of glycol not say what it brings of a supplement that is to be dosed?
pub(super) fn unsaid(task: &Task, shelf: &[Stock]) -> bool {
    let is_unsaid = |stock: &Stock| stock.glycol.is_some() && stock.supplement.is_none();
    task.dosing.is_some_and(|d| d.supplement)
        && task.shelf.iter().any(|u| is_unsaid(&shelf[u.stock]))
}
