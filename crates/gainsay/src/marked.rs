//! Tests of claims that are marked in the text: `White [mates in two].`

use gainsay_notation::Format;
use gainsay_proof::Verdict;

use crate::{check_as, report::SettledClaim, settings::Settings};

/// The verdict on the claim that has most of the words between brackets in a comment behind `moves`;
/// `None` where there is none. Moves may begin with a position: `FEN | 30. Ke2`.
pub(crate) fn verdict(moves: &str, comment: &str) -> Option<Verdict> {
    let (start, moves) = moves.split_once('|').unwrap_or(("", moves));
    let tags = match start.trim() {
        "" => String::new(),
        fen => format!("[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n"),
    };
    let open = comment.find('[').expect("a mark");
    let close = comment.find(']').expect("its end") - 1;
    let head = format!("{tags}{} {{", moves.trim());
    let plain = comment.replacen(['[', ']'], "", 2);
    let text = format!("{head}{plain}}} *\n");
    let marked = head.len() + open..head.len() + close;
    let report = check_as(text.as_bytes(), Format::Pgn, &Settings::default());
    let shared = |claim: &&SettledClaim| {
        let end = claim.span.end.min(marked.end);
        let shared = end.saturating_sub(claim.span.start.max(marked.start));
        // Of those with as much of it the one that says nothing else.
        (shared, usize::MAX - claim.span.len())
    };
    let claim = report.claims.iter().max_by_key(shared)?;
    (shared(&claim).0 > 0).then_some(claim.verdict)
}

/// Checks the verdicts on marked claims behind the same moves.
pub(crate) fn all(moves: &str, comments: &[(&str, Verdict)]) {
    for &(comment, expected) in comments {
        assert_eq!(verdict(moves, comment), Some(expected), "{moves} {comment}");
    }
}
