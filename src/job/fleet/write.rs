//! Tables as text, written: quoted where it must be, and no cell becomes a formula.

use super::table::Separator;
use crate::job::bidi::escaped;

/// A table being written: with a byte order mark and CRLF, as spreadsheets like it.
#[derive(Debug, Clone)]
pub struct Writer {
    text: String,
    separator: Separator,
    begun: bool,
}

impl Writer {
    /// Nothing in it yet.
    pub fn new(separator: Separator) -> Self {
        Self {
            text: "\u{feff}".to_owned(),
            separator,
            begun: false,
        }
    }

    /// A cell of words; where a spreadsheet would take it for a formula, an apostrophe stands before it. What turns
    /// letters round is written out.
    pub fn words(&mut self, words: &str) {
        let words = harmless(&escaped(words));
        self.cell(&words);
    }

    /// A cell of a number written with a point; blank where there is none. Semicolons go with decimal commas.
    pub fn number(&mut self, number: &str) {
        if self.separator == Separator::Semicolon {
            self.cell(&number.replace('.', ","));
        } else {
            self.cell(number);
        }
    }

    pub(super) fn cell(&mut self, text: &str) {
        if self.begun {
            self.text.push(char::from(self.separator.byte()));
        }
        self.begun = true;
        let bare = !text.starts_with(' ')
            && !text.ends_with(' ')
            && !text
                .bytes()
                .any(|b| matches!(b, b'"' | b'\r' | b'\n' | b',' | b';' | b'\t'));
        if bare {
            self.text.push_str(text);
        } else {
            self.text.push('"');
            self.text.push_str(&text.replace('"', "\"\""));
            self.text.push('"');
        }
    }

    /// Ends the row.
    pub fn end(&mut self) {
        self.text.push_str("\r\n");
        self.begun = false;
    }

    /// What was written.
    pub fn done(self) -> String {
        self.text
    }
}

/// What a spreadsheet takes for the beginning of a formula.
const FORMULA: [char; 8] = [
    '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// The text with an apostrophe before whatever begins like a formula, at its start and behind anything that another
/// spreadsheet's settings may take for a separator. Plain numbers stay as they are.
pub fn harmless(text: &str) -> String {
    if is_plain_number(text) {
        return text.to_owned();
    }
    let mut out = String::new();
    if text.starts_with(['\t', '\r', '\n', '\0']) {
        // Some strip these, and then look.
        out.push('\'');
    }
    let mut begins = true;
    for c in text.chars() {
        if begins && FORMULA.contains(&c) {
            out.push('\'');
            begins = false;
        }
        out.push(c);
        let separates = matches!(c, ',' | ';' | '\t' | '\r' | '\n' | '|');
        begins = separates || (begins && (matches!(c, ' ' | '\u{a0}' | '"') || is_unseen(c)));
    }
    out
}

/// Controls, and the formats that take no room: some programs drop them and then look.
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{180e}' | '\u{200b}'..='\u{200d}' | '\u{2060}'..='\u{2064}' | '\u{feff}')
}

/// Digits with at most one decimal mark and a sign.
fn is_plain_number(text: &str) -> bool {
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    let marks = digits.bytes().filter(|b| matches!(b, b'.' | b',')).count();
    let number = digits
        .bytes()
        .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    number && marks <= 1 && digits.len() > marks
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_disarmed_and_numbers_are_not() {
        for (cell, safe) in [
            ("=1+1", "'=1+1"),
            ("+A1", "'+A1"),
            ("-2+3", "'-2+3"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t'=1"),
            ("\r=1", "'\r'=1"),
            (" =1", " '=1"),
            ("x;=1", "x;'=1"),
            ("x,\"=1", "x,\"'=1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("-37", "-37"),
            ("+3.5", "+3.5"),
            ("-1,5", "-1,5"),
            ("-", "'-"),
            ("\0=1", "'\0'=1"),
            ("\u{200b}=1", "\u{200b}'=1"),
            ("\u{feff}\u{2060} \u{ad}@x", "\u{feff}\u{2060} \u{ad}'@x"),
            ("a;\u{200b}\u{1}=1", "a;\u{200b}\u{1}'=1"),
            ("1-2", "1-2"),
            ("Van 7", "Van 7"),
        ] {
            assert_eq!(harmless(cell), safe, "{cell:?}");
        }
    }

    proptest! {
        /// No cell of any table out begins like a formula, for a reader with any of the separators.
        #[test]
        fn no_text_becomes_a_formula(text in "[=+@\t\r\n,;\" \0\u{200b}\u{feff}a-c-]{0,12}") {
            let safe = harmless(&text);
            for part in safe.split([',', ';', '\t', '\r', '\n']) {
                let part = part.trim_start_matches([' ', '"', '\0', '\u{200b}', '\u{feff}']);
                let plain = is_plain_number(&text);
                prop_assert!(plain || !part.starts_with(['=', '+', '-', '@']), "{:?}", safe);
            }
        }
    }
}
