//! The patterns by which stocks are told apart, in ink alone.

use yew::{Html, html};

/// Name of a pattern, to fill with.
pub fn fill(pattern: u8) -> &'static str {
    match pattern {
        0 => "url(#p0)",
        1 => "url(#p1)",
        2 => "url(#p2)",
        3 => "url(#p3)",
        4 => "url(#p4)",
        _ => "url(#p5)",
    }
}

/// The patterns' definitions, once a page.
pub fn view_patterns() -> Html {
    let pattern = |id: &'static str, inside: Html| {
        html! {
            <pattern id={id} width="8" height="8" patternUnits="userSpaceOnUse">
                <rect class="pattern-ground" width="8" height="8" />
                { inside }
            </pattern>
        }
    };
    html! {
        <svg class="patterns" width="0" height="0" aria-hidden="true" focusable="false">
            <defs>
                { pattern("p0", html! { <rect class="pattern-ink" width="8" height="8" /> }) }
                { pattern("p1", html! { <path class="pattern-line" d="M-2 2 2-2M0 8 8 0M6 10 10 6" /> }) }
                { pattern("p2", html! { <path class="pattern-thin" d="M0 4h3M5 4h3" /> }) }
                { pattern("p3", html! { <path class="pattern-line" d="M0 0 8 8M0 8 8 0" /> }) }
                { pattern("p4", html! { <path class="pattern-line" d="M2 0v8M6 0v8" /> }) }
                { pattern("p5", html! { <path class="pattern-line" d="M0 2h8M0 6h8" /> }) }
                { pattern("dosed", html! {
                    <><circle class="pattern-accent" cx="2" cy="2" r="1.4" /><circle class="pattern-accent" cx="6" cy="6" r="1.4" /></>
                }) }
            </defs>
        </svg>
    }
}

/// A stock's pattern in a little square.
pub fn view_swatch(pattern: u8) -> Html {
    html! {
        <svg class="swatch" width="20" height="20" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
            <rect x="1" y="1" width="18" height="18" fill={fill(pattern)} class="edge" />
        </svg>
    }
}
