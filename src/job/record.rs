//! How the job file's types are read from a JSON tree: each type is declared once, and the declaration is its reader.
//!
//! serde writes the file, and serde_json parses it. Reading the tree is done here and not by derived `Deserialize`,
//! because that is generic over the reader and puts 50 kB (compressed) into the page, and because it knows what is
//! wrong but not where. Here a misfit knows its key's path, the value, and what was expected.
//!
//! Invariants: every key not declared is refused; a key may be left out only where its declaration says when it is.

use serde_json::{Map, Value};

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

/// A place in the tree.
#[derive(Clone, Copy)]
pub struct Node<'a> {
    value: &'a Value,
    place: Place<'a>,
}

#[derive(Clone, Copy)]
enum Place<'a> {
    Root,
    Key(&'a Node<'a>, &'a str),
    Item(&'a Node<'a>, usize),
}

/// A type the file can hold.
pub trait Read: Sized {
    /// From its place.
    ///
    /// # Errors
    /// The first thing that does not fit.
    fn read(node: &Node) -> Result<Self, Misfit>;
}

impl<'a> Node<'a> {
    /// The root of a tree.
    pub const fn root(value: &'a Value) -> Self {
        Self {
            value,
            place: Place::Root,
        }
    }

    /// A misfit here.
    pub fn misfit(&self, code: &'static str, words: &[&str]) -> Misfit {
        Misfit {
            code,
            key: self.path(),
            words: words.concat(),
        }
    }

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

    fn wrong_type(&self, expected: &str) -> Misfit {
        self.misfit(
            "wrong_type",
            &["found ", &self.value.to_string(), "; expected ", expected],
        )
    }

    /// An object with no key but these.
    ///
    /// # Errors
    /// Not an object, or a key that is not among them.
    pub fn object(&self, keys: &[&str]) -> Result<Object<'_>, Misfit> {
        let Value::Object(map) = self.value else {
            return Err(self.wrong_type("an object in braces"));
        };
        if let Some(key) = map.keys().find(|key| !keys.contains(&key.as_str())) {
            let at = Node {
                value: self.value,
                place: Place::Key(self, key),
            };
            return Err(at.misfit(
                "unknown_key",
                &["unknown key ", key, "; expected one of ", &keys.join(", ")],
            ));
        }
        Ok(Object { node: self, map })
    }

    /// A number; JSON has no other than finite ones.
    ///
    /// # Errors
    /// Anything else.
    pub fn number(&self) -> Result<f64, Misfit> {
        self.value
            .as_f64()
            .ok_or_else(|| self.wrong_type("a number"))
    }

    /// A text.
    ///
    /// # Errors
    /// Anything else.
    pub fn text(&self) -> Result<&'a str, Misfit> {
        self.value
            .as_str()
            .ok_or_else(|| self.wrong_type("a text in quotes"))
    }

    /// The place of the text here in a list of names. The code is `wrong_unit` under a key `unit`.
    ///
    /// # Errors
    /// Not a text, or not in the list.
    pub fn named(&self, names: &[&str]) -> Result<usize, Misfit> {
        let text = self.text()?;
        names
            .iter()
            .position(|name| *name == text)
            .ok_or_else(|| self.not_among(text, &names.join(", ")))
    }

    /// The misfit of a text that is none of the names listed.
    pub fn not_among(&self, text: &str, names: &str) -> Misfit {
        let code = match self.place {
            Place::Key(_, "unit") => "wrong_unit",
            _ => "wrong_value",
        };
        self.misfit(
            code,
            &["\"", text, "\" is not known; expected one of ", names],
        )
    }

    fn items(&self) -> Result<&'a [Value], Misfit> {
        match self.value {
            Value::Array(list) => Ok(list),
            _ => Err(self.wrong_type("a list in brackets")),
        }
    }
}

/// An object whose keys were looked over.
pub struct Object<'a> {
    node: &'a Node<'a>,
    map: &'a Map<String, Value>,
}

impl Object<'_> {
    /// The value under a key.
    ///
    /// # Errors
    /// Required and missing, or a misfit below it.
    pub fn get<T: Read>(&self, key: &'static str) -> Result<T, Misfit> {
        match self.map.get(key) {
            Some(value) => T::read(&Node {
                value,
                place: Place::Key(self.node, key),
            }),
            None => Err(self.missing(key)),
        }
    }

    /// The same, with a default where the key is left out.
    ///
    /// # Errors
    /// A misfit below it.
    pub fn get_or_default<T: Read + Default>(&self, key: &'static str) -> Result<T, Misfit> {
        if self.map.contains_key(key) {
            self.get(key)
        } else {
            Ok(T::default())
        }
    }

    fn missing(&self, key: &'static str) -> Misfit {
        let at = Node {
            value: self.node.value,
            place: Place::Key(self.node, key),
        };
        at.misfit("missing_key", &["missing; ", key, " is required here"])
    }
}

impl Read for f64 {
    fn read(node: &Node) -> Result<Self, Misfit> {
        node.number()
    }
}

impl Read for u32 {
    fn read(node: &Node) -> Result<Self, Misfit> {
        let whole = node.value.as_u64().and_then(|n| n.try_into().ok());
        whole.ok_or_else(|| node.wrong_type("a whole number"))
    }
}

impl Read for bool {
    fn read(node: &Node) -> Result<Self, Misfit> {
        node.value
            .as_bool()
            .ok_or_else(|| node.wrong_type("true or false"))
    }
}

impl Read for String {
    fn read(node: &Node) -> Result<Self, Misfit> {
        node.text().map(str::to_owned)
    }
}

impl<T: Read> Read for Option<T> {
    fn read(node: &Node) -> Result<Self, Misfit> {
        T::read(node).map(Some)
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(node: &Node) -> Result<Self, Misfit> {
        let mut list = Self::new();
        for (i, value) in node.items()?.iter().enumerate() {
            list.push(T::read(&Node {
                value,
                place: Place::Item(node, i),
            })?);
        }
        Ok(list)
    }
}

/// Declares an object of the file. A field `= "Option::is_none"`, say, may be left out, and is where that holds.
macro_rules! record {
    ($($(#[$doc:meta])* pub struct $name:ident $(<$unit:ident>)? {
        $($(#[$fdoc:meta])* pub $field:ident: $ty:ty $(= $left_out:literal)?),+ $(,)?
    })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        pub struct $name $(<$unit>)? {
            $($(#[$fdoc])* $(#[serde(skip_serializing_if = $left_out)])? pub $field: $ty),+
        }

        impl $(<$unit: crate::job::record::Read>)? crate::job::record::Read for $name $(<$unit>)? {
            fn read(node: &crate::job::record::Node) -> Result<Self, crate::job::record::Misfit> {
                let object = node.object(&[$(stringify!($field)),+])?;
                Ok(Self { $($field: record!(@get object $field $($left_out)?)),+ })
            }
        }
    )+ };
    (@get $object:ident $field:ident) => { $object.get(stringify!($field))? };
    (@get $object:ident $field:ident $left_out:literal) => { $object.get_or_default(stringify!($field))? };
}

/// Declares a closed list of names.
macro_rules! names {
    ($($(#[$doc:meta])* pub enum $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $text)] $variant),+ }

        impl $name {
            /// All of them, in the order a list shows them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// As the job file spells it.
            pub const fn text(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }

        impl crate::job::record::Read for $name {
            fn read(node: &crate::job::record::Node) -> Result<Self, crate::job::record::Misfit> {
                node.named(&[$($text),+]).map(|i| Self::ALL[i])
            }
        }
    )+ };
}

/// Declares an object whose key `by` says which of several it is.
macro_rules! by {
    ($($(#[$doc:meta])* pub enum $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal {
        $($(#[$fdoc:meta])* $field:ident: $ty:ty $(= $left_out:literal)?),* $(,)?
    }),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
        #[serde(tag = "by")]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $text)] $variant {
            $($(#[$fdoc])* $(#[serde(skip_serializing_if = $left_out)])? $field: $ty),*
        }),+ }

        impl crate::job::record::Read for $name {
            fn read(node: &crate::job::record::Node) -> Result<Self, crate::job::record::Misfit> {
                match node.by(&[$($text),+])? {
                    $($text => {
                        #[allow(unused_variables)]
                        let object = node.object(&["by", $(stringify!($field)),*])?;
                        Ok(Self::$variant { $($field: record!(@get object $field $($left_out)?)),* })
                    })+
                    text => Err(node.not_among(text, &[$($text),+].join(", "))),
                }
            }
        }
    )+ };
}

pub(crate) use {by, names, record};

impl<'a> Node<'a> {
    /// The text under `by`, one of `names`.
    ///
    /// # Errors
    /// Not an object, no `by`, or another text.
    pub fn by(&self, names: &[&str]) -> Result<&'a str, Misfit> {
        let Value::Object(map) = self.value else {
            return Err(self.wrong_type("an object in braces"));
        };
        let Some(value) = map.get("by") else {
            return Err(Object { node: self, map }.missing("by"));
        };
        let node = Node {
            value,
            place: Place::Key(self, "by"),
        };
        node.named(names)?;
        value
            .as_str()
            .ok_or_else(|| node.wrong_type("a text in quotes"))
    }
}

/// For a field that may be left out by a user and never is by the program.
pub fn never<T>(_: &T) -> bool {
    false
}
