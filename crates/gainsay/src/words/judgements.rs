//! Only moves, refutations, verdicts and glyphs.

use super::phrases::{Said, behind, cited, line, men, number, squares};
use crate::{
    outcome::{Line, MoveWhy},
    rule::Rule,
    show::{self, side as named},
};

/// The rule that is broken.
pub(super) const fn rule(why: &MoveWhy) -> &'static Rule {
    match why {
        MoveWhy::NotOnlyLegal { .. }
        | MoveWhy::LegalMoves { .. }
        | MoveWhy::MatesToo { .. }
        | MoveWhy::GoesElsewhere { .. }
        | MoveWhy::KingCannotGo { .. } => &crate::claims::only_move::NOT_THE_ONLY_MOVE,
        MoveWhy::KingGoes { .. } => &crate::claims::flight::FALSE_FLIGHT,
        MoveWhy::AsGood { .. } | MoveWhy::StopsMateToo { .. } | MoveWhy::WinsToo { .. } => {
            &crate::claims::only_sensible::OTHER_MOVES_HOLD
        }
        MoveWhy::RefutesNothing { .. } => &crate::claims::refutations::LINE_DOES_NOT_REFUTE,
        MoveWhy::AboutLevel { .. }
        | MoveWhy::CannotWin { .. }
        | MoveWhy::MuchBetter { .. }
        | MoveWhy::EndingIs { .. } => &crate::claims::standings::FALSE_VERDICT,
        MoveWhy::AllowsMate { .. }
        | MoveWhy::BlamedMates { .. }
        | MoveWhy::BlamedIsOnlyMove { .. }
        | MoveWhy::BlamedForcesMate { .. } => &crate::claims::contradicted::FALSE_GLYPH,
        MoveWhy::Weaker { .. } => &crate::claims::compared::WEAKER_MOVE,
        MoveWhy::NotBest { .. } | MoveWhy::NothingBetter { .. } => {
            &crate::epd::desk::NOT_THE_BEST_MOVE
        }
    }
}

/// What is told.
pub(super) fn told(why: &MoveWhy) -> Said {
    let sentence = match why {
        MoveWhy::AboutLevel { line } => {
            return Said::Clause(format!("the position is about level{}", behind(line)));
        }
        MoveWhy::NotOnlyLegal { side, count, moves } => format!(
            "{} has {count} legal moves, {} among them.",
            named(side.0),
            sans(moves)
        ),
        MoveWhy::LegalMoves { side, count, moves } => {
            let among = match count {
                0 => String::new(),
                1..=3 => format!(": {}", sans(moves)),
                _ => format!(", {} among them", sans(moves)),
            };
            let plural = if *count == 1 { "" } else { "s" };
            format!(
                "{} has {} legal move{plural}{among}.",
                named(side.0),
                number(*count)
            )
        }
        MoveWhy::AsGood {
            cited: written,
            other,
        } => format!(
            "{} is not the only move: {} is as good.",
            cited(written),
            cited(other)
        ),
        MoveWhy::StopsMateToo {
            cited: written,
            other,
        } => format!(
            "{} is not the only move: {} stops the mate as well.",
            cited(written),
            cited(other)
        ),
        MoveWhy::WinsToo {
            cited: written,
            other,
        } => format!(
            "{} is not alone: {} wins as well.",
            cited(written),
            cited(other)
        ),
        MoveWhy::MatesToo {
            cited: written,
            other,
        } => {
            // The line is long enough for the evidence.
            let moves = other.moves().len();
            let told = if moves == 1 {
                format!("{} mates as well", cited(other))
            } else {
                let moves = u32::try_from(moves.div_ceil(2)).unwrap_or(u32::MAX);
                format!("{} mates in {} as well", cited(other), number(moves))
            };
            format!("{} is not alone: {told}.", cited(written))
        }
        MoveWhy::GoesElsewhere { squares: free } => {
            format!("It can go to {} as well.", squares(free))
        }
        MoveWhy::KingGoes {
            king,
            squares: free,
        } if free.is_empty() => format!("The king on {} has no square to go to.", king.0),
        MoveWhy::KingGoes {
            king,
            squares: free,
        } => format!("The king on {} can go to {}.", king.0, squares(free)),
        MoveWhy::KingCannotGo {
            king,
            to,
            squares: free,
        } => {
            let told = format!("The king on {} cannot go to {}", king.0, to.0);
            if free.is_empty() {
                format!("{told}; it has no square.")
            } else {
                format!("{told}, only to {}.", squares(free))
            }
        }
        MoveWhy::RefutesNothing { line: shown, side } => format!(
            "This refutes nothing: after {} {} is winning.",
            line(shown),
            named(side.0)
        ),
        MoveWhy::CannotWin { side, only } => {
            format!("{} cannot win: it has only {}.", named(side.0), men(only))
        }
        MoveWhy::MuchBetter { side, line: shown } => {
            format!("{} is much better here{}.", named(side.0), behind(shown))
        }
        MoveWhy::EndingIs {
            winner,
            line: shown,
        } => {
            let told = match winner {
                None => "This ending is drawn with best play".to_owned(),
                Some(side) => format!("{} wins this ending", named(side.0)),
            };
            format!("{told}{}.", behind(shown))
        }
        MoveWhy::AllowsMate {
            cited: written,
            line: shown,
            safe,
        } => format!(
            "{} allows mate: {}; {} does not.",
            cited(written),
            line(shown),
            cited(safe)
        ),
        MoveWhy::BlamedMates { cited: written } => format!("{} is mate.", cited(written)),
        MoveWhy::BlamedIsOnlyMove { cited: written } => {
            format!("{} is the only legal move.", cited(written))
        }
        MoveWhy::BlamedForcesMate {
            cited: written,
            line: shown,
        } => format!("{} forces mate: {}.", cited(written), line(shown)),
        MoveWhy::Weaker {
            cited: written,
            other,
            line: shown,
        } => format!(
            "{} is clearly weaker than {}{}.",
            cited(written),
            cited(other),
            behind(shown)
        ),
        MoveWhy::NotBest {
            cited: written,
            mate,
        } => format!(
            "{} is not the best move: there is a mate in {mate}.",
            san(written)
        ),
        MoveWhy::NothingBetter {
            cited: written,
            mate,
        } => format!("{} mates in {mate}: there is nothing better.", san(written)),
    };
    Said::Sentence(sentence)
}

/// The first move of a line without its number.
fn san(line: &Line) -> String {
    let first = line.moves().first();
    first.map_or_else(String::new, |&m| show::san(line.start(), m))
}

/// Moves without their numbers: "Kh1, Kh2 and g3".
fn sans(moves: &[Line]) -> String {
    let names: Vec<String> = moves.iter().map(san).collect();
    show::list(&names, "and")
}
