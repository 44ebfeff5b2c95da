//! Numbers as people type them, and as the page writes them.
//!
//! Typed: comma or point, Unicode minus, spaces or separators between groups of three, fractions as in `8 1/2` or `½`. `1,234` is refused: it is
//! 1.234 to one reader and 1234 to the next. `1.234` is a decimal: refractive indices are written so. A number is
//! read to the nearest double, exactly as the standard library reads it (a test compares the two), by integer
//! arithmetic: the standard table of powers is worth 9 kB in the page.
//! Never done here: units; rewriting what was typed.

use crate::job::figure;

/// The most digits a number may have.
pub const MOST_DIGITS: usize = 18;
/// The most of them after the decimal mark.
pub const MOST_DECIMALS: usize = 17;

/// Why a text is not a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NumberError {
    /// Only a sign or a decimal mark so far.
    Unfinished,
    /// Could be read two ways: as a decimal, and as a whole number.
    Ambiguous {
        /// With the comma as decimal mark.
        decimal: String,
        /// With the comma between thousands.
        whole: String,
    },
    /// Not a number.
    NotANumber,
    /// More than [`MOST_DIGITS`], or more than [`MOST_DECIMALS`] after the mark.
    TooLong,
}

/// The number a text stands for; `None` where nothing was typed.
///
/// # Errors
/// See [`NumberError`].
pub fn parse(text: &str) -> Result<Option<f64>, NumberError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let (negative, body) = signed(text);
    let mut plain = String::new();
    for c in body.trim_start().chars() {
        match c {
            c if is_space(c) => plain.push(' '),
            '\u{2044}' => plain.push('/'),
            c => match VULGAR.iter().find(|(vulgar, _)| *vulgar == c) {
                Some((_, parts)) => plain.push_str(parts),
                None => plain.push(c),
            },
        }
    }
    if plain.is_empty() || plain == "." || plain == "," {
        return Err(NumberError::Unfinished);
    }
    if let Some((whole, part)) = fraction(&plain)? {
        let size = magnitude(&whole, "")? + part;
        return Ok(Some(if negative { -size } else { size }));
    }
    if !plain
        .bytes()
        .all(|b| matches!(b, b'0'..=b'9' | b'.' | b',' | b' '))
    {
        return Err(NumberError::NotANumber);
    }
    let (whole, decimals) = split(&plain)?;
    let size = magnitude(&whole, decimals)?;
    Ok(Some(if negative { -size } else { size }))
}

/// Fractions of one sign, as two numbers.
const VULGAR: [(char, &str); 9] = [
    ('\u{bd}', " 1/2"),
    ('\u{bc}', " 1/4"),
    ('\u{be}', " 3/4"),
    ('\u{2153}', " 1/3"),
    ('\u{2154}', " 2/3"),
    ('\u{215b}', " 1/8"),
    ('\u{215c}', " 3/8"),
    ('\u{215d}', " 5/8"),
    ('\u{215e}', " 7/8"),
];

/// The whole and the part of "8 1/2" and "1/2"; nothing where there is no fraction.
fn fraction(plain: &str) -> Result<Option<(String, f64)>, NumberError> {
    let Some((before, under)) = plain.split_once('/') else {
        return Ok(None);
    };
    let (whole, over) = before.trim_end().rsplit_once(' ').unwrap_or(("", before));
    let few = |text: &str| {
        let text = text.trim();
        let digits = (1..=3).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        digits.then(|| text.parse::<u16>().ok()).flatten()
    };
    if under.trim().is_empty() {
        return Err(NumberError::Unfinished);
    }
    match (few(over), few(under)) {
        (Some(over), Some(under)) if over < under => {
            let whole = whole.trim();
            if !whole.bytes().all(|b| b.is_ascii_digit()) {
                return Err(NumberError::NotANumber);
            }
            Ok(Some((whole.to_owned(), f64::from(over) / f64::from(under))))
        }
        _ => Err(NumberError::NotANumber),
    }
}

/// The sign and what follows it.
fn signed(text: &str) -> (bool, &str) {
    let mut rest = text.chars();
    match rest.next() {
        Some('-' | '\u{2212}' | '\u{2013}') => (true, rest.as_str()),
        Some('+') => (false, rest.as_str()),
        _ => (false, text),
    }
}

fn is_space(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
}

/// The digits before and after the decimal mark.
fn split(plain: &str) -> Result<(String, &str), NumberError> {
    let last = plain.rfind(['.', ',']);
    let Some(last) = last else {
        return Ok((ungrouped(plain, ' ')?, ""));
    };
    let mark = if plain.as_bytes()[last] == b',' {
        ','
    } else {
        '.'
    };
    let other = if mark == ',' { '.' } else { ',' };
    let (before, after) = (&plain[..last], &plain[last + 1..]);
    if before.contains(mark) {
        // 1,234,567: more than one of the same can only stand between groups.
        return if before.contains([other, ' ']) {
            Err(NumberError::NotANumber)
        } else {
            Ok((ungrouped(plain, mark)?, ""))
        };
    }
    if !after.bytes().all(|b| b.is_ascii_digit()) {
        return Err(NumberError::NotANumber);
    }
    let grouped = before.contains([other, ' ']);
    let thousands = after.len() == 3 && (1..=3).contains(&before.len()) && !before.starts_with('0');
    if mark == ',' && !grouped && thousands {
        return Err(NumberError::Ambiguous {
            decimal: [before, ".", after].concat(),
            whole: [before, after].concat(),
        });
    }
    let separator = if before.contains(other) { other } else { ' ' };
    Ok((ungrouped(before, separator)?, after))
}

/// Digits without the separators between groups of three.
fn ungrouped(text: &str, separator: char) -> Result<String, NumberError> {
    let mut digits = String::new();
    for (i, group) in text.split(separator).enumerate() {
        let fits =
            i == 0 || (group.len() == 3 && !digits.is_empty() && (i > 1 || digits.len() <= 3));
        if !fits || !group.bytes().all(|b| b.is_ascii_digit()) {
            return Err(NumberError::NotANumber);
        }
        digits.push_str(group);
    }
    Ok(digits)
}

fn magnitude(whole: &str, decimals: &str) -> Result<f64, NumberError> {
    let whole = whole.trim_start_matches('0');
    let decimals = decimals.trim_end_matches('0');
    if whole.len() + decimals.len() > MOST_DIGITS || decimals.len() > MOST_DECIMALS {
        return Err(NumberError::TooLong);
    }
    let mantissa = whole
        .bytes()
        .chain(decimals.bytes())
        .fold(0u64, |sum, b| sum * 10 + u64::from(b - b'0'));
    Ok(figure::over_power_of_ten(mantissa, decimals.len() as u32))
}

/// A number in full, so that reading it back gives the same double; to 17 decimals where it is a finer one.
pub fn print(value: f64) -> String {
    minus(figure::plain(value))
}

/// A number with so many decimals.
pub fn fixed(value: f64, decimals: u32) -> String {
    minus(figure::fixed(value, decimals))
}

/// With the minus a reader expects.
fn minus(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) => ["\u{2212}", rest].concat(),
        None => text,
    }
}

/// A number to so many significant digits, without trailing zeros after the point.
pub fn significant(value: f64, digits: u32) -> String {
    let mut decimals = digits.saturating_sub(1);
    let mut size = value.abs();
    while size >= 10.0 && decimals > 0 {
        size /= 10.0;
        decimals -= 1;
    }
    while size > 0.0 && size < 1.0 && decimals < 12 {
        size *= 10.0;
        decimals += 1;
    }
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A typed text with its sign turned.
pub fn turned(text: &str) -> String {
    let trimmed = text.trim();
    match signed(trimmed) {
        (true, rest) => rest.trim_start().to_owned(),
        (false, rest) => ["\u{2212}", rest.trim_start()].concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn reads(text: &str, value: f64) {
        assert_eq!(parse(text), Ok(Some(value)), "{text:?}");
    }

    #[track_caller]
    fn refuses(text: &str, error: NumberError) {
        assert_eq!(parse(text), Err(error), "{text:?}");
    }

    #[test]
    fn reads_what_people_type() {
        reads("8.4", 8.4);
        reads("8,4", 8.4);
        reads("  42 ", 42.0);
        reads(".5", 0.5);
        reads(",5", 0.5);
        reads("5.", 5.0);
        reads("+3", 3.0);
        reads("-25", -25.0);
        reads("\u{2212}25", -25.0);
        reads("\u{2013} 25", -25.0);
        reads("0,350", 0.35);
        reads("1.234", 1.234);
        reads("1 234", 1234.0);
        reads("12\u{202f}345,6", 12345.6);
        reads("1,234.5", 1234.5);
        reads("1.234,5", 1234.5);
        reads("1,234,567", 1_234_567.0);
        reads("1.234.567", 1_234_567.0);
        reads("1234,567", 1234.567);
        reads("0.00000000000000001", 1e-17);
        assert_eq!(parse("  "), Ok(None));
    }

    #[test]
    fn refuses_what_it_cannot_be_sure_of() {
        refuses(
            "1,234",
            NumberError::Ambiguous {
                decimal: "1.234".into(),
                whole: "1234".into(),
            },
        );
        for text in ["-", "\u{2212}", ".", ",", "- "] {
            refuses(text, NumberError::Unfinished);
        }
        for text in [
            "x",
            "1.2.3",
            "1,2,3",
            "1 2",
            "12 34",
            "8.4 L",
            "1e3",
            "--5",
            "1,23 4",
            "1234 567",
            "1.234,567.8",
            "5-",
            "NaN",
            "inf",
            "1,,234",
            ", 5",
        ] {
            refuses(text, NumberError::NotANumber);
        }
        refuses("1234567890123456789", NumberError::TooLong);
        refuses("0.000000000000000001", NumberError::TooLong);
    }

    #[test]
    fn writes_for_reading() {
        assert_eq!(fixed(0.8, 2), "0.80");
        assert_eq!(fixed(-36.6, 0), "\u{2212}37");
        assert_eq!(fixed(-0.2, 0), "0");
        assert_eq!(fixed(12.345, 1), "12.3");
        assert_eq!(significant(8.876_34, 4), "8.876");
        assert_eq!(significant(0.634_01, 4), "0.634");
        assert_eq!(significant(-13.0, 4), "\u{2212}13");
        assert_eq!(significant(1148.3, 4), "1148");
        assert_eq!(significant(0.0, 4), "0");
        assert_eq!(print(-2.5), "\u{2212}2.5");
    }

    #[test]
    fn turns_the_sign_and_back() {
        assert_eq!(turned("25"), "\u{2212}25");
        assert_eq!(turned("\u{2212}25"), "25");
        assert_eq!(turned("- 2,5"), "2,5");
        assert_eq!(turned(""), "\u{2212}");
    }

    #[test]
    fn fractions_are_read_as_people_write_them() {
        for (text, value) in [
            ("8 1/2", 8.5),
            ("8\u{bd}", 8.5),
            ("8 \u{bd}", 8.5),
            ("\u{bd}", 0.5),
            ("1/2", 0.5),
            ("3\u{2044}4", 0.75),
            ("\u{2212}1/4", -0.25),
            ("1 2/3", 1.0 + 2.0 / 3.0),
        ] {
            assert_eq!(parse(text), Ok(Some(value)), "{text}");
        }
        assert_eq!(parse("1/"), Err(NumberError::Unfinished));
        for text in [
            "1/0",
            "3/2",
            "8.5 1/2",
            "a/2",
            "1/2/3",
            "/2",
            "1 000 1/2",
            "1/2 3",
        ] {
            assert!(parse(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_printed_reads_as_itself(value in -1e12f64..1e12) {
            let text = print(value);
            match parse(&text) {
                Ok(read) => prop_assert_eq!(read, Some(value)),
                Err(e) => prop_assert_eq!(e, NumberError::TooLong),
            }
        }

        #[test]
        fn reads_as_the_standard_library_does(whole in 0u64..1_000_000_000, decimals in "[0-9]{0,9}") {
            let text = format!("{whole}.{decimals}");
            prop_assert_eq!(parse(&text), Ok(Some(text.parse::<f64>().unwrap())));
        }

        #[test]
        fn reads_long_fractions_as_the_standard_library_does(decimals in "[0-9]{15,17}") {
            let text = format!("0.{decimals}");
            prop_assert_eq!(parse(&text), Ok(Some(text.parse::<f64>().unwrap())));
        }

        #[test]
        fn never_panics(text in "\\PC{0,20}") {
            let _ = parse(&text);
        }
    }
}
