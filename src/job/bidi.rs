//! The user's own texts inside ours: none of them turns what stands beside it round.
//!
//! A name written from the right, or with a control that turns letters round, would carry the amounts next to it
//! along: "0.46 L" could read "64.0 L". Such a name is isolated (UAX #9: U+2068 before, U+2069 behind), and closed
//! where it leaves something open. A text that cannot do so stays as it is: among isolated ones it needs nothing. In a
//! table of cells nothing is added, and the controls are written out.

/// First strong isolate.
const OPEN: char = '\u{2068}';
/// Pop directional isolate.
const CLOSE: char = '\u{2069}';

/// A text of the user's, fit to stand in a sentence, a label or a line of ours.
pub fn isolated(text: &str) -> String {
    if !text.chars().any(turns) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len() + 6);
    out.push(OPEN);
    let mut open = 0;
    for c in text.chars() {
        match c {
            // Would close ours.
            CLOSE if open == 0 => continue,
            CLOSE => open -= 1,
            '\u{2066}'..=OPEN => open += 1,
            _ => {}
        }
        out.push(if ends_paragraph(c) { ' ' } else { c });
    }
    for _ in 0..=open {
        out.push(CLOSE);
    }
    out
}

/// The text with its bidi controls written out: `\u202E`. So is a backslash that would read as one of these.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (i, c) in text.char_indices() {
        if is_control(c) || (c == '\\' && escape(&text[i..]).is_some()) {
            out.push_str("\\u");
            for shift in [12, 8, 4, 0] {
                let digit = char::from_digit((c as u32 >> shift) & 15, 16);
                out.push(digit.unwrap_or('0').to_ascii_uppercase());
            }
        } else {
            out.push(c);
        }
    }
    out
}

/// What [`escaped`] was made from.
pub fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let (c, length) = escape(rest).map_or((c, c.len_utf8()), |c| (c, 6));
        out.push(c);
        rest = &rest[length..];
    }
    out
}

/// What a text begins with, where that is one of our escapes.
fn escape(text: &str) -> Option<char> {
    let digits = text.strip_prefix("\\u")?.get(..4)?;
    let c = char::from_u32(u32::from_str_radix(digits, 16).ok()?)?;
    (is_control(c) || c == '\\').then_some(c)
}

/// Can it change the order of what stands beside it? Letters written from the right (and places Unicode reserves for
/// them), the controls, and what ends a paragraph and with it all isolation.
fn turns(c: char) -> bool {
    let right = matches!(c,
        '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{fefe}'
        | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}');
    right || is_control(c) || ends_paragraph(c)
}

/// Unicode's property `Bidi_Control`.
fn is_control(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn ends_paragraph(c: char) -> bool {
    matches!(c, '\n' | '\r' | '\u{1c}'..='\u{1e}' | '\u{85}' | '\u{2029}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use unicode_bidi::{BidiClass, BidiInfo, Level, bidi_class};

    /// Against the Unicode tables of the crate unicode-bidi.
    #[test]
    fn everything_that_turns_is_known() {
        for c in (0..=0x0010_ffff).filter_map(char::from_u32) {
            use BidiClass as B;
            let class = bidi_class(c);
            let known = match class {
                B::R | B::AL | B::AN | B::B => true,
                B::LRE | B::RLE | B::PDF | B::LRO | B::RLO => true,
                B::LRI | B::RLI | B::FSI | B::PDI => true,
                _ => continue,
            };
            assert_eq!(turns(c), known, "{:x} {class:?}", c as u32);
        }
    }

    #[test]
    fn a_name_from_the_left_stays_as_it_is() {
        for name in ["Concentrate", "Kühler 3 (50 %)", "水", "", "a\u{200d}b"] {
            assert_eq!(isolated(name), name);
            assert_eq!(escaped(name), name);
        }
        assert_eq!(isolated("\u{5de}\u{5d9}"), "\u{2068}\u{5de}\u{5d9}\u{2069}");
        assert_eq!(
            isolated("\u{2069}a\u{202e}b\u{2067}c"),
            "\u{2068}a\u{202e}b\u{2067}c\u{2069}\u{2069}"
        );
    }

    #[test]
    fn in_a_table_controls_are_written_out_and_letters_are_not() {
        for (text, cell) in [
            ("a\u{202e}b", "a\\u202Eb"),
            ("\u{200f}\u{61c}\u{2069}", "\\u200F\\u061C\\u2069"),
            (
                "\u{5de}\u{5d9}\u{5dd} \u{645}\u{627}\u{621}",
                "\u{5de}\u{5d9}\u{5dd} \u{645}\u{627}\u{621}",
            ),
            ("a\\u202Eb", "a\\u005Cu202Eb"),
            ("C:\\users", "C:\\users"),
        ] {
            assert_eq!(escaped(text), cell);
            assert_eq!(unescaped(cell), text);
        }
    }

    proptest! {
        /// Whatever a name is, what stands around it is read in its own order: by the crate unicode-bidi.
        #[test]
        fn nothing_beside_a_name_is_turned(
            name in "[a-z 0-9.+\u{5d0}-\u{5d3}\u{627}-\u{62a}\u{660}-\u{663}\u{200e}\u{200f}\u{61c}\u{202a}-\u{202e}\u{2066}-\u{2069}\n\r\u{85}\u{2029}\u{1c}]{0,14}",
            other in "[a-c1-3\u{5d0}\u{202e}\u{2069}]{0,5}",
        ) {
            let (name, other) = (isolated(&name), isolated(&other));
            let parts = ["Pour 0.46\u{a0}L ", &name, ", 12 (3 %) ", &other, " 7.5"];
            let text = parts.concat();
            let info = BidiInfo::new(&text, Some(Level::ltr()));
            prop_assert_eq!(info.paragraphs.len(), 1);
            let mut at = 0;
            for (i, part) in parts.iter().enumerate() {
                let levels = &info.levels[at..at + part.len()];
                at += part.len();
                // Isolates themselves stand at the level around them.
                let ours = i % 2 == 0;
                prop_assert!(!ours || levels.iter().all(|l| l.number() == 0), "{:?} in {:?}", part, text);
            }
        }

        #[test]
        fn what_is_written_out_comes_back(text in "[a\\\\u20-3E5C\u{202e}\u{5d0}]{0,16}") {
            let cell = escaped(&text);
            prop_assert!(!cell.chars().any(is_control));
            prop_assert_eq!(unescaped(&cell), text);
        }
    }
}
