//! Positions and moves as text.

use std::fmt::Write as _;

use gainsay_notation::Language;
use gainsay_proof::Others;
use shakmaty::{
    Board, Chess, Color, EnPassantMode, Move, Position, Square, fen::Fen, san::SanPlus,
};

/// No line of movetext is longer, comments aside. Source: PGN standard (1994), 8.2.1:
/// lines have at most 79 printing characters.
pub(crate) const WIDTH: usize = 79;

/// The FEN of a position.
#[must_use]
pub fn fen(position: &Chess) -> String {
    Fen::from_position(position, EnPassantMode::Legal).to_string()
}

/// A move in SAN with its sign: `Rbg7#`.
#[must_use]
pub fn san(position: &Chess, m: Move) -> String {
    SanPlus::from_move(position.clone(), m).to_string()
}

/// Moves in SAN, with numbers and parentheses or without, in the letters of a language.
#[must_use]
pub fn in_language(san: &str, language: Language) -> String {
    if language.is_english() {
        return san.to_owned();
    }
    san.chars()
        .map(|c| match Language::English.role(c) {
            Some(role) => language.letter(role),
            None => c,
        })
        .collect()
}

/// A number for the side to move: `24.` or `24...`.
#[must_use]
pub fn number(position: &Chess) -> String {
    let dots = if position.turn() == Color::White {
        "."
    } else {
        "..."
    };
    format!("{}{dots}", position.fullmoves())
}

/// A move with its number: `24...Kh8`.
#[must_use]
pub fn numbered(position: &Chess, m: Move) -> String {
    format!("{}{}", number(position), san(position, m))
}

/// A line of moves with numbers: `25. Rh7+ Kg8 26. Rbg7#`.
///
/// It stops before a move that cannot be played.
#[must_use]
pub fn line(start: &Chess, moves: &[Move]) -> String {
    let mut position = start.clone();
    let mut text = String::new();
    for (at, &m) in moves.iter().enumerate() {
        if !position.is_legal(m) {
            break;
        }
        if at > 0 {
            text.push(' ');
        }
        if position.turn() == Color::White || at == 0 {
            let _ = write!(text, "{} ", number(&position));
        }
        let _ = write!(
            text,
            "{}",
            SanPlus::from_move_and_play_unchecked(&mut position, m)
        );
    }
    text
}

/// A line behind a statement that it shows, `": 24. Rd8#"`; nothing where it is too long to be
/// read in a message. The whole line stands with the finding.
#[must_use]
pub fn behind(line: &str) -> String {
    const LONGEST: usize = 40;
    if line.is_empty() || line.len() > LONGEST {
        String::new()
    } else {
        format!(": {line}")
    }
}

/// The name of a side.
#[must_use]
pub const fn side(color: Color) -> &'static str {
    match color {
        Color::White => "White",
        Color::Black => "Black",
    }
}

/// The name of a piece.
#[must_use]
pub const fn piece(role: shakmaty::Role) -> &'static str {
    match role {
        shakmaty::Role::Pawn => "pawn",
        shakmaty::Role::Knight => "knight",
        shakmaty::Role::Bishop => "bishop",
        shakmaty::Role::Rook => "rook",
        shakmaty::Role::Queen => "queen",
        shakmaty::Role::King => "king",
    }
}

/// A piece with its square: `the black rook on e8`.
#[must_use]
pub fn named(board: &Board, square: Square) -> String {
    match board.piece_at(square) {
        Some(there) => format!(
            "the {} {} on {square}",
            colour(there.color),
            piece(there.role)
        ),
        None => format!("the piece on {square}"),
    }
}

/// The adjective for a side.
#[must_use]
pub const fn colour(color: Color) -> &'static str {
    match color {
        Color::White => "white",
        Color::Black => "black",
    }
}

/// A count with its noun: `1 move`, `3 moves`.
#[must_use]
pub fn counted(count: u64, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// How the defences beside the main line compare with it.
#[must_use]
pub const fn others(others: Others) -> &'static str {
    match others {
        Others::None => "every reply is the only legal one",
        Others::Shorter => "every other defence is shorter",
        Others::NoLonger => "no defence lasts longer",
    }
}

/// How much was searched before something was ruled out: one node is a position that a
/// move led to.
#[must_use]
pub fn searched(nodes: u64) -> String {
    format!("{} searched", counted(nodes, "position"))
}

/// What became of claims: `44 claims: 41 hold, 1 fails, 2 unsettled`.
#[must_use]
pub fn verdicts(holds: u64, fails: u64, unsettled: u64) -> String {
    let verb = |count: u64, one, many| format!("{count} {}", if count == 1 { one } else { many });
    format!(
        "{}: {}, {}, {unsettled} unsettled",
        counted(holds + fails + unsettled, "claim"),
        verb(holds, "holds", "hold"),
        verb(fails, "fails", "fail"),
    )
}

/// Words as an English list: `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list<T: AsRef<str>>(words: &[T], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [front @ .., back] => {
            let front: Vec<&str> = front.iter().map(AsRef::as_ref).collect();
            format!("{} {last} {}", front.join(", "), back.as_ref())
        }
    }
}
