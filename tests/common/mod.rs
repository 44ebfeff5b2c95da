//! Jobs for the tests, and an independent mass balance that replays a card.
//!
//! The balance is written apart from the engine's: it works in kilograms, and takes from the engine only the density
//! of a mix, which `tests/physics/reference.rs` checks against the handbook.

#![allow(dead_code, clippy::unwrap_used)] // each test file uses its part; a test may panic

use pourcard::engine::{
    fluid::Glycol,
    property,
    quantity::{LabelFraction, celsius},
};
use pourcard::job::{answer::*, file, file::*, record::Field, units::*};

pub fn litres(value: f64) -> Quantity<VolumeUnit> {
    Quantity {
        value,
        unit: VolumeUnit::L,
    }
}

pub fn stock(name: &str, percent: f64) -> Stock {
    Stock {
        name: name.to_owned(),
        glycol: (percent > 0.0).then_some(GlycolName::Ethylene),
        percent,
        ..Stock::blank()
    }
}

/// A bakery van's engine loop of `volume` litres, at the mark, reading `now` percent, to be `aim` percent.
pub fn engine_loop(volume: f64, now: f64, aim: f64) -> file::Loop {
    file::Loop {
        name: "Engine loop".to_owned(),
        volume: SizedVolume {
            value: volume,
            ..SizedVolume::blank()
        },
        now: Now::Percent {
            value: now,
            plus_minus: None,
        },
        aim: Aim::Percent {
            value: aim,
            within: None,
        },
        ..file::Loop::blank()
    }
}

pub fn job(shelf: Vec<Stock>, loops: Vec<file::Loop>) -> Job {
    Job {
        pourcard: 1,
        shelf,
        loops,
        ..Job::blank()
    }
}

/// The van: 8.4 ± 0.3 L, 0.6 missing, 42 ± 1 %, to be 50 %, an additive at 30 mL/L and at most 40.
pub fn van() -> Job {
    let mut lp = engine_loop(8.4, 42.0, 50.0);
    lp.volume.plus_minus = Some(0.3);
    lp.missing = Some(litres(0.6).into());
    lp.now = Now::Percent {
        value: 42.0,
        plus_minus: Some(1.0),
    };
    lp.draw_limit = Some(litres(4.5));
    lp.cap = Some(Quantity {
        value: 1.1,
        unit: PressureUnit::Bar,
    });
    lp.altitude = Some(Quantity {
        value: 350.0,
        unit: LengthUnit::M,
    });
    lp.tank = Some(Tank::Pressurised);
    lp.tank_room = Some(litres(1.2));
    lp.peak_temperature = Some(Quantity {
        value: 105.0,
        unit: TemperatureUnit::DegC,
    });
    lp.coldest = Some(Quantity {
        value: -25.0,
        unit: TemperatureUnit::DegC,
    });
    lp.additive = Some(additive(30.0, Some(40.0), Some(0.0)));
    let mut premix = stock("Premix", 50.0);
    premix.have = Some(litres(5.0));
    job(
        vec![
            stock("Concentrate", 100.0),
            premix,
            stock("Distilled water", 0.0),
        ],
        vec![lp],
    )
}

/// An additive by mL/L, with what is in there already in litres.
pub fn additive(rate: f64, limit: Option<f64>, already: Option<f64>) -> Additive {
    let ratio = |value| Rate::Ratio {
        value,
        unit: RatioUnit::ML_PER_L,
    };
    Additive {
        name: "Wetting agent".to_owned(),
        rate: ratio(rate),
        limit: limit.map(ratio),
        already: already.map(litres),
        ..Additive::blank()
    }
}

/// Kilograms and litres in a loop, at 20 °C.
#[derive(Debug, Clone, Copy)]
pub struct Balance {
    glycol: Glycol,
    pub concentrate_kg: f64,
    pub water_kg: f64,
    pub additive_l: f64,
    /// Does the additive count as glycol?
    pub glycol_additive: bool,
    /// What is left of the first charge, as a share of it.
    pub old: f64,
}

impl Balance {
    pub fn empty(glycol: GlycolName) -> Self {
        let glycol = match glycol {
            GlycolName::Ethylene => Glycol::Ethylene,
            GlycolName::Propylene => Glycol::Propylene,
        };
        Self {
            glycol,
            concentrate_kg: 0.0,
            water_kg: 0.0,
            additive_l: 0.0,
            glycol_additive: false,
            old: 1.0,
        }
    }

    /// kg/L of a mix.
    fn density(&self, percent: f64) -> f64 {
        let strength = LabelFraction::from_percent(percent.clamp(0.0, 100.0)).unwrap();
        property::density(self.glycol, strength, celsius(20.0))
            .unwrap()
            .value
            / 1000.0
    }

    /// Litres of concentrate and of water, apart.
    fn apart(&self) -> (f64, f64) {
        let c = self.concentrate_kg / self.density(100.0);
        (c, self.water_kg / self.density(0.0))
    }

    /// The additive counts as water, which it mostly is, unless it is known to be glycol.
    pub fn percent(&self) -> f64 {
        let (c, w) = self.apart();
        let glycol = c + if self.glycol_additive {
            self.additive_l
        } else {
            0.0
        };
        let all = c + w + self.additive_l;
        if all > 0.0 { 100.0 * glycol / all } else { 0.0 }
    }

    pub fn litres(&self) -> f64 {
        let (c, w) = self.apart();
        let mix = if c + w > 0.0 {
            100.0 * c / (c + w)
        } else {
            0.0
        };
        (self.concentrate_kg + self.water_kg) / self.density(mix) + self.additive_l
    }

    pub fn pour(&mut self, litres: f64, percent: f64) {
        let kg = litres * self.density(percent);
        let c = percent / 100.0 * self.density(100.0);
        let w = (1.0 - percent / 100.0) * self.density(0.0);
        self.concentrate_kg += kg * c / (c + w);
        self.water_kg += kg * w / (c + w);
    }

    /// Takes out no more than there is.
    pub fn draw(&mut self, litres: f64) {
        let stays = (1.0 - litres / self.litres().max(1e-12)).max(0.0);
        self.concentrate_kg *= stays;
        self.water_kg *= stays;
        self.additive_l *= stays;
        self.old *= stays;
    }

    /// What the loop of a job holds before anything is done: percent readings, water, flushed and empty only.
    pub fn before(lp: &file::Loop) -> Self {
        let mut balance = Self::empty(lp.glycol);
        let unit = |q: Quantity<VolumeUnit>| q.value * q.unit.litres();
        let held = lp.volume.value * lp.volume.unit.litres()
            - lp.missing.map_or(0.0, |m| m.value * m.unit.litres());
        let already = lp
            .additive
            .as_ref()
            .and_then(|a| a.already)
            .map_or(0.0, unit);
        let (held, percent) = match lp.now {
            Now::Percent { value, .. } => (held, value),
            Now::Water {} => (held, 0.0),
            Now::Flushed {
                left_behind,
                percent,
            } => (unit(left_behind), percent),
            _ => (0.0, 0.0),
        };
        // What mix under the additive makes the reading: by halving.
        let additive = already.min(held);
        let carrier = lp.additive.as_ref().and_then(|a| a.carrier);
        balance.glycol_additive = carrier == Some(Carrier::Glycol);
        balance.additive_l = additive;
        let with = |mix: f64| {
            let mut with = balance;
            with.pour(held - additive, mix);
            with
        };
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..60 {
            let mix = 0.5 * (low + high);
            if with(mix).percent() < percent {
                low = mix;
            } else {
                high = mix;
            }
        }
        // Where there is no additive nothing is looked for: what is poured is exact.
        with(if additive > 0.0 { high } else { percent })
    }

    /// The same, as a level seen since corrects it, and what it then holds at the mark. That the loop did stand there
    /// is checked on the way.
    pub fn as_seen(lp: &file::Loop, one: &LoopAnswer, shelf: &[Stock]) -> (Self, f64) {
        let Some(c) = one.corrected else {
            return (Self::before(lp), lp.volume.value * lp.volume.unit.litres());
        };
        let mut seen = lp.clone();
        seen.volume.value = c.litres;
        seen.volume.unit = VolumeUnit::L;
        seen.missing = c.missing_litres.map(|l| litres(l).into());
        if let (Now::Flushed { left_behind, .. }, Some(left)) =
            (&mut seen.now, c.left_behind_litres)
        {
            *left_behind = litres(left);
        }
        let is_level = |s: &Step| s.at_mark == Some(true) || s.below_litres.is_some();
        let last = one.so_far.iter().rposition(is_level).unwrap();
        let mut then = Self::before(&seen);
        one.so_far[..=last].iter().for_each(|s| then.step(s, shelf));
        let stood = c.litres - one.so_far[last].below_litres.unwrap_or(0.0);
        assert!(
            (then.litres() - stood).abs() < 1e-5 * stood.max(1.0),
            "stood at {}, seen at {stood}",
            then.litres()
        );
        (Self::before(&seen), c.litres)
    }

    /// One step of a card.
    pub fn step(&mut self, step: &Step, shelf: &[Stock]) {
        let Some(amount) = step.litres else { return };
        match step.what {
            Do::Draw => self.draw(amount),
            Do::Dose => self.additive_l += amount,
            Do::Pour => {
                let name = step.stock.as_deref().unwrap();
                let stock = shelf.iter().find(|s| s.name == name).unwrap();
                self.pour(amount, stock.percent);
            }
            Do::Run | Do::Check => {}
        }
    }
}
