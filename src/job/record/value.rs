//! What stands for itself in a file: numbers, texts, lists, and what may be left out.

use super::{Field, Node, Place, Text};
use crate::job::figure;

impl Field for f64 {
    fn read(node: &Node) -> Self {
        node.number()
    }

    fn blank() -> Self {
        0.0
    }

    fn write(&self, out: &mut Text) {
        out.word(&figure::plain(*self));
    }
}

impl Field for u32 {
    fn read(node: &Node) -> Self {
        // 1.0 is 1: JSON knows no whole numbers.
        let number = node.value.as_f64().unwrap_or(-1.0);
        if number.fract() == 0.0 && (0.0..=f64::from(Self::MAX)).contains(&number) {
            return number as Self;
        }
        node.wrong_type("a whole number");
        0
    }

    fn blank() -> Self {
        0
    }

    fn write(&self, out: &mut Text) {
        out.word(&self.to_string());
    }
}

impl Field for bool {
    fn read(node: &Node) -> Self {
        node.value.as_bool().unwrap_or_else(|| {
            node.wrong_type("true or false");
            false
        })
    }

    fn blank() -> Self {
        false
    }

    fn write(&self, out: &mut Text) {
        out.word(if *self { "true" } else { "false" });
    }
}

impl Field for String {
    fn read(node: &Node) -> Self {
        node.text().to_owned()
    }

    fn blank() -> Self {
        Self::new()
    }

    fn write(&self, out: &mut Text) {
        out.text(self);
    }
}

impl<T: Field> Field for Option<T> {
    fn read(node: &Node) -> Self {
        Some(T::read(node))
    }

    fn blank() -> Self {
        None
    }

    fn write(&self, out: &mut Text) {
        match self {
            Some(value) => value.write(out),
            None => out.word("null"),
        }
    }
}

impl<T: Field> Field for Vec<T> {
    fn read(node: &Node) -> Self {
        let Some(items) = node.value.as_array() else {
            node.wrong_type("a list in brackets");
            return Self::new();
        };
        let at = |(i, value)| Node {
            value,
            place: Place::Item(node, i),
            first: node.first,
        };
        items
            .iter()
            .enumerate()
            .map(|item| T::read(&at(item)))
            .collect()
    }

    fn blank() -> Self {
        Self::new()
    }

    fn write(&self, out: &mut Text) {
        out.open("[");
        for value in self {
            out.next();
            value.write(out);
        }
        out.close("]");
    }
}
