//! Whether what an operation claims is true.

use std::ops::Range;

use gainsay_proof::{Verdict, search};
use shakmaty::{Chess, Move, Position};

use crate::{
    outcome::{
        Evidence, Fault, Grounds, Judged, Line, MateWhy, MoveWhy, Open, Outcome, Placed, Refuted,
        Side,
    },
    resolve::played,
    rule::{Severity, rule},
    solver::Solver,
};

rule! {
    /// A move that is called best is not, or a move to avoid is.
    ///
    /// Decided by forced mates only: where there is one, a move that does not mate as
    /// quickly is not the best.
    ///
    /// ```epd before
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra7;
    /// ```
    ///
    /// ```epd after
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra8#;
    /// ```
    NOT_THE_BEST_MOVE = "not-the-best-move", Severity::Warning
}

/// What is needed to judge one operation.
pub(super) struct Desk<'a> {
    pub(super) position: &'a Chess,
    pub(super) nodes: u64,
    pub(super) solver: &'a mut Solver,
}

impl Desk<'_> {
    /// The side to move mates in so many moves and not in fewer; where the number is
    /// negative, it is mated, and can last so long. Their number stands at `digits`.
    pub(super) fn mate(&mut self, moves: i32, digits: Range<u32>) -> Judged {
        let wanted = moves.unsigned_abs();
        let side = Side(self.position.turn());
        let is_mated = moves < 0;
        let answer = if is_mated {
            self.solver.mated(self.position, Some(wanted), self.nodes)
        } else {
            self.solver.mate(self.position, Some(wanted), self.nodes)
        };
        let mut grounds = self.grounds(&answer.line);
        grounds.exact = Some(answer.exact);
        let proofs = self.solver.proofs();
        let proof = answer
            .proof
            .filter(|_| proofs)
            .map(|proof| proof.to_string());
        let sooner = answer.moves.filter(|&least| least < wanted);
        let outcome = match (answer.verdict, sooner) {
            (Verdict::Holds, None) => {
                grounds.defences = answer.others.map(Into::into);
                Outcome::Holds(grounds)
            }
            (Verdict::Holds, Some(least)) => {
                grounds.defences = answer.others.map(Into::into);
                let mut fault = Fault::of(MateWhy::MateInFewer {
                    side,
                    least,
                    moves: wanted,
                    is_mated,
                });
                if answer.exact {
                    let sign = if is_mated { "-" } else { "" };
                    fault = fault.or(digits, format!("{sign}{least}"));
                }
                failed(grounds, fault)
            }
            (Verdict::Fails, _) => {
                grounds.searched = Some(answer.nodes);
                let moves = wanted;
                failed(
                    grounds,
                    Fault::of(MateWhy::NoMateIn {
                        side,
                        moves,
                        is_mated,
                    }),
                )
            }
            (Verdict::Unsettled, _) => Outcome::Unsettled(Open::Spent),
        };
        Judged {
            proof,
            ..Judged::new(outcome, answer.nodes)
        }
    }

    /// What rests on a line.
    fn grounds(&self, line: &[Move]) -> Grounds {
        let line = Line::new(self.position, line);
        Grounds {
            position: Some(Placed(self.position.clone())),
            evidence: (!line.is_empty())
                .then_some(Evidence::Line(line))
                .into_iter()
                .collect(),
            ..Grounds::default()
        }
    }

    /// The named moves are the best ones (`best`), or are not (`am`).
    ///
    /// A forced mate decides: a move that mates as quickly as any is best, and one that
    /// does not is not. Without one, the search may confirm but not deny.
    pub(super) fn best_moves(&mut self, moves: &[Move], best: bool) -> Judged {
        let nodes = self.nodes;
        let shortest = self.solver.mate(self.position, None, nodes / 2);
        let Some(length) = shortest.moves else {
            let (grounds, spent) = self.judge_moves(moves, best);
            let outcome = grounds.map_or(Outcome::Unsettled(Open::Spent), Outcome::Holds);
            return Judged::new(outcome, shortest.nodes + spent);
        };
        let grounds = self.grounds(&shortest.line);
        let (verdicts, spent) =
            self.solver
                .mating_moves(self.position, moves, Some(length), nodes / 2);
        let spent = shortest.nodes + spent;
        // A move that does not mate in `length` is not best, whether or not `length` is
        // the least; one that does is best for certain only if it is.
        let holds = |verdict: Verdict| match (best, verdict) {
            (true, Verdict::Holds) | (false, Verdict::Fails) => Verdict::Holds,
            (true, Verdict::Fails) => Verdict::Fails,
            (false, Verdict::Holds) if shortest.exact => Verdict::Fails,
            _ => Verdict::Unsettled,
        };
        let wrong = (verdicts.iter()).find(|told| holds(told.verdict) == Verdict::Fails);
        let all = (verdicts.iter()).all(|told| holds(told.verdict) == Verdict::Holds);
        let outcome = match wrong {
            Some(told) => {
                let cited = Line::new(self.position, &[told.first]);
                let why = if best {
                    MoveWhy::NotBest {
                        cited,
                        mate: length,
                    }
                } else {
                    MoveWhy::NothingBetter {
                        cited,
                        mate: length,
                    }
                };
                failed(grounds, Fault::of(why))
            }
            None if all => Outcome::Holds(grounds),
            None => Outcome::Unsettled(Open::Spent),
        };
        Judged::new(outcome, spent)
    }

    /// Where no mate decides, the search may confirm: the best move of two budgets is
    /// named (`bm`), or every named move is far worse than the best (`am`). It never
    /// denies, for the best move of a hard position can lie beyond any budget.
    fn judge_moves(&mut self, moves: &[Move], best: bool) -> (Option<Grounds>, u64) {
        /// More seldom changes a judgement.
        const JUDGEMENT: u64 = 120_000;
        let nodes = JUDGEMENT.min(self.nodes / 2);
        let mut cost = 0;
        let mut look = |position: &Chess, nodes: u64| {
            let (lines, spent) = self.solver.best(position, 1, nodes);
            cost += spent;
            lines.into_iter().next()
        };
        let early = look(self.position, nodes / 4);
        let late = early.as_ref().and_then(|_| look(self.position, nodes));
        let confirmed = match (&early, &late) {
            (Some(early), Some(late)) => {
                let named = |line: &search::Variation| {
                    line.moves.first().is_some_and(|m| moves.contains(m))
                };
                if best {
                    named(early) && named(late)
                } else {
                    !named(early)
                        && !named(late)
                        && moves.iter().all(|&m| {
                            let after = played(self.position, m);
                            let reply = look(&after, nodes / moves.len() as u64);
                            is_bad(late, reply.as_ref(), &after)
                        })
                }
            }
            _ => false,
        };
        let grounds = late.filter(|_| confirmed).map(|late| Grounds {
            judged_by: self.solver.judge().map(ToOwned::to_owned),
            ..self.grounds(&late.moves)
        });
        (grounds, cost)
    }
}

/// Whether the move that leads to `after` is far worse than the best.
fn is_bad(best: &search::Variation, reply: Option<&search::Variation>, after: &Chess) -> bool {
    /// A move that costs so much more than the best is to be avoided, in centipawns.
    const BAD: i32 = 150;
    let own = match reply {
        Some(line) => line.value.reversed().centipawns(),
        None if after.is_checkmate() => return false,
        None => 0,
    };
    best.value.centipawns() - own >= BAD
}

/// That a claim fails for one reason.
fn failed(grounds: Grounds, fault: Fault) -> Outcome {
    let reasons = vec![fault];
    Outcome::Fails(Refuted { grounds, reasons })
}
