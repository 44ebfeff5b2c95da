//! A serde deserializer over a JSON tree that knows where it is.
//!
//! serde says what is wrong, not where; the path is put together on the way out of the tree, and the kind of fault
//! comes from serde's own constructors, not from reading its messages. Inside an internally tagged value (`now`,
//! `aim`, a rate) the path ends at that value.
//! Why not a wrapper crate around serde_json's own: it is generic twice over and costs the page 25 kB.

use serde::de::{
    self, DeserializeSeed, Deserializer, EnumAccess, Expected, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor, value::StrDeserializer,
};
use serde_json::{Value, map};

/// What is wrong, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// Keys and places, outermost last.
    path: Vec<String>,
    /// One of the codes of [`super::message`].
    pub code: &'static str,
    /// The key named, where the fault is a key's.
    key: Option<String>,
    /// What was found and what was expected.
    pub words: String,
}

impl Misfit {
    fn new(code: &'static str, key: Option<&str>, words: String) -> Self {
        Self {
            path: Vec::new(),
            code,
            key: key.map(str::to_owned),
            words,
        }
    }

    fn under(mut self, place: &str) -> Self {
        self.path.push(place.to_owned());
        self
    }

    /// The path of the key at fault, such as `loops[0].volume.unit`.
    pub fn key(&self) -> String {
        let mut text = String::new();
        for place in self.path.iter().rev().chain(&self.key) {
            if !text.is_empty() && !place.starts_with('[') {
                text.push('.');
            }
            text.push_str(place);
        }
        text
    }
}

fn one_of(expected: &'static [&'static str]) -> String {
    ["expected one of ", &expected.join(", ")].concat()
}

impl de::Error for Misfit {
    fn custom<T: std::fmt::Display>(message: T) -> Self {
        Self::new("wrong_value", None, message.to_string())
    }

    fn unknown_field(field: &str, expected: &'static [&'static str]) -> Self {
        let words = ["unknown key ", field, "; ", &one_of(expected)].concat();
        Self::new("unknown_key", Some(field), words)
    }

    fn missing_field(field: &'static str) -> Self {
        let words = ["missing; ", field, " is required here"].concat();
        Self::new("missing_key", Some(field), words)
    }

    fn unknown_variant(variant: &str, expected: &'static [&'static str]) -> Self {
        let words = ["\"", variant, "\" is not known; ", &one_of(expected)].concat();
        Self::new("wrong_value", None, words)
    }

    fn invalid_type(found: Unexpected, expected: &dyn Expected) -> Self {
        let words = [
            "found ",
            &found.to_string(),
            "; expected ",
            &expected.to_string(),
        ]
        .concat();
        Self::new("wrong_type", None, words)
    }
}

impl std::error::Error for Misfit {}

impl std::fmt::Display for Misfit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.words)
    }
}

/// A place in the tree.
#[derive(Clone, Copy)]
pub struct Tree<'a>(pub &'a Value);

impl<'a> Tree<'a> {
    /// What it is, in serde's terms.
    fn found(&self) -> Unexpected<'a> {
        match self.0 {
            Value::Null => Unexpected::Unit,
            Value::Bool(b) => Unexpected::Bool(*b),
            Value::Number(n) => Unexpected::Float(n.as_f64().unwrap_or(f64::NAN)),
            Value::String(s) => Unexpected::Str(s),
            Value::Array(_) => Unexpected::Seq,
            Value::Object(_) => Unexpected::Map,
        }
    }
}

impl<'de> Deserializer<'de> for Tree<'de> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(b) => visitor.visit_bool(*b),
            Value::Number(n) => match n.as_u64() {
                Some(whole) => visitor.visit_u64(whole),
                None => visitor.visit_f64(n.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(s) => visitor.visit_borrowed_str(s),
            Value::Array(list) => visitor.visit_seq(Items(list.iter(), 0)),
            Value::Object(map) => visitor.visit_map(Entries(map.iter(), None)),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        match self.0 {
            Value::String(name) => visitor.visit_enum(Name(name)),
            _ => Err(de::Error::invalid_type(self.found(), &"a name in quotes")),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq
        tuple tuple_struct map struct identifier ignored_any
    }
}

struct Items<'a>(std::slice::Iter<'a, Value>, usize);

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Misfit;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Misfit> {
        let Some(value) = self.0.next() else {
            return Ok(None);
        };
        let place = self.1;
        self.1 += 1;
        let read = seed.deserialize(Tree(value));
        read.map(Some)
            .map_err(|e| e.under(&["[", &place.to_string(), "]"].concat()))
    }
}

struct Entries<'a>(map::Iter<'a>, Option<(&'a str, &'a Value)>);

impl<'de> MapAccess<'de> for Entries<'de> {
    type Error = Misfit;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Misfit> {
        let Some((key, value)) = self.0.next() else {
            return Ok(None);
        };
        self.1 = Some((key, value));
        seed.deserialize(StrDeserializer::new(key)).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Misfit> {
        // serde asks for a value only after its key.
        let (key, value) = self.1.take().unwrap_or(("", &Value::Null));
        seed.deserialize(Tree(value)).map_err(|e| e.under(key))
    }
}

struct Name<'a>(&'a str);

impl<'de> EnumAccess<'de> for Name<'de> {
    type Error = Misfit;
    type Variant = NoContent;

    fn variant_seed<V: DeserializeSeed<'de>>(
        self,
        seed: V,
    ) -> Result<(V::Value, NoContent), Misfit> {
        seed.deserialize(StrDeserializer::new(self.0))
            .map(|v| (v, NoContent))
    }
}

/// The format has names in quotes only; nothing hangs on them.
struct NoContent;

impl<'de> VariantAccess<'de> for NoContent {
    type Error = Misfit;

    fn unit_variant(self) -> Result<(), Misfit> {
        Ok(())
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, _: T) -> Result<T::Value, Misfit> {
        Err(de::Error::invalid_type(
            Unexpected::UnitVariant,
            &"a name in quotes",
        ))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, _: V) -> Result<V::Value, Misfit> {
        Err(de::Error::invalid_type(
            Unexpected::UnitVariant,
            &"a name in quotes",
        ))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Misfit> {
        Err(de::Error::invalid_type(
            Unexpected::UnitVariant,
            &"a name in quotes",
        ))
    }
}
