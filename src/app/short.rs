//! What would do it where there is no plan: how much more of one product, tried out by answering the job with it.

use super::{
    choice::System,
    draft::draft,
    field::{Entry, Unit},
    model::Model,
};
use crate::job::{self, answer::Answer, units::VolumeUnit};

/// So much more of a row of the shelf, and there is a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Short {
    /// Its place on the shelf, on it or only offered.
    pub row: usize,
    /// More than there is, a multiple of what a jug of the page's units shows.
    pub litres: f64,
}

/// The least that does it of any one product; `None` where no amount of one does.
pub fn short(model: &Model, place: usize) -> Option<Short> {
    let step = match model.system {
        System::Metric => 0.05,
        System::Us => 4.0 * VolumeUnit::UsFlOz.litres(),
        System::Imperial => 4.0 * VolumeUnit::ImpFlOz.litres(),
    };
    let mut best: Option<Short> = None;
    for (row, stock) in model.shelf.iter().enumerate() {
        let there = match (stock.on, stock.have.value()) {
            (true, Ok(None)) if stock.packs.is_empty() => continue, // enough of it did not do
            (true, Ok(have)) => {
                let litres = Unit::Volume(VolumeUnit::L);
                have.and_then(|have| stock.have.typed_in.to(litres, have))
                    .unwrap_or(0.0)
            }
            _ => 0.0,
        };
        let Some(used) = used(model, place, row, None) else {
            continue;
        };
        let more = ((used - there) / step - 1e-6).ceil().max(1.0) * step;
        let less = best.is_none_or(|best| more < best.litres);
        if less && used_within(model, place, row, there + more) {
            best = Some(Short { row, litres: more });
        }
    }
    best
}

fn used_within(model: &Model, place: usize, row: usize, litres: f64) -> bool {
    used(model, place, row, Some(litres)).is_some()
}

/// What all loops use of a row, were there so much of it, or enough; `None` where the loop still has no plan.
fn used(model: &Model, place: usize, row: usize, there: Option<f64>) -> Option<f64> {
    let mut model = model.clone();
    let litres = Unit::Volume(VolumeUnit::L);
    let stock = &mut model.shelf[row];
    stock.on = true;
    stock.packs.clear();
    stock.have = there.map_or_else(|| Entry::blank(litres), |l| Entry::of(l, litres));
    if stock.kept.glycol.is_none() && !stock.is_water() {
        stock.glycol = model.loops[place].glycol;
    }
    let name = model.shelf[row].name.clone();
    let drafted = draft(&model);
    let index = drafted.places.iter().position(|&p| p == place)?;
    let Answer { error, loops, .. } = job::answer(&super::counter::without(&drafted.job));
    let own = loops.get(index)?;
    if error.is_some() || own.error.is_some() || own.way.is_none() {
        return None;
    }
    let all = loops.iter().flat_map(|lp| &lp.used.0);
    Some(all.filter(|(used, _)| *used == name).map(|(_, l)| l).sum())
}
