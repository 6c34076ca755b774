//! Numbers of moves that stand apart from the mate that they count.

use gainsay_notation::Span;

use super::maker::Maker;
use crate::chunks::{ChunkKind, Sentence};
use crate::claim::Prose;
use crate::kind::{ClaimKind, Mate};

impl Maker<'_> {
    /// Gives the mates without a number among the claims from number `first` on, those of a
    /// sentence, the number that is said of them: "mate follows in two moves". Where it stands
    /// elsewhere, as in "it takes two moves to give mate", what it counts is not understood, and
    /// the mate is not judged.
    pub(super) fn number_mates(&self, prose: &mut Prose, first: usize, sentence: &Sentence) {
        let Prose { claims, unread, .. } = prose;
        let claims = claims.get_mut(first..).unwrap_or_default();
        let without = |kind: &ClaimKind| matches!(kind, ClaimKind::Mate(Mate::Forced | Mate::Now));
        if !claims.iter().any(|claim| without(&claim.kind)) {
            return;
        }
        for at in sentence.chunks.clone() {
            let span = self.span(at, at + 1);
            let within = |claim: Span| claim.start <= span.start && span.end <= claim.end;
            let Some(moves) = self.number_of_moves(at) else {
                continue;
            };
            if claims
                .iter()
                .any(|claim| claim.number.is_some() && within(claim.span))
            {
                continue;
            }
            for claim in claims.iter_mut().filter(|claim| without(&claim.kind)) {
                let end = claim.span.end;
                let joins = at.checked_sub(1).filter(|&joint| {
                    let joint = self.span(joint, joint + 1);
                    let word = joint.of(self.text);
                    matches!(word, b"in" | b"within" | b"en")
                });
                let behind = joins.and_then(|joint| joint.checked_sub(1));
                if behind.is_some_and(|last| self.span(last, last + 1).end == end) {
                    claim.kind = ClaimKind::Mate(Mate::In {
                        moves,
                        at_most: false,
                    });
                    claim.number = self.number_at(at, moves);
                } else if claim.unread.is_empty() {
                    let index = u32::try_from(unread.len()).unwrap_or(u32::MAX);
                    unread.push(span);
                    claim.unread = index..index.saturating_add(1);
                }
            }
        }
    }

    /// The number at chunk `at`, where it counts moves.
    fn number_of_moves(&self, at: usize) -> Option<u32> {
        let value = match self.kind(at) {
            Some(ChunkKind::Number(value)) => value,
            Some(ChunkKind::Word { .. }) => self.sense(at).number.map(u32::from)?,
            _ => return None,
        };
        let counts = self.number_at(at, value)?.noun.is_some();
        counts.then_some(value)
    }
}
