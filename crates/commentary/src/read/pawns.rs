//! On which wing so many pawns are said to stand, and what they are counted in.

use shakmaty::{CastlingSide, Role};

use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::Prose;
use crate::kind::{ClaimKind, Pawns};
use crate::set::Set;

impl Maker<'_> {
    /// Completes a count of pawns whose words are chunks `start..end`; returns where what belongs to
    /// it ends, or `None` where it may count something else.
    pub(super) fn complete_pawns(
        &self,
        prose: &Prose,
        start: usize,
        end: usize,
        said: &mut Pawns,
    ) -> Option<usize> {
        let (mut from, mut end) = (start, end);
        if let Some((wing, behind)) = self.wing_at(end) {
            said.wing = Some(wing);
            end = behind;
        } else if let Some((wing, at)) = self.wing_before(start) {
            said.wing = Some(wing);
            from = at;
        }
        if self.names_wing_beside(from, end) {
            return None;
        }
        // "Four against three" counts pawns only on a wing, or behind words that say so.
        if said.named || said.wing.is_some() {
            return Some(end);
        }
        let sign = start.checked_sub(1)?;
        let parted = matches!(self.kind(sign), Some(ChunkKind::Comma | ChunkKind::Colon));
        let of_pawns = self.made.iter().any(|made| {
            let kind = prose.claims.get(made.claim).map(|claim| &claim.kind);
            made.chunks.end == sign && matches!(kind, Some(ClaimKind::Pawns(_)))
        });
        (parted && of_pawns).then_some(end)
    }

    /// The wing that a clause in front of chunk `start` begins with, and where it does: "on the
    /// kingside White has", "on the king's wing it is".
    fn wing_before(&self, start: usize) -> Option<(CastlingSide, usize)> {
        const BETWEEN: usize = 3;
        const WORDS: usize = 5;
        let mut before = (start.saturating_sub(BETWEEN + WORDS)..start).rev();
        before.find_map(|at| {
            let (wing, behind) = self.wing_at(at)?;
            let mut between = behind..start;
            let near = behind <= start && between.len() <= BETWEEN;
            let parted = |at| self.kind(at).is_some_and(ChunkKind::parts_clauses);
            (near && !between.any(parted)).then_some((wing, at))
        })
    }

    /// Whether the sentence names a wing, a file or a majority elsewhere, so that not all pawns may
    /// be counted.
    fn names_wing_beside(&self, start: usize, end: usize) -> bool {
        let inside = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let names = |at: usize| {
            let sense = self.sense(at);
            let word = matches!(self.kind(at), Some(ChunkKind::Word { .. }));
            let owned = sense.piece.is_some() && self.sense(at + 1).is(Set::Possessive);
            match self.kind(at) {
                Some(ChunkKind::File(_)) => true,
                // "Three pawns against two, the h-pawn among them"
                Some(ChunkKind::Noun(noun)) => noun.file.is_some(),
                _ => word && (sense.is(Set::Wing) || owned),
            }
        };
        let mut before = (start.saturating_sub(REACH)..start)
            .rev()
            .take_while(inside);
        let mut behind = (end..end + REACH).take_while(inside);
        before.any(names) || behind.any(names)
    }

    /// "On the kingside", "on the queen's wing", and where it ends.
    fn wing_at(&self, at: usize) -> Option<(CastlingSide, usize)> {
        if !self.sense(at).is(Set::On) {
            return None;
        }
        let mut at = at + 1;
        if self.sense(at).is(Set::Det) {
            at += 1;
        }
        let sense = self.sense(at);
        if sense.is(Set::Kingside) {
            return Some((CastlingSide::KingSide, at + 1));
        }
        if sense.is(Set::Queenside) {
            return Some((CastlingSide::QueenSide, at + 1));
        }
        let side = match sense.piece?.role? {
            Role::King => CastlingSide::KingSide,
            Role::Queen => CastlingSide::QueenSide,
            _ => return None,
        };
        let wing = self.sense(at + 1).is(Set::Possessive) && self.sense(at + 2).is(Set::Adjunct);
        wing.then_some((side, at + 3))
    }
}
