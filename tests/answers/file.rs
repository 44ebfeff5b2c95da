//! The van's job as a file with values replaced, and its answer read back.

use crate::common;
use pourcard::job;
use serde_json::Value;

/// The van as a file, with the values at some paths replaced; null removes the key.
pub fn van(edits: &[(&str, Value)]) -> Value {
    let mut file = serde_json::from_str(&job::write(&common::van())).unwrap();
    for (path, value) in edits {
        set(&mut file, path, value.clone());
    }
    file
}

pub fn set(file: &mut Value, path: &str, value: Value) {
    let (parent, key) = path.rsplit_once('/').unwrap();
    let place = file
        .pointer_mut(parent)
        .unwrap_or_else(|| panic!("no {parent}"));
    match (place, value) {
        (Value::Object(map), Value::Null) => drop(map.remove(key)),
        (Value::Object(map), value) => drop(map.insert(key.to_owned(), value)),
        (Value::Array(list), value) => list[key.parse::<usize>().unwrap()] = value,
        _ => panic!("{path} is no place"),
    }
}

pub fn answer(file: &Value) -> Value {
    serde_json::from_str(&job::answer_text(&file.to_string()).0).unwrap()
}

pub fn loop_answer(edits: &[(&str, Value)]) -> Value {
    let all = answer(&van(edits));
    assert!(all["error"].is_null(), "{}", all["error"]);
    all["loops"][0].clone()
}

/// "1 draw 0.8, 1 dose 0.25, …": the card in short.
pub fn card(one: &Value) -> String {
    let steps = one["steps"].as_array().unwrap();
    let line = |s: &Value| {
        let mut text = format!("{} {}", s["round"], s["do"].as_str().unwrap());
        if let Some(stock) = s["stock"].as_str() {
            text += &format!(" {stock}");
        }
        if let Some(litres) = s["litres"].as_f64() {
            text += &format!(" {litres}");
        }
        text
    };
    steps.iter().map(line).collect::<Vec<_>>().join(", ")
}

#[track_caller]
pub fn near(value: &Value, expected: f64, within: f64) {
    let value = value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"));
    assert!(
        (value - expected).abs() <= within,
        "{value}, expected {expected} ± {within}"
    );
}

pub fn codes(one: &Value) -> Vec<String> {
    one["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["code"].as_str().unwrap().to_owned())
        .collect()
}
