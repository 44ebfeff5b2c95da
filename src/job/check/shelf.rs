//! The shelf: what can be poured, and what of it suits a loop.

use super::{Refused, at::At};
use crate::engine::{
    fluid::Glycol,
    order::in_order,
    plan::Usable,
    quantity::{LabelFraction, Volume, in_litres},
};
use crate::job::{
    file::{self, GlycolName, Job},
    limits,
    message::{Refusal, Typed},
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
    /// What there is of it.
    pub have: Option<Volume>,
    /// Inhibitor family.
    pub family: Option<file::Family>,
    /// Price of a litre in the cheapest pack.
    pub price: Option<f64>,
}

/// The shelf, checked.
///
/// # Errors
/// The first value that fails.
pub fn shelf(job: &Job) -> Result<Vec<Stock>, Refused> {
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
            have,
            family: stock.family,
            price: price(&at, &stock.packs)?,
        });
    }
    Ok(list)
}

pub(super) fn price(at: &At, packs: &[file::Pack]) -> Result<Option<f64>, Refused> {
    let mut best: Option<f64> = None;
    for (i, pack) in packs.iter().enumerate() {
        let size = at.volume(
            &["packs[", &i.to_string(), "].size"].concat(),
            pack.size,
            &limits::BOTTLE,
        )?;
        let price = at.within(
            &["packs[", &i.to_string(), "].price"].concat(),
            pack.price,
            Typed::new(pack.price, ""),
            &limits::PRICE,
        )?;
        let per_litre = price / in_litres(size);
        best = Some(best.map_or(per_litre, |b| b.min(per_litre)));
    }
    Ok(best)
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
            have: s.have,
            price: s.price,
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
