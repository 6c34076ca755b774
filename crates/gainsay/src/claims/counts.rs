//! How many men of a kind a side has left.

use gainsay_commentary::{Count, Pawns, Subject};
use gainsay_proof::{Verdict, facts};
use shakmaty::{CastlingSide, Chess, Color, Position};

use super::{
    answer::Answer,
    instead::TrueInstead,
    statements::{Soon, Statement, settle_statement},
};
use crate::{
    outcome::{Kind, Line, MaterialWhy, Side, Wing},
    question::Question,
    resolve::played,
    rule::{Severity, rule},
};

rule! {
    /// A side does not have as many men of a kind left as the text says, or the sides have other
    /// numbers of pawns: "five pawns against four", "seven pawns each", "the pawns are level".
    ///
    /// Numbers of pawns against each other are counted in the position behind the move of the
    /// comment, or at the end of the line that the words stand behind; the files e to h are the
    /// kingside, and f to h may be meant. What is said of one side is counted on the board, within a
    /// few plies of the comment and in the lines it cites; in the middle of an exchange its end
    /// counts too. A reader who sets up the position sees the slip at once.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "4k3/5pp1/8/8/8/8/4PPPP/4K3 w - - 0 30"]
    ///
    /// 30. Kd2 {White has three pawns left.} Kd7 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "4k3/5pp1/8/8/8/8/4PPPP/4K3 w - - 0 30"]
    ///
    /// 30. Kd2 {White has four pawns left.} Kd7 *
    /// ```
    FALSE_COUNT = "false-count", Severity::Error
}

/// Settles "White has three pawns left".
pub(super) fn settle_count(question: &Question, said: Count) -> Answer {
    let sides = if said.both {
        Color::ALL.to_vec()
    } else {
        question.sides()
    };
    let has = |position: &Chess, side: Color| {
        position.board().by_piece(said.role.of(side)).count() == usize::from(said.count)
    };
    let holds = |position: &Chess| {
        let mut all = sides.iter();
        if said.both {
            all.all(|&side| has(position, side))
        } else {
            all.any(|&side| has(position, side))
        }
    };
    let named = said.both || sides.len() == 1;
    settle_statement(
        question,
        &Statement {
            holds: &holds,
            plausible: &holds,
            may_fail: named && question.claim.closed,
            may_be_denied: false,
            told: &|here| {
                let wrong = sides.iter().copied().find(|&side| !has(here, side));
                let side = wrong.or(sides.first().copied()).unwrap_or(Color::White);
                let count = here.board().by_piece(said.role.of(side)).count();
                TrueInstead::of(MaterialWhy::HasCount {
                    side: Side(side),
                    kind: Kind(said.role),
                    count: u32::try_from(count).unwrap_or(u32::MAX),
                })
            },
            soon: Soon::ByCapture,
        },
    )
}

/// Settles "five pawns against four", "seven pawns each", "the pawns are level".
pub(super) fn settle_pawns(question: &Question, said: &Pawns) -> Answer {
    let Some(position) = question.place().filter(|_| !question.denied()) else {
        return Answer::unsettled();
    };
    let first = match (said.side, question.claim.subject) {
        (Some(side), _) | (None, Subject::Side(side)) => Some(side),
        _ => None,
    };
    let [wide, narrow] = pawns(position, said.wing);
    if fits(said, first, wide) {
        return Answer::new(Verdict::Holds).on(position);
    }
    // In the middle of an exchange its end may be told.
    let may_be = |position: &Chess| {
        pawns(position, said.wing)
            .into_iter()
            .any(|counts| fits(said, first, counts))
    };
    let soon = || {
        let mut takes = position.capture_moves().into_iter();
        takes.any(|m| may_be(&played(position, m)))
    };
    if fits(said, first, narrow) || soon() || question.may_speak_of_line(&may_be) {
        return Answer::unsettled();
    }
    let why = MaterialWhy::PawnCounts {
        pawns: wide.map(|count| u32::try_from(count).unwrap_or(u32::MAX)),
        wing: said.wing.map(|wing| match wing {
            CastlingSide::KingSide => Wing::Kingside,
            CastlingSide::QueenSide => Wing::Queenside,
        }),
    };
    Answer::refuted(why, position, Line::new(position, &[]))
}

/// White's and Black's pawns: all, or those of a wing by its four files and by three.
fn pawns(position: &Chess, wing: Option<CastlingSide>) -> [[usize; 2]; 2] {
    let board = position.board();
    let wing = match wing {
        None => {
            let all = [Color::White, Color::Black].map(|side| board.by_piece(side.pawn()).count());
            return [all; 2];
        }
        Some(CastlingSide::KingSide) => facts::Wing::Kingside,
        Some(CastlingSide::QueenSide) => facts::Wing::Queenside,
    };
    let [white, black] =
        [Color::White, Color::Black].map(|side| facts::pawns_on_wing(board, side, wing));
    let [white_wide, white_narrow] = white;
    let [black_wide, black_narrow] = black;
    [[white_wide, black_wide], [white_narrow, black_narrow]]
}

/// Whether White's and Black's pawns are as many as is said, whichever side is told first where
/// that is not known.
fn fits(said: &Pawns, first: Option<Color>, [white, black]: [usize; 2]) -> bool {
    let (Some(own), Some(other)) = (said.own, said.other) else {
        return white == black;
    };
    let (own, other) = (usize::from(own), usize::from(other));
    let as_white = white == own && black == other;
    let as_black = black == own && white == other;
    match first {
        Some(Color::White) => as_white,
        Some(Color::Black) => as_black,
        None => as_white || as_black,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, check};

    /// The verdict on what a comment says of three pawns, a rook and a knight against two pawns
    /// and a rook.
    fn verdict(comment: &str) -> (Option<Verdict>, String) {
        let text = format!(
            "[SetUp \"1\"]\n[FEN \"r3k3/5pp1/8/8/8/8/5PPP/R3K1N1 w - - 0 30\"]\n\n\
             30. Ke2 Ke7 {{{comment}}} 31. Kd3 Kd6 *\n"
        );
        let report = check(text.as_bytes(), &Settings::default());
        let claim = report.claims.iter().find(|claim| claim.kind == "count");
        let told = report.findings.iter().map(|found| found.message.clone());
        (claim.map(|claim| claim.verdict), told.collect())
    }

    #[test]
    fn pawns_are_counted_against_each_other() {
        use Verdict::{Fails, Holds, Unsettled};
        crate::marked::all(
            "4k3/pp3pp1/8/8/8/8/P4PPP/4K3 w - - 0 30 | 30. Ke2 Ke7",
            &[
                ("[Each side has four pawns].", Holds),
                ("[Each side has five pawns].", Fails),
                ("There are [four pawns apiece].", Holds),
                ("There are [five pawns each].", Fails),
                ("[The pawns are level].", Holds),
                ("[Three pawns against two on the kingside].", Holds),
                ("[Four pawns against two on the king's side].", Fails),
                ("[White has four pawns to Black's three].", Fails),
                ("[White has one pawn against two on the queenside].", Holds),
                ("[White has two pawns against one on the queenside].", Fails),
                ("[Four white pawns against four black pawns].", Holds),
                ("[Five white pawns against four black pawns].", Fails),
                ("[Three against two on the kingside].", Holds),
                ("[Four against two on the kingside].", Fails),
                (
                    "On the kingside [White has three pawns against two].",
                    Holds,
                ),
                ("On the king's wing [White has four pawns to two].", Fails),
                (
                    "The pawns are [four against three in White's favour].",
                    Fails,
                ),
                ("[The pawns are level, four against four].", Holds),
                ("After 31.Ke3 [each side has four pawns].", Holds),
                ("If [each side has five pawns] it is drawn.", Unsettled),
            ],
        );
    }

    #[test]
    fn men_are_counted() {
        use Verdict::{Fails, Holds};
        for (comment, expected) in [
            ("White has three pawns left.", Holds),
            ("White has four pawns left.", Fails),
            ("Black has two pawns left.", Holds),
            ("Black has only a rook left.", Holds),
            ("Black has only a knight left.", Fails),
            ("Each side has three pawns left.", Fails),
            ("Both sides have one rook left.", Holds),
            ("White was left with three pawns.", Holds),
            ("Black has no knight left.", Holds),
            ("White has no pawn left on the board.", Fails),
        ] {
            assert_eq!(verdict(comment).0, Some(expected), "{comment}");
        }
        let (_, told) = verdict("Each side has three pawns left.");
        assert!(told.contains("here Black has two pawns"), "{told}");
        // What is had for something is no count of all.
        for comment in [
            "White has two pawns for the exchange.",
            "White has a pawn more.",
            "White has no rook left on the second rank.",
            "White has no pawn left that could promote.",
            "If White had four pawns left, it would be won.",
        ] {
            assert_ne!(verdict(comment).0, Some(Fails), "{comment}");
        }
    }
}
