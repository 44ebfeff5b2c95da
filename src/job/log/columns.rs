//! Which column is what, in which unit: by the user's word, else by the heading, else by the figures.

use crate::job::record::names;

names! {
    /// What a column holds.
    pub enum Role {
        /// Time since the start, or of the day.
        Time = "time",
        /// Temperature of the coolant.
        Coolant = "coolant",
        /// Of the oil.
        Oil = "oil",
        /// Of the intake air.
        Intake = "intake",
        /// Of the air outside.
        Ambient = "ambient",
        /// Of the vehicle.
        Speed = "speed",
        /// Of the engine.
        Load = "load",
    }
}

names! {
    /// The unit of a column.
    pub enum Unit {
        /// Seconds, or a clock time.
        Seconds = "s",
        /// Milliseconds.
        Milliseconds = "ms",
        /// Minutes.
        Minutes = "min",
        /// Degree Celsius.
        Celsius = "degC",
        /// Degree Fahrenheit.
        Fahrenheit = "degF",
        /// Kelvin.
        Kelvin = "K",
        /// Kilometres an hour.
        KmH = "km/h",
        /// Miles an hour.
        Mph = "mph",
        /// Metres a second.
        MetresSecond = "m/s",
        /// Percent.
        Percent = "%",
    }
}

impl Unit {
    /// A figure in it, in s, °C, km/h or percent.
    pub fn plain(self, value: f64) -> f64 {
        match self {
            Self::Seconds | Self::Celsius | Self::KmH | Self::Percent => value,
            Self::Milliseconds => value / 1000.0,
            Self::Minutes => value * 60.0,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
            Self::Mph => value * 1.609_344,
            Self::MetresSecond => value * 3.6,
        }
    }
}

impl Role {
    /// The units it may have, the usual one first.
    pub const fn units(self) -> &'static [Unit] {
        match self {
            Self::Time => &[Unit::Seconds, Unit::Milliseconds, Unit::Minutes],
            Self::Coolant | Self::Oil | Self::Intake | Self::Ambient => {
                &[Unit::Celsius, Unit::Fahrenheit, Unit::Kelvin]
            }
            Self::Speed => &[Unit::KmH, Unit::Mph, Unit::MetresSecond],
            Self::Load => &[Unit::Percent],
        }
    }

    /// What headings call it; the first role that has one of them gets the column.
    const fn hints(self) -> &'static [&'static str] {
        match self {
            Self::Time => &["time", "seconds", "elapsed", "date", "t"],
            Self::Ambient => &["ambient", "outside", "aat"],
            Self::Coolant => &["coolant", "ect", "water temp", "engine temp"],
            Self::Oil => &["oil temp", "oil", "eot"],
            Self::Intake => &["intake", "iat", "charge air"],
            Self::Speed => &["vehicle speed", "speed", "vss"],
            Self::Load => &["load"],
        }
    }
}

/// What a user said of the columns.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Said {
    /// Headings.
    pub columns: Vec<(Role, String)>,
    /// Units.
    pub units: Vec<(Role, Unit)>,
}

/// A column that is used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// What it is.
    pub role: Role,
    /// Its place in a row.
    pub place: usize,
    /// Its heading.
    pub heading: String,
    /// Its unit.
    pub unit: Unit,
    /// Nobody said the unit: neither the user nor the heading.
    pub guessed: bool,
}

/// Letters and figures of a heading, lower case; anything else is one space.
fn bare(heading: &str) -> String {
    let mut text = String::new();
    for c in heading.chars() {
        if c.is_alphanumeric() || c == '%' {
            text.extend(c.to_lowercase());
        } else if !text.ends_with(' ') {
            text.push(' ');
        }
    }
    text.trim().to_owned()
}

fn has(heading: &str, hint: &str) -> bool {
    let padded = [" ", heading, " "].concat();
    padded.contains(&[" ", hint, " "].concat()) || hint.len() > 4 && padded.contains(hint)
}

/// The unit a heading tells: "Coolant (°F)", "speed_kmh", "Time [ms]".
fn told(role: Role, heading: &str) -> Option<Unit> {
    let text = bare(heading);
    let last = text.split(' ').next_back().unwrap_or_default();
    let two: Vec<&str> = text.rsplitn(3, ' ').collect();
    let pair = match two[..] {
        [a, b, ..] => [b, a].concat(),
        _ => String::new(),
    };
    let is = |names: &[&str]| names.contains(&last) || names.contains(&&pair[..]);
    let found = match role {
        Role::Time if is(&["ms", "msec", "milliseconds"]) => Unit::Milliseconds,
        Role::Time if is(&["min", "minutes"]) => Unit::Minutes,
        Role::Time if is(&["s", "sec", "secs", "seconds"]) => Unit::Seconds,
        Role::Coolant | Role::Oil | Role::Intake | Role::Ambient => {
            if is(&["c", "degc", "celsius"]) {
                Unit::Celsius
            } else if is(&["f", "degf", "fahrenheit"]) {
                Unit::Fahrenheit
            } else if is(&["k", "kelvin"]) {
                Unit::Kelvin
            } else {
                return None;
            }
        }
        Role::Speed if is(&["kmh", "kph", "km/h"]) => Unit::KmH,
        Role::Speed if is(&["mph", "mih"]) => Unit::Mph,
        Role::Speed if is(&["ms"]) => Unit::MetresSecond,
        Role::Load => Unit::Percent,
        _ => return None,
    };
    Some(found)
}

/// The columns of a heading line, with the units that are told; the rest is [`guess`]'s.
///
/// # Errors
/// The role that no column has, or the heading the user named and that is none.
pub fn find(headings: &[String], said: &Said) -> Result<Vec<(Column, bool)>, Missing> {
    let mut list: Vec<(Column, bool)> = Vec::new();
    for (role, heading) in &said.columns {
        let wanted = bare(heading);
        let place = headings.iter().position(|h| bare(h) == wanted);
        let place = place.ok_or_else(|| Missing::Heading(heading.clone()))?;
        list.push(column(*role, place, headings, said));
    }
    for role in [
        Role::Time,
        Role::Ambient,
        Role::Coolant,
        Role::Oil,
        Role::Intake,
        Role::Speed,
        Role::Load,
    ] {
        if list.iter().any(|c| c.0.role == role) {
            continue;
        }
        let free = |i: &usize| list.iter().all(|c| c.0.place != *i);
        let fits = |hint: &&str| {
            (0..headings.len()).filter(free).find(|&i| {
                let text = bare(&headings[i]);
                let engine =
                    has(&text, "rpm") || has(&text, "engine speed") || has(&text, "pressure");
                has(&text, hint) && !engine
            })
        };
        if let Some(place) = role.hints().iter().find_map(fits) {
            list.push(column(role, place, headings, said));
        }
    }
    for needed in [Role::Time, Role::Coolant] {
        let missing = list.iter().all(|c| c.0.role != needed);
        let other = needed == Role::Coolant
            && list
                .iter()
                .any(|c| matches!(c.0.role, Role::Oil | Role::Intake));
        if missing && !other {
            return Err(Missing::Role(needed));
        }
    }
    Ok(list)
}

fn column(role: Role, place: usize, headings: &[String], said: &Said) -> (Column, bool) {
    let heading = headings[place].clone();
    let unit = said.units.iter().find(|u| u.0 == role).map(|u| u.1);
    let unit = unit.or_else(|| told(role, &heading));
    let column = Column {
        role,
        place,
        heading,
        unit: unit.unwrap_or(role.units()[0]),
        guessed: unit.is_none(),
    };
    (column, unit.is_some())
}

/// Something a log needs and has not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Missing {
    /// A column for this.
    Role(Role),
    /// A column of this heading.
    Heading(String),
}

/// Guesses the units nobody told from the first figures: a running engine's coolant is not below 130 °F or above 130 °C, and a
/// clock that counts in steps over twenty counts milliseconds.
pub fn guess(columns: &mut [Column], rows: &[Vec<f64>]) {
    let median = |place: usize| {
        let mut list: Vec<f64> = rows
            .iter()
            .map(|r| r[place])
            .filter(|v| v.is_finite())
            .collect();
        list.sort_by(f64::total_cmp);
        list.get(list.len() / 2).copied()
    };
    let hot = columns
        .iter()
        .position(|c| c.role == Role::Coolant)
        .and_then(|i| Some((median(i)?, columns[i].unit, columns[i].guessed)));
    let scale = hot.map(|(value, unit, guessed)| match value {
        _ if !guessed => unit,
        v if v > 250.0 => Unit::Kelvin,
        v if v > 130.0 => Unit::Fahrenheit,
        _ => Unit::Celsius,
    });
    let steps: Vec<f64> = rows.windows(2).map(|w| w[1][0] - w[0][0]).collect();
    for (i, column) in columns.iter_mut().enumerate() {
        if !column.guessed {
            continue;
        }
        column.unit = match column.role {
            Role::Time => {
                let mut steps: Vec<f64> = steps.iter().copied().filter(|s| *s > 0.0).collect();
                steps.sort_by(f64::total_cmp);
                match steps.get(steps.len() / 2) {
                    Some(step) if i == 0 && *step >= 20.0 => Unit::Milliseconds,
                    _ => Unit::Seconds,
                }
            }
            Role::Coolant | Role::Oil | Role::Intake | Role::Ambient => {
                scale.unwrap_or(Unit::Celsius)
            }
            role => role.units()[0],
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(headings: &[&str]) -> Vec<(Role, usize, Unit, bool)> {
        let headings: Vec<String> = headings.iter().map(|h| (*h).to_owned()).collect();
        let list = find(&headings, &Said::default()).unwrap();
        list.into_iter()
            .map(|(c, _)| (c.role, c.place, c.unit, c.guessed))
            .collect()
    }

    #[test]
    fn headings_as_loggers_write_them() {
        assert_eq!(
            found(&[
                "Time (s)",
                "Engine Coolant Temp (°F)",
                "Vehicle speed [mph]",
                "Engine RPM",
                "Ambient air temp (°F)",
                "Calculated load (%)"
            ]),
            [
                (Role::Time, 0, Unit::Seconds, false),
                (Role::Ambient, 4, Unit::Fahrenheit, false),
                (Role::Coolant, 1, Unit::Fahrenheit, false),
                (Role::Speed, 2, Unit::Mph, false),
                (Role::Load, 5, Unit::Percent, false),
            ]
        );
        assert_eq!(
            found(&["t", "ECT", "IAT", "oil_temp_C", "speed_kmh", "oil pressure"]),
            [
                (Role::Time, 0, Unit::Seconds, true),
                (Role::Coolant, 1, Unit::Celsius, true),
                (Role::Oil, 3, Unit::Celsius, false),
                (Role::Intake, 2, Unit::Celsius, true),
                (Role::Speed, 4, Unit::KmH, false),
            ]
        );
    }

    #[test]
    fn what_is_missing_is_named() {
        let headings = ["time".to_owned(), "rpm".to_owned()];
        assert_eq!(
            find(&headings, &Said::default()),
            Err(Missing::Role(Role::Coolant))
        );
        let said = Said {
            columns: vec![(Role::Coolant, "Kühlmittel".to_owned())],
            units: Vec::new(),
        };
        assert_eq!(
            find(&headings, &said),
            Err(Missing::Heading("Kühlmittel".to_owned()))
        );
    }

    #[test]
    fn units_by_the_figures() {
        let headings: Vec<String> = ["time", "coolant", "ambient"].map(str::to_owned).into();
        let mut columns: Vec<Column> = find(&headings, &Said::default())
            .unwrap()
            .into_iter()
            .map(|c| c.0)
            .collect();
        // In the order of the columns found: time, ambient, coolant.
        let rows: Vec<Vec<f64>> = (0..10)
            .map(|i| vec![f64::from(i) * 100.0, 60.0, 195.0])
            .collect();
        guess(&mut columns, &rows);
        let units: Vec<Unit> = columns.iter().map(|c| c.unit).collect();
        assert_eq!(
            units,
            [Unit::Milliseconds, Unit::Fahrenheit, Unit::Fahrenheit]
        );
    }
}
