//! The level column: what stays, what is drawn, each pour and the dose stacked in it, and the levels, to scale.
//!
//! Heights run from 0 (the top) to 1000 (the bottom), in proportion to litres. Through several rounds, what was in
//! the loop is followed by proportion: a draw takes of everything in it. Mixing shrinks by up to two parts in a
//! hundred, so the stack is drawn to the level the answer states.

use crate::app::{amount, choice::System, number::fixed, page::Solved, words};
use crate::engine::order::in_order;
use crate::job::{
    answer::{Do, State, Step},
    units::VolumeUnit,
};

/// Letters a line on the column's left: "31.5 fl oz".
const BESIDE: usize = 10;
/// Letters a label on its right may have.
const TO_THE_RIGHT: usize = 23;

/// The column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Bottom first.
    pub bands: Vec<Band>,
    /// The mark, the hot level, the top.
    pub marks: Vec<Mark>,
    /// How far up and down the hot level may be off.
    pub hot_band: Option<(i32, i32)>,
    /// Where it stood before.
    pub stood: Option<i32>,
    /// What the first draw takes: from, to, and in lines what is said of it.
    pub drawn: Option<(i32, i32, Vec<String>)>,
    /// The scale: where, and its figure where it has one.
    pub scale: Vec<(i32, Option<String>)>,
    /// The same in words.
    pub words: String,
}

/// A band of the column.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// What it is.
    pub kind: BandKind,
    /// Its upper edge.
    pub top: i32,
    /// Its lower edge.
    pub bottom: i32,
    /// Where its label stands, apart from the others.
    pub label_at: i32,
    /// Its label.
    pub label: String,
}

/// What a band is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BandKind {
    /// Was in there and stays.
    Stays,
    /// The additive.
    Dosed,
    /// A stock, by its pattern.
    Stock(u8),
}

/// A level.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Which.
    pub place: Place,
    /// Where.
    pub at: i32,
    /// Where its label stands, apart from the others.
    pub label_at: i32,
    /// Its label.
    pub label: String,
}

/// Which level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The top of the tank.
    Top,
    /// The hot level.
    Hot,
    /// The cold fill mark.
    Mark,
    /// The level on the coldest night.
    Coldest,
    /// The minimum mark.
    Minimum,
}

/// Least distance between two labels.
const LABEL_GAP: i32 = 58;

/// The column of an answered loop.
pub fn column(solved: &Solved, system: System) -> Option<Column> {
    let after = solved.answer.after.as_ref()?;
    // What stands against the marks is what there is at the temperature it is filled at.
    let stands = |s: &State| s.litres_filled.unwrap_or(s.litres);
    let (holds, held) = (
        stands(after),
        solved.answer.before.as_ref().map_or(0.0, stands),
    );
    let asked = &solved.asked;
    let stated = asked.volume.value * asked.volume.unit.litres();
    let mark = solved.answer.corrected.map_or(stated, |c| c.litres);
    let top = asked.tank_room.map(|q| mark + q.value * q.unit.litres());
    let highest = [Some(mark * 1.02), top, after.hot_litres, Some(held)];
    let full = highest.into_iter().flatten().fold(0.0, f64::max);
    let y = |litres: f64| 1000 - (litres / full * 1000.0).round() as i32;
    let parts = stacked(solved, held);
    let total: f64 = parts.iter().map(|(_, l)| l).sum();
    let stretch = if total > 0.0 { holds / total } else { 1.0 };
    let mut bands = Vec::new();
    let mut below = 0.0;
    for (kind, litres) in &parts {
        let above = below + litres * stretch;
        bands.push(Band {
            kind: *kind,
            top: y(above),
            bottom: y(below),
            label_at: (y(above) + y(below)) / 2,
            label: band_label(solved, *kind, *litres, system),
        });
        below = above;
    }
    let level = |place, litres: f64, name: &str| Mark {
        place,
        at: y(litres),
        label_at: y(litres),
        label: [name, &labelled(litres, system)].join(" "),
    };
    let mut marks = vec![level(Place::Mark, mark, words::MARK)];
    // The cold end, where there is a minimum to hold it against.
    if let Some(minimum) = asked.minimum {
        let lowest = mark - minimum.value * minimum.unit.litres();
        marks.push(level(Place::Minimum, lowest, words::MINIMUM));
        let coldest = after.coldest_litres;
        marks.extend(coldest.map(|litres| level(Place::Coldest, litres, words::COLDEST_LEVEL)));
    }
    marks.extend(
        after
            .hot_litres
            .map(|hot| level(Place::Hot, hot, words::HOT)),
    );
    marks.extend(top.map(|top| level(Place::Top, top, words::TOP)));
    let drawn = drawn(solved, system).map(|(first, lines)| {
        let down_to = (held - first).max(0.0);
        (y(held), y(down_to), lines)
    });
    // The top and the mark stand where they are: what counts is how sure the room between them is.
    let spread = after
        .tank_room_litres_plus_minus
        .or(after.hot_litres_plus_minus);
    let hot_band = after.hot_litres.zip(spread).map(|(hot, spread)| {
        let up = (hot + spread).min(full);
        (y(up), y(hot - spread))
    });
    let mut column = Column {
        hot_band,
        words: in_words(&bands),
        bands,
        marks,
        stood: (held > 0.0).then(|| y(held)),
        drawn,
        scale: scale(full, system, y),
    };
    column.spread_labels();
    for band in &mut column.bands {
        shorten(&mut band.label);
    }
    Some(column)
}

fn all_steps(solved: &Solved) -> impl Iterator<Item = &Step> {
    solved.answer.so_far.iter().chain(&solved.answer.steps)
}

/// What the first draw takes, and what is said of it: of several, the sum as well.
fn drawn(solved: &Solved, system: System) -> Option<(f64, Vec<String>)> {
    let draws = all_steps(solved).filter(|s| s.what == Do::Draw);
    let litres: Vec<f64> = draws.filter_map(|s| s.litres).collect();
    let first = *litres.first()?;
    let mut lines = vec![words::DRAWN.to_owned()];
    if litres.len() > 1 {
        words::DRAWN_FIRST.clone_into(&mut lines[0]);
    }
    fold(&amount::pour(first, system), &mut lines);
    if litres.len() > 1 {
        lines.push(words::DRAWN_IN_ALL.to_owned());
        fold(&amount::pour(litres.iter().sum(), system), &mut lines);
    }
    Some((first, lines))
}

/// Word by word; an amount stays with its unit where there is room for both.
fn fold(text: &str, lines: &mut Vec<String>) {
    for part in text.split(' ') {
        match part.split_once('\u{a0}') {
            Some((number, unit)) if part.chars().count() > BESIDE => {
                lines.push(number.to_owned());
                lines.push(unit.to_owned());
            }
            _ => lines.push(part.to_owned()),
        }
    }
}

/// What the loop is made of afterwards, by where it came from; bottom first.
fn stacked(solved: &Solved, held: f64) -> Vec<(BandKind, f64)> {
    let mut parts = vec![(BandKind::Stays, held)];
    for step in all_steps(solved) {
        let Some(litres) = step.litres else { continue };
        let kind = match step.what {
            Do::Draw => {
                let total: f64 = parts.iter().map(|(_, l)| l).sum();
                let left = if total > 0.0 {
                    (1.0 - litres / total).max(0.0)
                } else {
                    0.0
                };
                parts.iter_mut().for_each(|(_, l)| *l *= left);
                continue;
            }
            Do::Dose => BandKind::Dosed,
            Do::Pour => {
                let place = solved
                    .stocks
                    .iter()
                    .position(|s| Some(s) == step.stock.as_ref());
                let pattern = place.and_then(|i| solved.patterns.get(i).copied());
                BandKind::Stock(pattern.unwrap_or(1))
            }
            Do::Run | Do::Check => continue,
        };
        match parts.iter_mut().find(|(k, _)| *k == kind) {
            Some((_, total)) => *total += litres,
            None => parts.push((kind, litres)),
        }
    }
    parts.retain(|(_, l)| *l > 1e-6);
    parts
}

fn band_label(solved: &Solved, kind: BandKind, litres: f64, system: System) -> String {
    let name = match kind {
        BandKind::Stays => return [words::STAYS, &labelled(litres, system)].join(" "),
        BandKind::Dosed => words::DOSED.to_owned(),
        BandKind::Stock(pattern) => {
            let place = solved.patterns.iter().position(|p| *p == pattern);
            place
                .and_then(|i| solved.stocks.get(i))
                .map(|n| words::in_sentence(n))
                .unwrap_or_default()
        }
    };
    let several = all_steps(solved).filter(|s| s.what == Do::Draw).count() > 1;
    // What is left of it after later draws is worked out, not measured.
    let amount = match kind {
        BandKind::Dosed => amount::dose(litres, system),
        _ if several => labelled(litres, system),
        _ => amount::pour(litres, system),
    };
    // Quarts and ounces over are too many words here.
    let amount = if amount.contains(' ') {
        labelled(litres, system)
    } else {
        amount
    };
    [name, amount].join(" ")
}

/// A volume on a label.
fn labelled(litres: f64, system: System) -> String {
    amount::about(litres, if litres < 50.0 { 2 } else { 1 }, system)
}

/// A label with no more of its name than there is room for; the steps have all of it.
fn shorten(label: &mut String) {
    let Some((name, amount)) = label.rsplit_once(' ') else {
        return;
    };
    let room = TO_THE_RIGHT.saturating_sub(amount.chars().count() + 1);
    if name.chars().count() <= room {
        return;
    }
    let kept: String = name.chars().take(room.saturating_sub(2)).collect();
    *label = [&words::isolated(kept.trim_end()), "\u{2026} ", amount].concat();
}

fn in_words(bands: &[Band]) -> String {
    let labels: Vec<String> = bands.iter().map(|b| b.label.clone()).collect();
    words::listed(&labels)
}

/// Lines every so many litres, quarts or pints: at most some fourteen, a figure at every fifth or at each of few.
fn scale(full: f64, system: System, y: impl Fn(f64) -> i32) -> Vec<(i32, Option<String>)> {
    let unit = match system {
        System::Metric => VolumeUnit::L,
        System::Us => VolumeUnit::UsQt,
        System::Imperial => VolumeUnit::ImpPt,
    };
    let most = full / unit.litres();
    let steps = [
        0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0,
    ];
    let step = steps
        .into_iter()
        .find(|s| most / s <= 14.0)
        .unwrap_or(1000.0);
    let decimals = u32::from(step < 1.0);
    let every = if most / step > 7.0 { 2 } else { 1 };
    (1..=(most / step) as u32)
        .map(|n| {
            let at = f64::from(n) * step;
            (
                y(at * unit.litres()),
                (n % every == 0).then(|| fixed(at, decimals)),
            )
        })
        .collect()
}

impl Column {
    /// Moves labels apart that would stand on each other: upwards from the bottom, then back down from the top.
    fn spread_labels(&mut self) {
        let bands = self.bands.iter_mut().map(|b| &mut b.label_at);
        let marks = self.marks.iter_mut().map(|m| &mut m.label_at);
        let mut places: Vec<&mut i32> = bands.chain(marks).collect();
        in_order(&mut places, |a, b| b.cmp(a));
        let mut below = 1000 + LABEL_GAP / 2;
        for place in &mut places {
            **place = (**place).min(below - LABEL_GAP);
            below = **place;
        }
        let mut above = -LABEL_GAP;
        for place in places.iter_mut().rev() {
            **place = (**place).max(above + LABEL_GAP);
            above = **place;
        }
    }
}
