//! Judgements: values that are told only when they are sure enough.

use shakmaty::{Chess, Move};

use super::searcher::{Searcher, Stage, Variation};
use super::value::Value;
use crate::{budget::Budget, verdict::Verdict};

/// How sure a judgement must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// A value must be so many centipawns beyond the bound of a claim to confirm it or
    /// to refute it.
    pub margin: i32,
}

impl Default for Settings {
    /// Half a pawn: less is something that authors argue about.
    fn default() -> Self {
        Self { margin: 50 }
    }
}

/// A verdict of the search, with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judgement {
    /// Unsettled unless a quarter of the budget and all of it agree beyond the margin.
    pub verdict: Verdict,
    /// The value found with a quarter of the budget, if so much was searched at all.
    pub early: Option<Value>,
    /// The value found with all of it.
    pub late: Option<Value>,
    /// The best line found.
    pub line: Option<Variation>,
    /// A better or equal line of another move, for claims about one move.
    pub other: Option<Variation>,
    /// Nodes spent.
    pub nodes: u64,
}

impl Searcher {
    /// Is the position worth at least `bound` for the side to move?
    ///
    /// *Holds* when the value after a quarter of the budget and after all of it are both
    /// at least `bound` plus the margin, *fails* when both are at most `bound` less the
    /// margin, else *unsettled*. "White is winning" is a bound of some 250; "at least
    /// equal" one of about -50 with a margin of its own (the bounds are the caller's).
    pub fn worth_at_least(
        &mut self,
        position: &Chess,
        bound: Value,
        settings: Settings,
        budget: &mut Budget<'_>,
    ) -> Judgement {
        let total = budget.left();
        let before = budget.spent();
        let stages = self.stages(position, &[], 1, total, budget);
        let (early, late) = ends(&stages, total);
        let beyond =
            |line: Option<&Variation>| line.map(|line| compare(line.value, bound, settings));
        Judgement {
            verdict: agree(beyond(early), beyond(late), budget),
            early: early.map(|line| line.value),
            late: late.map(|line| line.value),
            line: late.cloned(),
            other: None,
            nodes: budget.spent() - before,
        }
    }

    /// Is `m` as good as the best move? *Holds* when at both budgets no other move is
    /// better by more than half of the margin, *fails* when at both another is better by
    /// more than twice the margin; in between, unsettled. Beyond fifteen pawns all wins
    /// are alike. Half of the budget goes to `m`, half to the others.
    ///
    /// `line` is the best line that begins with `m`, `other` the best of the rest; both
    /// values are for the side that moves. An illegal `m` is unsettled.
    pub fn is_best(
        &mut self,
        position: &Chess,
        m: Move,
        settings: Settings,
        budget: &mut Budget<'_>,
    ) -> Judgement {
        let before = budget.spent();
        let moves = shakmaty::Position::legal_moves(position);
        if !moves.contains(&m) {
            return Judgement {
                verdict: Verdict::Unsettled,
                early: None,
                late: None,
                line: None,
                other: None,
                nodes: 0,
            };
        }
        let rest: Vec<Move> = moves.iter().copied().filter(|other| *other != m).collect();
        let half = budget.left() / 2;
        let own = self.stages(position, &rest, 1, half, budget);
        let others = self.stages(position, &[m], 1, half, budget);
        let (own_early, own_late) = ends(&own, half);
        let (other_early, other_late) = ends(&others, half);
        let better = |own: Option<&Variation>, other: Option<&Variation>| match (own, other) {
            (Some(own), Some(other)) => Some(at_least(own.value, other.value, settings)),
            (Some(_), None) if rest.is_empty() => Some(Verdict::Holds),
            _ => None,
        };
        Judgement {
            verdict: agree(
                better(own_early, other_early),
                better(own_late, other_late),
                budget,
            ),
            early: own_early.map(|line| line.value),
            late: own_late.map(|line| line.value),
            line: own_late.cloned(),
            other: other_late.cloned(),
            nodes: budget.spent() - before,
        }
    }
}

/// The best line that a quarter of the nodes found, and the one found at the end.
///
/// A search that ends before a quarter is spent has seen all there is, so its last line
/// stands for both.
fn ends(stages: &[Stage], total: u64) -> (Option<&Variation>, Option<&Variation>) {
    let best = |stage: &'_ Stage| stage.nodes <= total / 4 && !stage.lines.is_empty();
    let early = stages.iter().rev().find(|stage| best(stage));
    (
        early.and_then(|stage| stage.lines.first()),
        stages.last().and_then(|stage| stage.lines.first()),
    )
}

fn compare(value: Value, bound: Value, settings: Settings) -> Verdict {
    let distance = value.centipawns() - bound.centipawns();
    if distance >= settings.margin {
        Verdict::Holds
    } else if distance <= -settings.margin {
        Verdict::Fails
    } else {
        Verdict::Unsettled
    }
}

/// A side so far ahead wins anyhow; in centipawns.
const WON: i32 = 1_500;

/// Whether one move is no worse than another.
fn at_least(own: Value, other: Value, settings: Settings) -> Verdict {
    let capped = |value: Value| value.centipawns().clamp(-WON, WON);
    let behind = capped(other) - capped(own);
    if behind > 2 * settings.margin {
        Verdict::Fails
    } else if behind <= settings.margin / 2 {
        Verdict::Holds
    } else {
        Verdict::Unsettled
    }
}

fn agree(early: Option<Verdict>, late: Option<Verdict>, budget: &Budget<'_>) -> Verdict {
    match (early, late) {
        (Some(early), Some(late)) if early == late && !budget.is_stopped() => late,
        _ => Verdict::Unsettled,
    }
}
