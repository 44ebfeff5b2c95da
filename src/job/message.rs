//! What a job is refused for, as data, and the one place that words it.
//!
//! A message names the key, the value and what was expected. The codes are a closed list, stable across versions.

use std::borrow::Cow;

use super::{
    answer::{Best, Fault},
    bidi::isolated,
    figure::{fixed, plain},
    limits::Limit,
};
use crate::engine::{
    dose::SLACK_LITRES,
    error::{OutOfRange, PropertyError},
    plan::task::MOST_STOCKS,
    quantity::{LabelFraction, in_litres},
    range::Range,
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
        /// Litres the loop holds at the mark.
        volume: f64,
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
    Reading(ReadingError),
    /// No strength of this glycol reaches the frost asked for.
    FrostOutOfReach(PropertyError),
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
            Self::Reading(ReadingError::AskSide { .. }) => "reading_needs_side",
            Self::Reading(ReadingError::FarSide { .. }) => "reading_beyond_tables",
            Self::Reading(ReadingError::TwoAnswers { .. }) => "reading_two_answers",
            Self::Reading(_) => "reading_out_of_range",
            Self::FrostOutOfReach(_) => "frost_out_of_reach",
            Self::Plan(PlanError::AimOutsideLimits { .. }) => "aim_outside_limits",
            Self::Plan(PlanError::NothingToPour) => "nothing_to_pour",
            Self::Plan(PlanError::TooManyStocks { .. }) => "too_many_stocks",
            Self::Plan(PlanError::Unreachable { .. }) => "aim_unreachable",
            Self::Plan(PlanError::Unrenewed { .. }) => "renewal_unreachable",
        }
    }

    /// In words, without the key.
    pub fn words(&self) -> String {
        match self {
            Self::OutOfRange { limit, typed } => {
                let (low, high) = (plain(limit.low), plain(limit.high));
                let text = [limit.phrase, " is ", &typed.words(), "; expected ", &low, " to ", &high, " ", limit.unit];
                text.concat().trim_end().to_owned()
            }
            Self::MoreThanVolume { what, value, volume } => [
                what,
                " is ",
                &fixed(*value, 2),
                " L; expected no more than the ",
                &fixed(*volume, 2),
                " L the loop holds at the mark",
            ]
            .concat(),
            Self::LimitsCrossed { low, high } => {
                ["low is ", &plain(*low), " % and high ", &plain(*high), " %; expected low below high"].concat()
            }
            Self::GlycolMissing { stock } => {
                ["\"", &isolated(stock), "\" has no glycol; expected ethylene or propylene for a stock above 0 %"].concat()
            }
            Self::NameTaken { stock } => {
                ["\"", &isolated(stock), "\" is on the shelf twice; expected a name of its own for each stock"].concat()
            }
            Self::NameMissing => "the name is empty; expected a name for each stock".to_owned(),
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
                if *twice { "\" is among the spots twice; expected a name of its own for each" } else { "\" is not among the spots" },
            ]
            .concat(),
            Self::Reading(e) => reading_words(e),
            Self::FrostOutOfReach(e) => property_words(e),
            Self::Plan(e) => plan_words(e),
        }
    }

    /// The refusal as the answer carries it.
    pub fn fault(&self, key: &str) -> Fault {
        let best = match self {
            Self::Plan(PlanError::Unreachable { best, .. }) => {
                best.map(|b| Best::of(&b.after, b.drawn, b.rounds))
            }
            _ => None,
        };
        Fault {
            code: self.code().to_owned(),
            key: key.to_owned(),
            message: [key, ": ", &self.words()].concat(),
            best,
            refusal: Some(Box::new(self.clone())),
        }
    }
}

fn plan_words(error: &PlanError) -> String {
    let whole = |share: f64| fixed(share * 100.0, 0);
    match error {
        PlanError::AimOutsideLimits { aim, low, high } => [
            "the aim is ",
            &whole(*aim),
            " %; expected ",
            &whole(*low),
            " to ",
            &whole(*high),
            " %, this loop's limits",
        ]
        .concat(),
        PlanError::NothingToPour => {
            "nothing on the shelf suits this loop; expected a stock of its glycol, or water"
                .to_owned()
        }
        PlanError::TooManyStocks { stocks } => [
            &stocks.to_string(),
            " stocks suit this loop; expected at most ",
            &MOST_STOCKS.to_string(),
        ]
        .concat(),
        PlanError::Unreachable {
            for_the_dose,
            best,
            remedies,
        } => {
            let mut words = if *for_the_dose {
                "there is no room for the dose beside the aim, with what comes out"
            } else {
                "the aim can't be reached with what is on the shelf and what comes out"
            }
            .to_owned();
            if let Some(best) = best {
                let percent = fixed(best.after.strength().percent(), 1);
                let drawn = fixed(in_litres(best.drawn), 2);
                let rounds = best.rounds.to_string();
                words += &["; the nearest is ", &percent, " %, "].concat();
                words += &match best.rounds {
                    0 => "as it stands".to_owned(),
                    1 if in_litres(best.drawn) <= SLACK_LITRES => {
                        "filled without a draw".to_owned()
                    }
                    1 => ["drawing ", &drawn, " L in one round"].concat(),
                    _ => ["drawing ", &drawn, " L in ", &rounds, " rounds"].concat(),
                };
            }
            words + &help_words(remedies)
        }
        PlanError::Unrenewed {
            asked,
            replaced,
            remedies,
        } => {
            let mut words = [
                "so much of the old coolant can't be replaced; expected ",
                &whole(*asked),
                " %",
            ]
            .concat();
            if let Some((rounds, share)) = replaced {
                // Downwards: what falls short must not read as if it did not.
                let share = fixed((share * 1000.0).floor() / 10.0, 1);
                let rounds = match rounds {
                    1 => "one round replaces".to_owned(),
                    n => [&n.to_string(), " rounds replace"].concat(),
                };
                words += &["; ", &rounds, " ", &share, " %"].concat();
            }
            words + &help_words(remedies)
        }
    }
}

fn help_words(remedies: &[Remedy]) -> String {
    let mut words = String::new();
    for (k, remedy) in remedies.iter().enumerate() {
        words += if k == 0 {
            "; what would help: "
        } else {
            ", or "
        };
        words += &remedy_words(remedy);
    }
    words
}

/// What would help, in words.
pub fn remedy_words(remedy: &Remedy) -> String {
    match remedy {
        Remedy::DrainMore(volume) => {
            let litres = in_litres(*volume);
            let decimals = if litres < 0.1 { 3 } else { 2 };
            ["drain ", &fixed(litres, decimals), " L before pouring"].concat()
        }
        Remedy::MoreRounds(rounds) => [&rounds.to_string(), " rounds in all"].concat(),
        Remedy::MoreOfAStock => "more of what is on the shelf".to_owned(),
        Remedy::StrongerStock => "a stronger stock of its glycol, such as concentrate".to_owned(),
        Remedy::WeakerStock => "a weaker stock, such as distilled water".to_owned(),
        Remedy::BothStocks { drain: None } => {
            "both concentrate and distilled water, enough of each".to_owned()
        }
        Remedy::BothStocks {
            drain: Some(volume),
        } => [
            &remedy_words(&Remedy::DrainMore(*volume)),
            ", and both concentrate and distilled water, enough of each",
        ]
        .concat(),
    }
}

/// A value outside what a property or an instrument covers.
fn range_words(e: &OutOfRange) -> String {
    let Range {
        quantity,
        low,
        high,
        unit,
    } = e.range;
    // A table's end and a value converted run to many digits: the ends are rounded inwards, so that what is promised
    // holds, and the value finer than they are.
    let decimals = if unit.is_empty() { 4 } else { 1 };
    let scale = f64::from(10_u32.pow(decimals));
    let low = plain((low * scale - 1e-6).ceil() / scale);
    let high = plain((high * scale + 1e-6).floor() / scale);
    let value = plain((e.value * scale * 100.0).round() / (scale * 100.0));
    let unit = if unit.is_empty() {
        String::new()
    } else {
        [" ", unit].concat()
    };
    [
        quantity,
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
    match error {
        PropertyError::OutOfRange(e) => range_words(e),
        PropertyError::Frozen {
            temperature_c,
            freezing_point_c,
        } => [
            "temperature ",
            &plain(*temperature_c),
            " degC is below this mix's freezing point ",
            &fixed(*freezing_point_c, 1),
            " degC",
        ]
        .concat(),
        PropertyError::NoData(why) => (*why).to_owned(),
    }
}

fn reading_words(error: &ReadingError) -> String {
    let percent = |strength: &LabelFraction| fixed(strength.percent(), 0);
    match error {
        ReadingError::OutOfRange(e) => range_words(e),
        ReadingError::Property(e) => property_words(e),
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
