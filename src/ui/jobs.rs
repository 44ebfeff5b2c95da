//! Jobs: the kept ones, and files out and in.

use pourcard::app::{
    desk::{Desk, DeskAction, Kept},
    draft, words,
};
use yew::Html;

use super::{
    Context,
    fleet::view_fleet_door,
    hand::{Deed, change, input},
    head::{view_button, view_named},
    link::view_link_part,
    tag::{nothing, tag, text},
};

/// The fold's inside.
pub fn view_jobs(context: &Context, desk: &Desk) -> Vec<Html> {
    let button = |words: &str, deed: Deed| view_button(context, "plain-button", words, deed);
    let found = desk.found();
    let kept = found.iter().map(|kept| view_kept(context, kept)).collect();
    // start.js finds it by its class, for files that come from the system.
    let file = tag("input", "jobs-in")
        .set("type", "file")
        .set("multiple", "")
        .set("accept", ".json,application/json")
        .hand(change(context.send, Deed::Import));
    let made = draft::file(&context.page.draft);
    vec![
        text("p", "hint", words::KEPT_HERE),
        tag("p", "buttons")
            .with(button(words::START_EMPTY, Deed::NewJob(DeskAction::Empty)))
            .with(button(
                words::SHOW_EXAMPLE,
                Deed::NewJob(DeskAction::Example),
            ))
            .with(button(
                words::DUPLICATE_JOB,
                Deed::NewJob(DeskAction::Duplicated),
            ))
            .with(button(words::DELETE_JOB, Deed::Delete(desk.open.clone())))
            .html(),
        view_seek(context, desk, found.is_empty()),
        tag("ul", "jobs").each(kept).html(),
        tag("p", "buttons")
            .with(view_export(context, made.as_deref()))
            .with(if desk.kept.is_empty() {
                nothing()
            } else {
                button(words::EXPORT_ALL, Deed::Desk(DeskAction::AllWanted))
            })
            .with(
                tag("label", "plain-button file")
                    .with(file.html())
                    .text(words::IMPORT)
                    .html(),
            )
            .html(),
        match made {
            Some(_) => nothing(),
            None => tag("p", "hint")
                .set("id", "export-why")
                .text(words::EXPORT_WHY)
                .html(),
        },
        view_link_part(context, desk),
        view_fleet_door(context, desk),
    ]
}

/// From how many kept jobs on they are looked for by title.
const MANY: usize = 4;

fn view_seek(context: &Context, desk: &Desk, none: bool) -> Html {
    if desk.kept.len() < MANY {
        return nothing();
    }
    let seek = tag("input", "")
        .set("type", "search")
        .set("id", "seek")
        .set("autocomplete", "off")
        .value(&desk.sought)
        .hand(input(context.send, Deed::Seek));
    tag("div", "field small")
        .with(
            tag("label", "")
                .set("for", "seek")
                .text(words::SEEK_JOB)
                .html(),
        )
        .with(tag("span", "entry wordy").with(seek.html()).html())
        .with(
            tag("p", "hint")
                .set("role", "status")
                .text(if none { words::NONE_FOUND } else { "" })
                .html(),
        )
        .html()
}

fn view_kept(context: &Context, kept: &Kept) -> Html {
    let title = match &kept.title {
        Ok(title) => words::job_title(title),
        Err(error) => [words::UNREADABLE, words::record_error(*error)].concat(),
    };
    let named = |words: &str, deed: Deed| view_named(context, words, &title, deed);
    tag("li", "")
        .key(&kept.id)
        .with(text("span", "job-title", &title))
        .with(match kept.title {
            Ok(_) => named(words::OPEN, Deed::Desk(DeskAction::Opened(kept.id.clone()))),
            Err(_) => {
                let text = kept.record.to_string();
                named(words::SAVE_RECORD, Deed::Save(words::RECORD_NAME, text))
            }
        })
        .with(named(words::DELETE, Deed::Delete(kept.id.clone())))
        .html()
}

fn view_export(context: &Context, made: Option<&str>) -> Html {
    let Some(text) = made else {
        return tag("button", "plain-button")
            .set("type", "button")
            .set("disabled", "")
            .set("aria-describedby", "export-why")
            .text(words::EXPORT)
            .html();
    };
    let save = Deed::Save(words::FILE_NAME, text.to_owned());
    view_button(context, "plain-button", words::EXPORT, save)
}
