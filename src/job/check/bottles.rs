//! Additives that are sold in bottles: those of one name are one.

use super::{Refused, at::At, shelf};
use crate::engine::{
    packs::Pack,
    quantity::{Volume, litres},
};
use crate::job::{
    file::{self, Job},
    limits,
    money::Terms,
};

/// An additive, and the loops it is dosed into.
#[derive(Debug, Clone, PartialEq)]
pub struct Bottled {
    /// Its name.
    pub name: String,
    /// Places of its loops.
    pub loops: Vec<usize>,
    /// How much there is; `None` where nobody said and none is sold: as much as is needed.
    pub have: Option<Volume>,
    /// The bottles.
    pub packs: Vec<Pack>,
    /// The same, as the file has them.
    pub sizes: Vec<file::Pack>,
}

/// Every additive of the job, in the order of the loops.
///
/// # Errors
/// The first value that fails.
pub fn bottles(job: &Job, terms: &Terms) -> Result<Vec<Bottled>, Refused> {
    let mut list: Vec<Bottled> = Vec::new();
    for (i, lp) in job.loops.iter().enumerate() {
        let Some(additive) = &lp.additive else {
            continue;
        };
        let at = At(["loops[", &i.to_string(), "].additive"].concat());
        let packs = shelf::packs(&at, &additive.packs, terms)?;
        let have = additive
            .have
            .map(|q| at.volume("have", q, &limits::HAVE))
            .transpose()?;
        let name = additive.name.trim();
        let place = list.iter().position(|b| b.name == name).unwrap_or_else(|| {
            list.push(Bottled {
                name: name.to_owned(),
                loops: Vec::new(),
                have: None,
                packs: Vec::new(),
                sizes: Vec::new(),
            });
            list.len() - 1
        });
        let bottled = &mut list[place];
        bottled.loops.push(i);
        bottled.have = bottled.have.or(have);
        if bottled.packs.is_empty() {
            bottled.packs = packs;
            bottled.sizes.clone_from(&additive.packs);
        }
    }
    for bottled in list.iter_mut().filter(|b| !b.packs.is_empty()) {
        bottled.have = Some(bottled.have.unwrap_or(litres(0.0)));
    }
    Ok(list)
}
