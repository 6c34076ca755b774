//! Proofs written down from what the tables know.

use std::collections::HashMap;

use shakmaty::{Move, Position};

use super::{
    checks::{OutOfBudget, mate_in_one},
    dag::{Dag, Node},
    exact::{FIFTY_MOVES, KeyedPosition},
    goal::{ANY, Goal, LONGEST},
    key::Key,
    solver::Solver,
    table::{pack, unpack},
    tree::State,
};
use crate::{budget::Budget, evidence::Answer};

/// The legal replies. On the heap, and in a function of its own, because proofs are
/// written down recursively and lists of moves are large.
#[inline(never)]
fn replies(place: &KeyedPosition) -> Vec<Move> {
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

pub(crate) struct Writer<'s, 't, 'b, 'c> {
    solver: &'s mut Solver<'t>,
    budget: &'b mut Budget<'c>,
    nodes: Vec<Node>,
    edges: usize,
    /// The node of a position; `None` while it is being written.
    known: HashMap<Key, Option<u32>>,
}

impl<'s, 't, 'b, 'c> Writer<'s, 't, 'b, 'c> {
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
    pub(crate) fn build(mut self, place: &KeyedPosition, left: u32) -> Option<Dag> {
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
    fn node(&mut self, place: &KeyedPosition, left: u32, depth: u32) -> Result<Answer, Failure> {
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
            self.solver.facts.prove(plain, length, pack(m));
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

    fn play(&mut self, place: &KeyedPosition, m: Move) -> Result<KeyedPosition, Failure> {
        if self.budget.spend() {
            Ok(place.after(m))
        } else {
            Err(Failure::Budget)
        }
    }

    /// The move that mates within `left` moves, and whether it mates at once.
    fn winning_move(&mut self, place: &KeyedPosition, left: u32) -> Result<(Move, bool), Failure> {
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

    fn remembered(&self, place: &KeyedPosition, left: u32) -> Option<Move> {
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
