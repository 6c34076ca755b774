//! Positions that a text prints, drawn in characters or written in FEN.

use std::borrow::Cow;
use std::num::NonZeroU32;
use std::ops::Range;

use shakmaty::{Bitboard, Board, Color, Role, Setup, Square, fen::Fen};

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
    /// A block of lines of FEN or EPD.
    Lines(Range<usize>),
    /// A block of games.
    Games(Range<usize>),
}

/// The tag of a game that begins with a board that its text prints: its tags are not the author's.
///
/// ```
/// use gainsay_notation::{Format, PRINTED, manuscript};
/// let board = [
///     "r . b q k b . r", ". p p p . p p p", "p . n . . . . .", ". . . . p . . .",
///     "B . . P n . . .", ". . . . . N . .", "P P P . . P P P", "R N B Q . R K .",
/// ];
/// let moves = "6... exd4 7. Re1 d5 8. Nxd4 Bd6 9. Nxc6\n\nA blow:\n\n9... Bxh2+ 10. Kh1 Qh4 11. Rxe4+ dxe4 12. Qd8+";
/// let text = format!("{}\n\n{moves}\n", board.join("\n"));
/// let read = manuscript(text.as_bytes(), Format::Text);
/// assert!(String::from_utf8_lossy(&read.view).contains(PRINTED));
/// ```
pub const PRINTED: &str = "Printed";

impl Printed {
    /// The tags of a game that goes on from a board that is drawn, at a ply counted from 0 at the start
    /// of the game: where it begins, and that a board says so.
    pub(super) fn tags(&self, ply: u32) -> Option<String> {
        let What::Board(words) = &self.what else {
            return None;
        };
        let placement = words.split(' ').next()?;
        let board = Board::from_ascii_board_fen(placement.as_bytes()).ok()?;
        let setup = Setup {
            fullmoves: NonZeroU32::MIN.saturating_add(ply / 2),
            ..setup_of(&board, Color::from_white(ply.is_multiple_of(2)))
        };
        let fen = Fen::try_from(setup).ok()?;
        Some(format!("[FEN \"{fen}\"]\n[{PRINTED} \"\"]"))
    }

    /// What stands on the board, as FEN writes it, and what more a drawing tells.
    pub(super) fn placement(&self, text: &[u8]) -> String {
        match &self.what {
            What::Board(words) => words.clone(),
            What::Fen(own) | What::Lines(own) | What::Games(own) => {
                let own = text.get(own.clone()).unwrap_or_default().trim_ascii_start();
                let placement = own.split(u8::is_ascii_whitespace).next();
                String::from_utf8_lossy(placement.unwrap_or_default()).into_owned()
            }
        }
    }
}

/// A board that is drawn, with this side to move. Castling is taken to be allowed where king and rook
/// stand at home (Codex for Chess Composition of the WFCC, article 16: unless it can be proved that it is
/// not).
///
/// ```
/// use gainsay_notation::setup_of;
/// use shakmaty::{Board, Color, fen::Fen};
/// let board = Board::from_ascii_board_fen(b"4k3/8/8/8/8/8/8/R3K3").unwrap();
/// let fen = Fen::try_from(setup_of(&board, Color::White)).unwrap().to_string();
/// assert_eq!(fen, "4k3/8/8/8/8/8/8/R3K3 w Q - 0 1");
/// ```
#[must_use]
pub fn setup_of(board: &Board, turn: Color) -> Setup {
    let mut castling_rights = Bitboard::EMPTY;
    for (king, rooks) in [
        (Square::E1, [Square::A1, Square::H1]),
        (Square::E8, [Square::A8, Square::H8]),
    ] {
        let color = Color::from_white(king == Square::E1);
        if board.king_of(color) == Some(king) {
            let own = board.by_piece(Role::Rook.of(color));
            let home = rooks.into_iter().filter(|&rook| own.contains(rook));
            home.for_each(|rook| castling_rights.add(rook));
        }
    }
    Setup {
        board: board.clone(),
        turn,
        castling_rights,
        ..Setup::empty()
    }
}

/// The positions of a text, of which `view` is shown, in their order, with its `blocks`; those in FEN
/// are shown too.
pub(super) fn printed(text: &[u8], view: &mut Cow<'_, [u8]>, blocks: Vec<Printed>) -> Vec<Printed> {
    let drawn = drawings(view).into_iter().map(|drawing| Printed {
        what: What::Board(drawing.words()),
        range: drawing.range,
    });
    let written: Vec<Printed> = (fens(text).into_iter())
        .filter(|fen| !overlaps(&blocks, fen))
        .filter_map(|fen| show(text, view, fen))
        .collect();
    let drawn =
        drawn.filter(|drawn| !overlaps(&blocks, &drawn.range) && !overlaps(&written, &drawn.range));
    let mut found: Vec<Printed> = drawn.collect();
    found.extend(written);
    found.extend(blocks);
    found.sort_by_key(|printed| printed.range.start);
    found
}

/// Whether one of what stands apart and in order stands in a range.
fn overlaps(all: &[Printed], range: &Range<usize>) -> bool {
    let behind = all.partition_point(|one| one.range.end <= range.start);
    all.get(behind)
        .is_some_and(|one| one.range.start < range.end)
}

/// Shows a position; `None` for a tag of a game, which says what its moves begin with.
fn show(text: &[u8], view: &mut Cow<'_, [u8]>, fen: Range<usize>) -> Option<Printed> {
    let before = text.get(..fen.start).unwrap_or_default();
    if before.ends_with(b"[FEN \"") {
        return None;
    }
    let named = fen.start - key_length(text, fen.start);
    if named < fen.start || view.get(fen.clone()) != text.get(fen.clone()) {
        let view = view.to_mut();
        view[named..fen.start].fill(b' ');
        view[fen.clone()].copy_from_slice(&text[fen.clone()]);
    }
    let blank = |byte: &&u8| matches!(byte, b' ' | b'\t');
    let before = view.get(..fen.start).unwrap_or_default().iter().rev();
    let behind = view.get(fen.end..).unwrap_or_default().iter();
    let [before, behind] = [
        before.take_while(blank).count(),
        behind.take_while(blank).count(),
    ];
    Some(Printed {
        range: fen.start - before..fen.end + behind,
        what: What::Fen(fen),
    })
}
