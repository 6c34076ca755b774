//! Verdicts that are denied: "not worse", "no longer lost".

use super::{
    answer::{Answer, Court},
    margins::{JUDGEMENT, WON},
};
use gainsay_commentary::Standing;
use gainsay_proof::{Verdict, search::Settings as Margin};
use shakmaty::{Chess, Color, Position};

use crate::{outcome::Line, question::Question};

/// "White is not worse", "no longer lost": it holds if the search sees nothing of the
/// kind, for both sides where none is named. It never fails.
pub(super) fn settle_denied(
    question: &Question,
    positions: &[&Chess],
    standing: Standing,
    court: &mut Court<'_>,
) -> Answer {
    let sides = question.sides();
    for position in positions {
        if position.legal_moves().is_empty() {
            continue;
        }
        let Some((value, moves, true)) = court.value(position, JUDGEMENT) else {
            continue;
        };
        let far = |side: &Color| {
            let own = *side == position.turn();
            let value = value.centipawns();
            is_far_from(standing, if own { value } else { -value })
        };
        if sides.iter().all(far) {
            return Answer::new(Verdict::Holds)
                .on(position)
                .shown_by(Line::new(position, &moves));
        }
    }
    Answer::unsettled()
}

/// Whether a side whose position is worth `value` centipawns to it is clearly not what is said.
fn is_far_from(standing: Standing, value: i32) -> bool {
    let margin = Margin::default().margin;
    match standing {
        Standing::Winning => value <= WON / 2,
        Standing::MuchBetter => value <= margin,
        Standing::Better => value <= margin / 2,
        Standing::Worse => value >= -margin / 2,
        Standing::MuchWorse => value >= -margin,
        Standing::Lost => value >= -WON / 2,
        // "I cannot remember getting a draw" denies none.
        Standing::Equal | Standing::Drawn | Standing::Unclear => false,
    }
}
