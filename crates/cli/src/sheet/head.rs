//! What all pages begin with.

use maud::{Markup, PreEscaped, html};

/// The style of all pages.
const STYLE: &str = include_str!("style.css");
/// Nothing is fetched from anywhere, whatever stands in the page.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'";

/// What stands at the head of every page.
pub(super) fn head(title: &str) -> Markup {
    html! {
        meta charset="utf-8";
        meta name="generator" content="gainsay";
        meta http-equiv="Content-Security-Policy" content=(POLICY);
        meta name="viewport" content="width=device-width, initial-scale=1";
        title { (title) }
        style { (PreEscaped(STYLE)) }
    }
}
