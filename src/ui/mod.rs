//! Yew components. They draw what the layer below made ready, and compute nothing.

use yew::{Html, component, html};

/// The root component.
#[component]
pub fn Page() -> Html {
    html! {
        <>
            <header><h1>{ "Pourcard" }</h1></header>
            <main><p>{ "What to draw, what to pour, what to dose." }</p></main>
        </>
    }
}
