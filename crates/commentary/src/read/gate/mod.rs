//! The words around a claim that are not understood. What is not understood is not judged.
//!
//! A claim is a phrase; its clause says more. Whatever stands in that clause must be accounted
//! for: a function word, a word whose sense the reader follows (`around.rs`), a reviewed word
//! that changes nothing, the subject, or a part of another claim. All else is entered as unread,
//! pieces and squares included, since "attacked by the queen and the knight" says more than
//! "attacked by the queen".

mod before;
mod behind;
mod free;
mod role;
mod whose;

use self::role::VERB;
use super::made::Made;
use super::maker::Maker;
use crate::chunks::ChunkKind;
use crate::claim::{At, Prose};
use crate::kind::{ClaimKind, Mate, Material};
use crate::set::Set;
use crate::wording::Nuance;

impl Maker<'_> {
    /// Enters for every claim that phrases made in the sentence what is not understood around
    /// it, in the order of the text.
    pub(super) fn pass_gate(&self, prose: &mut Prose) {
        for made in &self.made {
            let Some(claim) = prose.claims.get(made.claim) else {
                continue;
            };
            let mut spans = Vec::new();
            // A noun phrase needs its own words only.
            if matches!(claim.kind, ClaimKind::Pieces(_)) {
                // "The thief who took the queen is still on e2"
                let Some(who) = self.object_of(made) else {
                    continue;
                };
                spans.push(self.span(who, who + 1));
            }
            let whole = !self.is_presupposed(made, &claim.kind);
            // Why a line mates is so at its end.
            let at_end = matches!(claim.at, At::End(_))
                && !prose.line_mates(claim.at)
                && matches!(
                    claim.kind,
                    ClaimKind::Relation { .. }
                        | ClaimKind::Bearing(_)
                        | ClaimKind::Material(_)
                        | ClaimKind::Structure(_)
                );
            // "After 24.Nxd1 he takes the knight and is a piece up": behind a move told in words.
            let moved = matches!(claim.at, At::End(_))
                && matches!(claim.kind, ClaimKind::Material(_))
                && self.goes_on_in_words(made.chunks.start);
            // Why a move is impossible is not so behind it.
            let barred = at_end && prose.line_is_barred(claim.at);
            let asserted =
                !moved && !barred && (!whole || !self.is_supposed(made, claim.at.line().is_some()));
            let told_ahead = at_end || self.is_told_ahead(prose, made, &claim.kind);
            self.unread_before(&mut spans, made, whole, told_ahead);
            if let Some(at) = self.goes_on_behind(made.chunks.end, &claim.kind) {
                spans.push(self.span(at, at + 1));
            }
            if whole {
                self.unread_behind(&mut spans, made);
            }
            spans.extend(self.whose(made, claim));
            spans.extend(self.parted_verb(made, claim));
            spans.extend(self.free_subject(made, claim));
            let counted = claim.number.map(|number| (number.span, number.noun));
            spans.retain(|&span| {
                !counted.is_some_and(|(number, noun)| {
                    span == number || noun.is_some_and(|noun| span == noun.span)
                })
            });
            spans.extend_from_slice(prose.unread_of(claim));
            spans.sort_unstable_by_key(|span| (span.start, span.end));
            spans.dedup();
            let index = |prose: &Prose| u32::try_from(prose.unread.len()).unwrap_or(u32::MAX);
            let first = index(prose);
            prose.unread.append(&mut spans);
            let unread = first..index(prose);
            if let Some(claim) = prose.claims.get_mut(made.claim) {
                claim.unread = unread;
                claim.asserted &= asserted;
            }
        }
    }

    /// Whether a mate to come stands in front of a claim, whose reason may be so behind it: "mate in
    /// one, because the bishop guards the queen".
    fn is_told_ahead(&self, prose: &Prose, made: &Made, kind: &ClaimKind) -> bool {
        let mates = |other: &Made| {
            let mate = prose.claims.get(other.claim).map(|claim| &claim.kind);
            other.chunks.end <= made.chunks.start
                && matches!(
                    mate,
                    Some(ClaimKind::Mate(Mate::In { .. } | Mate::Next | Mate::Forced))
                )
        };
        matches!(kind, ClaimKind::Relation { .. }) && self.made.iter().any(mates)
    }

    fn is_infinitive(&self, at: usize) -> bool {
        self.sense(at).is(Set::Infinitive)
            && matches!(self.kind(at + 1), Some(ChunkKind::Word { .. }))
    }

    /// Whether a claim is what a noun phrase takes for granted, or names a place of the game: then
    /// its own words are all of it. "The open b-file" is open whatever is said of it.
    fn is_presupposed(&self, made: &Made, kind: &ClaimKind) -> bool {
        let attribute = match kind {
            ClaimKind::Reference(_) => return true,
            // "Has forfeited his right to castle" takes no right for granted.
            ClaimKind::Structure(_) => self.has_thing(made),
            ClaimKind::Relation { .. } => true,
            ClaimKind::Material(Material::Extra(_)) => true,
            _ => false,
        };
        let verb = made
            .chunks
            .clone()
            .any(|at| self.sense(at).is_any(VERB) || self.is_actor(at));
        let determined = |at: usize| {
            self.sense(at)
                .is_any(Set::Det.bit() | Set::His.bit() | Set::Possessive.bit())
                && !self.sense(at).has(Nuance::Any)
        };
        let start = made.chunks.start;
        let first = determined(start) || start.checked_sub(1).is_some_and(determined);
        attribute && !verb && first
    }

    /// Whether chunk `at` belongs to another claim's phrase.
    fn is_claimed(&self, at: usize, but: &Made) -> bool {
        (self.made.iter()).any(|made| made.claim != but.claim && made.chunks.contains(&at))
    }
}
