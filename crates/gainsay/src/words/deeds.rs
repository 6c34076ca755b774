//! What a move did instead.

use super::phrases::{Said, cited, named};
use crate::{outcome::DeedWhy, rule::Rule, show};

/// The rule that is broken.
pub(super) const RULE: &Rule = &crate::claims::deeds::FALSE_DEED;

/// What is told.
pub(super) fn told(why: &DeedWhy) -> Said {
    Said::Clause(match why {
        DeedWhy::Did { by, man, took } => {
            let (by, man) = (cited(by), named(man));
            match took {
                Some(took) => format!("{by} takes {} with {man}", named(took)),
                None => format!("{by} moves {man} and takes nothing"),
            }
        }
        DeedWhy::Never { captures } if captures.is_empty() => {
            "no such move was made: nothing was taken so far".to_owned()
        }
        DeedWhy::Never { captures } => {
            let moves: Vec<String> = captures.iter().map(cited).collect();
            let moves = show::list(&moves, "and");
            format!("no such move was made: the captures so far are {moves}")
        }
    })
}
