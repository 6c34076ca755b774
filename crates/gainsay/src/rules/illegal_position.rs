use std::fmt;

use gainsay_notation::Span;
use shakmaty::{PositionErrorKinds, fen::ParseFenError};

use crate::{
    replay::{FenTrouble, View},
    report::Finding,
    rule::{Severity, rule},
    show::list,
    sink::Sink,
};

rule! {
    /// A FEN cannot be read or gives a position that breaks the rules.
    ///
    /// The message names the broken rules. Where only castling rights, the en passant
    /// square or the number of pieces are wrong, the moves are played all the same.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "8/8/8/8/8/8/8/K7 w - - 0 1"]
    ///
    /// 1. Ka2 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "7k/8/8/8/8/8/8/K7 w - - 0 1"]
    ///
    /// 1. Ka2 *
    /// ```
    RULE = "illegal-position", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let start = &view.replay.start;
    let (Some(trouble), Some(tag)) = (&start.trouble, start.tag) else {
        return;
    };
    let Some(tag) = view.game.tags.get(tag as usize) else {
        return;
    };
    let mut finding = finding(tag.value, trouble).in_game(view);
    if start.position.is_none() && !view.replay.plies.is_empty() {
        finding
            .message
            .push_str(" The moves of this game are not checked.");
    }
    sink.push(finding);
}

/// The finding for a FEN that cannot be used as it is.
pub(crate) fn finding(span: Span, trouble: &FenTrouble) -> Finding {
    Finding::new(&RULE, span, trouble.to_string())
}

/// Says what is wrong with a FEN, in a sentence.
impl fmt::Display for FenTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&describe(self))
    }
}

fn describe(trouble: &FenTrouble) -> String {
    match trouble {
        FenTrouble::Unreadable(error) => {
            let part = match error {
                ParseFenError::InvalidBoard => {
                    "its board field is wrong (eight ranks of eight squares, divided by \"/\")"
                }
                ParseFenError::InvalidFen => "it has too many or too few fields",
                ParseFenError::InvalidPocket => "its pocket cannot be read",
                ParseFenError::InvalidTurn => "the side to move must be \"w\" or \"b\"",
                ParseFenError::InvalidCastling => {
                    "its castling field must be \"-\" or letters of KQkq"
                }
                ParseFenError::InvalidEpSquare => "its en passant field must be \"-\" or a square",
                ParseFenError::InvalidRemainingChecks => "its check counter cannot be read",
                ParseFenError::InvalidHalfmoveClock => "its halfmove clock must be a number",
                ParseFenError::InvalidFullmoves => "its move number must be a number from 1",
            };
            format!("This FEN cannot be read: {part}.")
        }
        FenTrouble::Illegal(kinds) => {
            let broken: Vec<&str> = [
                (PositionErrorKinds::EMPTY_BOARD, "the board is empty"),
                (PositionErrorKinds::MISSING_KING, "a king is missing"),
                (
                    PositionErrorKinds::TOO_MANY_KINGS,
                    "a side has more than one king",
                ),
                (
                    PositionErrorKinds::PAWNS_ON_BACKRANK,
                    "a pawn stands on the first or last rank",
                ),
                (
                    PositionErrorKinds::INVALID_CASTLING_RIGHTS,
                    "a right to castle lacks its king or rook",
                ),
                (
                    PositionErrorKinds::INVALID_EP_SQUARE,
                    "no pawn has just passed the en passant square",
                ),
                (
                    PositionErrorKinds::OPPOSITE_CHECK,
                    "the side that is not to move is in check",
                ),
                (
                    PositionErrorKinds::IMPOSSIBLE_CHECK,
                    "no last move can have given this check",
                ),
                (
                    PositionErrorKinds::TOO_MUCH_MATERIAL,
                    "a side has more pieces than promotions can give",
                ),
            ]
            .into_iter()
            .filter(|&(kind, _)| kinds.contains(kind))
            .map(|(_, words)| words)
            .collect();
            format!("This position breaks the rules: {}.", list(&broken, "and"))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    fn message(fen: &str) -> String {
        let text = format!("[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n*\n");
        check(text.as_bytes(), &Settings::default())
            .findings
            .into_iter()
            .find(|finding| finding.rule.name == "illegal-position")
            .map_or_else(String::new, |finding| finding.message)
    }

    #[test]
    fn names_the_broken_rule() {
        let kings = message("kkkkkkkk/kkkkkkkk/8/8/8/8/KK6/KK6 w - - 0 1");
        assert!(kings.contains("a side has more than one king"), "{kings}");
        assert!(message("k7/8/8/8/8/8/8/KP6 w - - 0 1").contains("first or last rank"));
        assert!(message("kR6/8/8/8/8/8/8/K7 w - - 0 1").contains("not to move is in check"));
        assert!(message("nonsense").contains("board field"));
        assert_eq!(message("k7/8/8/8/8/8/8/K7 w - - 0 1"), "");
    }

    #[test]
    fn chess960_castling_fields_are_legal() {
        assert_eq!(message("1r3k1r/8/8/8/8/8/8/1R3K1R w HBhb - 0 1"), "");
    }
}
