//! What the drives allow to be said of one signal.
//!
//! Blocks that the thermostat holds and blocks that follow the air are never in one line. Where the thermostat is known each
//! kind has its own, over ambient; where it is not, the signal is judged both as it stands and as a rise above ambient, and a
//! verdict needs both to agree.

use super::fit::{Case, Fit, Line, fit};
use crate::engine::after::{
    held::{Behaves, SLACK_K, Thermostats},
    power::chance,
    student::{CHANCE, t_95, two_sided},
};

/// As many drives of each side are needed.
pub const FEW: usize = 3;
/// Ambient ranges must overlap by this share of what both span together. Ours.
pub const OVERLAP: f64 = 1.0 / 3.0;
/// Where both span no more than this, the air was the same, K. Ours.
pub const SAME_AIR_K: f64 = 3.0;

/// A block of a drive, as it is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Which drive.
    pub drive: usize,
    /// After the change.
    pub after: bool,
    /// °C.
    pub ambient: f64,
    /// °C.
    pub value: f64,
}

/// What can be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Cooler, beyond chance and the sensor.
    Cooler,
    /// Warmer, likewise.
    Warmer,
    /// Less than the sensor can tell.
    NoneSeen,
    /// The drives vary too much.
    CannotTell,
    /// As it stands it says one thing and as a rise another.
    AirDiffered,
    /// Ambient before and after barely overlap.
    AirApart,
    /// Two drives, one of each: they differ by so much, and no more can be said.
    TwoDrives,
    /// Fewer than three drives of a side.
    FewDrives,
    /// The planned drives are not in.
    Planned,
    /// No steady block of a side.
    OneSide,
}

impl Verdict {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Cooler => "cooler",
            Self::Warmer => "warmer",
            Self::NoneSeen => "none_seen",
            Self::CannotTell => "cannot_tell",
            Self::AirDiffered => "air_differed",
            Self::AirApart => "air_apart",
            Self::TwoDrives => "two_drives",
            Self::FewDrives => "few_drives",
            Self::Planned => "planned",
            Self::OneSide => "one_side",
        }
    }
}

/// One signal of one kind, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// What the blocks do.
    pub behaves: Behaves,
    /// Drives before and after with a block of this kind.
    pub drives: (usize, usize),
    /// Blocks before and after.
    pub blocks: (usize, usize),
    /// After less before, K, at equal ambient where there is a line over it.
    pub difference_k: Option<f64>,
    /// Half-width of its 95 % interval, K.
    pub plus_minus_k: Option<f64>,
    /// Kelvin a kelvin of ambient.
    pub slope: Option<f64>,
    /// The line: height before, and slope.
    pub line: Option<(f64, f64)>,
    /// By chance alone.
    pub probability: Option<f64>,
    /// The chance of a false verdict that is allowed at this look.
    pub chance: Option<f64>,
    /// Ambient from and to, before and after.
    pub ambient: [(f64, f64); 2],
    /// What can be said.
    pub verdict: Verdict,
}

/// What was stated beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Study {
    /// Accuracy of the sensor, K: a smaller difference is not seen.
    pub accuracy_k: f64,
    /// Drives of each side that are planned.
    pub planned: Option<u32>,
    /// What holds the signal, where it does.
    pub thermostats: Thermostats,
    /// As many signals and kinds are judged together.
    pub together: usize,
}

/// Blocks of a signal by what they do: held, free, and of neither known; without a thermostat all are the last.
pub fn kinds(seen: &[Seen], thermostats: &Thermostats) -> Vec<(Behaves, Vec<Seen>)> {
    let kind = |s: &Seen| {
        let one = if s.after {
            thermostats.after
        } else {
            thermostats.before
        };
        match one {
            Some(t) if s.value > t.full_open_c + SLACK_K => Behaves::Free,
            Some(t) if s.value >= t.opens_c - SLACK_K => Behaves::Held,
            // Not warm yet: left out where the thermostat is known.
            Some(_) => return None,
            None => Behaves::Unknown,
        }
        .into()
    };
    [Behaves::Held, Behaves::Free, Behaves::Unknown]
        .into_iter()
        .map(|wanted| {
            let of = seen.iter().filter(|s| kind(s) == Some(wanted));
            (wanted, of.copied().collect())
        })
        .filter(|(_, list): &(_, Vec<Seen>)| !list.is_empty())
        .collect()
}

fn drives(seen: &[Seen], after: bool) -> usize {
    let mut list: Vec<usize> = Vec::new();
    for s in seen.iter().filter(|s| s.after == after) {
        if !list.contains(&s.drive) {
            list.push(s.drive);
        }
    }
    list.len()
}

fn range(seen: &[Seen], after: bool) -> (f64, f64) {
    let of = seen.iter().filter(|s| s.after == after);
    of.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
        (low.min(s.ambient), high.max(s.ambient))
    })
}

/// Do ambient ranges overlap enough for one line?
fn overlap([before, after]: [(f64, f64); 2]) -> bool {
    let span = before.1.max(after.1) - before.0.min(after.0);
    let both = before.1.min(after.1) - before.0.max(after.0);
    span <= SAME_AIR_K || both >= OVERLAP * span
}

/// Judges the blocks of one kind.
pub fn judge(behaves: Behaves, seen: &[Seen], study: &Study) -> Judged {
    let (before, after) = (drives(seen, false), drives(seen, true));
    let ambient = [range(seen, false), range(seen, true)];
    let fewest = before.min(after) as u32;
    let extra = (before + after).saturating_sub(2 * study.planned.unwrap_or(fewest) as usize);
    let chance = chance(fewest, extra as u32, study.planned);
    let cases = |rise: bool| -> Vec<Case> {
        let case = |s: &Seen| Case {
            drive: s.drive,
            after: s.after,
            x: s.ambient,
            y: if rise { s.value - s.ambient } else { s.value },
        };
        seen.iter().map(case).collect()
    };
    let fits: Vec<Fit> = match behaves {
        Behaves::Unknown => [false, true]
            .into_iter()
            .filter_map(|rise| fit(&cases(rise), Line::Means))
            .collect(),
        // Air that did not change tells no slope.
        _ => fit(&cases(false), Line::OneSlope)
            .or_else(|| fit(&cases(behaves == Behaves::Free), Line::Means))
            .into_iter()
            .collect(),
    };
    let p = |f: &Fit| two_sided(f.line[1] / f.change_error().max(1e-9), f.freedom);
    let surest = |a: &&Fit, b: &&Fit| p(a).total_cmp(&p(b));
    let shown = fits.iter().max_by(surest);
    let mut judged = Judged {
        behaves,
        drives: (before, after),
        blocks: (
            seen.iter().filter(|s| !s.after).count(),
            seen.iter().filter(|s| s.after).count(),
        ),
        difference_k: shown.map(|f| f.line[1]),
        plus_minus_k: shown.map(|f| f.change_error() * t_95(f.freedom)),
        slope: shown.and_then(|f| f.line.get(2).copied()),
        line: shown
            .filter(|f| f.line.len() > 2)
            .map(|f| (f.line[0], f.line[2])),
        probability: shown.map(p),
        chance,
        ambient,
        verdict: Verdict::OneSide,
    };
    if before == 0 || after == 0 {
        judged.difference_k = None;
        judged.plus_minus_k = None;
        judged.probability = None;
        return judged;
    }
    if before.min(after) < FEW {
        judged.difference_k = Some(plain_difference(seen));
        judged.plus_minus_k = None;
        judged.probability = None;
        judged.verdict = if before == 1 && after == 1 {
            Verdict::TwoDrives
        } else {
            Verdict::FewDrives
        };
        return judged;
    }
    let Some(chance) = chance else {
        judged.verdict = Verdict::Planned;
        return judged;
    };
    let level = chance / study.together.max(1) as f64;
    let says = |f: &Fit| {
        let k = f.line[1];
        if k.abs() < study.accuracy_k {
            Verdict::NoneSeen
        } else if p(f) >= level.min(CHANCE) {
            Verdict::CannotTell
        } else if k < 0.0 {
            Verdict::Cooler
        } else {
            Verdict::Warmer
        }
    };
    let verdicts: Vec<Verdict> = fits.iter().map(says).collect();
    judged.verdict = match verdicts[..] {
        _ if !overlap(ambient) => Verdict::AirApart,
        [one] => one,
        [one, other] if one == other => one,
        [_, _] => Verdict::AirDiffered,
        _ => Verdict::CannotTell,
    };
    judged
}

/// Means of the drives' means, after less before.
fn plain_difference(seen: &[Seen]) -> f64 {
    let side = |after: bool| {
        let mut sums: Vec<(usize, f64, f64)> = Vec::new();
        for s in seen.iter().filter(|s| s.after == after) {
            match sums.iter_mut().find(|d| d.0 == s.drive) {
                Some(d) => (d.1, d.2) = (d.1 + s.value, d.2 + 1.0),
                None => sums.push((s.drive, s.value, 1.0)),
            }
        }
        let n = sums.len() as f64;
        sums.iter().map(|d| d.1 / d.2 / n).sum::<f64>()
    };
    side(true) - side(false)
}
