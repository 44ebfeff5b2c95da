//! The folds: everything that is not one of the four questions. What is folded away is not drawn until it is opened:
//! it would be gone through again at every letter typed.

use gloo::events::{EventListener, EventListenerOptions};
use pourcard::app::{
    action::{Action, Pick},
    choice::{CapAge, Choice, DoseBy, DrainBy, EarlierDose, LimitBy, RateBy, TankBy},
    desk::Desk,
    field::Field,
    model::Spot,
    view, words,
};
use wasm_bindgen::JsCast;
use web_sys::Element;
use yew::Html;

use super::{
    Context,
    after::view_after,
    choice::{chips, view_chips},
    counter::view_counter,
    field::{Size, view_row, view_spot},
    jobs::view_jobs,
    tag::{tag, text},
};

/// Which are open: a bit each.
pub type Open = u32;

/// The curve's table, and why the figures are what they are: after those of the questions.
pub const CURVE_TABLE: u32 = 5;
/// See there.
pub const WHYS: u32 = 6;
/// What few people need, under a question: the other instruments.
pub const OTHERS: u32 = 7;
/// The inhibitor family.
pub const FAMILY: u32 = 8;
/// Replacing old coolant.
pub const RENEW: u32 = 9;
/// The loop's own things.
pub const LOOP: u32 = 10;
/// The mixing water.
pub const WATER: u32 = 11;
/// More of a stock: one bit for all of them, since rows come and go.
pub const STOCKS: u32 = 12;

/// How the name of a fold begins, before its number.
const FOLD: &str = "fold-";

/// All of them.
pub fn view_folds(context: &Context, desk: &Desk) -> Html {
    let (tank, additive) = view::fold_digest(context.page);
    let found = view::after_digest(context.page);
    tag("section", "folds")
        .set("aria-label", words::FOLDS)
        .with(view_fold(
            context,
            0,
            "fold list",
            words::FOLD_TANK,
            &tank,
            &|| view_tank(context),
        ))
        .with(view_fold(
            context,
            1,
            "fold list",
            words::FOLD_ADDITIVE,
            &additive,
            &|| view_additive(context),
        ))
        .with(view_fold(
            context,
            2,
            "fold",
            words::FOLD_PACKS,
            &view::sheet_digest(context.page),
            &|| view_counter(context, desk),
        ))
        .with(view_fold(
            context,
            3,
            "fold",
            words::FOLD_AFTER,
            &found,
            &|| view_after(context, &view::after(context.page)),
        ))
        // start.js opens it by its class, for files that come from the system.
        .with(view_fold(
            context,
            4,
            "fold jobs-fold",
            words::FOLD_JOBS,
            "",
            &|| view_jobs(context, desk),
        ))
        .html()
}

/// A fold by its place among them, which is its bit.
fn view_fold(
    context: &Context,
    place: u32,
    class: &'static str,
    name: &str,
    digest: &str,
    inside: &dyn Fn() -> Vec<Html>,
) -> Html {
    tag("details", class)
        .set("id", &id(place))
        .with(
            tag("summary", "")
                .with(text("span", "fold-name", name))
                .with(text("span", "fold-digest", digest))
                .html(),
        )
        .with(view_inside(context.open, place, inside))
        .html()
}

/// Whether a fold is open; of several with one bit, whether any has been.
pub const fn is_open(open: Open, place: u32) -> bool {
    open >> place & 1 == 1
}

/// What a fold goes by.
pub fn id(place: u32) -> String {
    [FOLD, &place.to_string()].concat()
}

/// What is in a fold, once it is open.
pub fn view_inside(open: Open, place: u32, inside: &dyn Fn() -> Vec<Html>) -> Html {
    let inside = if is_open(open, place) {
        inside()
    } else {
        Vec::new()
    };
    tag("div", "fold-inside").each(inside).html()
}

/// A fold within the card, of the same kind.
pub fn view_card_fold(
    open: Open,
    place: u32,
    class: &'static str,
    name: &str,
    inside: &dyn Fn() -> Vec<Html>,
) -> Html {
    tag("details", class)
        .set("id", &id(place))
        .with(text("summary", "", name))
        .each(if is_open(open, place) {
            inside()
        } else {
            Vec::new()
        })
        .html()
}

/// Tells of a fold that was opened or closed: its bit, and whether it is open, or another of its bit may be. The event
/// does not bubble, so that it is caught on its way down.
pub fn watch(tell: impl Fn(Open, bool) + 'static) -> EventListener {
    let down = EventListenerOptions::run_in_capture_phase();
    EventListener::new_with_options(&gloo::utils::document(), "toggle", down, move |event| {
        let fold: Option<Element> = event.target().and_then(|t| t.dyn_into().ok());
        let place = |fold: &Element| {
            let id = fold.id();
            let place = id.strip_prefix(FOLD)?.split('-').next()?;
            place.parse::<u32>().ok()
        };
        if let Some(fold) = fold
            && let Some(place) = place(&fold).filter(|p| *p < Open::BITS)
        {
            tell(1 << place, fold.has_attribute("open") || place == STOCKS);
        }
    })
}

fn view_fields(context: &Context, fields: &[Field]) -> Html {
    let fields = fields
        .iter()
        .map(|f| view_spot(context, Spot::Loop(*f), Size::Small))
        .collect();
    view_row("row", fields)
}

fn view_tank(context: &Context) -> Vec<Html> {
    let lp = context.page.model.current();
    let drain = chips(DrainBy::ALL, Some(lp.drain), |c| {
        Action::Chosen(Pick::Drain(c))
    });
    let tank = chips(TankBy::ALL, Some(lp.tank), |c| {
        Action::Chosen(Pick::Tank(c))
    });
    let age = chips(CapAge::ALL, Some(lp.cap_age), |c| {
        Action::Chosen(Pick::CapAge(c))
    });
    let drained: &[Field] = match lp.drain {
        DrainBy::Volume => &[Field::DrawLimit],
        DrainBy::Share => &[Field::DrainShare],
        DrainBy::Tap | DrainBy::TapAndBlock | DrainBy::Dry => &[],
    };
    let trusted: &[Field] = if lp.cap_age == CapAge::Own {
        &[Field::CapShare]
    } else {
        &[]
    };
    vec![
        view_chips(context, "drain", words::GROUP_DRAIN, true, drain),
        view_fields(context, drained),
        view_chips(context, "tank", words::GROUP_TANK, true, tank),
        view_fields(context, &[Field::TankRoom, Field::FillTemperature]),
        view_chips(context, "cap-age", words::GROUP_CAP, true, age),
        view_fields(context, trusted),
        view_fields(context, &[Field::Cap, Field::Altitude, Field::OtherCap]),
        text("h3", "", words::GROUP_HEAT),
        view_fields(context, &[Field::Peak, Field::Running]),
        text("h3", "", words::GROUP_LIMITS),
        view_fields(context, &[Field::Low, Field::High, Field::MeasureStep]),
    ]
}

fn view_additive(context: &Context) -> Vec<Html> {
    let lp = context.page.model.current();
    let dose = chips(DoseBy::ALL, Some(lp.dose), |c| {
        Action::Chosen(Pick::Dose(c))
    });
    let mut list = vec![view_chips(
        context,
        "dose",
        words::FOLD_ADDITIVE,
        false,
        dose,
    )];
    if lp.dose == DoseBy::None {
        return list;
    }
    let rates = match lp.rate {
        RateBy::Kept => RateBy::ALL,
        _ => &RateBy::ALL[..RateBy::ALL.len() - 1],
    };
    let rate = chips(rates, Some(lp.rate), |c| Action::Chosen(Pick::Rate(c)));
    let limits = limits(lp.rate, lp.limit);
    let limit = chips(limits, Some(lp.limit), |c| Action::Chosen(Pick::Limit(c)));
    let earlier = chips(EarlierDose::ALL, Some(lp.earlier), |c| {
        Action::Chosen(Pick::Earlier(c))
    });
    let already: &[Field] = match lp.earlier {
        EarlierDose::Amount => &[Field::Already, Field::DoseHave, Field::DoseStep],
        EarlierDose::None | EarlierDose::Unknown => &[Field::DoseHave, Field::DoseStep],
    };
    list.extend([
        view_row(
            "row",
            vec![view_spot(context, Spot::AdditiveName, Size::Small)],
        ),
        view_chips(context, "rate", words::GROUP_RATE, true, rate),
        view_fields(context, rate_fields(lp.rate)),
        view_chips(context, "limit", words::GROUP_LIMIT, true, limit),
        view_fields(context, limit_fields(lp.limit)),
        view_chips(context, "earlier", words::GROUP_EARLIER, true, earlier),
        view_fields(context, already),
    ]);
    list
}

const fn rate_fields(rate: RateBy) -> &'static [Field] {
    match rate {
        RateBy::Ratio => &[Field::RateRatio],
        RateBy::Percent => &[Field::RatePercent],
        RateBy::OneIn | RateBy::OneTo => &[Field::RateParts],
        RateBy::Bottle => &[Field::BottleSize, Field::TreatsFrom, Field::TreatsTo],
        RateBy::Level => &[Field::LevelNow, Field::LevelAim, Field::LevelRaises],
        RateBy::Kept => &[],
    }
}

/// The forms a limit may have beside a rate; one kept from a file only where there is one.
fn limits(rate: RateBy, limit: LimitBy) -> &'static [LimitBy] {
    use LimitBy::{Kept, Level, None, OneIn, OneTo, Percent, Ratio};
    match (rate == RateBy::Level, limit == Kept) {
        (false, false) => &[Ratio, Percent, OneIn, OneTo, None],
        (true, false) => &[Level, Ratio, Percent, OneIn, OneTo, None],
        (_, true) => LimitBy::ALL,
    }
}

const fn limit_fields(limit: LimitBy) -> &'static [Field] {
    match limit {
        LimitBy::None | LimitBy::Kept => &[],
        LimitBy::Ratio => &[Field::LimitRatio],
        LimitBy::Percent => &[Field::LimitPercent],
        LimitBy::OneIn | LimitBy::OneTo => &[Field::LimitParts],
        LimitBy::Level => &[Field::LimitLevel],
    }
}
