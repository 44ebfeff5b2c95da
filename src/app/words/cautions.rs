//! Cautions in words: what it is, and what to do next. Short.

use crate::app::{
    amount::{about, degrees_between, dose, percent, pour},
    choice::System,
    number::significant,
};
use crate::engine::caution::{Caution, WaterProperty, Weight};

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
    "Never open a hot system: it scalds.",
    "Glycol poisons people and animals: wipe up, close, keep away from both.",
    "Catch what comes out and hand it in by your local rules.",
    "The vehicle maker\u{2019}s word and the label\u{2019}s go before this card\u{2019}s.",
];

/// A weight, as a word.
pub const fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "Stop",
        Weight::Mind => "Mind",
        Weight::Note => "Note",
    }
}

/// A caution in words.
pub fn caution(caution: &Caution, setting: Setting) -> String {
    let Setting { system, .. } = setting;
    let say = |parts: &[&str]| parts.concat();
    match caution {
        Caution::LowConductivityLoop => say(&[
            "A battery or fuel-cell loop wants a fluid that hardly conducts. No plan is made for it: ask the vehicle\u{2019}s maker which fluid, and how it is filled.",
        ]),
        Caution::AboveSeventy { .. } => say(&[
            "Above 70\u{a0}% the mix protects less, not more, so no plan is made. Aim at 60\u{a0}% or below.",
        ]),
        Caution::FreezesFirst { short_k } => say(&[
            "It would freeze ",
            &degrees_between(*short_k, system),
            " degrees before your coldest night. Aim stronger.",
        ]),
        Caution::BoilsFirst { short_k } => say(&[
            "Under a worn cap it boils ",
            &degrees_between(*short_k, system),
            " degrees below the hottest you run it. Test the cap, or fit a new one of the maker\u{2019}s rating.",
        ]),
        Caution::WaterOnly => say(&[
            "Plain water: one night of frost can burst the engine. Fill to strength, or drain it, before any frost.",
        ]),
        Caution::OverLimit {
            carried_over_litres,
            limit_litres,
        } => say(&[
            "An earlier dose left ",
            &dose(*carried_over_litres, system),
            ", and the label allows ",
            &dose(*limit_litres, system),
            " here. Dose nothing; renew more of the coolant to bring it down.",
        ]),
        Caution::OverfillHot { short_litres } => say(&[
            "Hot, it needs ",
            &about(*short_litres, 1, system),
            " more room than there is above the mark. Fill that much lower, or it is pushed out.",
        ]),
        Caution::TankRoomThin {
            left_litres,
            wanted_litres,
        } => say(&[
            "Hot, ",
            &about(*left_litres, 1, system),
            " of air is left in the tank; ",
            &about(*wanted_litres, 1, system),
            " is wanted, or the pressure climbs. Do not fill above the mark.",
        ]),
        Caution::OverfillCold { over_litres } => say(&[
            "It stands ",
            &pour(*over_litres, system),
            " above the mark. Draw that much off before you run it.",
        ]),
        Caution::DoseCut {
            asked_litres,
            given_litres,
        } => say(&[
            "The label asks for ",
            &dose(*asked_litres, system),
            "; the card says ",
            &dose(*given_litres, system),
            ", so that its limit holds even if the loop is smaller than you think. A surer volume allows more.",
        ]),
        Caution::DoseShort {
            asked_litres,
            given_litres,
        } => say(&[
            "The label asks for ",
            &dose(*asked_litres, system),
            "; ",
            &dose(*given_litres, system),
            " is on hand. Get more, or run with less.",
        ]),
        Caution::EarlierDoseUnknown => say(&[
            "Nobody knows what an earlier dose left, so only the renewed part is dosed. Ask the last owner, or test.",
        ]),
        Caution::NoLabelLimit => say(&[
            "No limit was given for the additive. Look for one on the label, and type it in.",
        ]),
        Caution::BelowInhibitorMinimum {
            percent: p,
            minimum,
        } => say(&[
            "At ",
            &percent(*p, 0),
            " there is too little inhibitor against rust. Aim at ",
            &percent(*minimum, 0),
            " or more.",
        ]),
        Caution::AboveSixty { .. } => say(&[
            "Above 60\u{a0}% it carries less heat and soon protects less. Aim at 60\u{a0}% or below unless the maker asks for more.",
        ]),
        Caution::FreezeRoomThin { room_k, wanted_k } => say(&[
            "Only ",
            &degrees_between(*room_k, system),
            " degrees to spare below your coldest night; ",
            &degrees_between(*wanted_k, system),
            " are wanted. Aim a little stronger.",
        ]),
        Caution::BoilRoomThin { room_k, wanted_k } => say(&[
            "Only ",
            &degrees_between(*room_k, system),
            " degrees between the hottest you run it and boiling under a worn cap; ",
            &degrees_between(*wanted_k, system),
            " would be comfortable. Test the cap.",
        ]),
        Caution::DifferentGlycol { stock } => say(&[
            &name(setting, *stock),
            " is made of the other glycol and stays on the shelf. Do not mix the two: no instrument reads the mixture.",
        ]),
        Caution::DifferentFamily { stock } => say(&[
            &name(setting, *stock),
            " is of another inhibitor family than the loop. Service the mix as the shorter-lived of the two.",
        ]),
        Caution::UnknownContents => say(&[
            "Nobody knows what is in there, so the card drains and refills. A reading first could save most of it.",
        ]),
        Caution::HardWater {
            property,
            value,
            limit,
        } => say(&[
            "The mixing water: ",
            water(*property),
            " is ",
            &significant(*value, 4),
            ", the limit ",
            &significant(*limit, 4),
            ". Use distilled water instead.",
        ]),
        Caution::TrappedAir {
            out_litres,
            in_litres,
        } => say(&[
            &pour(*out_litres, system),
            " was to go in and only ",
            &pour(*in_litres, system),
            " did: there is air in it. Bleed it with the heater open, run it warm, let it cool, and look at the mark again.",
        ]),
        Caution::DensityUncertain => say(&[
            "Above 70\u{a0}% propylene\u{2019}s published densities differ by 0.6\u{a0}%. Go by the mark, not by the last drop.",
        ]),
        Caution::RaisedToMinimum {
            needed_percent,
            minimum,
        } => say(&[
            "That frost needs only ",
            &percent(*needed_percent, 0),
            "; the card makes it ",
            &percent(*minimum, 0),
            ", the weakest your limits allow.",
        ]),
        Caution::FrostTableEnds { percent: p } => say(&[
            "Published frost tables end before ",
            &percent(*p, 0),
            ". Stronger is not safer from here on.",
        ]),
        Caution::FinerStep { step_litres } => say(&[
            "So small a loop wants a finer measure: to ",
            &dose(*step_litres, system),
            " here. Use a syringe or a kitchen measure.",
        ]),
        Caution::LandsWithin { percent: p, aim } => say(&[
            "It lands on ",
            &percent(*p, 1),
            ", near enough to ",
            &percent(*aim, 0),
            " for what you allow, and with less drawn off.",
        ]),
        Caution::NoPressureCold => say(&[
            "The cap only holds pressure once the loop is warm and tight. Until then it boils as with the cap off.",
        ]),
        Caution::BoilingEstimated => say(&[
            "Propylene\u{2019}s boiling point is an estimate: take a degree off it to be safe.",
        ]),
        Caution::CarriesLess {
            film_vs_water,
            heat_carried_vs_water,
        } => say(&[
            "At the same flow it takes heat off metal at ",
            &percent(film_vs_water * 100.0, 0),
            " of the rate of water, and a litre carries ",
            &percent(heat_carried_vs_water * 100.0, 0),
            " as much. No more glycol than you need.",
        ]),
        Caution::AskMakerAdditive => {
            say(&["Does the vehicle\u{2019}s maker allow an additive? Ask before you dose."])
        }
    }
}

fn name(setting: Setting, stock: usize) -> String {
    setting.stocks.get(stock).cloned().unwrap_or_default()
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
