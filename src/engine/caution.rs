//! Cautions as data: a closed list. Words are chosen above, by an exhaustive match.
//!
//! Absent on purpose: the four that always stand on the card (never open hot, poison, waste, the label's word);
//! they depend on nothing.

/// The weight of a caution, heaviest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Do not go on.
    Stop,
    /// Think before going on.
    Mind,
    /// Good to know.
    Note,
}

impl Weight {
    /// As the answer spells it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Mind => "mind",
            Self::Note => "note",
        }
    }
}

/// What of the mixing water is over its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaterProperty {
    /// Chloride, mg/L.
    Chloride,
    /// Sulphate, mg/L.
    Sulphate,
    /// Chloride and sulphate together, mg/L.
    ChlorideAndSulphate,
    /// Hardness as CaCO₃, mg/L.
    Hardness,
    /// Dissolved solids, mg/L.
    Solids,
    /// pH.
    Ph,
}

/// What of the coolant is outside its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoolantProperty {
    /// pH.
    Ph,
    /// Reserve alkalinity, mL.
    ReserveAlkalinity,
}

macro_rules! cautions {
    ($($(#[$doc:meta])* $name:ident $({ $($field:ident : $ty:ty),+ $(,)? })? = $code:literal $weight:ident;)+) => {
        /// One caution and the figures it speaks of. Percent is the label's; litres count at 20 °C; `_k` is K.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Caution { $($(#[$doc])* $name $({ $(#[allow(missing_docs)] $field: $ty),+ })?),+ }

        impl Caution {
            /// Every code there is, in the order of the list.
            pub const CODES: &'static [&'static str] = &[$($code),+];

            /// Its code, stable across versions.
            pub const fn code(&self) -> &'static str {
                match self { $(Self::$name $({ $($field: _),+ })? => $code),+ }
            }

            /// Its weight.
            pub const fn weight(&self) -> Weight {
                match self { $(Self::$name $({ $($field: _),+ })? => Weight::$weight),+ }
            }

            /// The figures it carries, by field name.
            pub fn numbers(&self) -> Vec<(&'static str, f64)> {
                match self {
                    $(Self::$name $({ $($field),+ })? => {
                        #[allow(unused_mut)]
                        let mut list: Vec<(&'static str, f64)> = Vec::new();
                        $($(if let Some(n) = Figure::figure($field) { list.push((stringify!($field), n)); })+)?
                        list
                    })+
                }
            }
        }
    };
}

/// A field that may be a figure.
trait Figure {
    fn figure(&self) -> Option<f64>;
}

impl Figure for f64 {
    fn figure(&self) -> Option<f64> {
        Some(*self)
    }
}

impl Figure for usize {
    fn figure(&self) -> Option<f64> {
        Some(*self as f64)
    }
}

impl Figure for WaterProperty {
    fn figure(&self) -> Option<f64> {
        None
    }
}

impl Figure for CoolantProperty {
    fn figure(&self) -> Option<f64> {
        None
    }
}

cautions! {
    /// A battery or fuel-cell loop wants a fluid that hardly conducts: no plan.
    LowConductivityLoop = "low_conductivity_loop" Stop;
    /// The aim is above 70 %: no plan.
    AboveSeventy { percent: f64 } = "above_70" Stop;
    /// The mix freezes above the coldest it must survive.
    FreezesFirst { short_k: f64 } = "freeze_room_negative" Stop;
    /// The mix boils below the hottest it runs, at the weakest cap.
    BoilsFirst { short_k: f64 } = "boil_room_negative" Stop;
    /// The cap to be fitted, at its weakest, lets it boil below the hottest it runs.
    OtherCapBoilsFirst { short_k: f64 } = "other_cap_boils_first" Stop;
    /// A cap above the maker's rating loads radiator, tank, hoses and heater core with more than they are made for.
    CapAboveMaker { kpa: f64, maker_kpa: f64 } = "cap_above_maker" Stop;
    /// The cap to be fitted is made for another kind of tank.
    CapOfAnotherKind = "cap_of_another_kind" Stop;
    /// Plain water in the loop, and nobody said that no frost comes: a frost bursts it.
    WaterOnly = "water_only" Stop;
    /// What an earlier dose left is above the label's limit already.
    OverLimit { carried_over_litres: f64, limit_litres: f64 } = "over_limit" Stop;
    /// A supplement goes into an organic-acid coolant, and its label does not ask for that.
    SupplementIntoOrganicAcid = "supplement_into_organic_acid" Stop;
    /// The hot volume does not fit.
    OverfillHot { short_litres: f64 } = "overfill_hot" Mind;
    /// Hot, less than half the tank's cold air is left.
    TankRoomThin { left_litres: f64, wanted_litres: f64 } = "tank_room_thin" Mind;
    /// On the coldest night it shrinks to below the minimum mark.
    BelowMinimumCold { short_litres: f64 } = "below_minimum_cold" Mind;
    /// Values outside their limits were left out: what depends on them is blank.
    LeftOut = "left_out" Mind;
    /// It stands above the mark: that is drawn off first.
    OverfillCold { over_litres: f64 } = "overfill_cold" Mind;
    /// The dose was cut to what the label allows at the unlucky end.
    DoseCut { asked_litres: f64, given_litres: f64 } = "dose_cut" Mind;
    /// The dose was cut to what is on the shelf.
    DoseShort { asked_litres: f64, given_litres: f64 } = "dose_short" Mind;
    /// Nobody said whether a stock brings the supplement: it was counted as bringing none.
    SupplementUnsaid { stock: usize } = "supplement_unsaid" Mind;
    /// A stock needs a first charge of supplement, and none is planned.
    FirstCharge { stock: usize } = "first_charge" Mind;
    /// More of another chemistry than an extended-life coolant takes.
    ForeignChemistry { percent: f64, limit: f64 } = "foreign_chemistry" Mind;
    /// A figure of the coolant is outside the limit typed beside it.
    CoolantTest { property: CoolantProperty, value: f64, limit: f64 } = "coolant_test" Mind;
    /// There is too little of an additive for all loops: so much of what the label asks for is for this one.
    AdditiveShared { asked_litres: f64, given_litres: f64 } = "additive_shared" Mind;
    /// What is in there from an earlier dose is unknown: only the renewed part was dosed.
    EarlierDoseUnknown = "earlier_dose_unknown" Mind;
    /// Too little coolant for a whole bottle, of which the label only says what it treats at most: a part of one.
    PartOfABottle { treats_litres: f64 } = "part_of_a_bottle" Mind;
    /// The label names no limit.
    NoLabelLimit = "no_label_limit" Mind;
    /// Below the strength the inhibitor needs.
    BelowInhibitorMinimum { percent: f64, minimum: f64 } = "below_inhibitor_minimum" Mind;
    /// Above 60 %: carries less heat, and past the turning point protects less.
    AboveSixty { percent: f64 } = "above_60" Mind;
    /// It must survive a frost, and is too strong for any table to say where it freezes.
    FrostUnknown { percent: f64 } = "frost_unknown" Mind;
    /// At the worst end of its range the mix freezes above the coldest: to be read again, nothing more to be drawn.
    FreezesFirstAtWorst { short_k: f64, worst_c: f64 } = "freeze_room_worst" Mind;
    /// Under the wanted margin to the coldest.
    FreezeRoomThin { room_k: f64, wanted_k: f64 } = "freeze_room_thin" Mind;
    /// Under 15 K between the peak and boiling at the weakest cap.
    BoilRoomThin { room_k: f64, wanted_k: f64 } = "boil_room_thin" Mind;
    /// A cap below the maker's rating: what it costs at the weakest.
    CapBelowMaker { kpa: f64, maker_kpa: f64, cost_k: f64 } = "cap_below_maker" Mind;
    /// Another cap is to be fitted, and nobody said which rating the maker asks for.
    CapMakerUnknown = "cap_maker_unknown" Mind;
    /// After shutdown, with heat soak, it boils under the cap to be fitted at its weakest.
    BoilsAfterSoak { short_k: f64, soak_k: f64 } = "boils_after_soak" Mind;
    /// A stock of the other glycol was left on the shelf.
    DifferentGlycol { stock: usize } = "different_glycol" Mind;
    /// A stock is poured of another inhibitor family than what stays in the loop, or than what is poured before it.
    DifferentFamily { stock: usize } = "different_family" Mind;
    /// There is too little of a stock for all loops: so much of it is for this one.
    StockShared { stock: usize, left_litres: f64 } = "stock_shared" Mind;
    /// Nobody knows what is in it: drained and refilled instead of guessed.
    UnknownContents = "unknown_contents" Mind;
    /// The mixing water is over a published limit.
    HardWater { property: WaterProperty, value: f64, limit: f64 } = "hard_water" Mind;
    /// Far less went in before it stood at the mark than there was room for: it stood less low, less came out, it holds
    /// less, or there is air in it.
    TookLess { said_litres: f64, took_litres: f64 } = "took_less" Mind;
    /// Propylene above 70 %: its density is uncertain by 0.6 %.
    DensityUncertain = "density_uncertain" Mind;
    /// What is poured brings the supplement: it was counted, and only what is missing is dosed.
    SupplementBrought = "supplement_brought" Note;
    /// The frost asked for needs less than the loop's lowest strength, which was planned instead.
    RaisedToMinimum { needed_percent: f64, minimum: f64 } = "raised_to_minimum" Note;
    /// A level seen corrects how far below the mark it stood.
    MissingCorrected { typed_litres: f64, litres: f64 } = "missing_corrected" Note;
    /// The same of what it holds at the mark.
    CapacityCorrected { typed_litres: f64, litres: f64 } = "capacity_corrected" Note;
    /// The same of what a flush had left in it.
    LeftBehindCorrected { typed_litres: f64, litres: f64 } = "left_behind_corrected" Note;
    /// The frost tables end below this strength.
    FrostTableEnds { percent: f64 } = "frost_table_ends" Note;
    /// A finer measure than the usual one is needed, the loop being so small.
    FinerStep { step_litres: f64 } = "finer_step" Note;
    /// It lands inside the aim's tolerance, not on it.
    LandsWithin { percent: f64, aim: f64 } = "lands_within" Note;
    /// Figures asked for are blank: no model covers them.
    NoFigure = "no_figure" Note;
    /// The additive stands above the mark, as the user allows, and fits when hot.
    DoseAboveMark { over_litres: f64 } = "dose_above_mark" Note;
    /// Filled warm, it holds less than at 20 °C.
    FilledWarm { stands_litres: f64, holds_litres: f64 } = "filled_warm" Note;
    /// Nobody said what stands in the overflow bottle, which is drawn back as it cools.
    BottleUnknown = "bottle_unknown" Note;
    /// What stands in the overflow bottle is drawn back: the loop is made so that both together come to so much.
    BottleDrawnIn { litres: f64, percent: f64, together: f64 } = "bottle_drawn_in" Note;
    /// Plain water where no frost comes: nothing in it stops corrosion.
    WaterUninhibited = "water_uninhibited" Note;
    /// There is no pressure until the loop is warm, nor with a leak.
    NoPressureCold = "no_pressure_cold" Note;
    /// On the hottest metal it boils sooner: not judged.
    LocalBoiling = "local_boiling" Note;
    /// Propylene's boiling point is an estimate, ± 0.7 K.
    BoilingEstimated = "boiling_estimated" Note;
    /// What glycol costs in cooling.
    CarriesLess { film_vs_water: f64, heat_carried_vs_water: f64 } = "carries_less" Note;
    /// Does the vehicle's maker allow an additive?
    AskMakerAdditive = "ask_maker_additive" Note;
}
