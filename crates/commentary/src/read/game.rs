//! Other games: which one a sentence points at, and what it tells of it.
//!
//! "Game 6 of the match", "my game 5" and "game 3, Bergen 1912" are games of other books; a
//! sentence that points at one of those tells nothing that can be looked up.

use std::ops::Range;

use gainsay_notation::Span;

use super::maker::{Maker, Pointer, REACH};
use crate::chunks::{ChunkKind, Sentence};
use crate::claim::{Claim, LineRole, Mood, Prose};
use crate::kind::{ClaimKind, Reference};
use crate::other_game::{Attribution, OtherGame, SaidWay, Way};
use crate::sense::Sense;
use crate::set::Set;

/// The names of two players.
struct Players {
    names: [Span; 2],
    chunks: Range<usize>,
}

/// So many chunks can make up the names of two players.
const NAMES: usize = 7;

impl Maker<'_> {
    /// Finds the other games that a sentence points at, before its claims are made.
    pub(super) fn point_at_games(&mut self, sentence: &Sentence) {
        self.games.clear();
        if self.alive.is_empty() {
            return;
        }
        if sentence.sets & Set::Game.bit() != 0 && sentence.chunks.len() < 4 * REACH {
            for at in sentence.chunks.clone() {
                let Some((end, game)) = self.pointer_at(at) else {
                    continue;
                };
                if self.is_of_another_book(at, end, sentence) {
                    self.elsewhere = true;
                    self.games.clear();
                    break;
                }
                let pointer = self.pointer(at, end, game);
                self.games.push(pointer);
            }
        }
        if self.games.is_empty() {
            self.patterns.leave_out_games(self.alive);
        }
    }

    /// The phrase at a chunk, if it points at another game, and where it ends.
    fn pointer_at(&self, at: usize) -> Option<(usize, OtherGame)> {
        let found = self.longest(at)?;
        match (found.phrase.make)(&found.slots(self.chunks, self.senses))? {
            ClaimKind::Reference(Reference::Game(game)) => Some((found.end, game)),
            _ => None,
        }
    }

    fn pointer(&mut self, at: usize, end: usize, mut game: OtherGame) -> Pointer {
        game.number = self.span(end - 1, end);
        game.contest = self.tells_of_contests();
        let players = self.players_behind(end).or_else(|| self.players_before(at));
        let mut reach = at..end;
        if let Some(players) = players {
            game.players = Some(players.names);
            reach = at.min(players.chunks.start)..end.max(players.chunks.end);
        }
        let [above, below] = self.tongue.data().ways;
        for (set, way, other) in [
            (Set::Above, Way::Above, below),
            (Set::Below, Way::Below, above),
        ] {
            if self.sense(end).is(set) {
                let span = self.span(end, end + 1);
                game.way = Some(SaidWay { way, span, other });
            }
        }
        Pointer {
            chunks: at..end,
            reach,
            game,
        }
    }

    /// Whether the passage names a match, a tournament or the like anywhere.
    fn tells_of_contests(&mut self) -> bool {
        let (chunks, senses) = (self.chunks, self.senses);
        *self.contests.get_or_insert_with(|| {
            let mut chunks = chunks.iter();
            chunks.any(|chunk| senses.sense(chunk).is(Set::Contest))
        })
    }

    /// Whether the game at `at..end` belongs to a match or a player.
    fn is_of_another_book(&self, at: usize, end: usize, sentence: &Sentence) -> bool {
        let before = at.checked_sub(1);
        let owned = before.is_some_and(|before| {
            let sense = self.sense(before);
            sense.is(Set::His) || sense.is(Set::Possessive) || self.is_name(before)
        });
        let opens = matches!(self.kind(end), Some(ChunkKind::Open));
        let event = opens && self.is_name(end + 1) && self.players_behind(end).is_none();
        let contest = |at: usize| self.sense(at).is(Set::Contest);
        owned || event || self.sense(end).is(Set::Belongs) || sentence.chunks.clone().any(contest)
    }

    /// "game 3 (Lind–Moreau)"
    fn players_behind(&self, end: usize) -> Option<Players> {
        let from = match self.kind(end)? {
            ChunkKind::Open | ChunkKind::Comma | ChunkKind::Colon | ChunkKind::Pause => end + 1,
            _ => end,
        };
        let mut players = self.players(from)?;
        // With place and year in the same parentheses.
        if matches!(self.kind(end), Some(ChunkKind::Open)) {
            let close = (players.chunks.end..players.chunks.end + NAMES)
                .find(|&at| matches!(self.kind(at), Some(ChunkKind::Close)));
            players.chunks.end = close? + 1;
        }
        Some(players)
    }

    /// "Lind–Moreau, game 3", "Lind–Moreau (game 3)"
    fn players_before(&self, at: usize) -> Option<Players> {
        let end = at.checked_sub(1)?;
        if !matches!(self.kind(end)?, ChunkKind::Open | ChunkKind::Comma) {
            return None;
        }
        (end.saturating_sub(NAMES)..end)
            .filter_map(|from| self.players(from))
            .find(|players| players.chunks.end == end)
    }

    /// The names of two players at chunk `from`, with a dash or "against" between.
    fn players(&self, from: usize) -> Option<Players> {
        let mut first = None;
        let mut at = from;
        while at < from + NAMES && self.is_name(at) {
            let hyphen = self.is_joined(at);
            first.get_or_insert(at);
            let parts = matches!(self.kind(at + 1), Some(ChunkKind::Pause))
                || self.sense(at + 1).is(Set::Belongs);
            let second = if hyphen {
                at + 1
            } else if parts {
                at + 2
            } else {
                at += 1;
                continue;
            };
            let last = (second..second + 3)
                .take_while(|&at| self.is_name(at))
                .last()?;
            let name = |at: usize| self.span(at, at + 1);
            return Some(Players {
                names: [name(at), name(last)],
                chunks: from..last + 1,
            });
        }
        None
    }

    /// Whether nothing but a hyphen stands between a name and the next.
    fn is_joined(&self, at: usize) -> bool {
        let end = self.span(at, at + 1).end;
        let next = self.span(at + 1, at + 2).start;
        let between = self.text.get(end as usize..next as usize);
        self.is_name(at + 1) && between == Some(b"-")
    }

    /// A word that may be somebody's name.
    fn is_name(&self, at: usize) -> bool {
        match self.kind(at) {
            Some(ChunkKind::Word { capital }) => capital && self.is_unknown(at),
            Some(ChunkKind::Side(_)) => true,
            _ => false,
        }
    }

    /// Whether a chunk belongs to a pointer at another game of the book.
    pub(super) fn is_of_pointer(&self, at: usize) -> bool {
        self.games.iter().any(|pointer| pointer.reach.contains(&at))
    }

    /// Whether what begins at chunk `start` is told of games that are not known: of several,
    /// or of the one that a sentence before has pointed at.
    pub(super) fn is_of_other_games(&self, start: usize) -> bool {
        match self.games.as_slice() {
            [] => self.left,
            [_] => false,
            all => all.iter().all(|pointer| pointer.chunks.start != start),
        }
    }

    /// Fills in what stands around a pointer.
    pub(super) fn look_at_pointer(&self, start: usize, end: usize, game: &mut OtherGame) {
        let mut pointers = self.games.iter();
        match pointers.find(|pointer| pointer.chunks.start == start) {
            Some(pointer) => *game = pointer.game,
            None => {
                game.number = self.span(end.saturating_sub(1), end);
                game.contest = true;
            }
        }
    }

    /// Says of the claims from number `first` on, those of a sentence, how they are told of
    /// the game that it points at.
    pub(super) fn tell_of_games(&mut self, prose: &mut Prose, first: usize, sentence: &Sentence) {
        if let [pointer] = self.games.as_slice() {
            for nth in first..prose.claims.len() {
                let told = prose.claims.get(nth).map(|claim| {
                    if self.is_told_plainly(pointer, claim, prose, sentence) {
                        Attribution::Plainly
                    } else {
                        Attribution::Loosely
                    }
                });
                if let Some(claim) = prose.claims.get_mut(nth)
                    && !matches!(claim.kind, ClaimKind::Reference(Reference::Game(_)))
                {
                    claim.told = told;
                }
            }
        }
        self.left |= !self.games.is_empty();
    }

    fn is_told_plainly(
        &self,
        pointer: &Pointer,
        claim: &Claim,
        prose: &Prose,
        sentence: &Sentence,
    ) -> bool {
        let turns = |at: usize| self.sense(at).is(Set::Contrast);
        if claim.mood != Mood::Stated || sentence.chunks.clone().any(turns) {
            return false;
        }
        let line = match claim.kind {
            ClaimKind::Line | ClaimKind::Mention => claim.at.line(),
            _ => None,
        };
        let line = line.and_then(|line| prose.lines.get(line as usize));
        if line.is_some_and(|line| line.role != LineRole::Stated) {
            return false;
        }
        let chunks = self.chunks.get(sentence.chunks.clone()).unwrap_or_default();
        let place = |offset| {
            sentence.chunks.start + chunks.partition_point(|chunk| chunk.span.start < offset)
        };
        let (start, end) = (place(claim.span.start), place(claim.span.end));
        // "In game 3 White had 14.Rxh7": it may be what was missed.
        let mut between = if start >= pointer.reach.end {
            pointer.reach.end..start
        } else {
            end..pointer.reach.start
        };
        if line.is_some() && !between.any(|at| self.sense(at).is(Set::Plays)) {
            return false;
        }
        if start >= pointer.reach.end {
            self.is_pointed(pointer, &claim.kind)
                && (pointer.reach.end..start).all(|at| self.tells(at, line.is_none()))
        } else {
            end <= pointer.chunks.start && (end..pointer.reach.start).all(|at| self.leads(at))
        }
    }

    /// Whether a pointer introduces what is told behind it: "in game 3", "see game 3", and
    /// how it ended: "game 3 was drawn".
    fn is_pointed(&self, pointer: &Pointer, kind: &ClaimKind) -> bool {
        let mut before = pointer.reach.start;
        while let Some(at) = before.checked_sub(1)
            && (self.sense(at).is(Set::Det) || matches!(self.kind(at), Some(ChunkKind::Open)))
        {
            before = at;
        }
        let Some(at) = before.checked_sub(1) else {
            return matches!(kind, ClaimKind::GameEnd(_));
        };
        match self.kind(at) {
            Some(ChunkKind::End) => matches!(kind, ClaimKind::GameEnd(_)),
            Some(ChunkKind::Word { .. }) => self.sense(at).is(Set::Points),
            _ => false,
        }
    }

    /// Whether a chunk can stand between what is told and the game behind it.
    fn leads(&self, at: usize) -> bool {
        let sense = self.sense(at);
        matches!(self.kind(at), Some(ChunkKind::Word { .. }))
            && !sense.is(Set::And)
            && self.tells(at, false)
    }

    /// Whether a phrase swallows the beginning of a pointer: "won game 3".
    pub(super) fn swallows_pointer(&self, start: usize, end: usize) -> bool {
        let mut pointers = self.games.iter().map(|pointer| pointer.chunks.start);
        pointers.any(|pointer| start < pointer && pointer < end)
    }

    /// Whether a chunk can stand between another game and what is told of it.
    fn tells(&self, at: usize, lines: bool) -> bool {
        match self.kind(at) {
            Some(ChunkKind::Word { .. }) => {
                let sense: &Sense = self.sense(at);
                sense.is(Set::Tells) || sense.is(Set::Filler) || sense.is(Set::Det)
            }
            Some(ChunkKind::Line(_)) => lines,
            Some(
                ChunkKind::Comma
                | ChunkKind::Colon
                | ChunkKind::Side(_)
                | ChunkKind::He(_)
                | ChunkKind::Number(_),
            ) => true,
            _ => false,
        }
    }
}
