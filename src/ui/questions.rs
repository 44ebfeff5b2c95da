//! The four questions.

use pourcard::app::{
    action::Pick,
    choice::{AimBy, Choice, GlycolName, ReadingBy, Side},
    field::Field,
    model::Spot,
    page, words,
};
use yew::{Html, html};

use super::{
    Context,
    choice::{Chips, view_chips},
    field::{Size, view_row, view_spot},
    shelf::view_shelf,
};

/// A question under its heading.
fn view_question(id: &'static str, heading: &'static str, inside: Html) -> Html {
    html! {
        <section class="question" aria-labelledby={id}>
            <h2 {id}>{ heading }</h2>
            { inside }
        </section>
    }
}

/// All four.
pub fn view_questions(context: &Context) -> Html {
    html! {
        <>
            { view_question("ask-holds", words::ASK_HOLDS, view_holds(context)) }
            { view_question("ask-now", words::ASK_NOW, view_now(context)) }
            { view_question("ask-aim", words::ASK_AIM, view_aim(context)) }
            { view_question("ask-shelf", words::ASK_SHELF, view_shelf(context)) }
        </>
    }
}

fn big(context: &Context, field: Field) -> Html {
    view_spot(context, Spot::Loop(field), Size::Big)
}

fn small(context: &Context, field: Field) -> Html {
    view_spot(context, Spot::Loop(field), Size::Small)
}

fn view_holds(context: &Context) -> Html {
    html! {
        <>
            { view_row("lead", vec![big(context, Field::Volume), small(context, Field::VolumeSpread)]) }
            { view_row("", vec![small(context, Field::Missing)]) }
        </>
    }
}

fn view_now(context: &Context) -> Html {
    let lp = context.page.model.current();
    let glycol = Chips {
        name: "glycol",
        legend: words::GLYCOL,
        seen: true,
        options: GlycolName::ALL,
        chosen: Some(lp.glycol),
    };
    let reading = Chips {
        name: "reading",
        legend: words::READING,
        seen: true,
        options: ReadingBy::ALL,
        chosen: Some(lp.reading),
    };
    html! {
        <>
            { view_chips(context, &reading, Pick::Reading) }
            { view_reading(context, lp.reading) }
            { view_chips(context, &glycol, Pick::Glycol) }
        </>
    }
}

fn view_reading(context: &Context, by: ReadingBy) -> Html {
    let value = page::reading(by);
    let spread = page::spread(by);
    match by {
        ReadingBy::Percent => view_row("lead", vec![big(context, value), small(context, spread)]),
        ReadingBy::Frost => html! {
            <>
                { view_row("lead", vec![big(context, value), small(context, spread)]) }
                { view_side(context) }
            </>
        },
        ReadingBy::Gravity | ReadingBy::Index | ReadingBy::Brix => {
            let sample = small(context, Field::SampleAt);
            view_row(
                "lead",
                vec![big(context, value), sample, small(context, spread)],
            )
        }
        ReadingBy::Flushed => view_row(
            "lead",
            vec![
                big(context, Field::LeftBehind),
                small(context, Field::LeftPercent),
            ],
        ),
        ReadingBy::Water | ReadingBy::Unknown | ReadingBy::Empty => Html::default(),
    }
}

/// Which side of the turning point: asked only where it is needed, or was answered.
fn view_side(context: &Context) -> Html {
    let lp = context.page.model.current();
    if lp.side.is_none() && !page::asks_side(&context.page) {
        return Html::default();
    }
    let side = Chips {
        name: "side",
        legend: words::SIDE,
        seen: true,
        options: Side::ALL,
        chosen: lp.side,
    };
    view_chips(context, &side, Pick::Side)
}

fn view_aim(context: &Context) -> Html {
    let lp = context.page.model.current();
    let aim = Chips {
        name: "aim",
        legend: words::AIM,
        seen: false,
        options: AimBy::ALL,
        chosen: Some(lp.aim),
    };
    let fields = match lp.aim {
        AimBy::Night => view_row(
            "lead",
            vec![big(context, Field::Coldest), small(context, Field::Spare)],
        ),
        AimBy::Percent => html! {
            <>
                { view_row("lead", vec![big(context, Field::AimPercent), small(context, Field::Within)]) }
                { view_row("", vec![small(context, Field::Coldest)]) }
            </>
        },
        AimBy::Frost => html! {
            <>
                { view_row("lead", vec![big(context, Field::AimFrost)]) }
                { view_row("", vec![small(context, Field::Coldest)]) }
            </>
        },
    };
    html! { <>{ view_chips(context, &aim, Pick::Aim) }{ fields }</> }
}
