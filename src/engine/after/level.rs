//! Levels over the days: what a loop loses, and whether warmth alone explains it.
//!
//! Each level is brought to 20 °C by the density model where its temperature is known; where it is not, 5 to 35 °C is
//! allowed for. A straight line through the losses gives the rate; its half-width is the greater of what the readings
//! themselves allow and what their scatter says (Student's t). A loss beyond that half-width is no expansion. A loss that
//! comes all at once is no line, and its scatter would hide it: where the line tells of none, the last look is held
//! against the first.
//!
//! Never done here: saying where a leak is, or how long it may wait.

use super::student::t_95;
use crate::engine::{
    fluid::Glycol,
    order::in_order,
    property,
    quantity::{LabelFraction, ThermodynamicTemperature, Volume, celsius, in_litres, litres},
    reading::Strength,
    uncertainty::combined,
};

/// A level of unknown temperature was read somewhere between these, °C (ours).
pub const UNKNOWN_C: (f64, f64) = (5.0, 35.0);
/// Trapped air works out in the first days after a job (common practice, no source): so long, in days …
pub const SETTLES_DAYS: f64 = 10.0;
/// … and so much of the loop at most (ours).
pub const SETTLES_SHARE: f64 = 0.05;

/// A vented overflow bottle gives off water: so much of the system's volume a year is no leak (ours; that a bottle is
/// topped up once a year is common practice, no source).
pub const VENTED_SHARE_A_YEAR: f64 = 0.02;
/// Days in a year.
const YEAR: f64 = 365.25;

/// One look at the level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// When, in days from any day.
    pub day: f64,
    /// Below the cold mark; negative: above it.
    pub below: Volume,
    /// Put in after the look.
    pub added: Volume,
    /// Temperature of the coolant.
    pub at: Option<ThermodynamicTemperature>,
    /// What it read.
    pub strength: Option<Strength>,
}

/// The loop that was looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Looked {
    /// Which glycol.
    pub glycol: Glycol,
    /// Its strength, for how much it grows.
    pub strength: LabelFraction,
    /// Filled to the mark.
    pub volume: Volume,
    /// How far a level may be misread: one measuring step.
    pub step: Volume,
    /// Is its level read in a vented overflow bottle?
    pub vented: bool,
}

/// What the level did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Course {
    /// Fewer than two days to compare.
    TooFew,
    /// Nothing that reading and warmth do not explain.
    Steady,
    /// A small loss in the first days: trapped air works out.
    Settling,
    /// So little over so long that the water a vented bottle gives off explains it.
    Evaporating,
    /// A loss that cannot be expansion.
    Leak,
    /// It rises though nothing was entered.
    Rising,
}

/// What the strength did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drift {
    /// Fewer than two readings.
    NotRead,
    /// Nothing the instrument could tell.
    Steady,
    /// Weaker: water came in.
    Falling,
    /// Stronger.
    Rising,
}

impl Course {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::TooFew => "too_few",
            Self::Steady => "steady",
            Self::Settling => "settling",
            Self::Evaporating => "evaporating",
            Self::Leak => "leak",
            Self::Rising => "rising",
        }
    }
}

impl Drift {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NotRead => "not_read",
            Self::Steady => "steady",
            Self::Falling => "falling",
            Self::Rising => "rising",
        }
    }
}

/// The looks judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// First to last look, days.
    pub days: f64,
    /// Lost over them by the line through the looks, or from the first to the last.
    pub lost: Volume,
    /// Its 95 % half-width.
    pub plus_minus: Volume,
    /// For each look in order of its day: the day, and what was lost by then, at 20 °C, from the mark.
    pub points: Vec<(f64, Volume)>,
    /// What the level did.
    pub course: Course,
    /// Last reading less the first, as a fraction.
    pub strength_change: Option<f64>,
    /// Its 95 % half-width.
    pub strength_plus_minus: Option<f64>,
    /// Water that would weaken it so.
    pub water: Option<Volume>,
    /// What the strength did.
    pub drift: Drift,
}

/// What the looks say.
pub fn levels(lp: &Looked, looks: &[Look]) -> Levels {
    let mut looks = looks.to_vec();
    in_order(&mut looks, |a, b| a.day.total_cmp(&b.day));
    let mut added = litres(0.0);
    let mut points = Vec::new();
    let mut spreads = Vec::new();
    for look in &looks {
        let (lost, spread) = lost(lp, look);
        points.push((look.day, lost + added));
        spreads.push(spread);
        added += look.added;
    }
    let (days, mut loss, mut plus_minus) = line(&points, &spreads);
    if let ([first, .., last], [before, .., after]) = (&points[..], &spreads[..]) {
        let change = in_litres(last.1) - in_litres(first.1);
        let spread = combined([*before, *after]);
        if days > 0.0 && loss.abs() <= plus_minus && change.abs() > spread {
            (loss, plus_minus) = (change, spread);
        }
    }
    let course = if days <= 0.0 {
        Course::TooFew
    } else if loss.abs() <= plus_minus {
        Course::Steady
    } else if loss < 0.0 {
        Course::Rising
    } else if days <= SETTLES_DAYS && loss <= SETTLES_SHARE * in_litres(lp.volume) {
        Course::Settling
    } else if lp.vented && loss - plus_minus <= given_off(lp, days) {
        Course::Evaporating
    } else {
        Course::Leak
    };
    let read: Vec<Strength> = looks.iter().filter_map(|l| l.strength).collect();
    let ends = read.first().zip(read.last()).filter(|_| read.len() > 1);
    let change = ends.map(|(a, b)| b.value.fraction() - a.value.fraction());
    let spread = ends.map(|(a, b)| combined([a.plus_minus, b.plus_minus]));
    let drift = match change.zip(spread) {
        None => Drift::NotRead,
        Some((change, spread)) if change.abs() <= spread => Drift::Steady,
        Some((change, _)) if change < 0.0 => Drift::Falling,
        Some(_) => Drift::Rising,
    };
    let water = ends
        .filter(|_| drift == Drift::Falling)
        .map(|(a, b)| lp.volume * (1.0 - b.value.fraction() / a.value.fraction()));
    Levels {
        days,
        lost: litres(loss),
        plus_minus: litres(plus_minus),
        points,
        course,
        strength_change: change,
        strength_plus_minus: spread,
        water,
        drift,
    }
}

/// Litres that a vented bottle may give off in so many days.
fn given_off(lp: &Looked, days: f64) -> f64 {
    VENTED_SHARE_A_YEAR * in_litres(lp.volume) * days / YEAR
}

/// What is missing from the mark at 20 °C, and its half-width in litres.
fn lost(lp: &Looked, look: &Look) -> (Volume, f64) {
    let density = |t| property::density(lp.glycol, lp.strength, t).ok();
    let cold = density(celsius(20.0));
    // Litres at 20 °C of one litre at this temperature; as it is where the density has no answer.
    let shrunk = |t| {
        density(t)
            .zip(cold)
            .map_or(1.0, |(hot, cold)| (hot / cold).value)
    };
    let there = lp.volume - look.below;
    let (ratio, spread) = match look.at {
        Some(t) => (shrunk(t), 0.0),
        None => {
            let swing = shrunk(celsius(UNKNOWN_C.0)) - shrunk(celsius(UNKNOWN_C.1));
            (1.0, in_litres(there) * swing / 2.0)
        }
    };
    (
        lp.volume - there * ratio,
        combined([in_litres(lp.step), spread]),
    )
}

/// Days, what the least-squares line loses over them, and its half-width.
fn line(points: &[(f64, Volume)], spreads: &[f64]) -> (f64, f64, f64) {
    let n = points.len() as f64;
    let days = match (points.first(), points.last()) {
        (Some(first), Some(last)) => last.0 - first.0,
        _ => 0.0,
    };
    if days <= 0.0 {
        return (0.0, 0.0, 0.0);
    }
    let middle = points.iter().map(|p| p.0).sum::<f64>() / n;
    let level = points.iter().map(|p| in_litres(p.1)).sum::<f64>() / n;
    let (mut sxx, mut sxy) = (0.0, 0.0);
    for (x, y) in points {
        sxx += (x - middle) * (x - middle);
        sxy += (x - middle) * (in_litres(*y) - level);
    }
    let slope = sxy / sxx;
    let (mut known, mut squares) = (0.0, 0.0);
    for ((x, y), spread) in points.iter().zip(spreads) {
        let share = (x - middle) / sxx * spread;
        known += share * share;
        let off = in_litres(*y) - level - slope * (x - middle);
        squares += off * off;
    }
    let freedom = points.len() as u32 - 2;
    let scatter = match freedom {
        0 => 0.0,
        _ => t_95(freedom) * (squares / f64::from(freedom) / sxx).sqrt(),
    };
    (days, slope * days, known.sqrt().max(scatter) * days)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::reading::default;

    fn looked() -> Looked {
        Looked {
            glycol: Glycol::Ethylene,
            strength: LabelFraction::clamped(0.5),
            volume: litres(8.4),
            step: litres(0.05),
            vented: false,
        }
    }

    fn look(day: f64, below: f64) -> Look {
        Look {
            day,
            below: litres(below),
            added: litres(0.0),
            at: Some(celsius(20.0)),
            strength: None,
        }
    }

    fn course(looks: &[Look]) -> &'static str {
        levels(&looked(), looks).course.code()
    }

    // Four looks a week apart, three of them at the mark: the line's own scatter is as large as its loss.
    #[test]
    fn a_loss_all_at_once_is_no_steady_course() {
        let look = |day: f64, below: f64| Look {
            day,
            below: litres(below),
            added: litres(0.0),
            at: None,
            strength: None,
        };
        for lost in [0.6, 1.5] {
            let looks = [
                look(0.0, 0.0),
                look(7.0, 0.0),
                look(14.0, 0.0),
                look(21.0, lost),
            ];
            let found = levels(&looked(), &looks);
            assert_eq!(found.course, Course::Leak, "{found:?}");
            assert!((in_litres(found.lost) - lost).abs() < 1e-9);
        }
        let warm = [
            look(0.0, 0.0),
            look(7.0, 0.0),
            look(14.0, 0.0),
            look(21.0, 0.1),
        ];
        assert_eq!(levels(&looked(), &warm).course, Course::Steady);
    }

    #[test]
    fn each_course() {
        assert_eq!(course(&[]), "too_few");
        assert_eq!(course(&[look(0.0, 0.0), look(0.0, 0.4)]), "too_few");
        assert_eq!(course(&[look(0.0, 0.0), look(30.0, 0.05)]), "steady");
        assert_eq!(course(&[look(0.0, 0.0), look(5.0, 0.3)]), "settling");
        assert_eq!(course(&[look(0.0, 0.0), look(30.0, 0.3)]), "leak");
        assert_eq!(course(&[look(0.0, 0.0), look(5.0, 0.8)]), "leak");
        assert_eq!(course(&[look(0.0, 0.3), look(30.0, 0.0)]), "rising");
        // Later looks may be entered first.
        assert_eq!(course(&[look(30.0, 0.3), look(0.0, 0.0)]), "leak");
    }

    #[test]
    fn what_a_vented_bottle_gives_off_is_no_leak() {
        let bottle = Looked {
            volume: litres(10.0),
            vented: true,
            ..looked()
        };
        for (days, lost, vented, closed) in [
            (365.0, 0.1, "evaporating", "leak"),
            (730.0, 0.25, "evaporating", "leak"),
            (365.0, 0.5, "leak", "leak"),
            (30.0, 0.3, "leak", "leak"),
            (365.0, 0.05, "steady", "steady"),
        ] {
            let looks = [look(0.0, 0.0), look(days, lost)];
            let of = |lp: Looked| levels(&lp, &looks).course.code();
            let tight = Looked {
                vented: false,
                ..bottle
            };
            assert_eq!(
                (of(bottle), of(tight)),
                (vented, closed),
                "{days} d, {lost} L"
            );
        }
    }

    #[test]
    fn what_was_put_in_was_lost_too() {
        let mut first = look(0.0, 0.2);
        first.added = litres(0.2);
        let found = levels(&looked(), &[first, look(20.0, 0.2), look(40.0, 0.4)]);
        assert!((in_litres(found.lost) - 0.4).abs() < 1e-9, "{found:?}");
        assert_eq!(found.course, Course::Leak);
    }

    /// 8.4 L of 50 % shrink by 4.3 % from 93 to 21 °C (ASHRAE densities, a handbook exercise): a level read hot and one
    /// read cold are the same charge.
    #[test]
    fn warmth_is_no_loss() {
        let mut hot = look(0.0, -8.4 * 0.043);
        hot.at = Some(celsius(93.0));
        let mut cold = look(30.0, 0.0);
        cold.at = Some(celsius(21.0));
        let found = levels(&looked(), &[hot, cold]);
        assert!(in_litres(found.lost).abs() < 0.02, "{found:?}");
        // Read at temperatures nobody wrote down, 0.1 L in 8.4 L may well be warmth, and 0.3 L is not.
        let unknown = |below| {
            let bare = |day, below| Look {
                at: None,
                ..look(day, below)
            };
            course(&[bare(0.0, 0.0), bare(30.0, below)])
        };
        assert_eq!((unknown(0.1), unknown(0.3)), ("steady", "leak"));
    }

    #[test]
    fn a_strength_that_falls_is_water() {
        let read = |day, percent: f64| Look {
            strength: Some(Strength {
                value: LabelFraction::clamped(percent / 100.0),
                plus_minus: default::PERCENT,
            }),
            ..look(day, 0.0)
        };
        let found = levels(&looked(), &[read(0.0, 50.0), read(60.0, 45.0)]);
        // A tenth of the glycol gone: a tenth of the loop is water that came in.
        assert_eq!(found.drift, Drift::Falling);
        assert!((in_litres(found.water.unwrap()) - 0.84).abs() < 1e-9);
        let drift = |a, b| levels(&looked(), &[read(0.0, a), read(9.0, b)]).drift;
        assert_eq!(
            (drift(50.0, 48.0), drift(45.0, 50.0)),
            (Drift::Steady, Drift::Rising)
        );
        assert_eq!(levels(&looked(), &[read(0.0, 50.0)]).drift, Drift::NotRead);
    }
}
