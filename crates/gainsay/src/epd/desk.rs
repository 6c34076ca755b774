//! Whether what an operation claims is true.

use gainsay_proof::{Proof, Verdict, search::Line};
use shakmaty::{Chess, Move, Position};

use crate::{Solver, played, show};

/// What is needed to judge one operation.
pub(super) struct Desk<'a> {
    pub(super) position: &'a Chess,
    pub(super) nodes: u64,
    pub(super) solver: &'a mut Solver,
}

/// A verdict with what shows it.
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    pub(super) exact: Option<bool>,
    pub(super) evidence: Vec<String>,
    pub(super) note: Option<String>,
    pub(super) proof: Option<Proof>,
    pub(super) nodes: u64,
    /// For a claim that fails: one sentence that says what is true instead.
    pub(super) message: String,
    /// For a false number of moves: the right one.
    pub(super) instead: Option<i64>,
}

impl Desk<'_> {
    /// The side to move mates in so many moves and not in fewer; where the number is
    /// negative, it is mated, and can last so long.
    pub(super) fn mate(&mut self, moves: i32) -> Judged {
        let wanted = moves.unsigned_abs();
        let side = show::side(self.position.turn());
        let (answer, verb, none) = if moves > 0 {
            let answer = self.solver.mate(self.position, Some(wanted), self.nodes);
            (answer, "mates", format!("{side} has no mate in {wanted}."))
        } else {
            let answer = self.solver.mated(self.position, Some(wanted), self.nodes);
            (
                answer,
                "is mated",
                format!("{side} is not mated in {wanted}."),
            )
        };
        let note = match answer.verdict {
            Verdict::Holds => answer.others.map(|others| show::others(others).to_owned()),
            Verdict::Fails => Some(show::searched(answer.nodes)),
            Verdict::Unsettled => None,
        };
        let mut judged = Judged {
            verdict: answer.verdict,
            exact: Some(answer.exact),
            evidence: line_of(show::line(self.position, &answer.line)),
            note,
            proof: answer.proof,
            nodes: answer.nodes,
            message: none,
            instead: None,
        };
        if let (Verdict::Holds, Some(least)) = (answer.verdict, answer.moves)
            && least < wanted
        {
            judged.verdict = Verdict::Fails;
            judged.message = format!("{side} {verb} sooner: in {least}, not in {wanted}.");
            judged.instead = answer
                .exact
                .then_some(i64::from(least) * i64::from(moves.signum()));
        }
        judged
    }

    /// The named moves are the best ones (`best`), or are not (`am`).
    ///
    /// A forced mate decides: a move that mates as quickly as any is best, and one that
    /// does not is not. Without one, the search may confirm but not deny.
    pub(super) fn best_moves(&mut self, moves: &[Move], best: bool) -> Judged {
        let nodes = self.nodes;
        let shortest = self.solver.mate(self.position, None, nodes / 2);
        let mut judged = Judged {
            verdict: Verdict::Unsettled,
            exact: None,
            evidence: Vec::new(),
            note: None,
            proof: None,
            nodes: shortest.nodes,
            message: String::new(),
            instead: None,
        };
        let Some(length) = shortest.moves else {
            self.judge_moves(moves, best, &mut judged);
            return judged;
        };
        judged.evidence = line_of(show::line(self.position, &shortest.line));
        let (verdicts, spent) =
            self.solver
                .mating_moves(self.position, moves, Some(length), nodes / 2);
        judged.nodes += spent;
        // A move that does not mate in `length` is not best, whether or not `length` is
        // the least; one that does is best for certain only if it is.
        let holds = |verdict: Verdict| match (best, verdict) {
            (true, Verdict::Holds) | (false, Verdict::Fails) => Verdict::Holds,
            (true, Verdict::Fails) => Verdict::Fails,
            (false, Verdict::Holds) if shortest.exact => Verdict::Fails,
            _ => Verdict::Unsettled,
        };
        if let Some(told) = verdicts
            .iter()
            .find(|told| holds(told.verdict) == Verdict::Fails)
        {
            judged.verdict = Verdict::Fails;
            judged.message = if best {
                format!(
                    "{} is not the best move: there is a mate in {length}.",
                    show::san(self.position, told.first)
                )
            } else {
                format!(
                    "{} mates in {length}: there is nothing better.",
                    show::san(self.position, told.first)
                )
            };
        } else if verdicts
            .iter()
            .all(|told| holds(told.verdict) == Verdict::Holds)
        {
            judged.verdict = Verdict::Holds;
        }
        judged
    }

    /// Where no mate decides, the search may confirm: the best move of two budgets is
    /// named (`bm`), or every named move is far worse than the best (`am`). It never
    /// denies, for the best move of a hard position can lie beyond any budget.
    fn judge_moves(&mut self, moves: &[Move], best: bool, judged: &mut Judged) {
        /// More seldom changes a judgement.
        const JUDGEMENT: u64 = 120_000;
        /// A move that costs so much more than the best is to be avoided, in centipawns.
        const BAD: i32 = 150;
        let nodes = JUDGEMENT.min(self.nodes / 2);
        let mut look = |position: &Chess, nodes: u64| {
            let (lines, spent) = self.solver.best(position, 1, nodes);
            judged.nodes += spent;
            lines.into_iter().next()
        };
        let Some(early) = look(self.position, nodes / 4) else {
            return;
        };
        let Some(late) = look(self.position, nodes) else {
            return;
        };
        let named = |line: &Line| line.moves.first().is_some_and(|m| moves.contains(m));
        let confirmed = if best {
            named(&early) && named(&late)
        } else {
            !named(&early)
                && !named(&late)
                && moves.iter().all(|&m| {
                    let after = played(self.position, m);
                    let own = match look(&after, nodes / moves.len() as u64) {
                        Some(line) => line.value.reversed().centipawns(),
                        None if after.is_checkmate() => return false,
                        None => 0,
                    };
                    late.value.centipawns() - own >= BAD
                })
        };
        if confirmed {
            judged.verdict = Verdict::Holds;
            judged.evidence = line_of(show::line(self.position, &late.moves));
            let judge = self.solver.judge();
            judged
                .evidence
                .extend(judge.map(|name| format!("judged by {name}")));
        }
    }
}

fn line_of(line: String) -> Vec<String> {
    if line.is_empty() {
        Vec::new()
    } else {
        vec![line]
    }
}
