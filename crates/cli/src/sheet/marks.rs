//! The signs of verdicts: each has its own shape, so that none is told by its colour alone.

use maud::{Markup, html};

use super::item::State;

/// The sign of a state, from the symbols of the page. The word stands beside it.
pub(super) fn mark(state: State) -> Markup {
    html! {
        svg.mark viewBox="0 0 20 20" aria-hidden="true" { use href={"#s-" (state.key())} {} }
    }
}

/// The signs, to be put once in a page.
pub(super) fn symbols() -> Markup {
    html! {
        svg width="0" height="0" aria-hidden="true" style="position:absolute" {
            defs {
                @for state in State::ALL {
                    g id={"s-" (state.key())} fill="none" stroke="currentColor" stroke-width="2"
                        stroke-linecap="round" stroke-linejoin="round" { (shape(state)) }
                }
            }
        }
    }
}

fn shape(state: State) -> Markup {
    let solid = "currentColor";
    let paper = gainsay_draw::Colours::PAPER;
    match state {
        State::Fails => html! {
            path d="M2 2H18V18H2Z" fill=(solid) {}
            path d="M6 6L14 14M14 6L6 14" stroke=(paper) stroke-width="2.6" {}
        },
        State::Holds => html! {
            circle cx="10" cy="10" r="8.5" {}
            path d="M5.8 10.4L8.8 13.4L14.4 7" {}
        },
        State::Unsettled => html! {
            circle cx="10" cy="10" r="8.5" stroke-dasharray="3.2 3" {}
            path d="M7.4 7.6A2.7 2.7 0 1 1 10.6 10.4Q10 10.8 10 12M10 14.6V14.7" {}
        },
        State::Error => html! {
            path d="M10 2L19 18H1Z" fill=(solid) {}
            path d="M10 7.5V12M10 15V15.1" stroke=(paper) stroke-width="2.4" {}
        },
        State::Warning => html! {
            path d="M10 2L19 18H1Z" {}
            path d="M10 8V12M10 15V15.1" {}
        },
        State::Information => html! {
            path d="M10 1.5L18.5 10L10 18.5L1.5 10Z" {}
            path d="M10 9.5V14M10 6.6V6.7" {}
        },
        State::Hint => html! { path d="M3 10Q6.5 5 10 10T17 10" {} },
        State::Accepted => html! {
            path d="M2 2H18V18H2Z" {}
            path d="M5.8 10.4L8.8 13.4L14.4 7" {}
        },
        State::Unread => html! { path d="M2 10Q10 1 18 10Q10 19 2 10ZM10 10V10.1" {} },
    }
}
