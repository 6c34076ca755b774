//! Verdicts on endings that a table tells exactly.

use gainsay_commentary::Standing;
use gainsay_proof::{Verdict, endings::Outcome};
use shakmaty::{Chess, Color, Position};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
};
use crate::{rules, show};

/// What a line may cost where the tables give none.
const LINE: u64 = 30_000;

impl Pending {
    /// Judges an ending for `side`; `None` when no table tells, or what it tells does not
    /// decide: a side can well stand better in a drawn ending.
    pub(super) fn judge_ending(
        &self,
        position: &Chess,
        side: Color,
        standing: Standing,
        court: &mut Court<'_>,
    ) -> Option<Answer> {
        let (ending, line) = court.ending(position, LINE)?;
        let outcome = if position.turn() == side {
            ending.outcome
        } else {
            ending.outcome.reversed()
        };
        let verdict = decide(standing, outcome)?;
        let shown = evidence(position, &line);
        if verdict == Verdict::Holds {
            return Some(Answer::new(verdict).on(position).shown_by(shown));
        }
        let told = match outcome {
            Outcome::Draw => "This ending is drawn with best play".to_owned(),
            Outcome::Win => format!("{} wins this ending", show::side(side)),
            Outcome::Loss => format!("{} wins this ending", show::side(!side)),
        };
        let message = format!("{told}: {shown}.");
        Some(self.refuted(&rules::false_verdict::RULE, position, message, shown))
    }
}

/// Whether a side stands as is said, if the outcome for it decides that.
const fn decide(standing: Standing, outcome: Outcome) -> Option<Verdict> {
    use Outcome::{Draw, Loss, Win};
    use Standing::{Better, Drawn, Equal, Lost, MuchBetter, MuchWorse, Unclear, Winning, Worse};
    match (standing, outcome) {
        (Winning | MuchBetter | Better, Win)
        | (Equal | Drawn, Draw)
        | (Lost | MuchWorse | Worse, Loss) => Some(Verdict::Holds),
        (Winning, Draw | Loss)
        | (MuchBetter | Better, Loss)
        | (Equal | Drawn, Win | Loss)
        | (Lost, Draw | Win)
        | (MuchWorse | Worse, Win) => Some(Verdict::Fails),
        (MuchBetter | Better | MuchWorse | Worse, Draw) | (Unclear, _) => None,
    }
}
