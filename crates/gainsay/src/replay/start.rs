//! Where a game begins: its FEN and its variant.

use gainsay_notation::Game;
use shakmaty::{
    CastlingMode, Chess, Color, FromSetup, Position, PositionError, PositionErrorKinds,
    fen::{Fen, ParseFenError},
};

/// Where a game begins.
///
/// ```
/// use gainsay::{Reading, Settings};
/// let text = b"[Variant \"Atomic\"]\n\n1. e4 *";
/// let reading = Reading::of(text, &Settings::default());
/// let start = &reading.views(text).next().unwrap().replay.start;
/// assert_eq!((start.variant, start.position.is_none()), (Some(0), true));
/// ```
#[derive(Clone, Debug)]
pub struct Start {
    /// The position; `None` where it cannot be known.
    pub position: Option<Chess>,
    /// The `FEN` tag, by its place in the game's tags, if the game has one.
    pub tag: Option<u32>,
    /// What is wrong with the `FEN` tag.
    pub trouble: Option<FenTrouble>,
    /// A variant whose rules gainsay does not know, by its tag.
    pub variant: Option<u32>,
}

impl Default for Start {
    fn default() -> Self {
        Self {
            position: Some(Chess::default()),
            tag: None,
            trouble: None,
            variant: None,
        }
    }
}

/// What is wrong with a FEN.
///
/// ```
/// use gainsay::{FenTrouble, read_fen, shakmaty::PositionErrorKinds};
/// assert!(matches!(read_fen("e4", false), (None, Some(FenTrouble::Unreadable(_)))));
/// let (position, trouble) = read_fen("8/8/8/8/8/8/8/K7 w - - 0 1", false);
/// assert!(position.is_none());
/// assert_eq!(trouble, Some(FenTrouble::Illegal(PositionErrorKinds::MISSING_KING)));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FenTrouble {
    /// It cannot be read.
    Unreadable(ParseFenError),
    /// It gives no legal position; all the broken rules.
    Illegal(PositionErrorKinds),
}

impl Start {
    pub(super) fn of(text: &[u8], game: &Game) -> Self {
        let mut start = Self::default();
        let mut chess960 = false;
        let mut fen = None;
        for (at, tag) in game.tags.iter().enumerate() {
            // Names are compared by length first, which skips nearly every tag.
            match tag.name.of(text) {
                b"FEN" if fen.is_none() => fen = Some(at as u32),
                b"Variant" => match variant(&tag.value(text)) {
                    Variant::Standard => {}
                    Variant::Chess960 => chess960 = true,
                    Variant::Other => start.variant = Some(at as u32),
                },
                _ => {}
            }
        }
        if start.variant.is_some() {
            start.position = None;
            return start;
        }
        if let Some(at) = fen {
            start.tag = Some(at);
            if let Some(tag) = game.tags.get(at as usize) {
                let (position, trouble) = read_fen(&tag.value(text), chess960);
                start.position = position;
                start.trouble = trouble;
            }
        }
        start
    }

    /// The count (see [`Ply::count`]) of the first move.
    pub(super) fn first_count(&self) -> u32 {
        self.position.as_ref().map_or(2, |position| {
            position
                .fullmoves()
                .get()
                .saturating_mul(2)
                .saturating_add(u32::from(position.turn() == Color::Black))
        })
    }
}

enum Variant {
    Standard,
    Chess960,
    Other,
}

fn variant(name: &str) -> Variant {
    let letters: String = name
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    match letters.as_str() {
        "" | "standard" | "chess" | "normal" | "fromposition" | "classical" | "orthodox" => {
            Variant::Standard
        }
        "chess960" | "960" | "fischerandom" | "fischerrandom" | "fischerrandomchess"
        | "fischerandomchess" | "freestyle" | "freestylechess" => Variant::Chess960,
        _ => Variant::Other,
    }
}

/// Reads a FEN. A position that breaks a rule without making play impossible
/// (castling rights without a rook, more pieces than promotions can give) comes
/// with its trouble, and play goes on.
///
/// Castling fields that name files or outer rooks are read as Chess960, as are
/// those of a game whose tag says so.
///
/// ```
/// use gainsay::{read_fen, show};
/// let fen = "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1";
/// let (position, trouble) = read_fen(fen, false);
/// assert_eq!((position.map(|position| show::fen(&position)).as_deref(), trouble), (Some(fen), None));
/// // The right to castle is wrong, and play goes on without it.
/// let (position, trouble) = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w K - 0 1", false);
/// assert!(position.is_some() && trouble.is_some());
/// ```
#[must_use]
pub fn read_fen(fen: &str, chess960: bool) -> (Option<Chess>, Option<FenTrouble>) {
    let fen = match Fen::from_ascii(fen.trim().as_bytes()) {
        Ok(fen) => fen,
        Err(error) => return (None, Some(FenTrouble::Unreadable(error))),
    };
    let setup = fen.into_setup();
    let standard = Chess::from_setup(setup.clone(), CastlingMode::Standard);
    match standard {
        Ok(position) if !chess960 => (Some(position), None),
        _ => match Chess::from_setup(setup, CastlingMode::Chess960) {
            Ok(position) => (Some(position), None),
            Err(error) => {
                let kinds = error.kinds();
                let position = Err(error)
                    .or_else(PositionError::ignore_invalid_castling_rights)
                    .or_else(PositionError::ignore_invalid_ep_square)
                    .or_else(PositionError::ignore_too_much_material)
                    .or_else(PositionError::ignore_impossible_check)
                    .ok();
                (position, Some(FenTrouble::Illegal(kinds)))
            }
        },
    }
}
