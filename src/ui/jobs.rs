//! Jobs: the kept ones, and files out and in.

use pourcard::app::{
    desk::{Desk, DeskAction, Kept},
    draft, words,
};
use web_sys::HtmlInputElement;
use yew::{Callback, Event, Html, TargetCast, html};

use super::{Context, keeping::new_id};
use crate::browser;

/// The fold's inside.
pub fn view_jobs(context: &Context, desk: &Desk) -> Html {
    let send = |make: fn(String) -> DeskAction| {
        let send = context.send.clone();
        Callback::from(move |_| send.emit(make(new_id())))
    };
    html! {
        <>
            <p class="hint">{ words::KEPT_HERE }</p>
            <p class="buttons">
                <button type="button" class="plain-button" onclick={send(DeskAction::Empty)}>{ words::START_EMPTY }</button>
                <button type="button" class="plain-button" onclick={send(DeskAction::Example)}>{ words::SHOW_EXAMPLE }</button>
                <button type="button" class="plain-button" onclick={send(DeskAction::Duplicated)}>{ words::DUPLICATE_JOB }</button>
                { view_delete(context, &desk.open) }
            </p>
            if !desk.kept.is_empty() {
                <ul class="jobs">{ for desk.kept.iter().map(|kept| view_kept(context, kept)) }</ul>
            }
            <p class="buttons">
                { view_export(context) }
                <label class="plain-button file">
                    <input type="file" multiple=true accept=".json,application/json" onchange={imported(context)} />
                    { words::IMPORT }
                </label>
            </p>
            if !context.page.draft.is_whole() {
                <p class="hint" id="export-why">{ words::EXPORT_WHY }</p>
            }
        </>
    }
}

fn view_kept(context: &Context, kept: &Kept) -> Html {
    let title = match &kept.title {
        Ok(title) => words::job_title(title),
        Err(error) => [words::UNREADABLE, words::record_error(*error)].concat(),
    };
    let readable = kept.title.is_ok();
    let name = ["pourcard-", &kept.id, ".txt"].concat();
    let record = kept.record.clone();
    let save = Callback::from(move |_| {
        // Denied: the record stays where it is.
        let _ = browser::file::save(&name, "text/plain", &record);
    });
    html! {
        <li key={kept.id.clone()}>
            <span class="job-title">{ title.clone() }</span>
            if readable {
                <button type="button" class="link" onclick={context.on_desk(DeskAction::Opened(kept.id.clone()))}>
                    { words::OPEN }<span class="aside">{ [" ", &title].concat() }</span>
                </button>
            } else {
                <button type="button" class="link" onclick={save}>{ words::SAVE_RECORD }</button>
            }
            { view_delete(context, &kept.id) }
        </li>
    }
}

fn view_delete(context: &Context, id: &str) -> Html {
    let (send, id) = (context.send.clone(), id.to_owned());
    let delete = Callback::from(move |_| send.emit(DeskAction::Deleted(id.clone(), new_id())));
    html! { <button type="button" class="plain-button" onclick={delete}>{ words::DELETE }</button> }
}

fn view_export(context: &Context) -> Html {
    let made = context.page.draft.clone();
    let whole = made.is_whole();
    let export = Callback::from(move |_| {
        if let Some(text) = draft::file(&made) {
            // Denied: nothing is lost, the job is still here.
            let _ = browser::file::save(words::FILE_NAME, "application/json", &text);
        }
    });
    html! {
        <button type="button" class="plain-button" disabled={!whole} onclick={export}
            aria-describedby={(!whole).then_some("export-why")}>{ words::EXPORT }</button>
    }
}

fn imported(context: &Context) -> Callback<Event> {
    let send = context.send.clone();
    Callback::from(move |event: Event| {
        let Some(input) = event.target_dyn_into::<HtmlInputElement>() else {
            return;
        };
        let send = send.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let files = browser::file::open(&input).await;
            if !files.is_empty() {
                let named = files.into_iter().map(|f| (f.name, f.text, new_id()));
                send.emit(DeskAction::Imported(named.collect()));
            }
        });
    })
}
