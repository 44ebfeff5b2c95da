//! Temperatures before and after: the verdict of each place, and its chart.

use super::after::{AfterView, each, sourced};
use crate::app::{amount, choice::System, number::fixed, page::Page, words};
use crate::engine::after::{
    student::{CHANCE, mean, t_95},
    survey,
};
use crate::job::after::survey::{SpotFinding, SurveyFinding, Unlike};

/// One place.
#[derive(Debug, Clone, PartialEq)]
pub struct SpotView {
    /// Its name.
    pub name: String,
    /// Its verdict's code.
    pub code: &'static str,
    /// In words.
    pub verdict: String,
    /// Drawn; `None` where there is nothing to draw.
    pub chart: Option<SpotChart>,
    /// Before, after, change, as the table has them.
    pub row: Vec<String>,
}

/// A place's chart: figures are 0 to 1000 across.
#[derive(Debug, Clone, PartialEq)]
pub struct SpotChart {
    /// What is drawn, and of what: for a screen reader.
    pub words: String,
    /// Before, then after.
    pub sides: [SideChart; 2],
    /// Ends of the scale.
    pub scale: [String; 2],
}

/// One side of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SideChart {
    /// One dot a stop.
    pub dots: Vec<i32>,
    /// The 95 % range of their mean.
    pub range: Option<(i32, i32)>,
}

/// A temperature to a tenth, or a rise.
fn figure(value: f64, rise: bool, system: System) -> String {
    if rise {
        return amount::tenths(value, system);
    }
    let shown = system.temperature().from_celsius(value);
    words::spaced(&fixed(shown, 1), amount::degree_sign(system))
}

pub(super) fn about(view: &mut AfterView, page: &Page) {
    let Some(found) = page.survey.as_ref().filter(|s| s.error.is_none()) else {
        return;
    };
    if page.model.survey.runs.is_empty() {
        return;
    }
    let system = page.model.system;
    if found.spots.iter().all(|s| s.difference_k.is_none()) {
        view.verdicts = words::NO_RUNS.to_owned();
        return;
    }
    view.verdicts = summary(found, system);
    for spot in &found.spots {
        view.spots.push(SpotView {
            name: spot.name.clone(),
            code: spot.verdict,
            verdict: verdict(spot, found, system),
            chart: chart(spot, system),
            row: row(spot, system),
        });
        view.why.extend(why(spot, found, system));
    }
    view.why.push(sourced(
        survey::COMPARISON_FORMULA,
        &survey::COMPARISON_SOURCE,
    ));
    view.why
        .push(sourced(survey::SURFACE_FORMULA, &survey::SURFACE_SOURCE));
    view.notes = notes(found, system);
}

/// What was not alike, and what was left out.
pub(super) fn notes(found: &SurveyFinding, system: System) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(shift) = found.thermostat_shift_k {
        let by = amount::tenths(shift.abs(), system);
        notes.push(words::thermostat_shift(&by, shift < 0.0));
    }
    for unlike in &found.unlike {
        let by = match unlike.what {
            "minutes" => fixed(unlike.by, 0),
            _ => about_degrees(unlike.by, system),
        };
        let could = about_degrees(unlike.could_k, system);
        notes.push(words::unlike(unlike.what, unlike.by < 0.0, &by, &could));
    }
    if found.unpaired > 0 {
        let count = found.unpaired.to_string();
        notes.push(words::filled(words::UNPAIRED, &[count]));
    }
    notes
}

/// A difference in whole degrees of the page's scale, to the nearest.
fn about_degrees(kelvins: f64, system: System) -> String {
    let whole = fixed(amount::degrees(kelvins.abs(), system), 0);
    words::spaced(&whole, amount::degree_sign(system))
}

/// All places in one line.
pub(super) fn summary(found: &SurveyFinding, system: System) -> String {
    let names = |code| {
        let of = found.spots.iter().filter(|s| s.verdict == code);
        of.map(|s| words::isolated(&s.name)).collect::<Vec<_>>()
    };
    if let (None, Some(planned)) = (found.chance, found.planned) {
        return words::filled(words::WAITS, &[planned.to_string()]);
    }
    let (cooler, warmer) = (names("cooler"), names("warmer"));
    let open = found.spots.len() - cooler.len() - warmer.len();
    let few: Vec<&SpotFinding> = found
        .spots
        .iter()
        .filter(|s| s.verdict == "few_runs")
        .collect();
    if let [first, ..] = few[..]
        && cooler.is_empty()
        && warmer.is_empty()
    {
        let seen = few.iter().filter_map(|s| s.difference_k);
        let (low, high) = seen.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), k| {
            (low.min(k), high.max(k))
        });
        let whole = |k: f64| fixed(amount::degrees(k.abs(), system), 0);
        let ends = [whole(low), whole(high)];
        let least = few.iter().map(|s| (s.runs_before, s.runs_after));
        let runs = least.min().unwrap_or((first.runs_before, first.runs_after));
        let name = words::isolated(&first.name);
        return words::few_runs(
            (few.len() < 2).then_some(&name),
            few.len(),
            (low, high),
            &ends,
            amount::degree_sign(system),
            runs,
        );
    }
    words::verdicts(&cooler, &warmer, open)
}

/// A place's verdict in words.
pub(super) fn verdict(spot: &SpotFinding, found: &SurveyFinding, system: System) -> String {
    let k = spot.difference_k.unwrap_or(0.0);
    let half = spot.plus_minus_k.unwrap_or(0.0);
    let tenths = |k: f64| amount::tenths(k, system);
    let nearest = (k.abs() - half).max(0.0);
    let air = found.unlike.iter().find(|u| u.what == "air");
    let figures = [
        k.abs(),
        nearest,
        k.abs() + half,
        spot.floor_k,
        k - half,
        k + half,
        k,
        spot.difference_temperature_k.unwrap_or(0.0),
        spot.difference_rise_k.unwrap_or(0.0),
    ];
    let mut figures = each(&figures, &tenths);
    figures.push(about_degrees(air.map_or(0.0, |u| u.by), system));
    let alone = spot.p.is_some_and(|p| p < CHANCE);
    let runs = (
        spot.runs_before,
        spot.runs_after,
        found.planned.unwrap_or(0),
    );
    let mut text = words::verdict(spot.verdict, &figures, alone, runs);
    let told = matches!(spot.verdict, "cooler" | "warmer");
    if spot.behaves == "held" && spot.difference_k.is_some() {
        text.push_str(words::HELD);
        if let Some(shift) = found.thermostat_shift_k.filter(|_| told) {
            text.push_str(&words::filled(words::OWN_SHIFT, &[tenths(shift)]));
        }
    }
    let explains = |u: &&Unlike| u.what != "air" && u.could_k >= k.abs();
    if told && let Some(u) = found.unlike.iter().find(explains) {
        text.push_str(&words::filled(
            words::DOUBT,
            &[words::of_unlike(u.what).to_owned()],
        ));
    }
    if let Some(from) = spot.more_from {
        let sought = found.sought_k.unwrap_or(spot.floor_k);
        text.push_str(&words::more(from, spot.more_to, &tenths(sought)));
    }
    text
}

fn row(spot: &SpotFinding, system: System) -> Vec<String> {
    let sides = if spot.by_rise {
        [spot.before_k, spot.after_k]
    } else {
        [spot.before_c, spot.after_c]
    };
    let mut row: Vec<String> = sides
        .into_iter()
        .map(|value| value.map(|v| figure(v, spot.by_rise, system)))
        .chain([spot.difference_k.map(|k| amount::tenths(k, system))])
        .map(|cell| cell.unwrap_or_else(|| "\u{2013}".to_owned()))
        .collect();
    if spot.by_rise {
        for cell in &mut row[..2] {
            cell.insert(0, '+');
        }
    }
    row
}

fn chart(spot: &SpotFinding, system: System) -> Option<SpotChart> {
    spot.difference_k?;
    let pick = |list: &[(f64, f64)]| -> Vec<f64> {
        let of = |f: &(f64, f64)| if spot.by_rise { f.1 } else { f.0 };
        list.iter().map(of).collect()
    };
    let sides = [pick(&spot.figures_before), pick(&spot.figures_after)];
    let range = |list: &[f64]| {
        let (middle, error) = mean(list);
        let half = error? * t_95(list.len() as u32 - 1);
        Some((middle - half, middle + half))
    };
    // A range wider than the figures' own spread three times over would squeeze the dots into one: it is drawn cut off.
    let dots = sides.iter().flatten().copied();
    let (low, high) = dots.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
        (l.min(v), h.max(v))
    });
    let room = (high - low).max(1.0);
    let ranges = sides.each_ref().map(|s| range(s));
    let ends = ranges.iter().flatten();
    let (low, high) = ends.fold((low, high), |(l, h), r| {
        (l.min(r.0.max(low - room)), h.max(r.1.min(high + room)))
    });
    let width = (high - low).max(1.0);
    let at = |v: f64| {
        let share = crate::engine::range::held((v - low) / width, 0.0, 1.0);
        (share * 1000.0).round() as i32
    };
    let drawn = |i: usize| SideChart {
        dots: sides[i].iter().map(|&v| at(v)).collect(),
        range: ranges[i].map(|r| (at(r.0), at(r.1))),
    };
    Some(SpotChart {
        words: words::filled(
            words::SPOT_CHART,
            &[
                words::isolated(&spot.name),
                words::measured(spot.by_rise).to_owned(),
            ],
        ),
        sides: [drawn(0), drawn(1)],
        scale: [low, low + width].map(|v| figure(v, spot.by_rise, system)),
    })
}

fn why(spot: &SpotFinding, found: &SurveyFinding, system: System) -> Option<String> {
    let tenths = |k: f64| amount::tenths(k, system);
    let half = spot.plus_minus_k?;
    let difference = [
        tenths(spot.difference_k?),
        fixed(amount::degrees(half, system), 1),
    ]
    .join(" ± ");
    Some(words::filled(
        words::WHY_SPOT,
        &[
            words::isolated(&spot.name),
            words::runs_counted(spot.runs_before, spot.runs_after, spot.paired),
            words::judged_by(spot.judged_by).to_owned(),
            difference,
            fixed(spot.p?, 4),
            fixed(spot.p_together?, 4),
            fixed(found.chance?, 4),
            tenths(spot.floor_k),
        ],
    ))
}
