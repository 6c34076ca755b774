//! Structure and castling.

use super::phrases::{Said, line, men, named, squares, stand};
use crate::{
    outcome::{PawnKind, Structure, StructureWhy, Wing},
    rule::Rule,
    show::{self, side as side_of},
};

/// The rule that is broken.
pub(super) const RULE: &Rule = &crate::claims::structure::FALSE_STRUCTURE;

/// What is told.
pub(super) fn told(why: &StructureWhy) -> Said {
    Said::Sentence(match why {
        StructureWhy::NotSoHere { here } => return Said::Clause(all_of(here)),
        StructureWhy::CastledOn { side, number, by } => format!(
            "{} castled on move {number}, by {}.",
            side_of(side.0),
            line(by)
        ),
        StructureWhy::CannotCastle { side, by } => {
            let why = match by {
                Some(by) => format!("it has castled, by {}", line(by)),
                None => "the king, or the rooks, have moved".to_owned(),
            };
            format!("{} cannot castle any more: {why}.", side_of(side.0))
        }
        StructureWhy::CannotCastleThere { side } => {
            format!("{} can castle on the other wing only.", side_of(side.0))
        }
        StructureWhy::CastledBoth { side, by, other } => format!(
            "{} castled by {}, and the other side by {}.",
            side_of(side.0),
            line(by),
            line(other)
        ),
        StructureWhy::CanCastle { side, by } => format!(
            "{} can still castle: {} is legal.",
            side_of(side.0),
            line(by)
        ),
        StructureWhy::KeepsRight { side, king } => format!(
            "{} has not lost the right to castle: the king on {} has not moved.",
            side_of(side.0),
            king.0
        ),
        StructureWhy::HasNotCastled { side, king } => format!(
            "{} has not castled: the king stands on {}.",
            side_of(side.0),
            king.0
        ),
        StructureWhy::CastledOtherWing { side, by } => format!(
            "{} has castled on the other wing, by {}.",
            side_of(side.0),
            line(by)
        ),
        StructureWhy::HasCastled { side, by } => {
            format!("{} has castled, by {}.", side_of(side.0), line(by))
        }
    })
}

/// What is there instead, as a clause.
fn all_of(here: &[Structure]) -> String {
    // What is said of each side belongs together, kind by kind.
    let mut kinds: Vec<(Option<PawnKind>, Vec<String>)> = Vec::new();
    for one in here {
        let kind = match one {
            Structure::Pawns { kind, .. } => Some(*kind),
            _ => None,
        };
        match kinds.last_mut().filter(|(known, _)| *known == kind) {
            Some((_, words)) => words.push(is_here(one)),
            None => kinds.push((kind, vec![is_here(one)])),
        }
    }
    let clauses: Vec<String> = (kinds.iter())
        .map(|(_, words)| show::list(words, "and"))
        .collect();
    clauses.join("; ")
}

fn is_here(here: &Structure) -> String {
    match here {
        Structure::PawnsOnFile { file, pawns } => {
            if pawns.is_empty() {
                format!("no pawn stands on the {}-file", file.0.char())
            } else {
                format!("there {} {}", stand(pawns), men(pawns))
            }
        }
        Structure::OpenFiles { files } => {
            let open: Vec<String> = (files.iter())
                .map(|file| format!("{}-file", file.0.char()))
                .collect();
            match open.len() {
                0 => "there is a pawn on every file".to_owned(),
                1 => format!("only the {} is open", show::list(&open, "and")),
                _ => format!("the {} are open", show::list(&open, "and")),
            }
        }
        Structure::PawnFaces { pawn, against } => match against.first() {
            None => format!("{} has no other passed pawn beside it", named(pawn)),
            Some(first) => {
                let at: Vec<_> = against.iter().map(|man| man.at.clone()).collect();
                format!(
                    "{} faces {}'s {}",
                    named(pawn),
                    side_of(first.side.0),
                    squares(&at)
                )
            }
        },
        Structure::Pawns { kind, side, at } => {
            let name = match kind {
                PawnKind::Passed => "passed pawn",
                PawnKind::Isolated => "isolated pawn",
                PawnKind::Doubled => "doubled pawn",
                PawnKind::Backward => "backward pawn",
                PawnKind::Protected => "protected pawn",
                PawnKind::Rook => "rook",
            };
            let side = side_of(side.0);
            if at.is_empty() {
                format!("{side} has no {name}")
            } else {
                let plural = if at.len() > 1 { "s" } else { "" };
                format!("{side}'s {name}{plural} {} on {}", stand(at), squares(at))
            }
        }
        Structure::PawnDefended { pawn, by } => {
            format!("{} is defended by {}", named(pawn), men(by))
        }
        Structure::Islands { side, count } => {
            let plural = if *count == 1 { "" } else { "s" };
            format!("{} has {count} pawn island{plural}", side_of(side.0))
        }
        Structure::OnWing { wing, pawns } => {
            let files = match wing {
                Wing::Queenside => "files a to d",
                Wing::Kingside => "files e to h",
                Wing::Centre => "files c to f",
            };
            let [white, black] = pawns;
            format!("on the {files} White has {white} and Black {black} of the pawns")
        }
        Structure::Stand { men: all } => format!("there {} {}", stand(all), men(all)),
        Structure::NoBishops => "there are no bishops".to_owned(),
        Structure::OnlyPawns => "there are only pawns left".to_owned(),
        Structure::NoEnPassant => "no pawn can be taken so".to_owned(),
        Structure::PawnsChase { at, pawns } => {
            format!("{} can attack a piece on {}", men(pawns), at.0)
        }
        Structure::OwnHalf { at, side } => {
            format!("{} lies in {}'s own half", at.0, side_of(side.0))
        }
        Structure::NoSuchSquare => "there is no such square".to_owned(),
        Structure::NotNear => "that is not so here, nor within eight plies".to_owned(),
    }
}
