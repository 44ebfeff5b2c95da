//! The link: made, shown with its code, and taken in.

use gloo::events::EventListener;
use pourcard::app::{
    desk::{Desk, DeskAction},
    link::{Code, Drawing, Link, LinkError, MOST_TEXT, Packed, carried},
    words,
};
use wasm_bindgen_futures::spawn_local;
use yew::Html;

use super::{
    Context,
    hand::{Deed, Send},
    head::view_button,
    keeping::new_id,
    tag::{nothing, several, tag, text},
};
use crate::browser::{
    address,
    stream::{self, StreamError},
};

/// The button that opens it, and what it opens.
pub fn view_link_part(context: &Context, desk: &Desk) -> Html {
    let shown = desk.link_shown;
    let button = tag("button", "plain-button")
        .set("type", "button")
        .set("aria-expanded", if shown { "true" } else { "false" })
        .text(words::LINK)
        .hand(super::hand::click(
            context.send,
            Deed::Desk(DeskAction::LinkShown(!shown)),
        ));
    let inside = if shown {
        several(view_open(context, desk))
    } else {
        nothing()
    };
    tag("div", "link-part")
        .with(button.html())
        .with(inside)
        .html()
}

fn view_open(context: &Context, desk: &Desk) -> Vec<Html> {
    let mut list = vec![text("p", "hint", words::LINK_IS)];
    if !context.page.draft.is_whole() {
        list.push(text("p", "hint", words::LINK_WHY));
    }
    let private = tag("input", "")
        .set("type", "checkbox")
        .checked(desk.link_private)
        .hand(super::hand::change(
            context.send,
            Deed::Desk(DeskAction::LinkPrivate(!desk.link_private)),
        ));
    list.push(
        tag("label", "stock-tick")
            .with(private.html())
            .with(text("span", "", words::LINK_PRIVATE))
            .html(),
    );
    if let Some(link) = desk.link() {
        list.push(match &link.address {
            Some(address) => view_button(
                context,
                "plain-button",
                words::COPY_LINK,
                Deed::Copy(address.clone(), DeskAction::LinkCopied),
            ),
            None => text("p", "hint", words::LINK_LONG),
        });
        list.push(view_code(link));
    }
    list
}

/// A link's code, and what there is to say of it.
pub fn view_code(link: &Link) -> Html {
    let drawing = match &link.code {
        Code::Drawn(drawing) => view_drawing(drawing),
        Code::TooLong(_) => nothing(),
    };
    tag("figure", "code")
        .with(drawing)
        .with(text("figcaption", "hint", &words::code(link)))
        .html()
}

fn view_drawing(drawing: &Drawing) -> Html {
    let whole = (drawing.side + 8).to_string();
    tag("svg", "")
        .set("viewBox", &["-4 -4 ", &whole, " ", &whole].concat())
        .set("width", &(4 * (drawing.side + 8)).to_string())
        .set("role", "img")
        .set("aria-label", words::CODE)
        .set("shape-rendering", "crispEdges")
        .with(
            tag("path", "light")
                .set("d", &["M-4-4h", &whole, "v", &whole, "H-4z"].concat())
                .html(),
        )
        .with(tag("path", "dark").set("d", &drawing.path).html())
        .html()
}

/// Packs the texts and sends them on.
pub fn make(send: &Send, texts: [String; 2]) {
    let send = send.clone();
    spawn_local(async move {
        let packed = [packed(&texts[0]).await, packed(&texts[1]).await];
        send.emit(DeskAction::LinkMade(texts, address::here(), packed));
    });
}

async fn packed(text: &str) -> Packed {
    match stream::deflate(text.as_bytes()).await {
        Ok(bytes) => Packed::Deflated(bytes),
        Err(_) => Packed::Plain(text.as_bytes().to_vec()),
    }
}

/// Takes in the job of a fragment; `false` where there is none in it.
pub fn take(send: &Send, fragment: &str) -> bool {
    let Some(carried) = carried(fragment) else {
        return false;
    };
    let send = send.clone();
    spawn_local(async move {
        let text = match carried {
            Ok(packed) => unpacked(packed).await,
            Err(error) => Err(error),
        };
        send.emit(DeskAction::LinkTaken(text, new_id()));
    });
    true
}

async fn unpacked(packed: Packed) -> Result<String, LinkError> {
    let bytes = match packed {
        Packed::Plain(bytes) => bytes,
        Packed::Deflated(bytes) => {
            stream::inflate(&bytes, MOST_TEXT)
                .await
                .map_err(|error| match error {
                    StreamError::Absent => LinkError::NoUnpacking,
                    StreamError::Damaged => LinkError::Damaged,
                    StreamError::TooMuch => LinkError::TooLarge,
                })?
        }
    };
    String::from_utf8(bytes).map_err(|_| LinkError::Damaged)
}

/// Takes in a link that is put into the address of a page that stands already.
pub fn watch(send: &Send) -> EventListener {
    let send = send.clone();
    address::watch(move |fragment| {
        if take(&send, &fragment) {
            address::clear();
        }
    })
}
