//! A position in words, for those who do not see the picture.

use gainsay::show;
use shakmaty::{Board, Color, Piece, Role};

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
    let [white, black] = Color::ALL.map(|color| standing(board, color));
    format!(
        "White: {white}. Black: {black}. {} to move.",
        show::side(turn)
    )
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
