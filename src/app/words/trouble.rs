//! What is wrong with a field or a file.

use super::{capitalised, filled, isolated};
use crate::app::{
    amount::pour,
    choice::System,
    desk::Tidings,
    number::{MOST_DIGITS, NumberError, fixed},
    saved::RecordError,
};
use crate::engine::quantity::in_litres;
use crate::job::{
    answer::Fault,
    figure::outside,
    limits::Limit,
    message::{PlanError, Refusal, Remedy, Typed, remedy_words},
    units::VolumeUnit,
};

/// What is wrong with a number, once it is sure; `None` while it may still become one.
pub fn number_error(error: &NumberError) -> Option<String> {
    Some(match error {
        NumberError::Unfinished => return None,
        NumberError::Ambiguous { decimal, whole } => {
            ["Is this ", decimal, " or ", whole, "? Type one of the two."].concat()
        }
        NumberError::NotANumber => "Only a number goes here, such as 8.4 or 8,4.".to_owned(),
        NumberError::TooLong => [
            "No more than ",
            &MOST_DIGITS.to_string(),
            " digits, please.",
        ]
        .concat(),
    })
}

/// What is wrong with a field, where answering found it.
pub fn field_refusal(fault: &Fault) -> String {
    match &fault.refusal {
        Some(refusal) => said(refusal),
        None => fault.message.clone(),
    }
}

/// Values that were left out and figures that are blank, a sentence each.
pub fn blanks<'a>(faults: impl Iterator<Item = &'a Fault>) -> Vec<String> {
    let sentence = |fault: &Fault| {
        let blank = if fault.code == "no_figure" {
            "."
        } else {
            ". What depends on it is left blank."
        };
        [&field_refusal(fault), blank].concat()
    };
    faults.map(sentence).collect()
}

/// A number outside what its field admits.
pub fn out_of_limit((limit, typed): (Limit, Typed)) -> String {
    said(&Refusal::OutOfRange { limit, typed })
}

/// A share in percent, free of the dust of binary fractions.
fn percent(share: f64) -> f64 {
    (share * 1e12).round() / 1e10
}

/// What the job says of a refusal. Where there are units it names nothing of the user's, so signs can be put in.
fn said(refusal: &Refusal) -> String {
    let in_percent = match refusal {
        Refusal::OutOfRange { limit, typed } if limit.is_share() => Some(Refusal::OutOfRange {
            limit: Limit {
                low: percent(limit.low),
                high: percent(limit.high),
                unit: "%",
                ..*limit
            },
            typed: Typed::new(percent(typed.value), "%"),
        }),
        _ => None,
    };
    let words = capitalised(&in_percent.as_ref().unwrap_or(refusal).words());
    match refusal {
        Refusal::OutOfRange { .. }
        | Refusal::MoreThanVolume { .. }
        | Refusal::MoreThanHeld { .. }
        | Refusal::Reading { .. }
        | Refusal::FrostOutOfReach { .. }
        | Refusal::NoFigure { .. } => in_signs(&words),
        _ => words,
    }
}

/// What the job says in its file's units, in the signs people read.
pub fn in_signs(text: &str) -> String {
    let signs = [
        ("degC", "\u{b0}C"),
        ("degF", "\u{b0}F"),
        ("degBx", "degrees Brix"),
        ("vol%", "%"),
        ("_", " "),
        (" -", " \u{2212}"),
    ];
    signs.iter().fold(text.to_owned(), |text, (file, page)| {
        text.replace(file, page)
    })
}

/// The old answer, while a field is broken.
pub const OUT_OF_DATE: &str = "Correct the marked field to update the card.";
/// No answer, and why.
pub const NO_PLAN: &str = "No plan";
/// Before there is anything to answer.
pub const BLANK_CARD: &str = "The pour card fills in as you answer.";
/// What else it will give.
pub const WILL_GIVE: [&str; 3] = [
    "The steps in order, in amounts you can measure.",
    "Where it boils under your cap, and the expansion space left when hot.",
    "Whole packs to buy, and what they come to.",
];
/// Its headline, before there are figures.
pub const WILL_SAY: &str = "Drain \u{2026}, add \u{2026}, pour \u{2026}";
/// Its verdict, before there are figures.
pub const WILL_PROTECT: &str = "protects to \u{2026}";
/// In front of what is missing.
pub const STILL_NEEDED: &str = "Still needed:";

/// What is missing, short enough for one line: the card lists all of it.
pub fn still_needed(needs: &[&str]) -> String {
    let more = match needs.len().saturating_sub(1) {
        0 => String::new(),
        n => [", and ", &n.to_string(), " more"].concat(),
    };
    [
        STILL_NEEDED,
        " ",
        needs.first().copied().unwrap_or_default(),
        &more,
    ]
    .concat()
}

/// A job in a list that cannot be read.
pub const fn record_error(error: RecordError) -> &'static str {
    match error {
        RecordError::Newer => "written by a newer version of this page",
        RecordError::Damaged => "damaged; kept as it is",
    }
}

/// What there is to tell once.
pub fn tidings(tidings: &Tidings) -> String {
    match tidings {
        Tidings::Imported {
            jobs,
            same,
            refused,
        } => {
            let mut lines: Vec<String> = refused
                .iter()
                .map(|(name, reason)| {
                    let (name, reason) = (isolated(name), isolated(reason));
                    ["\u{201c}", &name, "\u{201d} was refused: ", &reason, "."].concat()
                })
                .collect();
            match same {
                0 => {}
                1 => lines.push("One job was here already.".to_owned()),
                n => lines.push([&n.to_string(), " jobs were here already."].concat()),
            }
            match jobs {
                0 => lines.push("What was here stays as it was.".to_owned()),
                1 => lines.insert(0, "One job opened.".to_owned()),
                n => lines.insert(0, [&n.to_string(), " jobs taken in; the last one is open."].concat()),
            }
            lines.join(" ")
        }
        Tidings::Deleted(title) => ["\u{201c}", title, "\u{201d} was deleted."].concat(),
        Tidings::NotKept => {
            "This device does not keep the job: storage is full or denied. It works on; export it before you leave."
                .to_owned()
        }
        Tidings::ChangedElsewhere => {
            "This job was changed in another tab, and is shown as it was left there. Undo brings back what was here."
                .to_owned()
        }
        Tidings::Parted => {
            "This job was also changed in another tab. Both are kept: this one goes on as a job of its own, the other is under Jobs."
                .to_owned()
        }
        Tidings::Prices(0) => "The price list was changed.".to_owned(),
        Tidings::Prices(1) => "One pack went into the price list.".to_owned(),
        Tidings::Prices(n) => [&n.to_string(), " packs went into the price list."].concat(),
        Tidings::SheetCopied => "The quote was copied as text.".to_owned(),
        Tidings::Copied => "The card was copied as text.".to_owned(),
        Tidings::NotCopied => "Nothing was copied: this browser does not allow it here.".to_owned(),
        Tidings::LinkCopied => super::LINK_COPIED.to_owned(),
        Tidings::LinkOpened => super::LINK_OPENED.to_owned(),
        Tidings::LinkRefused(error) => super::link_error(error),
    }
}

/// A title, or what stands for one.
pub fn job_title(title: &str) -> String {
    isolated(bare_title(title))
}

/// The same to the letter.
pub fn bare_title(title: &str) -> &str {
    match title.trim() {
        "" => super::UNTITLED,
        title => title,
    }
}

/// The title of a copy.
pub fn copy_of(title: &str) -> String {
    [bare_title(title), ", copy"].concat()
}

fn with_help(mut text: String, remedies: &[Remedy], system: System) -> String {
    for (i, remedy) in remedies.iter().enumerate() {
        text.push_str(if i == 0 {
            " What would help: "
        } else {
            ", or "
        });
        text.push_str(&match remedy {
            Remedy::DrainMore(volume) => filled(
                "drain {} before pouring",
                &[pour(in_litres(*volume), system)],
            ),
            Remedy::StandAboveMark(volume) => filled(
                "let the additive stand {} above the mark (under Additive): it fits when hot",
                &[pour(in_litres(*volume), system)],
            ),
            other => remedy_words(other, VolumeUnit::L),
        });
    }
    if !remedies.is_empty() {
        text.push('.');
    }
    text
}

/// Why there is no plan: what it is, and what to do next; `limits` are the strengths the loop is kept within.
pub fn refusal(fault: &Fault, limits: &[String; 2], system: System) -> String {
    let Some(refusal) = &fault.refusal else {
        return fault.message.clone();
    };
    match &**refusal {
        Refusal::Plan(PlanError::AimOutsideLimits { aim, low, high }) => {
            let (aim, _) = outside(aim * 100.0, [low * 100.0, high * 100.0], 0);
            let [low, high] = limits;
            filled(
                "The target is {}\u{a0}%, and this system is kept between {} and {}\u{a0}%. Change the target, or the limits under Tank and cap.",
                &[aim, low.clone(), high.clone()],
            )
        }
        Refusal::Plan(PlanError::Unreachable {
            for_the_dose,
            remedies,
            ..
        }) => {
            let text = if *for_the_dose {
                "The target can be reached, but not with the additive: too little comes out to make space for it."
            } else {
                "What you have, and what comes out, cannot bring it to the target."
            };
            with_help(text.to_owned(), remedies, system)
        }
        Refusal::Plan(PlanError::Unrenewed {
            asked,
            replaced,
            remedies,
            ..
        }) => {
            let asked = fixed(asked * 100.0, 0);
            let text = match replaced {
                // Downwards: what falls short must not read as if it did not.
                Some((rounds, share)) => filled(
                    "In {} rounds at most {}\u{a0}% of the old coolant is replaced; {}\u{a0}% is asked for.",
                    &[
                        rounds.to_string(),
                        fixed((share * 1000.0).floor() / 10.0, 1),
                        asked,
                    ],
                ),
                None => filled("{}\u{a0}% of the old coolant cannot be replaced.", &[asked]),
            };
            with_help(text, remedies, system)
        }
        Refusal::Plan(PlanError::NothingToPour) => {
            "Nothing you have suits this system: tick a product of its glycol type, or water."
                .to_owned()
        }
        Refusal::NoSuchStep { .. } | Refusal::AmountUnfit { .. } => {
            "What was entered no longer fits the card. Clear the entries and enter them again."
                .to_owned()
        }
        Refusal::NotTheMark { over, .. } => filled(
            "By this amount it is {} {} the mark. Correct the amount, or say that it ran out.",
            &[
                pour(over.abs(), system),
                if *over > 0.0 { "above" } else { "below" }.to_owned(),
            ],
        ),
        // What the job says of these is what a reader of the page needs too.
        Refusal::Plan(PlanError::TooManyStocks { .. })
        | Refusal::OutOfRange { .. }
        | Refusal::MoreThanVolume { .. }
        | Refusal::MoreThanHeld { .. }
        | Refusal::LimitsCrossed { .. }
        | Refusal::GlycolMissing { .. }
        | Refusal::NameTaken { .. }
        | Refusal::NameMissing
        | Refusal::PartsUnclear
        | Refusal::TreatsCrossed
        | Refusal::LevelUnitsDiffer
        | Refusal::NitriteUnclear
        | Refusal::LevelUnitUnfit
        | Refusal::TestsDiffer { .. }
        | Refusal::PhCrossed
        | Refusal::TooFine { .. }
        | Refusal::DateUnclear { .. }
        | Refusal::NotAReading
        | Refusal::SpotName { .. }
        | Refusal::Reading { .. }
        | Refusal::FrostOutOfReach { .. }
        | Refusal::NoFigure { .. } => said(refusal),
    }
}
