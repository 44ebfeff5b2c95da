//! The choices of a loop: each in one row, with its place in the model and its key in records.

use super::super::{
    choice::{
        AboveMark, AimBy, CapAge, CapKind, Carrier, Choice, DoseBy, DrainBy, EarlierDose, Family,
        GlycolName, Kind, LimitBy, Purpose, RateBy, ReadingBy, Side, TankBy, TestOf,
    },
    model::LoopModel,
};

/// What a choice is kept as: its code, or nothing where nothing was chosen.
trait Coded: Sized {
    fn coded(self) -> &'static str;
    fn decoded(code: &str) -> Option<Self>;
}

impl<C: Choice> Coded for C {
    fn coded(self) -> &'static str {
        self.code()
    }

    fn decoded(code: &str) -> Option<Self> {
        Self::from_code(code)
    }
}

impl<C: Choice> Coded for Option<C> {
    fn coded(self) -> &'static str {
        self.map_or("", C::code)
    }

    fn decoded(code: &str) -> Option<Self> {
        Some(C::from_code(code))
    }
}

macro_rules! picks {
    ($($(#[$doc:meta])* $name:ident($of:ty) = $field:ident $key:literal;)+) => {
        /// A choice made for the loop in sight.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub enum Pick { $($(#[$doc])* $name($of)),+ }

        impl Pick {
            /// Into a loop.
            pub fn put(self, lp: &mut LoopModel) {
                match self { $(Self::$name(choice) => lp.$field = choice),+ }
            }

            /// All of a loop's: key and code of each.
            pub fn codes(lp: &LoopModel) -> Vec<(&'static str, &'static str)> {
                vec![$(($key, lp.$field.coded())),+]
            }

            /// From its key and code; `None` where either means nothing.
            pub fn from_code(key: &str, code: &str) -> Option<Self> {
                Some(match key {
                    $($key => Self::$name(Coded::decoded(code)?),)+
                    _ => return None,
                })
            }
        }
    };
}

picks! {
    /// What it is for.
    Kind(Kind) = kind "@kind";
    /// Which glycol.
    Glycol(GlycolName) = glycol "@glycol";
    /// Its inhibitor family.
    Family(Option<Family>) = family "@family";
    /// How it is known what is in it.
    Reading(ReadingBy) = reading "@reading";
    /// Which side of the turning point.
    Side(Option<Side>) = side "@side";
    /// How the aim is said.
    Aim(AimBy) = aim "@aim";
    /// How much comes out.
    Drain(DrainBy) = drain "@drain";
    /// Where the growth goes.
    Tank(TankBy) = tank "@tank";
    /// How far the cap is trusted.
    CapAge(CapAge) = cap_age "@cap";
    /// What the cap to be fitted is made for.
    CapKind(CapKind) = cap_kind "@cap-kind";
    /// Is an additive dosed?
    Dose(DoseBy) = dose "@dose";
    /// The form of its rate.
    Rate(RateBy) = rate "@rate";
    /// The form of its limit.
    Limit(LimitBy) = limit "@limit";
    /// What an earlier dose left.
    Earlier(EarlierDose) = earlier "@earlier";
    /// What the additive is for.
    Purpose(Purpose) = purpose "@purpose";
    /// What its test measures.
    TestOf(TestOf) = test_of "@test";
    /// What the additive is carried in.
    Carrier(Carrier) = carrier "@carrier";
    /// May a dose stand above the mark?
    AboveMark(AboveMark) = above_mark "@above";
    /// The instrument of the re-reading.
    Back(Option<ReadingBy>) = back "@back";
}
