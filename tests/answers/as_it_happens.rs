//! Cards as they really went.

use crate::file::*;
use serde_json::{Value, json};

fn done(entries: &[(&str, f64)]) -> (&'static str, Value) {
    let list: Vec<Value> = entries
        .iter()
        .map(|(id, l)| json!({"id": id, "amount": {"value": l, "unit": "L"}}))
        .collect();
    ("/loops/0/done", json!(list))
}

#[test]
fn the_rest_is_planned_again() {
    let drew = loop_answer(&[done(&[("1", 0.8)])]);
    assert_eq!(
        card(&drew),
        "1 dose 0.25, 1 pour Concentrate 1.15, 1 run, 1 check"
    );
    assert_eq!(
        (drew["so_far"][0]["id"].as_str(), drew["way"].as_str()),
        (Some("1"), Some("draw_and_pour"))
    );
    near(&drew["dispose_litres"], 0.8, 1e-9);

    let too_little = loop_answer(&[done(&[("1", 0.5)])]);
    assert!(
        card(&too_little).starts_with("1 draw 0.3, 1 dose 0.25"),
        "{}",
        card(&too_little)
    );

    let too_much = loop_answer(&[done(&[("1", 2.0)])]);
    near(&too_much["after"]["percent"], 50.0, 1.0);

    let poured_first = loop_answer(&[done(&[("3", 1.15)])]);
    assert!(
        card(&poured_first).starts_with("1 draw"),
        "{}",
        card(&poured_first)
    );
    near(&poured_first["after"]["percent"], 50.0, 1.0);

    let all = loop_answer(&[(
        "/loops/0/done",
        json!([{"id": "1"}, {"id": "2"}, {"id": "3"}, {"id": "4"}, {"id": "5"}]),
    )]);
    assert_eq!(card(&all), "");
    assert_eq!(all["so_far"].as_array().unwrap().len(), 5);
    near(&all["after"]["percent"], 50.1, 0.05);
}

/// Ids stay with their steps, so entries may come in any order and lead to the same loop.
#[test]
fn any_order_of_entry() {
    let a = loop_answer(&[done(&[("1", 0.8), ("2", 0.25), ("3", 1.15)])]);
    let b = loop_answer(&[done(&[("1", 0.8), ("3", 1.15), ("2", 0.25)])]);
    near(
        &a["after"]["percent"],
        b["after"]["percent"].as_f64().unwrap(),
        1e-9,
    );
    near(
        &a["after"]["litres"],
        b["after"]["litres"].as_f64().unwrap(),
        1e-9,
    );
}

/// Drained at 90 °C, coolant measures about 4 % large (handbook densities): 0.8 L count as 0.77.
#[test]
fn drained_hot() {
    let hot = json!([{"id": "1", "amount": {"value": 0.8, "unit": "L"}, "at": {"value": 90, "unit": "degC"}}]);
    let one = loop_answer(&[("/loops/0/done", hot)]);
    near(&one["so_far"][0]["litres"], 0.8 / 1.04, 0.003);
}

/// A round's draw limit holds until the loop has run.
#[test]
fn no_second_draw_before_it_has_run() {
    let edits = [
        ("/loops/0/now/value", json!(20)),
        ("/loops/0/draw_limit", json!({"value": 2, "unit": "L"})),
        done(&[("1", 2.0), ("2", 2.6)]),
    ];
    assert!(card(&loop_answer(&edits)).starts_with("1 run, 2 draw"));
}

/// An entry that says what it was made for counts as that, though the card has changed; one that cannot is refused.
#[test]
fn an_entry_is_for_its_step() {
    let l = |v: f64| json!({"value": v, "unit": "L"});
    let bound = json!([
        {"id": "2", "step": "dose", "amount": l(0.2)},
        {"id": "9", "step": "pour", "stock": "Premix", "amount": l(0.5)},
        {"id": "1", "step": "run"}
    ]);
    let one = loop_answer(&[("/loops/0/additive", Value::Null), ("/loops/0/done", bound)]);
    let so_far: Vec<_> = one["so_far"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| (s["do"].as_str().unwrap(), s["litres"].as_f64()))
        .collect();
    assert_eq!(
        so_far,
        [("dose", Some(0.2)), ("pour", Some(0.5)), ("run", None)]
    );
    near(&one["after"]["percent"], 50.0, 1.0);
    for lost in [
        json!([{"id": "9", "step": "pour", "stock": "Nothing of the kind", "amount": l(0.5)}]),
        json!([{"id": "9", "step": "pour", "stock": "Premix"}]),
        json!([{"id": "9", "stock": "Premix", "amount": l(0.5)}]),
    ] {
        let one = loop_answer(&[("/loops/0/done", lost)]);
        assert_eq!(one["error"]["code"], "no_such_step");
    }
}
