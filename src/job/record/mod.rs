//! How the job file's types are read from a JSON tree: each type is declared once, and the declaration is its reader.
//!
//! (And written.) serde_json parses the text; reading the tree and writing the text are done here and not by derived
//! `Deserialize` and `Serialize`, because those put 60 kB (compressed) into the page, and because a deserializer knows
//! what is wrong but not where. Here a misfit knows its key's path, the value, and what was expected.
//!
//! Invariants: every key not declared is refused; a key may be left out only where its declaration says when it is.
//! The first misfit is noted and reading goes on with blanks, which nobody sees: [`read`] gives the misfit instead.
//! (Leaving at once would cost the page a path out of every field.)
//!
//! Here is the reading; [`declare`] has the declarations, [`value`] what stands for itself, [`text`] the writing.

use std::cell::RefCell;

use serde_json::{Map, Value};

mod declare;
mod text;
mod value;

use super::figure;

pub(crate) use declare::{by, names, record};
pub use text::Text;

/// What is wrong, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// One of the codes of [`super::message`].
    pub code: &'static str,
    /// The path of the key at fault, such as `loops[0].volume.unit`.
    pub key: String,
    /// What was found and what was expected.
    pub words: String,
}

/// A whole tree as a `T`.
///
/// # Errors
/// The first thing that does not fit.
pub fn read<T: Field>(tree: &Value) -> Result<T, Misfit> {
    let first = RefCell::new(None);
    let node = Node {
        value: tree,
        place: Place::Root,
        first: &first,
    };
    let whole = T::read(&node);
    first.into_inner().map_or(Ok(whole), Err)
}

/// A type the file can hold.
pub trait Field: Sized {
    /// From its place; a blank where it does not fit, and the misfit noted.
    fn read(node: &Node) -> Self;

    /// What stands in where the value does not fit; of an object: one with nothing in it.
    fn blank() -> Self;

    /// Into the text.
    fn write(&self, out: &mut Text);
}

/// A place in the tree.
#[derive(Clone, Copy)]
pub struct Node<'a> {
    value: &'a Value,
    place: Place<'a>,
    first: &'a RefCell<Option<Misfit>>,
}

#[derive(Clone, Copy)]
enum Place<'a> {
    Root,
    Key(&'a Node<'a>, &'a str),
    Item(&'a Node<'a>, usize),
}

static NOTHING: Value = Value::Null;

impl<'a> Node<'a> {
    fn path(&self) -> String {
        match self.place {
            Place::Root => String::new(),
            Place::Key(above, key) => {
                let path = above.path();
                if path.is_empty() {
                    key.to_owned()
                } else {
                    [&path, ".", key].concat()
                }
            }
            Place::Item(above, i) => [&above.path(), "[", &i.to_string(), "]"].concat(),
        }
    }

    /// Notes a misfit here, if it is the first.
    pub fn misfit(&self, code: &'static str, words: &[&str]) {
        let mut first = self.first.borrow_mut();
        if first.is_none() {
            *first = Some(Misfit {
                code,
                key: self.path(),
                words: words.concat(),
            });
        }
    }

    fn wrong_type(&self, expected: &str) {
        let found = match self.value {
            Value::Null => "null".to_owned(),
            Value::Bool(b) => b.to_string(),
            Value::Number(n) => figure::plain(n.as_f64().unwrap_or(f64::NAN)),
            Value::String(text) => ["\"", text, "\""].concat(),
            Value::Array(_) => "a list".to_owned(),
            Value::Object(_) => "an object".to_owned(),
        };
        self.misfit("wrong_type", &["found ", &found, "; expected ", expected]);
    }

    /// An object with no key but these.
    pub fn object(&'a self, keys: &[&str]) -> Object<'a> {
        let map = self.value.as_object();
        match map {
            None => self.wrong_type("an object in braces"),
            Some(map) => {
                if let Some(key) = map.keys().find(|key| !keys.contains(&key.as_str())) {
                    let words = [
                        "unknown key \"",
                        key,
                        "\"; expected one of ",
                        &keys.join(", "),
                    ];
                    self.under(key, &NOTHING).misfit("unknown_key", &words);
                }
            }
        }
        Object { node: self, map }
    }

    fn under(&'a self, key: &'a str, value: &'a Value) -> Self {
        Self {
            value,
            place: Place::Key(self, key),
            first: self.first,
        }
    }

    /// A number; JSON has no other than finite ones.
    pub fn number(&self) -> f64 {
        self.value.as_f64().unwrap_or_else(|| {
            self.wrong_type("a number");
            0.0
        })
    }

    /// A text.
    pub fn text(&self) -> &'a str {
        self.value.as_str().unwrap_or_else(|| {
            self.wrong_type("a text in quotes");
            ""
        })
    }

    /// The place of the text here in a list of names; the first where it is none of them.
    pub fn named(&self, names: &[&str]) -> usize {
        let text = self.text();
        names
            .iter()
            .position(|name| *name == text)
            .unwrap_or_else(|| {
                self.not_among(text, &names.join(", "));
                0
            })
    }

    /// Notes a text that is none of the names listed. The code is `wrong_unit` under a key `unit`.
    pub fn not_among(&self, text: &str, names: &str) {
        let code = match self.place {
            Place::Key(_, "unit") => "wrong_unit",
            _ => "wrong_value",
        };
        self.misfit(
            code,
            &["\"", text, "\" is not known; expected one of ", names],
        );
    }

    /// Which of `names` stands under the key `by`; `None` where the key is missing.
    pub fn by(&self, names: &[&str]) -> Option<usize> {
        let Some(map) = self.value.as_object() else {
            self.wrong_type("an object in braces");
            return None;
        };
        let value = map.get("by");
        if value.is_none() {
            self.missing("by");
        }
        Some(self.under("by", value?).named(names))
    }

    fn missing(&self, key: &'static str) {
        self.under(key, &NOTHING)
            .misfit("missing_key", &["missing; ", key, " is required here"]);
    }
}

/// An object whose keys were looked over.
pub struct Object<'a> {
    node: &'a Node<'a>,
    map: Option<&'a Map<String, Value>>,
}

impl Object<'_> {
    /// The value under a key.
    pub fn get<T: Field>(&self, key: &'static str) -> T {
        match self.value(key) {
            Some(value) => T::read(&self.node.under(key, value)),
            None => {
                self.node.missing(key);
                T::blank()
            }
        }
    }

    /// The same, with a default where the key is left out.
    pub fn get_or_default<T: Field + Default>(&self, key: &'static str) -> T {
        match self.value(key) {
            Some(value) => T::read(&self.node.under(key, value)),
            None => T::default(),
        }
    }

    fn value(&self, key: &str) -> Option<&Value> {
        self.map?.get(key)
    }
}

/// For a field that may be left out by a user and never is by the program.
pub fn never<T>(_: &T) -> bool {
    false
}
