//! From a job file to the page. Nothing is lost: what the page has no field for is kept beside the fields.

use super::{
    after,
    choice::{
        AboveMark, AimBy, Brings, CapAge, CapKind, Carrier, DoseBy, DrainBy, EarlierDose, LimitBy,
        Purpose, RateBy, ReadingBy, System, TankBy, TestOf,
    },
    counter,
    draft::{self, DOSE_STEP_ML, STEP_ML},
    field::{Entry, Field, Measure, Unit},
    model::{DoneRow, LoopModel, Model, StockRow},
    take::call,
    water::WaterModel,
};
use crate::engine::margin;
use crate::job::{
    file::{Aim, CapFor, GlycolName, Job, Kind, Loop, Now, Quantity, Rate, Stock, Supplement},
    units::VolumeUnit,
};

/// A job file as it stands on the page. Units are those of the first loop's volume.
pub fn model(job: &Job) -> Model {
    let system = job
        .loops
        .first()
        .map_or(System::Metric, |lp| system_of(lp.volume.unit));
    let first = job
        .loops
        .first()
        .map_or(GlycolName::Ethylene, |lp| lp.glycol);
    let mut loops: Vec<LoopModel> = job
        .loops
        .iter()
        .zip(1..)
        .map(|(lp, id)| one_loop(lp, id, system))
        .collect();
    if loops.is_empty() {
        loops.push(LoopModel::empty(1, system));
    }
    Model {
        title: job.title.clone(),
        system,
        selected: 0,
        shelf: job
            .shelf
            .iter()
            .map(|stock| row(stock, first, system))
            .collect(),
        water: WaterModel::of(job.water),
        loops,
        counter: counter::import(job),
        survey: after::file::import_survey(job.survey.as_ref(), system),
        kept: Job {
            shelf: Vec::new(),
            loops: Vec::new(),
            survey: None,
            date: None,
            notes: None,
            papers: None,
            money: None,
            ..job.clone()
        },
    }
}

fn system_of(unit: VolumeUnit) -> System {
    [System::Us, System::Imperial]
        .into_iter()
        .find(|s| s.has_volume(unit))
        .unwrap_or(System::Metric)
}

fn row(stock: &Stock, glycol: GlycolName, system: System) -> StockRow {
    StockRow {
        on: true,
        added: false,
        name: stock.name.clone(),
        percent: Entry::of(stock.percent, Unit::Percent),
        spread: stock
            .plus_minus
            .map_or(Entry::blank(Unit::Points), |p| Entry::of(p, Unit::Points)),
        glycol: stock.glycol.unwrap_or(glycol),
        family: stock.family,
        brings: Brings::of(stock.supplement),
        level: match stock.supplement {
            Some(Supplement::Level { value, unit, .. }) => Entry::of(value, Unit::Level(unit)),
            _ => Entry::blank(Measure::Level.unit(system)),
        },
        have: volume_or_blank(stock.have, system),
        packs: counter::import_packs(&stock.packs),
        kept: Stock {
            packs: Vec::new(),
            ..stock.clone()
        },
    }
}

fn volume_or_blank(q: Option<Quantity<VolumeUnit>>, system: System) -> Entry {
    q.map_or(Entry::blank(Measure::Volume.unit(system)), |q| {
        Entry::of(q.value, Unit::Volume(q.unit))
    })
}

/// One loop of a job file.
pub(super) fn one_loop(lp: &Loop, id: u32, system: System) -> LoopModel {
    let mut out = LoopModel {
        name: lp.name.clone(),
        kind: lp.kind.unwrap_or(Kind::Engine),
        glycol: lp.glycol,
        family: lp.family,
        tank: TankBy::of(lp.tank),
        ..LoopModel::empty(id, system)
    };
    let mut kept = lp.clone();
    kept.done.clear();
    kept.levels.clear();
    if let Some(additive) = &mut kept.additive {
        out.bottles = counter::import_packs(&additive.packs);
        (additive.have, additive.packs) = (None, Vec::new());
    }
    out.kept = kept.into();
    let volume = Unit::Volume(lp.volume.unit);
    out.entries.mean_in(Field::Volume, volume);
    choose(lp, &mut out);
    let mut entries = out.entries.clone();
    entries.fill(&mut lp.clone(), |field| call(&out, field));
    // The usual step is left blank on a metric page: its own usual step serves, and the file's word is kept.
    let steps = [
        (Field::MeasureStep, lp.measure_step, STEP_ML),
        (Field::DoseStep, lp.dose_step, DOSE_STEP_ML),
    ];
    for (field, step, value) in steps {
        let usual = Quantity {
            value,
            unit: VolumeUnit::Ml,
        };
        let step = step.unwrap_or(usual);
        if step != usual || system != System::Metric {
            entries.set(field, step.value, Unit::Volume(step.unit));
        } else {
            *entries.get_mut(field) = Entry::blank(Measure::SmallVolume.unit(system));
        }
    }
    out.entries = entries;
    out.done = lp
        .done
        .iter()
        .map(|done| {
            let mut row = DoneRow::new(done.id.clone(), system);
            // What a later step stands for was not measured.
            let measured = done.amount.filter(|_| done.assumed.is_none());
            row.amount = volume_or_blank(measured, system);
            if let Some(q) = done.at {
                row.at = Entry::of(q.value, Unit::Temperature(q.unit));
            }
            row.kept = done.clone();
            row
        })
        .collect();
    after::file::import_loop(lp, &mut out, system);
    out
}

/// The choices a file's form amounts to.
fn choose(lp: &Loop, out: &mut LoopModel) {
    out.reading = match lp.now {
        Now::Percent { .. } => ReadingBy::Percent,
        Now::FreezingPoint { side, .. } => {
            out.side = side;
            ReadingBy::Frost
        }
        Now::SpecificGravity { .. } => ReadingBy::Gravity,
        Now::RefractiveIndex { .. } => ReadingBy::Index,
        Now::Brix { .. } => ReadingBy::Brix,
        Now::Water {} => ReadingBy::Water,
        Now::Flushed { .. } => ReadingBy::Flushed,
        Now::Empty {} => ReadingBy::Empty,
        Now::Unknown {} => ReadingBy::Unknown,
    };
    out.aim = match lp.aim {
        Aim::Percent { .. } => AimBy::Percent,
        Aim::FreezingPoint { value, unit } => {
            let night = lp.coldest.is_some_and(|c| {
                let frost = draft::frost_for(c.value, c.unit, lp.coldest_margin);
                c.unit == unit && frost.total_cmp(&value).is_eq()
            });
            if night { AimBy::Night } else { AimBy::Frost }
        }
    };
    // A file that says nothing puts no limit on a draw: all of it comes out.
    out.drain = match lp.drains {
        _ if lp.draw_limit.is_some() => DrainBy::Volume,
        None => DrainBy::Dry,
        Some(share) => [DrainBy::Tap, DrainBy::TapAndBlock, DrainBy::Dry]
            .into_iter()
            .find(|d| d.share() == Some(share.fraction))
            .unwrap_or(DrainBy::Share),
    };
    out.cap_age = match lp.cap_low {
        None => CapAge::Unknown,
        Some(share) if share.fraction == margin::CAP_NEW => CapAge::New,
        Some(_) => CapAge::Own,
    };
    out.cap_kind = match lp.other_cap_for {
        None => CapKind::Unstated,
        Some(CapFor::Radiator) => CapKind::Radiator,
        Some(CapFor::PressureTank) => CapKind::PressureTank,
    };
    let Some(additive) = &lp.additive else {
        return;
    };
    out.dose = if additive.only {
        DoseBy::Only
    } else {
        DoseBy::Some
    };
    out.additive_name.clone_from(&additive.name);
    out.rate = rate_by(&additive.rate);
    out.limit = match (additive.limit, additive.rate) {
        (None, _) => LimitBy::None,
        (
            Some(Rate::Reading {
                now, raises, of, ..
            }),
            Rate::Reading {
                now: measured,
                raises: rises,
                of: what,
                ..
            },
        ) if now == measured && raises == rises && of == what => LimitBy::Level,
        (
            Some(Rate::Bottle {
                treats_from: None,
                whole_down_to: None,
                ..
            }),
            _,
        ) => LimitBy::Bottle,
        (Some(limit), _) => match rate_by(&limit) {
            RateBy::Ratio => LimitBy::Ratio,
            RateBy::Percent => LimitBy::Percent,
            RateBy::OneIn => LimitBy::OneIn,
            RateBy::OneTo => LimitBy::OneTo,
            RateBy::Bottle | RateBy::Level | RateBy::Kept => LimitBy::Kept,
        },
    };
    out.purpose = Purpose::of((additive.kind, additive.for_organic_acid));
    if let Rate::Reading { of, .. } = additive.rate {
        out.test_of = TestOf::of(of);
    }
    out.carrier = additive.carrier.unwrap_or(Carrier::Water);
    out.above_mark = if additive.above_mark {
        AboveMark::Yes
    } else {
        AboveMark::No
    };
    out.earlier = match additive.already {
        None => EarlierDose::Unknown,
        Some(q) if q.value == 0.0 => {
            out.entries.mean_in(Field::Already, Unit::Volume(q.unit));
            EarlierDose::None
        }
        Some(_) => EarlierDose::Amount,
    };
}

const fn rate_by(rate: &Rate) -> RateBy {
    match rate {
        Rate::Ratio { .. } => RateBy::Ratio,
        Rate::Percent { .. } => RateBy::Percent,
        Rate::Parts {
            one_in: Some(_),
            one_to: None,
        } => RateBy::OneIn,
        Rate::Parts {
            one_in: None,
            one_to: Some(_),
        } => RateBy::OneTo,
        Rate::Parts { .. } => RateBy::Kept,
        Rate::Bottle { .. } => RateBy::Bottle,
        Rate::Reading { .. } => RateBy::Level,
    }
}
