//! Money, exactly: whole minor units, rates as whole numbers over powers of ten, and every rounding in one place.
//!
//! A number of the file becomes minor units by its decimal text, never by arithmetic on doubles; what has more
//! decimals than the money is refused. Products are rounded once, to the minor unit, half of it up, where a line is
//! made: a line shows what it adds. Tax is worked out once, on the sum.
//! Never done here: prices of packs (the shelf's), words, separators.

use serde::{Serialize, Serializer};

use super::{
    figure::plain,
    file::{Per, RoundBy, Wish},
};

/// Decimals of a money that does not say.
pub const USUAL_DECIMALS: u32 = 2;
/// The most decimals of a tax's percentage and of hours.
pub const FINEST: u32 = 4;

/// An amount of money. Written as decimal text: `"24.90"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Amount {
    /// Whole minor units.
    pub minor: i64,
    /// So many of the last digits are decimals.
    pub decimals: u32,
}

impl Amount {
    /// With all its decimals.
    pub fn text(self) -> String {
        let decimals = self.decimals as usize;
        let mut text = self.minor.unsigned_abs().to_string();
        while text.len() <= decimals {
            text.insert(0, '0');
        }
        if decimals > 0 {
            text.insert(text.len() - decimals, '.');
        }
        if self.minor < 0 {
            text.insert(0, '-');
        }
        text
    }
}

impl Serialize for Amount {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.text())
    }
}

/// `value · 10^decimals`, where that is whole and fits; by its decimal text. Not negative.
pub fn scaled(value: f64, decimals: u32) -> Option<i64> {
    let text = plain(value);
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let missing = (decimals as usize).checked_sub(fraction.len())?;
    let mut digits = [whole, fraction].concat();
    for _ in 0..missing {
        digits.push('0');
    }
    digits.parse().ok().filter(|n| *n >= 0)
}

/// `a · b / c` of whole numbers that are not negative, half of one up.
pub fn product(a: i64, b: i64, c: i64) -> i64 {
    let (product, c) = (i128::from(a) * i128::from(b), i128::from(c.max(1)));
    i64::try_from((2 * product + c) / (2 * c)).unwrap_or(i64::MAX)
}

/// A job's money, checked: amounts in minor units, rates in ten-thousandths.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// Beside amounts.
    pub currency: String,
    /// Of an amount.
    pub decimals: u32,
    /// What a set of packs is to be best in.
    pub wish: Wish,
    /// Ten-thousandths of a percent, and whether all amounts contain it.
    pub tax: Option<(i64, bool)>,
    /// What the total is a multiple of, in minor units, and which way it goes there.
    pub rounding: (i64, RoundBy),
    /// Name, amount, and what it counts.
    pub charges: Vec<(String, i64, Per)>,
    /// Ten-thousandths of an hour (`None`: all of it), and the price of one.
    pub labour: Option<(Option<i64>, i64)>,
}

/// What a line of the bill is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LineFor {
    /// Packs.
    Pack,
    /// One of the charges.
    Charge,
    /// Work.
    Labour,
}

/// A line of the bill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// What it is for.
    pub what: LineFor,
    /// The stock's, the additive's or the charge's name; empty for labour.
    pub name: String,
    /// What a pack holds; null elsewhere.
    pub size: Option<Size>,
    /// How many, of what `unit` says.
    pub count: f64,
    /// What `count` counts: `pack`, `job`, `L`, `US_gal`, `imp_gal` or `h`.
    pub unit: &'static str,
    /// Price of one.
    pub each: Amount,
    /// `count` of them.
    pub amount: Amount,
}

/// What a pack holds, as the file has it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Size {
    /// In `unit`.
    pub value: f64,
    /// As the file spells it.
    pub unit: &'static str,
}

/// What it comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bill {
    /// Beside amounts.
    pub currency: String,
    /// What is paid for, in order.
    pub lines: Vec<Line>,
    /// Without the tax.
    pub net: Amount,
    /// The tax; null where none is asked.
    pub tax: Option<Amount>,
    /// Its percentage.
    pub tax_percent: Option<f64>,
    /// The lines contain it.
    pub tax_included: bool,
    /// What rounding the total added.
    pub rounding: Amount,
    /// To pay.
    pub total: Amount,
}

impl Terms {
    /// An amount of this money.
    pub fn amount(&self, minor: i64) -> Amount {
        Amount {
            minor,
            decimals: self.decimals,
        }
    }

    /// What each pack costs on top of its price.
    pub fn per_pack(&self) -> i64 {
        let per_pack = self.charges.iter().filter(|c| c.2 == Per::Pack);
        per_pack.map(|c| c.1).sum()
    }

    /// The bill for these packs, of `packs` in number, and so much waste.
    pub fn bill(&self, mut lines: Vec<Line>, packs: u32, waste_litres: f64) -> Bill {
        for (name, each, per) in &self.charges {
            lines.extend(self.charge(name, *each, *per, packs, waste_litres));
        }
        if let Some((hours, rate)) = self.labour {
            let hours = hours.unwrap_or(TEN_THOUSAND);
            lines.push(Line {
                what: LineFor::Labour,
                name: String::new(),
                size: None,
                count: hours as f64 / TEN_THOUSAND as f64,
                unit: if self.labour.is_some_and(|l| l.0.is_some()) {
                    "h"
                } else {
                    "job"
                },
                each: self.amount(rate),
                amount: self.amount(product(rate, hours, TEN_THOUSAND)),
            });
        }
        let sum = lines
            .iter()
            .fold(0_i64, |sum, l| sum.saturating_add(l.amount.minor));
        let (net, tax) = match self.tax {
            None => (sum, 0),
            Some((rate, false)) => (sum, product(sum, rate, HUNDRED_PERCENT)),
            Some((rate, true)) => {
                let tax = product(sum, rate, HUNDRED_PERCENT + rate);
                (sum - tax, tax)
            }
        };
        let total = self.rounded(net.saturating_add(tax));
        Bill {
            currency: self.currency.clone(),
            lines,
            net: self.amount(net),
            tax: self.tax.map(|_| self.amount(tax)),
            tax_percent: self.tax.map(|(rate, _)| rate as f64 / TEN_THOUSAND as f64),
            tax_included: self.tax.is_some_and(|t| t.1),
            rounding: self.amount(total - net - tax),
            total: self.amount(total),
        }
    }

    fn charge(&self, name: &str, each: i64, per: Per, packs: u32, waste: f64) -> Option<Line> {
        // Whole microlitres over whole nanolitres: 231 in³ and 4.546 09 L are exact in those.
        let waste = (waste * 1e6).round() as i64;
        let (unit, nanolitres) = match per {
            Per::Job => ("job", 0),
            Per::Pack => ("pack", 0),
            Per::WasteLitre => ("L", 1_000_000_000),
            Per::WasteUsGal => ("US_gal", 3_785_411_784),
            Per::WasteImpGal => ("imp_gal", 4_546_090_000),
        };
        let (count, amount) = match per {
            Per::Job => (1.0, each),
            Per::Pack => (f64::from(packs), each.saturating_mul(i64::from(packs))),
            _ => (
                waste as f64 * 1e3 / nanolitres as f64,
                product(each, waste.saturating_mul(1000), nanolitres),
            ),
        };
        (count > 0.0).then(|| Line {
            what: LineFor::Charge,
            name: name.to_owned(),
            size: None,
            count,
            unit,
            each: self.amount(each),
            amount: self.amount(amount),
        })
    }

    fn rounded(&self, minor: i64) -> i64 {
        let (to, by) = self.rounding;
        let (down, over) = (minor / to * to, minor % to);
        let up = match by {
            RoundBy::Nearest => over >= to - over,
            RoundBy::Up => over > 0,
            RoundBy::Down => false,
        };
        if up { down.saturating_add(to) } else { down }
    }
}

const TEN_THOUSAND: i64 = 10_000;
const HUNDRED_PERCENT: i64 = 100 * TEN_THOUSAND;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn terms(decimals: u32) -> Terms {
        Terms {
            currency: "Fr.".into(),
            decimals,
            wish: Wish::Cheapest,
            tax: None,
            rounding: (1, RoundBy::Nearest),
            charges: Vec::new(),
            labour: None,
        }
    }

    fn line(minor: i64) -> Line {
        Line {
            what: LineFor::Pack,
            name: "Concentrate".into(),
            size: None,
            count: 1.0,
            unit: "pack",
            each: terms(2).amount(minor),
            amount: terms(2).amount(minor),
        }
    }

    #[track_caller]
    fn comes_to(terms: &Terms, sum: i64, net: &str, tax: Option<&str>, total: &str) {
        let bill = terms.bill(vec![line(sum)], 1, 0.0);
        assert_eq!(bill.net.text(), net);
        assert_eq!(bill.tax.map(Amount::text).as_deref(), tax);
        assert_eq!(bill.total.text(), total);
        assert_eq!(
            bill.net.minor + bill.tax.map_or(0, |t| t.minor) + bill.rounding.minor,
            bill.total.minor
        );
    }

    /// Worked by hand.
    #[test]
    fn tax_and_rounding() {
        let mut t = terms(2);
        comes_to(&t, 3140, "31.40", None, "31.40");
        // 8.1 % of 31.40 is 2.5434.
        t.tax = Some((81_000, false));
        comes_to(&t, 3140, "31.40", Some("2.54"), "33.94");
        t.rounding = (5, RoundBy::Nearest);
        comes_to(&t, 3140, "31.40", Some("2.54"), "33.95");
        t.rounding = (5, RoundBy::Down);
        comes_to(&t, 3140, "31.40", Some("2.54"), "33.90");
        t.rounding = (100, RoundBy::Up);
        comes_to(&t, 3140, "31.40", Some("2.54"), "34.00");
        // In 108.10 there are 8.10 of it.
        t = terms(2);
        t.tax = Some((81_000, true));
        comes_to(&t, 10_810, "100.00", Some("8.10"), "108.10");
        // Half a minor unit goes up: 5 % of 0.30 is 0.015.
        t.tax = Some((50_000, false));
        comes_to(&t, 30, "0.30", Some("0.02"), "0.32");
    }

    #[test]
    fn charges_and_labour() {
        let mut t = terms(2);
        t.charges = vec![
            ("Deposit".into(), 250, Per::Pack),
            ("Disposal".into(), 90, Per::WasteLitre),
            ("Disposal".into(), 1000, Per::WasteUsGal),
            ("Call-out".into(), 1500, Per::Job),
        ];
        t.labour = Some((Some(7_500), 9_600));
        let bill = t.bill(Vec::new(), 3, 0.85);
        let amounts: Vec<String> = bill.lines.iter().map(|l| l.amount.text()).collect();
        // 3 · 2.50; 0.85 · 0.90 = 0.765; 0.85 / 3.785 411 784 · 10.00 = 2.2455; 15.00; 0.75 h · 96.00.
        assert_eq!(amounts, ["7.50", "0.77", "2.25", "15.00", "72.00"]);
        t.labour = Some((None, 8_000));
        assert_eq!(t.bill(Vec::new(), 0, 0.0).total.text(), "95.00");
    }

    #[test]
    fn decimals() {
        assert_eq!(scaled(24.9, 2), Some(2490));
        assert_eq!(scaled(0.1, 1), Some(1));
        assert_eq!(scaled(1200.0, 0), Some(1200));
        assert_eq!(scaled(2.675, 2), None);
        assert_eq!(scaled(-1.0, 2), None);
        assert_eq!(scaled(f64::NAN, 2), None);
        for (minor, decimals, text) in [(5, 2, "0.05"), (1200, 0, "1200"), (-7, 3, "-0.007")] {
            assert_eq!(Amount { minor, decimals }.text(), text);
        }
    }

    proptest! {
        /// Every amount of up to three decimals is itself, though doubles cannot hold tenths.
        #[test]
        fn an_amount_read_is_the_amount_written(minor in 0..1_000_000_000_i64, decimals in 0..4_u32) {
            let text = Amount { minor, decimals }.text();
            prop_assert_eq!(scaled(text.parse().unwrap(), decimals), Some(minor));
        }

        /// Against exact fractions: never off by more than half, and half goes up.
        #[test]
        fn products_round_half_up(a in 0..1_000_000_i64, b in 0..1_000_000_i64, c in 1..1_000_000_i64) {
            let off = 2 * (i128::from(product(a, b, c)) * i128::from(c) - i128::from(a) * i128::from(b));
            prop_assert!(off > -i128::from(c) && off <= i128::from(c));
        }

        /// No cent is lost: parts sum to the total.
        #[test]
        fn parts_sum_to_the_total(sum in 0..10_000_000_i64, rate in 0..1_000_000_i64, included: bool, to in 1..500_i64) {
            let mut t = terms(2);
            t.tax = Some((rate, included));
            t.rounding = (to, RoundBy::Nearest);
            let bill = t.bill(vec![line(sum)], 1, 0.0);
            let tax = bill.tax.unwrap().minor;
            prop_assert_eq!(bill.net.minor + tax + bill.rounding.minor, bill.total.minor);
            prop_assert_eq!(bill.total.minor % to, 0);
            prop_assert!(2 * bill.rounding.minor.abs() <= to);
            if included { prop_assert_eq!(bill.net.minor + tax, sum); } else { prop_assert_eq!(bill.net.minor, sum); }
        }
    }
}
