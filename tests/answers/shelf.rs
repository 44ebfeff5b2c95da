//! Several loops, one shelf.

use crate::file::*;
use serde_json::{Value, json};

/// Loops like the van's, without the additive, and the shelf's concentrate limited.
fn loops(concentrate: f64, edits: &[(&str, Value)], count: usize) -> Value {
    let mut edits = edits.to_vec();
    edits.push(("/shelf/0/have", json!({"value": concentrate, "unit": "L"})));
    edits.push(("/loops/0/additive", Value::Null));
    let mut file = van(&edits);
    let one = file["loops"][0].clone();
    for _ in 1..count {
        file["loops"].as_array_mut().unwrap().push(one.clone());
    }
    file
}

fn used(all: &Value, i: usize) -> f64 {
    all["loops"][i]["used"]["Concentrate"]
        .as_f64()
        .unwrap_or(0.0)
}

fn shared(one: &Value) -> Option<f64> {
    let list = one["cautions"].as_array().unwrap();
    let found = list.iter().find(|c| c["code"] == "stock_shared")?;
    assert_eq!(
        (found["stock"].as_f64(), found["weight"].as_str()),
        (Some(0.0), Some("mind"))
    );
    found["left_litres"].as_f64()
}

/// Premix is plentiful, so the second does with what the first leaves, and nothing is said.
#[test]
fn where_serving_in_order_serves_all_nothing_changes() {
    let all = answer(&loops(1.3, &[("/shelf/1/have", Value::Null)], 2));
    let alone = answer(&loops(1.3, &[("/shelf/1/have", Value::Null)], 1));
    assert_eq!(all["loops"][0], alone["loops"][0]);
    assert!(used(&all, 0) + used(&all, 1) <= 1.3 + 1e-9);
    assert!(
        all["loops"]
            .as_array()
            .unwrap()
            .iter()
            .all(|one| one["error"].is_null() && shared(one).is_none())
    );
}

/// 42 % in 7.8 of 8.4 L, to be 50 %. By volumes taken to add, with concentrate alone: draw d so that
/// 0.42 (7.8 - d) + 0.6 + d = 4.2, so d = 0.56 and 1.16 L go in. Of 1.6 L the first would take its 1.15 and leave 0.45.
/// With premix of 45 % besides, however often it is renewed, reaching 49 % takes x of concentrate in the last round:
/// 0.45 (8.4 - x) + x = 0.49 x 8.4, so x = 0.61. The second cannot; halves of 0.8 do for both.
#[test]
fn a_short_stock_is_split_by_need() {
    let l = |v: f64| json!({"value": v, "unit": "L"});
    let edits = [
        ("/shelf/1/have", Value::Null),
        ("/shelf/1/percent", json!(45)),
        ("/loops/0/draw_limit", l(2.0)),
    ];
    let all = answer(&loops(1.6, &edits, 2));
    for one in all["loops"].as_array().unwrap() {
        assert!(one["error"].is_null(), "{}", one["error"]);
        near(&one["after"]["percent"], 50.0, 1.0);
        let left = shared(one).unwrap_or_else(|| panic!("{}", one["cautions"]));
        assert!((0.75..0.9).contains(&left), "{left}");
    }
    assert!(used(&all, 0) + used(&all, 1) <= 1.6 + 1e-9);
    // The same split every time, whatever the loops are called.
    assert_eq!(answer(&loops(1.6, &edits, 2)), all);
}

/// No split serves both: the order does, and the one that went short says how much was left for it.
#[test]
fn where_no_split_serves_all_the_order_does() {
    let l = |v: f64| json!({"value": v, "unit": "L"});
    let edits = [("/shelf/1/have", l(0.0)), ("/loops/0/draw_limit", l(2.0))];
    let all = answer(&loops(1.6, &edits, 2));
    assert_eq!(all["loops"][0], answer(&loops(1.6, &edits, 1))["loops"][0]);
    assert_eq!(all["loops"][1]["error"]["code"], "aim_unreachable");
    assert!((shared(&all["loops"][1]).unwrap() - (1.6 - used(&all, 0))).abs() < 1e-9);
}

/// What went into a later loop is gone for an earlier one.
#[test]
fn what_was_really_poured_is_gone_for_all() {
    let mut file = loops(1.6, &[("/shelf/1/have", Value::Null)], 2);
    let poured = json!([{"id": "2", "step": "pour", "stock": "Concentrate", "amount": {"value": 1.2, "unit": "L"}}]);
    file["loops"][1]["done"] = poured;
    let all = answer(&file);
    assert!(
        used(&all, 1) >= 1.2 && used(&all, 0) + used(&all, 1) <= 1.6 + 1e-9,
        "{all}"
    );
    near(&all["loops"][0]["after"]["percent"], 50.0, 1.0);
}
