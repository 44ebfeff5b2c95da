//! Afterwards, in words: the re-reading, levels, spots before and after, the record.

use super::{filled, listed};
use crate::app::{
    after::{LevelPart, RunPart},
    model::Spot,
};
use crate::job::after_file::{Surface, When};

/// The fold.
pub const FOLD_AFTER: &str = "Afterwards";
/// The re-reading.
pub const BACK: &str = "Read it again";
/// Its instrument.
pub const BACK_BY: &str = "The instrument";
/// Before there is a plan.
pub const BACK_NO_PLAN: &str = "Once the card stands, this says what it should read.";
/// What it should read.
pub const BACK_SHOULD: &str =
    "Run, cooled and bled, it should read {}. From {} to {} is as planned.";
/// What came of it.
pub const BACK_AS_PLANNED: &str = "As planned";
/// Stronger.
pub const BACK_STRONGER: &str = "Stronger than planned, by {} points";
/// Weaker.
pub const BACK_WEAKER: &str = "Weaker than planned, by {} points";
/// Over the causes.
pub const CAUSES: &str = "Why, the likeliest first";
/// The volume it implies, where nothing is wrong.
pub const VOLUME_FITS: &str = "By this reading the loop holds {}, or anything from {} to {}.";
/// The change was too small.
pub const VOLUME_TOO_SMALL: &str = "It says nothing of the loop\u{2019}s volume: the strength changed by {} points, and it takes about {}.";
/// Nothing known before.
pub const VOLUME_NOTHING: &str =
    "It says nothing of the loop\u{2019}s volume: what was in it before is not known.";
/// No volume explains it.
pub const VOLUME_UNEXPLAINED: &str = "No volume of the loop explains this reading.";
/// The additive against its label.
pub const DOSE_FITS: &str =
    "The additive in it, {}, is within the {} its label allows in that volume.";
/// The same, over it.
pub const DOSE_OVER: &str =
    "The additive in it, {}, is more than the {} its label allows in that volume: add none.";
/// Takes the volume.
pub const TAKE_VOLUME: &str = "Take {} as its volume";
/// Goes on with the book's.
pub const PLAN_ON: &str = "Plan on from this reading";
/// What that comes to.
pub const CORRECTION: &str = "From there: {}.";
/// After it was taken.
pub const WAS: &str = "A re-reading set the volume; before, it was {}.";

/// A cause and what to do about it. `volume`: what the reading implies; `left`: what it says stayed behind.
pub fn cause(code: &str, volume: Option<&[String]>, left: Option<String>) -> String {
    match (code, volume, left) {
        ("not_mixed", ..) => {
            "It has not mixed. Run it warm, heater on, 10\u{a0}minutes; let it cool; read again.".to_owned()
        }
        ("left_behind", _, Some(left)) => filled(
            "More or less stayed behind than was entered: about {}. Take that on, below.",
            &[left],
        ),
        ("left_behind", ..) => {
            "Something else stayed behind than was entered; this reading is too near to tell.".to_owned()
        }
        ("volume", Some(found), _) => filled(
            "The loop holds another volume: about {}, from {} to {}, and not {}. Take that on, below.",
            found,
        ),
        ("volume", ..) => "The loop holds another volume; this reading is too near to tell.".to_owned(),
        ("wrong_scale", ..) => {
            "It was read on the scale for the other glycol. Look which one this scale is for, and read again."
                .to_owned()
        }
        _ => "A slip of the reading. Wipe the instrument, see that plain water reads nothing, read again.".to_owned(),
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
pub const LEVELS: &str = "The level over the days";
/// What to write down.
pub const LEVELS_HOW: &str = "Look at it cold, on the same flat place.";
/// Adds one.
pub const ADD_LEVEL: &str = "Add a look";
/// Over a look.
pub fn look_name(i: usize) -> String {
    ["Look ", &(i + 1).to_string()].concat()
}
/// In a blank date.
pub const DATE_SUCH_AS: &str = "year-month-day";
/// In a blank temperature of what a surface mirrors.
pub const AS_THE_AIR: &str = "air";
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
                "It lost {0}, give or take {1}, in {2}: {3} a day, and warmth does not do that. Next, cold: look under it and along the hoses, have the loop pressure-tested at the cap\u{2019}s rating, and top up with the mix, not with water."
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
                "It got stronger by {0} points: topped up strong, or water boiled off. Read it again before you pour."
            }
            _ => "",
        },
        &figures,
    )
}

/// Days.
pub const DAYS: &str = "days";
/// The air, in a run.
pub const AIR: &str = "air";
/// The survey.
pub const SURVEY: &str = "Spots before and after";
/// How to measure.
pub const SURVEY_HOW: &str = "The same spots, as long after stopping, with the same fan; the air each time. Three runs before and three after tell something; one of each proves little.";
/// Offers the usual spots.
pub const USUAL: &str = "Start with the usual spots";
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
pub const ADD_PLACE: &str = "Add a spot";
/// Adds a run.
pub const ADD_BEFORE: &str = "Add a run before";
/// Adds a run.
pub const ADD_AFTER: &str = "Add a run after";
/// The surface's list.
pub const SURFACE: &str = "Surface";
/// The chart.
pub const SURVEY_CHART: &str = "Rise above the air: before \u{25cb}, after \u{25cf}, and how sure";
/// The statistics.
pub const WHY_THIS: &str = "Why this number";
/// A spot.
pub const SPOT: &str = "Spot";
/// Before.
pub const BEFORE: &str = "before";
/// The change.
pub const CHANGE: &str = "change";
/// Runs that do not pair.
pub const UNPAIRED: &str = "Runs without a partner are left out: {}.";
/// Runs that are not alike.
pub const MINUTES_DIFFER: &str = "Two runs that belong together were read more than a minute apart after stopping. That alone can make a difference.";
/// What the comparison is worked from: for each spot.
pub const WHY_SPOT: &str = "{}: {} pairs; after less before {}; by chance alone {}, all spots together {}; less than {} is not seen.";

/// The name of a spot that has none.
pub fn place_name(i: usize) -> String {
    ["Spot ", &(i + 1).to_string()].concat()
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
            "cannot_tell" => "can\u{2019}t be told: the runs scatter, from {4} to {5}",
            "one_run" => "{6} in one pair of runs: one run proves little",
            "mirrors" => {
                "not judged: bare metal mirrors its surroundings. Put tape on it and measure there"
            }
            _ => "needs a run before and a run after",
        },
        figures,
    );
    if alone && code == "cannot_tell" {
        text.push_str(". By itself it would count; among several spots it may be chance");
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
            "Spots where no difference can be told: {}.",
            &[open.to_string()],
        ));
    }
    parts.join(" ")
}

/// The record.
pub const RECORD: &str = "The record";
/// Prints it.
pub const PRINT_RECORD: &str = "Print the record";
/// It held.
pub const RECORD_HELD: &str = "Volume at the mark";
/// In it before.
pub const RECORD_NOW: &str = "In it before";
/// What went.
pub const RECORD_WENT: &str = "What came out and went in";
/// As the card says, not entered.
pub const BY_THE_CARD: &str = " (by the card)";
/// Should read.
pub const RECORD_SHOULD: &str = "Should read";
/// Read.
pub const RECORD_READ: &str = "Read again";
/// By the re-reading.
pub const RECORD_TRUE: &str = "Volume by the re-reading";
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
        Do::Draw => "drew ",
        Do::Dose => "dosed ",
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
        Now::Empty {} => "drained dry",
        _ => "not known",
    }
}

/// Labels of the fields of afterwards.
pub const fn after_label(spot: &Spot) -> (&'static str, &'static str) {
    match spot {
        Spot::Level(_, part) => match part {
            LevelPart::Date => ("Date", " of the look"),
            LevelPart::Missing => ("Below the mark by", " at the look"),
            LevelPart::At => ("the coolant at", " at the look"),
            LevelPart::Percent => ("It read", " in percent at the look"),
            LevelPart::Frost => ("The frost scale read", " at the look"),
            LevelPart::Added => ("Then put in", ""),
        },
        Spot::Run(_, part) => match part {
            RunPart::Ambient => ("The air", ""),
            RunPart::Minutes => ("Minutes since it stopped", ""),
            RunPart::Setting => ("Emissivity set to", ""),
            RunPart::Reflected => ("What stands around it", " is as warm as"),
            RunPart::Shown(_) => ("", ""),
        },
        Spot::Accuracy => ("The thermometer is good to", ""),
        Spot::BackDate => ("Date", " of the re-reading"),
        _ => ("Name", " of the spot"),
    }
}
