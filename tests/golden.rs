//! The golden jobs are answered, and between them reach every way. `tests/browser/golden.spec.mjs` has the page answer
//! the same files.

#![allow(clippy::unwrap_used, missing_docs)] // a test may panic

use serde_json::Value;

#[test]
fn every_golden_job_is_answered_and_every_way_is_there() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden");
    let mut ways = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let (answer, refused) = pourcard::job::answer_text(&text);
        assert!(!refused, "{}: {answer}", path.display());
        let answer: Value = serde_json::from_str(&answer).unwrap();
        let loops = answer["loops"].as_array().unwrap().clone();
        ways.extend(
            loops
                .iter()
                .map(|one| one["way"].as_str().map(str::to_owned)),
        );
    }
    for way in ["nothing", "top_up", "draw_and_pour", "rounds", "refill"] {
        assert!(ways.contains(&Some(way.to_owned())), "{way}: {ways:?}");
    }
    assert!(ways.contains(&None), "one that has no plan");
}
