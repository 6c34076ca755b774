//! Cited lines, and how claims lean on them.

use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::{At, Claim, Extent, Joint, LineRole, Mood, Polarity, Prose, Subject};
use crate::frame::Frame;
use crate::kind::ClaimKind;
use crate::sense::Sense;
use crate::set::Set;
use crate::wording::{Nuance, Wording};

impl Maker<'_> {
    /// Whether a line is only wished for or put off: "How lovely 24.gxf3 would be!", "24.O-O must
    /// wait".
    fn is_wished(&self, at: usize) -> bool {
        let (next, behind) = (self.sense(at + 1), self.sense(at + 2));
        if next.is(Set::Must) && behind.is(Set::Waits) {
            return true;
        }
        let how = |from: usize| {
            let opens = from.checked_sub(1).and_then(|before| self.kind(before));
            self.sense(from).is(Set::How) && opens.is_none_or(|kind| matches!(kind, ChunkKind::End))
        };
        next.is(Set::Would) && (at.saturating_sub(REACH)..at).any(how)
    }

    pub(super) fn line(
        &self,
        prose: &mut Prose,
        at: usize,
        index: u32,
        asked: bool,
        sentence: u32,
    ) {
        let mut around = self.surroundings(at, at + 1, asked);
        let plain = around.role == LineRole::Stated && around.polarity == Polarity::Affirmed;
        let before = at.checked_sub(1).map_or(&Sense::NONE, |at| self.sense(at));
        // "not" denies a line only where it stands in front of it.
        let mut doubted = false;
        if around.role == LineRole::Denied && !before.is(Set::Not) {
            around.role = LineRole::Stated;
            doubted = !self.is_played_anyway(at);
        }
        let barred = before.is(Set::Not) || self.is_barred(at) || self.is_general(at);
        if around.role == LineRole::Stated && self.is_wished(at) {
            around.role = LineRole::Plan;
        }
        // A list takes the role of the line before: "preparing Rd8, Rd2 and Rad1".
        let previous = index
            .checked_sub(1)
            .and_then(|before| prose.lines.get(before as usize))
            .cloned();
        let imagined = self.is_imagined(at);
        let apposed = matches!(self.kind(at + 1), Some(ChunkKind::Comma | ChunkKind::Close));
        if around.role == LineRole::Stated && self.is_threat_in_front(at) {
            around.role = LineRole::Threat;
        }
        let Some(line) = prose.lines.get_mut(index as usize) else {
            return;
        };
        line.imagined = imagined;
        line.apposed = apposed;
        line.doubted = doubted;
        line.barred = barred;
        line.premise = before.is(Set::Premise);
        line.follows = plain
            && line.joint == Joint::Words
            && self.goes_straight_on(at)
            && previous
                .as_ref()
                .is_some_and(|previous| previous.premise && previous.depth == line.depth);
        line.role = around.role;
        // "A 24...Rd1# is like the weather" speaks of any.
        line.mood = if before.has(Nuance::Any) {
            around.mood.max(Mood::Elsewhere)
        } else {
            around.mood
        };
        line.tense = around.tense;
        if let (Joint::List, Some(previous)) = (line.joint, previous)
            && line.role == LineRole::Stated
        {
            line.role = previous.role;
            line.mood = line.mood.max(previous.mood);
        }
        let (span, mood, moves) = (line.span, line.mood, line.moves.clone());
        if !self.games.is_empty() {
            line.mood = Mood::Elsewhere;
        }
        let glyph =
            (prose.moves.get((moves.end as usize).wrapping_sub(1))).and_then(|cited| cited.glyph);
        let numbered = prose
            .moves
            .get(moves.start as usize)
            .is_some_and(|cited| cited.number.is_some_and(|number| number.value.is_some()));
        let single = moves.end - moves.start == 1;
        prose.claims.push(Claim {
            span,
            kind: if numbered || !single {
                ClaimKind::Line
            } else {
                ClaimKind::Mention
            },
            polarity: Polarity::Affirmed,
            mood,
            subject: Subject::Nobody,
            at: At::Shown(index),
            tense: around.tense,
            told: None,
            sentence,
            wording: Wording::default(),
            number: None,
            closed: self.is_closed(at + 1),
            joined: false,
            attached: false,
            follows: false,
            extent: Extent::Part,
            asserted: true,
            unread: 0..0,
        });
        if let Some(glyph) = glyph {
            self.glyph(prose, at, glyph, At::End(index), asked, sentence);
        }
    }

    /// Whether the line at chunk `at` is what a threat in front of a parenthesis, a colon or a
    /// dash consists of: "a new threat (24.Bxh7#)".
    fn is_threat_in_front(&self, at: usize) -> bool {
        let Some(sign) = at.checked_sub(1) else {
            return false;
        };
        let sign_there = matches!(
            self.kind(sign),
            Some(ChunkKind::Open | ChunkKind::Pause | ChunkKind::Colon)
        );
        sign_there
            && (sign.saturating_sub(4)..sign)
                .rev()
                .take_while(|&at| {
                    matches!(
                        self.kind(at),
                        Some(ChunkKind::Word { .. } | ChunkKind::Noun(_))
                    )
                })
                .any(|at| self.sense(at).is(Set::Threat))
    }

    /// Whether the words around the line at chunk `at` put it on a board that no cited moves
    /// lead to.
    fn is_imagined(&self, at: usize) -> bool {
        let line_behind =
            |from: usize| (from..at).any(|at| matches!(self.kind(at), Some(ChunkKind::Line(_))));
        let mut first = at;
        for before in (at.saturating_sub(REACH)..at).rev() {
            match self.kind(before) {
                None | Some(ChunkKind::End) => break,
                _ => first = before,
            }
        }
        let mut lines = false;
        // "13.Bd2 (otherwise 13...g5) 13...Bxd2+": what is told in parentheses stays there.
        let mut inside = 0_usize;
        for before in first..at {
            match self.kind(before) {
                Some(ChunkKind::Open) if self.closes(before, at) => inside += 1,
                Some(ChunkKind::Close) => inside = inside.saturating_sub(1),
                _ => {}
            }
            lines |= matches!(self.kind(before), Some(ChunkKind::Line(_)));
            let imagined = match self.frame(before) {
                Frame::Board => true,
                Frame::Reason => !lines,
                _ => {
                    let sense = self.sense(before);
                    let condition = sense.is(Set::If) && !sense.is(Set::Filler);
                    condition && self.is_premise_in_words(before, at) && !line_behind(before)
                }
            };
            if imagined && inside == 0 {
                return true;
            }
        }
        // "No, since after 24.Nb5 …" answers what was asked of another move.
        if first < at && self.sense(first).is(Set::Reply) && !self.sense(first).is(Set::Hedge) {
            return matches!(self.kind(first + 1), Some(ChunkKind::Comma));
        }
        if !lines && self.is_of_another_move(first, at) || self.is_supposed_line(at) {
            return true;
        }
        // "By moving his king Black could have defended, although 24.Ne5+ is a nuisance"
        if (first..at).any(|at| self.would_have(at)) || self.goes_on_from_words(first) {
            return true;
        }
        // "24.Nc7 would have won", "24...Bf3# was next"
        (at + 1..at + 3)
            .take_while(|&at| matches!(self.kind(at), Some(ChunkKind::Word { .. })))
            .any(|at| self.frame(at) == Frame::Board)
    }

    /// Whether the sentence in front of chunk `first` tells of another move in words alone: "White
    /// should have taken the pawn. If then 24...a5, …" goes on behind that move.
    fn goes_on_from_words(&self, first: usize) -> bool {
        let Some(end) = first.checked_sub(1) else {
            return false;
        };
        let sentence = (end.saturating_sub(REACH)..end).rev().take_while(|&at| {
            !matches!(
                self.kind(at),
                None | Some(ChunkKind::End | ChunkKind::Line(_))
            )
        });
        let start = sentence.last().unwrap_or(end);
        let whole = start
            .checked_sub(1)
            .is_none_or(|before| matches!(self.kind(before), Some(ChunkKind::End)));
        whole && (start..end).any(|at| self.would_have(at))
    }

    /// Whether "would have", "should have" and the like stand at `at`.
    fn would_have(&self, at: usize) -> bool {
        self.sense(at).is(Set::Would) && self.sense(at + 1).is(Set::Have)
    }

    /// Whether the parenthesis that opens at chunk `open` closes in front of chunk `at`.
    fn closes(&self, open: usize, at: usize) -> bool {
        (open..at).any(|at| matches!(self.kind(at), Some(ChunkKind::Close)))
    }

    /// Whether "would" in front of the line at chunk `at`, in its clause, tells of what is not:
    /// "it would set up 24.Rxd5". "Then 24.Rd5 would win" leads to the line itself.
    fn is_supposed_line(&self, at: usize) -> bool {
        for before in (at.saturating_sub(REACH)..at).rev() {
            match self.kind(before) {
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(before);
                    if sense.is(Set::Would) && self.frame(before) == Frame::Unreviewed {
                        // "24.Bxb5 would be a mistake in view of 24...Nc3"
                        let subject = before.checked_sub(1).and_then(|at| self.kind(at));
                        let told = matches!(subject, Some(ChunkKind::Line(_)));
                        return before + 1 < at && !told;
                    }
                    if sense.is_any(Set::Because.bit() | Set::If.bit()) && !sense.is_filler() {
                        return false;
                    }
                }
                Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::He(_)) => {}
                _ => return false,
            }
        }
        false
    }

    /// Whether the sentence from chunk `first` on makes another move, which it does not cite, the
    /// premise of the line at chunk `at`.
    fn is_of_another_move(&self, first: usize, at: usize) -> bool {
        let allows = |at: usize| self.frame(at) == Frame::Allow;
        let would = (first..at).any(|at| self.sense(at).is(Set::Would));
        let capital = matches!(self.kind(first), Some(ChunkKind::Word { capital: true }));
        // "Doubling the rooks allows 24...Nf4", "Allowing 24.e5"
        if capital && self.is_participle(first) && (first..at).any(allows) {
            return true;
        }
        // "Had the rook been on d8, Black could have tried 24...Rd1#"
        if capital && first + 1 < at && self.sense(first).is(Set::Inverted) {
            return true;
        }
        // "The bishop would be lost after 24...g5"
        let after = at
            .checked_sub(1)
            .is_some_and(|at| self.sense(at).is(Set::Premise));
        if would && after {
            return true;
        }
        // "White would drop a rook (24...Bxa1) if the knight went home."
        let condition = |at: usize| {
            let sense = self.sense(at);
            sense.is(Set::If) && !sense.is(Set::Filler)
        };
        would
            && (at + 1..at + REACH)
                .take_while(|&at| !matches!(self.kind(at), None | Some(ChunkKind::End)))
                .any(condition)
    }

    /// Whether the condition at chunk `from` is more than that the line at chunk `at` is played:
    /// "if the bishop ever leaves c8, 24.Qb7+", but not "if White plays 24.Qb7".
    fn is_premise_in_words(&self, from: usize, at: usize) -> bool {
        (from + 1..at).any(|at| match self.kind(at) {
            Some(ChunkKind::Word { .. }) => {
                let sense = self.sense(at);
                !(sense.is_filler()
                    || sense.is(Set::Plays)
                    || sense.is(Set::Would)
                    || sense.is(Set::Instead))
            }
            Some(ChunkKind::Noun(_)) => true,
            _ => false,
        })
    }

    /// Whether the negation in front of the line at chunk `at` says nothing of whether it can
    /// be played: "fails to", "did not see".
    fn is_played_anyway(&self, at: usize) -> bool {
        let mut near = at.saturating_sub(4)..at;
        near.any(|at| self.sense(at).is(Set::Fails) || self.sense(at).is(Set::Sees))
    }

    /// Whether the sentence may tell why the line at chunk `at` cannot be played: its clause goes
    /// on with a negation, or a word for what bars a move stands anywhere.
    fn is_barred(&self, at: usize) -> bool {
        let near = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let clause = |at: &usize| !self.kind(*at).is_some_and(ChunkKind::parts_clauses);
        let before = (at.saturating_sub(REACH)..at).rev().take_while(near);
        let behind = (at + 1..at + REACH).take_while(near);
        let goes_on = behind.clone().take_while(clause);
        let mut goes_on = goes_on.take_while(|&at| !self.sense(at).is(Set::Because));
        before.chain(behind).any(|at| self.sense(at).is(Set::Bars))
            || goes_on.any(|at| self.negates(at))
    }

    /// Whether nothing between the line at chunk `at` and the one before says that the first
    /// is not played, or the second not possible.
    fn goes_straight_on(&self, at: usize) -> bool {
        const TURNS: [Set; 5] = [
            Set::Not,
            Set::Stop,
            Set::Instead,
            Set::Impossible,
            Set::Without,
        ];
        for before in (at.saturating_sub(REACH)..at).rev() {
            if matches!(self.kind(before), None | Some(ChunkKind::Line(_))) {
                break;
            }
            let sense = self.sense(before);
            if TURNS.into_iter().any(|set| sense.is(set)) {
                return false;
            }
        }
        true
    }

    /// The line in front of chunk `at` in the same sentence.
    pub(super) fn line_before(&self, prose: &Prose, at: usize, sentence: u32) -> At {
        if !self.lines {
            return At::Here;
        }
        for before in (at.saturating_sub(REACH)..at).rev() {
            match self.kind(before) {
                Some(ChunkKind::End) | None => break,
                Some(ChunkKind::Line(line)) => {
                    return match prose.lines.get(line as usize) {
                        Some(known) if known.sentence == sentence => At::End(line),
                        _ => At::Here,
                    };
                }
                _ => {}
            }
        }
        At::Here
    }

    /// Whether nothing but "and", "with", "is" and the like stands between chunk `start` and a
    /// line in front.
    pub(super) fn is_attached(&self, start: usize) -> bool {
        const JOINS: u128 = Set::And.bit()
            | Set::By.bit()
            | Set::Having.bit()
            | Set::Is.bit()
            | Set::Filler.bit()
            | Set::Det.bit();
        for before in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(before) {
                Some(ChunkKind::Line(_)) => return true,
                Some(ChunkKind::Comma) => {}
                Some(ChunkKind::Word { .. }) if self.sense(before).is_any(JOINS) => {}
                _ => return false,
            }
        }
        false
    }

    /// Whether words between the last line in front of chunk `at` and it tell of a move: in
    /// "after 24.Qh5 Rf8 the knight jumps to f6 and mates" nothing is said of the line's end.
    pub(super) fn goes_on_in_words(&self, at: usize) -> bool {
        (at.saturating_sub(REACH)..at)
            .rev()
            .take_while(|&before| !matches!(self.kind(before), Some(ChunkKind::Line(_)) | None))
            .any(|before| self.sense(before).is(Set::Motion))
    }

    /// Whether a line stands in front of chunk `start`, but for "is also" and the like, and
    /// begins its sentence.
    pub(super) fn begins_with_line(&self, start: usize) -> bool {
        const WORDS: usize = 2;
        let joins = |at: usize| {
            let sense = self.sense(at);
            // "24.Qg7 was mate" tells what was missed.
            let words = [Set::Filler, Set::Question, Set::Would];
            words.into_iter().any(|set| sense.is(set)) && !sense.is(Set::Past)
        };
        let words = (1..=WORDS)
            .take_while(|&back| start.checked_sub(back).is_some_and(joins))
            .count();
        let before = |back: usize| {
            let at = start.checked_sub(words + back)?;
            self.kind(at)
        };
        matches!(before(1), Some(ChunkKind::Line(_)))
            && matches!(before(2), None | Some(ChunkKind::End | ChunkKind::Open))
    }

    /// Whether only "is a" and the like stands between chunk `start` and a line in front.
    pub(super) fn is_called(&self, start: usize) -> bool {
        const WORDS: usize = 4;
        for at in (start.saturating_sub(WORDS)..start).rev() {
            if matches!(self.kind(at), Some(ChunkKind::Line(_))) {
                return at + 1 < start;
            }
            let sense = self.sense(at);
            let joins = [Set::Filler, Set::Question, Set::Det];
            if !joins.into_iter().any(|set| sense.is(set)) {
                return false;
            }
        }
        false
    }

    /// The line behind chunk `at` with nothing but "with", ":" or a parenthesis between.
    pub(super) fn line_behind(&self, at: usize) -> Option<u32> {
        if !self.lines {
            return None;
        }
        for behind in at..at + 4 {
            match self.kind(behind)? {
                ChunkKind::Line(line) => return Some(line),
                ChunkKind::Colon | ChunkKind::Open | ChunkKind::Pause | ChunkKind::Comma => {}
                ChunkKind::Word { .. } if self.sense(behind).is(Set::By) => {}
                _ => return None,
            }
        }
        None
    }
}
