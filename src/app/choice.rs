//! What is chosen rather than typed: each a closed list with a stable code, in the order the page shows them.
//!
//! The codes are what is kept on the device; words are chosen in [`super::words`].

pub use crate::job::file::{
    Carrier, Family, GlycolName, Kind, Per, RoundBy, Side, WaterLimits, Wish,
};
use crate::job::{
    file::{AdditiveKind, Substance, Supplement, Tank},
    units::{PressureUnit, TemperatureUnit, VolumeUnit},
};

/// A closed list that can be shown and kept.
pub trait Choice: Copy + PartialEq + Sized + 'static {
    /// All of them, in the order a list shows them.
    const ALL: &'static [Self];

    /// As it is kept.
    fn code(self) -> &'static str;

    /// From its code.
    fn from_code(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|c| c.code() == code)
    }
}

macro_rules! choices {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $code:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
        coded!($name { $($variant = $code),+ });
    };
}

macro_rules! coded {
    ($name:ident { $($variant:ident = $code:literal),+ }) => {
        impl Choice for $name {
            const ALL: &'static [Self] = &[$(Self::$variant),+];
            fn code(self) -> &'static str {
                match self { $(Self::$variant => $code),+ }
            }
        }
    };
}

coded!(GlycolName { Ethylene = "ethylene", Propylene = "propylene" });
coded!(Kind { Engine = "engine", LowTemperature = "low_temperature", Battery = "battery", FuelCell = "fuel_cell" });
coded!(Side { Thin = "thin", Thick = "thick" });
coded!(WaterLimits { Diesel = "diesel", Car = "car", European = "european" });
coded!(Carrier { Water = "water", Glycol = "glycol" });
coded!(Family { Iat = "iat", Oat = "oat", Hoat = "hoat", Noat = "noat" });

choices! {
    /// Units of the page as a whole.
    System {
        /// L, °C, bar, m.
        Metric = "metric",
        /// US customary.
        Us = "us",
        /// Imperial volumes, °C, psi, ft.
        Imperial = "imperial",
    }
}

choices! {
    /// How it is known what is in the loop.
    ReadingBy {
        /// A percentage.
        Percent = "percent",
        /// A frost scale.
        Frost = "frost",
        /// Plain water.
        Water = "water",
        /// Flushed or drained; something stayed behind.
        Flushed = "flushed",
        /// Nobody knows.
        Unknown = "unknown",
        /// A hydrometer.
        Gravity = "gravity",
        /// A refractive index.
        Index = "index",
        /// A sugar scale.
        Brix = "brix",
        /// Drained dry.
        Empty = "empty",
    }
}

choices! {
    /// How the aim is said.
    AimBy {
        /// Safe on the coldest night, with something to spare.
        Night = "night",
        /// A percentage.
        Percent = "percent",
        /// A freezing point.
        Frost = "frost",
    }
}

choices! {
    /// How much comes out at one opening.
    DrainBy {
        /// The radiator's tap: 0.4 of the loop.
        Tap = "tap",
        /// Tap and block plugs: 0.8.
        TapAndBlock = "tap_and_block",
        /// All of it.
        Dry = "dry",
        /// A share of the user's own.
        Share = "share",
        /// A measured volume.
        Volume = "volume",
    }
}

choices! {
    /// Where the hot growth goes.
    TankBy {
        /// Not said.
        Unstated = "unstated",
        /// A pressurised expansion tank.
        Pressurised = "pressurised",
        /// An overflow bottle behind the cap.
        RecoveryBottle = "recovery_bottle",
        /// A radiator with nothing behind it.
        BareRadiator = "bare_radiator",
    }
}

choices! {
    /// How far the cap is trusted.
    CapAge {
        /// Unknown age: judged at 0.70 of its rating.
        Unknown = "unknown",
        /// New: 0.85.
        New = "new",
        /// A share of the user's own.
        Own = "own",
    }
}

choices! {
    /// What the cap to be fitted is made for.
    CapKind {
        /// Not said.
        Unstated = "unstated",
        /// A radiator with an overflow bottle, or with nothing.
        Radiator = "radiator",
        /// A pressure tank.
        PressureTank = "pressure_tank",
    }
}

choices! {
    /// Is an additive dosed?
    DoseBy {
        /// No.
        None = "none",
        /// Yes.
        Some = "some",
        /// And nothing else is done.
        Only = "only",
    }
}

choices! {
    /// The form a label states its rate in.
    RateBy {
        /// So much per so much.
        Ratio = "ratio",
        /// Percent of the loop.
        Percent = "percent",
        /// One part in N.
        OneIn = "one_in",
        /// One part to N.
        OneTo = "one_to",
        /// One bottle treats A to B.
        Bottle = "bottle",
        /// A measured and a wanted level.
        Level = "level",
        /// Not to be understood, one part in or to N: as the file has it.
        Kept = "kept",
    }
}

choices! {
    /// The form a label states its limit in.
    LimitBy {
        /// None on the label.
        None = "none",
        /// So much per so much.
        Ratio = "ratio",
        /// Percent of the loop.
        Percent = "percent",
        /// One part in N.
        OneIn = "one_in",
        /// One part to N.
        OneTo = "one_to",
        /// Whole bottles, each for up to so much.
        Bottle = "bottle",
        /// A highest level, where the rate is by level.
        Level = "level",
        /// In a form the page has no field for: as the file has it.
        Kept = "kept",
    }
}

choices! {
    /// What an earlier dose left.
    EarlierDose {
        /// None was ever put in.
        None = "none",
        /// A known amount.
        Amount = "amount",
        /// Nobody knows.
        Unknown = "unknown",
    }
}

choices! {
    /// What an additive is for.
    Purpose {
        /// Not said: a supplement where its rate goes by a test.
        Unsaid = "unsaid",
        /// A supplement.
        Supplement = "supplement",
        /// A supplement whose label asks for it in organic-acid coolants.
        ForOrganicAcid = "for_organic_acid",
        /// Anything else.
        Other = "other",
    }
}

choices! {
    /// What a supplement's test measures.
    TestOf {
        /// The label's own units.
        Label = "label",
        /// Nitrite as NO2.
        No2 = "no2",
        /// Nitrite as sodium nitrite.
        NaNo2 = "nano2",
        /// Molybdate.
        Molybdate = "molybdate",
        /// Nitrite, nobody said how: as the file has it.
        Nitrite = "nitrite",
    }
}

choices! {
    /// What supplement a stock brings.
    Brings {
        /// Nobody said.
        Unsaid = "unsaid",
        /// None.
        None = "none",
        /// So much in the label's own units.
        Label = "label",
        /// Nitrite as NO2.
        No2 = "no2",
        /// Nitrite as sodium nitrite.
        NaNo2 = "nano2",
        /// Molybdate.
        Molybdate = "molybdate",
        /// Nitrite, nobody said how: as the file has it.
        Nitrite = "nitrite",
    }
}

impl Purpose {
    /// From the file.
    pub fn of((kind, for_organic_acid): (Option<AdditiveKind>, Option<bool>)) -> Self {
        match (kind, for_organic_acid) {
            (Some(AdditiveKind::Other), _) => Self::Other,
            (_, Some(true)) => Self::ForOrganicAcid,
            (Some(AdditiveKind::Supplement), _) => Self::Supplement,
            (None, _) => Self::Unsaid,
        }
    }
}

impl TestOf {
    /// As the file says it.
    pub const fn substance(self) -> Option<Substance> {
        match self {
            Self::Label => None,
            Self::No2 => Some(Substance::No2),
            Self::NaNo2 => Some(Substance::NaNo2),
            Self::Molybdate => Some(Substance::Molybdate),
            Self::Nitrite => Some(Substance::Nitrite),
        }
    }

    /// From the file.
    pub const fn of(substance: Option<Substance>) -> Self {
        match substance {
            None => Self::Label,
            Some(Substance::No2) => Self::No2,
            Some(Substance::NaNo2) => Self::NaNo2,
            Some(Substance::Molybdate) => Self::Molybdate,
            Some(Substance::Nitrite) => Self::Nitrite,
        }
    }
}

impl Brings {
    /// What is measured of it; `None`: nothing is.
    pub const fn test(self) -> Option<TestOf> {
        match self {
            Self::Unsaid | Self::None => None,
            Self::Label => Some(TestOf::Label),
            Self::No2 => Some(TestOf::No2),
            Self::NaNo2 => Some(TestOf::NaNo2),
            Self::Molybdate => Some(TestOf::Molybdate),
            Self::Nitrite => Some(TestOf::Nitrite),
        }
    }

    /// From the file.
    pub fn of(supplement: Option<Supplement>) -> Self {
        match supplement {
            None => Self::Unsaid,
            Some(Supplement::None {}) => Self::None,
            Some(Supplement::Level { of, .. }) => {
                let test = Some(TestOf::of(of));
                let found = Self::ALL.iter().find(|b| b.test() == test);
                found.copied().unwrap_or(Self::Label)
            }
        }
    }
}

choices! {
    /// Whether a dose may stand above the mark, where nothing can be drained.
    AboveMark {
        /// It may not.
        No = "no",
        /// It may, if it fits when hot.
        Yes = "yes",
    }
}

impl TankBy {
    /// As the file says it.
    pub const fn tank(self) -> Option<Tank> {
        match self {
            Self::Unstated => None,
            Self::Pressurised => Some(Tank::Pressurised),
            Self::RecoveryBottle => Some(Tank::RecoveryBottle),
            Self::BareRadiator => Some(Tank::BareRadiator),
        }
    }

    /// From the file.
    pub const fn of(tank: Option<Tank>) -> Self {
        match tank {
            None => Self::Unstated,
            Some(Tank::Pressurised) => Self::Pressurised,
            Some(Tank::RecoveryBottle) => Self::RecoveryBottle,
            Some(Tank::BareRadiator) => Self::BareRadiator,
        }
    }
}

impl DrainBy {
    /// The share of the loop that comes out, where the choice itself says it. Tap: a service manual and a
    /// technician's answer (0.35 to 0.60); tap and block: two service manuals.
    pub const fn share(self) -> Option<f64> {
        match self {
            Self::Tap => Some(0.4),
            Self::TapAndBlock => Some(0.8),
            Self::Dry => Some(1.0),
            Self::Share | Self::Volume => None,
        }
    }
}

impl System {
    /// Is a volume unit of this system?
    pub const fn has_volume(self, unit: VolumeUnit) -> bool {
        match unit {
            VolumeUnit::L | VolumeUnit::Ml => matches!(self, Self::Metric),
            VolumeUnit::UsGal | VolumeUnit::UsQt | VolumeUnit::UsFlOz => matches!(self, Self::Us),
            VolumeUnit::ImpGal | VolumeUnit::ImpQt | VolumeUnit::ImpPt | VolumeUnit::ImpFlOz => {
                matches!(self, Self::Imperial)
            }
        }
    }

    /// Scale temperatures are shown on.
    pub const fn temperature(self) -> TemperatureUnit {
        match self {
            Self::Metric | Self::Imperial => TemperatureUnit::DegC,
            Self::Us => TemperatureUnit::DegF,
        }
    }

    /// Unit pressures are shown in.
    pub const fn pressure(self) -> PressureUnit {
        match self {
            Self::Metric => PressureUnit::Bar,
            Self::Us | Self::Imperial => PressureUnit::Psi,
        }
    }
}
