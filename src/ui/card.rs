//! The pour card: a note left on a bench.

use pourcard::app::{
    action::Action,
    desk::DeskAction,
    model::Spot,
    plain,
    view::{Card, CautionView, Standing, StepView},
    words,
};
use yew::{Callback, Html, classes, html};

use super::{
    Context,
    column::view_column,
    field::{Size, view_field},
    margin::view_margins,
    pattern::view_swatch,
};
use crate::browser;

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
    html! {
        <section class="card" id="card" aria-labelledby="card-title" data-standing={standing_code(card)} tabindex="-1">
            <div class="card-head">
                <h2 id="card-title">{ words::POUR_CARD }<span class="card-loop">{ card.loop_name.clone() }</span></h2>
                <p>{ words::COLD }</p>
            </div>
            { view_state(card) }
            <div class="card-body">
                if !card.headline.is_empty() {
                    <p class="headline">
                        { for card.headline.iter().map(|piece| if piece.amount {
                            html! { <b>{ piece.text.clone() }</b> }
                        } else {
                            html! { { piece.text.clone() } }
                        }) }
                        { "." }
                    </p>
                }
                <div class="bench">
                    if let Some(column) = &card.column {
                        { view_column(column) }
                    }
                    { view_steps(context, card) }
                </div>
                if let Some(margins) = &card.margins {
                    { view_margins(margins) }
                }
                { view_cautions(&card.cautions) }
                { view_other_ways(card) }
            </div>
            { view_always() }
            { view_card_foot(context, card) }
        </section>
    }
}

/// Blank, refused or out of date.
fn view_state(card: &Card) -> Html {
    html! {
        <>
            if let Some(refusal) = &card.refusal {
                <div class="caution stop" id="refusal">
                    <p><b>{ words::NO_PLAN }</b>{ refusal.text.clone() }</p>
                    if let Some(best) = &refusal.best {
                        <p>{ best.clone() }</p>
                    }
                </div>
            }
            if card.standing == Standing::OutOfDate {
                <p class="out-of-date">{ words::OUT_OF_DATE }</p>
            }
            if card.standing == Standing::Blank && card.refusal.is_none() {
                <p class="blank">{ words::BLANK_CARD }</p>
            }
            if card.standing != Standing::Fresh && !card.needs.is_empty() {
                <div class="needs">
                    <p>{ words::STILL_NEEDED }</p>
                    <ul>{ for card.needs.iter().map(|need| html! { <li>{ *need }</li> }) }</ul>
                </div>
            }
        </>
    }
}

fn view_steps(context: &Context, card: &Card) -> Html {
    if card.steps.is_empty() {
        return Html::default();
    }
    html! {
        <div class="steps-side">
            <h3 class="aside">{ words::STEPS }</h3>
            <ol class="steps">{ for card.steps.iter().map(|step| view_step(context, step)) }</ol>
            if !card.totals.is_empty() {
                <p class="totals">{ card.totals.clone() }</p>
            }
            if card.begun {
                <button type="button" class="link" onclick={context.on(Action::CardCleared)}>{ words::CLEAR_CARD }</button>
            }
        </div>
    }
}

fn view_step(context: &Context, step: &StepView) -> Html {
    let tick = [words::TICK, ": ", &step.title].concat();
    html! {
        <li class={classes!("step", step.done.then_some("done"), step.amount.is_none().then_some("plain"))} key={step.id.clone()}>
            if let Some(round) = &step.round {
                <p class="round">{ round.clone() }</p>
            }
            <label class="tick">
                <input type="checkbox" checked={step.done} aria-label={tick}
                    onchange={context.on(Action::StepTicked(step.id.clone()))} />
                <span aria-hidden="true">{ step.number }</span>
            </label>
            <div class="what">
                <p class="what-title">
                    if let Some(pattern) = step.pattern {
                        { view_swatch(pattern) }
                    }
                    { step.title.clone() }
                </p>
                <p class="note">{ step.note.clone() }</p>
            </div>
            if let Some(amount) = &step.amount {
                <p class="amount">{ amount.clone() }</p>
            }
            if let Some(field) = &step.happened {
                <div class="really">{ view_field(context, Spot::Happened(step.id.clone()), field, Size::Small) }</div>
            }
        </li>
    }
}

fn view_cautions(cautions: &[CautionView]) -> Html {
    if cautions.is_empty() {
        return Html::default();
    }
    html! {
        <section class="cautions" aria-labelledby="cautions-title">
            <h3 id="cautions-title" class="aside">{ words::CAUTIONS }</h3>
            <ul>
                { for cautions.iter().map(|caution| html! {
                    <li class={classes!("caution", caution.code)}><b>{ caution.word }</b>{ caution.text.clone() }</li>
                }) }
            </ul>
        </section>
    }
}

fn view_other_ways(card: &Card) -> Html {
    if card.other_ways.is_empty() {
        return Html::default();
    }
    html! {
        <details class="other-ways">
            <summary>{ words::OTHER_WAYS }</summary>
            <ul>{ for card.other_ways.iter().map(|way| html! { <li>{ way.clone() }</li> }) }</ul>
        </details>
    }
}

fn view_always() -> Html {
    html! {
        <section class="always" aria-labelledby="always-title">
            <h3 id="always-title">{ words::ALWAYS }</h3>
            <ul>{ for words::STANDING.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
        </section>
    }
}

fn view_card_foot(context: &Context, card: &Card) -> Html {
    if card.standing == Standing::Blank {
        return Html::default();
    }
    let text = plain::text(&context.page.model.title, card);
    let send = context.send.clone();
    let copy = Callback::from(move |_| {
        let (text, send) = (text.clone(), send.clone());
        wasm_bindgen_futures::spawn_local(async move {
            if browser::clipboard::copy(&text).await.is_some() {
                send.emit(DeskAction::Copied);
            }
        });
    });
    let print = Callback::from(|_| {
        // Denied only where there is nothing to print on.
        let _ = browser::clipboard::print();
    });
    html! {
        <p class="card-foot">
            <button type="button" class="plain-button" onclick={copy}>{ words::COPY }</button>
            <button type="button" class="plain-button" onclick={print}>{ words::PRINT }</button>
        </p>
    }
}
