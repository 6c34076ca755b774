//! Positions that a text prints, drawn in characters or written in FEN.

use std::ops::Range;

use super::drawing::drawings;
use super::fen::{fens, key_length};

/// A position that a text prints.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Printed {
    /// Its bytes in the view, with what can be written over.
    pub(super) range: Range<usize>,
    /// What it is.
    pub(super) what: What,
}

/// How a position is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// A board is drawn that shows this, in the order of FEN: the pieces, the side to move if that is
    /// told, and the number of its caption.
    Board(String),
    /// FEN, with or without mistakes.
    Fen(Range<usize>),
}

impl Printed {
    /// What stands on the board, as FEN writes it, and what more a drawing tells.
    pub(super) fn placement(&self, text: &[u8]) -> String {
        match &self.what {
            What::Board(words) => words.clone(),
            What::Fen(fen) => {
                let fen = text.get(fen.clone()).unwrap_or_default();
                let placement = fen.split(|&byte| byte == b' ').next();
                String::from_utf8_lossy(placement.unwrap_or_default()).into_owned()
            }
        }
    }
}

/// The positions of a text, of which `view` is shown, in their order; those in FEN are shown too.
pub(super) fn printed(text: &[u8], view: &mut std::borrow::Cow<'_, [u8]>) -> Vec<Printed> {
    let mut found: Vec<Printed> = Vec::new();
    for drawing in drawings(view) {
        found.push(Printed {
            what: What::Board(drawing.words()),
            range: drawing.range,
        });
    }
    for fen in fens(text) {
        // A tag of a game says what its moves begin with.
        let before = text.get(..fen.start).unwrap_or_default();
        if before.ends_with(b"[FEN \"") {
            continue;
        }
        let named = fen.start - key_length(text, fen.start);
        if view.get(named..fen.end) != text.get(named..fen.end) || named < fen.start {
            let view = view.to_mut();
            view[named..fen.start].fill(b' ');
            view[fen.clone()].copy_from_slice(&text[fen.clone()]);
        }
        let blank = |byte: &&u8| matches!(byte, b' ' | b'\t');
        let blanks = view
            .get(..fen.start)
            .unwrap_or_default()
            .iter()
            .rev()
            .take_while(blank);
        let behind = view
            .get(fen.end..)
            .unwrap_or_default()
            .iter()
            .take_while(blank);
        found.push(Printed {
            range: fen.start - blanks.count()..fen.end + behind.count(),
            what: What::Fen(fen),
        });
    }
    found.sort_by_key(|printed| printed.range.start);
    let mut end = 0;
    found.retain(|printed| {
        let free = printed.range.start >= end;
        end = end.max(printed.range.end);
        free
    });
    found
}
