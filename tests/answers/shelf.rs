//! Two loops, one shelf.

use crate::file::*;
use serde_json::Value;
use serde_json::json;

#[test]
fn a_short_stock_is_shared_in_order() {
    let mut file = van(&[
        ("/shelf/0/have", json!({"value": 1.3, "unit": "L"})),
        ("/loops/0/additive", Value::Null),
    ]);
    let second = file["loops"][0].clone();
    file["loops"].as_array_mut().unwrap().push(second);
    let all = answer(&file);
    let used = |i: usize| {
        all["loops"][i]["used"]["Concentrate"]
            .as_f64()
            .unwrap_or(0.0)
    };
    assert!(
        used(0) > 1.0 && used(0) + used(1) <= 1.3 + 1e-9,
        "{} and {}",
        used(0),
        used(1)
    );
    assert_eq!(
        all["loops"][0]["used"],
        answer(&van(&[("/loops/0/additive", Value::Null)]))["loops"][0]["used"]
    );
}
