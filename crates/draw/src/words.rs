//! A position in words, for those who do not see the picture.

use gainsay::show;
use shakmaty::{Board, Chess, Color, Piece, Position as _, Role};

/// Where all pieces stand and who is to move.
///
/// ```
/// use shakmaty::{Board, Color};
/// let board = Board::from_ascii_board_fen(b"6k1/5pp1/8/8/8/8/8/R5K1").unwrap();
/// assert_eq!(
///     gainsay_draw::describe(&board, Color::White),
///     "White: king g1, rook a1. Black: king g8, pawns f7 g7. White to move."
/// );
/// ```
#[must_use]
pub fn describe(board: &Board, turn: Color) -> String {
    let turn = format!("{} to move", show::side(turn));
    format!("{} {turn}.", pieces(board))
}

/// Where all pieces stand.
pub(crate) fn pieces(board: &Board) -> String {
    let [white, black] = Color::ALL.map(|color| standing(board, color));
    format!("White: {white}. Black: {black}.")
}

/// How a game has ended in a position: `checkmate` or `stalemate`; `None` where it goes on.
///
/// ```
/// let end = |fen| gainsay_draw::end(&gainsay::read_fen(fen, false).0.unwrap());
/// assert_eq!(end("R5k1/5ppp/8/8/8/8/8/6K1 b - - 0 1"), Some("checkmate"));
/// assert_eq!(end("7k/5Q2/8/8/8/8/8/6K1 b - - 0 1"), Some("stalemate"));
/// assert_eq!(end("6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1"), None);
/// ```
#[must_use]
pub fn end(position: &Chess) -> Option<&'static str> {
    if position.is_checkmate() {
        Some("checkmate")
    } else if position.is_stalemate() {
        Some("stalemate")
    } else {
        None
    }
}

/// Words as the beginning of a sentence.
///
/// ```
/// assert_eq!(gainsay_draw::capital("stalemate"), "Stalemate");
/// ```
#[must_use]
pub fn capital(words: &str) -> String {
    let mut chars = words.chars();
    let first = chars.next().map(|c| c.to_ascii_uppercase());
    first.into_iter().chain(chars).collect()
}

fn standing(board: &Board, color: Color) -> String {
    let roles = Role::ALL.into_iter().rev();
    let parts: Vec<String> = roles
        .filter_map(|role| {
            let squares: Vec<String> = (board.by_piece(Piece { color, role }).into_iter())
                .map(|square| square.to_string())
                .collect();
            let many = if squares.len() > 1 { "s" } else { "" };
            let name = show::piece(role);
            (!squares.is_empty()).then(|| format!("{name}{many} {}", squares.join(" ")))
        })
        .collect();
    if parts.is_empty() {
        return "nothing".to_owned();
    }
    parts.join(", ")
}
