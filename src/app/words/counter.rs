//! Words of packs, prices and the counter sheet.

use super::{filled, listed, number_error, spaced};
use crate::app::{
    counter::{Owner, Place},
    prices::{Refused, RowFault},
};
use crate::job::file::{Per, RoundBy, Wish};

/// The fold.
pub const FOLD_PACKS: &str = "Packs and price";
/// What it is for.
pub const PACKS_HINT: &str =
    "What is not on hand is taken in whole packs: the best set for all systems.";
/// Nothing to sell yet.
pub const PACKS_NO_SHELF: &str = "First tick what you have.";
/// The wish's list.
pub const WISH: &str = "Choose packs by";
/// Adds a row.
pub const ADD_PACK: &str = "Add a pack";
/// The same for an additive.
pub const ADD_BOTTLE: &str = "Add a bottle";
/// Over the money's fields.
pub const MONEY: &str = "Money";
/// Decimals of an amount.
pub const DECIMALS: &str = "Decimals";
/// Whether prices contain the tax.
pub const TAX_IN: &str = "The tax is";
/// In them.
pub const TAX_INCLUDED: &str = "in the prices";
/// Or not.
pub const TAX_ON_TOP: &str = "on top";
/// Which way the total is rounded.
pub const ROUND_BY: &str = "Round the total";
/// Over the charges.
pub const CHARGES: &str = "Deposits, disposal, other charges";
/// Adds one.
pub const ADD_CHARGE: &str = "Add a charge";
/// What a charge counts.
pub const CHARGED_PER: &str = "for";
/// Over what is printed at the head of the sheet.
pub const ON_SHEET: &str = "On the quote";
/// The sheet.
pub const SHEET: &str = "Quote";
/// What to take.
pub const SHEET_TAKE: &str = "Packs";
/// What of it is needed.
pub const NEEDED_OF: &str = "needed";
/// What is left of it.
pub const LEFT_OF: &str = "left over";
/// From the shelf, nothing to buy.
pub const FROM_SHELF: &str = "on hand";
/// Nothing at all.
pub const NOTHING_TO_TAKE: &str = "Nothing to buy: it is all on hand.";
/// The bill.
pub const PRICE: &str = "Price";
/// Without the tax.
pub const NET: &str = "Net";
/// The total's rounding.
pub const ROUNDED: &str = "Rounding";
/// To pay.
pub const TOTAL: &str = "Total";
/// Work.
pub const LABOUR: &str = "Labour";
/// A charge without a name.
pub const CHARGE: &str = "Charge";
/// An additive without a name.
pub const ADDITIVE: &str = "Additive";
/// There is no sheet yet.
pub const SHEET_BLANK: &str =
    "The quote appears here once a pack has its size and its price, and a system its plan.";
/// The search was cut short.
pub const NOT_PROVEN: &str =
    "There are more combinations than were tried: a better set of packs may exist.";
/// Prints it.
pub const PRINT_SHEET: &str = "Print the quote";
/// Every sheet ends with it.
pub const SHEET_NOTE: &str =
    "Amounts are for these systems as they were on this day; the pour card says how.";

/// A field's label, and the rest of it for a screen reader.
pub fn counter_label(place: Place) -> (&'static str, &'static str) {
    match place {
        Place::Date => ("Date", " on the quote"),
        Place::Words => ("Customer", ""),
        Place::Paper(i) => PAPER_LABELS.get(i).copied().unwrap_or_default(),
        Place::Currency => ("Currency", ""),
        Place::Tax => ("Tax", ""),
        Place::RoundTo => ("Round to", " in the total"),
        Place::Hours => ("Hours of labour", ""),
        Place::Labour => ("at", " an hour of labour"),
        Place::ChargeName(_) => ("Charge", ""),
        Place::ChargeAmount(_) => ("of", " this charge"),
        Place::PackSize(Owner::Stock(_), _) => ("Pack of", ""),
        Place::PackSize(Owner::Additive, _) => ("Bottle of", " additive"),
        Place::PackPrice(..) => ("costs", ""),
    }
}

/// Labels of what goes on papers, in the order of [`PAPERS`](crate::app::counter::PAPERS).
const PAPER_LABELS: [(&str, &str); 8] = [
    ("Phone", ""),
    ("Quote number", ""),
    ("Valid until", ""),
    ("Plate", ""),
    ("VIN", ""),
    ("Mileage", ""),
    ("Technician", ""),
    ("Batch", " of the products"),
];

/// Of the vehicle, in the record.
pub const VEHICLE_RECORD: &str = "Vehicle and work";
/// Over what the service record says of the vehicle.
pub const VEHICLE: &str = "On the service record";
/// What few people need of the money, closed.
pub const MORE_MONEY: &str = "{} decimals, total rounded {} {}";
/// To the least there is.
pub const CENT: &str = "last decimal";
/// Sends the quote.
pub const SEND: &str = "Send";
/// As a message.
pub const SEND_MESSAGE: &str = "Text message";
/// Asks whether a link may carry whose it is.
pub const LINK_PRIVATE: &str = "Put customer, phone, plate and VIN into the link";

/// A wish, as its chip shows it.
pub const fn wish(wish: Wish) -> &'static str {
    match wish {
        Wish::Cheapest => "cheapest",
        Wish::LeastLeft => "least left over",
        Wish::Fewest => "fewest packs",
    }
}

/// A way of rounding.
pub const fn round_by(by: RoundBy) -> &'static str {
    match by {
        RoundBy::Nearest => "to the nearest",
        RoundBy::Up => "up",
        RoundBy::Down => "down",
    }
}

/// What a charge counts.
pub const fn per(per: Per) -> &'static str {
    match per {
        Per::Job => "the job",
        Per::Pack => "each pack",
        Per::WasteLitre => "each L of waste",
        Per::WasteUsGal => "each US gal of waste",
        Per::WasteImpGal => "each imp gal of waste",
    }
}

/// "2 × 5 L".
pub fn packs_of(count: u32, size: &str) -> String {
    filled("{}\u{a0}×\u{a0}{}", &[count.to_string(), size.to_owned()])
}

/// What a line of the bill counts: "3 packs", "0.85 L of waste", "0.75 h".
pub fn counted(count: &str, unit: &str) -> String {
    match unit {
        "L" => filled("{}\u{a0}L of waste", &[count.to_owned()]),
        "US_gal" => filled("{}\u{a0}US gal of waste", &[count.to_owned()]),
        "imp_gal" => filled("{}\u{a0}imp gal of waste", &[count.to_owned()]),
        "h" => spaced(count, "h"),
        _ => count.to_owned(),
    }
}

/// "Tax 8.1 %, contained".
pub fn tax(percent: &str, included: bool) -> String {
    let words = if included {
        "including tax, {}\u{a0}%"
    } else {
        "Tax, {}\u{a0}%"
    };
    filled(words, &[percent.to_owned()])
}

/// What is drawn off, in one line.
pub fn waste(litres: &str) -> String {
    filled("{} of old coolant to dispose of.", &[litres.to_owned()])
}

/// Loops that are not in the sheet.
pub fn left_out(names: &[String]) -> String {
    filled("Not in it, for want of a plan: {}.", &[listed(names)])
}

/// Over the price list.
pub const PRICE_LIST: &str = "Price list";
/// What it is.
pub const PRICE_LIST_HINT: &str = "A CSV file with the columns name, kind, percent, glycol, size, unit, price. It is kept on this device.";
/// Reads one.
pub const IMPORT_PRICES: &str = "Import a price list";
/// Writes it.
pub const EXPORT_PRICES: &str = "Export the price list";
/// Empties it.
pub const EMPTY_PRICES: &str = "Empty it";
/// The name of the file written.
pub const PRICES_NAME: &str = "pourcard-prices.csv";
/// Puts an article on the shelf.
pub const TAKE_ARTICLE: &str = "Add to what you have";
/// Doses an additive of the list.
pub const TAKE_ADDITIVE: &str = "Add it";

/// A refused row of a price list.
pub fn refused_row(refused: &Refused) -> String {
    let why = match &refused.fault {
        RowFault::Cells => "it has more cells than the heading".to_owned(),
        RowFault::OpenQuote => "a quote is opened and never closed".to_owned(),
        RowFault::Missing(column) => filled("{} is blank", &[(*column).to_owned()]),
        RowFault::NotAmong(column, words) => filled(
            "{} must be one of {}",
            &[(*column).to_owned(), (*words).to_owned()],
        ),
        RowFault::Number(column, error) => filled(
            "{} cannot be read: {}",
            &[
                (*column).to_owned(),
                number_error(error).unwrap_or_default(),
            ],
        ),
        RowFault::Range(column, range) => filled(
            "{} is outside {}",
            &[(*column).to_owned(), (*range).to_owned()],
        ),
        RowFault::Again(line) => filled("it stands in line {} already", &[line.to_string()]),
    };
    let why = why.trim_end_matches('.').to_owned();
    filled(
        "Line {} was left out: {}. \u{201c}{}\u{201d}",
        &[
            refused.line.to_string(),
            why,
            super::isolated(&refused.text),
        ],
    )
}

/// Columns a price list lacks.
pub fn missing_columns(columns: &[&str]) -> String {
    filled(
        "Nothing was read. Missing columns: {}.",
        &[columns.join(", ")],
    )
}

/// Columns nobody asked for.
pub fn passed_over(columns: &[String]) -> String {
    filled(
        "Columns not read: {}.",
        &[super::isolated(&columns.join(", "))],
    )
}
