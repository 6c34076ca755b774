//! What a move did instead.

use super::phrases::{Said, cited, named};
use crate::{
    outcome::{DeedWhy, Line},
    rule::Rule,
    show,
};

/// The rule that is broken.
pub(super) const fn rule(why: &DeedWhy) -> &'static Rule {
    match why {
        DeedWhy::Did { .. } | DeedWhy::Never { .. } => &crate::claims::deeds::FALSE_DEED,
        DeedWhy::Takes { .. } => &crate::claims::retakes::FALSE_RECAPTURE,
        DeedWhy::NoExchange { .. } | DeedWhy::Captures { .. } => {
            &crate::claims::exchanges::FALSE_EXCHANGE
        }
        DeedWhy::Earlier { .. } => &crate::claims::firsts::NOT_THE_FIRST,
        DeedWhy::Ended { .. } | DeedWhy::Lasted { .. } => &crate::claims::ends::FALSE_END,
    }
}

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
        DeedWhy::Takes { captures } if captures.is_empty() => "nothing can take there".to_owned(),
        DeedWhy::Takes { captures } => format!("what can take there is {}", listed(captures)),
        DeedWhy::NoExchange { by, own, other } => {
            let (own, other) = (show::piece(own.0), show::piece(other.0));
            let by = cited(by);
            if own == other {
                format!("no {own} can be taken near {by}")
            } else {
                format!("no {own} and no {other} can be taken near {by}")
            }
        }
        DeedWhy::Captures { captures } if captures.is_empty() => {
            "nothing was taken so far".to_owned()
        }
        DeedWhy::Captures { captures } => {
            format!("the captures so far are {}", listed(captures))
        }
        DeedWhy::Earlier { by } => format!("the first one was {}", cited(by)),
        DeedWhy::Ended { winner, last } => {
            let last = cited(last);
            match winner {
                Some(side) => format!("{} won, and the last move is {last}", show::side(side.0)),
                None => format!("the game was drawn, and the last move is {last}"),
            }
        }
        DeedWhy::Lasted { number, last } => {
            format!("the game ended on move {number}, with {}", cited(last))
        }
        DeedWhy::Never { captures } if captures.is_empty() => {
            "no such move was made: nothing was taken so far".to_owned()
        }
        DeedWhy::Never { captures } => {
            let moves = listed(captures);
            format!("no such move was made: the captures so far are {moves}")
        }
    })
}

fn listed(captures: &[Line]) -> String {
    let moves: Vec<String> = captures.iter().map(cited).collect();
    show::list(&moves, "and")
}
