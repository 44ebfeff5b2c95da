//! All words of the page, and nothing else: labels, the card, the cautions, what is wrong with a field.
//!
//! Every list is worded by an exhaustive match, so a second language is one more such folder and the compiler finds
//! each hole. Refusals come as data ([`crate::job::message::Refusal`]); those whose words for a job file serve here as
//! well are named one by one. Only what a file is refused for that is no job file keeps its reader's own words.

mod after;
mod card;
mod cautions;
mod counter;
mod fleet;
mod labels;
mod link;
mod money;
mod survey;
mod trouble;

pub use after::*;
pub use card::*;
pub use cautions::*;
pub use counter::*;
pub use fleet::*;
pub use labels::*;
pub use link::*;
pub use money::*;
pub use survey::*;
pub use trouble::*;

pub use crate::job::bidi::isolated;

/// US quart, on a page in US units.
pub const US_QT: &str = "qt";
/// Imperial pint.
pub const IMP_PT: &str = "imp\u{a0}pt";
/// Imperial fluid ounce.
pub const IMP_FL_OZ: &str = "imp\u{a0}fl\u{a0}oz";
/// Fluid ounce, on a page in US units or after the pints that say whose.
pub const FL_OZ: &str = "fl\u{a0}oz";

/// A number and its unit, never torn apart at a line's end.
pub fn spaced(number: &str, unit: &str) -> String {
    [number, "\u{a0}", unit].concat()
}

/// A stock's name inside a sentence: "distilled water", but "OAT premix".
pub fn in_sentence(name: &str) -> String {
    let mut letters = name.chars();
    isolated(&match (letters.next(), letters.next()) {
        (Some(first), Some(second))
            if first.is_ascii_uppercase() && second.is_ascii_lowercase() =>
        {
            let mut text = String::new();
            text.push(first.to_ascii_lowercase());
            text.push_str(&name[1..]);
            text
        }
        _ => name.to_owned(),
    })
}

/// "a, b and c".
pub fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => [&rest.join(", "), " and ", last].concat(),
    }
}

/// A sentence with figures in the places marked `{}`, in order.
pub fn filled(words: &str, figures: &[String]) -> String {
    let mut text = String::new();
    let mut figures = figures.iter();
    for (i, part) in words.split("{}").enumerate() {
        if i > 0 {
            text.push_str(figures.next().map_or("", String::as_str));
        }
        text.push_str(part);
    }
    text
}
