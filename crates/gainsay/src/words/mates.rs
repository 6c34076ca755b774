//! Mates that are not there, or not so.

use super::{
    mate_names,
    phrases::{behind, cited, line, men, number},
};
use crate::{
    outcome::{Kind, Lack, MateWhy, Mated},
    rule::Rule,
    show::{piece, side as named},
};

/// The rule that is broken.
pub(super) const fn rule(why: &MateWhy) -> &'static Rule {
    match why {
        MateWhy::MateSooner { .. } => &crate::claims::mate_in::SHORTER_MATE,
        MateWhy::MisnamedMate { .. } => &crate::claims::patterns::MISNAMED_MATE,
        MateWhy::NoMateThreat { .. } => &crate::claims::threats::FALSE_THREAT,
        _ => &crate::claims::mate_in::FALSE_MATE,
    }
}

/// What is told.
pub(super) fn told(why: &MateWhy) -> String {
    match why {
        MateWhy::MateAbsent {
            side,
            moves,
            other_moves,
            defence,
            longer,
        } => {
            let claimed = number(*moves);
            let told = if *other_moves {
                format!("{} is not mated in {claimed}", named(!side.0))
            } else {
                format!("{} does not mate in {claimed}", named(side.0))
            };
            match longer {
                Some(longer) => {
                    let most = if longer.exact { "" } else { " at most" };
                    format!("{told}; it is mate in {}{most}.", number(longer.moves))
                }
                None if defence.is_empty() => format!("{told}."),
                None => format!("{told}: {} holds out.", line(defence)),
            }
        }
        MateWhy::MateSooner {
            side,
            moves,
            line: shown,
        } => format!(
            "{} mates in {} already{}.",
            named(side.0),
            number(*moves),
            behind(shown)
        ),
        MateWhy::MateThere { side, line: shown } => match side {
            Some(side) => format!("{} does mate{}.", named(side.0), behind(shown)),
            None => format!("There is a mate{}.", behind(shown)),
        },
        MateWhy::OtherSideMated { side } => format!("It is {} who is mated.", named(side.0)),
        MateWhy::IsMated { side } => format!("{} is mated.", named(side.0)),
        MateWhy::NotMated(Mated { side, check, reply }) => {
            let side = named(side.0);
            if *check {
                format!(
                    "{side} is in check but not mated: {} is legal.",
                    line(reply)
                )
            } else {
                format!("{side} is not in check, so this is no mate.")
            }
        }
        MateWhy::FalseMateSign {
            cited: written,
            mated: Mated { side, check, reply },
        } => {
            let side = named(side.0);
            let why = if *check {
                format!("{side} is in check but not mated: {} is legal", line(reply))
            } else {
                format!("{side} is not even in check")
            };
            format!("{} is not mate: {why}.", cited(written))
        }
        MateWhy::NoForcedMate {
            side,
            only,
            defence,
        } => {
            let why = match defence {
                Some(defence) => format!("{} holds out", line(defence)),
                None => format!("it has only {}", men(only)),
            };
            format!("{} cannot force mate: {why}.", named(side.0))
        }
        MateWhy::MisnamedMate {
            name,
            lacks,
            shows,
            line: to_come,
        } => {
            let instead = shows.as_ref().map_or_else(String::new, |shown| {
                format!(" It shows {}.", mate_names::called(shown.0))
            });
            let told = match to_come {
                Some(shown) => format!("No {name} mate follows{}", behind(shown)),
                None => format!("This is no {name} mate"),
            };
            format!("{told}: {}.{instead}", lacking(lacks))
        }
        MateWhy::NoMateThreat {
            side,
            moves,
            within,
            defence,
        } => {
            let side = named(side.0);
            let within = match moves {
                Some(moves) => format!("in {}", number(*moves)),
                None => format!("within {within} moves"),
            };
            let reason = if defence.is_empty() {
                "there is none".to_owned()
            } else {
                format!("{} holds out", line(defence))
            };
            format!(
                "{side} does not threaten mate {within}: even if it were {side}'s move, {reason}."
            )
        }
        MateWhy::NoMateIn {
            side,
            moves,
            is_mated,
        } => {
            let side = named(side.0);
            if *is_mated {
                format!("{side} is not mated in {moves}.")
            } else {
                format!("{side} has no mate in {moves}.")
            }
        }
        MateWhy::MateInFewer {
            side,
            least,
            moves,
            is_mated,
        } => {
            let verb = if *is_mated { "is mated" } else { "mates" };
            let side = named(side.0);
            format!("{side} {verb} sooner: in {least}, not in {moves}.")
        }
    }
}

/// What a mate lacks, as a clause.
fn lacking(lack: &Lack) -> String {
    use shakmaty::Role;
    match lack {
        Lack::Piece(side, kind) => format!("{} has no {}", named(side.0), piece(kind.0)),
        Lack::CheckBy(kinds) => match kinds.as_slice() {
            [Kind(Role::Queen)] => "the queen does not give the check".to_owned(),
            [Kind(Role::Knight), Kind(Role::Bishop)] => "no minor piece gives the check".to_owned(),
            [kind] => format!("no {} gives the check", piece(kind.0)),
            kinds => {
                let names: Vec<&str> = kinds.iter().map(|kind| piece(kind.0)).collect();
                format!("neither {} gives the check", names.join(" nor "))
            }
        },
        Lack::Edge => "the king does not stand on the edge of the board".to_owned(),
        Lack::Two(kind) => format!("it takes two {}s", piece(kind.0)),
        Lack::QueenOn(at) => format!("no queen mates on {}", at.0),
        Lack::Diagonal => "the check does not come along a diagonal".to_owned(),
        Lack::CheckElsewhere(at) => format!("the check comes from {}", at.0),
        Lack::SecondCheck => "only one piece gives check".to_owned(),
        Lack::HeavyPiece => "there is neither rook nor queen".to_owned(),
    }
}
