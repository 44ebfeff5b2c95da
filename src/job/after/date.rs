//! Dates as day numbers.

/// The day number of a date written YYYY-MM-DD (proleptic Gregorian, day 0 is 1970-01-01); `None` for what is no date.
/// By the era method of H. Hinnant's "chrono-compatible low-level date algorithms".
pub fn day(text: &str) -> Option<i32> {
    let mut parts = text.trim().split('-');
    let mut number = |digits: usize| -> Option<i32> {
        let part = parts.next()?;
        let is_number = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
        is_number.then(|| part.bytes().fold(0, |n, b| n * 10 + i32::from(b - b'0')))
    };
    let (year, month, of_month) = (number(4)?, number(2)?, number(2)?);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let last = match month {
        2 => 28 + i32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    if parts.next().is_some() || !(1..=last).contains(&of_month) {
        return None;
    }
    // The year begins in March, so that the leap day is its last.
    let year = year - i32::from(month <= 2);
    let (era, of_era) = (year.div_euclid(400), year.rem_euclid(400));
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + of_month - 1;
    Some(era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468)
}

#[cfg(test)]
mod tests {
    use super::day;

    /// Known spans: the epoch, the Gregorian cycle of 146 097 days, leap days.
    #[test]
    fn days_are_counted() {
        assert_eq!(day("1970-01-01"), Some(0));
        assert_eq!(day("2000-03-01"), Some(11_017));
        assert_eq!(day("2370-01-01"), Some(146_097));
        assert_eq!(day("2024-03-01").unwrap() - day("2024-02-28").unwrap(), 2);
        assert_eq!(day("2023-03-01").unwrap() - day("2023-02-28").unwrap(), 1);
        for text in [
            "",
            "2026",
            "2026-02-30",
            "2023-02-29",
            "2026-13-01",
            "2026-00-01",
            "26-01-01",
            "2026-1-1",
            "2026-01-01-01",
            "2026-01-xx",
        ] {
            assert_eq!(day(text), None, "{text}");
        }
    }
}
