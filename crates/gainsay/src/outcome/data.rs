//! What outcomes are made of: sides, men, squares, positions and lines, each written as the
//! standards write it.

use std::{fmt, str::FromStr};

use gainsay_proof::facts::MatingPattern;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
use shakmaty::{
    Bitboard, Board, Chess, Color, EnPassantMode, File, Move, Position, Role, Square, fen::Fen,
    san::SanPlus, uci::UciMove,
};

use crate::show;

/// Writes a value as a text that its type can be read from again.
macro_rules! as_text {
    ($(#[doc = $doc:literal])* $name:ident($inner:ty), $write:expr, $read:expr) => {
        $(#[doc = $doc])*
        #[derive(Clone, PartialEq, Eq)]
        pub struct $name(pub $inner);

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let write: fn(&$inner) -> String = $write;
                f.write_str(&write(&self.0))
            }
        }

        impl From<$inner> for $name {
            fn from(inner: $inner) -> Self {
                Self(inner)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                let write: fn(&$inner) -> String = $write;
                to.serialize_str(&write(&self.0))
            }
        }

        #[cfg(feature = "schema")]
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let doc = concat!($($doc),*).trim();
                schemars::json_schema!({ "type": "string", "description": doc })
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let text = String::deserialize(from)?;
                let read: fn(&str) -> Option<$inner> = $read;
                read(&text)
                    .map(Self)
                    .ok_or_else(|| D::Error::custom(Unreadable(text)))
            }
        }
    };
}

/// A text that is not what it should be.
#[derive(Debug, thiserror::Error)]
#[error("\"{0}\" cannot be read; write it as this program does")]
pub(super) struct Unreadable(pub(super) String);

fn parsed<T: FromStr>(text: &str) -> Option<T> {
    text.parse().ok()
}

as_text! {
    /// A side: `white` or `black`.
    Side(Color), |side| side.to_string(), parsed
}

as_text! {
    /// A kind of man by its English letter: `Q`, and `P` for a pawn.
    Kind(Role), |role| role.upper_char().to_string(),
    |text| Role::from_char(text.chars().next()?)
}

as_text! {
    /// A square: `e4`.
    At(Square), |square| square.to_string(), parsed
}

as_text! {
    /// A file: `e`.
    OnFile(File), |file| file.char().to_string(), |text| File::from_char(text.chars().next()?)
}

as_text! {
    /// The picture of a mate, by its name in the code.
    Pattern(MatingPattern), |pattern| format!("{pattern:?}"),
    |text| MatingPattern::ALL.into_iter().find(|pattern| format!("{pattern:?}") == text)
}

as_text! {
    /// A position, written as FEN.
    Placed(Chess), |position| Fen::from_position(position, EnPassantMode::Legal).to_string(),
    |text| crate::replay::read_fen(text, false).0
}

/// A man on its square.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Man {
    /// Whose it is.
    pub side: Side,
    /// What it is.
    pub kind: Kind,
    /// Where it stands.
    pub at: At,
}

impl Man {
    /// The man on a square, if one stands there.
    #[must_use]
    pub(crate) fn on(board: &Board, square: Square) -> Option<Self> {
        let piece = board.piece_at(square)?;
        Some(Self {
            side: Side(piece.color),
            kind: Kind(piece.role),
            at: At(square),
        })
    }

    /// The men on these squares.
    #[must_use]
    pub(crate) fn all(board: &Board, squares: Bitboard) -> Vec<Self> {
        let men = squares.into_iter();
        men.filter_map(|square| Self::on(board, square)).collect()
    }
}

/// The squares of a set.
#[must_use]
pub(crate) fn squares_of(squares: Bitboard) -> Vec<At> {
    squares.into_iter().map(At).collect()
}

/// Moves that are played one behind the other from a position.
///
/// ```
/// use gainsay::{outcome::Line, shakmaty::{Chess, Position}};
/// let start = Chess::default();
/// let m = start.legal_moves()[0];
/// // White cannot move twice, so the line ends before the second move.
/// assert_eq!(Line::new(&start, &[m, m]).moves(), [m]);
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Line {
    start: Chess,
    moves: Vec<Move>,
}

impl fmt::Debug for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let start = Placed(self.start.clone());
        write!(f, "{start:?} {}", show::line(&self.start, &self.moves))
    }
}

impl Line {
    /// The line, as far as its moves can be played.
    #[must_use]
    pub fn new(start: &Chess, moves: &[Move]) -> Self {
        let mut position = start.clone();
        let played = moves.iter().take_while(|&&m| {
            let legal = position.is_legal(m);
            if legal {
                position.play_unchecked(m);
            }
            legal
        });
        let moves = played.copied().collect();
        Self {
            start: start.clone(),
            moves,
        }
    }

    /// The position before the first move.
    #[must_use]
    pub const fn start(&self) -> &Chess {
        &self.start
    }

    /// The moves, all of them legal.
    #[must_use]
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// Whether it has no moves.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.moves.is_empty()
    }
}

/// Moves that are played one behind the other.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct WrittenLine {
    /// The position before the first move, in FEN.
    start: Placed,
    /// The moves as UCI writes them.
    uci: Vec<String>,
    /// The same moves in SAN.
    #[serde(default)]
    san: Vec<String>,
}

impl Serialize for Line {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mode = self.start.castles().mode();
        let mut position = self.start.clone();
        let san = |&m: &Move| SanPlus::from_move_and_play_unchecked(&mut position, m).to_string();
        WrittenLine {
            start: Placed(self.start.clone()),
            uci: (self.moves.iter())
                .map(|m| m.to_uci(mode).to_string())
                .collect(),
            san: self.moves.iter().map(san).collect(),
        }
        .serialize(to)
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Line {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Line".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        WrittenLine::json_schema(generator)
    }
}

impl<'de> Deserialize<'de> for Line {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let written = WrittenLine::deserialize(from)?;
        let start = written.start.0;
        let mut position = start.clone();
        let mut moves = Vec::new();
        for text in written.uci {
            let m = (text.parse::<UciMove>().ok()).and_then(|uci| uci.to_move(&position).ok());
            let m = m.ok_or_else(|| D::Error::custom(Unreadable(text)))?;
            position.play_unchecked(m);
            moves.push(m);
        }
        Ok(Self { start, moves })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_written_in_both_notations_and_read_again() {
        let start = Chess::default();
        let mut position = start.clone();
        let moves: Vec<Move> = ["e2e4", "e7e5", "g1f3", "b8c6", "f1b5", "a7a6", "e1g1"]
            .iter()
            .map(|text| {
                let uci: UciMove = text.parse().expect("a move");
                let m = uci.to_move(&position).expect("a legal move");
                position.play_unchecked(m);
                m
            })
            .collect();
        let line = Line::new(&start, &moves);
        let text = serde_json::to_string(&line).expect("it can be written");
        assert!(
            text.contains("\"O-O\"") && text.contains("\"e1g1\""),
            "{text}"
        );
        let again: Line = serde_json::from_str(&text).expect("it can be read");
        assert_eq!(again, line);
    }

    #[test]
    fn a_line_ends_before_a_move_that_cannot_be_played() {
        let start = Chess::default();
        let first = start.legal_moves()[0];
        // The other side is to move then.
        assert_eq!(Line::new(&start, &[first, first]).moves(), [first]);
    }

    #[test]
    fn what_is_no_square_cannot_be_read() {
        assert!(serde_json::from_str::<At>("\"i9\"").is_err());
        assert_eq!(
            serde_json::from_str::<At>("\"e4\"").ok(),
            Some(At(Square::E4))
        );
        assert_eq!(
            serde_json::from_str::<Side>("\"black\"").ok(),
            Some(Side(Color::Black))
        );
    }
}
