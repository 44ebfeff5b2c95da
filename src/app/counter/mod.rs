//! Packs, money and the customer's words as they stand on the page.
//!
//! Here what is typed and chosen, and what a user does with it; [`draft`] takes the numbers out, [`kept`] puts a job
//! file's on the page and keeps them on the device.
//!
//! Invariants: as the model's; besides, a row that is blank says nothing, and one that is half filled in, or broken,
//! silences the counter sheet and nothing else. Absent on purpose: arithmetic with money.

mod draft;
mod kept;

pub use draft::{fill_in, half_typed, is_about, spot_of, without};
pub use kept::{import, import_packs, restore, write};

use super::{
    choice::{DoseBy, GlycolName, System},
    field::{Entry, Measure, Unit},
    model::{LoopModel, Model, StockRow},
    number::significant,
    prices::{Article, ArticleKind},
    words::Worded,
};
use crate::job::file::{Papers, Per, RoundBy, Wish};
pub use crate::job::money::USUAL_DECIMALS;
use crate::job::units::VolumeUnit;

/// A pack of a stock, or a bottle of an additive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackRow {
    /// What it holds.
    pub size: Entry,
    /// What it costs.
    pub price: Entry,
}

/// Something charged besides the packs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChargeRow {
    /// What the user calls it.
    pub name: String,
    /// What it costs.
    pub amount: Entry,
    /// What it counts; `None`: never chosen.
    pub per: Option<Per>,
}

/// What is typed for the counter sheet as a whole. What was never chosen is `None`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counter {
    /// As typed.
    pub date: String,
    /// The customer's words.
    pub words: String,
    /// What else goes on papers, in the order of [`PAPERS`].
    pub papers: [String; PAPERS.len()],
    /// Beside amounts.
    pub currency: String,
    /// Decimals of an amount.
    pub decimals: Option<u32>,
    /// What the packs are to be best in.
    pub wish: Option<Wish>,
    /// In percent.
    pub tax: Entry,
    /// Prices contain it.
    pub tax_included: bool,
    /// The total is a multiple of this.
    pub round_to: Entry,
    /// Which one.
    pub round_by: Option<RoundBy>,
    /// Of work.
    pub hours: Entry,
    /// What one costs, or all of it.
    pub labour: Entry,
    /// Deposits, disposal and the like.
    pub charges: Vec<ChargeRow>,
}

/// What goes on papers: keys of records and elements. The first are the quote's, those from [`RECORD`] the record's.
pub const PAPERS: [&str; 8] = [
    "phone",
    "quote",
    "valid-until",
    "plate",
    "vin",
    "mileage",
    "technician",
    "batch",
];
/// Where those of the service record begin.
pub const RECORD: usize = 3;

/// The same in a file.
pub fn papers(file: &mut Papers) -> [&mut String; PAPERS.len()] {
    [
        &mut file.phone,
        &mut file.quote,
        &mut file.valid_until,
        &mut file.plate,
        &mut file.vin,
        &mut file.mileage,
        &mut file.technician,
        &mut file.batch,
    ]
}

/// Whose packs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// A row of the shelf.
    Stock(usize),
    /// The additive of the loop in sight.
    Additive,
}

/// A text field of the counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The date.
    Date,
    /// The customer's words.
    Words,
    /// What goes on papers beside that: a place in [`PAPERS`].
    Paper(usize),
    /// The currency.
    Currency,
    /// The tax.
    Tax,
    /// What the total is rounded to.
    RoundTo,
    /// Hours of work.
    Hours,
    /// Their price.
    Labour,
    /// A charge's name.
    ChargeName(usize),
    /// Its amount.
    ChargeAmount(usize),
    /// What a pack holds.
    PackSize(Owner, usize),
    /// What it costs.
    PackPrice(Owner, usize),
}

/// What a user does at the counter.
#[derive(Debug, Clone, PartialEq)]
pub enum Deal {
    /// Another pack.
    PackAdded(Owner),
    /// One less.
    PackRemoved(Owner, usize),
    /// Another charge.
    ChargeAdded,
    /// One less.
    ChargeRemoved(usize),
    /// What a charge counts.
    ChargedPer(usize, Per),
    /// What the packs are to be best in.
    Wished(Wish),
    /// Decimals of an amount.
    DecimalsChosen(u32),
    /// Which way the total is rounded.
    RoundedBy(RoundBy),
    /// Prices contain the tax, or they don't.
    TaxIncluded(bool),
    /// So many litres of a row of the shelf are to be bought.
    Wanted(usize, f64),
    /// An article of the price list: all its packs.
    ArticleTaken(Vec<Article>),
}

impl PackRow {
    /// Nothing typed yet.
    pub fn blank(measure: Measure, system: System) -> Self {
        Self {
            size: Entry::blank(measure.unit(system)),
            price: Entry::blank(Unit::None),
        }
    }
}

impl Counter {
    /// Nothing typed yet.
    pub fn blank() -> Self {
        Self {
            date: String::new(),
            words: String::new(),
            papers: Default::default(),
            currency: String::new(),
            decimals: None,
            wish: None,
            tax: Entry::blank(Unit::Percent),
            tax_included: false,
            round_to: Entry::blank(Unit::None),
            round_by: None,
            hours: Entry::blank(Unit::None),
            labour: Entry::blank(Unit::None),
            charges: Vec::new(),
        }
    }
}

impl Owner {
    /// What its packs' sizes are.
    pub const fn measure(self) -> Measure {
        match self {
            Self::Stock(_) => Measure::Volume,
            Self::Additive => Measure::SmallVolume,
        }
    }
}

impl Place {
    /// What it measures; `None` for words.
    pub const fn measure(self) -> Option<Measure> {
        Some(match self {
            Self::Date | Self::Words | Self::Paper(_) | Self::Currency | Self::ChargeName(_) => {
                return None;
            }
            Self::Tax => Measure::Percent,
            Self::PackSize(owner, _) => owner.measure(),
            Self::RoundTo
            | Self::Hours
            | Self::Labour
            | Self::ChargeAmount(_)
            | Self::PackPrice(..) => Measure::Number,
        })
    }

    /// Is it an amount of money?
    pub const fn is_money(self) -> bool {
        matches!(
            self,
            Self::RoundTo | Self::Labour | Self::ChargeAmount(_) | Self::PackPrice(..)
        )
    }
}

/// The packs of an owner.
pub fn packs(model: &Model, owner: Owner) -> &[PackRow] {
    match owner {
        Owner::Stock(i) => model.shelf.get(i).map_or(&[], |row| &row.packs),
        Owner::Additive => &model.current().bottles,
    }
}

fn packs_mut(model: &mut Model, owner: Owner) -> Option<&mut Vec<PackRow>> {
    match owner {
        Owner::Stock(i) => model
            .shelf
            .get_mut(i)
            .map(|row: &mut StockRow| &mut row.packs),
        Owner::Additive => Some(&mut model.current_mut().bottles),
    }
}

/// The entry of a numeric place.
pub fn entry(model: &Model, place: Place) -> Option<&Entry> {
    let counter = &model.counter;
    Some(match place {
        Place::Date | Place::Words | Place::Paper(_) | Place::Currency | Place::ChargeName(_) => {
            return None;
        }
        Place::Tax => &counter.tax,
        Place::RoundTo => &counter.round_to,
        Place::Hours => &counter.hours,
        Place::Labour => &counter.labour,
        Place::ChargeAmount(i) => &counter.charges.get(i)?.amount,
        Place::PackSize(owner, i) => &packs(model, owner).get(i)?.size,
        Place::PackPrice(owner, i) => &packs(model, owner).get(i)?.price,
    })
}

/// The same, to change.
pub fn entry_mut(model: &mut Model, place: Place) -> Option<&mut Entry> {
    Some(match place {
        Place::Date | Place::Words | Place::Paper(_) | Place::Currency | Place::ChargeName(_) => {
            return None;
        }
        Place::Tax => &mut model.counter.tax,
        Place::RoundTo => &mut model.counter.round_to,
        Place::Hours => &mut model.counter.hours,
        Place::Labour => &mut model.counter.labour,
        Place::ChargeAmount(i) => &mut model.counter.charges.get_mut(i)?.amount,
        Place::PackSize(owner, i) => &mut packs_mut(model, owner)?.get_mut(i)?.size,
        Place::PackPrice(owner, i) => &mut packs_mut(model, owner)?.get_mut(i)?.price,
    })
}

/// The words of a place that holds words.
pub fn words(model: &Model, place: Place) -> Option<&str> {
    Some(match place {
        Place::Date => &model.counter.date,
        Place::Words => &model.counter.words,
        Place::Paper(i) => model.counter.papers.get(i)?,
        Place::Currency => &model.counter.currency,
        Place::ChargeName(i) => &model.counter.charges.get(i)?.name,
        _ => return None,
    })
}

/// Takes in what was typed.
pub fn typed(model: &mut Model, place: Place, text: String) {
    match place {
        Place::Date => model.counter.date = text,
        Place::Words => model.counter.words = text,
        Place::Paper(i) => {
            if let Some(paper) = model.counter.papers.get_mut(i) {
                *paper = text;
            }
        }
        Place::Currency => model.counter.currency = text,
        Place::ChargeName(i) => {
            if let Some(charge) = model.counter.charges.get_mut(i) {
                charge.name = text;
            }
        }
        _ => {
            if let Some(entry) = entry_mut(model, place) {
                entry.type_in(text);
            }
        }
    }
}

/// Does what a user did.
pub fn deal(model: &mut Model, deal: Deal) {
    let system = model.system;
    let counter = &mut model.counter;
    match deal {
        Deal::PackAdded(owner) => {
            if let Some(packs) = packs_mut(model, owner) {
                packs.push(PackRow::blank(owner.measure(), system));
            }
        }
        Deal::PackRemoved(owner, i) => {
            if let Some(packs) = packs_mut(model, owner).filter(|packs| i < packs.len()) {
                packs.remove(i);
            }
        }
        Deal::ChargeAdded => counter.charges.push(ChargeRow {
            name: String::new(),
            amount: Entry::blank(Unit::None),
            per: None,
        }),
        Deal::ChargeRemoved(i) => {
            if i < counter.charges.len() {
                counter.charges.remove(i);
            }
        }
        Deal::ChargedPer(i, per) => {
            if let Some(charge) = counter.charges.get_mut(i) {
                charge.per = Some(per);
            }
        }
        Deal::Wished(wish) => counter.wish = Some(wish),
        Deal::DecimalsChosen(decimals) => counter.decimals = Some(decimals),
        Deal::RoundedBy(by) => counter.round_by = Some(by),
        Deal::TaxIncluded(included) => counter.tax_included = included,
        Deal::Wanted(i, litres) => {
            if let Some(row) = model.shelf.get_mut(i) {
                let unit = Measure::Volume.unit(system);
                let size = Unit::Volume(VolumeUnit::L).to(unit, litres);
                let size = significant(size.unwrap_or(litres), 4);
                row.on = true;
                row.packs.push(PackRow {
                    size: Entry {
                        typed: size,
                        ..Entry::blank(unit)
                    },
                    price: Entry::of(0.0, Unit::None),
                });
            }
        }
        Deal::ArticleTaken(packs) => article_taken(model, &packs),
    }
}

/// Puts an article on the shelf, or beside the loop in sight, with its packs. Where a stock of its name and strength
/// stands already, it has its packs from now on.
fn article_taken(model: &mut Model, packs: &[Article]) {
    let Some(article) = packs.first() else { return };
    let rows: Vec<PackRow> = packs
        .iter()
        .map(|p| PackRow {
            size: p.size_entry(),
            price: p.price_entry(),
        })
        .collect();
    let (percent, glycol) = match article.kind {
        ArticleKind::Coolant(percent, glycol) => (percent, Some(glycol)),
        ArticleKind::Water => (0.0, None),
        ArticleKind::Additive => {
            let name = model.current().additive_name.clone();
            for lp in &mut model.loops {
                if lp.dose != DoseBy::None && lp.additive_name == article.name {
                    lp.bottles.clone_from(&rows);
                }
            }
            let lp = model.current_mut();
            if lp.dose == DoseBy::None || name.trim().is_empty() {
                lp.additive_name.clone_from(&article.name);
                lp.dose = DoseBy::Some;
            }
            if lp.additive_name == article.name {
                lp.bottles = rows;
            }
            return;
        }
    };
    let is_it = |row: &StockRow| {
        let same = matches!(row.percent.value(), Ok(Some(p)) if (p - percent).abs() < 1e-9);
        same && row.name.trim().eq_ignore_ascii_case(article.name.trim())
            && (!row.on || glycol.is_none_or(|g| g == row.glycol))
    };
    let place = model.shelf.iter().position(is_it).unwrap_or_else(|| {
        let name = free_name(model, article, glycol);
        model
            .shelf
            .push(StockRow::offer(&name, percent, model.system));
        model.shelf.len() - 1
    });
    let row = &mut model.shelf[place];
    row.on = true;
    row.glycol = glycol.unwrap_or(row.glycol);
    row.packs = rows;
}

/// The article's name, made longer where another stock has it: stocks go by their names.
fn free_name(model: &Model, article: &Article, glycol: Option<GlycolName>) -> String {
    let taken = |name: &str| model.shelf.iter().any(|row| row.name == name);
    let mut name = article.name.clone();
    if taken(&name) {
        name = [name.as_str(), " ", glycol.map_or("", Worded::words)].concat();
    }
    while taken(&name) {
        name.push('+');
    }
    name
}

/// A label's size stays as the label has it; what is still blank takes the page's units on.
pub fn units_chosen(model: &mut Model, system: System) {
    let blank = |entry: &mut Entry, measure: Measure| {
        if entry.is_blank() {
            entry.show_in_system(measure, system);
        }
    };
    for row in &mut model.shelf {
        for pack in &mut row.packs {
            blank(&mut pack.size, Measure::Volume);
        }
    }
    for lp in &mut model.loops {
        for bottle in &mut lp.bottles {
            blank(&mut bottle.size, Measure::SmallVolume);
        }
    }
}

/// Is anything for sale: does any row of packs say something?
pub fn sells(model: &Model) -> bool {
    let says = |packs: &[PackRow]| {
        packs
            .iter()
            .any(|p| !p.size.is_blank() || !p.price.is_blank())
    };
    model.shelf.iter().any(|row| row.on && says(&row.packs))
        || model.loops.iter().any(|lp: &LoopModel| says(&lp.bottles))
}

/// What a charge counts, by its code.
pub fn per(code: &str) -> Option<Per> {
    Per::ALL.iter().copied().find(|p| p.text() == code)
}
