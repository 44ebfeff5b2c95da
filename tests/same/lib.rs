//! The answer to a job file, for a script to call: the engine as the page has it, with no page around it.

use wasm_bindgen::prelude::wasm_bindgen;

/// A job file's answer, or why it has none, as JSON.
#[wasm_bindgen]
pub fn answer(job: &str) -> String {
    pourcard::job::answer_text(job).0
}
