//! The head of the page: its name, the job's title, units; and the loops.

use pourcard::app::{
    action::Action,
    choice::{Choice, System},
    desk::{Desk, DeskAction},
    model::Spot,
    view, words,
};
use web_sys::HtmlInputElement;
use yew::{Callback, Html, InputEvent, TargetCast, html};

use super::{
    Context,
    choice::{Chips, view_options},
    keeping::new_id,
};

/// Name, units, title, and what there is to tell.
pub fn view_head(context: &Context, desk: &Desk) -> Html {
    let title = view::field(&context.page, &Spot::Title);
    let typed = {
        let context = context.clone();
        Callback::from(move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                context.act(Action::Typed(Spot::Title, input.value()));
            }
        })
    };
    let units = Chips {
        name: "units",
        legend: words::UNITS,
        seen: false,
        options: System::ALL,
        chosen: Some(context.page.model.system),
    };
    html! {
        <header class="head">
            <h1 class="name">{ words::NAME }</h1>
            <div class="units">{ view_options(context, &units, Action::UnitsChosen) }</div>
            <div class="title">
                <label for="title" class="aside">{ title.label }</label>
                <input type="text" id="title" value={title.text} placeholder={title.placeholder}
                    autocomplete="off" enterkeyhint="done" oninput={typed} />
                <button type="button" class="quiet" disabled={!context.page.can_undo()}
                    onclick={context.on(Action::Undone)}>{ words::UNDO }</button>
            </div>
            { view_example(context, desk) }
            { view_tidings(context, desk) }
        </header>
    }
}

fn view_example(context: &Context, desk: &Desk) -> Html {
    if !desk.is_example() {
        return Html::default();
    }
    let send = context.send.clone();
    let start = Callback::from(move |_| send.emit(DeskAction::Empty(new_id())));
    html! {
        <p class="note-line">
            { words::EXAMPLE }{ " " }
            <button type="button" class="link" onclick={start}>{ words::START_EMPTY }</button>
        </p>
    }
}

fn view_tidings(context: &Context, desk: &Desk) -> Html {
    let deleted = matches!(desk.tidings, Some(pourcard::app::desk::Tidings::Deleted(_)));
    html! {
        <div role="status" class="tidings">
            if let Some(tidings) = &desk.tidings {
                <p class="note-line">
                    { words::tidings(tidings) }{ " " }
                    if deleted {
                        <button type="button" class="link" onclick={context.on_desk(DeskAction::Undeleted)}>
                            { words::UNDO }
                        </button>
                        { " " }
                    }
                    <button type="button" class="link" onclick={context.on_desk(DeskAction::Noticed)}>
                        { words::CLOSE }
                    </button>
                </p>
            }
        </div>
    }
}

/// The loops, and another.
pub fn view_loops(context: &Context) -> Html {
    let model = &context.page.model;
    let several = model.loops.len() > 1;
    html! {
        <nav class="loops" aria-label={words::LOOPS}>
            { for model.loops.iter().enumerate().map(|(i, lp)| {
                let current = i == model.selected;
                let name = lp.name.trim();
                let name = if name.is_empty() { words::loop_name(i) } else { name.to_owned() };
                html! {
                    <button type="button" class="tab" aria-current={current.then_some("true")}
                        onclick={context.on(Action::LoopChosen(i))} key={lp.id}>{ name }</button>
                }
            }) }
            <button type="button" class="link" onclick={context.on(Action::LoopAdded)}>{ words::ADD_LOOP }</button>
            if several {
                <button type="button" class="link" onclick={context.on(Action::LoopRemoved)}>{ words::REMOVE_LOOP }</button>
            }
        </nav>
    }
}
