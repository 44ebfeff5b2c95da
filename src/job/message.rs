//! What a job is refused for, as data, and the one place that words it.
//!
//! A message names the key, the value and what was expected. The codes are a closed list, stable across versions.

use std::borrow::Cow;

use super::{
    answer::{Best, Fault},
    bidi::isolated,
    figure::{fixed, inward, outside, plain},
    limits::Limit,
    units::{IntervalUnit, LengthUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};
use crate::engine::{
    dose::SLACK_LITRES,
    error::{OutOfRange, PropertyError},
    plan::task::MOST_STOCKS,
    quantity::{LabelFraction, Volume, in_litres},
    reading::ReadingError,
};

pub use crate::engine::plan::{PlanError, Remedy};

/// Why a file or a loop is refused.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// A value outside its limit; `value` in the limit's unit, `typed` as the file has it.
    OutOfRange {
        /// The limit.
        limit: Limit,
        /// As the file has it.
        typed: Typed,
    },
    /// More than the loop holds.
    MoreThanVolume {
        /// What, as a phrase.
        what: &'static str,
        /// Litres asked for.
        value: f64,
        /// Litres the system holds, filled to the mark.
        volume: f64,
        /// The unit it was asked in.
        unit: VolumeUnit,
    },
    /// More than is in the loop before the job.
    MoreThanHeld {
        /// What, as a phrase.
        what: &'static str,
        /// Litres asked for.
        value: f64,
        /// Litres in the loop.
        held: f64,
        /// The unit it was asked in.
        unit: VolumeUnit,
    },
    /// Lowest above highest.
    LimitsCrossed {
        /// Percent.
        low: f64,
        /// Percent.
        high: f64,
    },
    /// A stock above 0 % that does not say its glycol.
    GlycolMissing {
        /// Its name.
        stock: String,
    },
    /// Two stocks of one name.
    NameTaken {
        /// The name.
        stock: String,
    },
    /// A stock without a name.
    NameMissing,
    /// `parts` wants exactly one of `one_in` and `one_to`.
    PartsUnclear,
    /// A bottle that treats more at least than at most.
    TreatsCrossed,
    /// Levels in units that do not match.
    LevelUnitsDiffer,
    /// Nitrite, without its form.
    NitriteUnclear,
    /// A substance in label units.
    LevelUnitUnfit,
    /// What a stock brings is measured otherwise than what the additive raises.
    TestsDiffer {
        /// The stock's name.
        stock: String,
    },
    /// Lowest pH above highest.
    PhCrossed,
    /// More decimals than the money, or an exact sum, can take.
    TooFine {
        /// As the file has it.
        typed: f64,
        /// The most there may be.
        decimals: u32,
    },
    /// A step the card does not have.
    NoSuchStep {
        /// Its id.
        id: String,
    },
    /// An amount for a step that takes none, or none for one that needs it.
    AmountUnfit {
        /// The step's id.
        id: String,
    },
    /// An amount that can hardly have filled the loop to the mark.
    NotTheMark {
        /// By how much it would stand above the mark by it; below: negative.
        over: f64,
        /// What the loop holds.
        volume: f64,
    },
    /// A date that is none.
    DateUnclear {
        /// As the file has it.
        date: String,
    },
    /// Where a reading is wanted, something that is none.
    NotAReading,
    /// Two spots of one name, or a spot nobody listed.
    SpotName {
        /// The name.
        spot: String,
        /// Listed twice; else not at all.
        twice: bool,
    },
    /// The reading has no answer, or two.
    Reading {
        /// Why.
        error: ReadingError,
        /// The scale its temperatures were typed in.
        scale: TemperatureUnit,
    },
    /// No strength of this glycol reaches the frost asked for: a percentage can still be asked for.
    FrostOutOfReach {
        /// Why.
        error: PropertyError,
        /// As the file has it.
        typed: Typed,
    },
    /// Given, and within its limit, but outside what a figure's model covers: the figure is blank.
    NoFigure {
        /// What is not shown, as a phrase.
        figure: &'static str,
        /// Why.
        error: PropertyError,
        /// The unit it was typed in.
        unit: Cow<'static, str>,
    },
    /// There is no plan.
    Plan(PlanError),
}

/// A value as the file has it, and its unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The number.
    pub value: f64,
    /// Its unit as the file spells it; empty where it has none.
    pub unit: Cow<'static, str>,
}

impl Typed {
    /// A number and its unit.
    pub fn new(value: f64, unit: impl Into<Cow<'static, str>>) -> Self {
        Self {
            value,
            unit: unit.into(),
        }
    }

    fn words(&self) -> String {
        [&plain(self.value), " ", self.unit.as_ref()]
            .concat()
            .trim_end()
            .to_owned()
    }
}

/// Every code a loop or a file can be refused with.
pub const CODES: &[&str] = &[
    "syntax",
    "newer_format",
    "unknown_key",
    "missing_key",
    "wrong_unit",
    "wrong_value",
    "wrong_type",
    "out_of_range",
    "more_than_volume",
    "more_than_held",
    "limits_crossed",
    "glycol_missing",
    "name_taken",
    "name_missing",
    "parts_unclear",
    "treats_crossed",
    "level_units_differ",
    "nitrite_unclear",
    "level_unit_unfit",
    "tests_differ",
    "ph_crossed",
    "too_fine",
    "no_such_step",
    "amount_unfit",
    "not_the_mark",
    "date_unclear",
    "not_a_reading",
    "spot_taken",
    "spot_unknown",
    "reading_out_of_range",
    "reading_needs_side",
    "reading_beyond_tables",
    "reading_two_answers",
    "frost_out_of_reach",
    "no_figure",
    "aim_outside_limits",
    "nothing_to_pour",
    "too_many_stocks",
    "aim_unreachable",
    "renewal_unreachable",
];

impl Refusal {
    /// Its code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::OutOfRange { .. } => "out_of_range",
            Self::MoreThanVolume { .. } => "more_than_volume",
            Self::MoreThanHeld { .. } => "more_than_held",
            Self::LimitsCrossed { .. } => "limits_crossed",
            Self::GlycolMissing { .. } => "glycol_missing",
            Self::NameTaken { .. } => "name_taken",
            Self::NameMissing => "name_missing",
            Self::PartsUnclear => "parts_unclear",
            Self::TreatsCrossed => "treats_crossed",
            Self::LevelUnitsDiffer => "level_units_differ",
            Self::NitriteUnclear => "nitrite_unclear",
            Self::LevelUnitUnfit => "level_unit_unfit",
            Self::TestsDiffer { .. } => "tests_differ",
            Self::PhCrossed => "ph_crossed",
            Self::TooFine { .. } => "too_fine",
            Self::NoSuchStep { .. } => "no_such_step",
            Self::AmountUnfit { .. } => "amount_unfit",
            Self::NotTheMark { .. } => "not_the_mark",
            Self::DateUnclear { .. } => "date_unclear",
            Self::NotAReading => "not_a_reading",
            Self::SpotName { twice: true, .. } => "spot_taken",
            Self::SpotName { twice: false, .. } => "spot_unknown",
            Self::Reading { error, .. } => match error {
                ReadingError::AskSide { .. } => "reading_needs_side",
                ReadingError::FarSide { .. } => "reading_beyond_tables",
                ReadingError::TwoAnswers { .. } => "reading_two_answers",
                _ => "reading_out_of_range",
            },
            Self::FrostOutOfReach { .. } => "frost_out_of_reach",
            Self::NoFigure { .. } => "no_figure",
            Self::Plan(PlanError::AimOutsideLimits { .. }) => "aim_outside_limits",
            Self::Plan(PlanError::NothingToPour) => "nothing_to_pour",
            Self::Plan(PlanError::TooManyStocks { .. }) => "too_many_stocks",
            Self::Plan(PlanError::Unreachable { .. }) => "aim_unreachable",
            Self::Plan(PlanError::Unrenewed { .. }) => "renewal_unreachable",
        }
    }

    /// In words, without the key; in the units of what was typed, amounts of a plan in litres.
    pub fn words(&self) -> String {
        self.words_in(VolumeUnit::L)
    }

    /// The same, amounts of a plan in a unit of the user's.
    pub fn words_in(&self, unit: VolumeUnit) -> String {
        match self {
            Self::OutOfRange { limit, typed } => {
                let (low, high, unit) = ends(limit, &typed.unit);
                let text = [limit.phrase, " is ", &typed.words(), "; expected ", &low, " to ", &high, " ", unit];
                text.concat().trim_end().to_owned()
            }
            Self::MoreThanVolume { what, value, volume, unit } => {
                more_than(what, [*value, *volume], *unit, "the system holds, filled to the mark")
            }
            Self::MoreThanHeld { what, value, held, unit } => {
                more_than(what, [*value, *held], *unit, "of old coolant in the system")
            }
            Self::LimitsCrossed { low, high } => {
                ["low is ", &plain(*low), " % and high ", &plain(*high), " %; expected low below high"].concat()
            }
            Self::GlycolMissing { stock } => {
                ["\"", &isolated(stock), "\" has no glycol; expected ethylene or propylene for a product above 0 %"].concat()
            }
            Self::NameTaken { stock } => {
                ["\"", &isolated(stock), "\" is on the shelf twice; expected a name of its own for each product"].concat()
            }
            Self::NameMissing => "the name is empty; expected a name for each product".to_owned(),
            Self::PartsUnclear => "expected exactly one of one_in and one_to: \"1:20\" is one part in 20 or one part to 20, and only the label can say which".to_owned(),
            Self::TreatsCrossed => "treats_from is above treats_to; expected it below".to_owned(),
            Self::LevelUnitsDiffer => "now, aim and raises have different units; expected one unit for all three".to_owned(),
            Self::NitriteUnclear => "nitrite is said as NO2 or as NaNO2 (sodium nitrite), half as much again; expected NO2 or NaNO2, and only the kit or the label can say which".to_owned(),
            Self::LevelUnitUnfit => "nitrite and molybdate are measured in mg/L or ppm; expected one of the two, or units/US_gal without a substance".to_owned(),
            Self::TestsDiffer { stock } => {
                ["the supplement in \"", stock, "\" is measured otherwise than the additive's test; expected one test for both"].concat()
            }
            Self::PhCrossed => "the lowest pH is above the highest; expected it below".to_owned(),
            Self::TooFine { typed, decimals } => {
                [&plain(*typed), " has more decimals than can be counted; expected at most ", &decimals.to_string()].concat()
            }
            Self::NoSuchStep { id } => ["the card has no step \"", id, "\""].concat(),
            Self::AmountUnfit { id } => {
                ["step \"", id, "\" takes no amount; expected one only for a draw, a dose, a pour or a check"].concat()
            }
            Self::NotTheMark { over, volume } => [
                "by this amount it stands ",
                &plain((over.abs() * 100.0).round() / 100.0),
                if *over > 0.0 { " L above" } else { " L below" },
                " the mark of ",
                &plain(*volume),
                " L; expected \"at_mark\": false where it ran out",
            ]
            .concat(),
            Self::DateUnclear { date } => {
                ["\"", &isolated(date), "\" is no date; expected year, month and day, such as 2026-03-31"].concat()
            }
            Self::NotAReading => "expected what an instrument reads now, or plain water".to_owned(),
            Self::SpotName { spot, twice } => [
                "\"",
                &isolated(spot),
                if *twice { "\" is among the places twice; expected a name of its own for each" } else { "\" is not among the places" },
            ]
            .concat(),
            Self::Reading { error, scale } => reading_words(error, scale.text()),
            Self::FrostOutOfReach { error, typed } => frost_words(error, typed),
            Self::NoFigure { figure, error, unit } => {
                [figure, " is not shown: ", &property_words_in(error, unit)].concat()
            }
            Self::Plan(e) => plan_words(e, unit),
        }
    }

    /// The refusal as the answer carries it.
    pub fn fault(&self, key: &str) -> Fault {
        self.fault_in(key, VolumeUnit::L)
    }

    /// The same, amounts of a plan in a unit of the user's.
    pub fn fault_in(&self, key: &str, unit: VolumeUnit) -> Fault {
        let best = match self {
            Self::Plan(PlanError::Unreachable { best, .. }) => {
                best.map(|b| Best::of(&b.after, b.drawn, b.rounds))
            }
            _ => None,
        };
        let proven = match self {
            Self::Plan(
                PlanError::Unreachable { proven, .. } | PlanError::Unrenewed { proven, .. },
            ) => Some(*proven),
            _ => None,
        };
        Fault {
            proven,
            code: self.code().to_owned(),
            key: key.to_owned(),
            message: [key, ": ", &self.words_in(unit)].concat(),
            best,
            refusal: Some(Box::new(self.clone())),
        }
    }
}

/// A limit's ends in the unit something was typed in, and that unit; in its own, where that is none of its kind.
fn ends<'a>(limit: &Limit, typed: &'a str) -> (String, String, &'a str) {
    match into(limit.unit, typed) {
        Some((times, plus)) => (
            inward(limit.low * times + plus, true),
            inward(limit.high * times + plus, false),
            typed,
        ),
        None => (plain(limit.low), plain(limit.high), limit.unit),
    }
}

/// How a number in one unit reads in another of its kind: times so much, plus so much. `None`: the same unit, or none of
/// its kind.
fn into(own: &str, other: &str) -> Option<(f64, f64)> {
    fn named<U: Copy>(all: &[U], text: fn(U) -> &'static str, name: &str) -> Option<U> {
        all.iter().copied().find(|u| text(*u) == name)
    }
    if own == other {
        return None;
    }
    match own {
        "L" => named(VolumeUnit::ALL, VolumeUnit::text, other).map(|u| (1.0 / u.litres(), 0.0)),
        "degC" => named(TemperatureUnit::ALL, TemperatureUnit::text, other).map(|_| (1.8, 32.0)),
        "K" => {
            named(IntervalUnit::ALL, IntervalUnit::text, other).map(|u| (1.0 / u.kelvins(), 0.0))
        }
        "kPa" => named(PressureUnit::ALL, PressureUnit::text, other)
            .map(|u| (1.0 / u.kilopascals(), 0.0)),
        "m" => named(LengthUnit::ALL, LengthUnit::text, other).map(|u| (1.0 / u.metres(), 0.0)),
        _ => None,
    }
}

/// Two volumes in litres, the first above the second, in the unit the first was typed in.
fn more_than(what: &str, litres: [f64; 2], unit: VolumeUnit, whose: &str) -> String {
    let [value, most] = litres.map(|l| l / unit.litres());
    let (value, [most]) = outside(value, [most], 2);
    let unit = unit.text();
    [
        what,
        " is ",
        &value,
        " ",
        unit,
        "; expected no more than the ",
        &most,
        " ",
        unit,
        " ",
        whose,
    ]
    .concat()
}

/// A frost no table reaches, and what can be asked for instead.
fn frost_words(error: &PropertyError, typed: &Typed) -> String {
    let why = match error {
        PropertyError::OutOfRange(e) => {
            let (times, plus) = into(e.range.unit, &typed.unit).unwrap_or((1.0, 0.0));
            let end = ((e.range.low * times + plus) * 10.0).ceil() / 10.0;
            [&plain(end), " ", &typed.unit, " or milder"].concat()
        }
        other => property_words_in(other, &typed.unit),
    };
    [
        "no table gives a strength that freezes at ",
        &typed.words(),
        "; expected ",
        &why,
        ", or a target in percent",
    ]
    .concat()
}

fn plan_words(error: &PlanError, unit: VolumeUnit) -> String {
    match error {
        PlanError::AimOutsideLimits { aim, low, high } => {
            let (aim, [low, high]) = outside(aim * 100.0, [low * 100.0, high * 100.0], 0);
            [
                "the target is ",
                &aim,
                " %; expected ",
                &low,
                " to ",
                &high,
                " %, this system's limits",
            ]
            .concat()
        }
        PlanError::NothingToPour => {
            "nothing on the shelf suits this system; expected a product of its glycol type, or water"
                .to_owned()
        }
        PlanError::TooManyStocks { stocks } => [
            &stocks.to_string(),
            " products suit this system; expected at most ",
            &MOST_STOCKS.to_string(),
        ]
        .concat(),
        PlanError::Unreachable {
            for_the_dose,
            best,
            remedies,
            ..
        } => {
            let mut words = if *for_the_dose {
                "there is no room for the dose beside the target, with what comes out"
            } else {
                "the target can't be reached with what is on the shelf and what comes out"
            }
            .to_owned();
            if let Some(best) = best {
                let percent = fixed(best.after.strength().percent(), 1);
                let drawn = fixed(in_litres(best.drawn) / unit.litres(), 2);
                let rounds = best.rounds.to_string();
                words += &["; the nearest is ", &percent, " %, "].concat();
                words += &match best.rounds {
                    0 => "as it stands".to_owned(),
                    1 if in_litres(best.drawn) <= SLACK_LITRES => {
                        "filled without draining".to_owned()
                    }
                    1 => ["draining ", &drawn, " ", unit.text(), " in one round"].concat(),
                    _ => [
                        "draining ",
                        &drawn,
                        " ",
                        unit.text(),
                        " in ",
                        &rounds,
                        " rounds",
                    ]
                    .concat(),
                };
            }
            words + &help_words(remedies, unit)
        }
        PlanError::Unrenewed {
            asked,
            replaced,
            remedies,
            ..
        } => {
            let mut words = [
                "so much of the old coolant can't be renewed; expected ",
                &plain((asked * 1e8).round() / 1e6),
                " %",
            ]
            .concat();
            if let Some((rounds, share)) = replaced {
                // Downwards: what falls short must not read as if it did not.
                let share = fixed((share * 1000.0).floor() / 10.0, 1);
                let rounds = match rounds {
                    1 => "one round renews".to_owned(),
                    n => [&n.to_string(), " rounds renew"].concat(),
                };
                words += &["; ", &rounds, " ", &share, " %"].concat();
            }
            words + &help_words(remedies, unit)
        }
    }
}

fn help_words(remedies: &[Remedy], unit: VolumeUnit) -> String {
    let mut words = String::new();
    for (k, remedy) in remedies.iter().enumerate() {
        words += if k == 0 {
            "; what would help: "
        } else {
            ", or "
        };
        words += &remedy_words(remedy, unit);
    }
    words
}

/// What would help, in words.
pub fn remedy_words(remedy: &Remedy, unit: VolumeUnit) -> String {
    let amount = |volume: Volume| {
        let amount = in_litres(volume) / unit.litres();
        let decimals = if amount < 0.1 { 3 } else { 2 };
        [&fixed(amount, decimals), " ", unit.text()].concat()
    };
    match remedy {
        Remedy::DrainMore(volume) => ["drain ", &amount(*volume), " before pouring"].concat(),
        Remedy::StandAboveMark(volume) => [
            "let the additive stand ",
            &amount(*volume),
            " above the mark (additive.above_mark): it fits when hot",
        ]
        .concat(),
        Remedy::MoreRounds(rounds) => [&rounds.to_string(), " rounds in all"].concat(),
        Remedy::MoreOfAStock => "more of what is on the shelf".to_owned(),
        Remedy::SayWhatIsBrought => {
            "say of each product what supplement it brings: a fully formulated one leaves none to dose".to_owned()
        }
        Remedy::StrongerStock => {
            "a stronger product of its glycol type, such as concentrate".to_owned()
        }
        Remedy::WeakerStock => "a weaker product, such as distilled water".to_owned(),
        Remedy::BothStocks { drain: None } => {
            "both concentrate and distilled water, enough of each".to_owned()
        }
        Remedy::BothStocks {
            drain: Some(volume),
        } => [
            &remedy_words(&Remedy::DrainMore(*volume), unit),
            ", and both concentrate and distilled water, enough of each",
        ]
        .concat(),
    }
}

/// A value outside what a property or an instrument covers, in the unit it was typed in where that is of its kind.
fn range_words(e: &OutOfRange, typed: &str) -> String {
    let own = e.range.unit;
    let (times, plus) = into(own, typed).unwrap_or((1.0, 0.0));
    let unit = if into(own, typed).is_some() {
        typed
    } else {
        own
    };
    let [low, high, value] = [e.range.low, e.range.high, e.value].map(|x| x * times + plus);
    // A table's end and a value converted run to many digits: the ends are rounded inwards, so that what is promised
    // holds, and the value to as many decimals as it takes to be seen outside.
    let first = if unit.is_empty() { 4 } else { 1 };
    let scale = f64::from(10_u32.pow(first));
    let low = (low * scale - 1e-6).ceil() / scale;
    let high = (high * scale + 1e-6).floor() / scale;
    let (value, [low, high]) = outside(value, [low, high], first + 2);
    let unit = if unit.is_empty() {
        String::new()
    } else {
        [" ", unit].concat()
    };
    [
        e.range.quantity,
        " ",
        &value,
        &unit,
        " is outside ",
        &low,
        " to ",
        &high,
        &unit,
    ]
    .concat()
}

/// Why a property has no value, in words.
pub fn property_words(error: &PropertyError) -> String {
    property_words_in(error, "")
}

/// The same in the unit something was typed in.
fn property_words_in(error: &PropertyError, typed: &str) -> String {
    match error {
        PropertyError::OutOfRange(e) => range_words(e, typed),
        PropertyError::Frozen {
            temperature_c,
            freezing_point_c,
        } => {
            let (times, plus) = into("degC", typed).unwrap_or((1.0, 0.0));
            let unit = if times > 1.0 { typed } else { "degC" };
            let (t, [freezes]) = outside(
                temperature_c * times + plus,
                [freezing_point_c * times + plus],
                1,
            );
            [
                "temperature ",
                &t,
                " ",
                unit,
                " is below this mix's freezing point ",
                &freezes,
                " ",
                unit,
            ]
            .concat()
        }
        PropertyError::NoData(why) => (*why).to_owned(),
    }
}

fn reading_words(error: &ReadingError, typed: &str) -> String {
    let percent = |strength: &LabelFraction| fixed(strength.percent(), 0);
    match error {
        ReadingError::OutOfRange(e) => range_words(e, typed),
        ReadingError::Property(e) => property_words_in(e, typed),
        ReadingError::AskSide { thin, thick_beyond } => [
            "two strengths freeze here, ",
            &percent(thin),
            " % and one above ",
            &percent(thick_beyond),
            " %: the side of the turning point is needed",
        ]
        .concat(),
        ReadingError::FarSide { beyond } => [
            "no table tells a strength beyond ",
            &percent(beyond),
            " % from its freezing point",
        ]
        .concat(),
        ReadingError::TwoAnswers { above, reads } => [
            "above ",
            &fixed(*reads, 3),
            ", the gravity of ",
            &percent(above),
            " %, two strengths show the same gravity",
        ]
        .concat(),
        ReadingError::BadPlusMinus(p) => {
            ["plus or minus ", &plain(*p), " is not a half-width"].concat()
        }
    }
}
