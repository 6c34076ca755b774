//! What nobody can argue with in praise or blame of a move.

use super::answer::{Answer, Court};
use crate::{
    outcome::{Line, MoveWhy},
    resolve::played,
    rule::{Severity, rule},
};
use gainsay_commentary::Quality;
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

rule! {
    /// A glyph or a word praises a move that loses at once, or blames one that mates.
    ///
    /// Praise and blame are opinions, so they are doubted only where nobody could argue: `?`, `??` or "a
    /// blunder" on a move that mates, forces mate in two, or is the only legal one; `!`, `!!` or "the
    /// best move" on a move that allows a mate in two which another move avoids.
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4! Qh4# 0-1
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4? Qh4# 0-1
    /// ```
    FALSE_GLYPH = "false-glyph", Severity::Warning
}

/// What nobody can argue with: praise of a move that allows a short mate which another
/// avoids, blame of one that mates, forces mate or is the only legal one.
pub(super) fn contradiction(
    quality: Quality,
    before: &Chess,
    m: Move,
    after: &Chess,
    court: &mut Court<'_>,
) -> Option<Answer> {
    /// Mates of so many moves are looked for.
    const SHORT: u32 = 2;
    const NODES: u64 = 3_000;
    let cited = Line::new(before, &[m]);
    if matches!(quality, Quality::Missed | Quality::Better | Quality::Wins) {
        return None;
    }
    if matches!(quality, Quality::Good | Quality::Best) {
        let mated = court.mates_within(after, SHORT, NODES);
        if mated.verdict != Verdict::Holds {
            return None;
        }
        let mut safe: Vec<Move> = Vec::new();
        for m in before.legal_moves() {
            let other = played(before, m);
            if court.mates_within(&other, SHORT, NODES).verdict == Verdict::Fails {
                safe.push(m);
                break;
            }
        }
        let Some(&safe) = safe.first() else {
            return Some(Answer::unsettled());
        };
        let line = Line::new(after, &mated.line);
        let shown = line.clone();
        let safe = Line::new(before, &[safe]);
        let why = MoveWhy::AllowsMate { cited, line, safe };
        return Some(Answer::refuted(why, before, shown));
    }
    let shown = cited.clone();
    if after.is_checkmate() {
        let why = MoveWhy::BlamedMates { cited };
        return Some(Answer::refuted(why, before, shown));
    }
    if before.legal_moves().len() == 1 {
        let why = MoveWhy::BlamedIsOnlyMove { cited };
        return Some(Answer::refuted(why, before, shown));
    }
    let forced = court.is_mated_within(after, SHORT, NODES);
    if forced.verdict == Verdict::Holds {
        let line = Line::new(after, &forced.line);
        let shown = line.clone();
        let why = MoveWhy::BlamedForcesMate { cited, line };
        return Some(Answer::refuted(why, before, shown));
    }
    None
}
