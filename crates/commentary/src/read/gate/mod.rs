//! The words around a claim that are not understood. What is not understood is not judged.
//!
//! A claim is a phrase; its clause says more. Whatever stands in that clause must be accounted
//! for: a function word, a word whose sense the reader follows (`around.rs`), a reviewed word
//! that changes nothing, the subject, or a part of another claim. All else is entered as unread,
//! pieces and squares included, since "attacked by the queen and the knight" says more than
//! "attacked by the queen".

mod role;

use std::ops::Range;

use gainsay_notation::Span;

use self::role::{SUPPOSED, VERB};
use super::made::Made;
use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::{At, Claim, Prose, Subject};
use crate::frame::Frame;
use crate::kind::{ClaimKind, Material, Threat};
use crate::noun::{Noun, Owner};
use crate::set::Set;
use crate::structure::Feature;
use crate::wording::Nuance;

impl Maker<'_> {
    /// Enters for every claim that phrases made in the sentence what is not understood around
    /// it, in the order of the text.
    pub(super) fn pass_gate(&self, prose: &mut Prose) {
        for made in &self.made {
            let Some(claim) = prose.claims.get(made.claim) else {
                continue;
            };
            // A noun phrase needs its own words only.
            if matches!(claim.kind, ClaimKind::Pieces(_)) {
                continue;
            }
            let mut spans = Vec::new();
            let whole = !self.is_presupposed(made, &claim.kind);
            // "After 24.Nxd1 he takes the knight and is a piece up": behind a move told in words.
            let moved = matches!(claim.at, At::End(_))
                && matches!(claim.kind, ClaimKind::Material(_))
                && self.goes_on_in_words(made.chunks.start);
            let asserted = !moved && (!whole || !self.is_supposed(made, claim.at.line().is_some()));
            // Why a line mates is so at its end.
            let at_end = matches!(claim.at, At::End(_))
                && !prose.line_mates(claim.at)
                && matches!(
                    claim.kind,
                    ClaimKind::Relation { .. } | ClaimKind::Material(_) | ClaimKind::Structure(_)
                );
            self.unread_before(&mut spans, made, whole, at_end);
            if let Some(at) = self.goes_on_behind(made.chunks.end, &claim.kind) {
                spans.push(self.span(at, at + 1));
            }
            if whole {
                self.unread_behind(&mut spans, made);
            }
            spans.extend(self.whose(made, claim));
            // "White, merry as a lark, is a piece up": who it is said of is lost.
            if claim.subject == Subject::Nobody
                && let Some(verb) = made.chunks.start.checked_sub(1)
                && self.sense(verb).is(Set::Is)
                && let Some(ChunkKind::Comma | ChunkKind::Close) =
                    verb.checked_sub(1).and_then(|at| self.kind(at))
            {
                spans.push(self.span(verb, verb + 1));
            }
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

    /// What stands in the way of knowing who a claim is said of.
    fn whose(&self, made: &Made, claim: &Claim) -> Option<Span> {
        let start = made.chunks.start;
        // "My king has castled", where the author may be either player.
        let mine = |noun: &Noun| noun.owner == Owner::Mine && noun.square.is_none();
        if let Subject::Piece(noun) = &claim.subject
            && mine(noun)
        {
            return Some(noun.span);
        }
        for at in made.chunks.clone() {
            let of_author = match self.kind(at) {
                Some(ChunkKind::Noun(noun)) => mine(&noun),
                Some(ChunkKind::Word { .. } | ChunkKind::He(_)) => {
                    self.sense(at).is(Set::Me) && matches!(claim.kind, ClaimKind::Stipulation(_))
                }
                _ => false,
            };
            if of_author {
                return Some(self.span(at, at + 1));
            }
        }
        if let Subject::Piece(noun) = &claim.subject
            && matches!(claim.kind, ClaimKind::Relation { .. })
            && let Some(at) = self.chunk_of(noun, start)
        {
            // "Two white pieces defend the rook", "only the queen attacks it"
            let only = at
                .checked_sub(1)
                .filter(|&at| self.sense(at).has(Nuance::Merely));
            if noun.count.is_some() || only.is_some() {
                return Some(self.span(only.unwrap_or(at), at + 1));
            }
        }
        // "I was a bishop short", where the author may be either player.
        if claim.subject == Subject::He
            && matches!(
                claim.kind,
                ClaimKind::Material(_) | ClaimKind::Standing(_) | ClaimKind::Structure(_)
            )
            && let Some(at) = self.author_before(start)
        {
            return Some(self.span(at, at + 1));
        }
        // "A queen more and two pawns more" is one account.
        if matches!(claim.kind, ClaimKind::Material(_))
            && let Some(joint) = start
                .checked_sub(1)
                .filter(|&at| self.sense(at).is(Set::And))
            && (self.made.iter())
                .any(|other| other.chunks.end == joint && other.claim != made.claim)
        {
            return Some(self.span(joint, start));
        }
        let castled = matches!(&claim.kind, ClaimKind::Structure(_)) && !self.has_thing(made);
        let material = matches!(claim.kind, ClaimKind::Material(_));
        let relation = matches!(claim.kind, ClaimKind::Relation { .. });
        if claim.subject != Subject::Nobody || !(castled || material || relation) {
            return None;
        }
        let mut before = (start.saturating_sub(REACH)..start).rev();
        let passes = |at: usize| {
            let sense = self.sense(at);
            (sense.is_filler() || sense.is_any(VERB)) && !sense.is(Set::Relative)
        };
        let at = before.find(|&at| !passes(at))?;
        let front = at.checked_sub(1).and_then(|at| self.kind(at));
        let lost = match self.kind(at)? {
            // "My king, it seems, has castled"
            ChunkKind::Noun(noun) => castled && matches!(noun.owner, Owner::He | Owner::Mine),
            // "Capablanca, a pawn to the good"
            ChunkKind::Comma => {
                let named = matches!(front, Some(ChunkKind::Word { capital: true }));
                material && named && !at.checked_sub(1).is_some_and(|at| self.sense(at).known)
            }
            // "It is the knight itself that gives check", "stays there and attacks the queen"
            ChunkKind::Word { .. } => {
                let sense = self.sense(at);
                let finite = self.ends(start, |endings| endings.third);
                sense.is(Set::Relative) && !material || relation && finite && sense.is(Set::And)
            }
            _ => false,
        };
        lost.then(|| self.span(at, at + 1))
    }

    /// The chunk of a noun phrase in front of chunk `start`.
    fn chunk_of(&self, noun: &Noun, start: usize) -> Option<usize> {
        let here = |at: &usize| matches!(self.kind(*at), Some(ChunkKind::Noun(other)) if other.span == noun.span);
        (start.saturating_sub(REACH)..start).rev().find(here)
    }

    /// The nearest "he" in front of chunk `start`, if it is the author.
    fn author_before(&self, start: usize) -> Option<usize> {
        let he = |at: &usize| matches!(self.kind(*at), Some(ChunkKind::He(_)));
        let at = (start.saturating_sub(REACH)..start).rev().find(he)?;
        self.sense(at).is(Set::Me).then_some(at)
    }

    /// Whether a piece or a file stands in the words of a claim.
    fn has_thing(&self, made: &Made) -> bool {
        let thing =
            |at: usize| matches!(self.kind(at), Some(ChunkKind::Noun(_) | ChunkKind::File(_)));
        made.chunks.clone().any(thing)
    }

    /// The word directly behind a claim that ends at chunk `end` by which it goes on, so that its
    /// phrase is not all of it.
    fn goes_on_behind(&self, end: usize, kind: &ClaimKind) -> Option<usize> {
        // "Threatens 24.Rh8, which would be mate"
        if matches!(kind, ClaimKind::Threat(_))
            && matches!(self.kind(end), Some(ChunkKind::Comma))
            && self.sense(end + 1).is(Set::Relative)
            && (end + 2..end + 5).any(|at| self.sense(at).is(Set::Mate))
        {
            return Some(end + 1);
        }
        if !matches!(
            self.kind(end),
            Some(ChunkKind::Word { .. } | ChunkKind::He(_))
        ) {
            return None;
        }
        let (word, next) = (self.sense(end), self.kind(end + 1));
        let goes_on = match kind {
            // "A queen for a rook and three pawns", "walks a pawn down to f4"
            ClaimKind::Material(_) => {
                let thing = self.sense(end + 1).number.is_some()
                    || matches!(next, Some(ChunkKind::Number(_) | ChunkKind::Noun(_)));
                let verb = self.sense(end + 2).is_any(VERB);
                word.is(Set::And) && thing && !verb
                    || word.is(Set::Infinitive) && matches!(next, Some(ChunkKind::Square(_)))
            }
            // "Attacked twice", "threatens 24...Rd1 with mate"
            ClaimKind::Relation { .. } => {
                let next = self.sense(end + 1);
                word.is(Set::Times) || word.is_filler() && next.is(Set::Times)
            }
            ClaimKind::Threat(threat) => {
                let by = |at: &usize| self.sense(*at).is(Set::By);
                let mut behind = end + 1..end + 3;
                // "Threatening mate himself by 24...Qxf2"
                let line = |at: usize| matches!(self.kind(at + 1), Some(ChunkKind::Line(_)));
                word.is(Set::By) && behind.any(|at| self.sense(at).is(Set::Mate))
                    || matches!(threat, Threat::Mate(_))
                        && (end..end + 3).find(by).is_some_and(line)
            }
            // "May still castle upon the king's side"
            ClaimKind::Structure(structure) => {
                structure.feature == Feature::CastlingRights && word.is(Set::On)
            }
            // "It is better for Black to sit still"
            ClaimKind::Standing(_) => self.is_infinitive(end),
            // "The only move that keeps the file closed"
            ClaimKind::OnlyMove(_) => {
                word.is(Set::Relative) || word.is(Set::But) && self.is_infinitive(end + 1)
            }
            _ => false,
        };
        goes_on.then_some(end)
    }

    fn is_infinitive(&self, at: usize) -> bool {
        self.sense(at).is(Set::Infinitive)
            && matches!(self.kind(at + 1), Some(ChunkKind::Word { .. }))
    }

    /// Looks to the left: through the own clause for what is not known, and for verbs that
    /// govern it; through the sentence for what makes all of it general.
    fn unread_before(&self, spans: &mut Vec<Span>, made: &Made, whole: bool, at_end: bool) {
        let start = made.chunks.start;
        // Whether the words still belong to the clause of the claim, and whether a verb there
        // may govern it.
        let mut clause = whole;
        let mut governed = whole;
        spans.extend(self.compared(start));
        if whole {
            spans.extend(self.shared_subject(start));
        }
        for at in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                // "Anticipates the queen's move, leaving the pawn alone" may only be feared.
                Some(ChunkKind::Comma) => {
                    clause = false;
                    governed &= self.is_participle(at + 1);
                }
                Some(ChunkKind::Pause | ChunkKind::Open | ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                    governed = false;
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    // "24...d5 is no good, for the pawn is pinned"
                    if clause && at_end && sense.is(Set::For) && self.is_parted_from(at) {
                        spans.push(self.span(at, at + 1));
                    }
                    if clause && self.opens_clause(at, start) {
                        clause = false;
                        governed = false;
                    } else if sense.is(Set::Because) || self.joins_verb(at, start) {
                        // "24.Rxd5, since he is a pawn up" may tell what is so already.
                        if at_end && sense.is(Set::Reason) {
                            spans.push(self.span(at, at + 1));
                        }
                        // "That" leads to its complement, so the verb in front governs it.
                        clause = false;
                    }
                    let lost = clause && self.counts(at)
                        || made.fixed && governed && self.negates(at)
                        || self.is_premise_unread(at)
                        || self.changes(at, clause, governed);
                    if lost && !self.is_claimed(at, made) {
                        spans.push(self.reviewed(at));
                    }
                    // "Does not carelessly lose a piece" may lose it with care.
                    let denied = at.checked_sub(1).is_some_and(|at| self.negates(at));
                    if clause && denied && self.is_manner(at) {
                        spans.push(self.span(at, at + 1));
                    }
                    if clause {
                        spans.extend(self.shared_subject(at));
                    }
                }
                // "H8 is the only square for him"
                Some(ChunkKind::Number(_) | ChunkKind::Square(_) | ChunkKind::File(_))
                    if clause && !self.is_claimed(at, made) =>
                {
                    spans.push(self.span(at, at + 1));
                }
                Some(
                    ChunkKind::Noun(_)
                    | ChunkKind::Side(_)
                    | ChunkKind::He(_)
                    | ChunkKind::Opponent
                    | ChunkKind::Line(_),
                ) if clause => spans.extend(self.shared_subject(at)),
                _ => {}
            }
        }
    }

    /// Whether a sign stands in front of chunk `at`.
    fn is_parted_from(&self, at: usize) -> bool {
        let before = at.checked_sub(1).and_then(|at| self.kind(at));
        before.is_some_and(ChunkKind::parts_clauses)
    }

    /// Whether the clause of a claim only supposes, wishes, plans or prevents it. With a cited
    /// line "would" tells what is so behind it.
    fn is_supposed(&self, made: &Made, has_line: bool) -> bool {
        let start = made.chunks.start;
        if self.is_any_one(made) || self.is_idea(start) {
            return true;
        }
        for at in (start.saturating_sub(REACH)..start).rev() {
            let sense = self.sense(at);
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                // "I wanted 24.Bd7, pressure on d4, a quiet life": a list.
                Some(ChunkKind::Comma) if at + 1 == start && self.is_listed(at, made) => {}
                Some(sign) if sign.parts_clauses() => break,
                Some(ChunkKind::Word { .. }) if self.is_claimed(at, made) => {}
                Some(ChunkKind::Word { .. }) if self.frame(at) == Frame::Unreviewed => {
                    if self.opens_clause(at, start) || self.joins_verb(at, start) {
                        break;
                    }
                    let stops = sense.is_any(SUPPOSED) && !sense.is(Set::Instead);
                    if stops || sense.is(Set::Would) && !has_line {
                        return true;
                    }
                    if sense.is(Set::Because) && !sense.is(Set::This) {
                        break;
                    }
                }
                _ => {}
            }
        }
        let without = |at: &usize| {
            let sense = self.sense(*at);
            sense.is(Set::Without) || sense.is(Set::But) && self.sense(at + 1).is(Set::For)
        };
        let near = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let before = (start.saturating_sub(REACH)..start).rev().take_while(near);
        let end = made.chunks.end;
        let behind = (end..end + REACH).take_while(|at| {
            near(at) && !matches!(self.kind(*at), Some(ChunkKind::Comma | ChunkKind::Open))
        });
        before.chain(behind).any(|at| without(&at))
    }

    /// Whether the claim behind the comma at chunk `at` is a noun phrase of a list.
    fn is_listed(&self, at: usize, made: &Made) -> bool {
        let verb = made.chunks.clone().any(|at| self.sense(at).is_any(VERB));
        let front = at.checked_sub(1).and_then(|at| self.kind(at));
        let thing = matches!(
            front,
            Some(ChunkKind::Line(_) | ChunkKind::Noun(_) | ChunkKind::Square(_))
        );
        !verb && thing
    }

    /// Whether the sentence of the claim at chunk `start` begins with an idea: "To be a piece down
    /// is no disgrace", "With an extra pawn it can be won".
    fn is_idea(&self, start: usize) -> bool {
        let near = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let before = (start.saturating_sub(REACH)..start).rev().take_while(near);
        let Some(first) = before.last() else {
            return false;
        };
        let any = |at: usize| matches!(self.kind(at), Some(ChunkKind::Noun(noun)) if noun.wording.begins(Nuance::Any));
        let with = self.sense(first).is(Set::Having) && any(first + 1);
        with && (first..start).any(|at| self.sense(at).is(Set::Would)) || self.is_infinitive(first)
    }

    /// Whether a sentence begins with "a passed pawn" and goes on about it, so that it may mean
    /// any: "A passed pawn is a criminal".
    fn is_any_one(&self, made: &Made) -> bool {
        let Range { start, end } = made.chunks;
        let any = |at: usize| match self.kind(at) {
            Some(ChunkKind::Noun(noun)) => noun.wording.begins(Nuance::Any),
            _ => self.sense(at).has(Nuance::Any),
        };
        let first = match start.checked_sub(1) {
            Some(before) if any(before) => before,
            _ if any(start) => start,
            _ => return false,
        };
        let begins = first.checked_sub(1).and_then(|at| self.kind(at));
        let begins = matches!(begins, None | Some(ChunkKind::End | ChunkKind::Quote));
        begins && (self.sense(end).is_any(VERB) || matches!(self.kind(end), Some(ChunkKind::Comma)))
    }

    /// Looks to the right: through the rest of the own clause, and at what takes some of it
    /// back behind a comma.
    fn unread_behind(&self, spans: &mut Vec<Span>, made: &Made) {
        let end = made.chunks.end;
        let mut clause = true;
        // Whether a comma or "and" stands directly in front.
        let mut turn = false;
        for at in end..end + REACH {
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                Some(ChunkKind::Pause | ChunkKind::Comma | ChunkKind::Open) => {
                    clause = false;
                    turn = true;
                    if matches!(self.kind(at), Some(ChunkKind::Pause)) && !self.takes_back(at + 1) {
                        break;
                    }
                }
                Some(ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                    turn = false;
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    let joint = sense.is(Set::And);
                    if self.is_claimed(at, made) {
                        clause = false;
                    } else if turn && self.takes_back(at) {
                        spans.push(self.reviewed(at));
                        turn = false;
                        continue;
                    } else {
                        let inside = clause || turn;
                        if sense.is_any(Set::Because.bit() | Set::And.bit() | Set::If.bit()) {
                            if clause && joint {
                                spans.extend(self.joined_thing(at, made));
                            }
                            clause = false;
                        }
                        let lost = clause && (self.negates(at) || self.counts(at))
                            || inside && self.is_premise_unread(at)
                            || self.changes(at, clause, clause);
                        if lost {
                            spans.push(self.reviewed(at));
                        }
                    }
                    turn = joint;
                }
                Some(_) => {
                    turn = false;
                    if clause && self.is_thing(at) && !self.is_claimed(at, made) {
                        spans.push(self.span(at, at + 1));
                    }
                }
            }
        }
    }

    /// Whether what stands behind a comma and chunk `at` takes back or narrows the claim: "a pawn
    /// up, not two", "mate, or rather stalemate".
    fn takes_back(&self, at: usize) -> bool {
        self.frame(at) == Frame::Back
            || self.sense(at).is(Set::Not)
                && (self.is_thing(at + 1) || self.sense(at + 1).number.is_some())
    }

    /// The thing that "and" at chunk `joint` adds to what a claim in front says: "the queen and
    /// the rook", unless it begins a clause or a claim of its own.
    fn joined_thing(&self, joint: usize, made: &Made) -> Option<Span> {
        const WORDS: usize = 3;
        let mut things = joint + 1..joint + 1 + WORDS;
        let thing = things.find(|&at| !self.sense(at).is_filler())?;
        if !self.is_thing(thing) || self.is_claimed(thing, made) {
            return None;
        }
        let behind = self.sense(thing + 1);
        let verb = behind.is_any(VERB | Set::Motion.bit()) || self.is_verb(thing + 1);
        let acts = matches!(self.kind(thing + 1), Some(ChunkKind::Word { .. }))
            && self.is_claimed(thing + 1, made);
        (!verb && !acts).then(|| self.span(thing, thing + 1))
    }

    /// The "as" in front of chunk `start` that only likens: "counts as a win for Black".
    fn compared(&self, start: usize) -> Option<Span> {
        let mut before = (start.saturating_sub(2)..start).rev();
        let at = before.find(|&at| !self.sense(at).is(Set::Det))?;
        (self.sense(at).is(Set::Likens) && !self.is_actor(start)).then(|| self.span(at, at + 1))
    }

    /// The other subject that is joined to the one at chunk `at`: "the queen and the knight
    /// attack f7", where nothing in front makes it a clause of its own.
    fn shared_subject(&self, at: usize) -> Option<Span> {
        if !self.is_actor(at) {
            return None;
        }
        let mut before = (0..at).rev();
        let joint = before.find(|&at| !self.sense(at).is(Set::Det))?;
        let sense = self.sense(joint);
        let other = joint.checked_sub(1)?;
        let but = sense.is(Set::But);
        let line = |at: usize| matches!(self.kind(at), Some(ChunkKind::Line(_)));
        if !sense.is(Set::And) || but || !self.is_actor(other) || line(other) || line(at) {
            return None;
        }
        // "White attacks the knight and the bishop covers f7": what is attacked is no subject.
        let begins = (other.saturating_sub(REACH)..other)
            .rev()
            .find_map(|before| match self.kind(before) {
                Some(ChunkKind::Word { .. }) if self.sense(before).is_filler() => None,
                Some(ChunkKind::Word { .. }) => Some(!self.is_verb(before)),
                Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::Square(_)) => Some(false),
                _ => Some(true),
            })
            .unwrap_or(true);
        begins.then(|| self.span(other, other + 1))
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

    /// Whether a word in front of chunk `start` makes its sentence say something in general.
    pub(super) fn is_general(&self, start: usize) -> bool {
        (start.saturating_sub(REACH)..start)
            .rev()
            .take_while(|&at| !matches!(self.kind(at), None | Some(ChunkKind::End)))
            .any(|at| self.frame(at) == Frame::Sentence)
    }

    /// Whether "and" at chunk `at` joins the verb of the claim at `start` to one in front, with
    /// the same subject: "swings to the h-file and gives check". An infinitive or participle is
    /// left to what governs both.
    fn joins_verb(&self, at: usize, start: usize) -> bool {
        if !self.sense(at).is(Set::And) {
            return false;
        }
        let verb = (at + 1..=start).find(|&at| !self.sense(at).is(Set::Filler));
        verb.is_some_and(|verb| verb == start && self.ends(verb, |endings| endings.third))
    }
}
