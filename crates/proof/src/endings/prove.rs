//! Proofs of mate written down from the tables.

use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};

use shakmaty::{Chess, Move, Position};

use super::tables::Tables;
use crate::evidence::{Answer, Proof, Step};

/// A position with the attacker to move, or the given one, and what he does there.
struct Node {
    plies: u8,
    attack: Option<Move>,
    replies: Vec<(Move, Answer)>,
}

/// The positions of a proof in the order in which they were come upon.
struct Draft<'t> {
    tables: &'t Tables,
    stop: &'t AtomicBool,
    nodes: Vec<Node>,
    /// The number of a position, and the positions that have no node yet.
    known: HashMap<Chess, u32>,
    open: Vec<(Chess, u8)>,
}

impl Tables {
    /// The proof that one side mates as soon as it can, with at most `most` replies in it.
    ///
    /// Tables that are not there are made ready first. `None` when the position is drawn,
    /// not known, or not won in time under the fifty-move rule, when the proof would be
    /// larger, and soon after `stop` was raised.
    #[must_use]
    pub fn prove(&self, position: &Chess, most: usize, stop: &AtomicBool) -> Option<Proof> {
        let ending = self.settle(position, stop)?;
        if ending.beats_fifty(position.halfmoves()) != Some(true) {
            return None;
        }
        let mut draft = Draft {
            tables: self,
            stop,
            nodes: Vec::new(),
            known: HashMap::from([(position.clone(), 0)]),
            open: vec![(position.clone(), ending.dtm_plies?)],
        };
        let mut listed = 0;
        while let Some((place, plies)) = draft.open.get(draft.nodes.len()).cloned() {
            let node = draft.node(&place, plies)?;
            listed += node.replies.len();
            if listed > most || stop.load(Ordering::Relaxed) {
                return None;
            }
            draft.nodes.push(node);
        }
        Some(draft.publish(position))
    }
}

impl Draft<'_> {
    /// What is done in a position from which mate is `plies` away.
    fn node(&mut self, place: &Chess, plies: u8) -> Option<Node> {
        let mut after = place.clone();
        let attack = if plies.is_multiple_of(2) {
            None
        } else {
            let m = self.soonest(place, plies)?;
            after.play_unchecked(m);
            Some(m)
        };
        let mode = place.castles().mode();
        let mut replies = after.legal_moves();
        replies.sort_by_cached_key(|reply| reply.to_uci(mode).to_string());
        let mut answers = Vec::with_capacity(replies.len());
        for reply in replies {
            let mut next = after.clone();
            next.play_unchecked(reply);
            let plies = self.tables.settle(&next, self.stop)?.dtm_plies?;
            let answer = if plies == 1 {
                Answer::Mate(self.soonest(&next, plies)?)
            } else {
                let count = u32::try_from(self.open.len()).ok()?;
                let number = *self.known.entry(next.clone()).or_insert(count);
                if number == count {
                    self.open.push((next, plies));
                }
                Answer::Step(number)
            };
            answers.push((reply, answer));
        }
        Some(Node {
            plies,
            attack,
            replies: answers,
        })
    }

    /// The first move that mates in `plies` plies.
    fn soonest(&self, place: &Chess, plies: u8) -> Option<Move> {
        place.legal_moves().into_iter().find(|&m| {
            let mut after = place.clone();
            after.play_unchecked(m);
            let left = self.tables.settle(&after, self.stop);
            left.is_some_and(|left| left.dtm_plies == Some(plies - 1))
        })
    }

    /// The proof with its positions in order: every move comes nearer to the mate, so the
    /// farthest from it come first.
    fn publish(self, position: &Chess) -> Proof {
        let mut order: Vec<usize> = (0..self.nodes.len()).collect();
        order.sort_by_key(|&at| std::cmp::Reverse(self.nodes.get(at).map(|node| node.plies)));
        let mut numbers = vec![0; order.len()];
        for (number, &at) in (0..).zip(&order) {
            if let Some(slot) = numbers.get_mut(at) {
                *slot = number;
            }
        }
        let mut steps: Vec<(u32, Step)> = numbers
            .iter()
            .zip(self.nodes)
            .map(|(&number, node)| {
                let mut replies = node.replies;
                for (_, answer) in &mut replies {
                    if let Answer::Step(at) = answer {
                        *at = numbers.get(*at as usize).copied().unwrap_or(u32::MAX);
                    }
                }
                let step = Step {
                    attack: node.attack,
                    replies,
                    moves: u32::from(node.plies.div_ceil(2)),
                };
                (number, step)
            })
            .collect();
        steps.sort_by_key(|(number, _)| *number);
        Proof {
            position: position.clone(),
            steps: steps.into_iter().map(|(_, step)| step).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::position;
    use crate::{Others, verify};

    #[test]
    fn proofs_from_tables_verify() {
        let tables = Tables::new(64 << 20);
        let stop = AtomicBool::new(false);
        for (fen, moves) in [
            // The longest wins of queen and rook, and one that goes through a promotion;
            // the numbers are those of the tables themselves.
            ("8/8/8/3k4/8/8/8/KQ6 w - - 0 1", None),
            ("8/8/8/3k4/8/8/8/R3K3 w - - 0 1", None),
            ("8/8/8/3k4/8/8/8/R3K3 b - - 0 1", None),
            ("4k3/8/4K3/4P3/8/8/8/8 b - - 30 1", None),
            ("8/8/8/8/8/5k2/7q/5K2 b - - 0 1", Some(1)),
            ("8/8/8/8/8/5k2/5q2/5K2 w - - 0 1", Some(0)),
        ] {
            let p = position(fen);
            let proof = tables.prove(&p, 1_000_000, &stop).expect(fen);
            let told = tables.settle(&p, &stop).and_then(|ending| ending.moves());
            assert_eq!(Some(proof.moves()), moves.or(told), "{fen}");
            let verified = verify(&proof.to_string()).expect(fen);
            assert_eq!(Some(verified.moves), told, "{fen}");
            assert_eq!(
                (verified.position, verified.attacker),
                (p, proof.attacker())
            );
        }
    }

    #[test]
    fn what_is_not_won_has_no_proof() {
        let tables = Tables::new(64 << 20);
        let stop = AtomicBool::new(false);
        for fen in [
            "k7/8/8/8/P7/8/1K6/8 w - - 0 1",
            "8/8/8/3k4/8/8/8/KQ6 w - - 96 90",
            "8/8/8/3k4/8/8/8/R3K3 w Q - 0 1",
        ] {
            assert!(
                tables.prove(&position(fen), 1_000_000, &stop).is_none(),
                "{fen}"
            );
        }
        let p = position("8/8/8/3k4/8/8/8/KQ6 w - - 0 1");
        assert!(tables.prove(&p, 10, &stop).is_none());
        let proof = tables.prove(&p, 1_000_000, &stop).expect("a proof");
        assert!(proof.others() == Some(Others::NoLonger));
        assert!(
            tables
                .prove(&p, 1_000_000, &AtomicBool::new(true))
                .is_none()
        );
    }
}
