//! What a job is refused for, as data, and the one place that words it.
//!
//! A message names the key, the value and what was expected. The codes are a closed list, stable across versions.

use super::{
    answer::{Best, Fault},
    limits::Limit,
};
use crate::engine::{
    error::PropertyError,
    plan::{PlanError, Remedy},
    quantity::in_litres,
    reading::ReadingError,
};

/// Why a file or a loop is refused.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// A value outside its limit; `value` in the limit's unit, `typed` as the file has it.
    OutOfRange {
        /// The limit.
        limit: Limit,
        /// As the file has it, with its unit.
        typed: String,
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
    /// The reading has no answer, or two.
    Reading(ReadingError),
    /// No strength of this glycol reaches the frost asked for.
    FrostOutOfReach(PropertyError),
    /// There is no plan.
    Plan(PlanError),
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
    "no_such_step",
    "amount_unfit",
    "reading_out_of_range",
    "reading_needs_side",
    "reading_beyond_tables",
    "reading_two_answers",
    "frost_out_of_reach",
    "aim_outside_limits",
    "nothing_to_pour",
    "too_many_stocks",
    "aim_unreachable",
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
            Self::NoSuchStep { .. } => "no_such_step",
            Self::AmountUnfit { .. } => "amount_unfit",
            Self::Reading(ReadingError::AskSide { .. }) => "reading_needs_side",
            Self::Reading(ReadingError::FarSide { .. }) => "reading_beyond_tables",
            Self::Reading(ReadingError::TwoAnswers { .. }) => "reading_two_answers",
            Self::Reading(_) => "reading_out_of_range",
            Self::FrostOutOfReach(_) => "frost_out_of_reach",
            Self::Plan(PlanError::AimOutsideLimits { .. }) => "aim_outside_limits",
            Self::Plan(PlanError::NothingToPour) => "nothing_to_pour",
            Self::Plan(PlanError::TooManyStocks { .. }) => "too_many_stocks",
            Self::Plan(PlanError::Unreachable { .. }) => "aim_unreachable",
        }
    }

    /// In words, without the key.
    fn words(&self) -> String {
        match self {
            Self::OutOfRange { limit, typed } => {
                let Limit { phrase, low, high, unit } = limit;
                format!("{phrase} is {typed}; expected {low} to {high} {unit}").trim_end().to_owned()
            }
            Self::MoreThanVolume { what, value, volume } => {
                format!("{what} is {value:.2} L; expected no more than the {volume:.2} L the loop holds at the mark")
            }
            Self::LimitsCrossed { low, high } => {
                format!("low is {low} % and high {high} %; expected low below high")
            }
            Self::GlycolMissing { stock } => {
                format!("\"{stock}\" has no glycol; expected ethylene or propylene for a stock above 0 %")
            }
            Self::NameTaken { stock } => {
                format!("\"{stock}\" is on the shelf twice; expected a name of its own for each stock")
            }
            Self::NameMissing => "the name is empty; expected a name for each stock".to_owned(),
            Self::PartsUnclear => "expected exactly one of one_in and one_to: \"1:20\" is one part in 20 or one part to 20, and only the label can say which".to_owned(),
            Self::TreatsCrossed => "treats_from is above treats_to; expected it below".to_owned(),
            Self::LevelUnitsDiffer => "now, aim and raises have different units; expected one unit for all three".to_owned(),
            Self::NoSuchStep { id } => format!("the card has no step \"{id}\""),
            Self::AmountUnfit { id } => {
                format!("step \"{id}\" takes no amount; expected one only for a draw, a dose or a pour")
            }
            Self::Reading(e) => e.to_string(),
            Self::FrostOutOfReach(e) => e.to_string(),
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
            message: format!("{key}: {}", self.words()),
            best,
        }
    }
}

fn plan_words(error: &PlanError) -> String {
    match error {
        PlanError::AimOutsideLimits { aim, low, high } => format!(
            "the aim is {:.0} %; expected {:.0} to {:.0} %, this loop's limits",
            aim * 100.0,
            low * 100.0,
            high * 100.0
        ),
        PlanError::NothingToPour => {
            "nothing on the shelf suits this loop; expected a stock of its glycol, or water"
                .to_owned()
        }
        PlanError::TooManyStocks { stocks } => {
            format!(
                "{stocks} stocks suit this loop; expected at most {}",
                crate::engine::plan::task::MOST_STOCKS
            )
        }
        PlanError::Unreachable { best, remedies } => {
            let mut words =
                "the aim can't be reached with what is on the shelf and what comes out".to_owned();
            if let Some(best) = best {
                let rounds = if best.rounds == 1 {
                    "one round"
                } else {
                    &format!("{} rounds", best.rounds)
                };
                words += &format!(
                    "; the nearest is {:.1} %, drawing {:.2} L in {rounds}",
                    best.after.strength().percent(),
                    in_litres(best.drawn)
                );
            }
            let helps: Vec<String> = remedies.iter().map(remedy_words).collect();
            if !helps.is_empty() {
                words += &format!("; what would help: {}", helps.join(", or "));
            }
            words
        }
    }
}

fn remedy_words(remedy: &Remedy) -> String {
    match remedy {
        Remedy::DrainMore(volume) => format!("drain {:.2} L before pouring", in_litres(*volume)),
        Remedy::MoreOfAStock => "more of what is on the shelf".to_owned(),
        Remedy::StrongerStock => "a stronger stock, such as concentrate".to_owned(),
        Remedy::WeakerStock => "a weaker stock, such as distilled water".to_owned(),
    }
}
