//! The form: each field of the page in one row, with where its number stands in the job file.
//!
//! A row says everything that is said of a field by itself: key, measure, label, limit, what holds where it is blank,
//! the path a fault in it is reported under, and its [`Leaf`]. What goes through fields (to a file, from one, to the
//! device, to the screen) goes through rows. A leaf is there only where the choices made call for it: a file of another
//! form has no such place. Absent on purpose: rules between fields ([`super::draft`]), what is drawn where (`layout`).

pub mod layout;
mod leaf;
pub mod picks;
mod rows;

pub use leaf::{InUnit, Leaf, Place};
pub use rows::{Field, WaterField};

use super::{
    choice::System,
    draft::Trouble,
    field::{Entry, Measure, Unit},
};
use crate::job::limits::Limit;

/// What is said of a field by itself.
#[derive(Debug)]
pub struct Row {
    /// Its stable key: in records, and of the element.
    pub key: &'static str,
    /// What it measures.
    pub measure: Measure,
    label: &'static str,
    /// Under which key of its loop a fault is reported; empty: under none.
    pub path: &'static str,
    /// The limit it breaks whatever else is typed.
    pub limit: Option<&'static Limit>,
    blank: f32,
}

impl Row {
    const fn new(
        key: &'static str,
        measure: Measure,
        label: &'static str,
        path: &'static str,
    ) -> Self {
        Self {
            key,
            measure,
            label,
            path,
            limit: None,
            blank: f32::NAN,
        }
    }

    /// Its label: what is seen, and the rest of it for a screen reader.
    pub fn label(&self) -> (&'static str, &'static str) {
        self.label.split_once('|').unwrap_or((self.label, ""))
    }

    /// What holds where it is left blank, in the measure's metric unit.
    pub fn blank(&self) -> Option<f64> {
        (!self.blank.is_nan()).then(|| significant_of(self.blank))
    }
}

/// As it was written: the nearest of seven digits.
fn significant_of(value: f32) -> f64 {
    (f64::from(value) * 1e7).round() / 1e7
}

/// A closed list of fields over one part of the job file.
pub trait Form: Copy + PartialEq + 'static {
    /// That part.
    type Of;
    /// All of them, in the order in which they are taken.
    const ALL: &'static [Self];
    /// All rows, in the same order.
    const ROWS: &'static [Row];

    /// Its place among them.
    fn place(self) -> usize;

    /// Its number's place, where a file of this form has one.
    fn leaf(self, of: &mut Self::Of) -> Option<Leaf<'_>>;

    /// What is said of it.
    fn row(self) -> &'static Row {
        &Self::ROWS[self.place()]
    }

    /// From its key.
    fn from_key(key: &str) -> Option<Self> {
        let place = Self::ROWS.iter().position(|row| row.key == key)?;
        Self::ALL.get(place).copied()
    }
}

macro_rules! form {
    ($(#[$doc:meta])* pub enum $name:ident of $of:ty as $root:ident {
        $($(#[$fdoc:meta])* $field:ident = $key:literal $measure:ident $label:literal at $path:tt
            { $($part:ident: $said:expr),* } $(=> $leaf:expr)?;)+
    }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $($(#[$fdoc])* $field),+ }

        impl $name {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$field),+];
        }

        impl crate::app::form::Form for $name {
            type Of = $of;
            const ALL: &'static [Self] = Self::ALL;
            const ROWS: &'static [Row] = &[$(Row {
                $($part: $said,)*
                ..Row::new($key, Measure::$measure, $label, form!(@path $path))
            }),+];

            fn place(self) -> usize {
                self as usize
            }

            #[allow(unused_variables)]
            fn leaf(self, $root: &mut $of) -> Option<Leaf<'_>> {
                match self { $(Self::$field => form!(@leaf $root $path $measure $($leaf)?)),+ }
            }
        }
    };
    (@path $path:literal) => { $path };
    (@path $path:ident) => { stringify!($path) };
    (@leaf $root:ident $path:ident $measure:ident) => {
        crate::app::form::Place::leaf(&mut $root.$path, Measure::$measure.usual())
    };
    (@leaf $root:ident $path:literal $measure:ident $leaf:expr) => { $leaf };
}
pub(crate) use form;

/// What the choices make of a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Call {
    /// They do not ask for it, though the file has a place.
    Not,
    /// It may be left blank.
    May,
    /// It may not.
    Must,
}

/// One entry for each field of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entries<F>(Vec<Entry>, std::marker::PhantomData<F>);

impl<F: Form> Entries<F> {
    /// All blank.
    pub fn blank(system: System) -> Self {
        let blank = |row: &Row| Entry::blank(row.measure.unit(system));
        Self(
            F::ROWS.iter().map(blank).collect(),
            std::marker::PhantomData,
        )
    }

    /// A field's entry.
    pub fn get(&self, field: F) -> &Entry {
        &self.0[field.place()]
    }

    /// The same, to change.
    pub fn get_mut(&mut self, field: F) -> &mut Entry {
        &mut self.0[field.place()]
    }

    /// A number from a file.
    pub fn set(&mut self, field: F, value: f64, unit: Unit) {
        *self.get_mut(field) = Entry::of(value, unit);
    }

    /// Is nothing typed?
    pub fn is_blank(&self) -> bool {
        self.0.iter().all(Entry::is_blank)
    }

    /// Puts what is typed into a file of the form chosen. What cannot be had is noted.
    pub fn take(&self, of: &mut F::Of, call: impl Fn(F) -> Call, mut note: impl FnMut(F, Trouble)) {
        for (&field, entry) in F::ALL.iter().zip(&self.0) {
            let call = call(field);
            let Some(mut leaf) = field.leaf(of).filter(|_| call != Call::Not) else {
                continue;
            };
            let blank = field.row().blank();
            match entry.value() {
                Ok(value) => {
                    let needed = call == Call::Must || leaf.needs() && blank.is_none();
                    if value.is_none() && needed {
                        note(field, Trouble::Needed);
                    }
                    leaf.set(value.or(blank.filter(|_| leaf.needs())), entry.typed_in);
                }
                Err(e) => note(field, Trouble::Number(e)),
            }
        }
    }

    /// Fills in what a file says.
    pub fn fill(&mut self, of: &mut F::Of, call: impl Fn(F) -> Call) {
        for (&field, entry) in F::ALL.iter().zip(&mut self.0) {
            let leaf = field.leaf(of).filter(|_| call(field) != Call::Not);
            if let Some((value, unit)) = leaf.and_then(|leaf| leaf.get()) {
                *entry = Entry::of(value, unit);
            }
        }
    }
}

/// The field a fault at a key is about.
pub fn at_key<F: Form>(key: &str, of: &mut F::Of, call: impl Fn(F) -> Call) -> Option<F> {
    let mut open = F::ALL
        .iter()
        .copied()
        .filter(|&f| call(f) != Call::Not && f.leaf(of).is_some());
    let mut first = None;
    open.find(|f| {
        let path = f.row().path;
        if first.is_none()
            && path
                .strip_prefix(key)
                .is_some_and(|rest| rest.starts_with('.'))
        {
            first = Some(*f);
        }
        path == key
    })
    .or(first)
}
