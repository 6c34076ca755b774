//! The claims that a phrase of the language makes.

use gainsay_notation::Span;

use super::around::contrary;
use super::made::Made;
use super::maker::Maker;
use super::subject::opposite;
use crate::chunks::{Chunk, ChunkKind};
use crate::claim::{At, Claim, Extent, Mood, Polarity, Prose, Subject, Tense};
use crate::kind::{ClaimKind, Mate, Quality, Reference, Standing, Stipulation};
use crate::noun::{Noun, Owner};
use crate::pattern::Match;
use crate::pattern::{Tie, Who};
use crate::sense::Sense;
use crate::set::Set;
use crate::structure::Structure;
use crate::wording::Nuance;

impl Maker<'_> {
    pub(super) fn claim(
        &mut self,
        prose: &mut Prose,
        start: usize,
        found: &Match,
        asked: bool,
        sentence: u32,
    ) -> bool {
        let Match { phrase, end, .. } = *found;
        if phrase.silent {
            return true;
        }
        let slots = found.slots(self.chunks, self.senses);
        let made = if phrase.named {
            self.name_of_mate(start, end)
        } else {
            (phrase.make)(&slots)
        };
        let Some(mut kind) = made else {
            return false;
        };
        if let ClaimKind::Reference(Reference::Game(game)) = &mut kind {
            self.look_at_pointer(start, end, game);
        }
        if self.is_a_name(end) && !self.is_of_pointer(end)
            || self.swallows_pointer(start, end)
            || self.is_friends(start, end, &kind)
            || self.is_attribute(start, end, &kind)
            || phrase.subject == Who::Inside && slots.targets.len() > 1 && self.is_object(start)
        {
            return false;
        }
        // "White has the knight on d5 pinned" does not say whose it is, nor does "d5 is occupied
        // by a knight in most lines" say where one stands.
        if let ClaimKind::Pieces(noun) = &kind
            && self.is_perfect(start, noun)
        {
            return false;
        }
        if let ClaimKind::Pieces(noun) = &kind
            && noun.span.start > self.span(start, start + 1).start
            && !self.is_closed(end)
        {
            return false;
        }
        let end = match &mut kind {
            ClaimKind::Bearing(said) => match self.complete(prose, start, end, said) {
                Some(behind) => behind,
                None => return false,
            },
            ClaimKind::Pawns(said) => match self.complete_pawns(prose, start, end, said) {
                Some(behind) => behind,
                None => return false,
            },
            _ => end,
        };
        let looks_to = self.looks_to(end, &kind);
        let around = self.surroundings_until(start, looks_to, self.clause_end(start, end), asked);
        let mut mood = around.mood.max(phrase.mood.unwrap_or(Mood::Stated));
        let gone = self.is_gone(end);
        if gone {
            mood = mood.max(Mood::Prevented);
        }
        let mut polarity = around.polarity;
        let chunks = self.chunks.get(start..end).unwrap_or_default();
        let said = self.sets(chunks);
        let past = said & Set::Past.bit() != 0 && !self.tells_of_now(chunks);
        let tense = match phrase.tense {
            Some(tense) => tense,
            None if past => Tense::Past,
            None => around.tense,
        };
        if said & Set::Not.bit() != 0 {
            for at in start..end {
                if self.sense(at).is(Set::Not) && !self.is_not_only(at) {
                    polarity = contrary(polarity);
                }
            }
        }
        let mut polarity = phrase.polarity.unwrap_or(polarity);
        if phrase.polarity.is_some() && around.polarity == Polarity::Denied {
            // A second negation around a phrase that has its own is too knotty to be false.
            // "Has not lost the right to castle", "is not undefended" are as good as none.
            let turns = matches!(kind, ClaimKind::Relation { .. });
            if turns || polarity == Polarity::Denied {
                polarity = contrary(polarity);
            }
            mood = mood.max(Mood::Hedged);
        }
        let line = match phrase.tie {
            Tie::First => slots.line,
            Tie::End | Tie::Shown => slots.line2.or(slots.line),
        };
        let mut at = match line {
            Some(line) => match phrase.tie {
                Tie::End => At::End(line),
                Tie::Shown | Tie::First => At::Shown(line),
            },
            None => At::Here,
        };
        if at == At::Here {
            at = match self.line_before(prose, start, sentence) {
                At::End(line) => {
                    if self.goes_on_in_words(start) {
                        mood = mood.max(Mood::Hedged);
                    }
                    At::End(line)
                }
                _ => match self.line_behind(end) {
                    Some(line) => At::Shown(line),
                    None => At::Here,
                },
            };
        }
        if let ClaimKind::Reference(Reference::Nth { .. }) = kind
            && let Some(line) = self.is_line(end)
        {
            at = At::Subject(line);
        }
        let subject = match phrase.subject {
            Who::Nobody => Subject::Nobody,
            Who::Inside => match slots.side {
                Some(side) => self.side(side),
                None => match slots.pieces.first() {
                    Some(noun) => Subject::Piece(*noun),
                    None => Subject::Nobody,
                },
            },
            Who::Before => match self.subject(start, &kind) {
                Subject::Nobody => self.subject_shared(prose, start, sentence, &kind),
                subject => subject,
            },
            Who::Sufferer => opposite(slots.side.map_or(Subject::Nobody, |side| self.side(side))),
            Who::Victim => opposite(self.subject(start, &kind)),
        };
        let span = self.span(start, end);
        // "The attack is stronger" judges no move.
        let judges = match subject {
            Subject::Line | Subject::ThisMove => true,
            Subject::Nobody => !self.sense(start).is(Set::Question),
            _ => false,
        };
        if kind == ClaimKind::Quality(Quality::Better) && phrase.subject == Who::Before && !judges {
            return false;
        }
        if let ClaimKind::Standing(standing) = kind
            && (phrase.subject == Who::Before
                && (matches!(subject, Subject::Piece(_)) || self.is_of_a_thing(start, standing))
                || self.sense(end - 1).is(Set::Losing) && !self.is_closed(end))
        {
            return false;
        }
        let Some(mut kind) = fitted(kind, subject) else {
            return false;
        };
        if let ClaimKind::Structure(said) = &mut kind {
            said.owned |= slots.side.is_some() && matches!(subject, Subject::Side(_));
        }
        if let (At::End(line), Subject::Line) = (at, subject) {
            let all = match kind {
                ClaimKind::Mate(_) => self.begins_with_line(start),
                ClaimKind::Quality(_) => self.is_called(start),
                _ => false,
            };
            if all {
                at = At::Subject(line);
            }
        }
        // "White has an isolated pawn on e5" may be true of the pawn alone.
        let span = match &kind {
            ClaimKind::Pieces(noun) if !noun.traits.is_empty() => noun.bare,
            _ => span,
        };
        let number = self.written_number(&kind, &slots);
        let wording = self.wording(chunks);
        self.made.push(Made {
            claim: prose.claims.len(),
            chunks: start..end,
            fixed: phrase.polarity.is_some(),
            before: matches!(phrase.subject, Who::Before | Who::Victim),
        });
        let stands = matches!(kind, ClaimKind::Pieces(_));
        prose.claims.push(Claim {
            span,
            kind,
            polarity,
            mood,
            subject,
            at,
            tense,
            told: None,
            sentence,
            wording,
            number,
            closed: self.is_closed(end),
            joined: self.goes_on(start),
            attached: stands || matches!(at, At::End(_)) && self.is_attached(start),
            follows: self.follows(prose, start, sentence),
            extent: Extent::Part,
            // What a phrase itself says is prevented, as "stops the mate", is not looked into.
            asserted: !gone && phrase.mood != Some(Mood::Prevented),
            unread: 0..0,
        });
        true
    }

    /// Where the clause of the phrase `start..end` ends, if that has a verb and "and" brings
    /// another one: "White has castled short and may attack".
    fn clause_end(&self, start: usize, end: usize) -> usize {
        let from = start.saturating_sub(1);
        let verb = (from..end).any(|at| self.sense(at).has(Nuance::Being));
        let parts = |at: &usize| self.sense(*at).is(Set::And) && !self.sense(*at).is(Set::Or);
        let near = end..end + 2;
        near.into_iter()
            .find(parts)
            .filter(|_| verb)
            .unwrap_or(usize::MAX)
    }

    /// Where the words begin behind a claim up to chunk `end` that may say something of it. What is
    /// so on the board is so whatever could happen then: "it is White's turn, and he could win".
    fn looks_to(&self, end: usize, kind: &ClaimKind) -> usize {
        let of_now = matches!(
            kind,
            ClaimKind::Bearing(_) | ClaimKind::Stipulation(Stipulation::Turn)
        );
        let next = self.sense(end + 1);
        let parted = matches!(self.kind(end), Some(ChunkKind::Comma));
        let goes_on = next.is(Set::And) && !next.is(Set::Or);
        if of_now && parted && goes_on {
            self.chunks.len()
        } else {
            end
        }
    }

    /// Whether the phrase that begins at chunk `start` stands directly behind a claim of its
    /// sentence, but for two words at most.
    fn follows(&self, prose: &Prose, start: usize, sentence: u32) -> bool {
        const WORDS: usize = 2;
        let ends = |at: u32| {
            let mut claims = prose.claims.iter().rev();
            claims.any(|claim| claim.sentence == sentence && claim.span.end == at)
        };
        for before in (start.saturating_sub(WORDS + 1)..start).rev() {
            if ends(self.span(before, before + 1).end) {
                return true;
            }
            if matches!(
                self.kind(before),
                Some(ChunkKind::Comma | ChunkKind::Line(_)) | None
            ) {
                return false;
            }
        }
        false
    }

    /// Whether what seems a piece that a side has is what it has done: "White has attacked the
    /// a7-pawn".
    fn is_perfect(&self, start: usize, noun: &Noun) -> bool {
        let words = noun.span.of(self.text);
        let first = words.split(u8::is_ascii_whitespace).next();
        let between = Span::new(self.span(start, start + 1).start, noun.span.start);
        let determined = noun.determined && noun.traits.is_empty();
        let last = between.of(self.text).trim_ascii_end();
        first.is_some_and(|first| first.ends_with(b"ed")) || determined && last.ends_with(b"ed")
    }

    /// "Is lost" tells of now, though "lost" is past.
    fn tells_of_now(&self, phrase: &[Chunk]) -> bool {
        let mut senses = phrase.iter().map(|chunk| self.senses.sense(chunk));
        senses.any(|sense| sense.is(Set::Question) && !sense.is(Set::Past))
    }

    /// Whether the verdict that begins at chunk `start` is passed on a piece or on a part of
    /// what a side has: "the knight is lost", "White's structure is better".
    fn is_of_a_thing(&self, start: usize, standing: Standing) -> bool {
        const WORDS: usize = 3;
        let joins = |at: usize| {
            let sense = self.sense(at);
            let words = [
                Set::Filler,
                Set::Question,
                Set::Would,
                Set::Past,
                Set::Hedge,
            ];
            words.into_iter().any(|set| sense.is(set))
        };
        let words = (1..=WORDS)
            .take_while(|&back| start.checked_sub(back).is_some_and(joins))
            .count();
        let Some(at) = start.checked_sub(words + 1) else {
            return false;
        };
        match self.kind(at) {
            Some(ChunkKind::Noun(_)) => true,
            Some(ChunkKind::Word { .. }) => {
                let sense = self.sense(at);
                // An attack that wins wins the game.
                if sense.is(Set::Whole) || standing == Standing::Winning {
                    return false;
                }
                let owned = (1..=2).any(|back| {
                    let owner = at
                        .checked_sub(back)
                        .map_or(&Sense::NONE, |at| self.sense(at));
                    owner.is(Set::Possessive) || owner.is(Set::His)
                });
                sense.is(Set::Adjunct) || owned
            }
            _ => false,
        }
    }

    /// The line that what ends at chunk `end` is said to be: "White's third move was: 3.Bb5".
    fn is_line(&self, end: usize) -> Option<u32> {
        // "White's third move, 3.Bb5, was bold": the same in apposition.
        let ends = |at: usize| {
            matches!(
                self.kind(at),
                None | Some(ChunkKind::Comma | ChunkKind::End)
            )
        };
        if matches!(self.kind(end), Some(ChunkKind::Comma))
            && let Some(ChunkKind::Line(line)) = self.kind(end + 1)
            && ends(end + 2)
        {
            return Some(line);
        }
        let verb = self.sense(end);
        let colon = matches!(self.kind(end + 1), Some(ChunkKind::Colon));
        match self.kind(end + 1 + usize::from(colon)) {
            Some(ChunkKind::Line(line)) if verb.is(Set::Question) && verb.is(Set::By) => Some(line),
            _ => None,
        }
    }

    /// "Mate in Two Cup": a word with a capital behind the phrase makes it a name.
    fn is_a_name(&self, end: usize) -> bool {
        match (
            end.checked_sub(1).and_then(|at| self.kind(at)),
            self.kind(end),
        ) {
            (
                Some(ChunkKind::Word { capital: true, .. }),
                Some(ChunkKind::Word { capital: true, .. }),
            ) => true,
            (_, Some(ChunkKind::Word { .. })) => self.sense(end).is(Set::Game),
            _ => false,
        }
    }

    /// "His mates watched": mates that are people have an owner or a number in front.
    fn is_friends(&self, start: usize, end: usize, kind: &ClaimKind) -> bool {
        if !matches!(kind, ClaimKind::Mate(Mate::Now | Mate::Forced)) || end - start > 1 {
            return false;
        }
        // "Mate." is all that the sentence says.
        if matches!(kind, ClaimKind::Mate(Mate::Now)) {
            let ends = |kind: Option<ChunkKind>| {
                matches!(kind, None | Some(ChunkKind::End | ChunkKind::Comma))
            };
            let before = start.checked_sub(1).and_then(|at| self.kind(at));
            return !(ends(before) && ends(self.kind(end)));
        }
        let Some(before) = start.checked_sub(1) else {
            return false;
        };
        let sense = self.sense(before);
        sense.is(Set::His) || sense.is(Set::Det) || sense.number.is_some() || sense.is(Set::Team)
    }

    /// "White's better half", "the defender's best friend": 's says whose something is, and not
    /// what somebody is.
    fn is_attribute(&self, start: usize, end: usize, kind: &ClaimKind) -> bool {
        const JOINS: u128 = Set::Premise.bit()
            | Set::Because.bit()
            | Set::If.bit()
            | Set::And.bit()
            | Set::On.bit()
            | Set::Points.bit();
        let Some(before) = start.checked_sub(1) else {
            return false;
        };
        matches!(kind, ClaimKind::Standing(_) | ClaimKind::Quality(_))
            && self.sense(start).is(Set::Possessive)
            && !self.sense(before).is(Set::This)
            && !self.is_closed(end)
            && !self.sense(end).is_any(JOINS)
    }

    /// Whether what begins at chunk `start` is the object of a verb in front of it: in
    /// "covers e1 and the bishop is pinned" the square is not pinned.
    fn is_object(&self, start: usize) -> bool {
        let Some(before) = start.checked_sub(1) else {
            return false;
        };
        let sense = self.sense(before);
        let joins = [Set::And, Set::Because, Set::If, Set::Filler, Set::Det]
            .into_iter()
            .any(|set| sense.is(set));
        matches!(self.kind(before), Some(ChunkKind::Word { .. })) && !joins
    }
}

/// Fits a kind to its subject: "24.Kf1 is better" judges a move, "White is better" a
/// position, and "the endgame is better" nothing that can be told.
fn fitted(kind: ClaimKind, subject: Subject) -> Option<ClaimKind> {
    let of_a_move = matches!(subject, Subject::Line | Subject::ThisMove);
    Some(match kind {
        ClaimKind::Standing(Standing::Better | Standing::MuchBetter) if of_a_move => {
            ClaimKind::Quality(Quality::Better)
        }
        ClaimKind::Standing(Standing::Winning) if of_a_move => ClaimKind::Quality(Quality::Wins),
        ClaimKind::Standing(Standing::Worse | Standing::MuchWorse) if of_a_move => return None,
        ClaimKind::Structure(said) if said.owner == Owner::Anyone => Structure {
            owner: match subject {
                Subject::Side(color) => Owner::Side(color),
                Subject::He => Owner::He,
                _ => Owner::Anyone,
            },
            ..said
        }
        .into(),
        // "White has a knight on d5": the knight is White's.
        ClaimKind::Pieces(noun) if !matches!(noun.owner, Owner::Side(_)) => {
            let owner = match subject {
                Subject::Side(color) => Owner::Side(color),
                _ => noun.owner,
            };
            ClaimKind::Pieces(Noun { owner, ..noun })
        }
        other => other,
    })
}
