//! The head of the page: its name, the job's title, units; and the loops.

use pourcard::app::{
    action::{Action, Pick},
    choice::{Choice, Kind, System},
    desk::{Desk, DeskAction, Tidings},
    model::Spot,
    view, words,
};
use yew::Html;

use super::{
    Context,
    choice::{chips, view_chips},
    field::{Size, view_more, view_spot},
    folds::LOOP,
    hand::{Deed, click, input},
    questions::view_aside,
    tag::{nothing, tag},
};

/// A button that reads as a link.
pub fn view_link(context: &Context, words: &str, deed: Deed) -> Html {
    view_button(context, "link", words, deed)
}

/// The same, with what it is about for a screen reader.
pub fn view_named(context: &Context, words: &str, of: &str, deed: Deed) -> Html {
    tag("button", "link")
        .set("type", "button")
        .text(words)
        .with(view_more(&[" ", of].concat()))
        .hand(click(context.send, deed))
        .html()
}

/// A button.
pub fn view_button(context: &Context, class: &'static str, words: &str, deed: Deed) -> Html {
    tag("button", class)
        .set("type", "button")
        .text(words)
        .hand(click(context.send, deed))
        .html()
}

/// Name, units, title, and what there is to tell.
pub fn view_head(context: &Context, desk: &Desk) -> Html {
    let title = view::field(context.page, &Spot::Title);
    let units = chips(
        System::ALL,
        Some(context.page.model.system),
        Action::UnitsChosen,
    );
    let title_box = tag("input", "")
        .set("type", "text")
        .set("id", "title")
        .set("dir", "auto")
        .set("placeholder", &title.placeholder)
        .set("autocomplete", "off")
        .set("enterkeyhint", "done")
        .value(&title.text)
        .hand(input(context.send, Deed::Type(Spot::Title)));
    let undo = tag("button", "quiet")
        .set("type", "button")
        .flag("disabled", !context.page.can_undo())
        .text(words::UNDO)
        .hand(click(context.send, Deed::Act(Action::Undone)));
    tag("header", "head")
        .with(
            tag("h1", "name")
                .set("id", view::NAME)
                .set("tabindex", "-1")
                .text(words::NAME)
                .html(),
        )
        .with(
            tag("div", "units")
                .with(view_chips(context, "units", words::UNITS, false, units))
                .html(),
        )
        .with(
            tag("div", "title")
                .with(
                    tag("label", "aside")
                        .set("for", "title")
                        .text(&title.label)
                        .html(),
                )
                .with(title_box.html())
                .with(undo.html())
                .with(if desk.is_empty() || desk.is_example() {
                    nothing()
                } else {
                    view_new(context)
                })
                .html(),
        )
        .with(view_example(context, desk))
        .html()
}

fn view_new(context: &Context) -> Html {
    view_button(
        context,
        "quiet",
        words::START_EMPTY,
        Deed::NewJob(DeskAction::Empty),
    )
}

/// What came of something, told as it happens.
pub fn view_told(context: &Context, desk: &Desk) -> Html {
    tag("div", "tidings")
        .set("role", "status")
        .with(view_tidings(context, desk))
        .html()
}

fn view_example(context: &Context, desk: &Desk) -> Html {
    let link = |words: &str, deed| view_link(context, words, deed);
    let new = link(words::START_EMPTY, Deed::NewJob(DeskAction::Empty));
    let line = tag("p", "note-line");
    if desk.is_empty() {
        let example = Deed::NewJob(DeskAction::Example);
        return line
            .text(words::WHAT_FOR)
            .text(" ")
            .with(link(words::SHOW_EXAMPLE, example))
            .html();
    }
    if !desk.is_example() {
        return nothing();
    }
    let line = tag("p", "note-line example")
        .text(words::EXAMPLE)
        .text(" ")
        .with(new)
        .with(link(
            words::KEEP_EXAMPLE,
            Deed::Desk(DeskAction::ExampleKept),
        ));
    match desk.before_example() {
        Some(kept) => {
            let title = words::job_title(kept.title.as_deref().unwrap_or_default());
            let back = [words::BACK_TO, " ", &title].concat();
            let deed = Deed::Desk(DeskAction::Opened(kept.id.clone()));
            line.with(link(&back, deed)).html()
        }
        None => line.html(),
    }
}

fn view_tidings(context: &Context, desk: &Desk) -> Html {
    let Some(tidings) = &desk.tidings else {
        return nothing();
    };
    let mut line = tag("p", "note-line")
        .text(&words::tidings(tidings))
        .text(" ");
    let undo = match tidings {
        Tidings::Deleted(_) => Some(DeskAction::Undeleted),
        Tidings::Prices(_) => Some(DeskAction::PricesUndone),
        _ => None,
    };
    if let Some(undo) = undo {
        line = line.with(view_link(context, words::UNDO, Deed::Desk(undo)));
    }
    line.with(view_link(
        context,
        words::CLOSE,
        Deed::Desk(DeskAction::Noticed),
    ))
    .html()
}

/// The loops, where there are several.
pub fn view_loops(context: &Context) -> Html {
    let model = &context.page.model;
    if model.loops.len() < 2 {
        return nothing();
    }
    let nav = tag("nav", "loops").set("aria-label", words::LOOPS);
    let mut tabs = Vec::new();
    for (i, lp) in model.loops.iter().enumerate() {
        let mut tab = tag("button", "tab")
            .set("type", "button")
            .key(&lp.id.to_string());
        if i == model.selected {
            tab = tab.set("aria-current", "true");
        }
        let tab = tab.text(&words::loop_title(&lp.name, i));
        tabs.push(
            tab.hand(click(context.send, Deed::Act(Action::LoopChosen(i))))
                .html(),
        );
    }
    nav.each(tabs).html()
}

/// Another loop, and what this one is called; where nothing of them is said yet, the additive and cap of the first.
pub fn view_more_loops(context: &Context) -> Html {
    tag("div", "loops")
        .with(match view::alike(context.page) {
            Some((first, words)) => view_link(context, &words, Deed::Act(Action::LikeLoop(first))),
            None => nothing(),
        })
        .with(view_link(
            context,
            words::ADD_LOOP,
            Deed::Act(Action::LoopAdded),
        ))
        .with(view_this_loop(context))
        .html()
}

/// What the loop in sight is called and is for; another like it, and away with it.
fn view_this_loop(context: &Context) -> Html {
    view_aside(context, LOOP, words::THIS_LOOP, "", &|| {
        let model = &context.page.model;
        let kind = chips(Kind::ALL, Some(model.current().kind), |c| {
            Action::Chosen(Pick::Kind(c))
        });
        let button = |words, action| view_button(context, "plain-button", words, Deed::Act(action));
        let mut buttons =
            tag("p", "buttons").with(button(words::DUPLICATE_LOOP, Action::LoopDuplicated));
        if model.loops.len() > 1 {
            buttons = buttons.with(button(words::REMOVE_LOOP, Action::LoopRemoved));
        }
        vec![
            view_spot(context, Spot::LoopName, Size::Small),
            view_chips(context, "kind", words::KIND, true, kind),
            buttons.html(),
        ]
    })
}
