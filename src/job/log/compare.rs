//! Several logs compared: before and after, signal by signal, held blocks and free ones apart.

use serde::Serialize;

use super::read::{Read, SIGNALS};
use crate::engine::{
    after::{held::Thermostats, student::mean},
    log::{
        steady::Block,
        verdict::{Judged, Seen, Study, judge, kinds},
    },
};

/// Blocks slower than this are of a standing engine, km/h. Ours.
pub const STANDS: f64 = 5.0;
/// Speed may differ so much before it is said, km/h; load in points. Ours.
const UNLIKE: [f64; 2] = [10.0, 10.0];

/// What was stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Accuracy of the sensors, K.
    pub accuracy_k: f64,
    /// Drives of each side that are planned.
    pub planned: Option<u32>,
    /// The thermostat, before and after: what holds coolant.
    pub thermostats: Thermostats,
}

/// A file, and on which side it stands.
#[derive(Debug, Clone)]
pub struct Side {
    /// Its name.
    pub name: String,
    /// After the change.
    pub after: bool,
    /// What was read.
    pub read: Read,
}

/// What the logs say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The files, as they were understood.
    pub files: Vec<FileFinding>,
    /// One entry a signal and kind.
    pub signals: Vec<SignalFinding>,
    /// Mean speed after less before, km/h, where that differs much.
    pub speed_differs: Option<f64>,
    /// Mean load after less before, points, likewise.
    pub load_differs: Option<f64>,
    /// Blocks of a standing engine that are left out beside those of a moving vehicle.
    pub standing: u32,
    /// No column for ambient: nothing can be compared fairly.
    pub no_ambient: bool,
    /// No column for speed or load: a whole drive counts as steady.
    pub not_steady: bool,
}

/// A file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FileFinding {
    /// Its name.
    pub name: String,
    /// After the change.
    pub after: bool,
    /// Role, heading, unit, and whether that was guessed.
    pub columns: Vec<(&'static str, String, &'static str, bool)>,
    /// Rows read.
    pub rows: u64,
    /// Rows without a time.
    pub skipped: u64,
    /// Drives in it.
    pub drives: u32,
    /// Steady blocks in them.
    pub blocks: u32,
}

/// One signal of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SignalFinding {
    /// coolant, oil or intake.
    pub signal: &'static str,
    /// held, free or not_known.
    pub behaves: &'static str,
    /// Drives before and after.
    pub drives: (u32, u32),
    /// Blocks before and after.
    pub blocks: (u32, u32),
    /// After less before, K.
    pub difference_k: Option<f64>,
    /// Half-width at 95 %, K.
    pub plus_minus_k: Option<f64>,
    /// Kelvin a kelvin of ambient.
    pub slope: Option<f64>,
    /// Height of the line before, at 0 °C of ambient.
    pub height_c: Option<f64>,
    /// Probability by chance.
    pub p: Option<f64>,
    /// The chance of a false verdict that was allowed at this look, over all signals together.
    pub chance: Option<f64>,
    /// Ambient from and to, before and after, °C.
    pub ambient_c: [(f64, f64); 2],
    /// cooler, warmer, none_seen, cannot_tell, air_differed, air_apart, two_drives, few_drives, planned or one_side.
    pub verdict: &'static str,
    /// Each drive's mean ambient and mean signal, °C, and whether it is after: for a picture.
    pub points: Vec<(f64, f64, bool)>,
}

/// Compares.
pub fn compare(sides: &[Side], settings: &Settings) -> Finding {
    let drives = || {
        sides
            .iter()
            .flat_map(|s| s.read.drives.iter().map(move |d| (s.after, d)))
    };
    let moves = |b: &Block<3>| b.mean.speed.is_nan() || b.mean.speed >= STANDS;
    let has_moving = |after: bool| drives().any(|(a, d)| a == after && d.blocks.iter().any(moves));
    // A standing engine is another matter than a driven one.
    let driven = has_moving(false) && has_moving(true);
    let mut blocks: Vec<(usize, bool, Block<3>)> = Vec::new();
    let mut standing = 0;
    for (i, (after, drive)) in drives().enumerate() {
        for block in &drive.blocks {
            if !driven || moves(block) {
                blocks.push((i, after, *block));
            } else {
                standing += 1;
            }
        }
    }
    let has = |role: &str| {
        let columns = |s: &Side| s.read.columns.iter().any(|c| c.role.text() == role);
        !sides.is_empty() && sides.iter().all(columns)
    };
    let mut jobs = Vec::new();
    for (k, role) in SIGNALS.into_iter().enumerate() {
        let seen: Vec<Seen> = blocks
            .iter()
            .map(|(drive, after, b)| Seen {
                drive: *drive,
                after: *after,
                ambient: b.mean.ambient,
                value: b.mean.signals[k],
            })
            .filter(|s| s.ambient.is_finite() && s.value.is_finite())
            .collect();
        // A thermostat holds coolant; what oil and intake air do is not known of it.
        let thermostats = if k == 0 {
            settings.thermostats
        } else {
            Thermostats::default()
        };
        for (behaves, of) in kinds(&seen, &thermostats) {
            jobs.push((role, behaves, of, thermostats));
        }
    }
    let both = |of: &[Seen]| of.iter().any(|s| s.after) && of.iter().any(|s| !s.after);
    let together = jobs.iter().filter(|j| both(&j.2)).count();
    let signals = jobs.into_iter().map(|(role, behaves, of, thermostats)| {
        let study = Study {
            accuracy_k: settings.accuracy_k,
            planned: settings.planned,
            thermostats,
            together,
        };
        signal(role.text(), judge(behaves, &of, &study), &of)
    });
    let differs = |of: fn(&Block<3>) -> f64, much: f64| {
        let side = |after: bool| {
            let of_side = blocks.iter().filter(|b| b.1 == after);
            let list: Vec<f64> = of_side
                .map(|b| of(&b.2))
                .filter(|v| v.is_finite())
                .collect();
            (!list.is_empty()).then(|| mean(&list).0)
        };
        let by = side(true)? - side(false)?;
        (by.abs() >= much).then_some(by)
    };
    Finding {
        signals: signals.collect(),
        speed_differs: differs(|b| b.mean.speed, UNLIKE[0]),
        load_differs: differs(|b| b.mean.load, UNLIKE[1]),
        standing,
        no_ambient: !has("ambient"),
        not_steady: !has("speed") && !has("load"),
        files: sides.iter().map(file).collect(),
    }
}

fn file(side: &Side) -> FileFinding {
    let columns = side.read.columns.iter();
    let columns = columns.map(|c| (c.role.text(), c.heading.clone(), c.unit.text(), c.guessed));
    FileFinding {
        name: side.name.clone(),
        after: side.after,
        columns: columns.collect(),
        rows: side.read.rows,
        skipped: side.read.skipped,
        drives: side.read.drives.len() as u32,
        blocks: side.read.drives.iter().map(|d| d.blocks.len() as u32).sum(),
    }
}

fn signal(signal: &'static str, j: Judged, seen: &[Seen]) -> SignalFinding {
    let mut points: Vec<(usize, f64, f64, f64, bool)> = Vec::new();
    for s in seen {
        match points.iter_mut().find(|p| p.0 == s.drive) {
            Some(p) => (p.1, p.2, p.3) = (p.1 + s.ambient, p.2 + s.value, p.3 + 1.0),
            None => points.push((s.drive, s.ambient, s.value, 1.0, s.after)),
        }
    }
    let finite = |r: (f64, f64)| if r.0.is_finite() { r } else { (0.0, 0.0) };
    SignalFinding {
        signal,
        behaves: j.behaves.code(),
        drives: (j.drives.0 as u32, j.drives.1 as u32),
        blocks: (j.blocks.0 as u32, j.blocks.1 as u32),
        difference_k: j.difference_k,
        plus_minus_k: j.plus_minus_k,
        slope: j.slope,
        height_c: j.line.map(|l| l.0),
        p: j.probability,
        chance: j.chance,
        ambient_c: j.ambient.map(finite),
        verdict: j.verdict.code(),
        points: points.iter().map(|p| (p.1 / p.3, p.2 / p.3, p.4)).collect(),
    }
}
