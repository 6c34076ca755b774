//! Questions about the side to move being the one that is mated.

use shakmaty::{Chess, Move, Position};

use super::{
    checks::OutOfBudget,
    dag::Dag,
    exact::KeyedPosition,
    goal::{ANY, LONGEST},
    join::Joiner,
    prover::{MateAnswer, MateProver},
    solve::{DEEPENING, Mated, Solved},
    solver::Solver,
};
use crate::{budget::Budget, verdict::Verdict};

/// What became of a question.
enum Fate {
    /// It is mated, and not within `refuted` moves.
    Mated {
        proof: Dag,
        refuted: u32,
    },
    /// It is not: the reply that escapes, if it has one at all, with the attempt that fails.
    Escapes(Vec<Move>),
    Unknown,
}

impl From<OutOfBudget> for Fate {
    fn from(OutOfBudget: OutOfBudget) -> Self {
        Self::Unknown
    }
}

impl MateProver {
    /// Is the side to move mated, within `moves` moves of the other side or in any number,
    /// whatever it plays?
    ///
    /// When it is, shorter mates are looked for too, as far as the budget goes. It is
    /// within no move where it is mated already.
    pub fn mated(
        &mut self,
        position: &Chess,
        moves: Option<u32>,
        budget: &mut Budget<'_>,
    ) -> MateAnswer {
        let spent = budget.spent();
        let limit = moves.map_or(ANY, |moves| moves.min(LONGEST));
        let mut solver = self.solver();
        let mut answer = MateAnswer::unsettled();
        match solver.fate(&KeyedPosition::new(position), limit, budget) {
            Fate::Mated { proof, refuted } => {
                if let Some(proof) = proof.publish(position, budget) {
                    answer = MateAnswer::proved(proof, refuted);
                }
            }
            Fate::Escapes(line) => {
                answer.verdict = Verdict::Fails;
                answer.line = line;
            }
            Fate::Unknown => {}
        }
        answer.nodes = budget.spent() - spent;
        answer
    }
}

impl Solver<'_> {
    fn fate(&mut self, place: &KeyedPosition, limit: u32, budget: &mut Budget<'_>) -> Fate {
        let position = &place.position;
        let replies = position.legal_moves();
        if replies.is_empty() {
            return if position.is_check() {
                Fate::Mated {
                    proof: Joiner::default().finish(),
                    refuted: 0,
                }
            } else {
                Fate::Escapes(Vec::new())
            };
        }
        if limit == 0
            || place.is_clock_out()
            || position.has_insufficient_material(!position.turn())
        {
            return Fate::Escapes(replies.first().copied().into_iter().collect());
        }
        // Mostly any reply escapes from a short mate; where the first does not, an escape is
        // found soonest when all are looked at together.
        if limit <= DEEPENING
            && let Some(&reply) = replies.first()
            && budget.spend()
        {
            let next = place.after(reply);
            let mut share = budget.share(budget.left() / 4);
            let refuted = (1..=limit).all(|left| {
                let found = self.exact().attack(&next, left, &mut share);
                found == Ok(false)
            });
            budget.settle(&share);
            if refuted {
                return self.escapes(reply, &next, limit, budget);
            }
        }
        let mut share = budget.share(budget.left() / 4);
        let found = self.mated(place, limit, &mut share);
        budget.settle(&share);
        if found == Ok(Mated::Not) {
            return match self.escape(place, limit, budget) {
                Ok(reply) => {
                    let mut line: Vec<Move> = reply.into_iter().collect();
                    if let &[reply] = &line[..]
                        && budget.spend()
                    {
                        line.extend(self.attempt(&place.after(reply), limit, budget));
                    }
                    Fate::Escapes(line)
                }
                Err(OutOfBudget) => Fate::Escapes(Vec::new()),
            };
        }
        self.answers(place, &replies, limit, budget)
    }

    /// That a reply, which leads to `next`, escapes, with the attempt that fails.
    fn escapes(
        &mut self,
        reply: Move,
        next: &KeyedPosition,
        limit: u32,
        budget: &mut Budget<'_>,
    ) -> Fate {
        let mut line = vec![reply];
        line.extend(self.attempt(next, limit, budget));
        Fate::Escapes(line)
    }

    /// Answers the replies one by one. The budget is shared evenly; what a reply does not
    /// need is left to the others.
    fn answers(
        &mut self,
        place: &KeyedPosition,
        replies: &[Move],
        limit: u32,
        budget: &mut Budget<'_>,
    ) -> Fate {
        let most = self.most_edges;
        let mut joiner = Joiner::default();
        let mut least = 0;
        let mut fate = None;
        for (index, &reply) in replies.iter().enumerate() {
            if !budget.spend() {
                fate = Some(Fate::Unknown);
                break;
            }
            let next = place.after(reply);
            if next.is_clock_out() {
                fate = Some(Fate::Escapes(vec![reply]));
                break;
            }
            let mut share = budget.share(budget.left() / (replies.len() - index) as u64);
            let Solved { proof, refuted } = self.solve(&next, limit, &mut share);
            budget.settle(&share);
            let Some(proof) = proof else {
                if refuted < limit {
                    fate = Some(Fate::Unknown);
                    continue;
                }
                fate = Some(self.escapes(reply, &next, limit, budget));
                break;
            };
            least = least.max(refuted);
            // All parts together may be no larger than one proof.
            let edges = joiner.add(reply, next, proof, budget);
            self.most_edges = self.most_edges.saturating_sub(edges);
        }
        self.most_edges = most;
        fate.unwrap_or_else(|| Fate::Mated {
            proof: joiner.finish(),
            refuted: least,
        })
    }
}
