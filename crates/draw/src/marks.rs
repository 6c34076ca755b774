//! Marks on squares and arrows between them. Each kind has its own shape.

use maud::{Markup, html};
use shakmaty::{Bitboard, Color, Square};

use crate::pieces::{Colours, SIDE};

/// The upper left corner of a square, `below` being the lower side.
pub(crate) fn corner(square: Square, below: Color) -> (u32, u32) {
    let file = u32::from(square.file());
    let rank = u32::from(square.rank());
    match below {
        Color::White => (file * SIDE, (7 - rank) * SIDE),
        Color::Black => ((7 - file) * SIDE, rank * SIDE),
    }
}

/// A square that a move went from or to, at the origin: filled, with corners.
pub(crate) fn moved() -> Markup {
    html! {
        g {
            path d="M0 0H100V100H0Z" fill=(Colours::MOVED) {}
            path d="M0 0H22L0 22ZM100 0V22L78 0ZM100 100H78L100 78ZM0 100V78L22 100Z" fill=(Colours::INK) {}
        }
    }
}

/// A square that words name, at the origin: a frame of dashes along its edges.
pub(crate) fn named() -> Markup {
    html! {
        g fill="none" {
            path d="M6 6H94V94H6Z" stroke=(Colours::PAPER) stroke-width="12" {}
            path d="M6 6H94V94H6Z" stroke=(Colours::INK) stroke-width="7" stroke-dasharray="13 9" stroke-dashoffset="6.5" {}
        }
    }
}

/// The squares of a set, each with its corner.
pub(crate) fn corners(squares: Bitboard, below: Color) -> impl Iterator<Item = (u32, u32)> {
    squares.into_iter().map(move |square| corner(square, below))
}

/// The outline of an arrow between the middles of two squares; `None` where they are one.
pub(crate) fn arrow(from: Square, to: Square, below: Color) -> Option<String> {
    // Half the width of the shaft, half that of the head, and the length of the head.
    const SHAFT: f64 = 9.0;
    const WING: f64 = 27.0;
    const HEAD: f64 = 42.0;
    // How far from the middle of the first square it begins, and from that of the last it ends.
    const LEAVE: f64 = 26.0;
    const REACH: f64 = 6.0;
    let middle = |square| {
        let (x, y) = corner(square, below);
        (f64::from(x + SIDE / 2), f64::from(y + SIDE / 2))
    };
    let ((x, y), (to_x, to_y)) = (middle(from), middle(to));
    let length = (to_x - x).hypot(to_y - y);
    if length < 1.0 {
        return None;
    }
    let (along_x, along_y) = ((to_x - x) / length, (to_y - y) / length);
    let at = |along: f64, aside: f64| {
        let px = x + along_x * along - along_y * aside;
        let py = y + along_y * along + along_x * aside;
        format!("{px:.1} {py:.1}")
    };
    let neck = length - REACH - HEAD;
    Some(format!(
        "M{}L{}L{}L{}L{}L{}L{}Z",
        at(LEAVE, -SHAFT),
        at(neck, -SHAFT),
        at(neck, -WING),
        at(length - REACH, 0.0),
        at(neck, WING),
        at(neck, SHAFT),
        at(LEAVE, SHAFT)
    ))
}
