//! Numbers as a message shows them, without the standard library's float printer (5 kB of the page).

/// A number in full, without an exponent: the shortest text that reads back the same.
pub fn plain(value: f64) -> String {
    let Some(number) = serde_json::Number::from_f64(value) else {
        return "not a number".to_owned();
    };
    let text = number.to_string();
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let (sign, mantissa) = match mantissa.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", mantissa),
    };
    let (whole, decimals) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let decimals = if decimals == "0" { "" } else { decimals };
    // Where the point stands among the digits, zeros filled in on either side.
    let mut point = whole.len() as i32 + exponent.parse::<i32>().unwrap_or(0);
    let mut digits = [whole, decimals].concat();
    while point <= 0 {
        digits.insert(0, '0');
        point += 1;
    }
    while digits.len() < point as usize {
        digits.push('0');
    }
    let (whole, decimals) = digits.split_at(point as usize);
    let point = if decimals.is_empty() { "" } else { "." };
    [sign, whole, point, decimals].concat()
}

/// A number rounded to so many decimals, 0 to 9; in full above 1e9.
pub fn fixed(value: f64, decimals: u32) -> String {
    let scale = 10_u64.pow(decimals.min(9));
    if !value.is_finite() || value.abs() > 1e9 {
        return plain(value);
    }
    let scaled = (value.abs() * scale as f64).round() as u64;
    let sign = if value < 0.0 && scaled > 0 { "-" } else { "" };
    let whole = (scaled / scale).to_string();
    if decimals == 0 {
        return [sign, &whole].concat();
    }
    // The leading 1 keeps the zeros after the point.
    let tail = (scale + scaled % scale).to_string();
    [sign, &whole, ".", &tail[1..]].concat()
}

#[cfg(test)]
mod tests {
    use super::{fixed, plain};

    /// Against the standard library's printer.
    #[test]
    fn as_the_standard_printer() {
        for value in [
            0.0,
            8.4,
            -0.1,
            0.05,
            1e9,
            123_456.789,
            2.0 / 3.0,
            -1.0,
            1e22,
            1.5e300,
            2.5e-9,
            1e16,
        ] {
            assert_eq!(plain(value), value.to_string());
        }
        for (value, decimals) in [
            (8.4, 2),
            (-0.125, 1),
            (0.004, 2),
            (49.96, 1),
            (1.0, 0),
            (1.05, 3),
            (-0.001, 2),
        ] {
            let standard = format!("{value:.*}", decimals as usize);
            let standard = if standard.trim_matches(['-', '0', '.']).is_empty() {
                standard.replace('-', "")
            } else {
                standard
            };
            assert_eq!(fixed(value, decimals), standard, "{value}");
        }
        assert_eq!(plain(f64::NAN), "not a number");
    }
}
