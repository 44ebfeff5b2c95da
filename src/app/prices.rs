//! The price list kept on the device: what can be bought, in which packs, at what price.
//!
//! A table of text (comma, semicolon or tab; decimal point or comma), one pack a row, with these columns in any order:
//!
//! | column | what it holds |
//! | --- | --- |
//! | `name` | what the article is called |
//! | `kind` | `coolant`, `water` or `additive` |
//! | `percent` | a coolant's label percentage; blank for the others |
//! | `glycol` | `ethylene` or `propylene`; blank for the others |
//! | `size` | what a pack holds |
//! | `unit` | of the size: `L`, `mL`, `US_gal`, `US_qt`, `US_fl_oz`, `imp_gal`, `imp_qt`, `imp_pt`, `imp_fl_oz` |
//! | `price` | of a pack, in the job's money |
//!
//! Other columns are passed over, and named. A row that cannot be read is refused with its line and the reason; the
//! others are taken. A row for a pack that is on the list already renews its price, and none is dropped.
//! Absent on purpose: currencies, and where the list is kept.

use super::{
    field::{Entry, Unit},
    number::{self, NumberError},
    words,
};
use crate::job::{
    bidi,
    file::{GlycolName, Quantity},
    fleet::{
        table::{Separator, Table},
        write::Writer,
    },
    units::VolumeUnit,
};

/// What an article is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ArticleKind {
    /// Concentrate or premix: its label percentage, and its glycol.
    Coolant(f64, GlycolName),
    /// Water.
    Water,
    /// Additive.
    Additive,
}

/// A pack of an article, and its price.
#[derive(Debug, Clone, PartialEq)]
pub struct Article {
    /// What it is called.
    pub name: String,
    /// What it is.
    pub kind: ArticleKind,
    /// What a pack holds.
    pub size: Quantity<VolumeUnit>,
    /// The price, as written: a number.
    pub price: String,
}

/// Why a row is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RowFault {
    /// A quote is opened and never closed.
    OpenQuote,
    /// More cells than the heading: a decimal comma taken for a separator, say.
    Cells,
    /// Nothing stands under a column that needs something.
    Missing(&'static str),
    /// Not one of the words of its column: the column, and what it may say.
    NotAmong(&'static str, &'static str),
    /// Not a number: the column, and why.
    Number(&'static str, NumberError),
    /// A number out of its range: the column, and the range.
    Range(&'static str, &'static str),
    /// The same pack stands in an earlier row of this table: its line.
    Again(u32),
}

/// A refused row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Its line.
    pub line: u32,
    /// Its cells.
    pub text: String,
    /// Why.
    pub fault: RowFault,
}

/// What a table came to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Read {
    /// Its packs.
    pub articles: Vec<Article>,
    /// The rows that were refused.
    pub refused: Vec<Refused>,
    /// Columns that were passed over.
    pub passed_over: Vec<String>,
    /// Columns that are missing; then nothing was read.
    pub missing: Vec<&'static str>,
}

const COLUMNS: [&str; 7] = ["name", "kind", "percent", "glycol", "size", "unit", "price"];
const UNITS: &str = "L, mL, US_gal, US_qt, US_fl_oz, imp_gal, imp_qt, imp_pt, imp_fl_oz";
/// More than any counter sells; the rest of a longer list is refused.
pub const MOST_ARTICLES: usize = 2000;

/// Reads a table.
pub fn read(text: &str) -> Read {
    let mut out = Read::default();
    let mut table = Table::new(text.to_owned());
    let head = table.next_row().map_or(Vec::new(), |row| row.cells);
    let head: Vec<String> = head.iter().map(|h| h.trim().to_ascii_lowercase()).collect();
    let places = COLUMNS.map(|column| head.iter().position(|h| h == column));
    for (column, place) in COLUMNS.iter().zip(places) {
        if place.is_none() {
            out.missing.push(column);
        }
    }
    let is_known = |h: &&String| h.is_empty() || COLUMNS.contains(&h.as_str());
    out.passed_over = head.iter().filter(|h| !is_known(h)).cloned().collect();
    if !out.missing.is_empty() {
        return out;
    }
    let mut lines: Vec<u32> = Vec::new();
    while let Some(row) = table.next_row() {
        if row.cells.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let cell = |i: usize| {
            places[i]
                .and_then(|p| row.cells.get(p))
                .map_or("", |c| c.trim())
        };
        let made = if row.open {
            Err(RowFault::OpenQuote)
        } else if row
            .cells
            .iter()
            .skip(head.len())
            .any(|cell| !cell.trim().is_empty())
        {
            Err(RowFault::Cells)
        } else if out.articles.len() == MOST_ARTICLES {
            Err(RowFault::Range("name", "2000 rows"))
        } else {
            article(cell)
        };
        let fault = match made {
            Ok(article) => match out.articles.iter().position(|a| a.is_same_pack(&article)) {
                Some(earlier) => RowFault::Again(lines[earlier]),
                None => {
                    out.articles.push(article);
                    lines.push(row.line);
                    continue;
                }
            },
            Err(fault) => fault,
        };
        out.refused.push(Refused {
            line: row.line,
            text: row.cells.join(" | "),
            fault,
        });
    }
    out
}

/// A row, by its cells in the order of [`COLUMNS`].
fn article<'a>(cell: impl Fn(usize) -> &'a str) -> Result<Article, RowFault> {
    let needed = |i: usize| match cell(i) {
        "" => Err(RowFault::Missing(COLUMNS[i])),
        text => Ok(text),
    };
    let positive = |i: usize, low: f64, high: f64, range: &'static str| {
        let value = number::parse(needed(i)?).map_err(|e| RowFault::Number(COLUMNS[i], e))?;
        let value = value.unwrap_or(-1.0);
        if value >= low && value <= high {
            Ok(value)
        } else {
            Err(RowFault::Range(COLUMNS[i], range))
        }
    };
    let name = unguarded(needed(0)?);
    let kind = match needed(1)?.to_ascii_lowercase().as_str() {
        "water" => ArticleKind::Water,
        "additive" => ArticleKind::Additive,
        "coolant" => {
            let percent = positive(2, 0.1, 100.0, "0.1 to 100 %")?;
            let glycol = needed(3)?.to_ascii_lowercase();
            let glycol = GlycolName::ALL.iter().find(|g| g.text() == glycol);
            let glycol = glycol.ok_or(RowFault::NotAmong("glycol", "ethylene, propylene"))?;
            ArticleKind::Coolant(percent, *glycol)
        }
        _ => return Err(RowFault::NotAmong("kind", "coolant, water, additive")),
    };
    let unit = needed(5)?.replace(' ', "_");
    let unit = VolumeUnit::ALL
        .iter()
        .find(|u| u.text().eq_ignore_ascii_case(&unit))
        .ok_or(RowFault::NotAmong("unit", UNITS))?;
    let value = positive(
        4,
        0.001 / unit.litres(),
        1000.0 / unit.litres(),
        "1 mL to 1000 L",
    )?;
    positive(6, 0.0, 1e9, "0 to 1000000000")?;
    Ok(Article {
        name,
        kind,
        size: Quantity { value, unit: *unit },
        price: cell(6).to_owned(),
    })
}

/// A name that a spreadsheet might take for a formula is written with an apostrophe before it.
fn unguarded(name: &str) -> String {
    bidi::unescaped(match name.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '\t', '\r']) => rest,
        _ => name,
    })
}

/// The list as a table.
pub fn write(list: &[Article]) -> String {
    let mut out = Writer::new(Separator::Comma);
    for column in COLUMNS {
        out.words(column);
    }
    out.end();
    for article in list {
        out.words(&article.name);
        let (kind, percent, glycol) = match article.kind {
            ArticleKind::Water => ("water", String::new(), ""),
            ArticleKind::Additive => ("additive", String::new(), ""),
            ArticleKind::Coolant(percent, glycol) => {
                ("coolant", crate::job::figure::plain(percent), glycol.text())
            }
        };
        out.words(kind);
        out.number(&percent);
        out.words(glycol);
        out.number(&crate::job::figure::plain(article.size.value));
        out.words(article.size.unit.text());
        out.number(&article.price);
        out.end();
    }
    out.done()
}

/// The list with what was read; a pack that was there has its new price.
pub fn merged(list: &[Article], read: &[Article]) -> Vec<Article> {
    let mut list = list.to_vec();
    for article in read {
        match list.iter_mut().find(|a| a.is_same_pack(article)) {
            Some(known) => known.price.clone_from(&article.price),
            None => list.push(article.clone()),
        }
    }
    list
}

/// Places of the list's articles, each with its packs, in the order of the list.
pub fn articles(list: &[Article]) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = Vec::new();
    for (i, article) in list.iter().enumerate() {
        let known = all.iter_mut().find(|packs| list[packs[0]].is_same(article));
        match known {
            Some(packs) => packs.push(i),
            None => all.push(vec![i]),
        }
    }
    all
}

impl Article {
    /// The same article, in a pack of any size.
    pub fn is_same(&self, other: &Self) -> bool {
        self.name == other.name && self.kind == other.kind
    }

    fn is_same_pack(&self, other: &Self) -> bool {
        self.is_same(other) && self.size == other.size
    }

    /// What a pack holds, as a field shows it.
    pub fn size_entry(&self) -> Entry {
        Entry::of(self.size.value, Unit::Volume(self.size.unit))
    }

    /// The price, as a field shows it.
    pub fn price_entry(&self) -> Entry {
        let mut entry = Entry::blank(Unit::None);
        entry.type_in(self.price.clone());
        entry
    }

    /// "5 L 29.50".
    pub fn in_words(&self, currency: &str) -> String {
        let size = words::spaced(
            &self.size_entry().text(),
            &words::unit(Unit::Volume(self.size.unit)),
        );
        let price = match currency.trim() {
            "" => self.price.clone(),
            currency => words::spaced(&words::isolated(currency), &self.price),
        };
        words::filled("{} for {}", &[size, price])
    }
}
