//! Frost at the worst end of the range: the end that freezes first against the coldest itself, the margin at the best
//! value.

use crate::file::*;
use pourcard::job;
use serde_json::{Value, json};

fn case(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn strip() -> Value {
    case(include_str!("../cases/STRIP.json"))
}

fn first(file: &Value) -> Value {
    let all = answer(file);
    assert!(all["error"].is_null(), "{}", all["error"]);
    all["loops"][0].clone()
}

/// A strip that says 44 ± 10 % in a night of −22 °C: 44 % freezes at −29.4 °C, 34 % at −19.0 °C (the handbook's table: 43.5
/// vol% at −28.8 and 45.5 at −31.1; 33.5 at −18.6 and 34.5 at −19.4; the curve is good to 0.3 K of it). So it is not known
/// to be right; nothing is drawn for it, and it is to be read again.
#[test]
fn a_strip_is_not_sure_enough() {
    let one = first(&strip());
    assert_eq!(one["way"], "retest");
    assert_eq!(card(&one), "1 check");
    near(&one["dispose_litres"], 0.0, 0.0);
    near(&one["after"]["freezing_point_worst_c"], -19.0, 0.3);
    near(&one["after"]["freezing_point_c"], -29.4, 0.3);
    let caution = one["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["code"] == "freeze_room_worst")
        .unwrap();
    assert_eq!(caution["weight"], "mind");
    near(&caution["short_k"], 22.0 - 19.0, 0.3);
    assert!(!codes(&one).iter().any(|c| c.starts_with("freeze_room_n")));
}

/// A surer instrument, or a milder night, and there is nothing to do: 44 ± 2 %, the worst end 42 % at −27 °C.
#[test]
fn nothing_to_do_needs_the_worst_end_to_pass() {
    let mut sure = strip();
    set(&mut sure, "/loops/0/now/plus_minus", json!(2));
    let one = first(&sure);
    assert_eq!(one["way"], "nothing");
    assert_eq!(card(&one), "");
    assert!(!codes(&one).contains(&"freeze_room_worst".to_owned()));
    let mut mild = strip();
    set(
        &mut mild,
        "/loops/0/coldest",
        json!({"value": -18, "unit": "degC"}),
    );
    assert_eq!(first(&mild)["way"], "nothing");
    // Nobody said how cold it gets: there is nothing to hold it to, and the worst end is still told.
    let mut untold = strip();
    set(&mut untold, "/loops/0/coldest", Value::Null);
    let one = first(&untold);
    assert_eq!(one["way"], "nothing");
    near(&one["after"]["freezing_point_worst_c"], -19.0, 0.3);
}

/// A hydrometer in propylene: its inhibitors may be worth several points.
#[test]
fn a_hydrometer_in_propylene() {
    let one = first(&case(include_str!("../cases/SG_prop.json")));
    assert_ne!(one["way"], "nothing");
    assert!(codes(&one).contains(&"freeze_room_worst".to_owned()));
    near(&one["dispose_litres"], 0.0, 0.0);
    let worst = one["after"]["freezing_point_worst_c"].as_f64().unwrap();
    assert!(worst > -19.0, "{worst}");
}

/// Re-tested and ticked, it is not asked for again; and the re-reading ends it where it is surer.
#[test]
fn once_is_enough() {
    let mut ticked = strip();
    set(&mut ticked, "/loops/0/done", json!([{"id": "1"}]));
    let one = first(&ticked);
    assert!(one["error"].is_null(), "{}", one["error"]);
    assert_eq!(card(&one), "");
    assert!(codes(&one).contains(&"freeze_room_worst".to_owned()));
}

/// After a job that draws and pours, the worst end is judged as well, and no more is drawn for it: for a coldest that its
/// weak end just fails the same card comes as for one that it passes.
#[test]
fn no_more_is_drawn_for_it() {
    let cold = |t: f64| {
        loop_answer(&[
            ("/loops/0/coldest", json!({"value": t, "unit": "degC"})),
            (
                "/loops/0/coldest_margin",
                json!({"value": 0, "unit": "degC"}),
            ),
        ])
    };
    let easy = cold(-25.0);
    let worst = easy["after"]["freezing_point_worst_c"].as_f64().unwrap();
    let best = easy["after"]["freezing_point_c"].as_f64().unwrap();
    assert!(best < worst - 1.0);
    let hard = cold((best + worst) / 2.0);
    assert_eq!(card(&hard), card(&easy));
    assert!(codes(&hard).contains(&"freeze_room_worst".to_owned()));
    assert!(!codes(&easy).contains(&"freeze_room_worst".to_owned()));
    // Where the best value fails, that is a Stop, and says it all.
    let stop = cold(best - 1.0);
    assert!(codes(&stop).contains(&"freeze_room_negative".to_owned()));
    assert!(!codes(&stop).contains(&"freeze_room_worst".to_owned()));
}

/// Past the turning point the strong end freezes first. A published table has ethylene at −45 °C for 57 and 80 vol%: up to
/// there the weak end decides, beyond it no figure is given and none is claimed.
#[test]
fn past_the_turning_point() {
    let strong = |plus_minus: f64| {
        loop_answer(&[
            (
                "/loops/0/now",
                json!({"by": "percent", "value": 65, "plus_minus": plus_minus}),
            ),
            ("/loops/0/aim", json!({"by": "percent", "value": 65})),
            ("/loops/0/limits", json!({"low": 40, "high": 70})),
            ("/loops/0/missing", Value::Null),
            ("/loops/0/additive", Value::Null),
            ("/loops/0/coldest", json!({"value": -40, "unit": "degC"})),
        ])
    };
    let sure = strong(3.0);
    assert_eq!(sure["way"], "nothing");
    near(&sure["after"]["freezing_at_most_worst_c"], -45.0, 0.0);
    let vague = strong(10.0);
    // 55 %: the handbook has −44.2 °C at 54.7 vol% and −45.6 at 55.7.
    near(&vague["after"]["freezing_point_worst_c"], -44.6, 0.3);
    let blind = strong(20.0);
    assert!(blind["after"]["freezing_point_worst_c"].is_null());
    assert_eq!(blind["way"], "retest");
    assert!(codes(&blind).contains(&"frost_unknown".to_owned()));
}

/// A key of `missing` and of a stock: read, written and refused beside itself.
#[test]
fn the_two_half_widths() {
    let wide = loop_answer(&[("/loops/0/missing/plus_minus", json!(0.5))]);
    let sure = loop_answer(&[("/loops/0/missing/plus_minus", json!(0.0))]);
    let of = |one: &Value| one["after"]["plus_minus"].as_f64().unwrap();
    assert!(of(&wide) > of(&sure) + 0.1);
    let label = loop_answer(&[("/shelf/0/plus_minus", json!(4.0))]);
    assert!(of(&label) > of(&loop_answer(&[])));
    let file = van(&[
        ("/loops/0/missing/plus_minus", json!(0.5)),
        ("/shelf/0/plus_minus", json!(4.0)),
    ]);
    let read = job::read(&file.to_string()).unwrap();
    assert_eq!(read.loops[0].missing.unwrap().plus_minus, Some(0.5));
    assert_eq!(read.shelf[0].plus_minus, Some(4.0));
    assert_eq!(job::read(&job::write(&read)).unwrap(), read);
}
