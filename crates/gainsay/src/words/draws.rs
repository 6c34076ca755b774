//! Draws that are none.

use super::phrases::{behind, line, men, stand};
use crate::{outcome::DrawWhy, rule::Rule, show::side as named};

/// The rule that is broken.
pub(super) const RULE: &Rule = &crate::claims::draws::FALSE_DRAW;

/// What is told.
pub(super) fn told(why: &DrawWhy) -> String {
    match why {
        DrawWhy::NoStalemate { legal } => {
            format!("This is no stalemate: {} is legal.", line(legal))
        }
        DrawWhy::StalemateIsMate { line: shown } => {
            format!("This is no stalemate: {} is mate.", line(shown))
        }
        DrawWhy::OtherSideStalemated { side } => {
            format!("It is {} that is stalemated.", named(side.0))
        }
        DrawWhy::StillThere { men: all } => format!("There still {} {}.", stand(all), men(all)),
        DrawWhy::FewQuietMoves { moves } => {
            let made = match moves {
                1 => "one move of each side".to_owned(),
                moves => format!("{moves} moves of each side"),
            };
            format!("Only {made} have been made since the last capture or pawn move.")
        }
        DrawWhy::Occurs { times } => {
            let time = if *times == 1 { "first" } else { "second" };
            format!(
                "This position occurs for the {time} time, and no other has occurred three times."
            )
        }
        DrawWhy::MoreThanPerpetual { side, line: shown } => format!(
            "There is more than that: {} mates{}.",
            named(side.0),
            behind(shown)
        ),
        DrawWhy::ChecksRunOut { line: shown } => format!(
            "This is no perpetual check: after {} the checks run out.",
            line(shown)
        ),
    }
}
