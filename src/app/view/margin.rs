//! The margins: to the frost, to boiling, to the top of the tank, before the job and after it.

use super::card::asked;
use super::curve::{Curve, curve};
use super::why::{Why, whys};
use crate::app::{
    amount,
    choice::System,
    number::{fixed, print},
    page::Solved,
    words,
};
use crate::job::{
    answer::{State, UnderCap},
    file::{Now, Quantity},
    units::PressureUnit,
};

/// The margins.
#[derive(Debug, Clone, PartialEq)]
pub struct Margins {
    /// The three that matter.
    pub tiles: Vec<Tile>,
    /// Where it stays liquid.
    pub curve: Curve,
    /// All of it, as a table.
    pub rows: Vec<Row>,
    /// The cap to be fitted beside the one that is: in one line, and as a table.
    pub caps: Option<(String, Vec<Row>)>,
    /// Why these numbers.
    pub whys: Vec<Why>,
}

/// A figure and what it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tile {
    /// The figure, after the job.
    pub figure: String,
    /// What it is.
    pub note: String,
    /// The same figure before the job.
    pub before: Option<String>,
    /// Is it on the wrong side?
    pub bad: bool,
}

/// A row of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it is.
    pub name: String,
    /// Before.
    pub before: String,
    /// After.
    pub after: String,
}

/// The margins of an answered loop.
pub fn margins(solved: &Solved, system: System) -> Option<Margins> {
    let after = solved.answer.after.as_ref()?;
    let before = solved
        .answer
        .before
        .as_ref()
        .filter(|b| b.percent.is_some());
    Some(Margins {
        tiles: match after.percent {
            Some(_) => vec![
                frost_tile(solved, before, after, system)?,
                boil_tile(solved, before, after, system)?,
                level_tile(before, after, system),
            ],
            None => vec![level_tile(before, after, system)],
        },
        curve: curve(solved, before, after, system),
        rows: rows(solved, before, after, system),
        caps: caps(solved, system),
        whys: whys(solved, system),
    })
}

/// A room as "there is some" or "it is short of it", rounded to the unlucky side.
fn room(k: Option<f64>, system: System) -> Option<(bool, String)> {
    k.map(|k| match k >= 0.0 {
        true => (true, amount::degrees_left(k, system)),
        false => (false, amount::degrees_short(-k, system)),
    })
}

pub(super) fn freezing(state: &State, system: System) -> Option<String> {
    let at = state
        .freezing_point_c
        .map(|t| amount::whole_degrees(t, system));
    let below = || {
        state
            .freezing_at_most_c
            .map(|t| words::at_or_below(&amount::whole_degrees(t, system)))
    };
    at.or_else(below)
}

/// The same before the job: a frost that was read is shown as it was read, though it is taken for the weaker mix that
/// shows so.
pub(super) fn freezing_before(solved: &Solved, state: &State, system: System) -> Option<String> {
    match solved.asked.now {
        Now::FreezingPoint { value, unit, .. } if solved.answer.corrected.is_none() => {
            Some(amount::whole_degrees(unit.to_celsius(value), system))
        }
        _ => freezing(state, system),
    }
}

/// The same of the end of the range that freezes first.
pub(super) fn freezing_worst(state: &State, system: System) -> Option<String> {
    let at = |t: f64| amount::whole_degrees(t, system);
    let below = || {
        state
            .freezing_at_most_worst_c
            .map(|t| words::at_or_below(&at(t)))
    };
    state.freezing_point_worst_c.map(at).or_else(below)
}

/// What a figure is, and how sure it is.
fn sure(name: &str, spread: &str) -> String {
    [name, words::GIVE_OR_TAKE, spread].concat()
}

fn frost_tile(
    solved: &Solved,
    before: Option<&State>,
    after: &State,
    system: System,
) -> Option<Tile> {
    let (coldest, _) = asked(solved, system);
    let note = sure(
        &words::freezes(room(after.freeze_room_k, system), coldest.as_deref()),
        &amount::frost_spread(system),
    );
    let worst = freezing_worst(after, system).map(|t| words::worst_end(&t));
    Some(Tile {
        figure: freezing(after, system).unwrap_or_else(|| words::NOT_KNOWN.to_owned()),
        note: [note, worst.unwrap_or_default()].concat(),
        before: before.and_then(|b| freezing_before(solved, b, system)),
        bad: after.freeze_room_k.is_some_and(|k| k < 0.0),
    })
}

fn boil_tile(
    solved: &Solved,
    before: Option<&State>,
    after: &State,
    system: System,
) -> Option<Tile> {
    let (_, peak) = asked(solved, system);
    let capped = solved.asked.cap.is_some();
    let degrees = |t: Option<f64>| t.map(|t| amount::whole_degrees(t, system));
    Some(Tile {
        figure: degrees(after.boiling_point_weakest_c)
            .unwrap_or_else(|| words::NOT_KNOWN.to_owned()),
        note: sure(
            &words::boils(capped, room(after.boil_room_k, system), peak.as_deref()),
            &amount::boil_spread(system),
        ),
        before: before.and_then(|b| degrees(b.boiling_point_weakest_c)),
        bad: after.boil_room_k.is_some_and(|k| k < 0.0),
    })
}

fn level_tile(before: Option<&State>, after: &State, system: System) -> Tile {
    let note = |words: &str, spread: Option<f64>| match spread {
        // Rounded up: never surer than it is.
        Some(spread) => sure(words, &amount::about(spread + 0.049, 1, system)),
        None => words.to_owned(),
    };
    let room = after.tank_room_litres_plus_minus;
    match after.tank_room_litres {
        Some(left) if left < 0.0 => Tile {
            figure: amount::about_short(-left, system),
            note: note(words::ROOM_SHORT, room),
            before: None,
            bad: true,
        },
        Some(left) => Tile {
            figure: amount::about((left - 0.05).max(0.0), 1, system),
            note: note(words::ROOM_LEFT, room),
            before: None,
            bad: false,
        },
        None => Tile {
            figure: amount::about(after.litres, 1, system),
            note: note(words::HOLDS, after.litres_plus_minus),
            before: before.map(|b| amount::about(b.litres, 1, system)),
            bad: false,
        },
    }
}

/// A rating as it was typed.
fn rating(q: Quantity<PressureUnit>) -> String {
    words::spaced(&print(q.value), q.unit.text())
}

/// Both caps: what the change costs and what is left.
pub(super) fn caps(solved: &Solved, system: System) -> Option<(String, Vec<Row>)> {
    let caps = solved.answer.caps.as_ref()?;
    let other = solved.asked.other_cap?;
    let fitted = solved.asked.cap;
    let named = match fitted {
        // "1.1 instead of 1.6 bar": the unit once where it is one.
        Some(q) if q.unit == other.unit => [print(other.value), rating(q)],
        Some(q) => [rating(other), rating(q)],
        None => [rating(other), words::NO_CAP.to_owned()],
    };
    let lower = [caps.lower_rated_k?, caps.lower_weakest_k?].map(|k| {
        let whole = fixed(amount::degrees(k.abs(), system), 0);
        words::lower(&whole, k < 0.0)
    });
    let [other_name, fitted_name] = named;
    let mut line = words::filled(
        words::CAPS,
        &[
            other_name,
            fitted_name,
            lower[0].clone(),
            words::degrees_short_of(&lower[0], &lower[1]),
        ],
    );
    let peak = solved.asked.peak_temperature;
    if let (Some(room), Some(peak)) = (room(caps.to_be_fitted.room_k, system), peak) {
        let at = amount::whole_degrees(peak.unit.to_celsius(peak.value), system);
        line.push_str(&words::cap_room(room, &at));
        if let (Some(room), Some(soaked)) = (
            self::room(caps.to_be_fitted.room_soaked_k, system),
            caps.soaked_c,
        ) {
            line.push_str(&words::cap_soaked(
                room,
                &amount::whole_degrees(soaked, system),
            ));
        }
    }
    line.push('.');
    let degrees = |t: Option<f64>| t.map(|t| amount::whole_degrees(t, system));
    type Figure = fn(&UnderCap) -> Option<f64>;
    let figures: [(&str, Figure); 3] = [
        (words::CAP_RATED, |u| u.rated_c),
        (words::CAP_NEW_WEAK, |u| u.new_c),
        (words::CAP_OLD_WEAK, |u| u.unknown_age_c),
    ];
    let row = |name: &str, before: Option<String>, after: Option<String>| {
        Some(Row {
            name: name.to_owned(),
            before: before?,
            after: after?,
        })
    };
    let (now, then) = (&caps.fitted, &caps.to_be_fitted);
    let mut rows: Vec<Row> = figures
        .iter()
        .filter_map(|(name, of)| row(name, degrees(of(now)), degrees(of(then))))
        .collect();
    let open = degrees(caps.open_c);
    rows.extend(row(words::CAP_OFF, open.clone(), open));
    Some((line, rows))
}

fn rows(solved: &Solved, before: Option<&State>, after: &State, system: System) -> Vec<Row> {
    let degrees = |t: Option<f64>| t.map(|t| amount::whole_degrees(t, system));
    let litres = |l: Option<f64>, spread| l.map(|l| amount::about_spread(l, spread, system));
    let share = |s: Option<f64>, spread| s.map(|s| amount::share_spread(s, spread));
    let freezes = sure(words::ROW_FREEZES, &amount::frost_spread(system));
    let boil_spread = amount::boil_spread(system);
    let boils = sure(words::ROW_BOILS, &boil_spread);
    let boils_worn = sure(words::ROW_BOILS_WORN, &boil_spread);
    let boils_open = sure(words::ROW_BOILS_OPEN, &boil_spread);
    let boils_other = sure(words::ROW_BOILS_OTHER, &boil_spread);
    type Figure<'a> = (&'a str, &'a dyn Fn(&State) -> Option<String>);
    let figures: [Figure; 16] = [
        (words::ROW_STRENGTH, &|s| {
            s.percent.map(|p| amount::percent_spread(p, s.plus_minus))
        }),
        (words::ROW_HOLDS, &|s| {
            litres(Some(s.litres), s.litres_plus_minus)
        }),
        (words::ROW_FILLED, &|s| litres(s.litres_filled, None)),
        (words::ROW_TOGETHER, &|s| {
            s.together_percent.map(|p| amount::percent(p, 1))
        }),
        (&freezes, &|s| freezing(s, system)),
        (words::ROW_FREEZES_WORST, &|s| freezing_worst(s, system)),
        (&boils, &|s| degrees(s.boiling_point_c)),
        (&boils_worn, &|s| degrees(s.boiling_point_weakest_c)),
        (&boils_open, &|s| degrees(s.boiling_point_open_c)),
        (&boils_other, &|s| degrees(s.boiling_point_other_cap_c)),
        (words::ROW_HOT, &|s| {
            litres(s.hot_litres, s.hot_litres_plus_minus)
        }),
        (words::ROW_ROOM, &|s| {
            litres(s.tank_room_litres, s.tank_room_litres_plus_minus)
        }),
        (words::ROW_COLDEST, &|s| {
            litres(s.coldest_litres, s.coldest_litres_plus_minus)
        }),
        (words::ROW_MINIMUM, &|s| {
            litres(s.above_minimum_litres, s.above_minimum_litres_plus_minus)
        }),
        (words::ROW_HEAT, &|s| {
            share(s.heat_carried_vs_water, s.heat_carried_vs_water_plus_minus)
        }),
        (words::ROW_FILM, &|s| {
            share(s.film_vs_water, s.film_vs_water_plus_minus)
        }),
    ];
    figures
        .iter()
        .filter_map(|(name, figure)| {
            let was = match before {
                Some(b) if *name == freezes => freezing_before(solved, b, system),
                before => before.and_then(*figure),
            };
            let is = figure(after);
            is.is_some().then(|| Row {
                name: (*name).to_owned(),
                before: was.unwrap_or_else(|| "\u{2013}".to_owned()),
                after: is.unwrap_or_default(),
            })
        })
        .collect()
}
