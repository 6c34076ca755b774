//! Proofs as they are kept: positions with the replies to them.

use shakmaty::{Chess, Move, Position};

use super::exact::FIFTY_MOVES;
use crate::{
    budget::Budget,
    evidence::{Answer, Proof, Step},
};

/// A position with the attacker to move, and how he mates from it.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// The attacker's move; none in a root where it is the defender's turn.
    pub(crate) m: Option<Move>,
    /// The defender's legal replies, in the order of the rules library, each with
    /// what follows. None when the move mates.
    pub(crate) replies: Vec<(Move, Answer)>,
    /// Attacker's moves in the longest line.
    pub(crate) length: u32,
}

/// A proof. Every node's successors have smaller numbers; the last node is the root.
#[derive(Clone, Debug)]
pub(crate) struct Dag {
    pub(crate) nodes: Vec<Node>,
}

impl Dag {
    /// Attacker's moves in the longest line.
    pub(crate) fn length(&self) -> u32 {
        self.nodes.last().map_or(0, |root| root.length)
    }

    /// The proof in the form that is given out: the root first, replies sorted. `None`
    /// when the work was told to stop.
    pub(crate) fn publish(self, position: &Chess, budget: &Budget<'_>) -> Option<Proof> {
        let mode = position.castles().mode();
        let last = u32::try_from(self.nodes.len().saturating_sub(1)).unwrap_or(u32::MAX);
        let mut steps = Vec::with_capacity(self.nodes.len());
        for mut node in self.nodes.into_iter().rev() {
            if budget.is_stopped() {
                return None;
            }
            node.replies
                .sort_by_cached_key(|(reply, _)| reply.to_uci(mode).to_string());
            for (_, answer) in &mut node.replies {
                if let Answer::Step(number) = answer {
                    *number = last.saturating_sub(*number);
                }
            }
            steps.push(Step {
                attack: node.m,
                replies: node.replies,
                moves: node.length,
            });
        }
        Some(Proof {
            position: position.clone(),
            steps,
        })
    }

    /// Whether no line of the proof, started with the given clock, is a draw by the
    /// fifty-move rule before it mates.
    pub(crate) fn keeps_fifty_moves(&self, clock: u32) -> bool {
        let mut clocks = vec![None; self.nodes.len()];
        if let Some(root) = clocks.last_mut() {
            *root = Some(clock);
        }
        for (index, node) in self.nodes.iter().enumerate().rev() {
            let Some(Some(clock)) = clocks.get(index).copied() else {
                continue;
            };
            if node.replies.is_empty() {
                continue;
            }
            let after = node.m.map_or(clock, |m| clock_after(clock, m));
            if after >= FIFTY_MOVES {
                return false;
            }
            for &(reply, answer) in &node.replies {
                let clock = clock_after(after, reply);
                if clock >= FIFTY_MOVES {
                    return false;
                }
                if let Answer::Step(child) = answer
                    && let Some(slot) = clocks.get_mut(child as usize)
                {
                    *slot = Some(slot.map_or(clock, |other: u32| other.max(clock)));
                }
            }
        }
        true
    }
}

pub(crate) const fn clock_after(clock: u32, m: Move) -> u32 {
    if m.is_zeroing() {
        0
    } else {
        clock.saturating_add(1)
    }
}
