//! How many men of a kind a side has left.

use gainsay_commentary::Count;
use shakmaty::{Chess, Color, Position};

use super::{
    answer::Answer,
    instead::TrueInstead,
    statements::{Soon, Statement, settle_statement},
};
use crate::{
    outcome::{Kind, MaterialWhy, Side},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// A side does not have as many men of a kind left as the text says.
    ///
    /// Counted on the board, within a few plies of the comment and in the lines it cites; in the
    /// middle of an exchange its end counts too. A reader who sets up the position sees the slip at
    /// once.
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

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

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
