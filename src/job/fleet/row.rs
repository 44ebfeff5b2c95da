//! A row of a fleet table as a loop.
//!
//! What a row does not say comes from the job's first loop, but never what is a loop's own: how much it holds, what is
//! in it, its tank, its cap, what it was dosed with before.

use super::{
    cell::{Reader, temperature_unit, unit_name},
    column::{Column, Headings},
};
use crate::job::{
    file::{
        Additive, Aim, Family, GlycolName, Kind, Limits, Loop, Missing, Now, Quantity, Rate, Share,
        Side, SizedVolume, Tank,
    },
    record::Field,
    units::{TemperatureUnit, VolumeUnit},
};

/// Below the coldest it must survive, K, where a row says no more (common practice, no source).
const SPARE_K: f64 = 5.0;

/// What every row's loop begins with: the pattern without what is a loop's own.
pub fn pattern(first: Option<&Loop>) -> Loop {
    let Some(first) = first else {
        return Loop::blank();
    };
    let additive = first.additive.clone().map(|additive| Additive {
        already: None,
        // Of what is sold, more can be bought.
        have: additive.have.filter(|_| additive.packs.is_empty()),
        ..additive
    });
    Loop {
        glycol: first.glycol,
        aim: first.aim,
        limits: first.limits,
        drains: first.drains,
        renew: first.renew,
        fill_temperature: first.fill_temperature,
        peak_temperature: first.peak_temperature,
        running_temperature: first.running_temperature,
        coldest: first.coldest,
        coldest_margin: first.coldest_margin,
        cap_low: first.cap_low,
        altitude: first.altitude,
        measure_step: first.measure_step,
        dose_step: first.dose_step,
        // A level measured in one loop says nothing of another.
        additive: additive.filter(|a| !is_measured(a)),
        ..Loop::blank()
    }
}

/// Does the additive's rate or limit go by what was measured in the loop?
pub fn is_measured(additive: &Additive) -> bool {
    let by_reading = |rate: Rate| matches!(rate, Rate::Reading { .. });
    by_reading(additive.rate) || additive.limit.is_some_and(by_reading)
}

/// The loop of a row; what is wrong with it is noted in the reader.
pub fn read(cells: &mut Reader, headings: &Headings, pattern: &Loop, has_pattern: bool) -> Loop {
    let mut lp = pattern.clone();
    lp.name = name(cells);
    lp.kind = cells.named(Column::Kind, Kind::ALL, Kind::text);
    lp.family = cells.named(Column::Family, Family::ALL, Family::text);
    match cells.named(Column::Glycol, GlycolName::ALL, GlycolName::text) {
        Some(glycol) => lp.glycol = glycol,
        None if cells.text(Column::Glycol).is_empty()
            && (headings.has(Column::Glycol) || !has_pattern) =>
        {
            cells.note(
                Column::Glycol,
                &["is blank; expected ethylene or propylene"],
            );
        }
        None => {}
    }
    volume(cells, &mut lp);
    now(cells, &mut lp);
    aim(cells, &mut lp, has_pattern);
    limits(cells, &mut lp);
    around(cells, &mut lp);
    additive(cells, &mut lp);
    lp
}

/// Vehicle and loop, as far as they are given.
fn name(cells: &Reader) -> String {
    let (vehicle, own) = (cells.text(Column::Vehicle), cells.text(Column::Loop));
    match (vehicle.is_empty(), own.is_empty()) {
        (false, false) => [vehicle, ", ", own].concat(),
        _ => [vehicle, own].concat(),
    }
}

fn volume(cells: &mut Reader, lp: &mut Loop) {
    if cells.text(Column::Volume).is_empty() {
        cells.note(
            Column::Volume,
            &["is blank; expected what the loop holds at the mark"],
        );
    }
    if let Some(q) = cells.volume(Column::Volume) {
        lp.volume = SizedVolume {
            value: q.value,
            unit: q.unit,
            plus_minus: cells.half_width(Column::VolumePlusMinus, q.unit.text()),
            ..SizedVolume::blank()
        };
    }
    lp.missing = cells.volume(Column::Missing).map(|q| Missing {
        plus_minus: cells.half_width(Column::MissingPlusMinus, q.unit.text()),
        ..q.into()
    });
}

fn now(cells: &mut Reader, lp: &mut Loop) {
    let text = cells.text(Column::Now);
    match &*unit_name(text) {
        "" => cells.note(
            Column::Now,
            &["is blank; expected a reading such as 42 % or -21 degC, or water, flushed, empty, unknown"],
        ),
        "water" => lp.now = Now::Water {},
        "empty" => lp.now = Now::Empty {},
        "unknown" | "?" => lp.now = Now::Unknown {},
        "flushed" => match cells.volume(Column::LeftBehind) {
            Some(left_behind) => {
                lp.now = Now::Flushed {
                    left_behind,
                    percent: 0.0,
                };
            }
            None if cells.text(Column::LeftBehind).is_empty() => cells.note(
                Column::LeftBehind,
                &["is blank; expected what did not come out at the flush"],
            ),
            None => {}
        },
        _ => reading(cells, lp),
    }
}

fn reading(cells: &mut Reader, lp: &mut Loop) {
    let Some((value, unit)) = cells.number(Column::Now) else {
        return;
    };
    let name = unit_name(unit);
    let plus_minus = cells.half_width(Column::NowPlusMinus, unit);
    if name == "%" {
        lp.now = Now::Percent { value, plus_minus };
        return;
    }
    if let Some(unit) = temperature_unit(&name) {
        let side = cells.named(Column::Side, Side::ALL, Side::text);
        lp.now = Now::FreezingPoint {
            value,
            unit,
            plus_minus,
            side,
        };
        return;
    }
    let by: fn(f64, Quantity<TemperatureUnit>, Option<f64>) -> Now = match &*name {
        "sg" => |value, at, plus_minus| Now::SpecificGravity {
            value,
            at,
            plus_minus,
        },
        "nd" => |value, at, plus_minus| Now::RefractiveIndex {
            value,
            at,
            plus_minus,
        },
        "bx" | "°bx" | "brix" | "\u{fffd}bx" => |value, at, plus_minus| Now::Brix {
            value,
            at,
            plus_minus,
        },
        _ => {
            cells.no_unit(Column::Now, unit, "%, degC, SG, nD or Bx");
            return;
        }
    };
    match cells.temperature(Column::Sample) {
        Some(at) => lp.now = by(value, at, plus_minus),
        None if cells.text(Column::Sample).is_empty() => cells.note(
            Column::Sample,
            &[
                "is blank; expected the temperature of the sample for a reading in ",
                unit,
            ],
        ),
        None => {}
    }
}

fn aim(cells: &mut Reader, lp: &mut Loop, has_pattern: bool) {
    if cells.text(Column::Aim).is_empty() {
        match cells.temperature(Column::Coldest) {
            // What it must survive says what it should be.
            Some(Quantity { value, unit }) if !has_pattern => {
                let spare = match unit {
                    TemperatureUnit::DegC => SPARE_K,
                    TemperatureUnit::DegF => SPARE_K * 1.8,
                };
                lp.aim = Aim::FreezingPoint {
                    value: value - spare,
                    unit,
                };
            }
            None if !has_pattern && cells.text(Column::Coldest).is_empty() => cells.note(
                Column::Aim,
                &["is blank; expected such as 50 % or -30 degC, or a temperature under coldest"],
            ),
            _ => {}
        }
    } else if let Some((value, unit)) = cells.number(Column::Aim) {
        let name = unit_name(unit);
        if let Some(unit) = temperature_unit(&name) {
            lp.aim = Aim::FreezingPoint { value, unit };
        } else if name == "%" {
            // The tolerance is the job's, whatever a row aims at.
            let within = match lp.aim {
                Aim::Percent { within, .. } => within,
                Aim::FreezingPoint { .. } => None,
            };
            lp.aim = Aim::Percent { value, within };
        } else {
            cells.no_unit(Column::Aim, unit, "% or degC");
        }
    }
    if let (Some(points), Aim::Percent { within, .. }) =
        (cells.percent(Column::Within), &mut lp.aim)
    {
        *within = Some(points);
    }
}

fn limits(cells: &mut Reader, lp: &mut Loop) {
    let (low, high) = (cells.percent(Column::Low), cells.percent(Column::High));
    if low.is_some() || high.is_some() {
        let usual = lp.limits.unwrap_or(Limits {
            low: 40.0,
            high: 60.0,
        });
        lp.limits = Some(Limits {
            low: low.unwrap_or(usual.low),
            high: high.unwrap_or(usual.high),
        });
    }
}

fn around(cells: &mut Reader, lp: &mut Loop) {
    lp.draw_limit = cells.volume(Column::DrawLimit);
    if let Some(fraction) = cells.share(Column::Drains) {
        lp.drains = Some(Share { fraction });
    }
    lp.tank = cells.named(Column::Tank, Tank::ALL, Tank::text);
    lp.tank_room = cells.volume(Column::TankRoom);
    lp.cap = cells.pressure(Column::Cap);
    lp.altitude = cells.length(Column::Altitude).or(lp.altitude);
    lp.coldest = cells.temperature(Column::Coldest).or(lp.coldest);
    let fill = cells.temperature(Column::FillTemperature);
    lp.fill_temperature = fill.or(lp.fill_temperature);
    let peak = cells.temperature(Column::PeakTemperature);
    lp.peak_temperature = peak.or(lp.peak_temperature);
    lp.measure_step = cells.volume(Column::MeasureStep).or(lp.measure_step);
    lp.dose_step = cells.volume(Column::DoseStep).or(lp.dose_step);
}

fn additive(cells: &mut Reader, lp: &mut Loop) {
    match &*unit_name(cells.text(Column::Additive)) {
        "" | "yes" => {}
        "no" | "none" => lp.additive = None,
        _ => {
            let text = cells.text(Column::Additive);
            cells.note(
                Column::Additive,
                &["\"", text, "\" is not known; expected yes or no"],
            );
        }
    }
    let already: Option<Quantity<VolumeUnit>> = cells.volume(Column::Already);
    match &mut lp.additive {
        Some(additive) => additive.already = already,
        None if unit_name(cells.text(Column::Additive)) == "yes" => cells.note(
            Column::Additive,
            &["is yes, but the job's first loop says no additive and its label"],
        ),
        None => {}
    }
}
