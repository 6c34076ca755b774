//! One claim or finding: the author's words, the verdict, the board and the moves that show it.

use gainsay::show;
use gainsay_draw::Picture;
use maud::{Markup, html};
use shakmaty::Position as _;

use super::{
    item::{Item, State},
    lines::{Shown, Step, data},
    link::place,
    marks::mark,
};

/// More remedies are not told.
const MOST: usize = 3;

pub(super) fn article(item: &Item, at: usize, file: &str, link: Option<&str>) -> Markup {
    let state = item.state;
    let heading = format!("h{at}");
    html! {
        article #{ "c" (at) } .item .bad[state.is_bad()] data-state=(state.key()) data-kind=(item.kind)
            aria-labelledby=(heading) tabindex="-1" {
            h4 #(heading) {
                (mark(state)) " " span.verdict { (state.told()) ": " }
                (item.heading)
                @if let Some(mv) = &item.mv { ", at " (mv) }
            }
            @if state.is_open() {
                (figure(item))
                (text(item, file, link))
            } @else {
                (sentence(item, file, link))
                @for message in &item.messages { p.message { (message) } }
                @if item.position.is_some() || !item.shown.is_empty() {
                    details {
                        summary { "Board and moves" span.sr { " of " (item.heading) ", line " (item.place.line) } }
                        div.inside {
                            (figure(item))
                            (proof(item))
                        }
                    }
                }
                (notes(item))
            }
        }
    }
}

/// What an open item says beside its board.
fn text(item: &Item, file: &str, link: Option<&str>) -> Markup {
    html! {
        div.text {
            (sentence(item, file, link))
            @for message in &item.messages { p.message { (message) } }
            @if item.messages.is_empty() && item.state == State::Fails {
                p.message { "This does not hold. No finding tells why: its rule is off, or another claim of the sentence tells it." }
            }
            (proof(item))
            @if !item.remedies.is_empty() {
                p.remedy {
                    b { "Remedy: " }
                    @for (at, remedy) in item.remedies.iter().take(MOST).enumerate() {
                        @if at == 0 { (remedy) } @else { ", or " (lower(remedy)) }
                    }
                }
            }
            (notes(item))
        }
    }
}

/// An order within a sentence.
fn lower(order: &str) -> String {
    let mut chars = order.chars();
    let first = chars.next().map(|c| c.to_ascii_lowercase());
    first.into_iter().chain(chars).collect()
}

/// The author's words, the ones that matter underlined.
fn sentence(item: &Item, file: &str, link: Option<&str>) -> Markup {
    let quoted = &item.quoted;
    html! {
        blockquote {
            p { (quoted.before.trim_start()) u { (quoted.words) } (quoted.after.trim_end()) }
        }
        p.where { (place(item, file, link)) }
    }
}

fn notes(item: &Item) -> Markup {
    html! {
        @for note in &item.notes { p.note { (note) } }
    }
}

/// The lines that show it.
fn proof(item: &Item) -> Markup {
    html! {
        @if !item.shown.is_empty() {
            div.proof {
                p.by { (item.by) }
                @for shown in &item.shown {
                    @match shown {
                        Shown::Moves { steps, .. } => { p.line { @for step in steps { (move_of(step)) } } }
                        Shown::Words(words) => { p.words { (words) } }
                    }
                }
            }
        }
    }
}

/// A move that the script shows on the board. Without the script it is text.
fn move_of(step: &Step) -> Markup {
    let (from, to) = step.squares;
    html! {
        button type="button" data-p=(data(&step.board, step.turn)) data-m=(format!("{from}{to}")) data-e=[step.end] { (step.told) }
        " "
    }
}

/// The position it speaks of, with what matters marked.
fn figure(item: &Item) -> Markup {
    let first = item.shown.iter().find_map(|shown| match shown {
        Shown::Moves { start, steps } => steps.first().map(|step| (start, step)),
        Shown::Words(_) => None,
    });
    let Some(position) = &item.position else {
        return html! {};
    };
    let arrow = first.filter(|(start, _)| start.board() == position.board());
    let end = gainsay_draw::end(position);
    let mut picture = Picture::of(position.board(), position.turn());
    picture.named = item.named;
    picture.moved = item.which.moved;
    picture.arrows = arrow.iter().map(|(_, step)| step.squares).collect();
    picture.title = Some(item.which.told.as_deref().unwrap_or("The position"));
    picture.end = end;
    let turn = || format!("{} to move", show::side(position.turn()));
    let state = end.map_or_else(turn, ToOwned::to_owned);
    html! {
        figure.board {
            (picture.in_page())
            figcaption {
                @match &item.which.told {
                    Some(told) => { (told) ": " (state) },
                    None => { (gainsay_draw::capital(&state)) },
                }
            }
        }
    }
}
