//! What is wrong with a field or a file.

use crate::app::number::{MOST_DIGITS, NumberError};

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
