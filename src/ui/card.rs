//! The pour card: verdict, amounts, steps; then the picture and the figures.

use pourcard::app::{
    action::Action,
    counter::Deal,
    desk::DeskAction,
    model::Spot,
    plain,
    view::{self, Card, CautionView, Notice, Standing, StepView},
    words,
};
use yew::Html;

use crate::browser::clipboard;

use super::{
    Context,
    choice::view_chips,
    column::view_column,
    field::{Size, view_field},
    hand::{Deed, change},
    head::{view_button, view_link},
    margin::{view_closer, view_margins},
    pattern::view_swatch,
    tag::{nothing, several, tag, text},
};

/// How the card stands to what is typed, for the style.
pub const fn standing_code(card: &Card) -> &'static str {
    match card.standing {
        Standing::Blank => "blank",
        Standing::Fresh => "fresh",
        Standing::OutOfDate => "out-of-date",
    }
}

/// The card.
pub fn view_card(context: &Context, card: &Card) -> Html {
    view_sheet_of_paper(context, card, true)
}

/// The card of a loop that is not in sight, for the printer: seen on paper alone.
pub fn view_paper(context: &Context, card: &Card) -> Html {
    view_sheet_of_paper(context, card, false)
}

fn view_sheet_of_paper(context: &Context, card: &Card, own: bool) -> Html {
    let title = if own { "card-title" } else { "" };
    let head = tag("div", "card-head")
        .with(
            tag("h2", "")
                .set("id", title)
                .text(words::POUR_CARD)
                .with(text("span", "card-loop", &card.loop_name))
                .html(),
        )
        .with(text("p", "", words::cold(context.page.model.system)));
    let (stops, others): (Vec<_>, Vec<_>) = card.cautions.iter().partition(|c| c.code == "stop");
    let body = tag("div", "card-body")
        .with(view_caution_list(&stops))
        .with(view_verdict(card))
        .with(view_headline(card))
        .with(
            tag("div", "bench")
                .with(view_steps(context, card, own))
                .with(card.column.as_ref().map_or(nothing(), view_column))
                .with(card.margins.as_ref().map_or(nothing(), view_margins))
                .html(),
        )
        .with(match card.margins.as_ref().filter(|_| own) {
            Some(margins) => view_closer(margins, context.open),
            None => nothing(),
        })
        .with(view_caution_list(&others))
        .with(view_other_ways(card));
    let mut paper = tag("section", if own { "card" } else { "card paper" });
    if own {
        paper = paper
            .set("id", view::CARD)
            .set("aria-labelledby", title)
            .set("data-standing", standing_code(card))
            .set("tabindex", "-1");
    }
    paper = paper.with(head.html());
    if !own {
        return paper.with(body.html()).html();
    }
    paper
        .each(view_state(context, card))
        .with(body.html())
        .with(view_always())
        .with(view_foot(context, card))
        .html()
}

/// Blank, refused or out of date.
fn view_state(context: &Context, card: &Card) -> Vec<Html> {
    let mut list = Vec::new();
    if let Some(refusal) = &card.refusal {
        list.push(
            tag("div", "caution stop")
                .set("id", "refusal")
                .with(
                    tag("p", "")
                        .with(text("b", "", words::NO_PLAN))
                        .text(&refusal.text)
                        .html(),
                )
                .with(view_help(context, refusal))
                .html(),
        );
    }
    if card.standing == Standing::OutOfDate {
        list.push(text("p", "out-of-date", words::OUT_OF_DATE));
    }
    if card.standing == Standing::Blank && card.refusal.is_none() {
        list.push(view_blank());
    }
    if card.standing != Standing::Fresh && !card.needs.is_empty() {
        let needs = card.needs.iter().map(|need| text("li", "", need)).collect();
        list.push(
            tag("div", "needs")
                .with(text("p", "", words::STILL_NEEDED))
                .with(tag("ul", "").each(needs).html())
                .html(),
        );
    }
    list
}

/// What can be had instead, and what would do it, each one tap away.
fn view_help(context: &Context, refusal: &Notice) -> Html {
    let button = |words, action| view_button(context, "plain-button", words, Deed::Act(action));
    let mut list = Vec::new();
    for words in [&refusal.best, &refusal.more].into_iter().flatten() {
        list.push(text("p", "", words));
    }
    let mut buttons = Vec::new();
    if let Some(percent) = refusal.settle {
        buttons.push(button(words::USE_ALL, Action::SettledFor(percent)));
    }
    if let Some(short) = refusal.buy {
        let deal = Deal::Wanted(short.row, short.litres);
        buttons.push(button(words::TO_BUY, Action::Dealt(deal)));
    }
    if !buttons.is_empty() {
        list.push(tag("p", "buttons").each(buttons).html());
    }
    several(list)
}

/// What the card will give, before there are figures.
fn view_blank() -> Html {
    let line = |when| {
        tag("div", "")
            .with(text("dt", "", when))
            .with(text("dd", "", words::WILL_PROTECT))
            .html()
    };
    let gives = words::WILL_GIVE.iter().map(|words| text("li", "", words));
    tag("div", "blank")
        .with(text("p", "", words::BLANK_CARD))
        .with(
            tag("dl", "verdict")
                .with(line(words::NOW_IT))
                .with(line(words::AFTER_JOB))
                .html(),
        )
        .with(text("p", "headline", words::WILL_SAY))
        .with(tag("ul", "").each(gives.collect()).html())
        .html()
}

/// How cold it may get, under any Stop.
fn view_verdict(card: &Card) -> Html {
    let Some(verdict) = &card.verdict else {
        return nothing();
    };
    let mut list = tag("dl", "");
    for (when, holds) in &verdict.lines {
        list = list.with(
            tag("div", "")
                .with(text("dt", "", when))
                .with(text("dd", "", holds))
                .html(),
        );
    }
    let mut verdict_box = tag(
        "div",
        if verdict.bad {
            "verdict bad"
        } else {
            "verdict"
        },
    )
    .with(list.html());
    if !verdict.against.is_empty() {
        verdict_box = verdict_box.with(text("p", "", &verdict.against));
    }
    verdict_box.html()
}

fn view_headline(card: &Card) -> Html {
    if card.headline.is_empty() {
        return nothing();
    }
    let mut line = tag("p", "headline");
    for piece in &card.headline {
        line = if piece.amount {
            line.with(text("b", "", &piece.text))
        } else {
            line.text(&piece.text)
        };
    }
    line.text(".").html()
}

fn view_steps(context: &Context, card: &Card, own: bool) -> Html {
    if card.steps.is_empty() && !card.begun {
        return nothing();
    }
    let steps = card
        .steps
        .iter()
        .map(|step| view_step(context, step, own))
        .collect();
    tag("div", "steps-side")
        .with(text("h3", "aside", words::STEPS))
        .with(tag("ol", "steps").each(steps).html())
        .with(if card.totals.is_empty() {
            nothing()
        } else {
            text("p", "totals", &card.totals)
        })
        .with(if card.begun {
            view_link(context, words::CLEAR_CARD, Deed::Act(Action::CardCleared))
        } else {
            nothing()
        })
        .html()
}

fn view_step(context: &Context, step: &StepView, own: bool) -> Html {
    let tick = tag("input", "")
        .set("type", "checkbox")
        .set("aria-label", &[words::TICK, ": ", &step.title].concat())
        .checked(step.done)
        .hand(change(
            context.send,
            Deed::Act(Action::StepTicked(step.id.clone())),
        ));
    let number = tag("span", "")
        .set("aria-hidden", "true")
        .text(&step.number.to_string());
    let title = tag("p", "what-title")
        .with(step.pattern.map_or(nothing(), view_swatch))
        .text(&step.title);
    let mut line = tag("li", if step.done { "step done" } else { "step" }).key(&step.id);
    if let Some(round) = &step.round {
        line = line.with(text("p", "round", round));
    }
    let mut first = tag("div", "step-line").with(title.html());
    if let Some(amount) = &step.amount {
        first = first.with(text("p", "amount", amount));
    }
    let mut second = tag("div", "step-line").with(text("p", "note", &step.note));
    if !own {
        // To be ticked and filled in by hand.
    } else if let Some(field) = &step.happened {
        let size = if step.happened_asked {
            Size::Small
        } else {
            Size::Later
        };
        let spot = Spot::Happened(step.id.clone());
        second = second.with(view_field(context, spot, field, size));
    }
    // Always as many children: the field before it keeps the focus.
    second = second.with(step.measured_at.as_ref().map_or(nothing(), |field| {
        let spot = Spot::HappenedAt(step.id.clone());
        view_field(context, spot, field, Size::Small)
    }));
    second = second.with(step.at_mark.map_or(nothing(), |there| {
        let answer = |code, words, yes| {
            let action = Action::AtMark(step.id.clone(), yes);
            (code, words, there == yes, action)
        };
        let chips = vec![
            answer("yes", words::AT_MARK_YES, true),
            answer("no", words::RAN_OUT, false),
        ];
        let name = ["at-mark-", &step.id].concat();
        view_chips(context, &name, words::AT_MARK, true, chips)
    }));
    line.with(
        tag("label", "tick")
            .with(tick.html())
            .with(number.html())
            .html(),
    )
    .with(
        tag("div", "what")
            .with(first.html())
            .with(second.html())
            .html(),
    )
    .html()
}

/// Cautions, heaviest first.
pub fn view_caution_list(cautions: &[&CautionView]) -> Html {
    let mut list = Vec::new();
    for caution in cautions {
        let class = match caution.code {
            "stop" => "caution stop",
            "mind" => "caution mind",
            _ => "caution note",
        };
        list.push(
            tag("li", class)
                .with(text("b", "", caution.word))
                .text(&caution.text)
                .html(),
        );
    }
    view_list("cautions", words::CAUTIONS, "aside", list)
}

/// A list under a heading; nothing where it is empty.
fn view_list(
    class: &'static str,
    heading: &str,
    heading_class: &'static str,
    list: Vec<Html>,
) -> Html {
    if list.is_empty() {
        return nothing();
    }
    tag("section", class)
        .with(text("h3", heading_class, heading))
        .with(tag("ul", "").each(list).html())
        .html()
}

fn view_other_ways(card: &Card) -> Html {
    if card.other_ways.is_empty() {
        return nothing();
    }
    let ways = card
        .other_ways
        .iter()
        .map(|way| text("li", "", way))
        .collect();
    tag("details", "other-ways")
        .with(text("summary", "", words::OTHER_WAYS))
        .with(tag("ul", "").each(ways).html())
        .html()
}

/// What holds for every job.
pub fn view_always() -> Html {
    let list = words::STANDING
        .iter()
        .map(|words| text("li", "", words))
        .collect();
    view_list("always", words::ALWAYS, "", list)
}

fn view_foot(context: &Context, card: &Card) -> Html {
    if card.standing == Standing::Blank {
        return nothing();
    }
    let title = &context.page.model.title;
    let text = plain::text(title, card);
    let share = if clipboard::can_share() {
        let deed = Deed::Share(words::job_title(title), text.clone());
        view_button(context, "plain-button", words::SHARE, deed)
    } else {
        nothing()
    };
    tag("p", "card-foot")
        .with(view_button(
            context,
            "plain-button",
            words::COPY,
            Deed::Copy(text, DeskAction::Copied),
        ))
        .with(share)
        .with(view_button(
            context,
            "plain-button",
            words::PRINT,
            Deed::Print("card"),
        ))
        .html()
}
