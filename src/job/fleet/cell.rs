//! Cells of a row as values: numbers with their units, names, readings. What is wrong is noted, and reading goes on.
//!
//! A decimal comma is read where the separator is not a comma. Nothing is guessed: a number without a unit, a gallon
//! that may be either, and a comma between tabs that may part thousands are asked about.

use super::{
    column::{Column, Headings, plain_name, trimmed},
    table::{Cells, Separator},
};
use crate::job::{
    figure::over_power_of_ten,
    file::Quantity,
    units::{LengthUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};

/// What is wrong with a row, in words; the column where it is one cell's fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// The column's heading; empty where it is the row's fault.
    pub column: &'static str,
    /// Why.
    pub words: String,
}

/// A row being read.
pub struct Reader<'a> {
    headings: &'a Headings,
    row: &'a Cells,
    separator: Separator,
    /// What was wrong so far.
    pub wrong: Vec<Wrong>,
}

impl<'a> Reader<'a> {
    /// At its beginning.
    pub fn new(headings: &'a Headings, row: &'a Cells, separator: Separator) -> Self {
        Self {
            headings,
            row,
            separator,
            wrong: Vec::new(),
        }
    }

    /// Notes what is wrong with a cell.
    pub fn note(&mut self, column: Column, words: &[&str]) {
        self.wrong.push(Wrong {
            column: column.text(),
            words: words.concat(),
        });
    }

    /// A cell as it is.
    pub fn text(&self, column: Column) -> &'a str {
        self.headings.cell(column, self.row)
    }

    /// A cell in a closed list of names; `None` where it is blank.
    pub fn named<T: Copy>(
        &mut self,
        column: Column,
        all: &[T],
        name: fn(T) -> &'static str,
    ) -> Option<T> {
        let text = plain_name(self.text(column));
        if text.is_empty() {
            return None;
        }
        let found = all.iter().copied().find(|one| name(*one) == text);
        if found.is_none() {
            let names: Vec<&str> = all.iter().map(|one| name(*one)).collect();
            let text = self.text(column);
            self.note(
                column,
                &["\"", text, "\" is not known; expected ", &names.join(", ")],
            );
        }
        found
    }

    /// A cell's number and its unit, its own or the heading's, which may be blank; `None` where it is blank or wrong.
    pub fn number(&mut self, column: Column) -> Option<(f64, &'a str)> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let (number, unit) = parted(text);
        match value(number, self.separator) {
            Ok(value) => {
                let unit = if unit.is_empty() {
                    self.headings.unit_of(column, value)
                } else {
                    unit
                };
                Some((value, unit))
            }
            Err(why) => {
                self.note(column, &["\"", text, "\" ", why]);
                None
            }
        }
    }

    /// The same, in one of a kind's units.
    fn quantity<U>(
        &mut self,
        column: Column,
        unit: fn(&str) -> Option<U>,
        expected: &str,
    ) -> Option<Quantity<U>> {
        let (value, text) = self.number(column)?;
        let found = unit(&unit_name(text));
        if found.is_none() {
            self.no_unit(column, text, expected);
        }
        found.map(|unit| Quantity { value, unit })
    }

    /// Notes a missing or unknown unit.
    pub fn no_unit(&mut self, column: Column, text: &str, expected: &str) {
        let name = unit_name(text);
        if text.is_empty() {
            let heading = [column.text(), " [", expected, "]"].concat();
            self.note(
                column,
                &[
                    "has no unit; expected one in the cell or in the heading, such as ",
                    &heading,
                ],
            );
        } else if matches!(&*name, "gal" | "qt" | "pt" | "fl_oz" | "oz") {
            self.note(
                column,
                &[
                    "\"",
                    text,
                    "\" may be US or imperial; expected which, such as US_gal or imp_gal",
                ],
            );
        } else {
            self.note(
                column,
                &[
                    "the unit \"",
                    text,
                    "\" is not known here; expected one such as ",
                    expected,
                ],
            );
        }
    }

    /// A volume.
    pub fn volume(&mut self, column: Column) -> Option<Quantity<VolumeUnit>> {
        self.quantity(column, volume_unit, "L")
    }

    /// A temperature.
    pub fn temperature(&mut self, column: Column) -> Option<Quantity<TemperatureUnit>> {
        self.quantity(column, temperature_unit, "degC")
    }

    /// A pressure.
    pub fn pressure(&mut self, column: Column) -> Option<Quantity<PressureUnit>> {
        self.quantity(
            column,
            |name| match name {
                "bar" => Some(PressureUnit::Bar),
                "kpa" => Some(PressureUnit::KPa),
                "psi" => Some(PressureUnit::Psi),
                _ => None,
            },
            "bar",
        )
    }

    /// A height.
    pub fn length(&mut self, column: Column) -> Option<Quantity<LengthUnit>> {
        self.quantity(
            column,
            |name| match name {
                "m" => Some(LengthUnit::M),
                "ft" => Some(LengthUnit::Ft),
                _ => None,
            },
            "m",
        )
    }

    /// A percentage, or points of one: the sign may be left out.
    pub fn percent(&mut self, column: Column) -> Option<f64> {
        let (value, unit) = self.number(column)?;
        if matches!(unit, "" | "%" | "points") {
            return Some(value);
        }
        self.no_unit(column, unit, "%");
        None
    }

    /// A share: 0.4, or 40 %.
    pub fn share(&mut self, column: Column) -> Option<f64> {
        let (value, unit) = self.number(column)?;
        match unit {
            "" => Some(value),
            "%" => Some(value / 100.0),
            _ => {
                self.no_unit(column, unit, "%");
                None
            }
        }
    }

    /// A half-width, in the unit of what it is the half-width of; as a number of that.
    pub fn half_width(&mut self, column: Column, of: &str) -> Option<f64> {
        let (value, unit) = self.number(column)?;
        if unit.is_empty() || unit_name(unit) == unit_name(of) {
            return Some(value);
        }
        self.note(
            column,
            &["the unit \"", unit, "\" is not that of the value, ", of],
        );
        None
    }
}

/// A unit in lower case, its words joined by `_`, without dots.
pub fn unit_name(unit: &str) -> String {
    plain_name(&unit.replace('.', " "))
        .trim_matches('_')
        .to_owned()
}

/// A volume's unit.
pub fn volume_unit(name: &str) -> Option<VolumeUnit> {
    if matches!(name, "litre" | "litres" | "liter" | "liters") {
        return Some(VolumeUnit::L);
    }
    let spelt = |unit: &&VolumeUnit| unit.text().eq_ignore_ascii_case(name);
    VolumeUnit::ALL.iter().find(spelt).copied()
}

/// A temperature's unit; also where a program has lost its degree sign.
pub fn temperature_unit(name: &str) -> Option<TemperatureUnit> {
    match name {
        "degc" | "°c" | "c" | "\u{fffd}c" => Some(TemperatureUnit::DegC),
        "degf" | "°f" | "f" | "\u{fffd}f" => Some(TemperatureUnit::DegF),
        _ => None,
    }
}

/// A cell's number, and what follows it.
pub fn parted(text: &str) -> (&str, &str) {
    let digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}');
    // Spaces between a sign and its digits, or between groups, belong to what is no number.
    let end = text.find(|c: char| !digit(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number, trimmed(unit))
}

/// The number a text stands for.
///
/// # Errors
/// What it is not, as the end of a sentence.
fn value(text: &str, separator: Separator) -> Result<f64, &'static str> {
    const NO_NUMBER: &str = "is not a number; expected one such as 8.4";
    const LONG: &str = "has too many digits";
    let (negative, digits) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let mark = digits.find(['.', ',']);
    let (whole, decimals) = mark.map_or((digits, ""), |at| (&digits[..at], &digits[at + 1..]));
    let is_digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if whole.len() + decimals.len() == 0 || !is_digits(whole) || !is_digits(decimals) {
        return Err(NO_NUMBER);
    }
    if mark.is_some_and(|at| digits.as_bytes()[at] == b',') {
        let thousands =
            decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
        match separator {
            Separator::Comma => {
                return Err("has a decimal comma; expected a point where commas part the cells");
            }
            Separator::Tab if thousands => {
                return Err("may be a decimal or thousands; expected a point, or no mark");
            }
            Separator::Tab | Separator::Semicolon => {}
        }
    }
    let whole = whole.trim_start_matches('0');
    let decimals = decimals.trim_end_matches('0');
    if whole.len() + decimals.len() > 17 {
        return Err(LONG);
    }
    let mantissa = whole
        .bytes()
        .chain(decimals.bytes())
        .fold(0_u64, |sum, b| sum * 10 + u64::from(b - b'0'));
    let size = over_power_of_ten(mantissa, decimals.len() as u32);
    Ok(if negative { -size } else { size })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_by_the_separator() {
        for (text, comma, semicolon, tab) in [
            ("8.4", Some(8.4), Some(8.4), Some(8.4)),
            ("8,4", None, Some(8.4), Some(8.4)),
            ("1,375", None, Some(1.375), None),
            ("0,375", None, Some(0.375), Some(0.375)),
            ("1,3756", None, Some(1.3756), Some(1.3756)),
            ("-21", Some(-21.0), Some(-21.0), Some(-21.0)),
            ("\u{2212}21.5", Some(-21.5), Some(-21.5), Some(-21.5)),
            ("+3", Some(3.0), Some(3.0), Some(3.0)),
            (".5", Some(0.5), Some(0.5), Some(0.5)),
            ("1.234,5", None, None, None),
            ("", None, None, None),
            ("-", None, None, None),
            (".", None, None, None),
            ("--5", None, None, None),
            ("123456789012345678", None, None, None),
        ] {
            for (separator, expected) in [
                (Separator::Comma, comma),
                (Separator::Semicolon, semicolon),
                (Separator::Tab, tab),
            ] {
                assert_eq!(
                    value(text, separator).ok(),
                    expected,
                    "{text:?} {separator:?}"
                );
            }
        }
    }

    #[test]
    fn units_as_people_write_them() {
        for (name, unit) in [
            ("L", Some(VolumeUnit::L)),
            ("litres", Some(VolumeUnit::L)),
            ("ml", Some(VolumeUnit::Ml)),
            ("US gal", Some(VolumeUnit::UsGal)),
            ("us_gal", Some(VolumeUnit::UsGal)),
            ("imp fl. oz.", Some(VolumeUnit::ImpFlOz)),
            ("gal", None),
            ("", None),
        ] {
            assert_eq!(volume_unit(&unit_name(name)), unit, "{name}");
        }
        assert_eq!(
            temperature_unit(&unit_name("°C")),
            Some(TemperatureUnit::DegC)
        );
        assert_eq!(parted("8.4 L"), ("8.4", "L"));
        assert_eq!(parted("8.4L"), ("8.4", "L"));
        assert_eq!(parted("-21 °C"), ("-21", "°C"));
        assert_eq!(parted("about 8"), ("", "about 8"));
    }
}
