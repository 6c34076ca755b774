//! Who a claim is said of.

use shakmaty::{Color, Role};

use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::{Claim, Prose, Subject};
use crate::entry::Entry;
use crate::kind::{ClaimKind, Mate, Threat};
use crate::noun::Owner;
use crate::set::Set;
use crate::wording::Nuance;

impl Maker<'_> {
    pub(super) fn side(&self, at: usize) -> Subject {
        match self.kind(at) {
            Some(ChunkKind::Side(color)) => Subject::Side(color),
            Some(ChunkKind::He(third)) => match self.named_before(at).filter(|_| third) {
                Some(color) => Subject::Side(color),
                None => Subject::He,
            },
            Some(ChunkKind::Opponent) => Subject::Opponent,
            _ => Subject::Nobody,
        }
    }

    /// The player whom "he" at chunk `at` means, where the sentence and the one before name
    /// one side only, and by itself: "After White's move he is lost" can be said of either.
    fn named_before(&self, at: usize) -> Option<Color> {
        let mut sides = [false; 2];
        let mut sentences = 0;
        for back in (at.saturating_sub(REACH)..at).rev() {
            let named = match self.kind(back)? {
                ChunkKind::End => {
                    sentences += 1;
                    if sentences > 1 {
                        break;
                    }
                    None
                }
                ChunkKind::Side(color) => {
                    // "After White's move he is lost" can be said of either.
                    let premise = back
                        .checked_sub(1)
                        .is_some_and(|at| self.sense(at).is(Set::Premise));
                    if premise && self.sense(back + 1).is(Set::Possessive) {
                        return None;
                    }
                    Some(color)
                }
                ChunkKind::Noun(noun) => match noun.owner {
                    Owner::Side(color) => Some(color),
                    _ => None,
                },
                _ => None,
            };
            if let Some(color) = named {
                sides[usize::from(color.is_white())] = true;
            }
        }
        match sides {
            [false, true] => Some(Color::White),
            [true, false] => Some(Color::Black),
            _ => None,
        }
    }

    /// The subject of the claim that ends in front of "and" and chunk `start`: in "the queen
    /// protects f3 and covers e8" both are said of the queen.
    pub(super) fn subject_shared(
        &self,
        prose: &Prose,
        start: usize,
        sentence: u32,
        kind: &ClaimKind,
    ) -> Subject {
        // "and covers e8", "and is a pawn up"
        let is = start
            .checked_sub(1)
            .is_some_and(|at| self.sense(at).is(Set::Question));
        let joint = start.checked_sub(1 + usize::from(is));
        let Some(joint) = joint.filter(|&at| at > 0 && self.joins(at)) else {
            return Subject::Nobody;
        };
        let end = self.span(joint - 1, joint).end;
        let told = |claim: &&Claim| {
            claim.sentence == sentence
                && claim.span.end == end
                && (matches!(claim.kind, ClaimKind::Relation { .. })
                    || matches!(claim.subject, Subject::Side(_)))
        };
        let shared = prose.claims.iter().rev().take(8).find(told);
        match shared {
            Some(claim) => claim.subject,
            None if !is && self.ends(start, |endings| endings.third) => self.begins(joint, kind),
            None => Subject::Nobody,
        }
    }

    /// Whether the piece or side of chunk `at` stands in a case, or in a clause behind a pronoun in
    /// one, in which it does nothing: "den Turm", "der Turm, den die Dame deckt".
    pub(super) fn is_oblique(&self, at: usize) -> bool {
        let Some(chunk) = self.chunks.get(at) else {
            return false;
        };
        match chunk.kind {
            ChunkKind::Noun(noun) => noun.wording.has(Nuance::Object),
            ChunkKind::Side(_) => {
                let article = at.checked_sub(1).is_some_and(|at| {
                    let sense = self.sense(at);
                    sense.is(Set::Det) && sense.has(Nuance::Object)
                });
                article || chunk.entry == Entry::OBLIQUE_SIDE
            }
            ChunkKind::Word { .. } => self.is_relative(at) && self.sense(at).has(Nuance::Object),
            _ => false,
        }
    }

    /// Whether the word of chunk `at` is a relative pronoun. What may be an article as well is one
    /// behind a sign alone: "der Turm, der die Dame deckt".
    pub(super) fn is_relative(&self, at: usize) -> bool {
        let sense = self.sense(at);
        let before = at.checked_sub(1).and_then(|at| self.kind(at));
        sense.is(Set::Relative)
            && (!sense.is(Set::Det)
                || sense.is(Set::This)
                || before.is_some_and(ChunkKind::parts_clauses))
    }

    fn is_noun(&self, at: Option<usize>) -> bool {
        matches!(at.and_then(|at| self.kind(at)), Some(ChunkKind::Noun(_)))
    }

    /// What the clause in front of chunk `joint` begins with: in "the queen arrives on g2 and pins
    /// the pawn" both are told of the queen.
    fn begins(&self, joint: usize, kind: &ClaimKind) -> Subject {
        let mut subject = Subject::Nobody;
        for at in (joint.saturating_sub(REACH)..joint).rev() {
            let sense = self.sense(at);
            match self.kind(at) {
                Some(ChunkKind::Line(_)) => {
                    // "24.Nxe6+ unmasks the bishop and hits the queen"
                    let verb = at + 1 == joint || self.is_verb(at + 1);
                    return if verb { Subject::Line } else { subject };
                }
                Some(ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent) => {
                    subject = self.side(at);
                }
                Some(ChunkKind::Noun(noun)) if takes_pieces(kind) => subject = Subject::Piece(noun),
                Some(ChunkKind::Noun(_)) => subject = Subject::Nobody,
                Some(ChunkKind::Word { .. }) => {
                    if sense.is_any(Set::Because.bit() | Set::If.bit()) && !sense.is_filler() {
                        break;
                    }
                    if !sense.is_filler() {
                        subject = Subject::Nobody;
                    }
                }
                None | Some(ChunkKind::End) => break,
                Some(sign) if sign.parts_clauses() => break,
                Some(_) => subject = Subject::Nobody,
            }
        }
        subject
    }

    /// Whether "and" stands at a chunk, and not "or" or "but".
    fn joins(&self, at: usize) -> bool {
        let sense = self.sense(at);
        sense.is(Set::And) && !sense.is(Set::Or) && !sense.is(Set::But)
    }

    /// Who stands in front of chunk `start` in the same clause.
    pub(super) fn subject(&self, start: usize, kind: &ClaimKind) -> Subject {
        let pieces = takes_pieces(kind);
        let mut by = false;
        for at in (start.saturating_sub(10)..start).rev() {
            match self.kind(at) {
                // "The knight itself"
                Some(ChunkKind::He(_)) if pieces && self.is_noun(at.checked_sub(1)) => {}
                // "Белым грозит мат": what is told is not White's doing.
                Some(_) if self.is_oblique(at) => return Subject::Nobody,
                Some(ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent) => {
                    // "Weakens Black's camp by attacking f7": Black attacks nothing.
                    let thing = self.sense(at + 1);
                    let owns =
                        thing.is_any(Set::Possessive.bit() | Set::Whole.bit() | Set::Adjunct.bit());
                    // "White's rook pins it": White's queen may.
                    let owned = pieces
                        && thing.is(Set::Possessive)
                        && self
                            .sense(at + 2)
                            .piece
                            .is_some_and(|piece| piece.role.is_some());
                    if by && owns || owned {
                        return Subject::Nobody;
                    }
                    return self.side(at);
                }
                Some(ChunkKind::Noun(noun)) if pieces => return Subject::Piece(noun),
                Some(ChunkKind::Line(_)) => return Subject::Line,
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    by |= sense.is(Set::By) && !sense.is(Set::Question);
                    // "It is Black who is a piece up", "the knight that gives check"
                    let before = at.checked_sub(1).and_then(|at| self.kind(at));
                    let relative = self.is_relative(at);
                    if relative
                        && matches!(
                            before,
                            Some(ChunkKind::Side(_) | ChunkKind::Noun(_) | ChunkKind::He(_))
                        )
                    {
                        continue;
                    }
                    // "The pawn, out of breath, that gives check"
                    let line = |at: usize| matches!(self.kind(at), Some(ChunkKind::Line(_)));
                    if relative
                        && matches!(before, Some(ChunkKind::Comma))
                        && !at.checked_sub(2).is_some_and(line)
                        && at > 1
                    {
                        // "The knight on f6, which guards g8"
                        let noun = at.checked_sub(2).and_then(|at| self.kind(at));
                        return match noun {
                            Some(ChunkKind::Noun(noun)) if pieces => Subject::Piece(noun),
                            _ => Subject::Nobody,
                        };
                    }
                    // "There is no man that protects it"
                    if relative && matches!(before, Some(ChunkKind::Word { .. })) {
                        return Subject::Nobody;
                    }
                    // "This ending is won" judges no move.
                    if sense.is(Set::This) && !self.sense(at + 1).is(Set::Whole) {
                        return Subject::ThisMove;
                    }
                    if sense.is(Set::And) || sense.is(Set::Because) || sense.is(Set::If) {
                        return Subject::Nobody;
                    }
                }
                // "The white king may still castle"
                Some(ChunkKind::Noun(noun))
                    if noun.role == Some(Role::King)
                        && matches!(kind, ClaimKind::Structure(_))
                        && let Owner::Side(color) = noun.owner =>
                {
                    return Subject::Side(color);
                }
                Some(ChunkKind::Noun(_) | ChunkKind::Square(_) | ChunkKind::Number(_)) => {}
                _ => return Subject::Nobody,
            }
        }
        // A comment that begins with its verb goes on with the move it stands behind:
        // "24.Qg7 {was better.}"
        if start == 0 && self.sense(0).is(Set::Question) {
            return Subject::ThisMove;
        }
        Subject::Nobody
    }
}

/// Whether a piece can be the subject of a claim of this kind.
const fn takes_pieces(kind: &ClaimKind) -> bool {
    matches!(
        kind,
        ClaimKind::Relation { .. }
            | ClaimKind::Deed(_)
            | ClaimKind::First(_)
            | ClaimKind::Mate(Mate::Now)
            | ClaimKind::Threat(Threat::Pieces(_))
            | ClaimKind::OnlyMove(_)
    )
}

/// The one who acts where `subject` suffers.
pub(super) const fn opposite(subject: Subject) -> Subject {
    match subject {
        Subject::Side(Color::White) => Subject::Side(Color::Black),
        Subject::Side(Color::Black) => Subject::Side(Color::White),
        Subject::Opponent => Subject::He,
        Subject::He => Subject::Opponent,
        _ => Subject::Nobody,
    }
}
