//! What a position says at a glance.

use gainsay::show;
use shakmaty::{Color, Piece, Role, Square};

/// How things stand for the side to move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    Mated,
    Stalemated,
    /// Neither side can mate.
    Dead,
    InCheck,
    ToMove,
}

/// The pieces that a side has more of than the other, with how many more.
pub(crate) type Surplus = Vec<(u32, Role)>;

/// How things stand for the side to move.
pub(crate) fn standing(color: Color, standing: Standing) -> String {
    let side = show::side(color);
    match standing {
        Standing::Mated => format!("{side} is mated"),
        Standing::Stalemated => format!("{side} is stalemated"),
        Standing::Dead => format!("{side} to move; neither side can mate"),
        Standing::InCheck => format!("{side} to move, in check"),
        Standing::ToMove => format!("{side} to move"),
    }
}

/// The material balance: "White has a rook for a bishop and a pawn".
pub(crate) fn material(white: &Surplus, black: &Surplus) -> String {
    match (white.is_empty(), black.is_empty()) {
        (true, true) => "material is even".to_owned(),
        (false, true) => format!("White is {} up", pieces(white)),
        (true, false) => format!("Black is {} up", pieces(black)),
        (false, false) => format!("White has {} for {}", pieces(white), pieces(black)),
    }
}

fn pieces(surplus: &Surplus) -> String {
    let words: Vec<String> = surplus
        .iter()
        .map(|(count, role)| {
            let name = show::piece(*role);
            match count {
                1 => format!("a {name}"),
                2 => format!("two {name}s"),
                3 => format!("three {name}s"),
                _ => format!("{count} {name}s"),
            }
        })
        .collect();
    show::list(&words, "and")
}

/// Who attacks and who defends a square, on which a piece of `holder` stands.
pub(crate) fn control(
    square: Square,
    holder: Option<Color>,
    white: &[(Piece, Square)],
    black: &[(Piece, Square)],
) -> String {
    let (white, black) = (placed(white), placed(black));
    match holder {
        Some(Color::White) => format!("{square} is defended by {white}, attacked by {black}"),
        Some(Color::Black) => format!("{square} is defended by {black}, attacked by {white}"),
        None => format!("{square} is covered by {white} (White) and {black} (Black)"),
    }
}

fn placed(pieces: &[(Piece, Square)]) -> String {
    if pieces.is_empty() {
        return "nothing".to_owned();
    }
    let words: Vec<String> = pieces
        .iter()
        .map(|(piece, from)| match piece.role {
            Role::Pawn => from.to_string(),
            role => format!("{}{from}", role.upper_char()),
        })
        .collect();
    words.join(", ")
}
