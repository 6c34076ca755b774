//! The proofs of several replies as one, written down once where they meet.

use std::collections::HashMap;

use shakmaty::{Move, Position};

use super::{
    dag::{Dag, Node, clock_after},
    exact::{FIFTY_MOVES, KeyedPosition},
    key::Key,
};
use crate::{budget::Budget, evidence::Answer};

/// A node that is written down already.
#[derive(Clone, Copy)]
struct Known {
    number: u32,
    length: u32,
    /// It is known to keep the fifty-move rule when it is reached with this clock.
    clock: u32,
}

impl Known {
    /// Whether it mates under the fifty-move rule when it is reached with this clock.
    const fn bears(self, clock: u32) -> bool {
        clock <= self.clock || clock.saturating_add(2 * self.length) <= FIFTY_MOVES
    }
}

/// What becomes of a node of a part.
#[derive(Clone, Copy)]
enum Fate {
    /// Nothing leads to it any more.
    Unused,
    /// It is written down, for this position reached with this clock.
    Written(Key, u32),
    /// Another one, which is written down already, stands for it.
    As(u32),
}

/// Puts proofs together.
#[derive(Default)]
pub(super) struct Joiner {
    nodes: Vec<Node>,
    known: HashMap<Key, Known>,
    replies: Vec<(Move, Answer)>,
    longest: u32,
}

impl Joiner {
    /// Adds the proof that goes on after a reply, which led to `start`. Moves are played to
    /// find the positions that it shares with those before it; it takes the space of its own
    /// where the budget does not allow that. Returns how many replies it answers beyond what
    /// was there.
    pub(super) fn add(
        &mut self,
        reply: Move,
        start: KeyedPosition,
        part: Dag,
        budget: &mut Budget<'_>,
    ) -> usize {
        self.longest = self.longest.max(part.length());
        if let [
            Node {
                m: Some(mate),
                length: 1,
                ..
            },
        ] = part.nodes[..]
        {
            self.replies.push((reply, Answer::Mate(mate)));
            return 0;
        }
        let mut edges = 0;
        let fates = self.fates(start, &part, budget);
        let mut numbers = Vec::with_capacity(part.nodes.len());
        for (index, mut node) in part.nodes.into_iter().enumerate() {
            let fate = match &fates {
                Some(fates) => fates.get(index).copied(),
                None => None,
            };
            let number = match fate {
                Some(Fate::As(number)) => number,
                Some(Fate::Unused) => 0,
                Some(Fate::Written(..)) | None => {
                    for (_, answer) in &mut node.replies {
                        if let Answer::Step(number) = answer {
                            *number = numbers.get(*number as usize).copied().unwrap_or(0);
                        }
                    }
                    let number = u32::try_from(self.nodes.len()).unwrap_or(u32::MAX);
                    if let Some(Fate::Written(key, clock)) = fate {
                        let length = node.length;
                        self.known.entry(key).or_insert(Known {
                            number,
                            length,
                            clock,
                        });
                    }
                    edges += node.replies.len();
                    self.nodes.push(node);
                    number
                }
            };
            numbers.push(number);
        }
        let root = numbers.last().copied().unwrap_or(0);
        self.replies.push((reply, Answer::Step(root)));
        edges
    }

    /// What becomes of the nodes of a part; `None` when the budget ran out.
    fn fates(
        &self,
        start: KeyedPosition,
        part: &Dag,
        budget: &mut Budget<'_>,
    ) -> Option<Vec<Fate>> {
        let mut fates = vec![Fate::Unused; part.nodes.len()];
        let mut reached: Vec<Option<(KeyedPosition, u32)>> = vec![None; part.nodes.len()];
        let clock = start.position.halfmoves();
        *reached.last_mut()? = Some((start, clock));
        // What leads to a node stands behind it, so that its clock is known by then.
        for (index, node) in part.nodes.iter().enumerate().rev() {
            let Some((place, clock)) = reached.get_mut(index).and_then(Option::take) else {
                continue;
            };
            // Only one of the same length, so that no length beyond it changes.
            let fate = match self.known.get(&place.key) {
                Some(known) if known.length == node.length && known.bears(clock) => {
                    Fate::As(known.number)
                }
                _ => Fate::Written(place.key, clock),
            };
            *fates.get_mut(index)? = fate;
            let (Fate::Written(..), Some(m)) = (fate, node.m) else {
                continue;
            };
            if !budget.spend() {
                return None;
            }
            let after = place.after(m);
            let clock = clock_after(clock, m);
            for &(reply, answer) in &node.replies {
                let Answer::Step(child) = answer else {
                    continue;
                };
                let clock = clock_after(clock, reply);
                match reached.get_mut(child as usize)? {
                    Some((_, other)) => *other = clock.max(*other),
                    slot => {
                        if !budget.spend() {
                            return None;
                        }
                        *slot = Some((after.after(reply), clock));
                    }
                }
            }
        }
        Some(fates)
    }

    /// The proof that the defender, to move, is mated: every reply with what goes on from it.
    pub(super) fn finish(mut self) -> Dag {
        self.nodes.push(Node {
            m: None,
            replies: self.replies,
            length: self.longest,
        });
        Dag { nodes: self.nodes }
    }
}
