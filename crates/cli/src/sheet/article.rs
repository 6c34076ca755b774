//! One claim or finding: the author's words, the verdict, the board and the moves that show it.

use gainsay::show;
use gainsay_draw::Picture;
use maud::{Markup, html};
use shakmaty::{
    Bitboard, Chess, Color, Position as _, Rank, Square,
    san::{San, SanPlus},
};

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
        button type="button" data-p=(data(&step.board, step.turn)) data-m=(format!("{from}{to}")) { (step.told) }
        " "
    }
}

/// The position it speaks of, with what matters marked.
fn figure(item: &Item) -> Markup {
    let first = item.shown.iter().find_map(|shown| match shown {
        Shown::Moves { start, steps } => steps.first().map(|step| (start, step)),
        Shown::Words(_) => None,
    });
    // Moves are shown where they start, if that is not the position that was asked about.
    let position = item.position.as_ref().or(first.map(|(start, _)| &**start));
    let Some(position) = position else {
        return html! {};
    };
    let arrow = first.filter(|(start, _)| start.board() == position.board());
    let title = match &item.mv {
        Some(mv) => format!("The position at {mv}"),
        None => "The position".to_owned(),
    };
    let mut picture = Picture::of(position.board(), position.turn());
    picture.named = item.named;
    picture.moved = (item.mv.as_deref())
        .and_then(|mv| arrived(mv, position))
        .map_or(Bitboard::EMPTY, Bitboard::from);
    picture.arrows = arrow.iter().map(|(_, step)| step.squares).collect();
    picture.title = Some(&title);
    html! {
        figure.board {
            (picture.in_page())
            figcaption { (show::side(position.turn())) " to move" }
        }
    }
}

/// Where the move that was played last stands: `24...Kh8` of the position behind it.
fn arrived(mv: &str, position: &Chess) -> Option<Square> {
    let side = !position.turn();
    let written = mv
        .trim_start_matches(|c: char| c.is_ascii_digit())
        .trim_start_matches('.');
    let san: SanPlus = written.parse().ok()?;
    let (role, square) = match san.san {
        San::Normal {
            role,
            to,
            promotion,
            ..
        } => (promotion.unwrap_or(role), to),
        San::Castle(wing) => {
            let rank = if side == Color::White {
                Rank::First
            } else {
                Rank::Eighth
            };
            let file = wing.king_to_file();
            (shakmaty::Role::King, Square::from_coords(file, rank))
        }
        San::Put { .. } | San::Null => return None,
    };
    let there = position.board().piece_at(square)?;
    (there.color == side && there.role == role).then_some(square)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_move_is_seen_where_it_went() {
        let position = |fen| gainsay::read_fen(fen, false).0.expect("a position");
        let castled = position("r4rk1/8/8/8/8/8/8/4R1K1 w - - 0 1");
        assert_eq!(arrived("24...O-O", &castled), Some(Square::G8));
        assert_eq!(arrived("24...Rf8+", &castled), Some(Square::F8));
        // It is White's move, so that White did not move last; and no rook stands on b8.
        assert_eq!(arrived("24.Re1", &castled), None);
        assert_eq!(arrived("24...Rb8", &castled), None);
        assert_eq!(arrived("24...nonsense", &castled), None);
    }
}
