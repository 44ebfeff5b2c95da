//! From what a file says to what the engine takes: every value looked at once, in the order of the file.
//!
//! A checked loop exists only after all its checks; the first value that fails is named by its key's path.

use super::{
    file::{self, Aim, GlycolName, Job, Kind, Loop, Now, Quantity, Rate, Side},
    limits::{self, Limit},
    message::Refusal,
    units::{LengthUnit, LevelUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};
use crate::engine::{
    dose::{Dosing, LabelRate},
    fluid::Glycol,
    margin::{CAP_OLD, FREEZE_ROOM_K, HIGHEST, Surroundings, Tank},
    mix::{Blend, Charge},
    plan::{DrawLimit, PlanError, Target, Task, Usable},
    property,
    quantity::{
        GaugePressure, LabelFraction, Measured, ThermodynamicTemperature, Volume, in_litres,
        kelvins, litres,
    },
    reading::{self, Reading},
};

/// A refusal and the path of its key.
pub type Refused = (String, Refusal);

/// A stock, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Its name.
    pub name: String,
    /// Its glycol; `None`: water.
    pub glycol: Option<Glycol>,
    /// Its strength.
    pub strength: LabelFraction,
    /// What there is of it.
    pub have: Option<Volume>,
    /// Inhibitor family.
    pub family: Option<file::Family>,
    /// Price of a litre in the cheapest pack.
    pub price: Option<f64>,
}

/// A loop, checked: a task for the planner, and what surrounds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// For the planner.
    pub task: Task,
    /// For the margins.
    pub around: Surroundings,
    /// Nobody knows what is in it.
    pub unknown: bool,
    /// Emptied, or drained before the card begins.
    pub refill: bool,
    /// Battery or fuel cell: no plan.
    pub low_conductivity: bool,
    /// The aim is above what any plan is made for.
    pub above_highest: bool,
    /// The strength a mild frost would need, where the loop's lowest was planned instead.
    pub raised_from: Option<LabelFraction>,
}

/// The shelf, checked.
///
/// # Errors
/// The first value that fails.
pub fn shelf(job: &Job) -> Result<Vec<Stock>, Refused> {
    let mut list: Vec<Stock> = Vec::new();
    for (i, stock) in job.shelf.iter().enumerate() {
        let at = At(format!("shelf[{i}]"));
        if stock.name.trim().is_empty() {
            return Err(at.refuse("name", Refusal::NameMissing));
        }
        if list.iter().any(|s| s.name == stock.name) {
            return Err(at.refuse(
                "name",
                Refusal::NameTaken {
                    stock: stock.name.clone(),
                },
            ));
        }
        let strength = at.percent("percent", stock.percent)?;
        if stock.glycol.is_none() && stock.percent > 0.0 {
            return Err(at.refuse(
                "glycol",
                Refusal::GlycolMissing {
                    stock: stock.name.clone(),
                },
            ));
        }
        let have = stock
            .have
            .map(|q| at.volume("have", q, &limits::HAVE))
            .transpose()?;
        list.push(Stock {
            name: stock.name.clone(),
            glycol: stock
                .glycol
                .map(Glycol::from)
                .filter(|_| stock.percent > 0.0),
            strength,
            have,
            family: stock.family,
            price: price(&at, &stock.packs)?,
        });
    }
    Ok(list)
}

fn price(at: &At, packs: &[file::Pack]) -> Result<Option<f64>, Refused> {
    let mut best: Option<f64> = None;
    for (i, pack) in packs.iter().enumerate() {
        let size = at.volume(&format!("packs[{i}].size"), pack.size, &limits::BOTTLE)?;
        let price = at.within(
            &format!("packs[{i}].price"),
            pack.price,
            pack.price.to_string(),
            &limits::PRICE,
        )?;
        let per_litre = price / in_litres(size);
        best = Some(best.map_or(per_litre, |b| b.min(per_litre)));
    }
    Ok(best)
}

/// Loop number `i` of the job, checked against the shelf.
///
/// # Errors
/// The first value that fails.
pub fn checked(job: &Job, i: usize, shelf: &[Stock]) -> Result<Checked, Refused> {
    let lp = &job.loops[i];
    let at = At(format!("loops[{i}]"));
    let glycol = Glycol::from(lp.glycol);
    let blend = Blend::of(glycol);
    let volume = sized(&at, lp)?;
    let contents = contents(&at, lp, glycol, volume)?;
    let around = surroundings(&at, lp)?;
    let (target, needed) = target(&at, lp, glycol)?;
    let draw_limit = DrawLimit {
        volume: lp
            .draw_limit
            .map(|q| at.volume("draw_limit", q, &limits::DRAW_LIMIT))
            .transpose()?,
        share: share(&at, "drains.fraction", lp.drains, &limits::DRAINS)?,
    };
    let renew = share(&at, "renew.fraction", lp.renew, &limits::RENEW)?.unwrap_or(0.0);
    let step = lp.measure_step.map_or(Ok(litres(0.05)), |q| {
        at.volume("measure_step", q, &limits::MEASURE_STEP)
    })?;
    let dosing = dosing(&at, lp, contents.empty)?;
    let strength = if contents.unknown {
        target.aim
    } else {
        contents.strength
    };
    let before_additive = dosing
        .and_then(|d| d.before(contents.held))
        .unwrap_or(litres(0.0));
    let before = Charge::standing(&blend, contents.held, strength, before_additive);
    let limited = draw_limit.volume.is_some_and(|v| v < contents.held)
        || draw_limit.share.is_some_and(|s| s < 1.0);
    let renew = match (contents.unknown, limited) {
        (true, false) => 1.0,
        (true, true) => renew.max(0.9),
        (false, _) => renew,
    };
    let task = Task {
        blend,
        volume,
        before,
        now: before,
        plus_minus: contents.plus_minus,
        drained: contents.drained,
        target,
        draw_limit,
        renew,
        shelf: usable(shelf, glycol),
        dosing,
        step,
        drawn_since_run: litres(0.0),
        drawn_so_far: litres(0.0),
        rounds_so_far: 0,
        unmixed: false,
        unchecked: false,
    };
    Ok(Checked {
        task,
        around,
        unknown: contents.unknown,
        refill: contents.drained || contents.unknown,
        low_conductivity: matches!(lp.kind, Some(Kind::Battery | Kind::FuelCell)),
        above_highest: target.aim.fraction() > HIGHEST + 1e-9,
        raised_from: needed.filter(|n| *n < target.aim),
    })
}

/// The stocks this loop can take, strongest first: its own glycol, and water.
fn usable(shelf: &[Stock], glycol: Glycol) -> Vec<Usable> {
    let mut list: Vec<Usable> = shelf
        .iter()
        .enumerate()
        .filter(|(_, s)| s.glycol.is_none_or(|g| g == glycol))
        .map(|(stock, s)| Usable {
            stock,
            strength: s.strength,
            have: s.have,
            price: s.price,
        })
        .collect();
    list.sort_by(|a, b| b.strength.fraction().total_cmp(&a.strength.fraction()));
    list
}

/// What a loop holds, and how that is known.
struct Contents {
    held: Volume,
    strength: LabelFraction,
    plus_minus: f64,
    drained: bool,
    empty: bool,
    unknown: bool,
}

fn sized(at: &At, lp: &Loop) -> Result<Measured<Volume>, Refused> {
    let value = at.volume(
        "volume",
        Quantity {
            value: lp.volume.value,
            unit: lp.volume.unit,
        },
        &limits::VOLUME,
    )?;
    let spread = match lp.volume.plus_minus {
        None => 0.05,
        Some(p) => at.within(
            "volume.plus_minus",
            p / lp.volume.value,
            format!("{p} {}", lp.volume.unit.text()),
            &limits::VOLUME_SPREAD,
        )?,
    };
    Ok(Measured {
        value,
        plus_minus: value * spread,
    })
}

fn contents(
    at: &At,
    lp: &Loop,
    glycol: Glycol,
    volume: Measured<Volume>,
) -> Result<Contents, Refused> {
    let missing = lp.missing.map_or(Ok(litres(0.0)), |q| {
        at.volume("missing", q, &limits::MISSING)
    })?;
    if missing > volume.value {
        return Err(at.refuse(
            "missing",
            too_much("what is missing", missing, volume.value),
        ));
    }
    let standing = Contents {
        held: volume.value - missing,
        strength: LabelFraction::WATER,
        plus_minus: 0.0,
        drained: false,
        empty: false,
        unknown: false,
    };
    match lp.now {
        Now::Water {} => Ok(standing),
        Now::Unknown {} => Ok(Contents {
            plus_minus: 0.5,
            unknown: true,
            ..standing
        }),
        Now::Empty {} => Ok(Contents {
            held: litres(0.0),
            drained: true,
            empty: true,
            ..standing
        }),
        Now::Flushed {
            left_behind,
            percent,
        } => {
            let held = at.volume("now.left_behind", left_behind, &limits::LEFT_BEHIND)?;
            if held > volume.value {
                return Err(at.refuse(
                    "now.left_behind",
                    too_much("what was left behind", held, volume.value),
                ));
            }
            let strength = at.percent("now.percent", percent)?;
            let plus_minus = if percent > 0.0 { 0.02 } else { 0.0 };
            Ok(Contents {
                held,
                strength,
                plus_minus,
                drained: true,
                ..standing
            })
        }
        _ => {
            let found = reading::composition(glycol, &instrument(at, lp)?)
                .map_err(|e| at.refuse("now", Refusal::Reading(e)))?;
            Ok(Contents {
                strength: found.value,
                plus_minus: found.plus_minus,
                ..standing
            })
        }
    }
}

fn too_much(what: &'static str, value: Volume, volume: Volume) -> Refusal {
    Refusal::MoreThanVolume {
        what,
        value: in_litres(value),
        volume: in_litres(volume),
    }
}

/// The reading as the engine takes it.
fn instrument(at: &At, lp: &Loop) -> Result<Reading, Refused> {
    Ok(match lp.now {
        Now::Percent { value, plus_minus } => {
            let strength = at.percent("now.value", value)?;
            let plus_minus = plus_minus
                .map(|p| at.within("now.plus_minus", p, format!("{p}"), &limits::PERCENT_SPREAD))
                .transpose()?
                .map(|p| p / 100.0);
            Reading::Percent {
                strength,
                plus_minus,
            }
        }
        Now::FreezingPoint {
            value,
            unit,
            plus_minus,
            side,
        } => Reading::FreezingPoint {
            temperature: unit.of(value),
            plus_minus: plus_minus.map(|p| kelvins(p.abs() * degree(unit))),
            side: side.map(|s| match s {
                Side::Thin => reading::Side::Thin,
                Side::Thick => reading::Side::Thick,
            }),
        },
        Now::SpecificGravity {
            value,
            at: t,
            plus_minus,
        } => Reading::SpecificGravity {
            value,
            temperature: t.unit.of(t.value),
            plus_minus,
        },
        Now::RefractiveIndex {
            value,
            at: t,
            plus_minus,
        } => Reading::RefractiveIndex {
            value,
            temperature: t.unit.of(t.value),
            plus_minus,
        },
        Now::Brix {
            value,
            at: t,
            plus_minus,
        } => Reading::Brix {
            value,
            temperature: t.unit.of(t.value),
            plus_minus,
        },
        Now::Water {} | Now::Flushed { .. } | Now::Empty {} | Now::Unknown {} => Reading::Percent {
            strength: LabelFraction::WATER,
            plus_minus: Some(0.0),
        },
    })
}

/// K in one degree of a scale.
fn degree(unit: TemperatureUnit) -> f64 {
    match unit {
        TemperatureUnit::DegC => 1.0,
        TemperatureUnit::DegF => 1.0 / 1.8,
    }
}

fn target(at: &At, lp: &Loop, glycol: Glycol) -> Result<(Target, Option<LabelFraction>), Refused> {
    let mut needed = None;
    let (low, high) = match lp.limits {
        None => (0.40, 0.60),
        Some(l) => {
            let low = at.percent("limits.low", l.low)?.fraction();
            let high = at.percent("limits.high", l.high)?.fraction();
            if low >= high {
                return Err(at.refuse(
                    "limits",
                    Refusal::LimitsCrossed {
                        low: l.low,
                        high: l.high,
                    },
                ));
            }
            (low, high)
        }
    };
    let outside = |aim: f64| {
        at.refuse(
            "aim",
            Refusal::Plan(PlanError::AimOutsideLimits { aim, low, high }),
        )
    };
    let target = match lp.aim {
        Aim::Percent { value, within } => {
            let aim = at.percent("aim.value", value)?;
            let within = within.map_or(Ok(1.0), |w| {
                at.within("aim.within", w, format!("{w}"), &limits::WITHIN)
            })? / 100.0;
            let phi = aim.fraction();
            Target {
                aim,
                low: phi - within,
                high: phi + within,
                at_least: false,
            }
        }
        Aim::FreezingPoint { value, unit } => {
            let typed = Quantity { value, unit };
            let frost = at.temperature("aim.value", typed, &limits::FROST_AIM)?;
            let least = property::strength_for_freezing(glycol, frost)
                .map_err(|e| at.refuse("aim", Refusal::FrostOutOfReach(e)))?;
            needed = Some(least);
            // A mild frost needs less than the loop's lowest strength: the lowest serves.
            let aim = LabelFraction::clamped(least.fraction().max(low));
            Target {
                aim,
                low: aim.fraction(),
                high,
                at_least: true,
            }
        }
    };
    let phi = target.aim.fraction();
    if phi < low - 1e-9 || phi > high + 1e-9 {
        return Err(outside(phi));
    }
    Ok((target, needed))
}

fn surroundings(at: &At, lp: &Loop) -> Result<Surroundings, Refused> {
    let default = Surroundings::default();
    let temperature = |key, q: Option<Quantity<TemperatureUnit>>, limit| {
        q.map(|q| at.temperature(key, q, limit)).transpose()
    };
    let cap = |key, q: Option<Quantity<PressureUnit>>| q.map(|q| at.cap(key, q)).transpose();
    Ok(Surroundings {
        tank: lp.tank.map(Tank::from),
        tank_room: lp
            .tank_room
            .map(|q| at.volume("tank_room", q, &limits::TANK_ROOM))
            .transpose()?,
        fill: temperature(
            "fill_temperature",
            lp.fill_temperature,
            &limits::FILL_TEMPERATURE,
        )?
        .unwrap_or(default.fill),
        peak: temperature(
            "peak_temperature",
            lp.peak_temperature,
            &limits::PEAK_TEMPERATURE,
        )?,
        running: temperature(
            "running_temperature",
            lp.running_temperature,
            &limits::RUNNING_TEMPERATURE,
        )?
        .unwrap_or(default.running),
        coldest: temperature("coldest", lp.coldest, &limits::COLDEST)?,
        coldest_margin: match lp.coldest_margin {
            None => kelvins(FREEZE_ROOM_K),
            Some(q) => {
                let k = q.unit.of(q.value).value;
                kelvins(at.within(
                    "coldest_margin",
                    k,
                    format!("{} {}", q.value, q.unit.text()),
                    &limits::COLDEST_MARGIN,
                )?)
            }
        },
        cap: cap("cap", lp.cap)?,
        cap_low: share(at, "cap_low.fraction", lp.cap_low, &limits::CAP_LOW)?.unwrap_or(CAP_OLD),
        other_cap: cap("other_cap", lp.other_cap)?,
        altitude: match lp.altitude {
            None => default.altitude,
            Some(q) => at.altitude("altitude", q)?,
        },
    })
}

fn dosing(at: &At, lp: &Loop, empty: bool) -> Result<Option<Dosing>, Refused> {
    let Some(additive) = &lp.additive else {
        return Ok(None);
    };
    let volume = |key: &str, q: Option<Quantity<VolumeUnit>>| {
        q.map(|q| at.volume(&format!("additive.{key}"), q, &limits::HAVE))
            .transpose()
    };
    price(&At(format!("{}.additive", at.0)), &additive.packs)?;
    let already = volume("already", additive.already)?;
    Ok(Some(Dosing {
        rate: rate(at, "additive.rate", &additive.rate)?,
        limit: additive
            .limit
            .as_ref()
            .map(|r| rate(at, "additive.limit", r))
            .transpose()?,
        already: if empty {
            Some(already.unwrap_or(litres(0.0)))
        } else {
            already
        },
        have: volume("have", additive.have)?,
        step: lp.dose_step.map_or(Ok(litres(0.005)), |q| {
            at.volume("dose_step", q, &limits::DOSE_STEP)
        })?,
    }))
}

fn rate(at: &At, key: &str, rate: &Rate) -> Result<LabelRate, Refused> {
    let share = |share: f64, typed: String| {
        at.within(key, share, typed, &limits::RATE)
            .map(LabelRate::Share)
    };
    match *rate {
        Rate::Ratio { value, unit } => {
            share(value * unit.fraction(), format!("{value} {}", unit.text()))
        }
        Rate::Percent { value } => share(value / 100.0, format!("{value} %")),
        Rate::Parts { one_in, one_to } => {
            let parts = |n: f64| at.within(key, n, format!("{n}"), &limits::PARTS);
            match (one_in, one_to) {
                (Some(n), None) => Ok(LabelRate::Share(1.0 / parts(n)?)),
                (None, Some(n)) => Ok(LabelRate::Share(1.0 / (parts(n)? + 1.0))),
                _ => Err(at.refuse(key, Refusal::PartsUnclear)),
            }
        }
        Rate::Bottle {
            size,
            treats_from,
            treats_to,
        } => {
            let size = at.volume(&format!("{key}.size"), size, &limits::BOTTLE)?;
            let to = at.volume(&format!("{key}.treats_to"), treats_to, &limits::TREATS)?;
            let from = treats_from
                .map(|q| at.volume(&format!("{key}.treats_from"), q, &limits::TREATS))
                .transpose()?;
            if from.is_some_and(|from| from > to) {
                return Err(at.refuse(key, Refusal::TreatsCrossed));
            }
            share(
                in_litres(size) / in_litres(to),
                format!("{} L in {} L", in_litres(size), in_litres(to)),
            )?;
            Ok(LabelRate::Bottle { size, from, to })
        }
        Rate::Reading { now, aim, raises } => {
            if now.unit != aim.unit || now.unit != raises.unit {
                return Err(at.refuse(key, Refusal::LevelUnitsDiffer));
            }
            let level = |name: &str, q: Quantity<LevelUnit>, limit| {
                at.within(
                    &format!("{key}.{name}"),
                    q.value,
                    format!("{} {}", q.value, q.unit.text()),
                    limit,
                )
            };
            let (now, aim) = (
                level("now", now, &limits::LEVEL)?,
                level("aim", aim, &limits::LEVEL)?,
            );
            let raises_per_ml = level("raises", raises, &limits::RAISES)?;
            // One unit raises a US gallon by one unit: so many mL as a gallon has litres, over what 1 mL/L raises.
            let unit = (raises.unit == LevelUnit::UnitsPerUsGal)
                .then(|| litres(VolumeUnit::UsGal.litres() / raises_per_ml / 1000.0));
            share(
                aim / (raises_per_ml * 1000.0),
                format!("{aim} {}", raises.unit.text()),
            )?;
            Ok(LabelRate::Level {
                now,
                aim,
                raises: raises_per_ml * 1000.0,
                unit,
            })
        }
    }
}

fn share(
    at: &At,
    key: &str,
    share: Option<file::Share>,
    limit: &Limit,
) -> Result<Option<f64>, Refused> {
    share
        .map(|s| at.within(key, s.fraction, s.fraction.to_string(), limit))
        .transpose()
}

/// Where in the file a value stands.
struct At(String);

impl At {
    fn refuse(&self, key: &str, refusal: Refusal) -> Refused {
        (format!("{}.{key}", self.0), refusal)
    }

    fn within(&self, key: &str, value: f64, typed: String, limit: &Limit) -> Result<f64, Refused> {
        if limit.admits(value) {
            Ok(value.clamp(limit.low, limit.high))
        } else {
            Err(self.refuse(
                key,
                Refusal::OutOfRange {
                    limit: *limit,
                    typed,
                },
            ))
        }
    }

    fn percent(&self, key: &str, value: f64) -> Result<LabelFraction, Refused> {
        let percent = self.within(key, value, format!("{value} %"), &limits::PERCENT)?;
        Ok(LabelFraction::clamped(percent / 100.0))
    }

    fn volume(&self, key: &str, q: Quantity<VolumeUnit>, limit: &Limit) -> Result<Volume, Refused> {
        self.within(
            key,
            in_litres(q.unit.of(q.value)),
            format!("{} {}", q.value, q.unit.text()),
            limit,
        )
        .map(litres)
    }

    fn temperature(
        &self,
        key: &str,
        q: Quantity<TemperatureUnit>,
        limit: &Limit,
    ) -> Result<ThermodynamicTemperature, Refused> {
        self.within(
            key,
            q.unit.to_celsius(q.value),
            format!("{} {}", q.value, q.unit.text()),
            limit,
        )
        .map(crate::engine::quantity::celsius)
    }

    fn cap(&self, key: &str, q: Quantity<PressureUnit>) -> Result<GaugePressure, Refused> {
        let kpa = q.value * q.unit.kilopascals();
        self.within(
            key,
            kpa,
            format!("{} {}", q.value, q.unit.text()),
            &limits::CAP,
        )
        .map(|kpa| GaugePressure(crate::engine::quantity::kilopascals(kpa)))
    }

    fn altitude(
        &self,
        key: &str,
        q: Quantity<LengthUnit>,
    ) -> Result<crate::engine::quantity::Length, Refused> {
        let m = q.value * q.unit.metres();
        self.within(
            key,
            m,
            format!("{} {}", q.value, q.unit.text()),
            &limits::ALTITUDE,
        )
        .map(crate::engine::quantity::metres)
    }
}

impl From<GlycolName> for Glycol {
    fn from(name: GlycolName) -> Self {
        match name {
            GlycolName::Ethylene => Self::Ethylene,
            GlycolName::Propylene => Self::Propylene,
        }
    }
}

impl From<file::Tank> for Tank {
    fn from(tank: file::Tank) -> Self {
        match tank {
            file::Tank::Pressurised => Self::Pressurised,
            file::Tank::RecoveryBottle => Self::RecoveryBottle,
            file::Tank::BareRadiator => Self::BareRadiator,
        }
    }
}
