//! Afterwards: what the instrument should read, what it comes to, levels, spots, the record.

use super::{step::doing_steps, survey::SpotView};
use crate::app::{
    after,
    amount::{self, percent},
    choice::System,
    field::Field,
    model::Spot,
    number::{fixed, print},
    page::{Page, Solved},
    unit::Unit,
    words,
};
use crate::engine::after::check_back;
use crate::job::{
    after::{BackFinding, LevelsFinding},
    file::SizedVolume,
    units::VolumeUnit,
};

/// The fold of afterwards.
#[derive(Debug, Clone, PartialEq)]
pub struct AfterView {
    /// What it should read.
    pub should: String,
    /// The fields of the re-reading.
    pub fields: Vec<Spot>,
    /// What it comes to.
    pub finding: Option<Finding>,
    /// The volume before a re-reading corrected it.
    pub was: Option<String>,
    /// What the levels say.
    pub levels: Vec<String>,
    /// The levels drawn.
    pub plot: Option<Plot>,
    /// What the spots say, in one line.
    pub verdicts: String,
    /// One a spot, where there are runs.
    pub spots: Vec<SpotView>,
    /// What else to know of the survey.
    pub notes: Vec<String>,
    /// Why these numbers: of the spots, and of the volume.
    pub why: Vec<String>,
    /// The record: headings and lines.
    pub record: Vec<(String, Vec<String>)>,
}

/// What a re-reading comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Nothing to do.
    pub good: bool,
    /// In a few words.
    pub heading: String,
    /// What follows from it.
    pub lines: Vec<String>,
    /// Why, likeliest first.
    pub causes: Vec<String>,
    /// The button that takes the volume.
    pub take: Option<String>,
    /// The plan on from there.
    pub then: Option<String>,
}

/// Levels drawn: 0 to 1000 each way.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Across, and down from the mark.
    pub points: Vec<(i32, i32)>,
    /// The same in words: day, and what was missing.
    pub rows: Vec<(String, String)>,
}

/// Figures in words, one after the other.
pub(super) fn each(figures: &[f64], words: &dyn Fn(f64) -> String) -> Vec<String> {
    figures.iter().map(|&f| words(f)).collect()
}

/// A reading on its own scale.
pub(super) fn on_scale(by: &str, value: f64, system: System) -> String {
    match by {
        "freezing_point" => amount::whole_degrees(value, system),
        "specific_gravity" => fixed(value, 3),
        "refractive_index" => fixed(value, 4),
        "brix" => words::spaced(&fixed(value, 1), "°Bx"),
        _ => percent(value, 1),
    }
}

/// The fold of afterwards, for the loop in sight.
pub fn after(page: &Page) -> AfterView {
    let (model, shown) = (&page.model, page.current());
    let system = model.system;
    let lp = model.current();
    let by = after::instrument(lp);
    let mut fields = vec![
        Spot::Loop(after::back_field(by)),
        Spot::Loop(after::back_spread(by)),
    ];
    if matches!(
        fields[0],
        Spot::Loop(Field::BackGravity | Field::BackIndex | Field::BackBrix)
    ) {
        fields.push(Spot::Loop(Field::BackAt));
    }
    fields.push(Spot::BackDate);
    let mut view = AfterView {
        should: words::BACK_NO_PLAN.to_owned(),
        fields,
        finding: None,
        was: None,
        levels: Vec::new(),
        plot: None,
        verdicts: String::new(),
        spots: Vec::new(),
        notes: Vec::new(),
        why: Vec::new(),
        record: Vec::new(),
    };
    if let Some(solved) = shown.solved.as_ref().filter(|_| shown.fresh) {
        about_loop(&mut view, solved, system);
    }
    super::survey::about(&mut view, page);
    view.record = super::record::record(page);
    view
}

fn about_loop(view: &mut AfterView, solved: &Solved, system: System) {
    if let Some(s) = solved.shows {
        let figures = each(&[s.value, s.low, s.high], &|v| on_scale(s.by, v, system));
        view.should = words::filled(words::BACK_SHOULD, &figures);
    }
    if let Some(back) = &solved.answer.check_back {
        view.finding = finding(back, system);
        if back.volume.is_some() {
            view.why.push(sourced(
                check_back::VOLUME_FORMULA,
                &check_back::VOLUME_SOURCE,
            ));
        }
    }
    view.was = was(&solved.asked.volume);
    if let Some(levels) = &solved.answer.levels {
        view.levels = level_lines(levels, system);
        view.plot = plot(levels, system);
    }
}

/// What the re-reading came to, in a few words.
pub fn after_digest(page: &Page) -> String {
    let shown = page.current();
    let solved = shown.solved.as_ref().filter(|_| shown.fresh);
    let back = solved.and_then(|s| s.answer.check_back.as_ref());
    back.and_then(|b| finding(b, page.model.system))
        .map_or(String::new(), |f| f.heading)
}

pub(super) fn was(volume: &SizedVolume) -> Option<String> {
    let was = in_unit(volume.was?, volume.unit);
    Some(words::filled(words::WAS, &[was]))
}

pub(super) fn in_unit(value: f64, unit: VolumeUnit) -> String {
    words::spaced(&print(value), &words::unit(Unit::Volume(unit)))
}

pub(super) fn sourced(formula: &str, source: &crate::engine::source::Source) -> String {
    [
        formula,
        ". ",
        source.citation,
        ". ",
        words::WHY_ERROR,
        ": ",
        source.stated_error,
        ".",
    ]
    .concat()
}

pub(super) fn finding(back: &BackFinding, system: System) -> Option<Finding> {
    let code = back.finding?;
    let off = (back.percent? - back.expected_percent?).abs();
    let points = [fixed(off, 1)];
    let good = code == "as_planned";
    let litres = |l: f64| amount::about(l, 1, system);
    let volume = back.volume.map(|v| {
        each(
            &[v.litres, v.low_litres, v.high_litres, v.book_litres],
            &litres,
        )
    });
    let mut lines = Vec::new();
    if let Some(v) = volume.as_ref().filter(|_| good) {
        lines.push(words::filled(words::VOLUME_FITS, v));
    }
    if let Some(why) = back.no_volume {
        let points = [why.changed.unwrap_or(0.0), why.needed.unwrap_or(0.0)];
        let figures = each(&points, &|p| fixed(p, 0));
        lines.push(words::filled(
            match why.code {
                "too_small" => words::VOLUME_TOO_SMALL,
                "nothing_before" => words::VOLUME_NOTHING,
                _ => words::VOLUME_UNEXPLAINED,
            },
            &figures,
        ));
    }
    if let Some(dose) = back.dose.filter(|d| !good || d.over) {
        let figures = each(&[dose.holds_litres, dose.limit_litres], &|l| {
            amount::dose(l, system)
        });
        let sentence = if dose.over {
            words::DOSE_OVER
        } else {
            words::DOSE_FITS
        };
        lines.push(words::filled(sentence, &figures));
    }
    let left = back.volume.and_then(|v| v.left_behind_litres).map(litres);
    let causes = back.causes.iter();
    let then = back.correction.as_ref().map(|c| {
        let line = words::headline(&doing_steps(&c.steps, system));
        let line: String = line.iter().map(|p| p.text.as_str()).collect();
        words::filled(words::CORRECTION, &[words::in_sentence(&line)])
    });
    Some(Finding {
        good,
        heading: match code {
            "stronger" => words::filled(words::BACK_STRONGER, &points),
            "weaker" => words::filled(words::BACK_WEAKER, &points),
            _ => words::BACK_AS_PLANNED.to_owned(),
        },
        lines,
        causes: causes
            .map(|c| words::cause(c, volume.as_deref(), left.clone()))
            .collect(),
        take: volume
            .filter(|_| !good)
            .map(|v| words::filled(words::TAKE_VOLUME, &v)),
        then,
    })
}

fn days(days: f64) -> String {
    words::spaced(&fixed(days, 0), words::DAYS)
}

pub(super) fn level_lines(found: &LevelsFinding, system: System) -> Vec<String> {
    let (Some(level), Some(strength)) = (found.level, found.strength) else {
        return Vec::new();
    };
    let litres = |l: f64| amount::about(l.abs(), 2, system);
    let figures = [
        litres(found.lost_litres),
        litres(found.plus_minus),
        days(found.days),
        amount::dose(found.litres_per_day.unwrap_or(0.0).abs(), system),
    ];
    let points = fixed(found.points.unwrap_or(0.0).abs(), 1);
    let drift = words::drift(
        strength,
        &points,
        &litres(found.water_litres.unwrap_or(0.0)),
    );
    let mut lines = vec![words::level(level, &figures)];
    if !drift.is_empty() {
        lines.push(drift);
    }
    lines
}

fn plot(found: &LevelsFinding, system: System) -> Option<Plot> {
    if found.days <= 0.0 {
        return None;
    }
    let losses = || found.looks.iter().map(|l| l.1);
    let (low, high) = (losses().fold(0.0, f64::min), losses().fold(0.1, f64::max));
    let scaled = |share: f64| (share * 1000.0).round() as i32;
    let at = |&(day, lost): &(f64, f64)| {
        (
            scaled(day / found.days),
            scaled((lost - low) / (high - low)),
        )
    };
    let row = |&(day, lost): &(f64, f64)| (fixed(day, 0), amount::about(lost, 2, system));
    Some(Plot {
        points: found.looks.iter().map(at).collect(),
        rows: found.looks.iter().map(row).collect(),
    })
}
