//! A value of the job file and the path that leads to it: what it is, or a refusal that names it.
//!
//! Walked by hand rather than by a derived deserializer: the same checks and better words, at a tenth of the bytes
//! in the page.

use serde_json::{Map, Value};

use super::answer::Fault;

/// A value and its path.
pub struct Node<'a> {
    value: &'a Value,
    path: String,
}

/// An object, all of whose keys are known ones.
pub struct Object<'a> {
    map: &'a Map<String, Value>,
    path: String,
}

type Read<T> = Result<T, Fault>;

impl<'a> Node<'a> {
    /// The whole file.
    pub fn whole(value: &'a Value) -> Self {
        Self {
            value,
            path: String::new(),
        }
    }

    /// A refusal of this value.
    pub fn refuse(&self, code: &'static str, words: &str) -> Fault {
        fault(code, &self.path, words)
    }

    /// A number.
    ///
    /// # Errors
    /// `wrong_type`.
    pub fn number(&self) -> Read<f64> {
        self.value
            .as_f64()
            .ok_or_else(|| self.wrong_type("a number"))
    }

    /// A text.
    ///
    /// # Errors
    /// `wrong_type`.
    pub fn text(&self) -> Read<&'a str> {
        self.value.as_str().ok_or_else(|| self.wrong_type("a text"))
    }

    /// One of a list of names: its place in the list.
    ///
    /// # Errors
    /// `wrong_type`, or `code`.
    pub fn one_of(&self, code: &'static str, names: &[&str]) -> Read<usize> {
        let found = self.text()?;
        names.iter().position(|name| *name == found).ok_or_else(|| {
            self.refuse(
                code,
                &["`", found, "`; expected one of ", &quoted(names)].concat(),
            )
        })
    }

    /// A list, each entry read the same way.
    ///
    /// # Errors
    /// `wrong_type`, or an entry's.
    pub fn list<T>(&self, read: fn(&Node) -> Read<T>) -> Read<Vec<T>> {
        let entries = self
            .value
            .as_array()
            .ok_or_else(|| self.wrong_type("a list"))?;
        let mut list = Vec::with_capacity(entries.len());
        for (i, value) in entries.iter().enumerate() {
            let path = [self.path.as_str(), "[", &i.to_string(), "]"].concat();
            list.push(read(&Node { value, path })?);
        }
        Ok(list)
    }

    /// An object with no key but these.
    ///
    /// # Errors
    /// `wrong_type`, `unknown_key`.
    pub fn object(&self, keys: &[&str]) -> Read<Object<'a>> {
        let map = self
            .value
            .as_object()
            .ok_or_else(|| self.wrong_type("an object"))?;
        match map.keys().find(|key| !keys.contains(&key.as_str())) {
            Some(key) => Err(fault(
                "unknown_key",
                &joined(&self.path, key),
                &["unknown key `", key, "`; expected one of ", &quoted(keys)].concat(),
            )),
            None => Ok(Object {
                map,
                path: self.path.clone(),
            }),
        }
    }

    /// A key of an object whose other keys are not looked at.
    pub fn peek(&self, key: &str) -> Option<Node<'a>> {
        let value = self.value.get(key)?;
        Some(Node {
            value,
            path: joined(&self.path, key),
        })
    }

    /// A refusal of an object that lacks the key by which its form is known.
    pub fn lacks(&self, key: &str, expected: &[&str]) -> Fault {
        if !self.value.is_object() {
            return self.wrong_type("an object");
        }
        let words = ["missing; expected one of ", &quoted(expected)].concat();
        fault("missing_key", &joined(&self.path, key), &words)
    }

    fn wrong_type(&self, expected: &str) -> Fault {
        let found = match self.value {
            Value::Null => "null".to_owned(),
            Value::Array(_) => "a list".to_owned(),
            Value::Object(_) => "an object".to_owned(),
            value => value.to_string(),
        };
        self.refuse("wrong_type", &[&found, "; expected ", expected].concat())
    }
}

impl<'a> Object<'a> {
    /// A key that may be absent.
    ///
    /// # Errors
    /// The value's own.
    pub fn may<T>(&self, key: &str, read: fn(&Node<'a>) -> Read<T>) -> Read<Option<T>> {
        match self.map.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(value) => read(&Node {
                value,
                path: joined(&self.path, key),
            })
            .map(Some),
        }
    }

    /// A key that must be there.
    ///
    /// # Errors
    /// `missing_key`, or the value's own.
    pub fn must<T>(&self, key: &str, read: fn(&Node<'a>) -> Read<T>) -> Read<T> {
        self.may(key, read)?
            .ok_or_else(|| fault("missing_key", &joined(&self.path, key), "missing"))
    }
}

/// A refusal: the key's path, and its message with the path in front.
pub fn fault(code: &str, key: &str, words: &str) -> Fault {
    let at = if key.is_empty() { "job" } else { key };
    Fault {
        code: code.to_owned(),
        key: key.to_owned(),
        message: [at, ": ", words].concat(),
        best: None,
    }
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        [path, ".", key].concat()
    }
}

fn quoted(names: &[&str]) -> String {
    ["`", &names.join("`, `"), "`"].concat()
}
