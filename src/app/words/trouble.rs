//! What is wrong with a field or a file.

use super::{capitalised, filled};
use crate::app::{
    desk::Tidings,
    number::{MOST_DIGITS, NumberError},
    saved::RecordError,
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

/// A job's message, without the path of its key.
pub fn without_key<'a>(message: &'a str, key: &str) -> &'a str {
    message
        .strip_prefix(key)
        .and_then(|rest| rest.strip_prefix(": "))
        .unwrap_or(message)
}

/// The old answer, while a field is broken.
pub const OUT_OF_DATE: &str = "Out of date: a field needs putting right first.";
/// No answer, and why.
pub const NO_PLAN: &str = "No plan";
/// Before there is anything to answer.
pub const BLANK_CARD: &str = "The pour card fills in as you answer.";
/// In front of what is missing.
pub const STILL_NEEDED: &str = "Still needed:";

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
        Tidings::Imported { jobs, refused } => {
            let mut lines: Vec<String> = refused
                .iter()
                .map(|(name, reason)| ["\u{201c}", name, "\u{201d} was refused: ", reason, "."].concat())
                .collect();
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
        Tidings::Copied => "The card was copied as text.".to_owned(),
        Tidings::LinkCopied => super::LINK_COPIED.to_owned(),
        Tidings::LinkOpened => super::LINK_OPENED.to_owned(),
        Tidings::LinkRefused(error) => super::link_error(error),
    }
}

/// A title, or what stands for one.
pub fn job_title(title: &str) -> String {
    if title.trim().is_empty() {
        super::UNTITLED.to_owned()
    } else {
        title.trim().to_owned()
    }
}

/// The title of a copy.
pub fn copy_of(title: &str) -> String {
    [&job_title(title), ", copy"].concat()
}

/// Why there is no plan, by its code: what it is, and what to do next. What has no words here keeps its message.
pub fn refusal(code: &str, message: &str, limits: &[String; 2]) -> String {
    match code {
        "aim_outside_limits" => filled(
            "This loop is kept between {} and {}\u{a0}%. Change the aim, or the limits under Tank and cap.",
            limits,
        ),
        "aim_unreachable" => {
            let helps = message
                .split_once("what would help: ")
                .map_or("", |(_, helps)| helps);
            let helps = if helps.is_empty() {
                String::new()
            } else {
                filled(" It takes {}.", &[helps.to_owned()])
            };
            [
                "What is on the shelf and what comes out cannot bring it there.",
                &helps,
            ]
            .concat()
        }
        "nothing_to_pour" => {
            "Nothing on the shelf suits this loop: tick a stock of its glycol, or water.".to_owned()
        }
        "no_such_step" | "amount_unfit" => {
            "What was entered no longer fits the card. Take the entries back and enter them anew."
                .to_owned()
        }
        _ => capitalised(message),
    }
}
