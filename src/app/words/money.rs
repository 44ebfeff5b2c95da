//! Amounts of money as the user's locale writes them.

use std::cell::Cell;

use super::isolated;
use crate::job::answer::Amount;

/// How a locale writes amounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    decimal: char,
    /// Between groups of three; `None`: nothing.
    group: Option<char>,
    /// The currency stands before the number.
    before: bool,
    /// There is a space between them, whatever the currency.
    spaced: bool,
}

const PLAIN: Written = Written {
    decimal: '.',
    group: None,
    before: true,
    spaced: false,
};

thread_local! {
    static AS: Cell<Written> = const { Cell::new(PLAIN) };
}

/// From now on, as 1234.5 of a currency is written in this sample: "\u{20ac}1,234.50", "1.234,50\u{a0}\u{20ac}".
pub fn write_money_as(sample: &str) {
    AS.set(written(sample).unwrap_or(PLAIN));
}

fn written(sample: &str) -> Option<Written> {
    let letters: Vec<char> = sample.trim().chars().collect();
    let first = letters.iter().position(|c| *c == '1')?;
    let two = letters.iter().position(|c| *c == '2')?;
    let four = letters.iter().position(|c| *c == '4')?;
    let before = first > 0;
    let beside = if before {
        letters.get(first - 1)
    } else {
        letters.get(four + 4)
    };
    Some(Written {
        decimal: *letters.get(four + 1)?,
        group: (two == first + 2).then(|| letters[first + 1]),
        before,
        spaced: beside.is_some_and(|c| c.is_whitespace()),
    })
}

/// An amount without its currency.
pub fn amount(amount: Amount) -> String {
    let to = AS.get();
    let text = amount.text();
    let (sign, body) = match text.strip_prefix('-') {
        Some(body) => ("\u{2212}", body),
        None => ("", text.as_str()),
    };
    let (whole, decimals) = body.split_once('.').unwrap_or((body, ""));
    let mut out = sign.to_owned();
    for (i, digit) in whole.chars().enumerate() {
        let left = whole.len() - i;
        if let Some(group) = to.group.filter(|_| i > 0 && left % 3 == 0) {
            out.push(group);
        }
        out.push(digit);
    }
    if !decimals.is_empty() {
        out.push(to.decimal);
        out.push_str(decimals);
    }
    out
}

/// An amount with its currency: "$38.95", "38,95\u{a0}\u{20ac}", "Fr.\u{a0}19.80".
pub fn money(sum: Amount, currency: &str) -> String {
    let number = amount(sum);
    let currency = currency.trim();
    if currency.is_empty() {
        return number;
    }
    let to = AS.get();
    // A word never runs into its number.
    let word = currency.chars().any(char::is_alphabetic);
    let space = if to.spaced || word || !to.before {
        "\u{a0}"
    } else {
        ""
    };
    let currency = isolated(currency);
    if to.before {
        [&currency, space, &number].concat()
    } else {
        [&number, space, &currency].concat()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Samples as CLDR's locales write them (from memory): en-US, de-DE, fr-FR, de-CH, nl-NL, es-ES (which groups from
    /// five digits on only).
    #[test]
    fn as_the_locale_writes_it() {
        let sum = Amount {
            minor: 123_895,
            decimals: 2,
        };
        let few = Amount {
            minor: 3895,
            decimals: 2,
        };
        for (sample, currency, large, small) in [
            ("\u{20ac}1,234.50", "$", "$1,238.95", "$38.95"),
            (
                "1.234,50\u{a0}\u{20ac}",
                "\u{20ac}",
                "1.238,95\u{a0}\u{20ac}",
                "38,95\u{a0}\u{20ac}",
            ),
            (
                "1\u{202f}234,50\u{a0}\u{20ac}",
                "\u{20ac}",
                "1\u{202f}238,95\u{a0}\u{20ac}",
                "38,95\u{a0}\u{20ac}",
            ),
            (
                "EUR\u{a0}1\u{2019}234.50",
                "Fr.",
                "Fr.\u{a0}1\u{2019}238.95",
                "Fr.\u{a0}38.95",
            ),
            (
                "\u{20ac}\u{a0}1.234,50",
                "\u{20ac}",
                "\u{20ac}\u{a0}1.238,95",
                "\u{20ac}\u{a0}38,95",
            ),
            (
                "1234,50\u{a0}\u{20ac}",
                "\u{20ac}",
                "1238,95\u{a0}\u{20ac}",
                "38,95\u{a0}\u{20ac}",
            ),
            ("", "$", "$1238.95", "$38.95"),
        ] {
            write_money_as(sample);
            assert_eq!(money(sum, currency), large, "{sample}");
            assert_eq!(money(few, currency), small, "{sample}");
        }
        write_money_as("");
        assert_eq!(
            amount(Amount {
                minor: -5,
                decimals: 2
            }),
            "\u{2212}0.05"
        );
    }
}
