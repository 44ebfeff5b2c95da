//! A loop's numbers taken out of its fields: only those its choices call for, each problem tied to its field.

use super::{
    after,
    choice::{AimBy, CapAge, DoseBy, DrainBy, EarlierDose, LimitBy, RateBy, ReadingBy, System},
    draft::{DOSE_STEP_FL_OZ, LIMITS, Problem, STEP_FL_OZ, Trouble, frost_for},
    field::{Field, Unit},
    model::{LoopModel, Spot},
};
use crate::engine::margin;
use crate::job::{
    file::{Additive, Aim, Done, Kind, Limits, Loop, Now, Quantity, Rate, Share, SizedVolume},
    units::{
        IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
    },
};

/// The loop that can be made of what stands on the page, and what is wrong with it.
pub fn one_loop(lp: &LoopModel, system: System) -> (Loop, Vec<Problem>) {
    let mut take = Take {
        lp,
        problems: Vec::new(),
    };
    let mut out = (*lp.kept).clone();
    out.name = lp.name.clone();
    out.kind = (lp.kind != Kind::Engine || lp.kept.kind.is_some()).then_some(lp.kind);
    out.glycol = lp.glycol;
    out.family = lp.family;
    out.volume = take.sized_volume();
    out.missing = take.volume(Field::Missing);
    out.now = take.now();
    out.coldest = take.temperature(Field::Coldest);
    out.coldest_margin = take.interval(Field::Spare);
    out.aim = take.aim(&out);
    out.limits = take.limits();
    take.drains(&mut out);
    out.renew = take
        .plain(Field::Renew)
        .map(|percent| share(percent, lp.kept.renew));
    out.tank = lp.tank.tank();
    out.tank_room = take.volume(Field::TankRoom);
    out.fill_temperature = take.temperature(Field::FillTemperature);
    out.peak_temperature = take.temperature(Field::Peak);
    out.running_temperature = take.temperature(Field::Running);
    out.cap = take.pressure(Field::Cap);
    out.cap_low = take.cap_share();
    out.other_cap = take.pressure(Field::OtherCap);
    out.altitude = take.length(Field::Altitude);
    out.measure_step = take.step(Field::MeasureStep, lp.kept.measure_step, system, STEP_FL_OZ);
    out.dose_step = take.step(Field::DoseStep, lp.kept.dose_step, system, DOSE_STEP_FL_OZ);
    out.additive = match lp.dose {
        DoseBy::None => None,
        DoseBy::Some => Some(take.additive()),
    };
    out.done = take.done();
    after::file::take_loop(lp, &mut out);
    (out, take.problems)
}

/// A share typed in percent: the file's own, to the last digit, where it is the same.
fn share(percent: f64, kept: Option<Share>) -> Share {
    let fraction = percent / 100.0;
    kept.filter(|kept| (kept.fraction - fraction).abs() < 1e-9)
        .unwrap_or(Share { fraction })
}

/// Takes numbers out of a loop's fields and notes what is wrong.
struct Take<'a> {
    lp: &'a LoopModel,
    problems: Vec<Problem>,
}

impl Take<'_> {
    fn note(&mut self, field: Field, trouble: Trouble) {
        self.problems.push(Problem {
            spot: Spot::Loop(field),
            trouble,
        });
    }

    fn number(&mut self, field: Field) -> Option<(f64, Unit)> {
        let entry = self.lp.entries.get(field);
        match entry.value() {
            Ok(value) => value.map(|v| (v, entry.typed_in)),
            Err(e) => {
                self.note(field, Trouble::Number(e));
                None
            }
        }
    }

    fn needed(&mut self, field: Field) -> (f64, Unit) {
        let entry = self.lp.entries.get(field);
        if entry.is_blank() {
            self.note(field, Trouble::Needed);
        }
        self.number(field).unwrap_or((0.0, entry.typed_in))
    }

    fn plain(&mut self, field: Field) -> Option<f64> {
        self.number(field).map(|(value, _)| value)
    }

    fn volume(&mut self, field: Field) -> Option<Quantity<VolumeUnit>> {
        self.number(field).and_then(as_volume)
    }

    fn temperature(&mut self, field: Field) -> Option<Quantity<TemperatureUnit>> {
        self.number(field).and_then(as_temperature)
    }

    fn interval(&mut self, field: Field) -> Option<Quantity<IntervalUnit>> {
        match self.number(field)? {
            (value, Unit::Interval(unit)) => Some(Quantity { value, unit }),
            _ => None,
        }
    }

    fn pressure(&mut self, field: Field) -> Option<Quantity<PressureUnit>> {
        match self.number(field)? {
            (value, Unit::Pressure(unit)) => Some(Quantity { value, unit }),
            _ => None,
        }
    }

    fn length(&mut self, field: Field) -> Option<Quantity<LengthUnit>> {
        match self.number(field)? {
            (value, Unit::Length(unit)) => Some(Quantity { value, unit }),
            _ => None,
        }
    }

    fn needed_temperature(&mut self, field: Field) -> Quantity<TemperatureUnit> {
        let taken = self.needed(field);
        as_temperature(taken).unwrap_or(Quantity {
            value: taken.0,
            unit: TemperatureUnit::DegC,
        })
    }

    fn needed_volume(&mut self, field: Field) -> Quantity<VolumeUnit> {
        let taken = self.needed(field);
        as_volume(taken).unwrap_or(Quantity {
            value: taken.0,
            unit: VolumeUnit::L,
        })
    }

    fn sized_volume(&mut self) -> SizedVolume {
        let Quantity { value, unit } = self.needed_volume(Field::Volume);
        let spread = self.number(Field::VolumeSpread);
        let plus_minus = spread.and_then(|(v, from)| from.to(Unit::Volume(unit), v));
        let was = self.lp.kept.volume;
        SizedVolume {
            value,
            unit,
            plus_minus,
            was: was.was.map(|v| v * (was.unit.litres() / unit.litres())),
        }
    }

    fn now(&mut self) -> Now {
        match self.lp.reading {
            ReadingBy::Percent => Now::Percent {
                value: self.needed(Field::Percent).0,
                plus_minus: self.plain(Field::PercentSpread),
            },
            ReadingBy::Frost => {
                let Quantity { value, unit } = self.needed_temperature(Field::Frost);
                let degree = match unit {
                    TemperatureUnit::DegC => IntervalUnit::DegC,
                    TemperatureUnit::DegF => IntervalUnit::DegF,
                };
                let spread = self.number(Field::FrostSpread);
                let plus_minus = spread.and_then(|(v, from)| from.to(Unit::Interval(degree), v));
                Now::FreezingPoint {
                    value,
                    unit,
                    plus_minus,
                    side: self.lp.side,
                }
            }
            ReadingBy::Gravity => Now::SpecificGravity {
                value: self.needed(Field::Gravity).0,
                at: self.needed_temperature(Field::SampleAt),
                plus_minus: self.plain(Field::GravitySpread),
            },
            ReadingBy::Index => Now::RefractiveIndex {
                value: self.needed(Field::Index).0,
                at: self.needed_temperature(Field::SampleAt),
                plus_minus: self.plain(Field::IndexSpread),
            },
            ReadingBy::Brix => Now::Brix {
                value: self.needed(Field::Brix).0,
                at: self.needed_temperature(Field::SampleAt),
                plus_minus: self.plain(Field::BrixSpread),
            },
            ReadingBy::Water => Now::Water {},
            ReadingBy::Flushed => Now::Flushed {
                left_behind: self.needed_volume(Field::LeftBehind),
                percent: self.plain(Field::LeftPercent).unwrap_or(0.0),
            },
            ReadingBy::Empty => Now::Empty {},
            ReadingBy::Unknown => Now::Unknown {},
        }
    }

    fn aim(&mut self, out: &Loop) -> Aim {
        match self.lp.aim {
            AimBy::Percent => Aim::Percent {
                value: self.needed(Field::AimPercent).0,
                within: self.plain(Field::Within),
            },
            AimBy::Frost => {
                let Quantity { value, unit } = self.needed_temperature(Field::AimFrost);
                Aim::FreezingPoint { value, unit }
            }
            AimBy::Night => {
                if self.lp.entries.get(Field::Coldest).is_blank() {
                    self.note(Field::Coldest, Trouble::Needed);
                }
                let Quantity { value, unit } = out.coldest.unwrap_or(Quantity {
                    value: 0.0,
                    unit: TemperatureUnit::DegC,
                });
                Aim::FreezingPoint {
                    value: frost_for(value, unit, out.coldest_margin),
                    unit,
                }
            }
        }
    }

    fn limits(&mut self) -> Option<Limits> {
        let (low, high) = (self.plain(Field::Low), self.plain(Field::High));
        (low.is_some() || high.is_some()).then(|| Limits {
            low: low.unwrap_or(LIMITS.0),
            high: high.unwrap_or(LIMITS.1),
        })
    }

    /// The page always writes how much comes out.
    fn drains(&mut self, out: &mut Loop) {
        if self.lp.drain == DrainBy::Volume {
            out.draw_limit = Some(self.needed_volume(Field::DrawLimit));
            // A file may state both; the share has no field beside the volume, and stays.
            return;
        }
        out.draw_limit = None;
        out.drains = Some(match self.lp.drain.share() {
            Some(fraction) => Share { fraction },
            None => share(self.needed(Field::DrainShare).0, self.lp.kept.drains),
        });
    }

    fn cap_share(&mut self) -> Option<Share> {
        match self.lp.cap_age {
            CapAge::Unknown => None,
            CapAge::New => Some(Share {
                fraction: margin::CAP_NEW,
            }),
            CapAge::Own => Some(share(self.needed(Field::CapShare).0, self.lp.kept.cap_low)),
        }
    }

    /// A blank step is the file's own, or what such a page's jugs are marked in.
    fn step(
        &mut self,
        field: Field,
        kept: Option<Quantity<VolumeUnit>>,
        system: System,
        fl_oz: f64,
    ) -> Option<Quantity<VolumeUnit>> {
        if !self.lp.entries.get(field).is_blank() {
            return self.volume(field);
        }
        match system {
            System::Metric => kept,
            System::Us => Some(Quantity {
                value: fl_oz,
                unit: VolumeUnit::UsFlOz,
            }),
            System::Imperial => Some(Quantity {
                value: fl_oz,
                unit: VolumeUnit::ImpFlOz,
            }),
        }
    }

    fn additive(&mut self) -> Additive {
        Additive {
            name: self.lp.additive_name.clone(),
            rate: self.rate(),
            limit: self.limit(),
            already: match self.lp.earlier {
                EarlierDose::None => Some(self.nothing()),
                EarlierDose::Amount => Some(self.needed_volume(Field::Already)),
                EarlierDose::Unknown => None,
            },
            have: self.volume(Field::DoseHave),
            // The counter's business.
            packs: Vec::new(),
        }
    }

    /// Zero, in the unit its field is shown in.
    fn nothing(&self) -> Quantity<VolumeUnit> {
        let unit = match self.lp.entries.get(Field::Already).typed_in {
            Unit::Volume(unit) => unit,
            _ => VolumeUnit::Ml,
        };
        Quantity { value: 0.0, unit }
    }

    fn rate(&mut self) -> Rate {
        let kept = self.lp.kept.additive.as_ref();
        match self.lp.rate {
            RateBy::Ratio => self.ratio(Field::RateRatio),
            RateBy::Percent => Rate::Percent {
                value: self.needed(Field::RatePercent).0,
            },
            RateBy::OneIn => one_in(self.needed(Field::RateParts).0),
            RateBy::OneTo => one_to(self.needed(Field::RateParts).0),
            RateBy::Bottle => Rate::Bottle {
                size: self.needed_volume(Field::BottleSize),
                treats_from: self.volume(Field::TreatsFrom),
                treats_to: self.needed_volume(Field::TreatsTo),
            },
            RateBy::Level => self.level(Field::LevelAim),
            RateBy::Kept => kept.map_or(Rate::Percent { value: 0.0 }, |a| a.rate),
        }
    }

    fn limit(&mut self) -> Option<Rate> {
        Some(match self.lp.limit {
            LimitBy::None => return None,
            LimitBy::Kept => return self.lp.kept.additive.as_ref().and_then(|a| a.limit),
            LimitBy::Ratio => self.ratio(Field::LimitRatio),
            LimitBy::Percent => Rate::Percent {
                value: self.needed(Field::LimitPercent).0,
            },
            LimitBy::OneIn => one_in(self.needed(Field::LimitParts).0),
            LimitBy::OneTo => one_to(self.needed(Field::LimitParts).0),
            LimitBy::Level => self.level(Field::LimitLevel),
        })
    }

    fn ratio(&mut self, field: Field) -> Rate {
        let (value, unit) = self.needed(field);
        let unit = match unit {
            Unit::Ratio(unit) => unit,
            _ => RatioUnit::ML_PER_L,
        };
        Rate::Ratio { value, unit }
    }

    fn level(&mut self, aim: Field) -> Rate {
        let mut take = |field| {
            let (value, unit) = self.needed(field);
            let unit = match unit {
                Unit::Level(unit) => unit,
                _ => LevelUnit::Ppm,
            };
            Quantity { value, unit }
        };
        Rate::Reading {
            now: take(Field::LevelNow),
            aim: take(aim),
            raises: take(Field::LevelRaises),
        }
    }

    fn done(&mut self) -> Vec<Done> {
        let mut list = Vec::new();
        for row in &self.lp.done {
            let amount = match row.amount.value() {
                // A bare tick: as the card said then.
                Ok(None) => row.kept.amount,
                Ok(Some(v)) => as_volume((v, row.amount.typed_in)),
                Err(e) => {
                    let spot = Spot::Happened(row.id.clone());
                    self.problems.push(Problem {
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
                    self.problems.push(Problem {
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
}

fn one_in(n: f64) -> Rate {
    Rate::Parts {
        one_in: Some(n),
        one_to: None,
    }
}

fn one_to(n: f64) -> Rate {
    Rate::Parts {
        one_in: None,
        one_to: Some(n),
    }
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
