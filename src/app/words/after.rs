//! Afterwards, in words: the re-reading, levels, spots before and after, the record.

use super::filled;
use crate::app::{
    after::{LevelPart, RunPart},
    model::Spot,
};

/// The fold.
pub const FOLD_AFTER: &str = "After the job";
/// The re-reading.
pub const BACK: &str = "Re-test";
/// Its instrument.
pub const BACK_BY: &str = "Re-tested with";
/// Before there is a plan.
pub const BACK_NO_PLAN: &str = "Once the card stands, this says what it should read.";
/// What it should read.
pub const BACK_SHOULD: &str =
    "After running, cooling and bleeding it should read {}. From {} to {} is on target.";
/// What came of it.
pub const BACK_AS_PLANNED: &str = "On target";
/// Stronger.
pub const BACK_STRONGER: &str = "Above target by {} points";
/// Weaker.
pub const BACK_WEAKER: &str = "Below target by {} points";
/// Over the causes.
pub const CAUSES: &str = "Possible causes, the likeliest first";
/// The volume it implies, where nothing is wrong.
pub const VOLUME_FITS: &str = "By this reading the capacity is {}, or anything from {} to {}.";
/// The change was too small.
pub const VOLUME_TOO_SMALL: &str = "Too small a change to check the capacity from: it changed by {} points, and it needs about {}.";
/// Nothing known before.
pub const VOLUME_NOTHING: &str =
    "The capacity cannot be checked: what was in it before is not known.";
/// No volume explains it.
pub const VOLUME_UNEXPLAINED: &str = "No capacity explains this reading.";
/// The additive against its label.
pub const DOSE_FITS: &str =
    "The additive in it, {}, is within the {} its label allows in that volume.";
/// The same, over it.
pub const DOSE_OVER: &str =
    "The additive in it, {}, is more than the {} its label allows in that volume: add none.";
/// Takes the volume.
pub const TAKE_VOLUME: &str = "Use {} as the capacity";
/// Goes on with the book's.
pub const PLAN_ON: &str = "Re-plan from this reading";
/// What that comes to.
pub const CORRECTION: &str = "From there: {}.";
/// After it was taken.
pub const WAS: &str = "A re-test set the capacity; before, it was {}.";

/// A cause and what to do about it. `volume`: what the reading implies; `left`: what it says stayed behind.
pub fn cause(code: &str, volume: Option<&[String]>, left: Option<String>) -> String {
    match (code, volume, left) {
        ("not_mixed", ..) => {
            "It has not mixed. Run it to operating temperature, heater on full, 10\u{a0}minutes; let it cool; re-test.".to_owned()
        }
        ("left_behind", _, Some(left)) => filled(
            "More or less was left in than was entered: about {}. Use that, below.",
            &[left],
        ),
        ("left_behind", ..) => {
            "More or less was left in than was entered; this reading is too near to tell.".to_owned()
        }
        ("volume", Some(found), _) => filled(
            "The capacity is another: about {}, from {} to {}, and not {}. Use that, below.",
            found,
        ),
        ("volume", ..) => "The capacity is another; this reading is too near to tell.".to_owned(),
        ("wrong_scale", ..) => {
            "It was read on the scale for the other glycol type. Look which one this scale is for, and re-test."
                .to_owned()
        }
        _ => "Reading error. Wipe the instrument, check that plain water reads 0, and re-test.".to_owned(),
    }
}

/// A sentence with figures in the places marked `{0}`, `{1}` …, each as often as it is named.
pub(super) fn placed(words: &str, figures: &[String]) -> String {
    let mut text = String::new();
    for (i, part) in words.split('{').enumerate() {
        if i == 0 {
            text.push_str(part);
            continue;
        }
        let digit = part.as_bytes().first().map_or(0, |b| b.wrapping_sub(b'0'));
        text.push_str(figures.get(usize::from(digit)).map_or("", String::as_str));
        text.push_str(part.get(2..).unwrap_or_default());
    }
    text
}

/// The levels.
pub const LEVELS: &str = "Level checks";
/// What to write down.
pub const LEVELS_HOW: &str = "Check it cold, parked on the same level place.";
/// Adds one.
pub const ADD_LEVEL: &str = "Add a level check";
/// Over a look.
pub fn look_name(i: usize) -> String {
    ["Level check ", &(i + 1).to_string()].concat()
}
/// In a blank date.
pub const DATE_SUCH_AS: &str = "year-month-day";
/// In a blank temperature of what a surface mirrors.
pub const AS_THE_AIR: &str = "ambient";
/// A date that is none.
pub const DATE_WRONG: &str = "Year, month, day: such as 2026-03-31.";
/// The plot.
pub const LEVEL_PLOT: &str = "Lost since the mark, by day";
/// Its table.
pub const LEVEL_DAY: &str = "Day";
/// Its table.
pub const LEVEL_LOST: &str = "Below the mark, cold";

/// What the level did, and the next step: lost, give or take, days, a day.
pub fn level(code: &str, figures: &[String]) -> String {
    placed(
        match code {
            "steady" => "Steady: over {2} it moved by no more than reading and warmth explain.",
            "settling" => {
                "It fell by {0} in {2}. Trapped air works out in the first days: top up with the same mix, and look again in a week."
            }
            "evaporating" => {
                "It lost {0} in {2}: no more than water evaporating from an overflow bottle. Top up the bottle, and check again in some months."
            }
            "leak" => {
                "It lost {0} \u{b1} {1} in {2}: {3} a day, and warmth does not do that. Next, cold: look under it and along the hoses, have the system pressure-tested at the cap\u{2019}s rating, and top up with the mix, not with water."
            }
            "rising" => {
                "It rose by {0} in {2} though nothing was put in. Was it topped up without an entry? If not, have it looked at: something gets in."
            }
            _ => "One day says nothing yet. Look again in a few days, cold.",
        },
        figures,
    )
}

/// What the strength did: points, water.
pub fn drift(code: &str, points: &str, water: &str) -> String {
    let figures = [points.to_owned(), water.to_owned()];
    placed(
        match code {
            "steady" => "The strength stays.",
            "falling" => {
                "It got weaker by {0} points, as if {1} of water had come in. Top up with the mix, not with water."
            }
            "rising" => {
                "It got stronger by {0} points: topped up strong, or water boiled off. Re-test before you pour."
            }
            _ => "",
        },
        &figures,
    )
}

/// Days.
pub const DAYS: &str = "days";
/// The record.
pub const RECORD: &str = "Service record";
/// Prints it.
pub const PRINT_RECORD: &str = "Print the service record";
/// It held.
pub const RECORD_HELD: &str = "Capacity";
/// In it before.
pub const RECORD_NOW: &str = "In it before";
/// What went.
pub const RECORD_WENT: &str = "What came out and went in";
/// As the card says, not entered.
pub const BY_THE_CARD: &str = " (by the card)";
/// Should read.
pub const RECORD_SHOULD: &str = "Should read";
/// Read.
pub const RECORD_READ: &str = "Re-test";
/// A cap was changed.
pub const RECORD_CAP: &str = "Cap";
/// By the re-reading.
pub const RECORD_TRUE: &str = "Capacity by the re-test";
/// A titration, on the record.
pub const RECORD_RESERVE: &str = "reserve alkalinity {} mL";
/// That, and its range.
pub const RECORD_RANGE: &str = "{} ({} \u{2026} {})";
/// A job that was corrected.
pub const RECORD_PAST: &str = "Before the correction";
/// The verb of a step.
pub const fn moved(what: crate::job::answer::Do) -> &'static str {
    use crate::job::answer::Do;
    match what {
        Do::Draw => "drained ",
        Do::Dose => "added ",
        Do::Pour => "poured ",
        Do::Run | Do::Check => "",
    }
}
/// Water, flushed and so on: how a reading that has no number is called.
pub const fn state(now: &crate::job::file::Now) -> &'static str {
    use crate::job::file::Now;
    match now {
        Now::Water {} => "plain water",
        Now::Flushed { .. } => "flushed",
        Now::Empty {} => "empty",
        _ => "not known",
    }
}

/// Labels of the fields of afterwards.
pub const fn after_label(spot: &Spot) -> (&'static str, &'static str) {
    match spot {
        Spot::Level(_, part) => match part {
            LevelPart::Date => ("Date", " of the level check"),
            LevelPart::Missing => ("Low by", ", at the level check"),
            LevelPart::At => ("Coolant temperature", ", at the level check"),
            LevelPart::Percent => ("Reading", " in percent, at the level check"),
            LevelPart::Frost => ("Reading", " of the refractometer, at the level check"),
            LevelPart::Added => ("Then topped up with", ""),
        },
        Spot::Run(_, part) => match part {
            RunPart::Ambient => ("Ambient", ""),
            RunPart::Minutes => ("Minutes after shutdown", ""),
            RunPart::Setting => ("Emissivity set to", ""),
            RunPart::Reflected => ("Reflected temperature", ""),
            RunPart::Pair => ("Pair", ", the same text as on a run of the other side"),
            RunPart::Stop => ("Stop", ", the same text as on other readings of one stop"),
            RunPart::Shown(_) => ("", ""),
        },
        Spot::Study(part) => super::study_label(*part),
        Spot::BackDate => ("Date", " of the re-test"),
        _ => ("Name", " of the place"),
    }
}
