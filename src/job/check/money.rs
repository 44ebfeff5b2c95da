//! The job's money: every amount in whole minor units, or refused.

use super::{Refused, at::At};
use crate::job::{
    file::{Job, Money, RoundBy, Wish},
    limits::{self, Limit},
    message::{Refusal, Typed},
    money::{FINEST, Terms, USUAL_DECIMALS, scaled},
};

impl Terms {
    /// An amount of the file in minor units.
    pub(super) fn minor(
        &self,
        at: &At,
        key: &str,
        value: f64,
        limit: &Limit,
    ) -> Result<i64, Refused> {
        exact(at, key, value, "", limit, self.decimals)
    }
}

/// `value · 10^decimals`, whole.
fn exact(
    at: &At,
    key: &str,
    typed: f64,
    unit: &'static str,
    limit: &Limit,
    decimals: u32,
) -> Result<i64, Refused> {
    // A limit's slack is wider than the least amount.
    let value = if typed < limit.low { f64::NAN } else { typed };
    at.within(key, value, Typed::new(typed, unit), limit)?;
    scaled(value, decimals).ok_or_else(|| at.refuse(key, Refusal::TooFine { typed, decimals }))
}

/// The job's money, checked; what is not in the file is not there.
///
/// # Errors
/// The first value that fails.
pub fn terms(job: &Job) -> Result<Terms, Refused> {
    let blank = Money::default();
    let money = job.money.as_ref().unwrap_or(&blank);
    let at = At("money".to_owned());
    let decimals = money.decimals.unwrap_or(USUAL_DECIMALS);
    let typed = f64::from(decimals);
    at.within("decimals", typed, Typed::new(typed, ""), &limits::DECIMALS)?;
    let mut terms = Terms {
        currency: money.currency.clone(),
        decimals,
        wish: money.wish.unwrap_or(Wish::Cheapest),
        tax: None,
        rounding: (1, RoundBy::Nearest),
        charges: Vec::new(),
        labour: None,
    };
    if let Some(tax) = money.tax {
        let rate = exact(&at, "tax.percent", tax.percent, "%", &limits::TAX, FINEST)?;
        terms.tax = Some((rate, tax.included));
    }
    if let Some(rounding) = money.rounding {
        let to = terms.minor(&at, "rounding.to", rounding.to, &limits::ROUND_TO)?;
        terms.rounding = (to.max(1), rounding.by.unwrap_or(RoundBy::Nearest));
    }
    let count = money.charges.len() as f64;
    at.within("charges", count, Typed::new(count, ""), &limits::CHARGES)?;
    for (i, charge) in money.charges.iter().enumerate() {
        let key = ["charges[", &i.to_string(), "].amount"].concat();
        let amount = terms.minor(&at, &key, charge.amount, &limits::CHARGE)?;
        let per = charge.per.unwrap_or(crate::job::file::Per::Job);
        terms.charges.push((charge.name.clone(), amount, per));
    }
    if let Some(labour) = money.labour {
        let hours = labour
            .hours
            .map(|h| exact(&at, "labour.hours", h, "h", &limits::HOURS, FINEST))
            .transpose()?;
        let rate = terms.minor(&at, "labour.rate", labour.rate, &limits::LABOUR)?;
        terms.labour = Some((hours, rate));
    }
    Ok(terms)
}
