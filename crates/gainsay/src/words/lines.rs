//! Cited moves and lines.

use gainsay_notation::parse_move;
use shakmaty::Chess;

use super::phrases::{cited, line};
use crate::{outcome::LineWhy, rule::Rule, rules, show, why::why_not};

/// The rule that is broken.
pub(super) const fn rule(why: &LineWhy) -> &'static Rule {
    match why {
        LineWhy::FalseCheckSign { .. } => rules::CHECK_SIGN,
        LineWhy::MissingSign { .. } => &crate::claims::cited::UNSIGNED_CITATION,
        LineWhy::AmbiguousMove { .. } => &crate::claims::cited::AMBIGUOUS_CITATION,
        LineWhy::Misnumbered { .. } => &crate::claims::cited::MISNUMBERED_LINE,
        LineWhy::Unplayable { .. } => &crate::claims::cited::UNPLAYABLE_LINE,
    }
}

/// What is told.
pub(super) fn told(why: &LineWhy, position: &Chess) -> String {
    match why {
        LineWhy::FalseCheckSign { cited: written } => format!("{} is not check.", cited(written)),
        LineWhy::MissingSign { words, mates } => {
            let what = if *mates { "mate" } else { "check" };
            format!("{words} gives {what}, which its sign does not say.")
        }
        LineWhy::AmbiguousMove { moves } => format!("This can be {}.", show::list(moves, "or")),
        LineWhy::Misnumbered { fits } => format!(
            "This line can be played only with another number: {} stands where it fits.",
            cited(fits)
        ),
        LineWhy::Unplayable {
            words,
            letters,
            behind,
        } => {
            let number = show::number(position);
            let mut told = format!("{number}{words} cannot be played");
            if !behind.is_empty() {
                told.push_str(&format!(" after {}", line(behind)));
            }
            match parse_move(words.as_bytes(), letters.0) {
                Some(written) => format!("{told}: {}.", why_not(position, &written)),
                None => format!("{told}."),
            }
        }
    }
}
