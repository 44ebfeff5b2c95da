//! The questions: each with what most people have to say in sight, and the rest under one "More".

use pourcard::app::{
    action::{Action, Pick},
    choice::{AimBy, Choice, DoseBy, Family, GlycolName, ReadingBy, Side},
    field::Field,
    model::Spot,
    page, view, words,
};
use yew::Html;

use super::{
    Context,
    choice::{chips, view_chips},
    field::{Size, view_row, view_select, view_spot},
    folds::{self, AIM, HOLDS, NOW, view_inside},
    hand::{Deed, change},
    head::view_button,
    shelf::{options, view_shelf},
    tag::{nothing, several, tag, text},
};

/// A question under its heading; that of a question which its first field asks is only heard.
fn view_question(id: &'static str, seen: bool, heading: &str, inside: Vec<Html>) -> Html {
    tag("section", "question")
        .set("aria-labelledby", id)
        .with(
            tag("h2", if seen { "" } else { "aside" })
                .set("id", id)
                .text(heading)
                .html(),
        )
        .each(inside)
        .html()
}

/// All four.
pub fn view_questions(context: &Context) -> Html {
    let digests = view::more_digests(context.page);
    let [holds, now, aim, water] = &digests;
    let holds = view_question(
        "ask-holds",
        false,
        words::ASK_HOLDS,
        view_holds(context, holds),
    );
    if context.page.model.current().dose == DoseBy::Only {
        return holds;
    }
    several(vec![
        holds,
        view_question("ask-now", false, words::ASK_NOW, view_now(context, now)),
        view_question("ask-aim", false, words::ASK_AIM, view_aim(context, aim)),
        view_question(
            "ask-shelf",
            true,
            words::ASK_SHELF,
            view_shelf(context, water),
        ),
    ])
}

/// What few people need, folded away under a question, with what holds of it in a few words.
pub fn view_aside(
    context: &Context,
    place: u32,
    heading: &str,
    digest: &str,
    inside: &dyn Fn() -> Vec<Html>,
) -> Html {
    let heading = if digest.is_empty() {
        heading.to_owned()
    } else {
        [heading, ": ", digest].concat()
    };
    tag("details", "rarer")
        .set("id", &folds::id(place))
        .with(text("summary", "", &heading))
        .with(view_inside(context.open, place, inside))
        .html()
}

/// A row with a field of the question's own.
fn view_big(context: &Context, field: Field) -> Html {
    view_spot(context, Spot::Loop(field), Size::Big)
}

/// A row with one field of the lesser kind.
fn view_small(context: &Context, field: Field) -> Html {
    view_row(
        "row",
        vec![view_spot(context, Spot::Loop(field), Size::Small)],
    )
}

fn view_holds(context: &Context, digest: &str) -> Vec<Html> {
    let quick = view::quick(context.page).into_iter().map(|(words, text)| {
        let deed = Deed::Act(Action::Typed(Spot::Loop(Field::Missing), text));
        view_button(context, "plain-button", &words, deed)
    });
    vec![
        view_big(context, Field::Volume),
        view_big(context, Field::Missing),
        tag("div", "quick")
            .set("role", "group")
            .set("aria-label", words::LOW_BY)
            .each(quick.collect())
            .html(),
        view_aside(context, HOLDS, words::MORE, digest, &|| {
            vec![
                view_small(context, Field::VolumeSpread),
                view_small(context, Field::MissingSpread),
            ]
        }),
    ]
}

fn view_now(context: &Context, digest: &str) -> Vec<Html> {
    let lp = context.page.model.current();
    let by = lp.reading;
    let select = view_select(
        "reading",
        words::READING,
        by.code(),
        &options(ReadingBy::ALL),
    )
    .hand(change(context.send, Deed::Choose("@reading")));
    let (value, beside) = match by {
        ReadingBy::Percent | ReadingBy::Frost => (Some(page::reading(by)), None),
        ReadingBy::Gravity | ReadingBy::Index | ReadingBy::Brix => {
            (Some(page::reading(by)), Some(Field::SampleAt))
        }
        ReadingBy::Flushed => (Some(Field::LeftBehind), Some(Field::LeftPercent)),
        ReadingBy::Water | ReadingBy::Unknown | ReadingBy::Empty => (None, None),
    };
    let value = value.map_or_else(
        || text("p", "", words::ASK_NOW),
        |field| view_big(context, field),
    );
    vec![
        tag("div", "reading").with(value).with(select.html()).html(),
        beside.map_or(nothing(), |field| view_big(context, field)),
        view_side(context),
        view_aside(context, NOW, words::MORE, digest, &|| {
            let spread = match by {
                ReadingBy::Flushed | ReadingBy::Water | ReadingBy::Unknown | ReadingBy::Empty => {
                    nothing()
                }
                _ => view_small(context, page::spread(by)),
            };
            let glycol = chips(GlycolName::ALL, Some(lp.glycol), |c| {
                Action::Chosen(Pick::Glycol(c))
            });
            let mut family = chips(Family::ALL, lp.family, |f| {
                Action::Chosen(Pick::Family(Some(f)))
            });
            let none = Action::Chosen(Pick::Family(None));
            family.push(("", words::FAMILY_UNKNOWN, lp.family.is_none(), none));
            vec![
                spread,
                view_chips(context, "glycol", words::GLYCOL, true, glycol),
                view_chips(context, "family", words::FAMILY, true, family),
            ]
        }),
    ]
}

/// Which side of the turning point: asked only where it is needed, or was answered.
fn view_side(context: &Context) -> Html {
    let lp = context.page.model.current();
    let asked = lp.side.is_some() || page::asks_side(context.page);
    if lp.reading != ReadingBy::Frost || !asked {
        return nothing();
    }
    let side = chips(Side::ALL, lp.side, |c| Action::Chosen(Pick::Side(Some(c))));
    view_chips(context, "side", words::SIDE, true, side)
}

fn view_aim(context: &Context, digest: &str) -> Vec<Html> {
    let lp = context.page.model.current();
    let own = match lp.aim {
        AimBy::Night => nothing(),
        AimBy::Percent => view_big(context, Field::AimPercent),
        AimBy::Frost => view_big(context, Field::AimFrost),
    };
    vec![
        own,
        view_big(context, Field::Coldest),
        view_aside(context, AIM, words::MORE, digest, &|| {
            let aim = chips(AimBy::ALL, Some(lp.aim), |c| Action::Chosen(Pick::Aim(c)));
            vec![
                view_chips(context, "aim", words::AIM, true, aim),
                match lp.aim {
                    AimBy::Night => view_small(context, Field::Spare),
                    AimBy::Percent => view_small(context, Field::Within),
                    AimBy::Frost => nothing(),
                },
                view_small(context, Field::Renew),
                text("p", "hint", words::RENEW_HINT),
            ]
        }),
    ]
}
