//! A loop's numbers taken out of its fields: the form its choices call for, then what stands in it, then the rules
//! between fields.

use super::{
    after,
    choice::{
        AboveMark, AimBy, CapAge, CapKind, Carrier, DoseBy, DrainBy, EarlierDose, LimitBy, Purpose,
        RateBy, ReadingBy, System, TankBy,
    },
    draft::{DOSE_STEP_FL_OZ, LIMITS, Problem, STEP_FL_OZ, Trouble, frost_for},
    field::{Field, Unit},
    form::{Call, InUnit},
    model::{LoopModel, Spot},
};
use crate::engine::margin;
use crate::job::{
    file::{
        Additive, AdditiveKind, Aim, CapFor, CoolantTest, Done, Kind, Limits, Loop, Missing, Now,
        Overflow, Quantity, Rate, Share,
    },
    record::Field as _,
    units::{RatioUnit, TemperatureUnit, VolumeUnit},
};

/// The loop that can be made of what stands on the page, and what is wrong with it.
pub fn one_loop(lp: &LoopModel, system: System) -> (Loop, Vec<Problem>) {
    let mut out = shape(lp);
    let mut problems = Vec::new();
    let note = |field, trouble| {
        problems.push(Problem {
            spot: Spot::Loop(field),
            trouble,
        })
    };
    lp.entries.take(&mut out, |field| call(lp, field), note);
    rules(lp, system, &mut out);
    out.done = done(lp, &mut problems);
    after::file::take_loop(lp, &mut out);
    (out, problems)
}

/// What the choices ask of a field whose place they leave there.
pub fn call(lp: &LoopModel, field: Field) -> Call {
    let asked = match field {
        Field::Percent
        | Field::PercentSpread
        | Field::Frost
        | Field::FrostSpread
        | Field::Gravity
        | Field::GravitySpread
        | Field::Index
        | Field::IndexSpread
        | Field::Brix
        | Field::BrixSpread
        | Field::SampleAt
        | Field::LeftBehind
        | Field::LeftPercent
        | Field::AimPercent
        | Field::Within
        | Field::AimFrost
            if lp.dose == DoseBy::Only =>
        {
            false
        }
        Field::Coldest if lp.dose == DoseBy::Only => true,
        Field::Coldest if lp.aim == AimBy::Night => return Call::Must,
        Field::AimFrost => lp.aim == AimBy::Frost,
        Field::DrainShare => lp.drain == DrainBy::Share,
        Field::CapShare => lp.cap_age == CapAge::Own,
        Field::Already => lp.earlier == EarlierDose::Amount,
        Field::Bottle => lp.tank == TankBy::RecoveryBottle,
        Field::LimitLevel => lp.limit == LimitBy::Level,
        Field::LimitBottle | Field::LimitTreats => lp.limit == LimitBy::Bottle,
        // A label that says from how much on needs no rule for it.
        Field::WholeDownTo => lp.entries.get(Field::TreatsFrom).is_blank(),
        _ => true,
    };
    if asked { Call::May } else { Call::Not }
}

/// A loop of the form chosen, with nothing typed into it yet.
pub fn shape(lp: &LoopModel) -> Loop {
    let mut out = (*lp.kept).clone();
    out.name.clone_from(&lp.name);
    out.kind = (lp.kind != Kind::Engine || lp.kept.kind.is_some()).then_some(lp.kind);
    out.glycol = lp.glycol;
    out.family = lp.family;
    out.tank = lp.tank.tank();
    // What a file says of a bottle behind no tank that has one counts for nothing, and stays.
    if lp.tank == TankBy::RecoveryBottle {
        out.bottle.get_or_insert(Overflow::blank());
    }
    // Of an additive alone what the file says of both stays, and counts for nothing.
    if lp.dose != DoseBy::Only {
        out.now = now(lp);
        out.aim = match lp.aim {
            AimBy::Percent => Aim::blank(),
            AimBy::Frost | AimBy::Night => Aim::FreezingPoint {
                value: 0.0,
                unit: TemperatureUnit::DegC,
            },
        };
    }
    out.missing.get_or_insert(Missing::blank());
    out.limits.get_or_insert(Limits {
        low: LIMITS.0,
        high: LIMITS.1,
    });
    // A file may state both; the share has no field beside the volume, and stays.
    out.draw_limit = (lp.drain == DrainBy::Volume).then_some(NOTHING);
    if lp.drain != DrainBy::Volume {
        out.drains = Some(
            lp.drain
                .share()
                .map_or(out.drains.unwrap_or(Share::blank()), of),
        );
    }
    out.cap_low = match lp.cap_age {
        CapAge::Unknown => None,
        CapAge::New => Some(of(margin::CAP_NEW)),
        CapAge::Own => out.cap_low.or(Some(Share::blank())),
    };
    out.other_cap_for = match lp.cap_kind {
        CapKind::Unstated => None,
        CapKind::Radiator => Some(CapFor::Radiator),
        CapKind::PressureTank => Some(CapFor::PressureTank),
    };
    out.coolant_test.get_or_insert(CoolantTest::blank());
    let kept = out.additive.take();
    let was = |a: &Additive| (a.kind, a.for_organic_acid);
    let (kind, for_organic_acid) = purpose(lp.purpose, kept.as_ref().map_or((None, None), was));
    // Water goes without saying, unless the file said it.
    let said = kept.as_ref().and_then(|a| a.carrier);
    let said = said.filter(|c| *c == Carrier::Water);
    out.additive = (lp.dose != DoseBy::None).then(|| Additive {
        only: lp.dose == DoseBy::Only,
        name: lp.additive_name.clone(),
        rate: match lp.rate {
            RateBy::Kept => kept.as_ref().map_or(Rate::blank(), |a| a.rate),
            by => rate(by),
        },
        limit: match lp.limit {
            _ if label_sets_limit(lp) => None,
            LimitBy::None => None,
            LimitBy::Kept => kept.and_then(|a| a.limit),
            LimitBy::Ratio => Some(rate(RateBy::Ratio)),
            LimitBy::Percent => Some(rate(RateBy::Percent)),
            LimitBy::OneIn => Some(rate(RateBy::OneIn)),
            LimitBy::OneTo => Some(rate(RateBy::OneTo)),
            LimitBy::Level => Some(rate(RateBy::Level)),
            LimitBy::Bottle => Some(rate(RateBy::Bottle)),
        },
        already: (lp.earlier != EarlierDose::Unknown).then_some(NOTHING),
        kind,
        for_organic_acid,
        carrier: match lp.carrier {
            Carrier::Water => said,
            carrier => Some(carrier),
        },
        above_mark: lp.above_mark == AboveMark::Yes,
        // The packs are the counter's business.
        ..Additive::blank()
    });
    out
}

/// What an additive is for, as the file says it; what the file said is left as it was.
fn purpose(
    purpose: Purpose,
    was: (Option<AdditiveKind>, Option<bool>),
) -> (Option<AdditiveKind>, Option<bool>) {
    if Purpose::of(was) == purpose {
        return was;
    }
    match purpose {
        Purpose::Unsaid => (None, None),
        Purpose::Supplement => (Some(AdditiveKind::Supplement), None),
        Purpose::ForOrganicAcid => (Some(AdditiveKind::Supplement), Some(true)),
        Purpose::Other => (Some(AdditiveKind::Other), None),
    }
}

/// A bottle that treats from so much on may go into no less: the label's limit is said.
pub fn label_sets_limit(lp: &LoopModel) -> bool {
    lp.rate == RateBy::Bottle && !lp.entries.get(Field::TreatsFrom).is_blank()
}

const NOTHING: Quantity<VolumeUnit> = Quantity {
    value: 0.0,
    unit: VolumeUnit::L,
};

const fn of(fraction: f64) -> Share {
    Share { fraction }
}

fn now(lp: &LoopModel) -> Now {
    let (value, plus_minus, at) = (
        0.0,
        None,
        Quantity {
            value: 0.0,
            unit: TemperatureUnit::DegC,
        },
    );
    match lp.reading {
        ReadingBy::Percent => Now::Percent { value, plus_minus },
        ReadingBy::Frost => Now::FreezingPoint {
            value,
            unit: at.unit,
            plus_minus,
            side: lp.side,
        },
        ReadingBy::Gravity => Now::SpecificGravity {
            value,
            at,
            plus_minus,
        },
        ReadingBy::Index => Now::RefractiveIndex {
            value,
            at,
            plus_minus,
        },
        ReadingBy::Brix => Now::Brix {
            value,
            at,
            plus_minus,
        },
        ReadingBy::Water => Now::Water {},
        ReadingBy::Flushed => Now::Flushed {
            left_behind: NOTHING,
            percent: value,
        },
        ReadingBy::Empty => Now::Empty {},
        ReadingBy::Unknown => Now::Unknown {},
    }
}

fn rate(by: RateBy) -> Rate {
    let level = Quantity::blank();
    match by {
        RateBy::Ratio => Rate::Ratio {
            value: 0.0,
            unit: RatioUnit::ML_PER_L,
        },
        RateBy::Percent | RateBy::Kept => Rate::blank(),
        RateBy::OneIn => Rate::Parts {
            one_in: Some(0.0),
            one_to: None,
        },
        RateBy::OneTo => Rate::Parts {
            one_in: None,
            one_to: Some(0.0),
        },
        RateBy::Bottle => Rate::Bottle {
            size: NOTHING,
            treats_from: None,
            treats_to: NOTHING,
            whole_down_to: None,
        },
        RateBy::Level => Rate::Reading {
            now: level,
            aim: level,
            raises: level,
            of: None,
        },
    }
}

/// What one field says of another.
fn rules(lp: &LoopModel, system: System, out: &mut Loop) {
    let was = lp.kept.volume;
    let per = was.unit.litres() / out.volume.unit.litres();
    out.volume.was = was.was.map(|v| v * per);
    if lp.aim == AimBy::Night && lp.dose != DoseBy::Only {
        let Quantity { value, unit } = out.coldest.unwrap_or(Quantity::blank());
        out.aim = Aim::FreezingPoint {
            value: frost_for(value, unit, out.coldest_margin),
            unit,
        };
    }
    // Standing at the mark by eye may be more or less sure, too.
    let spread = lp.entries.get(Field::MissingSpread);
    if out.missing.is_none()
        && let Ok(Some(value)) = spread.value()
        && let Some(Quantity { value, unit }) = as_volume((value, spread.typed_in))
    {
        out.missing = Some(Missing {
            value: 0.0,
            unit,
            plus_minus: Some(value),
        });
    }
    let blank = |field| lp.entries.get(field).is_blank();
    if blank(Field::Low) && blank(Field::High) {
        out.limits = None;
    }
    // A blank step is the file's own, or what such a page's jugs are marked in.
    let usual = |kept, value| match system {
        System::Metric => kept,
        System::Us => Some(Quantity {
            value,
            unit: VolumeUnit::UsFlOz,
        }),
        System::Imperial => Some(Quantity {
            value,
            unit: VolumeUnit::ImpFlOz,
        }),
    };
    if blank(Field::MeasureStep) {
        out.measure_step = usual(lp.kept.measure_step, STEP_FL_OZ);
    }
    if blank(Field::DoseStep) {
        out.dose_step = usual(lp.kept.dose_step, DOSE_STEP_FL_OZ);
    }
    if out.coolant_test == Some(CoolantTest::blank()) {
        out.coolant_test = None;
    }
    let Some(additive) = &mut out.additive else {
        return;
    };
    if let Rate::Reading { of, .. } = &mut additive.rate {
        *of = lp.test_of.substance();
    }
    if lp.earlier == EarlierDose::None
        && let Some(already) = &mut additive.already
    {
        already.unit.put(lp.entries.get(Field::Already).typed_in);
    }
    // A limit by level is by the same test.
    if lp.limit == LimitBy::Level
        && let Rate::Reading {
            now: measured,
            raises: rises,
            of: what,
            ..
        } = additive.rate
        && let Some(Rate::Reading {
            now, raises, of, ..
        }) = &mut additive.limit
    {
        (*now, *raises, *of) = (measured, rises, what);
    }
}

fn done(lp: &LoopModel, problems: &mut Vec<Problem>) -> Vec<Done> {
    let mut list = Vec::new();
    for row in &lp.done {
        let amount = match row.amount.value() {
            // A bare tick: as the card said then.
            Ok(None) => row.kept.amount,
            Ok(Some(v)) => as_volume((v, row.amount.typed_in)),
            Err(e) => {
                let spot = Spot::Happened(row.id.clone());
                problems.push(Problem {
                    spot,
                    trouble: Trouble::Number(e),
                });
                None
            }
        };
        let at = match row.at.value() {
            Ok(value) => value.and_then(|v| as_temperature((v, row.at.typed_in))),
            Err(e) => {
                let spot = Spot::HappenedAt(row.id.clone());
                problems.push(Problem {
                    spot,
                    trouble: Trouble::Number(e),
                });
                None
            }
        };
        list.push(Done {
            id: row.id.clone(),
            amount,
            at,
            ..row.kept.clone()
        });
    }
    list
}

/// A number and its unit, as a volume.
pub fn as_volume((value, unit): (f64, Unit)) -> Option<Quantity<VolumeUnit>> {
    match unit {
        Unit::Volume(unit) => Some(Quantity { value, unit }),
        _ => None,
    }
}

fn as_temperature((value, unit): (f64, Unit)) -> Option<Quantity<TemperatureUnit>> {
    match unit {
        Unit::Temperature(unit) => Some(Quantity { value, unit }),
        _ => None,
    }
}
