//! Cautions in words: what it is, and what to do next. Short.

use super::filled;
use crate::app::{
    amount::{
        about, about_short, apart, degrees, degrees_between, degrees_left, degrees_short, dose,
        millilitres, percent, pour, pressure, whole_degrees,
    },
    choice::System,
    number::{fixed, significant},
};
use crate::engine::caution::{Caution, CoolantProperty, WaterProperty, Weight};

/// What a caution's words may need besides its figures.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// The page's units.
    pub system: System,
    /// Names of the stocks, in the shelf's order.
    pub stocks: &'a [String],
}

/// The four that always stand on the card: they depend on nothing.
pub const STANDING: [&str; 4] = [
    "Never open a hot system: it scalds. Let it cool until the upper hose is soft and cold.",
    "Glycol is poisonous to people and animals. Wipe up spills, keep it closed and out of reach.",
    "Collect drained coolant and dispose of it as local rules require.",
    "The vehicle maker\u{2019}s and the product label\u{2019}s instructions override this card.",
];

/// A weight, as a word.
pub const fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "Stop",
        Weight::Mind => "Caution",
        Weight::Note => "Note",
    }
}

/// A caution in words.
pub fn caution(caution: &Caution, setting: Setting) -> String {
    let Setting { system, .. } = setting;
    let (words, figures): (&str, Vec<String>) = match caution {
        Caution::LowConductivityLoop => (
            "A battery or fuel-cell system needs a fluid that hardly conducts. No plan is made for it: ask the vehicle\u{2019}s maker which fluid, and how it is filled.",
            Vec::new(),
        ),
        Caution::AboveSeventy { .. } => (
            "Above 70\u{a0}% the mix protects less, not more, so no plan is made. Set the target to 60\u{a0}% or below.",
            Vec::new(),
        ),
        Caution::FreezesFirst { short_k } => (
            "It would freeze {} above the lowest expected temperature. Raise the target.",
            vec![degrees_short(*short_k, system)],
        ),
        Caution::BoilsFirst { short_k } => (
            "With a weak cap it boils {} below the highest coolant temperature. Test the cap, or fit a new one of the maker\u{2019}s rating; no cap given counts as none.",
            vec![degrees_short(*short_k, system)],
        ),
        Caution::OtherCapBoilsFirst { short_k } => (
            "With the cap to be fitted, when weak, it boils {} below the highest coolant temperature. Keep the maker\u{2019}s rating.",
            vec![degrees_short(*short_k, system)],
        ),
        Caution::CapAboveMaker { kpa, maker_kpa } => (
            "A cap of {} is above the maker\u{2019}s rating of {}: it overloads radiator, tank, hoses and heater core. Do not fit it.",
            vec![pressure(*kpa, system), pressure(*maker_kpa, system)],
        ),
        Caution::CapOfAnotherKind => (
            "The cap to be fitted is made for another kind of tank. A cap on a radiator with an overflow bottle lets coolant back in as it cools; one on a pressure tank does not. Take the kind that is fitted.",
            Vec::new(),
        ),
        Caution::WaterOnly => (
            "Plain water: one night of frost can crack the engine. Bring it to its target, or drain it, before any frost.",
            Vec::new(),
        ),
        Caution::OverLimit {
            carried_over_litres,
            limit_litres,
        } => (
            "There is {} of the additive in it already, and the label allows {} here. Add none; renew more of the coolant to bring it down.",
            volumes(
                [*carried_over_litres, *limit_litres],
                |l| dose(l, system),
                system,
            ),
        ),
        Caution::SupplementIntoOrganicAcid => (
            "A supplement does not belong in an organic-acid coolant (OAT, HOAT, NOAT) unless its label asks for it. Read the label; if it does, say so under Additive.",
            Vec::new(),
        ),
        Caution::OverfillHot { short_litres } => (
            "Hot, it needs {} more space than there is above the mark. Fill that much lower, or it is pushed out.",
            vec![about_short(*short_litres, system)],
        ),
        Caution::TankRoomThin {
            left_litres,
            wanted_litres,
        } => (
            "Hot, {} of air is left in the tank; {} is wanted, or the pressure climbs. Do not fill above the mark.",
            volumes(
                [*left_litres, *wanted_litres],
                |l| about(l, 1, system),
                system,
            ),
        ),
        Caution::OverfillCold { over_litres } => (
            "It is {} above the mark: that much is drained first.",
            vec![pour(*over_litres, system)],
        ),
        Caution::DoseCut {
            asked_litres,
            given_litres,
        } => (
            "The label asks for {}; the card says {}, so that its maximum holds even if the system is smaller than you think. A more certain capacity allows more.",
            volumes([*asked_litres, *given_litres], |l| dose(l, system), system),
        ),
        Caution::DoseShort {
            asked_litres,
            given_litres,
        } => (
            "The label asks for {}; {} is on hand. Get more, or run with less.",
            volumes([*asked_litres, *given_litres], |l| dose(l, system), system),
        ),
        Caution::SupplementUnsaid { stock } => (
            "Does {} contain the supplement already? It was counted as containing none. Its label says; type it in with the product.",
            vec![name(setting, *stock)],
        ),
        Caution::FirstCharge { stock } => (
            "{} needs a first charge of supplement, and none is planned. Choose the supplement under Additive.",
            vec![name(setting, *stock)],
        ),
        Caution::ForeignChemistry { percent: p, limit } => (
            "{} of the coolant would be of another chemistry; an extended-life coolant takes up to {}. Drain more of the other, or service the mix as the shorter-lived of the two.",
            vec![percent(*p, 0), percent(*limit, 0)],
        ),
        Caution::CoolantTest {
            property,
            value,
            limit,
        } => (
            "The coolant: {} is {}, the limit {}. Replace the coolant, or ask its maker.",
            vec![
                match property {
                    CoolantProperty::Ph => "pH".to_owned(),
                    CoolantProperty::ReserveAlkalinity => "reserve alkalinity in mL".to_owned(),
                },
                significant(*value, 4),
                significant(*limit, 4),
            ],
        ),
        Caution::AdditiveShared {
            asked_litres,
            given_litres,
        } => (
            "There is not enough of the additive for every system. The label asks for {} here; {} is this one\u{2019}s share.",
            vec![dose(*asked_litres, system), dose(*given_litres, system)],
        ),
        Caution::EarlierDoseUnknown => (
            "What an earlier dose left is unknown, so only the new coolant is dosed. Ask the last owner, or test.",
            Vec::new(),
        ),
        Caution::PartOfABottle { treats_litres } => (
            "A bottle treats up to {}, and this system holds far less: only the same share of a bottle is added.",
            vec![about(*treats_litres, 1, system)],
        ),
        Caution::NoLabelLimit => (
            "No label maximum was given for the additive. Look for one on the label, and type it in.",
            Vec::new(),
        ),
        Caution::BelowInhibitorMinimum {
            percent: p,
            minimum,
        } => (
            "At {} there is too little inhibitor against rust. Set the target to {} or more.",
            percents([*p, *minimum], 0),
        ),
        Caution::AboveSixty { .. } => (
            "Above 60\u{a0}% it carries less heat and soon protects less. Set the target to 60\u{a0}% or below unless the maker asks for more.",
            Vec::new(),
        ),
        Caution::FreezesFirstAtWorst { worst_c, .. } => (
            "At the worst end of its range it freezes at {}, before your lowest expected temperature. Re-test with a more accurate tester before relying on it.",
            vec![whole_degrees(*worst_c, system)],
        ),
        Caution::FreezeRoomThin { room_k, wanted_k } => (
            "Only {} degrees below the lowest expected temperature; the safety margin is {}. Raise the target a little.",
            rooms([*room_k, *wanted_k], system),
        ),
        Caution::BoilRoomThin { room_k, wanted_k } => (
            "Only {} degrees between the highest coolant temperature and boiling with a weak cap; {} would be comfortable. Test the cap.",
            rooms([*room_k, *wanted_k], system),
        ),
        Caution::CapBelowMaker {
            kpa,
            maker_kpa,
            cost_k,
        } => (
            "A cap of {} is below the maker\u{2019}s rating of {}: when both are weak it boils {} lower, and the engine runs no cooler for it. The maker\u{2019}s rating overrides this page.",
            vec![
                pressure(*kpa, system),
                pressure(*maker_kpa, system),
                degrees_short(*cost_k, system),
            ],
        ),
        Caution::CapMakerUnknown => (
            "Check the maker\u{2019}s cap rating and enter it (under Tank and cap): a higher cap overloads radiator, tank, hoses and heater core, a lower one boils sooner.",
            Vec::new(),
        ),
        Caution::BoilsAfterSoak { short_k, soak_k } => (
            "After shutdown the coolant may rise by {}: under the cap to be fitted, when weak, it would then boil by {}. Let it idle before you stop it.",
            vec![
                degrees_left(*soak_k, system),
                degrees_short(*short_k, system),
            ],
        ),
        Caution::DifferentGlycol { stock } => (
            "{} is of the other glycol type and is not used. Do not mix the two: no instrument reads the mixture.",
            vec![name(setting, *stock)],
        ),
        Caution::DifferentFamily { stock } => (
            "{} is of another coolant technology than the rest of what is in there. Better use one throughout; if not, service the mix as the shorter-lived of the two.",
            vec![name(setting, *stock)],
        ),
        Caution::StockShared { stock, left_litres } => (
            "{} is not enough for every system: {} of it is for this one. With more of it, less is drained.",
            vec![name(setting, *stock), pour(*left_litres, system)],
        ),
        Caution::UnknownContents => (
            "What is in there is unknown, so the card drains and refills. A reading first could save most of it.",
            Vec::new(),
        ),
        Caution::HardWater {
            property,
            value,
            limit,
        } => (
            "The mixing water: {} is {}, the limit {}. Use distilled water instead.",
            std::iter::once(water(*property).to_owned())
                .chain(apart([*value, *limit], |x, d| significant(x, 4 + d)))
                .collect(),
        ),
        Caution::TookLess {
            said_litres,
            took_litres,
        } => (
            "{} was to go in, and it was at the mark after {}. It may have been less low or drained less than entered, hold less, or have air trapped. After running, cooling and bleeding, check the level and enter it at the check.",
            volumes([*said_litres, *took_litres], |l| pour(l, system), system),
        ),
        Caution::MissingCorrected {
            typed_litres,
            litres,
        } => (
            "By the level seen it was low by {}, not {}. The rest is planned from that.",
            volumes([*litres, *typed_litres], |l| pour(l, system), system),
        ),
        Caution::CapacityCorrected {
            typed_litres,
            litres,
        } => (
            "By the level seen its capacity is {}, not {}. The rest is planned from that.",
            volumes([*litres, *typed_litres], |l| pour(l, system), system),
        ),
        Caution::LeftBehindCorrected {
            typed_litres,
            litres,
        } => (
            "By the level seen {} was left in it, not {}, and the capacity is another as well: which of the two it is cannot be told.",
            volumes([*litres, *typed_litres], |l| pour(l, system), system),
        ),
        Caution::DensityUncertain => (
            "Above 70\u{a0}% propylene\u{2019}s published densities differ by 0.6\u{a0}%. Go by the mark, not by the amount.",
            Vec::new(),
        ),
        Caution::SupplementBrought => (
            "What is poured contains the supplement already. It is counted, and only what is missing is added.",
            Vec::new(),
        ),
        Caution::RaisedToMinimum {
            needed_percent,
            minimum,
        } => (
            "That temperature needs only {}; the card makes it {}, the lowest your limits allow.",
            percents([*needed_percent, *minimum], 0),
        ),
        Caution::FrostTableEnds { percent: p } => (
            "Published freezing tables end before {}. From here on, stronger does not protect better.",
            vec![percent(*p, 0)],
        ),
        Caution::FrostUnknown { percent: p } => (
            "No published table says where {} freezes, so it can\u{2019}t be judged against your lowest temperature. Lower the target.",
            vec![percent(*p, 0)],
        ),
        Caution::FinerStep { step_litres } => (
            "These amounts need a finer measure: to {} here. Use a syringe or a kitchen measure.",
            vec![millilitres(*step_litres)],
        ),
        Caution::LandsWithin { percent: p, aim } => (
            "It comes to {}, within your tolerance of {}, and with less drained.",
            percents([*p, *aim], 1),
        ),
        Caution::BelowMinimumCold { short_litres } => (
            "At the lowest expected temperature it shrinks to {} below the minimum mark. Fill no lower than the mark, and check the level in the cold.",
            vec![pour(*short_litres, system)],
        ),
        Caution::LeftOut => (
            "A value outside its range was left out: what depends on it is blank.",
            Vec::new(),
        ),
        Caution::NoFigure => ("A figure is blank: no table covers it.", Vec::new()),
        Caution::DoseAboveMark { over_litres } => (
            "With the additive it is {} above the mark, as you allow. It fits when hot; the next time it is low, top it up less.",
            vec![pour(*over_litres, system)],
        ),
        Caution::FilledWarm {
            stands_litres,
            holds_litres,
        } => (
            "Filled warm: the {} at the level are {} at 20\u{a0}\u{b0}C. Cold, the level is that much lower.",
            volumes(
                [*stands_litres, *holds_litres],
                |l| about(l, 2, system),
                system,
            ),
        ),
        Caution::BottleUnknown => (
            "What is in the overflow bottle is drawn back as it cools. Enter how much that is and its concentration (under Tank and cap), or bring it to the target too.",
            Vec::new(),
        ),
        Caution::BottleDrawnIn {
            litres,
            percent: p,
            together,
        } => (
            "The overflow bottle\u{2019}s {} of {} are drawn back: all together come to {}.",
            vec![
                about(*litres, 2, system),
                percent(*p, 0),
                percent(*together, 1),
            ],
        ),
        Caution::WaterUninhibited => (
            "Plain water stops no corrosion. Add an inhibitor the maker allows, and bring it to its target before any frost.",
            Vec::new(),
        ),
        Caution::NoPressureCold => (
            "The cap only holds pressure once the system is warm and tight. Until then it boils as with the cap off.",
            Vec::new(),
        ),
        Caution::LocalBoiling => (
            "Boiling is judged for the coolant as a whole. On the hottest metal it boils sooner: that is not judged.",
            Vec::new(),
        ),
        Caution::BoilingEstimated => (
            "Propylene\u{2019}s boiling point is an estimate: allow one degree less.",
            Vec::new(),
        ),
        Caution::CarriesLess {
            film_vs_water,
            heat_carried_vs_water,
        } => (
            "At the same flow heat transfer is {} of water\u{2019}s, and heat capacity {}. Use no more glycol than you need.",
            vec![
                percent(film_vs_water * 100.0, 0),
                percent(heat_carried_vs_water * 100.0, 0),
            ],
        ),
        Caution::AskMakerAdditive => (
            "Does the vehicle\u{2019}s maker allow an additive? Ask before adding one.",
            Vec::new(),
        ),
    };
    filled(words, &figures)
}

/// Two volumes that differ, told so that it shows.
fn volumes(litres: [f64; 2], usual: impl Fn(f64) -> String, system: System) -> Vec<String> {
    apart(litres, |l, finer| match finer {
        0 => usual(l),
        _ => about(l, 2 + finer, system),
    })
}

/// Two percentages, the same.
fn percents(two: [f64; 2], decimals: u32) -> Vec<String> {
    apart(two, |p, finer| percent(p, decimals + finer))
}

/// Two differences of temperature, the same; in whole degrees if that will do.
fn rooms(kelvins: [f64; 2], system: System) -> Vec<String> {
    apart(kelvins, |k, finer| match finer {
        0 => degrees_between(k, system),
        _ => fixed(degrees(k, system), finer),
    })
}

fn name(setting: Setting, stock: usize) -> String {
    let name = setting.stocks.get(stock);
    name.map_or(String::new(), |name| super::isolated(name))
}

const fn water(property: WaterProperty) -> &'static str {
    match property {
        WaterProperty::Chloride => "chloride in mg/L",
        WaterProperty::Sulphate => "sulphate in mg/L",
        WaterProperty::ChlorideAndSulphate => "chloride and sulphate in mg/L",
        WaterProperty::Hardness => "hardness as CaCO\u{2083} in mg/L",
        WaterProperty::Solids => "dissolved solids in mg/L",
        WaterProperty::Ph => "pH",
    }
}
