//! The folds: everything that is not one of the four questions. What is folded away is not drawn until it is opened:
//! it would be gone through again at every letter typed.

use gloo::events::{EventListener, EventListenerOptions};
use pourcard::app::{desk::Desk, form::layout, view, words};
use wasm_bindgen::JsCast;
use web_sys::Element;
use yew::Html;

use super::{
    Context,
    after::view_after,
    counter::{view_counter, view_vehicle},
    form::view_parts,
    jobs::view_jobs,
    tag::{tag, text},
};

/// Which are open: a bit each.
pub type Open = u32;

/// The curve's table, and why the figures are what they are: after those of the questions.
pub const CURVE_TABLE: u32 = 5;
/// See there.
pub const WHYS: u32 = 6;
/// What few people need, under a question: of the first.
pub const HOLDS: u32 = 7;
/// Of the second.
pub const NOW: u32 = 8;
/// Of the third.
pub const AIM: u32 = 9;
/// The loop's own things.
pub const LOOP: u32 = 10;
/// The mixing water.
pub const WATER: u32 = 11;
/// More of a stock: one bit for all of them, since rows come and go.
pub const STOCKS: u32 = 12;

/// What few people need of the money.
pub const MONEY: u32 = 13;

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
            &|| view_parts(context, layout::TANK),
        ))
        .with(view_fold(
            context,
            1,
            "fold list",
            words::FOLD_ADDITIVE,
            &additive,
            &|| view_parts(context, layout::additive(context.page.model.current())),
        ))
        .with(view_fold(
            context,
            2,
            "fold",
            words::FOLD_PACKS,
            or(&view::sheet_digest(context.page), words::NO_PACKS),
            &|| view_counter(context, desk),
        ))
        .with(view_fold(
            context,
            3,
            "fold",
            words::FOLD_AFTER,
            or(&found, words::NOT_RETESTED),
            &|| {
                let mut list = view_after(context, desk, &view::after(context.page));
                list.insert(list.len().saturating_sub(1), view_vehicle(context));
                list
            },
        ))
        // start.js opens it by its class, for files that come from the system.
        .with(view_fold(
            context,
            4,
            "fold jobs-fold",
            words::FOLD_JOBS,
            &words::kept_jobs(desk.kept.len()),
            &|| view_jobs(context, desk),
        ))
        .html()
}

/// What a closed fold says where it holds nothing yet.
fn or<'a>(digest: &'a str, nothing: &'a str) -> &'a str {
    if digest.is_empty() { nothing } else { digest }
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
