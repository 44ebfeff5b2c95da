//! What is drawn where: the folds as lists of parts. A field is drawn where its choices ask for it.

use super::{Call, Field, Form as _, WaterField};
use crate::app::{
    action::{Action, Pick},
    choice::{
        AboveMark, CapAge, CapKind, Carrier, Choice, DoseBy, DrainBy, EarlierDose, LimitBy,
        Purpose, RateBy, TankBy, TestOf, WaterLimits,
    },
    model::{LoopModel, Model, Spot},
    take::{call, label_sets_limit, shape},
    words::{self, Worded},
};

/// A part of a fold.
#[derive(Debug, Clone)]
pub enum Part {
    /// A list to choose from.
    Choose(List),
    /// A row of fields of the loop in sight.
    Fields(&'static [Field]),
    /// A row of fields of the mixing water.
    Water(&'static [WaterField]),
    /// Any other field.
    Other(Spot),
    /// A heading.
    Heading(&'static str),
}

/// A list to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)] // named as what they choose
pub enum List {
    Drain,
    Tank,
    CapAge,
    CapKind,
    Dose,
    Rate,
    Limit,
    Earlier,
    Purpose,
    Test,
    Carrier,
    Above,
    WaterLimits,
}

use List::{Above, CapAge as Age, Dose, Drain, Earlier, Limit, Rate, Tank};
use Part::{Choose, Fields, Heading};

/// Tank and cap.
pub const TANK: &[Part] = &[
    Choose(Drain),
    Fields(&[Field::DrawLimit, Field::DrainShare]),
    Choose(Tank),
    Fields(&[Field::TankRoom, Field::Minimum, Field::FillTemperature]),
    Fields(&[Field::Bottle, Field::BottlePercent]),
    Choose(Age),
    Fields(&[Field::CapShare]),
    Fields(&[Field::Cap, Field::MakerCap, Field::Altitude]),
    Choose(List::CapKind),
    Fields(&[Field::OtherCap, Field::HeatSoak]),
    Heading(words::GROUP_HEAT),
    Fields(&[Field::Peak, Field::Running]),
    Heading(words::GROUP_LIMITS),
    Fields(&[Field::Low, Field::High, Field::MeasureStep]),
];

/// The additive.
pub const ADDITIVE: &[Part] = &[
    Choose(Dose),
    Part::Other(Spot::AdditiveName),
    Choose(List::Purpose),
    Choose(Rate),
    Choose(List::Test),
    Fields(&[
        Field::RateRatio,
        Field::RatePercent,
        Field::RateParts,
        Field::BottleSize,
        Field::TreatsFrom,
        Field::TreatsTo,
        Field::WholeDownTo,
        Field::LevelNow,
        Field::LevelAim,
        Field::LevelRaises,
    ]),
    Choose(Limit),
    Fields(&[
        Field::LimitRatio,
        Field::LimitPercent,
        Field::LimitParts,
        Field::LimitBottle,
        Field::LimitTreats,
        Field::LimitLevel,
    ]),
    Choose(Earlier),
    Fields(&[Field::Already, Field::DoseHave, Field::DoseStep]),
    Choose(Above),
    Heading(words::GROUP_COOLANT),
    Fields(COOLANT),
    Choose(List::Carrier),
];

/// What else is measured of the coolant, and how much of another chemistry it takes.
const COOLANT: &[Field] = &[
    Field::Ph,
    Field::PhLow,
    Field::PhHigh,
    Field::Reserve,
    Field::ReserveLow,
    Field::Foreign,
];

/// The additive's fold until one is dosed.
const NO_ADDITIVE: &[Part] = &[Choose(Dose), Heading(words::GROUP_COOLANT), Fields(COOLANT)];

/// The mixing water.
pub const WATER: &[Part] = &[Part::Water(WaterField::ALL), Choose(List::WaterLimits)];

/// A list, ready to be drawn.
#[derive(Debug)]
pub struct Chips {
    /// Of the group.
    pub name: &'static str,
    /// Its heading.
    pub legend: &'static str,
    /// Is it seen, or only heard?
    pub seen: bool,
    /// Code, words, whether it is chosen, and what choosing it does.
    pub options: Vec<Chip>,
}

/// Code, words, whether it is chosen, and what choosing it does.
pub type Chip = (&'static str, &'static str, bool, Action);

fn chips<C: Choice + Worded>(
    name: &'static str,
    legend: &'static str,
    options: &[C],
    chosen: C,
    action: fn(C) -> Action,
) -> Chips {
    let option = |&c: &C| (c.code(), c.words(), chosen == c, action(c));
    Chips {
        name,
        legend,
        seen: true,
        options: options.iter().map(option).collect(),
    }
}

/// A list of the loop in sight.
pub fn list(model: &Model, list: List) -> Chips {
    let lp = model.current();
    match list {
        Drain => chips("drain", words::GROUP_DRAIN, DrainBy::ALL, lp.drain, |c| {
            Action::Chosen(Pick::Drain(c))
        }),
        Tank => chips("tank", words::GROUP_TANK, TankBy::ALL, lp.tank, |c| {
            Action::Chosen(Pick::Tank(c))
        }),
        Age => chips("cap-age", words::GROUP_CAP, CapAge::ALL, lp.cap_age, |c| {
            Action::Chosen(Pick::CapAge(c))
        }),
        List::CapKind => chips(
            "cap-kind",
            words::GROUP_CAP_KIND,
            CapKind::ALL,
            lp.cap_kind,
            |c| Action::Chosen(Pick::CapKind(c)),
        ),
        Dose => Chips {
            seen: false,
            ..chips("dose", words::FOLD_ADDITIVE, DoseBy::ALL, lp.dose, |c| {
                Action::Chosen(Pick::Dose(c))
            })
        },
        Rate => chips("rate", words::GROUP_RATE, rates(lp.rate), lp.rate, |c| {
            Action::Chosen(Pick::Rate(c))
        }),
        Limit => chips(
            "limit",
            words::GROUP_LIMIT,
            // Not asked where the label's range says it.
            if label_sets_limit(lp) {
                &[]
            } else {
                limits(lp.rate, lp.limit)
            },
            lp.limit,
            |c| Action::Chosen(Pick::Limit(c)),
        ),
        Earlier => chips(
            "earlier",
            words::GROUP_EARLIER,
            EarlierDose::ALL,
            lp.earlier,
            |c| Action::Chosen(Pick::Earlier(c)),
        ),
        List::Purpose => chips(
            "purpose",
            words::GROUP_PURPOSE,
            Purpose::ALL,
            lp.purpose,
            |c| Action::Chosen(Pick::Purpose(c)),
        ),
        List::Test => Chips {
            // There is none where the rate goes by no test.
            options: if lp.rate == RateBy::Level {
                tests(lp.test_of)
            } else {
                Vec::new()
            },
            ..chips("test", words::GROUP_TEST, &[], lp.test_of, test_of)
        },
        List::Carrier => chips(
            "carrier",
            words::GROUP_CARRIER,
            Carrier::ALL,
            lp.carrier,
            |c| Action::Chosen(Pick::Carrier(c)),
        ),
        Above => chips(
            "above",
            words::GROUP_ABOVE,
            AboveMark::ALL,
            lp.above_mark,
            |c| Action::Chosen(Pick::AboveMark(c)),
        ),
        List::WaterLimits => chips(
            "water-limits",
            words::WATER_LIMITS,
            WaterLimits::ALL,
            model.water.limits,
            Action::WaterLimitsChosen,
        ),
    }
}

fn test_of(test: TestOf) -> Action {
    Action::Chosen(Pick::TestOf(test))
}

/// Nitrite in no form is only there where a file has it.
fn tests(chosen: TestOf) -> Vec<Chip> {
    let shown = TestOf::ALL.len() - usize::from(chosen != TestOf::Nitrite);
    chips("", "", &TestOf::ALL[..shown], chosen, test_of).options
}

fn rates(rate: RateBy) -> &'static [RateBy] {
    match rate {
        RateBy::Kept => RateBy::ALL,
        _ => &RateBy::ALL[..RateBy::ALL.len() - 1],
    }
}

/// The forms a limit may have beside a rate; one kept from a file only where there is one.
fn limits(rate: RateBy, limit: LimitBy) -> &'static [LimitBy] {
    use LimitBy::{Bottle, Kept, Level, None, OneIn, OneTo, Percent, Ratio};
    match (rate == RateBy::Level, limit == Kept) {
        (false, false) => &[Ratio, Percent, OneIn, OneTo, Bottle, None],
        (true, false) => &[Level, Ratio, Percent, OneIn, OneTo, Bottle, None],
        (_, true) => LimitBy::ALL,
    }
}

/// Those of these fields that the choices ask for.
pub fn asked(lp: &LoopModel, fields: &[Field]) -> Vec<Field> {
    let mut of = shape(lp);
    let mut there = |f: Field| call(lp, f) != Call::Not && f.leaf(&mut of).is_some();
    fields.iter().copied().filter(|f| there(*f)).collect()
}

/// The parts of the additive's fold.
pub fn additive(lp: &LoopModel) -> &'static [Part] {
    if lp.dose == DoseBy::None {
        NO_ADDITIVE
    } else {
        ADDITIVE
    }
}
