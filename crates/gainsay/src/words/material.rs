//! Material that is not won, not given, or not there.

use super::phrases::{Said, behind, cited, men, number, stand};
use crate::{
    outcome::{MaterialWhy, Wing},
    rule::Rule,
    show::{self, piece, side as named},
};

/// The rule that is broken.
pub(super) const fn rule(why: &MaterialWhy) -> &'static Rule {
    match why {
        MaterialWhy::HasCount { .. } | MaterialWhy::PawnCounts { .. } => {
            &crate::claims::counts::FALSE_COUNT
        }
        _ => &crate::claims::material::FALSE_MATERIAL,
    }
}

/// What is told.
pub(super) fn told(why: &MaterialWhy) -> Said {
    match why {
        MaterialWhy::Balance {
            side,
            more,
            at_the_end,
        } => {
            let balance = balance(named(side.0), *more);
            Said::Clause(if *at_the_end {
                format!("{balance} at the end of this line")
            } else {
                format!("here {balance}")
            })
        }
        MaterialWhy::HasCount { side, kind, count } => {
            let plural = if *count == 1 { "" } else { "s" };
            let count = match count {
                0 => "no".to_owned(),
                count => number(*count),
            };
            Said::Clause(format!(
                "here {} has {count} {}{plural}",
                named(side.0),
                piece(kind.0)
            ))
        }
        MaterialWhy::PawnCounts {
            pawns: [white, black],
            wing,
        } => {
            let files = match wing {
                Some(Wing::Queenside) => " on the files a to d",
                Some(Wing::Kingside) => " on the files e to h",
                Some(Wing::Centre) | None => "",
            };
            let plural = if *white == 1 { "" } else { "s" };
            let count = |count: u32| match count {
                0 => "no".to_owned(),
                count => number(count),
            };
            Said::Clause(format!(
                "here White has {} pawn{plural}{files} and Black {}",
                count(*white),
                match black {
                    0 => "none".to_owned(),
                    black => number(*black),
                }
            ))
        }
        MaterialWhy::TakenBack {
            cited: written,
            reply,
            side,
        } => Said::Sentence(format!(
            "{} is answered by {}, and {} has lost material.",
            cited(written),
            cited(reply),
            named(side.0)
        )),
        MaterialWhy::NothingToWinWith { side } => Said::Sentence(format!(
            "{} has no minor piece to win it with.",
            named(side.0)
        )),
        MaterialWhy::HasNone { side, kind } => {
            Said::Sentence(format!("{} has no {} here.", named(side.0), piece(kind.0)))
        }
        MaterialWhy::HasLostNone {
            side,
            kind,
            men: all,
        } => Said::Sentence(format!(
            "{} has lost no {}: here {} {}.",
            named(side.0),
            piece(kind.0),
            stand(all),
            men(all)
        )),
        MaterialWhy::WonNothing { side, line } => Said::Clause(format!(
            "with best play {} has won nothing{}",
            named(side.0),
            behind(line)
        )),
        MaterialWhy::NoRookToGive { side } => {
            Said::Sentence(format!("{} has no rook here to give.", named(side.0)))
        }
        MaterialWhy::NoRookTaken { side } => {
            Said::Clause(format!("no rook of {} can be taken", named(side.0)))
        }
    }
}

/// The balance of material: how many queens, rooks, minor pieces and pawns a side has more.
fn balance(side: &str, more: [i32; 4]) -> String {
    let words: Vec<String> = (more.into_iter())
        .zip(["queen", "rook", "minor piece", "pawn"])
        .filter(|(count, _)| *count != 0)
        .map(|(count, name)| {
            let plural = if count.abs() == 1 { "" } else { "s" };
            let sign = if count > 0 { "more" } else { "fewer" };
            format!("{} {name}{plural} {sign}", count.abs())
        })
        .collect();
    if words.is_empty() {
        "both sides have the same pieces".to_owned()
    } else {
        format!("{side} has {}", show::list(&words, "and"))
    }
}
