//! What to buy for a fleet: whole packs of each stock and of the additive, for the plans as they stand.
//!
//! Unlike the sheet of one job, the blend is not chosen anew for the packs' sake: a table of plans is long, and each of
//! its lines stands by itself.

use super::Fleet;
use crate::engine::{
    dose::SLACK_LITRES,
    packs::{self, Pack, Source},
    quantity::{LabelFraction, in_litres, litres},
};
use crate::job::{
    figure::plain,
    file::{self, Wish},
    money::Amount,
};

/// What is taken of a stock, or of the additive.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Its name.
    pub name: String,
    /// Litres needed.
    pub needed: f64,
    /// Litres there already; `None`: as much as is needed, and nothing is for sale.
    pub have: Option<f64>,
    /// How many, of what size (as `20 L`), and what they cost together.
    pub packs: Vec<(u32, String, Amount)>,
    /// Litres left over; `None` as above.
    pub left: Option<f64>,
}

impl Fleet {
    /// What to take of everything that is needed, and what the packs cost together, without tax and charges.
    pub fn to_buy(&self) -> (Vec<Taken>, Amount) {
        let mut list = Vec::new();
        let mut total = 0_i64;
        for ((stock, raw), needed) in self
            .stocks
            .iter()
            .zip(&self.job.shelf)
            .zip(&self.sums.poured)
        {
            list.extend(self.taken(
                (&stock.name, *needed),
                stock.have.map(in_litres),
                (&stock.packs, &raw.packs),
                &mut total,
            ));
        }
        for bottled in &self.bottled {
            list.extend(self.taken(
                (&bottled.name, self.sums.dose),
                bottled.have.map(in_litres),
                (&bottled.packs, &bottled.sizes),
                &mut total,
            ));
        }
        (list, self.terms.amount(total))
    }

    fn taken(
        &self,
        (name, needed): (&str, f64),
        have: Option<f64>,
        (sold, raw): (&[Pack], &[file::Pack]),
        total: &mut i64,
    ) -> Option<Taken> {
        if needed <= SLACK_LITRES {
            return None;
        }
        // What is sold and not said to be there, is not.
        let have = if sold.is_empty() {
            have
        } else {
            Some(have.unwrap_or(0.0))
        };
        let on_each = self.terms.per_pack();
        let source = Source {
            glycol: None,
            strength: LabelFraction::WATER,
            have: have.map(litres),
            packs: sold
                .iter()
                .map(|pack| Pack {
                    price: pack.price.saturating_add(on_each),
                    ..*pack
                })
                .collect(),
            poured: litres(needed),
        };
        let wish = match self.terms.wish {
            Wish::Cheapest => packs::Wish::Cheapest,
            Wish::LeastLeft => packs::Wish::LeastLeft,
            Wish::Fewest => packs::Wish::Fewest,
        };
        let chosen = packs::choose(&[source], &[], wish);
        let counts = chosen.map(|c| c.counts.concat()).unwrap_or_default();
        let mut bought = 0.0;
        let mut list = Vec::new();
        for ((pack, raw), count) in sold.iter().zip(raw).zip(counts) {
            if count == 0 {
                continue;
            }
            bought += in_litres(pack.size) * f64::from(count);
            let cost = pack.price.saturating_mul(i64::from(count));
            *total = total.saturating_add(cost);
            let size = [&plain(raw.size.value), " ", raw.size.unit.text()].concat();
            list.push((count, size, self.terms.amount(cost)));
        }
        Some(Taken {
            name: name.to_owned(),
            needed,
            have,
            packs: list,
            left: have.map(|have| (have + bought - needed).max(0.0)),
        })
    }
}

impl Taken {
    /// Its packs in one line: `2 × 20 L, 1 × 5 L`.
    pub fn packs_text(&self) -> String {
        let each = self
            .packs
            .iter()
            .map(|(count, size, _)| [&count.to_string(), " \u{d7} ", size].concat());
        each.collect::<Vec<_>>().join(", ")
    }
}
