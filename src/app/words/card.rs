//! The card in words: its headline, its steps, its margins.

use super::{in_sentence, listed};
use crate::{app::choice::System, job::answer::Way};

/// The card.
pub const POUR_CARD: &str = "Pour card";
/// Where amounts count.
pub const fn cold(system: System) -> &'static str {
    match system {
        System::Us => "cold, 68\u{a0}°F",
        System::Metric | System::Imperial => "cold, 20\u{a0}°C",
    }
}
/// Goes to the card.
pub const TO_CARD: &str = "card";
/// The steps.
pub const STEPS: &str = "Steps";
/// The column.
pub const COLUMN: &str = "The system, to scale";
/// The margins.
pub const MARGINS: &str = "Before and after";
/// The cautions.
pub const CAUTIONS: &str = "Cautions";
/// The four standing ones.
pub const ALWAYS: &str = "Safety";
/// Other ways.
pub const OTHER_WAYS: &str = "Other options";
/// Before the job.
pub const NOW: &str = "now";
/// After it.
pub const AFTER: &str = "after";
/// Takes back what was entered.
pub const CLEAR_CARD: &str = "Clear entries";
/// Copies the card.
pub const COPY: &str = "Copy as text";
/// Hands it to the system's share sheet.
pub const SHARE: &str = "Share";
/// Prints it.
pub const PRINT: &str = "Print";
/// Level marks.
pub const TOP: &str = "top";
/// The level on the coldest night.
pub const COLDEST_LEVEL: &str = "coldest";
/// The minimum mark.
pub const MINIMUM: &str = "min";
/// The hot level.
pub const HOT: &str = "hot";
/// The cold mark.
pub const MARK: &str = "mark";
/// Where it stood.
pub const STOOD: &str = "stood here";
/// What is drawn.
pub const DRAWN: &str = "drain";
/// What is drawn first, of several.
pub const DRAWN_FIRST: &str = "drain first";
/// In all draws.
pub const DRAWN_IN_ALL: &str = "in all";
/// What stays.
pub const STAYS: &str = "stays";
/// The additive in the column.
pub const DOSED: &str = "additive";

/// A bit of the headline; amounts are set apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Its text.
    pub text: String,
    /// An amount?
    pub amount: bool,
}

/// What the headline is made from: amounts already in words.
#[derive(Debug, Clone, Default)]
pub struct Doing {
    /// In all.
    pub rounds: u32,
    /// Drawn.
    pub draw: Option<String>,
    /// Dosed.
    pub dose: Option<String>,
    /// Poured: how much of what.
    pub pours: Vec<(String, String)>,
    /// Something was done already.
    pub begun: bool,
    /// Only running and checking are left.
    pub only_check: bool,
    /// Nothing is dosed, because nobody knows what an earlier dose left.
    pub no_dose: bool,
    /// Right by the reading, but not at the worst end of its range.
    pub retest: bool,
}

/// The answer in one line.
pub fn headline(doing: &Doing) -> Vec<Piece> {
    let mut line = Line::default();
    let mut verbs: Vec<(&str, Vec<(&str, String)>)> = Vec::new();
    if let Some(draw) = &doing.draw {
        verbs.push(("drain ", vec![(draw, String::new())]));
    }
    if let Some(dose) = &doing.dose {
        verbs.push(("add ", vec![(dose, String::new())]));
    }
    if !doing.pours.is_empty() {
        let pours = doing
            .pours
            .iter()
            .map(|(amount, stock)| (amount.as_str(), in_sentence(stock)));
        verbs.push(("pour ", pours.collect()));
    }
    if verbs.is_empty() && doing.no_dose && !doing.only_check {
        line.say("No dose: earlier dose unknown");
        return line.0;
    }
    if verbs.is_empty() {
        line.say(match (doing.only_check, doing.begun) {
            _ if doing.retest => "Nothing to pour, but re-test before relying on it",
            (true, _) => "Now run it to operating temperature, let it cool, bleed and re-test",
            (false, true) => "All done",
            (false, false) => "Already on target: nothing to do",
        });
        return line.0;
    }
    if doing.begun {
        line.say("now ");
    } else if doing.rounds > 1 {
        line.say(&["drain and fill ", &times(doing.rounds), ": "].concat());
    }
    for (i, (verb, amounts)) in verbs.iter().enumerate() {
        if i > 0 {
            line.say(", ");
        }
        line.say(verb);
        for (j, (amount, of)) in amounts.iter().enumerate() {
            if j > 0 {
                line.say(if j + 1 == amounts.len() {
                    " and "
                } else {
                    ", "
                });
            }
            line.amount(amount);
            if !of.is_empty() {
                line.say(" ");
                line.say(of);
            }
        }
    }
    if doing.no_dose {
        line.say("; no dose: earlier dose unknown");
    }
    line.capitalised()
}

/// "twice", "3 times".
fn times(n: u32) -> String {
    match n {
        2 => "twice".to_owned(),
        _ => [&n.to_string(), " times"].concat(),
    }
}

#[derive(Default)]
struct Line(Vec<Piece>);

impl Line {
    fn say(&mut self, text: &str) {
        match self.0.last_mut() {
            Some(last) if !last.amount => last.text.push_str(text),
            _ => self.0.push(Piece {
                text: text.to_owned(),
                amount: false,
            }),
        }
    }

    fn amount(&mut self, text: &str) {
        self.0.push(Piece {
            text: text.to_owned(),
            amount: true,
        });
    }

    fn capitalised(mut self) -> Vec<Piece> {
        if let Some(first) = self.0.first_mut() {
            first.text = super::card::capitalised(&first.text);
        }
        self.0
    }
}

/// With a capital letter in front.
pub fn capitalised(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

/// Draw off: what, and how.
pub const DRAW: (&str, &str) = ("Drain", "engine cold, into a measuring pan");
/// The same, in a later round.
pub const DRAW_AGAIN: (&str, &str) = ("Drain again", "once it has cooled, into a measuring pan");
/// Run.
pub const RUN: (&str, &str) = (
    "Run to operating temperature, heater on full, 10\u{a0}minutes",
    "then let it cool before you open anything",
);
/// Check.
pub const CHECK: &str = "Bleed, check the level, re-test";

/// Dose: what.
pub fn dose_title(name: &str) -> String {
    if name.trim().is_empty() {
        "Add the additive".to_owned()
    } else {
        ["Add ", &in_sentence(name)].concat()
    }
}

/// Dose: how.
pub fn dose_note(limit: Option<&str>) -> String {
    match limit {
        Some(limit) => ["label maximum here: ", limit].concat(),
        None => "look for a maximum on the label".to_owned(),
    }
}

/// Pour: what.
pub fn pour_title(stock: &str, to_the_mark: bool) -> String {
    [
        "Pour ",
        &in_sentence(stock),
        if to_the_mark { ", to the mark" } else { "" },
    ]
    .concat()
}

/// Pour: how.
pub const fn pour_note(to_the_mark: bool) -> &'static str {
    if to_the_mark {
        "slowly; stop at the mark"
    } else {
        "all of it"
    }
}

/// Check: what it should read.
pub fn should_read(readings: &[String]) -> String {
    ["should read ", &listed(readings)].concat()
}

/// Over the steps of a round.
pub fn round(n: u32, of: u32) -> String {
    ["Round ", &n.to_string(), " of ", &of.to_string()].concat()
}

/// No model or table reaches so far.
pub const NOT_KNOWN: &str = "not known";

/// A step that was done otherwise than the card said.
pub const TICK: &str = "Done";
/// A step that a later one stands for.
pub const ASSUMED: &str = "Assumed done as written. Untick it if it was not.";
/// Asked of an amount poured to the mark, with its two answers.
pub const AT_MARK: &str = "Is it at the mark now?";
/// It is.
pub const AT_MARK_YES: &str = "Yes";
/// It is not: there was no more.
pub const RAN_OUT: &str = "Ran out";
/// Of the check: the level.
pub const LOW_NOW: &str = "Low by, now";

/// Which step a field is for, for a screen reader.
pub fn of_step(title: &str) -> String {
    [", ", title].concat()
}

/// The same at the end of the range that freezes first.
pub fn worst_end(degrees: &str) -> String {
    ["; worst end ", degrees].concat()
}

/// What is in it before the job.
pub const NOW_IT: &str = "Now";
/// The same, once the job has begun.
pub const BEFORE_JOB: &str = "Before this job";
/// What is in it then.
pub const AFTER_JOB: &str = "After this job";

/// How cold it may get, and at the end of its range that freezes first.
pub fn protects(at: &str, worst: Option<&str>) -> String {
    let worst = worst.map_or(String::new(), |w| [" (worst end ", w, ")"].concat());
    ["protects to ", at, &worst].concat()
}

/// The verdict in one short line.
pub fn protects_short(now: Option<&str>, after: Option<&str>, bad: bool) -> String {
    let mut text = match (now, after) {
        (Some(now), Some(after)) => ["Protects to ", now, " now, ", after, " after"].concat(),
        (Some(now), None) => ["Now protects to ", now].concat(),
        (None, Some(after)) => ["Protects to ", after, " after this job"].concat(),
        (None, None) => String::new(),
    };
    if bad {
        text.push_str(": not enough");
    }
    text
}

/// It stays liquid.
pub fn covers(coldest: &str, room: &str) -> String {
    [room, " below the lowest expected, ", coldest, "."].concat()
}

/// It does, but for the worst end of its range.
pub fn covers_but(coldest: &str) -> String {
    [
        "Enough for the lowest expected, ",
        coldest,
        ", but not at the worst end of its range: re-test before relying on it.",
    ]
    .concat()
}

/// It does not.
pub fn fails(coldest: &str, short: &str) -> String {
    [
        "Not enough: ",
        short,
        " above the lowest expected, ",
        coldest,
        ".",
    ]
    .concat()
}

/// Where it freezes, under its figure.
pub fn freezes(room: Option<(bool, String)>, coldest: Option<&str>) -> String {
    match (room, coldest) {
        (Some((true, room)), Some(coldest)) => {
            ["freezes: ", &room, " below the lowest expected, ", coldest].concat()
        }
        (Some((false, short)), Some(coldest)) => {
            ["freezes: ", &short, " above the lowest expected, ", coldest].concat()
        }
        _ => "freezes".to_owned(),
    }
}

/// Where it boils, under its figure.
pub fn boils(capped: bool, room: Option<(bool, String)>, peak: Option<&str>) -> String {
    let how = if capped {
        "boils with a weak cap"
    } else {
        "boils with no pressure cap"
    };
    match (room, peak) {
        (Some((true, room)), Some(peak)) => [how, ": ", &room, " above ", peak].concat(),
        (Some((false, short)), Some(peak)) => [how, ": ", &short, " below ", peak].concat(),
        _ => how.to_owned(),
    }
}

/// What it holds cold, in the table.
pub const ROW_COLDEST: &str = "Volume at the lowest expected temperature";
/// What is left above the minimum then, in the table.
pub const ROW_MINIMUM: &str = "Above the minimum mark then";
/// What stands at the level it is filled at, in the table.
pub const ROW_FILLED: &str = "Volume at the filling temperature";
/// What all holds with what is in the overflow bottle, in the table.
pub const ROW_TOGETHER: &str = "With the overflow bottle";
/// What is left above the hot level, under its figure.
pub const ROOM_LEFT: &str = "expansion space left when hot";
/// What does not fit, under its figure.
pub const ROOM_SHORT: &str = "too much when hot: it does not fit";
/// What it holds, where no room was given.
pub const HOLDS: &str = "in the system, cold";

/// Rows of the table.
pub const ROW_STRENGTH: &str = "Concentration";
/// Holds.
pub const ROW_HOLDS: &str = "Volume, cold";
/// Freezing.
pub const ROW_FREEZES: &str = "Freezes at";
/// The same at the worst end of the range.
pub const ROW_FREEZES_WORST: &str = "Freezes at, worst end of the range";
/// How sure a figure is: goes before the number.
pub const GIVE_OR_TAKE: &str = " \u{b1} ";
/// Boiling at the rating.
pub const ROW_BOILS: &str = "Boils, cap as rated";
/// Boiling at the weakest.
pub const ROW_BOILS_WORN: &str = "Boils, weak cap";
/// Boiling with the cap off.
pub const ROW_BOILS_OPEN: &str = "Boils, cap off";
/// Boiling under the cap to be fitted.
pub const ROW_BOILS_OTHER: &str = "Boils, cap to be fitted, as rated";
/// Both caps in one line: the new one, the fitted one, what that costs as rated and when weak.
pub const CAPS: &str = "{} instead of {}: boils {} when both are good, {} when both are weak";
/// Where none is fitted.
pub const NO_CAP: &str = "none";
/// Over their table.
pub const CAPS_TABLE: &str = "Both caps: boiling";
/// Heads of its columns.
pub const CAP_FITTED: &str = "Fitted now";
/// The other.
pub const CAP_OTHER: &str = "To be fitted";
/// As rated.
pub const CAP_RATED: &str = "As rated";
/// At its weakest.
pub const CAP_NEW_WEAK: &str = "Weakest when new (85\u{a0}%)";
/// The same of unknown age.
pub const CAP_OLD_WEAK: &str = "Weakest at unknown age (70\u{a0}%)";
/// Off.
pub const CAP_OFF: &str = "Cap off";

/// "7 degrees lower".
pub fn lower(degrees: &str, higher: bool) -> String {
    let name = if degrees == "1" {
        " degree "
    } else {
        " degrees "
    };
    [degrees, name, if higher { "higher" } else { "lower" }].concat()
}

/// The second of two such, without what it shares with the first.
pub fn degrees_short_of(first: &str, second: &str) -> String {
    let way = |text: &str| text.rsplit(' ').next().map(str::to_owned);
    if way(first) == way(second) {
        second.split(' ').next().unwrap_or_default().to_owned()
    } else {
        second.to_owned()
    }
}

/// What is left above the highest coolant temperature, or wanting.
pub fn cap_room((left, room): (bool, String), at: &str) -> String {
    let way = if left { " left above " } else { " short of " };
    ["; ", &room, way, at].concat()
}

/// The same after heat soak.
pub fn cap_soaked((left, room): (bool, String), at: &str) -> String {
    let way = if left { "" } else { " short" };
    [", ", &room, way, " after heat soak (", at, ")"].concat()
}
/// Hot volume.
pub const ROW_HOT: &str = "Hot volume";
/// Room left.
pub const ROW_ROOM: &str = "Expansion space left, hot";
/// Heat a litre carries.
pub const ROW_HEAT: &str = "Heat capacity, compared with water";
/// Film.
pub const ROW_FILM: &str = "Heat transfer, compared with water";

/// This or below: under every published figure.
pub fn at_or_below(temperature: &str) -> String {
    [temperature, " or below"].concat()
}

/// What the figures are worked from.
pub const WHY: &str = "How this is calculated";
/// Its formula.
pub const WHY_FORMULA: &str = "Formula";
/// What goes in.
pub const WHY_INPUTS: &str = "From";
/// In the place of a value that was not given, or is not known.
pub const NOT_GIVEN: &str = "not given";
/// Where it holds.
pub const WHY_RANGE: &str = "Holds for";
/// Where it comes from.
pub const WHY_SOURCE: &str = "Source";
/// How sure it is.
pub const WHY_ERROR: &str = "Accuracy";
/// The curve of frost and boiling.
pub const CURVE: &str = "Freezing and boiling, by concentration";
/// What a drawing shows, for reading.
pub const AS_TABLE: &str = "The same as a table";
/// How to read it.
pub const CURVE_HINT: &str = "Touch it to read it out. The bands are the uncertainty: freezing by how far published tables differ, boiling from a weak cap to its rating.";
/// Its axis.
pub const CURVE_STRENGTH: &str = "concentration, %";
/// The coldest night on it.
pub const CURVE_COLDEST: &str = "coldest";
/// The hottest run on it.
pub const CURVE_PEAK: &str = "hottest";
/// Columns of its table.
pub const CURVE_HEADS: [&str; 3] = ["Concentration", "Freezes", "Boils"];

/// "50 %: freezes −37 °C, boils 124 °C".
pub fn liquid_between(percent: &str, freezes: Option<&str>, boils: Option<&str>) -> String {
    let or_unknown = |t| Option::unwrap_or(t, NOT_KNOWN);
    [
        percent,
        ": freezes ",
        or_unknown(freezes),
        ", boils ",
        or_unknown(boils),
    ]
    .concat()
}

/// A way, as a heading.
pub const fn way(way: Way) -> &'static str {
    match way {
        Way::Nothing | Way::Retest => "Leave as it is",
        Way::TopUp => "Top up only",
        Way::DrawAndPour => "Drain and pour",
        Way::Rounds => "Drain and fill several times",
        Way::Refill => "Refill",
    }
}

/// Another way in one sentence; `less`: what it saves.
pub fn runner_up(
    name: &str,
    percent: &str,
    drawn: Option<&str>,
    less: Option<&str>,
    pours: &[String],
) -> String {
    let mut parts = vec![name.to_owned()];
    if let Some(drawn) = drawn {
        let less = less.map_or(String::new(), |less| [" (", less, " less)"].concat());
        parts.push(["drain ", drawn, &less].concat());
    }
    if !pours.is_empty() {
        parts.push(["pour ", &listed(pours)].concat());
    }
    let what = parts.join(", ");
    let drawn = if drawn.is_none() {
        ", nothing drained"
    } else {
        ""
    };
    [&what, drawn, ": comes to ", percent, "."].concat()
}

/// How much of what is in it afterwards was there before.
pub const OLD_SHARE: &str = "{} of it is old coolant.";
/// How much is of another chemistry.
pub const FOREIGN_SHARE: &str = "{} of the coolant in it is of another chemistry.";
/// What the supplement's test shows afterwards.
pub const LEVEL_AFTER: &str = "The supplement test should read {}.";

/// What to hand in and what is used, in one line; `least`: it is proven that no less need be drained.
pub fn totals(used: &[String], dispose: Option<&str>, least: bool) -> String {
    let mut parts = Vec::new();
    if !used.is_empty() {
        parts.push(["Uses ", &listed(used)].concat());
    }
    if let Some(dispose) = dispose {
        let least = if least { ", the least there is" } else { "" };
        parts.push([dispose, " of old coolant to dispose of", least].concat());
    }
    let mut text = parts.join("; ");
    if !text.is_empty() {
        text.push('.');
    }
    text
}

/// The nearest that can be reached, and how cold that protects.
pub fn best(percent: &str, at: Option<&str>, drawn: Option<&str>, rounds: u32) -> String {
    let count = rounds.to_string();
    let at = at.map_or(String::new(), |at| [" (protects to ", at, ")"].concat());
    let how = match (rounds, drawn) {
        (0, _) => return ["As it stands, ", percent, &at, ", is the nearest."].concat(),
        (1, None) => ", nothing drained".to_owned(),
        (1, Some(drawn)) => [", draining ", drawn].concat(),
        (_, drawn) => [
            ", draining ",
            drawn.unwrap_or_default(),
            " in ",
            &count,
            " rounds",
        ]
        .concat(),
    };
    ["All you have gets it to ", percent, &at, &how, "."].concat()
}

/// How much more of what would do it.
pub fn more_would_do(amount: &str, stock: &str) -> String {
    [amount, " of ", &in_sentence(stock), " more would do it."].concat()
}

/// Settles for the nearest.
pub const USE_ALL: &str = "Use all I have";
/// Puts what is wanting on the quote.
pub const TO_BUY: &str = "Put it on the list to buy";
