//! The shelf: what can be poured, and what of it suits a loop.

use super::{Refused, at::At, supplement};
use crate::engine::{
    fluid::Glycol,
    order::in_order,
    packs::Pack,
    plan::Usable,
    quantity::{LabelFraction, Volume, in_litres},
};
use crate::job::{
    file::{self, GlycolName, Job},
    limits,
    message::{Refusal, Typed},
    money::Terms,
};

/// A stock, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Its name.
    pub name: String,
    /// Its glycol; `None`: water.
    pub glycol: Option<Glycol>,
    /// Its strength.
    pub strength: LabelFraction,
    /// 95 % half-width of that, as a fraction.
    pub plus_minus: f64,
    /// What there is of it.
    pub have: Option<Volume>,
    /// Inhibitor family.
    pub family: Option<file::Family>,
    /// The supplement it brings, where that is known.
    pub supplement: Option<file::Supplement>,
    /// Price of a litre in the cheapest pack.
    pub price: Option<f64>,
    /// The packs it is sold in.
    pub packs: Vec<Pack>,
}

/// The shelf, checked.
///
/// # Errors
/// The first value that fails.
pub fn shelf(job: &Job, terms: &Terms) -> Result<Vec<Stock>, Refused> {
    let mut list: Vec<Stock> = Vec::new();
    for (i, stock) in job.shelf.iter().enumerate() {
        let at = At(["shelf[", &i.to_string(), "]"].concat());
        if stock.name.trim().is_empty() {
            return Err(at.refuse("name", Refusal::NameMissing));
        }
        if list.iter().any(|s| s.name == stock.name) {
            return Err(at.refuse(
                "name",
                Refusal::NameTaken {
                    stock: stock.name.clone(),
                },
            ));
        }
        let strength = at.percent("percent", stock.percent)?;
        if stock.glycol.is_none() && stock.percent > 0.0 {
            return Err(at.refuse(
                "glycol",
                Refusal::GlycolMissing {
                    stock: stock.name.clone(),
                },
            ));
        }
        supplement::stocks_own(&at, stock.supplement)?;
        let have = stock
            .have
            .map(|q| at.volume("have", q, &limits::HAVE))
            .transpose()?;
        list.push(Stock {
            name: stock.name.clone(),
            glycol: stock
                .glycol
                .map(Glycol::from)
                .filter(|_| stock.percent > 0.0),
            strength,
            plus_minus: spread(&at, stock)?,
            have,
            family: stock.family,
            supplement: stock.supplement,
            price: price_of_litre(&stock.packs),
            packs: packs(&at, &stock.packs, terms)?,
        });
    }
    Ok(list)
}

/// How sure the label is.
fn spread(at: &At, stock: &file::Stock) -> Result<f64, Refused> {
    let points = match stock.plus_minus {
        Some(p) => at.within(
            "plus_minus",
            p,
            Typed::new(p, "points"),
            &limits::LABEL_SPREAD,
        )?,
        None if stock.percent > 0.0 => limits::USUAL_LABEL_POINTS,
        None => 0.0,
    };
    Ok(points / 100.0)
}

/// Packs, checked: sizes within a bottle's limits, prices in whole minor units.
pub(super) fn packs(at: &At, packs: &[file::Pack], terms: &Terms) -> Result<Vec<Pack>, Refused> {
    let kinds = packs.len() as f64;
    at.within("packs", kinds, Typed::new(kinds, ""), &limits::PACKS)?;
    let mut list = Vec::new();
    for (i, pack) in packs.iter().enumerate() {
        let key = |of: &str| ["packs[", &i.to_string(), "].", of].concat();
        list.push(Pack {
            size: at.volume(&key("size"), pack.size, &limits::BOTTLE)?,
            price: terms.minor(at, &key("price"), pack.price, &limits::PRICE)?,
        });
    }
    Ok(list)
}

fn price_of_litre(packs: &[file::Pack]) -> Option<f64> {
    let per_litre = |p: &file::Pack| p.price / in_litres(p.size.unit.of(p.size.value));
    packs.iter().map(per_litre).min_by(f64::total_cmp)
}

/// The stocks this loop can take, strongest first: its own glycol, and water.
pub(super) fn usable(shelf: &[Stock], glycol: Glycol) -> Vec<Usable> {
    let mut list: Vec<Usable> = shelf
        .iter()
        .enumerate()
        .filter(|(_, s)| s.glycol.is_none_or(|g| g == glycol))
        .map(|(stock, s)| Usable {
            stock,
            strength: s.strength,
            plus_minus: s.plus_minus,
            have: s.have,
            price: s.price,
            level: 0.0,
        })
        .collect();
    in_order(&mut list, |a, b| {
        b.strength.fraction().total_cmp(&a.strength.fraction())
    });
    list
}

impl From<GlycolName> for Glycol {
    fn from(name: GlycolName) -> Self {
        match name {
            GlycolName::Ethylene => Self::Ethylene,
            GlycolName::Propylene => Self::Propylene,
        }
    }
}
