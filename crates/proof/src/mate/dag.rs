//! Proofs written down from what the tables know.

use std::collections::HashMap;

use shakmaty::{Chess, Move, Position};

use super::{
    checks::{OutOfBudget, mate_in_one},
    exact::{FIFTY_MOVES, Place},
    goal::{ANY, Goal},
    key::Key,
    solve::{LONGEST, Solver},
    table::unpack,
    tree::State,
};
use crate::{
    Budget,
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

/// The legal replies. On the heap, and in a function of its own, because proofs are
/// written down recursively and lists of moves are large.
#[inline(never)]
fn replies(place: &Place) -> Vec<Move> {
    place.position.legal_moves().to_vec()
}

/// Why a proof could not be written down.
enum Failure {
    /// The budget ran out.
    Budget,
    /// The tables had forgotten too much, or the proof is too long to keep.
    Lost,
}

impl From<OutOfBudget> for Failure {
    fn from(OutOfBudget: OutOfBudget) -> Self {
        Self::Budget
    }
}

pub(crate) struct Builder<'s, 't, 'b, 'c> {
    solver: &'s mut Solver<'t>,
    budget: &'b mut Budget<'c>,
    nodes: Vec<Node>,
    edges: usize,
    /// The node of a position; `None` while it is being written.
    known: HashMap<Key, Option<u32>>,
}

impl<'s, 't, 'b, 'c> Builder<'s, 't, 'b, 'c> {
    pub(crate) fn new(solver: &'s mut Solver<'t>, budget: &'b mut Budget<'c>) -> Self {
        Self {
            solver,
            budget,
            nodes: Vec::new(),
            edges: 0,
            known: HashMap::new(),
        }
    }

    /// The proof of a mate within `left` moves.
    pub(crate) fn build(mut self, place: &Place, left: u32) -> Option<Dag> {
        let root = match self.node(place, left, 0) {
            Ok(Answer::Step(root)) => root,
            Ok(Answer::Mate(m)) => {
                return Some(Dag {
                    nodes: vec![Node {
                        m: Some(m),
                        replies: Vec::new(),
                        length: 1,
                    }],
                });
            }
            Err(_) => return None,
        };
        // The root was written last.
        (root as usize + 1 == self.nodes.len()).then_some(Dag { nodes: self.nodes })
    }

    /// What proves that the attacker, to move, mates within `left` moves.
    fn node(&mut self, place: &Place, left: u32, depth: u32) -> Result<Answer, Failure> {
        if left == 0 || depth > LONGEST + 100 {
            return Err(Failure::Lost);
        }
        let key = place.fact_key(left.min(LONGEST));
        match self.known.get(&key) {
            Some(&Some(node)) if self.length(node) <= left => return Ok(Answer::Step(node)),
            Some(None) if left == ANY => return Err(Failure::Lost),
            _ => {}
        }
        let m = match self.winning_move(place, left)? {
            (m, true) => return Ok(Answer::Mate(m)),
            (m, false) => m,
        };
        if left == 1 {
            return Err(Failure::Lost);
        }
        if left == ANY {
            self.known.insert(key, None);
        }
        let after = self.play(place, m)?;
        let replies = replies(&after);
        self.edges += replies.len();
        if self.edges > self.solver.most_edges {
            return Err(Failure::Lost);
        }
        let fewer = if left == ANY { ANY } else { left - 1 };
        let mut answers = Vec::with_capacity(replies.len());
        let mut longest = 0;
        for reply in replies {
            let next = self.play(&after, reply)?;
            let answer = self.node(&next, fewer, depth + 1)?;
            longest = longest.max(match answer {
                Answer::Mate(_) => 1,
                Answer::Step(node) => self.length(node),
            });
            answers.push((reply, answer));
        }
        let length = longest + 1;
        // Later searches know what is written down here.
        if 2 * length <= FIFTY_MOVES {
            let plain = place.key;
            self.solver
                .facts
                .prove(plain, length, super::table::pack(m));
        }
        let number = u32::try_from(self.nodes.len()).map_err(|_| Failure::Lost)?;
        self.nodes.push(Node {
            m: Some(m),
            replies: answers,
            length,
        });
        self.known.insert(key, Some(number));
        Ok(Answer::Step(number))
    }

    fn length(&self, node: u32) -> u32 {
        self.nodes
            .get(node as usize)
            .map_or(u32::MAX, |node| node.length)
    }

    fn play(&mut self, place: &Place, m: Move) -> Result<Place, Failure> {
        if self.budget.spend() {
            Ok(place.after(m))
        } else {
            Err(Failure::Budget)
        }
    }

    /// The move that mates within `left` moves, and whether it mates at once.
    fn winning_move(&mut self, place: &Place, left: u32) -> Result<(Move, bool), Failure> {
        if let Some(m) = mate_in_one(&place.position, self.budget, |_| {})? {
            return Ok((m, true));
        }
        for _ in 0..2 {
            if let Some(m) = self.remembered(place, left) {
                return Ok((m, false));
            }
            // Forgotten: find it again.
            let won = if left <= 3 {
                self.solver.exact().attack(place, left, self.budget)?
            } else {
                let state = self.solver.prove(place, Goal::attack(left), self.budget)?;
                matches!(state, State::Won(_))
            };
            if !won {
                return Err(Failure::Lost);
            }
        }
        Err(Failure::Lost)
    }

    fn remembered(&self, place: &Place, left: u32) -> Option<Move> {
        let moves = place.position.legal_moves();
        let fact = self.solver.facts.get(place.fact_key(left.min(LONGEST)));
        if fact.length() > 0
            && (left == ANY || fact.proves(left))
            && let Some(m) = unpack(fact.best(), &moves)
        {
            return Some(m);
        }
        let entry = self.solver.tree.get(Goal::attack(left).key(place))?;
        match entry.state {
            State::Won(_) => unpack(entry.best, &moves),
            _ => None,
        }
    }
}
