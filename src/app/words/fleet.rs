//! The fleet in words.

use super::{filled, listed};

/// The part of the page.
pub const FLEET: &str = "Fleet";
/// Opens it.
pub const FLEET_OPEN: &str = "Plan a fleet from a table";
/// What it does.
pub const FLEET_IS: &str = "A table of vehicles and systems as CSV gives a plan for each. What you have, and the usual settings, are those of the system on this page; each system\u{2019}s own capacity, reading, tank and cap come from its row; a blank cap counts as none.";
/// Its columns.
pub const FLEET_COLUMNS: &str = "Columns: volume [L] and now (42 %, -21 degC, water, flushed, empty, unknown) are needed; vehicle, loop, glycol, missing [L], aim, coldest, cap, tank, tank_room, peak_temperature, additive, already and others may be there. Units stand in the heading or in the cell.";
/// Chooses a table.
pub const FLEET_CHOOSE: &str = "Choose a table (CSV)";
/// Leaves off.
pub const FLEET_STOP: &str = "Stop";
/// Writes the table of plans.
pub const FLEET_EXPORT: &str = "Export the plans (CSV)";
/// Name of that file.
pub const FLEET_FILE: &str = "pourcard-fleet-plans.csv";
/// Nothing to pour.
pub const FLEET_NEEDS_SHELF: &str = "First tick on this page what you have.";
/// The planner is not there.
pub const FLEET_FAILED: &str = "The part of this page that plans a fleet could not be loaded, or stopped. Reload the page and choose the table again.";
/// While it goes on.
pub const FLEET_RUNNING: &str = "planning, row by row.";
/// How far it is.
pub const FLEET_PROGRESS: &str = "Read so far";
/// The table of plans.
pub const FLEET_PLANS: &str = "Plans";
/// What was wrong.
pub const FLEET_REPORT: &str = "Not planned, and why";
/// What it takes together.
pub const FLEET_TOTALS: &str = "All together";
/// Rows before.
pub const FLEET_EARLIER: &str = "Rows before";
/// Rows after.
pub const FLEET_LATER: &str = "Rows after";
/// Drawn off.
pub const FLEET_DRAWN: &str = "Old coolant to dispose of";
/// Dosed.
pub const FLEET_DOSED: &str = "Additive";
/// What the packs cost.
pub const FLEET_COST: &str = "Packs together, without tax and charges";
/// Over the columns, without the stocks.
pub const FLEET_HEADINGS: [&str; 8] = [
    "Line",
    "System",
    "Way",
    "Drain",
    "Add",
    "Reaches",
    "Freezes at",
    "Cautions",
];
/// Where the stocks go among them.
pub const FLEET_STOCKS_AT: usize = 5;

/// To be bought.
pub fn fleet_buy(name: &str) -> String {
    ["Packs of ", &super::isolated(name)].concat()
}

/// How many rows came to what: to do, nothing to do, no plan, needs fixing; and why these are not all.
pub fn fleet_told(counts: &[usize; 4], cut: Option<String>) -> String {
    let told = filled(
        "{} to do, {} with nothing to do, {} without a plan, {} need fixing.",
        &counts.map(|n| n.to_string()),
    );
    match cut {
        Some(why) => filled("Incomplete: {}. {} No totals.", &[why, told]),
        None => told,
    }
}

/// Which rows are in sight.
pub fn fleet_range(first: usize, last: usize, all: usize) -> String {
    filled(
        "Rows {} to {} of {}",
        &[first, last, all].map(|n| n.to_string()),
    )
}

/// How many lines of the report are not in sight.
pub fn fleet_more(more: usize) -> String {
    filled(
        "and {} more, all of them in the exported table",
        &[more.to_string()],
    )
}

/// Of a row's cautions, how many of the two heavy weights.
pub fn fleet_cautions(stops: usize, minds: usize) -> String {
    let mut list = Vec::new();
    for (count, name) in [(stops, "Stop"), (minds, "Caution")] {
        if count > 0 {
            list.push([&count.to_string(), " ", name].concat());
        }
    }
    listed(&list)
}

/// Saves a table to fill in.
pub const FLEET_TEMPLATE: &str = "Download a template (CSV)";
/// Its file.
pub const FLEET_TEMPLATE_NAME: &str = "pourcard-fleet-template.csv";
/// What is in it: the columns most fleets have, and two vehicles to write over.
pub const FLEET_TEMPLATE_IS: &str = "\u{feff}vehicle,plate,mileage,glycol,volume [L],missing [L],now,coldest [degC]\r\nOrchard tractor,,,ethylene,12.5,0.8,38 %,-25\r\nBakery van,,,ethylene,8.4,0.6,-18 degC,-25\r\n";
