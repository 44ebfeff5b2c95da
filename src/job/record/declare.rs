//! The declarations: an object, a closed list of names, an object of several forms.

/// Declares an object of the file. A field `= "Option::is_none"`, say, may be left out, and is where that holds.
macro_rules! record {
    ($($(#[$doc:meta])* pub struct $name:ident $(<$unit:ident>)? {
        $($(#[$fdoc:meta])* pub $field:ident: $ty:ty $(= $left_out:path)?),+ $(,)?
    })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name $(<$unit>)? {
            $($(#[$fdoc])* pub $field: $ty),+
        }

        impl $(<$unit: crate::job::record::Field>)? crate::job::record::Field for $name $(<$unit>)? {
            fn read(node: &crate::job::record::Node) -> Self {
                let object = node.object(&[$(stringify!($field)),+]);
                Self { $($field: record!(@get object $field $($left_out)?)),+ }
            }

            fn blank() -> Self {
                Self { $($field: <$ty as crate::job::record::Field>::blank()),+ }
            }

            fn write(&self, out: &mut crate::job::record::Text) {
                out.open("{");
                $(record!(@put out (&self.$field) $field $($left_out)?);)+
                out.close("}");
            }
        }
    )+ };
    (@get $object:ident $field:ident) => { $object.get(stringify!($field)) };
    (@put $out:ident $value:tt $field:ident) => {
        $out.key(stringify!($field));
        crate::job::record::Field::write($value, $out);
    };
    (@put $out:ident $value:tt $field:ident $left_out:path) => {
        if !$left_out($value) {
            record!(@put $out $value $field);
        }
    };
    (@get $object:ident $field:ident $left_out:path) => { $object.get_or_default(stringify!($field)) };
}

/// Declares a closed list of names.
macro_rules! names {
    ($($(#[$doc:meta])* pub enum $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// All of them, in the order a list shows them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// As the job file spells it.
            pub const fn text(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }

        impl crate::job::record::Field for $name {
            fn read(node: &crate::job::record::Node) -> Self {
                Self::ALL[node.named(&[$($text),+])]
            }

            fn blank() -> Self {
                Self::ALL[0]
            }

            fn write(&self, out: &mut crate::job::record::Text) {
                out.text(self.text());
            }
        }
    )+ };
}

/// Declares an object whose key `by` says which of several it is, and what stands in where it fits none.
macro_rules! by {
    ($($(#[$doc:meta])* pub enum $name:ident or $blank:expr => { $($(#[$vdoc:meta])* $variant:ident = $text:literal {
        $($(#[$fdoc:meta])* $field:ident: $ty:ty $(= $left_out:path)?),* $(,)?
    }),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub enum $name { $($(#[$vdoc])* $variant {
            $($(#[$fdoc])* $field: $ty),*
        }),+ }

        impl crate::job::record::Field for $name {
            fn read(node: &crate::job::record::Node) -> Self {
                const NAMES: &[&str] = &[$($text),+];
                match node.by(NAMES).map(|i| NAMES[i]) {
                    $(Some($text) => {
                        #[allow(unused_variables)]
                        let object = node.object(&["by", $(stringify!($field)),*]);
                        Self::$variant { $($field: record!(@get object $field $($left_out)?)),* }
                    })+
                    _ => Self::blank(),
                }
            }

            fn blank() -> Self {
                $blank
            }

            fn write(&self, out: &mut crate::job::record::Text) {
                out.open("{");
                out.key("by");
                match self {
                    $(Self::$variant { $($field),* } => {
                        out.text($text);
                        $(record!(@put out $field $field $($left_out)?);)*
                    })+
                }
                out.close("}");
            }
        }
    )+ };
}

pub(crate) use {by, names, record};
