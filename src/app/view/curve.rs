//! The frost-and-boil curve: freezing and boiling against strength at the fitted cap and altitude, to scale, with the
//! loop before and after on it.
//!
//! Across and down run from 0 to 1000. What is not known closer is drawn as a band: the frost by how far the published
//! tables differ, boiling from a worn cap to its rating, a strength by its 95 % range.

use crate::app::{amount, choice::System, page::Solved, words};
use crate::job::{
    answer::State,
    curve::{self, Liquid, STRONGEST},
    units::TemperatureUnit,
};

/// How far apart the curve is reckoned, and how far apart it is read out, percent.
const FINE: usize = 2;
const COARSE: usize = 5;
/// How far the published frosts differ, K.
const FROST_SPREAD: f64 = 2.0;

/// A place on the drawing: across, down.
pub type Place = (i32, i32);

/// The curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Where ice begins.
    pub frost: Vec<Place>,
    /// Where it begins at the latest, where no table says more.
    pub frost_at_most: Vec<Place>,
    /// Around it: there and back.
    pub frost_band: Vec<Place>,
    /// Where it boils under a worn cap.
    pub boil: Vec<Place>,
    /// From there to the rating: there and back.
    pub boil_band: Vec<Place>,
    /// Before and after.
    pub states: Vec<At>,
    /// Places to read out.
    pub readings: Vec<Reading>,
    /// The coldest night and the hottest run: where, what, and is it said above the line?
    pub levels: Vec<(i32, String, bool)>,
    /// Strengths.
    pub across: Vec<(i32, String)>,
    /// Temperatures.
    pub down: Vec<(i32, String)>,
    /// The same as a table: strength, freezes, boils.
    pub table: Vec<[String; 3]>,
}

/// The loop at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct At {
    /// Before or after.
    pub name: &'static str,
    /// Its strength, from the least to the most it may be.
    pub span: [i32; 3],
    /// From freezing to boiling.
    pub liquid: [i32; 2],
    /// All of it in words.
    pub words: String,
}

/// A strength to read out.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Where.
    pub across: i32,
    /// On the curves, where they reach.
    pub dots: Vec<i32>,
    /// In words.
    pub words: String,
}

fn across(percent: f64) -> i32 {
    (percent / STRONGEST as f64 * 1000.0).round() as i32
}

/// The scale of temperatures, chosen so that everything fits, in whole steps of the page's degrees.
struct Scale {
    unit: TemperatureUnit,
    low: f64,
    high: f64,
    step: f64,
}

impl Scale {
    fn around(low_c: f64, high_c: f64, system: System) -> Self {
        let unit = system.temperature();
        let step = match unit {
            TemperatureUnit::DegC => 20.0,
            TemperatureUnit::DegF => 40.0,
        };
        let (low, high) = (unit.from_celsius(low_c), unit.from_celsius(high_c));
        Self {
            unit,
            low: (low / step).floor() * step,
            high: (high / step).ceil() * step,
            step,
        }
    }

    fn down(&self, celsius: f64) -> i32 {
        self.place(self.unit.from_celsius(celsius))
    }

    fn place(&self, degrees: f64) -> i32 {
        ((self.high - degrees) / (self.high - self.low) * 1000.0).round() as i32
    }

    fn ticks(&self, system: System) -> Vec<(i32, String)> {
        let mut list = Vec::new();
        let mut at = self.low;
        while at < self.high + 0.5 {
            let celsius = self.unit.to_celsius(at);
            list.push((self.place(at), amount::whole_degrees(celsius, system)));
            at += self.step;
        }
        list
    }
}

/// The curve of an answered loop.
pub fn curve(solved: &Solved, before: Option<&State>, after: &State, system: System) -> Curve {
    let law = &solved.curve;
    let mut fine: Vec<(i32, Liquid)> = Vec::new();
    for percent in (0..=STRONGEST).step_by(FINE) {
        fine.push((across(percent as f64), law.at(percent)));
    }
    let celsius = |q: Option<crate::job::file::Quantity<TemperatureUnit>>| {
        q.map(|q| q.unit.to_celsius(q.value))
    };
    let coldest = celsius(solved.asked.coldest);
    let peak = celsius(solved.asked.peak_temperature);
    let mut low = coldest.unwrap_or(0.0);
    let mut high = peak.unwrap_or(100.0);
    for (_, liquid) in &fine {
        if let Some(t) = liquid.freezing_c {
            low = low.min(t - FROST_SPREAD);
        }
        if let Some(t) = liquid.boiling_c {
            high = high.max(t);
        }
    }
    let scale = Scale::around(low, high, system);
    let line = |pick: &dyn Fn(&Liquid) -> Option<f64>| -> Vec<Place> {
        let mut line = Vec::new();
        for (x, liquid) in &fine {
            line.extend(pick(liquid).map(|t| (*x, scale.down(t))));
        }
        line
    };
    let known = |l: &Liquid| l.freezing_c.filter(|_| !l.at_most);
    let mut frost_band = line(&|l| known(l).map(|t| t + FROST_SPREAD));
    frost_band.extend(line(&|l| known(l).map(|t| t - FROST_SPREAD)).iter().rev());
    let boil = line(&|l| l.boiling_weakest_c);
    let mut boil_band = boil.clone();
    boil_band.extend(line(&|l| l.boiling_c).iter().rev());
    let readings = readings(law, &scale, system);
    let mut states = Vec::new();
    for (name, state) in [(words::NOW, before), (words::AFTER, Some(after))] {
        states.extend(state.and_then(|s| at(name, s, &scale, system)));
    }
    let level = |t: Option<f64>, name: &str, above| {
        t.map(|t| {
            let words = [name, &amount::whole_degrees(t, system)].join(" ");
            (scale.down(t), words, above)
        })
    };
    Curve {
        frost: line(&known),
        frost_at_most: line(&|l| l.freezing_c.filter(|_| l.at_most)),
        frost_band,
        boil,
        boil_band,
        states,
        levels: [
            level(coldest, words::CURVE_COLDEST, true),
            level(peak, words::CURVE_PEAK, false),
        ]
        .into_iter()
        .flatten()
        .collect(),
        across: (0..=STRONGEST)
            .step_by(10)
            .map(|p| (across(p as f64), p.to_string()))
            .collect(),
        down: scale.ticks(system),
        table: table(law, system),
        readings,
    }
}

fn freezes(liquid: &Liquid, system: System) -> Option<String> {
    let degrees = amount::whole_degrees(liquid.freezing_c?, system);
    Some(if liquid.at_most {
        words::at_or_below(&degrees)
    } else {
        degrees
    })
}

fn readings(law: &curve::Curve, scale: &Scale, system: System) -> Vec<Reading> {
    let mut list = Vec::new();
    for percent in (0..=STRONGEST).step_by(COARSE) {
        let liquid = law.at(percent);
        let percent = percent as f64;
        let ends = [liquid.freezing_c, liquid.boiling_weakest_c];
        list.push(Reading {
            across: across(percent),
            dots: ends.iter().flatten().map(|t| scale.down(*t)).collect(),
            words: words::liquid_between(
                &amount::percent(percent, 0),
                freezes(&liquid, system).as_deref(),
                degrees(liquid.boiling_weakest_c, system).as_deref(),
            ),
        });
    }
    list
}

fn degrees(celsius: Option<f64>, system: System) -> Option<String> {
    celsius.map(|t| amount::whole_degrees(t, system))
}

fn at(name: &'static str, state: &State, scale: &Scale, system: System) -> Option<At> {
    let percent = state.percent?;
    let spread = state.plus_minus.unwrap_or(0.0);
    let low = state.freezing_point_c.or(state.freezing_at_most_c)?;
    let high = state.boiling_point_weakest_c?;
    let edge = |p: f64| across(p).clamp(0, 1000);
    let liquid = Liquid {
        freezing_c: Some(low),
        at_most: state.freezing_point_c.is_none(),
        boiling_weakest_c: Some(high),
        boiling_c: None,
    };
    let words = words::liquid_between(
        &amount::percent_spread(percent, state.plus_minus),
        freezes(&liquid, system).as_deref(),
        degrees(Some(high), system).as_deref(),
    );
    Some(At {
        name,
        span: [
            edge(percent - spread),
            edge(percent),
            edge(percent + spread),
        ],
        liquid: [scale.down(low), scale.down(high)],
        words: [name, ": ", &words].concat(),
    })
}

fn table(law: &curve::Curve, system: System) -> Vec<[String; 3]> {
    let mut rows = Vec::new();
    for percent in (0..=STRONGEST).step_by(10) {
        let liquid = law.at(percent);
        let or_dash = |text: Option<String>| text.unwrap_or_else(|| "\u{2013}".to_owned());
        rows.push([
            amount::percent(percent as f64, 0),
            or_dash(freezes(&liquid, system)),
            or_dash(degrees(liquid.boiling_weakest_c, system)),
        ]);
    }
    rows
}
