//! A text field: label, text, sign, unit, and what is wrong with it, linked.

use pourcard::app::{
    action::Action,
    field::Unit,
    model::Spot,
    view::{self, FieldView, UnitView},
    words,
};
use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::{Callback, Classes, Event, Html, InputEvent, TargetCast, classes, html};

use super::Context;

/// How a field stands in its question.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// The question's main figure.
    Big,
    /// Beside it, or in a fold.
    Small,
}

/// A field by its place on the page.
pub fn view_spot(context: &Context, spot: Spot, size: Size) -> Html {
    let field = view::field(&context.page, &spot);
    view_field(context, spot, &field, size)
}

/// A field that is ready to be drawn.
pub fn view_field(context: &Context, spot: Spot, field: &FieldView, size: Size) -> Html {
    let error_id = [&field.id, "-error"].concat();
    let unit_id = [&field.id, "-unit"].concat();
    let fixed = matches!(field.unit, UnitView::Fixed(_));
    let described = match (fixed, field.error.is_some()) {
        (true, true) => Some([unit_id.as_str(), " ", &error_id].concat()),
        (true, false) => Some(unit_id.clone()),
        (false, true) => Some(error_id.clone()),
        (false, false) => None,
    };
    let shape = match size {
        Size::Big => "big",
        Size::Small => "small",
    };
    let numeric = field.numeric;
    html! {
        <div class={classes!("field", shape, field.error.is_some().then_some("wrong"))}>
            <label for={field.id.clone()}>
                { field.label }
                if !field.label_more.is_empty() {
                    <span class="aside">{ field.label_more }</span>
                }
            </label>
            <span class={classes!("entry", (!numeric).then_some("wordy"))}>
                if field.signed {
                    <button type="button" class="sign" onclick={context.on(Action::SignTurned(spot.clone()))}
                        aria-label={[words::TURN_SIGN, " ", field.label].concat()}>{ "±" }</button>
                }
                <input type="text" id={field.id.clone()} value={field.text.clone()}
                    inputmode={numeric.then_some(if field.signed { "text" } else { "decimal" })}
                    autocomplete="off" autocapitalize={numeric.then_some("none")} spellcheck={numeric.then_some("false")}
                    enterkeyhint="next" placeholder={field.placeholder.clone()}
                    aria-invalid={field.error.is_some().then_some("true")}
                    aria-describedby={described}
                    oninput={typed(context, spot.clone())} />
                { view_unit(context, spot, field, unit_id) }
            </span>
            if let Some(error) = &field.error {
                <p class="error" id={error_id}>{ error }</p>
            }
        </div>
    }
}

fn typed(context: &Context, spot: Spot) -> Callback<InputEvent> {
    let context = context.clone();
    Callback::from(move |event: InputEvent| {
        if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
            context.act(Action::Typed(spot.clone(), input.value()));
        }
    })
}

fn view_unit(context: &Context, spot: Spot, field: &FieldView, id: String) -> Html {
    match &field.unit {
        UnitView::None => Html::default(),
        UnitView::Fixed(words) => html! { <span class="unit" id={id}>{ words }</span> },
        UnitView::Choice { code, options } => html! {
            <select class="unit" {id} ~value={code.clone()} onchange={unit_chosen(context, spot)}
                aria-label={[words::UNIT_OF, " ", field.label, field.label_more].concat()}>
                { for options.iter().map(|(option, words)| html! {
                    <option value={option.clone()} selected={option == code}>{ words }</option>
                }) }
            </select>
        },
    }
}

fn unit_chosen(context: &Context, spot: Spot) -> Callback<Event> {
    let context = context.clone();
    Callback::from(move |event: Event| {
        let chosen = event
            .target_dyn_into::<HtmlSelectElement>()
            .map(|s| s.value());
        let unit = spot
            .measure()
            .zip(chosen)
            .and_then(|(measure, code)| Unit::from_code(measure, &code));
        if let Some(unit) = unit {
            context.act(Action::UnitChosen(spot.clone(), unit));
        }
    })
}

/// Fields side by side, wrapping where they must.
pub fn view_row(class: &'static str, fields: Vec<Html>) -> Html {
    let classes: Classes = classes!("row", class);
    html! { <div class={classes}>{ for fields }</div> }
}
