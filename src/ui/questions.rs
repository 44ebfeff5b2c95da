//! The four questions.

use pourcard::app::{
    action::{Action, Pick},
    choice::{AimBy, Choice, Family, GlycolName, ReadingBy, Side},
    field::Field,
    model::Spot,
    page, view, words,
};
use yew::Html;

use super::{
    Context,
    choice::{chips, view_chips},
    field::{Size, view_row, view_spot},
    folds::{self, FAMILY, OTHERS, RENEW, is_open, view_inside},
    shelf::view_shelf,
    tag::{nothing, several, tag, text},
};

/// A question under its heading.
fn view_question(id: &'static str, heading: &str, inside: Vec<Html>) -> Html {
    tag("section", "question")
        .set("aria-labelledby", id)
        .with(tag("h2", "").set("id", id).text(heading).html())
        .each(inside)
        .html()
}

/// All four.
pub fn view_questions(context: &Context) -> Html {
    several(vec![
        view_question("ask-holds", words::ASK_HOLDS, view_holds(context)),
        view_question("ask-now", words::ASK_NOW, view_now(context)),
        view_question("ask-aim", words::ASK_AIM, view_aim(context)),
        view_question("ask-shelf", words::ASK_SHELF, view_shelf(context)),
    ])
}

/// What few people need, folded away under a question, with what it says in a few words.
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

/// A row of fields, the first of them big.
fn view_lead(context: &Context, fields: &[Field]) -> Html {
    let mut row = Vec::new();
    for (i, field) in fields.iter().enumerate() {
        let size = if i == 0 { Size::Big } else { Size::Small };
        row.push(view_spot(context, Spot::Loop(*field), size));
    }
    view_row("row lead", row)
}

/// A row with one field of the lesser kind.
fn view_small(context: &Context, field: Field) -> Html {
    view_row(
        "row",
        vec![view_spot(context, Spot::Loop(field), Size::Small)],
    )
}

fn view_holds(context: &Context) -> Vec<Html> {
    vec![
        view_lead(context, &[Field::Volume, Field::VolumeSpread]),
        view_row(
            "row",
            [Field::Missing, Field::MissingSpread]
                .map(|field| view_spot(context, Spot::Loop(field), Size::Small))
                .into(),
        ),
    ]
}

fn view_now(context: &Context) -> Vec<Html> {
    let lp = context.page.model.current();
    let reading = |list| chips(list, Some(lp.reading), |c| Action::Chosen(Pick::Reading(c)));
    let rarer = reading(ReadingBy::RARER);
    let glycol = chips(GlycolName::ALL, Some(lp.glycol), |c| {
        Action::Chosen(Pick::Glycol(c))
    });
    let chosen = rarer.iter().any(|chip| chip.2);
    let others = tag("details", "rarer")
        .set("id", &folds::id(OTHERS))
        .flag("open", chosen)
        .with(text("summary", "", words::MORE_READINGS))
        .with(if chosen || is_open(context.open, OTHERS) {
            view_chips(context, "reading", words::MORE_READINGS, false, rarer)
        } else {
            nothing()
        });
    vec![
        view_chips(
            context,
            "reading",
            words::READING,
            false,
            reading(ReadingBy::USUAL),
        ),
        others.html(),
        view_reading(context, lp.reading),
        view_side(context),
        view_chips(context, "glycol", words::GLYCOL, true, glycol),
        view_family(context, lp.family),
    ]
}

fn view_family(context: &Context, family: Option<Family>) -> Html {
    let [digest, ..] = view::aside_digests(context.page);
    view_aside(context, FAMILY, words::FAMILY, &digest, &|| {
        let mut chips = chips(Family::ALL, family, |f| {
            Action::Chosen(Pick::Family(Some(f)))
        });
        let none = Action::Chosen(Pick::Family(None));
        chips.push(("", words::FAMILY_UNKNOWN, family.is_none(), none));
        vec![view_chips(context, "family", words::FAMILY, false, chips)]
    })
}

fn view_reading(context: &Context, by: ReadingBy) -> Html {
    let (value, spread) = (page::reading(by), page::spread(by));
    match by {
        ReadingBy::Percent | ReadingBy::Frost => view_lead(context, &[value, spread]),
        ReadingBy::Gravity | ReadingBy::Index | ReadingBy::Brix => {
            view_lead(context, &[value, Field::SampleAt, spread])
        }
        ReadingBy::Flushed => view_lead(context, &[Field::LeftBehind, Field::LeftPercent]),
        ReadingBy::Water | ReadingBy::Unknown | ReadingBy::Empty => nothing(),
    }
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

fn view_aim(context: &Context) -> Vec<Html> {
    let lp = context.page.model.current();
    let aim = chips(AimBy::ALL, Some(lp.aim), |c| Action::Chosen(Pick::Aim(c)));
    let mut list = vec![view_chips(context, "aim", words::AIM, false, aim)];
    list.push(match lp.aim {
        AimBy::Night => view_lead(context, &[Field::Coldest, Field::Spare]),
        AimBy::Percent => view_lead(context, &[Field::AimPercent, Field::Within]),
        AimBy::Frost => view_lead(context, &[Field::AimFrost]),
    });
    if lp.aim != AimBy::Night {
        list.push(view_small(context, Field::Coldest));
    }
    let [_, renew, _] = view::aside_digests(context.page);
    list.push(view_aside(context, RENEW, words::RENEW, &renew, &|| {
        vec![
            view_small(context, Field::Renew),
            text("p", "hint", words::RENEW_HINT),
        ]
    }));
    list
}
