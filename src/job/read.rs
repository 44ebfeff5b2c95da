//! Reading a job file, and writing one.
//!
//! The version is looked at first, so that a file of a newer format is refused for that and not for a key this
//! program has never heard of.

use serde_json::Value;

use super::{
    answer::Fault,
    check,
    figure::plain,
    file::{Job, VERSION},
    record::{self, Field},
};

/// A job from its file's text.
///
/// # Errors
/// A [`Fault`] with code `syntax`, `newer_format`, `unknown_key`, `missing_key`, `wrong_unit`, `wrong_value`,
/// `wrong_type` or `out_of_range` (a list too long), the key's path, and a message that names the value and what was expected.
pub fn read(text: &str) -> Result<Job, Fault> {
    let value: Value = serde_json::from_str(text)
        .map_err(|e| fault("syntax", "", ["not JSON: ", &e.to_string()].concat()))?;
    let version = VERSION.to_string();
    let Some(map) = value.as_object() else {
        return Err(fault(
            "wrong_type",
            "",
            "expected a job in braces".to_owned(),
        ));
    };
    match map.get("pourcard") {
        None => {
            let words = [
                "pourcard is missing, so it is no job file; expected ",
                &version,
            ]
            .concat();
            return Err(fault("missing_key", "pourcard", words));
        }
        // However the number is spelt: JSON knows no whole ones.
        Some(found) if found.as_f64() == Some(f64::from(VERSION)) => {}
        Some(found) => {
            let words = [
                "pourcard is ",
                &found
                    .as_f64()
                    .map_or_else(|| "not a number".to_owned(), plain),
                "; this program reads version ",
                &version,
            ]
            .concat();
            return Err(fault("newer_format", "pourcard", words));
        }
    }
    let job = record::read(&value).map_err(|misfit| {
        let words = match misfit.key.as_str() {
            "" => misfit.words,
            key => [key, ": ", &misfit.words].concat(),
        };
        fault(misfit.code, &misfit.key, words)
    })?;
    check::counts(&job).map_err(|refused| *refused)?;
    Ok(job)
}

/// The text of a job's file.
pub fn write(job: &Job) -> String {
    let mut text = record::Text::default();
    job.write(&mut text);
    text.done()
}

/// The same in one line, for where every byte counts.
pub fn write_compact(job: &Job) -> String {
    let mut text = record::Text::compact();
    job.write(&mut text);
    text.done()
}

fn fault(code: &str, key: &str, message: String) -> Fault {
    Fault {
        proven: None,
        code: code.to_owned(),
        key: key.to_owned(),
        message,
        best: None,
        refusal: None,
    }
}
