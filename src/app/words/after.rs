//! Afterwards, in words: the re-reading, levels, spots before and after, the record.

use super::{filled, listed};
use crate::app::{
    after::{LevelPart, RunPart},
    model::Spot,
};
use crate::job::after_file::{Surface, When};

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
fn placed(words: &str, figures: &[String]) -> String {
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
/// The air, in a run.
pub const AIR: &str = "ambient";
/// The survey.
pub const SURVEY: &str = "Temperatures before and after";
/// How to measure.
pub const SURVEY_HOW: &str = "The same places, the same minutes after shutdown, with the same fan; ambient each time. Three runs before and three after tell something; one of each proves little.";
/// Offers the usual spots.
pub const USUAL: &str = "Start with the usual places";
/// What those are; the last is read by a gauge.
pub const USUAL_PLACES: [&str; 6] = [
    "Top hose",
    "Bottom hose",
    "Thermostat housing",
    "Expansion tank",
    "Heater hose",
    "Oil",
];
/// Adds one.
pub const ADD_PLACE: &str = "Add a place";
/// Adds a run.
pub const ADD_BEFORE: &str = "Add a run before";
/// Adds a run.
pub const ADD_AFTER: &str = "Add a run after";
/// The surface's list.
pub const SURFACE: &str = "Surface";
/// The chart.
pub const SURVEY_CHART: &str =
    "Rise above ambient: before \u{25cb}, after \u{25cf}, and the uncertainty";
/// The statistics.
pub const WHY_THIS: &str = "How this is calculated";
/// A spot.
pub const SPOT: &str = "Place";
/// Before.
pub const BEFORE: &str = "before";
/// The change.
pub const CHANGE: &str = "change";
/// Runs that do not pair.
pub const UNPAIRED: &str = "Runs without a partner are left out: {}.";
/// Runs that are not alike.
pub const MINUTES_DIFFER: &str = "Two runs that belong together were read more than a minute apart after shutdown. That alone can make a difference.";
/// What the comparison is worked from: for each spot.
pub const WHY_SPOT: &str = "{}: {} pairs; after less before {}; by chance alone {}, all spots together {}; less than {} is not seen.";

/// The name of a spot that has none.
pub fn place_name(i: usize) -> String {
    ["Place ", &(i + 1).to_string()].concat()
}

/// The name of a run: the first before, the second after …
pub fn run_name(when: When, nth: usize) -> String {
    let side = match when {
        When::Before => "Run before, ",
        When::After => "Run after, ",
    };
    [side, &nth.to_string()].concat()
}

/// What a surface is.
pub const fn surface(surface: Surface) -> &'static str {
    match surface {
        Surface::Dull => "paint, rubber or tape",
        Surface::BareMetal => "bare metal",
        Surface::Gauge => "a gauge, not infrared",
    }
}

/// Before anything can be compared.
pub const NO_PAIRS: &str = "It takes a run before and a run after.";
/// A spot's verdict: its difference, the ends of its interval, what is not seen; `alone`: by itself it would count.
pub fn verdict(code: &str, figures: &[String], alone: bool) -> String {
    let mut text = placed(
        match code {
            "cooler" => "cooler by {0}, from {1} to {2}",
            "warmer" => "warmer by {0}, from {1} to {2}",
            "none_seen" => {
                "no difference seen: {3} is the least the thermometer can tell, and the runs allow from {4} to {5}"
            }
            "cannot_tell" => "can\u{2019}t tell yet: the runs vary too much, from {4} to {5}",
            "one_run" => "{6} in one pair of runs: one run proves little",
            "mirrors" => {
                "not judged: bare metal reflects its surroundings. Put tape on it and measure there"
            }
            _ => "needs a run before and a run after",
        },
        figures,
    );
    if alone && code == "cannot_tell" {
        text.push_str(". By itself it would count; among several places it may be chance");
    }
    text
}

/// Verdicts in one line: what got cooler, what warmer, what cannot be told.
pub fn verdicts(cooler: &[String], warmer: &[String], open: usize) -> String {
    let mut parts = Vec::new();
    if !cooler.is_empty() {
        parts.push(["Cooler: ", &listed(cooler), "."].concat());
    }
    if !warmer.is_empty() {
        parts.push(["Warmer: ", &listed(warmer), "."].concat());
    }
    if open > 0 {
        parts.push(filled(
            "Places where no difference can be told yet: {}.",
            &[open.to_string()],
        ));
    }
    parts.join(" ")
}

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
            RunPart::Shown(_) => ("", ""),
        },
        Spot::Accuracy => ("Thermometer accuracy", ""),
        Spot::BackDate => ("Date", " of the re-test"),
        _ => ("Name", " of the place"),
    }
}
