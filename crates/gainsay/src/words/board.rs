//! Pieces, and what they do to each other.

use super::phrases::{Said, cited, line, men, named, number, squares};
use crate::{
    outcome::{At, CheckKind, Line, Man, NotPinned, PieceWhy, Side},
    rule::Rule,
    show::{colour, piece, side as side_of},
};

/// The rule that is broken.
pub(super) const fn rule(why: &PieceWhy) -> &'static Rule {
    match why {
        PieceWhy::NoSuchPiece { .. } | PieceWhy::StandsAt { .. } | PieceWhy::OfShade { .. } => {
            &crate::claims::pieces::FALSE_PIECE
        }
        PieceWhy::NotPinned(_) => &crate::claims::relations::FALSE_PIN,
        PieceWhy::HasSafeMoves { .. }
        | PieceWhy::GuardsOnly { .. }
        | PieceWhy::TakingLoses { .. } => &crate::claims::danger::FALSE_DANGER,
        PieceWhy::BornOn { .. } => &crate::claims::bearings::FALSE_ATTACK_COUNT,
        _ => &crate::claims::relations::FALSE_ATTACK,
    }
}

/// What is told.
pub(super) fn told(why: &PieceWhy) -> Said {
    let clause = match why {
        PieceWhy::NoSuchPiece {
            side,
            kind,
            at,
            file,
            there,
        } => {
            let owner = side
                .as_ref()
                .map_or_else(String::new, |side| format!("{} ", colour(side.0)));
            let name = kind.as_ref().map_or("piece", |kind| piece(kind.0));
            let place = match (at, file) {
                (Some(at), _) => at.0.to_string(),
                (None, Some(file)) => format!("the {}-file", file.0.char()),
                (None, None) => "the board".to_owned(),
            };
            let instead = match (at, there) {
                (Some(_), Some(man)) => format!(
                    "; here a {} {} stands there",
                    colour(man.side.0),
                    piece(man.kind.0)
                ),
                (Some(_), None) => "; here the square is empty".to_owned(),
                (None, _) => String::new(),
            };
            return Said::Sentence(format!(
                "No {owner}{name} stands on {place} at any point of this game{instead}."
            ));
        }
        PieceWhy::StandsAt { at, men: those } if those.is_empty() => {
            format!("no such piece is on {} here", at.0)
        }
        PieceWhy::StandsAt { at, men: those } => {
            format!("here there is {}, not on {}", men(those), at.0)
        }
        PieceWhy::NoSuchCheck {
            cited: written,
            check,
            side,
            by,
        } => {
            let what = match check {
                CheckKind::Plain => "check",
                CheckKind::Double => "double check",
                CheckKind::Discovered => "discovered check",
            };
            let instead = if by.is_empty() {
                format!("{} is not in check", side_of(side.0))
            } else {
                format!("the check is given by {} alone", men(by))
            };
            return Said::Sentence(format!("{} is no {what}: {instead}.", cited(written)));
        }
        PieceWhy::NoMoveDoes { side } => format!(
            "no move of {}'s does that, nor do two running",
            side_of(side.0)
        ),
        PieceWhy::NotPinned(why) => not_pinned(why),
        PieceWhy::AttacksOnly { man, hit, not } => {
            let from = named(man);
            let denied = not
                .as_ref()
                .map(|at| format!("{from} does not attack {}", at.0));
            match (denied, hit.is_empty()) {
                (Some(denied), true) => format!("{denied}, nor any piece"),
                (Some(denied), false) => format!("{denied}, only {}", men(hit)),
                (None, true) => format!("{from} attacks no piece"),
                (None, false) => format!("{from} attacks only {}", men(hit)),
            }
        }
        PieceWhy::NothingAttacks { all: true } => "no such piece attacks all of these".to_owned(),
        PieceWhy::NothingAttacks { all: false } => "no such piece attacks that".to_owned(),
        PieceWhy::AttackedBy { at, man, side, by } => {
            attacked_by(at, man.as_ref(), side.as_ref(), by)
        }
        PieceWhy::DefendedBy { at, man, by } => {
            let what = on(at, man.as_ref());
            if by.is_empty() {
                format!("{what} is not defended at all")
            } else {
                format!("{what} is defended by {} alone", men(by))
            }
        }
        PieceWhy::BornOn {
            at,
            man,
            attackers,
            defenders,
        } => {
            let counted = [
                ("attacked", attackers.as_ref()),
                ("defended", defenders.as_ref()),
            ];
            let told = counted.into_iter().filter_map(|(verb, by)| {
                let by = by?;
                Some(match by.len() {
                    0 => format!("not {verb} at all"),
                    count => format!("{verb} {}, by {}", times(count), men(by)),
                })
            });
            let told: Vec<String> = told.collect();
            let joint = if told.len() > 1 && !told.iter().any(|told| told.starts_with("not")) {
                ", and "
            } else {
                " and "
            };
            format!("{} is {}", on(at, man.as_ref()), told.join(joint))
        }
        PieceWhy::OfShade { at, man, light } => {
            let shade = if *light { "light" } else { "dark" };
            match man {
                Some(man) => format!("{} stands on a {shade} square", named(man)),
                None => format!("{} is a {shade} square", at.0),
            }
        }
        PieceWhy::NothingDefends => "no such piece defends that".to_owned(),
        PieceWhy::CheckedBy { side, by } => {
            if by.is_empty() {
                format!("{} is not in check", side_of(side.0))
            } else {
                format!("the check is given by {}", men(by))
            }
        }
        PieceWhy::HasSafeMoves { man, line: shown } => {
            format!("{} has safe moves, such as {}", named(man), line(shown))
        }
        PieceWhy::GuardsOnly {
            man,
            squares: guarded,
        } => {
            if guarded.is_empty() {
                format!("{} has nothing to guard", named(man))
            } else {
                format!("{} has only {} to guard", named(man), squares(guarded))
            }
        }
        PieceWhy::TakingLoses { man, line: shown } => {
            format!("taking {} loses material, {}", named(man), line(shown))
        }
    };
    Said::Clause(clause)
}

/// How often.
fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        _ => format!("{} times", number(u32::try_from(count).unwrap_or(u32::MAX))),
    }
}

/// A square, or what stands on it.
fn on(at: &At, man: Option<&Man>) -> String {
    man.map_or_else(|| at.0.to_string(), named)
}

fn attacked_by(at: &At, man: Option<&Man>, side: Option<&Side>, by: &[Man]) -> String {
    let what = on(at, man);
    match (by.is_empty(), man, side) {
        (false, ..) => format!("{what} is attacked by {} alone", men(by)),
        (true, None, Some(side)) => format!("no {} piece attacks {what}", colour(side.0)),
        (true, None, None) => format!("no such piece attacks {what}"),
        (true, Some(_), _) => format!("{what} is not attacked at all"),
    }
}

fn not_pinned(why: &NotPinned) -> String {
    let with = |told: String, free: &Option<Line>| match free {
        Some(free) => format!("{told}, and {} is free", line(free)),
        None => told,
    };
    match why {
        NotPinned::NoPiece => "there is no such piece here".to_owned(),
        NotPinned::Otherwise { man, behind, by } => format!(
            "{} is pinned to {} by {}",
            named(man),
            named(behind),
            named(by)
        ),
        NotPinned::King { free } => with("a king is never pinned".to_owned(), free),
        NotPinned::NotAttacked { man, free } => with(
            format!("no rook, bishop or queen attacks {}", named(man)),
            free,
        ),
        NotPinned::NothingBehind { man, by, free } => with(
            format!(
                "{} attacks {}, but nothing of worth stands behind it",
                named(by),
                named(man)
            ),
            free,
        ),
    }
}
