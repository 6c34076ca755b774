//! Positions and moves as text.

use std::fmt::Write as _;

use gainsay_notation::Language;
use gainsay_proof::Others;
use shakmaty::{
    Board, CastlingSide, Chess, Color, EnPassantMode, File, Move, Position, Square, fen::Fen,
    san::SanPlus,
};

/// No line of movetext is longer, comments aside. Source: PGN standard (1994), 8.2.1:
/// lines have at most 79 printing characters.
pub(crate) const WIDTH: usize = 79;

/// The FEN of a position.
///
/// ```
/// use gainsay::{shakmaty::Chess, show};
/// assert_eq!(show::fen(&Chess::default()), "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1");
/// ```
#[must_use]
pub fn fen(position: &Chess) -> String {
    Fen::from_position(position, EnPassantMode::Legal).to_string()
}

/// A move in SAN with its sign: `Rbg7#`.
///
/// ```
/// use gainsay::{read_fen, shakmaty::Position, show};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", false).0.unwrap();
/// let mut moves = position.legal_moves().into_iter();
/// let mate = moves.find(|m| m.to().to_string() == "a8").unwrap();
/// assert_eq!(show::san(&position, mate), "Ra8#");
/// ```
#[must_use]
pub fn san(position: &Chess, m: Move) -> String {
    SanPlus::from_move(position.clone(), m).to_string()
}

/// Moves in SAN, with numbers and parentheses or without, in the letters of a language.
///
/// ```
/// use gainsay::{Language, show};
/// assert_eq!(show::in_language("1. Nf3 (1. e4)", Language::German), "1. Sf3 (1. e4)");
/// ```
#[must_use]
pub fn in_language(san: &str, language: Language) -> String {
    if language.is_english() {
        return san.to_owned();
    }
    let mut text = String::with_capacity(san.len());
    for c in san.chars() {
        match Language::English.role(c) {
            Some(role) => text.push_str(language.letter(role)),
            None => text.push(c),
        }
    }
    text
}

/// A number for the side to move: `24.` or `24...`.
///
/// ```
/// use gainsay::{read_fen, show};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 b - - 0 24", false).0.unwrap();
/// assert_eq!(show::number(&position), "24...");
/// ```
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
pub(crate) fn numbered(position: &Chess, m: Move) -> String {
    format!("{}{}", number(position), san(position, m))
}

/// A line of moves with numbers: `25. Rh7+ Kg8 26. Rbg7#`.
///
/// It stops before a move that cannot be played.
///
/// ```
/// use gainsay::{Solver, read_fen, show};
/// let position = read_fen("5r1k/6pp/7N/3Q4/8/8/8/7K w - - 0 25", false).0.unwrap();
/// let answer = Solver::new(1 << 20).mate(&position, Some(2), 100_000);
/// assert_eq!(show::line(&position, &answer.line), "25. Qg8+ Rxg8 26. Nf7#");
/// ```
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
pub(crate) fn behind(line: &str) -> String {
    const LONGEST: usize = 40;
    if line.is_empty() || line.len() > LONGEST {
        String::new()
    } else {
        format!(": {line}")
    }
}

/// The square a piece stands on after its move; of castling the king's.
///
/// ```
/// use gainsay::{read_fen, shakmaty::{Position, Square}, show};
/// let position = read_fen("4k3/8/8/8/8/8/8/4K2R w K - 0 1", false).0.unwrap();
/// let castles = position.legal_moves().into_iter().find(|m| m.is_castle()).unwrap();
/// assert_eq!(show::target(castles), Square::G1);
/// ```
#[must_use]
pub fn target(m: Move) -> Square {
    match m.castling_side() {
        Some(CastlingSide::KingSide) => Square::from_coords(File::G, m.to().rank()),
        Some(CastlingSide::QueenSide) => Square::from_coords(File::C, m.to().rank()),
        None => m.to(),
    }
}

/// The squares that a move goes from and to; of castling the king's.
///
/// ```
/// use gainsay::{shakmaty::{Chess, Position, Square}, show};
/// let m = Chess::default().legal_moves()[0];
/// assert_eq!(show::ends(m), [m.from().unwrap(), show::target(m)]);
/// ```
#[must_use]
pub fn ends(m: Move) -> [Square; 2] {
    let to = target(m);
    [m.from().unwrap_or(to), to]
}

/// Plays a move that is written in SAN, if it can be played.
///
/// ```
/// use gainsay::{shakmaty::{Chess, Color, Position}, show};
/// let mut position = Chess::default();
/// assert!(show::play(&mut position, "e4").is_some() && show::play(&mut position, "e4").is_none());
/// assert_eq!(position.turn(), Color::Black);
/// ```
pub fn play(position: &mut Chess, san: &str) -> Option<Move> {
    let san: SanPlus = san.parse().ok()?;
    let m = san.san.to_move(position).ok()?;
    position.play_unchecked(m);
    Some(m)
}

/// The name of a side.
///
/// ```
/// use gainsay::{shakmaty::Color, show};
/// assert_eq!(Color::ALL.map(show::side), ["White", "Black"]);
/// ```
#[must_use]
pub const fn side(color: Color) -> &'static str {
    match color {
        Color::White => "White",
        Color::Black => "Black",
    }
}

/// The name of a piece.
///
/// ```
/// use gainsay::{shakmaty::Role, show};
/// assert_eq!([Role::Knight, Role::King].map(show::piece), ["knight", "king"]);
/// ```
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
pub(crate) fn named(board: &Board, square: Square) -> String {
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
pub(crate) const fn colour(color: Color) -> &'static str {
    match color {
        Color::White => "white",
        Color::Black => "black",
    }
}

/// A count with its noun: `1 move`, `3 moves`.
///
/// ```
/// use gainsay::show::counted;
/// assert_eq!([counted(1, "move"), counted(3, "move")], ["1 move", "3 moves"]);
/// ```
#[must_use]
pub fn counted(count: u64, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// How the defences beside the main line compare with it.
///
/// ```
/// use gainsay::{Solver, read_fen, show};
/// let position = read_fen("5r1k/6pp/7N/3Q4/8/8/8/7K w - - 0 25", false).0.unwrap();
/// let answer = Solver::new(1 << 20).mate(&position, Some(2), 100_000);
/// assert_eq!(answer.others.map(show::others), Some("every reply is the only legal one"));
/// ```
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
///
/// ```
/// assert_eq!(gainsay::show::searched(1), "1 position searched");
/// assert_eq!(gainsay::show::searched(1834), "1834 positions searched");
/// ```
#[must_use]
pub fn searched(nodes: u64) -> String {
    format!("{} searched", counted(nodes, "position"))
}

/// What became of claims: `44 claims: 41 hold, 1 fails, 2 unsettled`.
///
/// ```
/// assert_eq!(gainsay::show::verdicts(41, 1, 2), "44 claims: 41 hold, 1 fails, 2 unsettled");
/// ```
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
///
/// ```
/// use gainsay::show::list;
/// assert_eq!(list(&["a1", "b2", "c3"], "or"), "a1, b2 or c3");
/// assert_eq!(list::<&str>(&[], "and"), "");
/// ```
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
