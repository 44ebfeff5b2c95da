//! From a job file to the page. Nothing is lost: what the page has no field for is kept beside the fields.

use super::{
    after,
    choice::{
        AimBy, CapAge, DoseBy, DrainBy, EarlierDose, LimitBy, RateBy, ReadingBy, System, TankBy,
    },
    counter,
    draft::{self, DOSE_STEP_ML, STEP_ML},
    field::{Entries, Entry, Field, Measure, Unit},
    model::{DoneRow, LoopModel, Model, StockRow},
    water::WaterModel,
};
use crate::engine::margin;
use crate::job::{
    file::{Additive, Aim, GlycolName, Job, Kind, Loop, Now, Quantity, Rate, Share, Stock},
    units::{IntervalUnit, LevelUnit, TemperatureUnit, VolumeUnit},
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
        glycol: stock.glycol.unwrap_or(glycol),
        family: stock.family,
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
    let mut fill = Fill {
        entries: Entries::blank(system),
    };
    let volume = Unit::Volume(lp.volume.unit);
    fill.entries.show_in(Field::Volume, volume);
    fill.number(Field::Volume, Some(lp.volume.value), volume);
    fill.number(Field::VolumeSpread, lp.volume.plus_minus, volume);
    fill.volume(Field::Missing, lp.missing);
    fill.temperature(Field::Coldest, lp.coldest);
    if let Some(q) = lp.coldest_margin {
        fill.number(Field::Spare, Some(q.value), Unit::Interval(q.unit));
    }
    (out.reading, out.side) = fill.now(lp.now);
    out.aim = fill.aim(lp);
    fill.number(Field::Low, lp.limits.map(|l| l.low), Unit::Percent);
    fill.number(Field::High, lp.limits.map(|l| l.high), Unit::Percent);
    out.drain = fill.drain(lp);
    fill.share(Field::Renew, lp.renew);
    fill.volume(Field::TankRoom, lp.tank_room);
    fill.temperature(Field::FillTemperature, lp.fill_temperature);
    fill.temperature(Field::Peak, lp.peak_temperature);
    fill.temperature(Field::Running, lp.running_temperature);
    for (field, q) in [(Field::Cap, lp.cap), (Field::OtherCap, lp.other_cap)] {
        if let Some(q) = q {
            fill.number(field, Some(q.value), Unit::Pressure(q.unit));
        }
    }
    out.cap_age = fill.cap_age(lp);
    if let Some(q) = lp.altitude {
        fill.number(Field::Altitude, Some(q.value), Unit::Length(q.unit));
    }
    fill.step(Field::MeasureStep, lp.measure_step, STEP_ML, system);
    fill.step(Field::DoseStep, lp.dose_step, DOSE_STEP_ML, system);
    if let Some(additive) = &lp.additive {
        out.dose = DoseBy::Some;
        out.additive_name = additive.name.clone();
        fill.additive(additive, &mut out);
    }
    out.done = lp
        .done
        .iter()
        .map(|done| {
            let mut row = DoneRow::new(done.id.clone(), system);
            row.amount = volume_or_blank(done.amount, system);
            if let Some(q) = done.at {
                row.at = Entry::of(q.value, Unit::Temperature(q.unit));
            }
            row.kept = done.clone();
            row
        })
        .collect();
    out.entries = fill.entries;
    after::file::import_loop(lp, &mut out, system);
    out
}

/// Fills a loop's fields.
struct Fill {
    entries: Entries,
}

impl Fill {
    fn number(&mut self, field: Field, value: Option<f64>, unit: Unit) {
        if let Some(value) = value {
            self.entries.set(field, value, unit);
        }
    }

    fn share(&mut self, field: Field, share: Option<Share>) {
        if let Some(share) = share {
            *self.entries.get_mut(field) = Entry::percent_of(share.fraction);
        }
    }

    fn volume(&mut self, field: Field, q: Option<Quantity<VolumeUnit>>) {
        if let Some(q) = q {
            self.entries.set(field, q.value, Unit::Volume(q.unit));
        }
    }

    fn temperature(&mut self, field: Field, q: Option<Quantity<TemperatureUnit>>) {
        if let Some(q) = q {
            self.entries.set(field, q.value, Unit::Temperature(q.unit));
        }
    }

    fn now(&mut self, now: Now) -> (ReadingBy, Option<crate::job::file::Side>) {
        let mut chosen_side = None;
        let by = match now {
            Now::Percent { value, plus_minus } => {
                self.number(Field::Percent, Some(value), Unit::Percent);
                self.number(Field::PercentSpread, plus_minus, Unit::Points);
                ReadingBy::Percent
            }
            Now::FreezingPoint {
                value,
                unit,
                plus_minus,
                side,
            } => {
                let degree = match unit {
                    TemperatureUnit::DegC => IntervalUnit::DegC,
                    TemperatureUnit::DegF => IntervalUnit::DegF,
                };
                self.number(Field::Frost, Some(value), Unit::Temperature(unit));
                self.number(Field::FrostSpread, plus_minus, Unit::Interval(degree));
                chosen_side = side;
                ReadingBy::Frost
            }
            Now::SpecificGravity {
                value,
                at,
                plus_minus,
            } => {
                self.number(Field::Gravity, Some(value), Unit::None);
                self.temperature(Field::SampleAt, Some(at));
                self.number(Field::GravitySpread, plus_minus, Unit::None);
                ReadingBy::Gravity
            }
            Now::RefractiveIndex {
                value,
                at,
                plus_minus,
            } => {
                self.number(Field::Index, Some(value), Unit::None);
                self.temperature(Field::SampleAt, Some(at));
                self.number(Field::IndexSpread, plus_minus, Unit::None);
                ReadingBy::Index
            }
            Now::Brix {
                value,
                at,
                plus_minus,
            } => {
                self.number(Field::Brix, Some(value), Unit::Brix);
                self.temperature(Field::SampleAt, Some(at));
                self.number(Field::BrixSpread, plus_minus, Unit::Brix);
                ReadingBy::Brix
            }
            Now::Water {} => ReadingBy::Water,
            Now::Flushed {
                left_behind,
                percent,
            } => {
                self.volume(Field::LeftBehind, Some(left_behind));
                self.number(Field::LeftPercent, Some(percent), Unit::Percent);
                ReadingBy::Flushed
            }
            Now::Empty {} => ReadingBy::Empty,
            Now::Unknown {} => ReadingBy::Unknown,
        };
        (by, chosen_side)
    }

    fn aim(&mut self, lp: &Loop) -> AimBy {
        match lp.aim {
            Aim::Percent { value, within } => {
                self.number(Field::AimPercent, Some(value), Unit::Percent);
                self.number(Field::Within, within, Unit::Points);
                AimBy::Percent
            }
            Aim::FreezingPoint { value, unit } => {
                let night = lp.coldest.is_some_and(|c| {
                    let frost = draft::frost_for(c.value, c.unit, lp.coldest_margin);
                    c.unit == unit && frost.total_cmp(&value).is_eq()
                });
                if night {
                    return AimBy::Night;
                }
                self.number(Field::AimFrost, Some(value), Unit::Temperature(unit));
                AimBy::Frost
            }
        }
    }

    /// A file that says nothing puts no limit on a draw: all of it comes out.
    fn drain(&mut self, lp: &Loop) -> DrainBy {
        if lp.draw_limit.is_some() {
            self.volume(Field::DrawLimit, lp.draw_limit);
            return DrainBy::Volume;
        }
        let Some(share) = lp.drains else {
            return DrainBy::Dry;
        };
        let named = [DrainBy::Tap, DrainBy::TapAndBlock, DrainBy::Dry];
        let found = named
            .into_iter()
            .find(|d| d.share() == Some(share.fraction));
        found.unwrap_or_else(|| {
            self.share(Field::DrainShare, Some(share));
            DrainBy::Share
        })
    }

    fn cap_age(&mut self, lp: &Loop) -> CapAge {
        match lp.cap_low {
            None => CapAge::Unknown,
            Some(share) if share.fraction == margin::CAP_NEW => CapAge::New,
            Some(share) => {
                self.share(Field::CapShare, Some(share));
                CapAge::Own
            }
        }
    }

    /// The usual step is left blank on a metric page: its own usual step serves, and the file's word is kept.
    fn step(
        &mut self,
        field: Field,
        q: Option<Quantity<VolumeUnit>>,
        usual_ml: f64,
        system: System,
    ) {
        let usual = Quantity {
            value: usual_ml,
            unit: VolumeUnit::Ml,
        };
        let step = q.unwrap_or(usual);
        if step != usual || system != System::Metric {
            self.volume(field, Some(step));
        }
    }

    fn additive(&mut self, additive: &Additive, out: &mut LoopModel) {
        out.rate = match additive.rate {
            Rate::Ratio { value, unit } => {
                self.number(Field::RateRatio, Some(value), Unit::Ratio(unit));
                RateBy::Ratio
            }
            Rate::Percent { value } => {
                self.number(Field::RatePercent, Some(value), Unit::Percent);
                RateBy::Percent
            }
            Rate::Parts {
                one_in: Some(n),
                one_to: None,
            } => {
                self.number(Field::RateParts, Some(n), Unit::None);
                RateBy::OneIn
            }
            Rate::Parts {
                one_in: None,
                one_to: Some(n),
            } => {
                self.number(Field::RateParts, Some(n), Unit::None);
                RateBy::OneTo
            }
            Rate::Parts { .. } => RateBy::Kept,
            Rate::Bottle {
                size,
                treats_from,
                treats_to,
            } => {
                self.volume(Field::BottleSize, Some(size));
                self.volume(Field::TreatsFrom, treats_from);
                self.volume(Field::TreatsTo, Some(treats_to));
                RateBy::Bottle
            }
            Rate::Reading { now, aim, raises } => {
                self.level(Field::LevelNow, now);
                self.level(Field::LevelAim, aim);
                self.level(Field::LevelRaises, raises);
                RateBy::Level
            }
        };
        out.limit = self.limit(additive);
        self.volume(Field::DoseHave, additive.have);
        out.earlier = match additive.already {
            None => EarlierDose::Unknown,
            Some(q) if q.value == 0.0 => {
                self.entries.show_in(Field::Already, Unit::Volume(q.unit));
                EarlierDose::None
            }
            Some(q) => {
                self.volume(Field::Already, Some(q));
                EarlierDose::Amount
            }
        };
    }

    fn level(&mut self, field: Field, q: Quantity<LevelUnit>) {
        self.number(field, Some(q.value), Unit::Level(q.unit));
    }

    fn limit(&mut self, additive: &Additive) -> LimitBy {
        match (additive.limit, additive.rate) {
            (None, _) => LimitBy::None,
            (Some(Rate::Ratio { value, unit }), _) => {
                self.number(Field::LimitRatio, Some(value), Unit::Ratio(unit));
                LimitBy::Ratio
            }
            (Some(Rate::Percent { value }), _) => {
                self.number(Field::LimitPercent, Some(value), Unit::Percent);
                LimitBy::Percent
            }
            (
                Some(Rate::Parts {
                    one_in: Some(n),
                    one_to: None,
                }),
                _,
            ) => {
                self.number(Field::LimitParts, Some(n), Unit::None);
                LimitBy::OneIn
            }
            (
                Some(Rate::Parts {
                    one_in: None,
                    one_to: Some(n),
                }),
                _,
            ) => {
                self.number(Field::LimitParts, Some(n), Unit::None);
                LimitBy::OneTo
            }
            (
                Some(Rate::Reading { now, aim, raises }),
                Rate::Reading {
                    now: measured,
                    raises: rises,
                    ..
                },
            ) if now == measured && raises == rises => {
                self.level(Field::LimitLevel, aim);
                LimitBy::Level
            }
            (Some(Rate::Parts { .. } | Rate::Bottle { .. } | Rate::Reading { .. }), _) => {
                LimitBy::Kept
            }
        }
    }
}
