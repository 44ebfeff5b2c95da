//! Reading a job file, and writing one.
//!
//! The version is looked at first, so that a file of a newer format is refused for that and not for a key this
//! program has never heard of.

use serde::Deserialize;

use super::{
    answer::Fault,
    file::{Job, VERSION},
};

/// A job from its file's text.
///
/// # Errors
/// A [`Fault`] with code `syntax`, `newer_format`, `unknown_key`, `missing_key`, `wrong_unit` or `wrong_type`,
/// the key's path, and a message that names the value and what was expected.
pub fn read(text: &str) -> Result<Job, Fault> {
    #[derive(Deserialize)]
    struct Head {
        pourcard: Option<serde_json::Number>,
    }
    let value: serde_json::Value = serde_json::from_str(text)
        .map_err(|e| fault("syntax", "", format!("not JSON: {e}; expected a job file")))?;
    let head = Head::deserialize(&value)
        .map_err(|e| fault("wrong_type", "pourcard", format!("pourcard: {e}")))?;
    match head.pourcard.as_ref().map(serde_json::Number::as_u64) {
        None => {
            return Err(fault(
                "missing_key",
                "pourcard",
                format!("pourcard is missing; expected {VERSION}"),
            ));
        }
        Some(Some(v)) if v == u64::from(VERSION) => {}
        Some(v) => {
            let found = v.map_or_else(|| "not a whole number".to_owned(), |v| v.to_string());
            return Err(fault(
                "newer_format",
                "pourcard",
                format!("pourcard is {found}; this program reads version {VERSION}"),
            ));
        }
    }
    serde_path_to_error::deserialize(value).map_err(|e| {
        let path = e.path().to_string();
        let message = e.into_inner().to_string();
        let (code, key) = classify(&path, &message);
        fault(
            code,
            &key,
            format!("{}: {message}", if path == "." { "job" } else { &path }),
        )
    })
}

/// The text of a job's file.
pub fn write(job: &Job) -> String {
    serde_json::to_string_pretty(job).unwrap_or_default()
}

/// What kind of refusal serde's message is, and the path of the key it is about.
fn classify(path: &str, message: &str) -> (&'static str, String) {
    let named = message.split('`').nth(1).unwrap_or_default();
    let joined = |key: &str| match path {
        "." => key.to_owned(),
        _ if path.ends_with(&format!(".{key}")) || path == key => path.to_owned(),
        _ => format!("{path}.{key}"),
    };
    if message.starts_with("unknown field") {
        ("unknown_key", joined(named))
    } else if message.starts_with("missing field") {
        ("missing_key", joined(named))
    } else if message.starts_with("unknown variant") && path.ends_with("unit") {
        ("wrong_unit", path.to_owned())
    } else if message.starts_with("unknown variant") {
        ("wrong_value", path.to_owned())
    } else {
        ("wrong_type", path.to_owned())
    }
}

fn fault(code: &str, key: &str, message: String) -> Fault {
    Fault {
        code: code.to_owned(),
        key: key.to_owned(),
        message,
        best: None,
    }
}
