//! A text field: label, text, sign, unit, and what is wrong with it, linked.

use pourcard::app::{
    action::Action,
    model::Spot,
    view::{self, FieldView, UnitView},
    words,
};
use yew::Html;

use super::{
    Context,
    hand::{Deed, change, click, input},
    tag::{nothing, tag, text},
};

/// How a field stands in its question.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// The question's main figure.
    Big,
    /// Beside it, or in a fold.
    Small,
    /// The same, but seen on paper alone.
    Later,
}

/// A field by its place on the page.
pub fn view_spot(context: &Context, spot: Spot, size: Size) -> Html {
    let field = view::field(context.page, &spot);
    view_field(context, spot, &field, size)
}

/// A field that is ready to be drawn.
pub fn view_field(context: &Context, spot: Spot, field: &FieldView, size: Size) -> Html {
    let class = match (size, field.error.is_some()) {
        (Size::Later, _) => "field small later",
        (Size::Big, false) => "field big",
        (Size::Big, true) => "field big wrong",
        (Size::Small, false) => "field small",
        (Size::Small, true) => "field small wrong",
    };
    let error_id = [&field.id, "-error"].concat();
    let asked = spot.clone();
    tag("div", class)
        .with(
            tag("label", "")
                .set("for", &field.id)
                .text(&field.label)
                .with(view_more(&field.label_more))
                .html(),
        )
        .with(view_entry(context, spot, field, &error_id))
        .with(match &field.error {
            Some(error) => tag("p", "error").set("id", &error_id).text(error).html(),
            None => nothing(),
        })
        .with(match &field.ask {
            Some(words) => {
                let deed = Deed::Act(Action::SignTurned(asked));
                super::head::view_named(context, words, &field.label, deed)
            }
            None => nothing(),
        })
        .with(match field.note {
            Some(note) => tag("p", "taken")
                .set("id", &note_id(field))
                .text(note)
                .html(),
            None => nothing(),
        })
        .html()
}

fn note_id(field: &FieldView) -> String {
    [&field.id, "-taken"].concat()
}

/// The rest of a label, for a screen reader.
pub fn view_more(more: &str) -> Html {
    if more.is_empty() {
        nothing()
    } else {
        text("span", "aside", more)
    }
}

fn view_entry(context: &Context, spot: Spot, field: &FieldView, error_id: &str) -> Html {
    let mut entry = tag(
        "span",
        if field.numeric {
            "entry"
        } else {
            "entry wordy"
        },
    );
    if field.signed {
        let sign = tag("button", "sign")
            .set("type", "button")
            .set(
                "aria-label",
                &[words::TURN_SIGN, " ", &field.label].concat(),
            )
            .text("±")
            .hand(click(
                context.send,
                Deed::Act(Action::SignTurned(spot.clone())),
            ));
        entry = entry.with(sign.html());
    }
    let unit_id = [&field.id, "-unit"].concat();
    let mut described = String::new();
    if matches!(field.unit, UnitView::Fixed(_)) {
        described.push_str(&unit_id);
    }
    if field.error.is_some() {
        described.push(' ');
        described.push_str(error_id);
    }
    if field.note.is_some() {
        described.push(' ');
        described.push_str(&note_id(field));
    }
    let mut box_for_text = tag("input", "")
        .set("type", "text")
        .set("id", &field.id)
        .set("autocomplete", "off")
        .set("enterkeyhint", "next")
        .set("placeholder", &field.placeholder)
        .value(&field.text)
        .hand(input(context.send, Deed::Type(spot.clone())));
    if !field.numeric {
        box_for_text = box_for_text.set("dir", "auto");
    } else {
        // As wide as what is in it, where the browser does not see to that itself.
        let shown = if field.text.is_empty() {
            &field.placeholder
        } else {
            &field.text
        };
        box_for_text = box_for_text
            .set("size", &shown.chars().count().max(1).to_string())
            .set("inputmode", "decimal")
            .set("autocapitalize", "none")
            .set("spellcheck", "false");
    }
    if field.error.is_some() {
        box_for_text = box_for_text.set("aria-invalid", "true");
    }
    if !described.is_empty() {
        box_for_text = box_for_text.set("aria-describedby", described.trim_start());
    }
    entry
        .with(box_for_text.html())
        .with(view_unit(context, spot, field, &unit_id))
        .html()
}

fn view_unit(context: &Context, spot: Spot, field: &FieldView, id: &str) -> Html {
    match &field.unit {
        UnitView::None => nothing(),
        UnitView::Fixed(words) => tag("span", "unit").set("id", id).text(words).html(),
        UnitView::Choice { code, options } => {
            let label = [words::UNIT_OF, " ", &field.label, &field.label_more].concat();
            view_select(id, &label, code, options)
                .hand(change(context.send, Deed::ChooseUnit(spot)))
                .html()
        }
    }
}

/// A list to choose from: code and words of each.
pub fn view_select(
    id: &str,
    label: &str,
    chosen: &str,
    options: &[(String, String)],
) -> super::tag::Tag {
    let options = options.iter().map(|(code, words)| {
        tag("option", "")
            .set("value", code)
            .flag("selected", code == chosen)
            .text(words)
            .html()
    });
    let select = tag("select", "unit")
        .set("id", id)
        .property("value", chosen);
    let select = if label.is_empty() {
        select
    } else {
        select.set("aria-label", label)
    };
    select.each(options.collect())
}

/// Fields side by side, wrapping where they must.
pub fn view_row(class: &'static str, fields: Vec<Html>) -> Html {
    tag("div", class).each(fields).html()
}
