//! Temperatures before and after, in words.

use super::{after::placed, filled, listed};
use crate::app::after::{Much, SpotSide, StudyPart, Surface, ThermostatPlace, When, update::Ran};

/// The air, in a run.
pub const AIR: &str = "ambient";
/// The survey.
pub const SURVEY: &str = "Temperatures before and after";
/// How to measure.
pub const SURVEY_HOW: &str = "The same places, the same minutes after shutdown, with the same fan; ambient each time. It takes at least three runs before and three after.";
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
/// What a place goes by.
pub const GOES_BY: &str = "Goes by";
/// Of a place that nobody said it of.
pub const SIDE_NOT_SAID: &str = "goes by: not known";
/// Nothing chosen in a list.
pub const NOT_SAID: &str = "not known";
/// The thermostat's fields.
pub const THERMOSTAT: &str = "Thermostat and plan";
/// Its list.
pub const SITS: &str = "Thermostat sits at";
/// The same of the one after.
pub const SITS_AFTER: &str = "Thermostat after the change sits at";
/// What else a run ran with.
pub const RAN: &str = "Pairing and conditions";
/// In a run's pair or stop, where it has none.
pub const NO_PAIR: &str = "none";
/// A place's chart.
pub const SPOT_CHART: &str =
    "{}, {}: before \u{25cb}, after \u{25cf}, with the 95\u{a0}% range of each mean";
/// The statistics.
pub const WHY_THIS: &str = "How this is calculated";
/// A spot.
pub const SPOT: &str = "Place";
/// Before.
pub const BEFORE: &str = "before";
/// The change.
pub const CHANGE: &str = "change";
/// Runs that do not pair.
pub const UNPAIRED: &str = "Runs that belong to no pair are left out: {}.";
/// While the planned runs are not in.
pub const WAITS: &str = "The verdict comes when the planned {} runs of each are in.";
/// What the comparison is worked from: for each spot.
pub const WHY_SPOT: &str = "{}: {}; judged by {}; after less before {}; by chance alone {}, all places together {}; at this look up to {} is allowed; less than {} is not seen.";
/// Beside what the thermostat holds.
pub const HELD: &str = ", held by the thermostat and judged by temperature";
/// Where the thermostat is the change.
pub const OWN_SHIFT: &str = "; the thermostat\u{2019}s own shift is {}";
/// What was not alike explains a difference as well.
pub const DOUBT: &str = ". But {} alone could account for it";

/// What a chart shows.
pub const fn measured(rise: bool) -> &'static str {
    if rise {
        "rise above ambient"
    } else {
        "temperature"
    }
}

/// By what a place is judged.
pub fn judged_by(code: &str) -> &'static str {
    match code {
        "temperature" => "temperature (held by the thermostat)",
        "rise" => "rise above ambient",
        _ => "both temperature and rise above ambient",
    }
}

/// What the thermostat's own change does.
pub fn thermostat_shift(by: &str, lower: bool) -> String {
    let (way, reads) = if lower {
        ("lower", "cooler")
    } else {
        ("higher", "warmer")
    };
    filled(
        "The thermostat after the change opens {} {}: what it holds reads that much {} by itself.",
        &[by.to_owned(), way.to_owned(), reads.to_owned()],
    )
}

/// What was not alike, as the subject of a sentence.
pub fn of_unlike(what: &str) -> &'static str {
    match what {
        "minutes" => "the minutes after shutdown",
        "fan" => "the fan",
        "load" => "the load",
        "speed" => "the speed",
        "cover" => "the cover",
        "heater" => "the heater",
        _ => "the air",
    }
}

/// What was not alike, and what it could account for; `less`: after the change.
pub fn unlike(what: &str, less: bool, by: &str, could: &str) -> String {
    let figures = [by.to_owned(), could.to_owned()];
    match what {
        "air" => filled(
            if less {
                "Ambient was {} cooler after. A place that follows the air reads that much cooler for it; one that the thermostat holds does not."
            } else {
                "Ambient was {} warmer after. A place that follows the air reads that much warmer for it; one that the thermostat holds does not."
            },
            &figures[..1],
        ),
        "minutes" => filled(
            "Some runs were read {}\u{a0}minutes apart after shutdown and cannot be brought to equal minutes: that alone could account for {} (our estimate).",
            &figures,
        ),
        _ => filled(
            "There was {} after, for {}: that alone could account for {} (our estimate).",
            &[
                if less { "less" } else { "more" }.to_owned(),
                of_unlike(what).to_owned(),
                figures[1].clone(),
            ],
        ),
    }
}

/// A small number in a sentence.
fn number(n: u32) -> String {
    const NAMES: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    let name = NAMES.get(n as usize);
    name.map_or_else(|| n.to_string(), |s| (*s).to_owned())
}

/// "two runs each", "two runs before and one after".
fn runs_each(before: u32, after: u32) -> String {
    let name = if before == 1 { " run" } else { " runs" };
    let mut text = [&number(before), name].concat();
    if before == after {
        text.push_str(" each");
    } else {
        text.push_str(&[" before and ", &number(after), " after"].concat());
    }
    text
}

/// "4 pairs of runs", "3 and 4 runs".
pub fn runs_counted(before: u32, after: u32, paired: bool) -> String {
    if paired {
        return [&before.to_string(), " pairs of runs"].concat();
    }
    [&before.to_string(), " and ", &after.to_string(), " runs"].concat()
}

/// Too few runs: what was seen in them, and what it is worth. `name`: the only place; `ends`: the least and the greatest
/// change, without sign.
pub fn few_runs(
    name: Option<&String>,
    places: usize,
    (low, high): (f64, f64),
    ends: &[String; 2],
    unit: &str,
    (before, after): (u32, u32),
) -> String {
    let subject = match name {
        Some(name) => [name, " reads "].concat(),
        None => ["All ", &number(places as u32), " places read "].concat(),
    };
    let spaced = |figure: &str| super::spaced(figure, unit);
    let way = |k: f64| if k < 0.0 { " cooler" } else { " warmer" };
    let seen = if (low < 0.0) == (high < 0.0) {
        // The smaller first.
        let (near, far) = if low < 0.0 {
            (&ends[1], &ends[0])
        } else {
            (&ends[0], &ends[1])
        };
        let range = if near == far {
            spaced(far)
        } else {
            [near, " to ", &spaced(far)].concat()
        };
        [&range, way(low)].concat()
    } else {
        [
            "from ",
            &spaced(&ends[0]),
            " cooler to ",
            &spaced(&ends[1]),
            " warmer",
        ]
        .concat()
    };
    let runs = runs_each(before, after);
    [&subject, &seen, "; ", &runs, " could be chance."].concat()
}

/// How many more runs would tell a difference.
pub fn more(from: u32, to: Option<u32>, sought: &str) -> String {
    let range = match to {
        Some(0) => {
            return filled(
                ". So many runs would have told a change of {}",
                &[sought.to_owned()],
            );
        }
        Some(to) if to == from => to.to_string(),
        Some(to) if from == 0 => ["up to ", &to.to_string()].concat(),
        Some(to) => [&from.to_string(), " to ", &to.to_string()].concat(),
        None if from >= 60 => "more than 60".to_owned(),
        None => [&from.to_string(), " to more than 60"].concat(),
    };
    filled(
        ". To tell a change of {}: about {} more of each. State them as planned before you measure on",
        &[sought.to_owned(), range],
    )
}

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

/// What a place goes by.
pub const fn side(side: SpotSide) -> &'static str {
    match side {
        SpotSide::Outlet => "coolant leaving the engine",
        SpotSide::Inlet => "coolant entering the engine",
        SpotSide::Air => "the air",
    }
}

/// Where a thermostat sits.
pub const fn sits(place: ThermostatPlace) -> &'static str {
    match place {
        ThermostatPlace::Outlet => "engine outlet",
        ThermostatPlace::Inlet => "engine inlet",
    }
}

/// What a run ran with.
pub const fn ran(ran: Ran) -> &'static str {
    match ran {
        Ran::Fan => "Fan",
        Ran::Load => "Load",
        Ran::Speed => "Speed",
        Ran::Cover => "Cover",
        Ran::Heater => "Heater",
    }
}

/// How much of it.
pub const fn much(much: Much) -> &'static str {
    match much {
        Much::None => "none",
        Much::Some => "some",
        Much::Full => "full",
    }
}

/// Logs of drives.
pub const LOGS: &str = "Logs of drives";
/// What they are for.
pub const LOGS_HOW: &str = "CSV files of any data logger: time, coolant (or oil, intake), ambient, speed, load. The unit is the drive: at least three before and three after, in like weather. Enter the thermostat above. Nothing leaves this device.";
/// Chooses some.
pub const LOGS_BEFORE: &str = "Choose logs before";
/// Chooses some.
pub const LOGS_AFTER: &str = "Choose logs after";
/// After something was changed.
pub const LOGS_AGAIN: &str = "Compare again";
/// While they are read.
pub const LOGS_READING: &str = "Reading \u{2026}";
/// There is no reader.
pub const LOGS_FAILED: &str = "The part of this page that reads logs could not be loaded, or stopped. Reload the page and choose the logs again.";
/// How the files were understood.
pub const LOGS_FILES: &str = "What was read";
/// Before anything can be compared.
pub const NO_RUNS: &str = "It takes a run before and a run after.";
/// A spot's verdict: its difference, the ends of its interval, what is not seen … ; `alone`: by itself it would count;
/// `runs`: before, after, planned.
pub fn verdict(code: &str, figures: &[String], alone: bool, runs: (u32, u32, u32)) -> String {
    let mut text = placed(
        match code {
            "cooler" => "cooler by {0}, from {1} to {2}",
            "warmer" => "warmer by {0}, from {1} to {2}",
            "none_seen" => {
                "no difference seen: {3} is the least the thermometer can tell, and the runs allow from {4} to {5}"
            }
            "cannot_tell" => "can\u{2019}t tell yet: the runs vary too much, from {4} to {5}",
            "air_differed" => {
                "can\u{2019}t tell: the air differed by {9}. By temperature it changed by {7}, by rise above ambient by {8}. Whether the thermostat holds it is not known"
            }
            "few_runs" => "can\u{2019}t tell yet: {6} seen, but ",
            "planned" => "",
            "mirrors" => {
                "not judged: bare metal reflects its surroundings. Put tape on it and measure there"
            }
            _ => "needs a run before and a run after",
        },
        figures,
    );
    let (before, after, planned) = runs;
    if code == "few_runs" {
        text.push_str(&runs_each(before, after));
        text.push_str(" could be chance");
    }
    if code == "planned" {
        return filled(
            "the verdict comes when the planned {} runs of each are in; so far {} and {}",
            &[planned, before, after].map(|n| n.to_string()),
        );
    }
    if alone && code == "cannot_tell" {
        text.push_str(
            ". By itself it would count; among several places, or looked at after every run, it may be chance",
        );
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
            "Places where no difference can be told: {}.",
            &[open.to_string()],
        ));
    }
    parts.join(" ")
}

/// What is stated of a survey as a whole.
pub const fn study_label(part: StudyPart) -> (&'static str, &'static str) {
    match part {
        StudyPart::Accuracy => ("Thermometer accuracy", ""),
        StudyPart::Difference => ("Change to tell", ""),
        StudyPart::Planned => ("Planned runs of each", ""),
        StudyPart::Opens => ("Thermostat opens at", ""),
        StudyPart::FullOpen => ("Full open at", ", thermostat"),
        StudyPart::OpensAfter => ("After the change opens at", ", thermostat"),
        StudyPart::FullOpenAfter => ("Full open at", ", thermostat after the change"),
    }
}
