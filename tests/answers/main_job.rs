//! The main job, against an independent mass balance and handbook tables.

use crate::{common, file::*};
use pourcard::job;

/// Worked by hand, the additive counted as water: 8.15 L of coolant are 8.215 apart, with the additive 8.465, half of
/// which is concentrate; of 7.8 L at 42 % (3.302 and 4.560 apart) 0.987 goes and 1.349 of concentrate comes. In 50 mL
/// steps draw 1.0, dose 0.25, pour 1.35, which lands at 50.0 % and 8.39 L. The limit: 40 mL/L of 8.1 L.
#[test]
fn the_van() {
    let one = loop_answer(&[]);
    assert_eq!(one["way"], "draw_and_pour");
    assert_eq!(
        card(&one),
        "1 draw 1, 1 dose 0.25, 1 pour Concentrate 1.35, 1 run, 1 check"
    );
    assert_eq!(one["steps"][2]["to_the_mark"], true);
    near(&one["after"]["percent"], 50.02, 0.05);
    near(&one["after"]["litres"], 8.39, 0.005);
    near(&one["dose"]["limit_litres"], 0.324, 1e-9);
    near(&one["runners_up"][0]["percent"], 46.1, 0.05);
    assert_eq!(one["runners_up"][0]["way"], "top_up");
    near(&one["dispose_litres"], 1.0, 1e-9);
    near(&one["used"]["Concentrate"], 1.35, 1e-9);
}

/// Margins of the van. Freezing: the handbook table between 49.6 % (-36.4) and 50.6 % (-37.9), within 0.3 K. Growth:
/// the handbook's densities at 50 %, 1.0493 at 100 and 1.0581 at 110 °C, so 1.0537 at 105. Boiling: makers quote
/// 129 °C for half and half under a 93 to 124 kPa cap at sea level.
#[test]
fn the_vans_margins() {
    let after = loop_answer(&[])["after"].clone();
    near(&after["freezing_point_c"], -37.15, 0.3);
    near(&after["hot_litres"], 8.39 * 1.0537, 0.01);
    near(&after["boiling_point_c"], 129.5, 1.5);
    near(&after["tank_room_litres"], 8.4 + 1.2 - 8.39 * 1.0537, 0.01);
    near(&after["freeze_room_k"], 37.15 - 25.0, 0.3);
}

#[test]
fn a_file_written_and_read_again_is_itself() {
    let read = job::read(&van(&[]).to_string()).unwrap();
    assert_eq!(job::read(&job::write(&read)).unwrap(), read);
    assert_eq!(read, common::van());
}
