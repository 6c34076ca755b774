//! Pointers, other games and exercises.

use super::phrases::line;
use crate::{
    outcome::{OtherGame, PlaceWhy, WrongPointer},
    rule::Rule,
    show::side as named,
};

/// The rule that is broken.
pub(super) const fn rule(why: &PlaceWhy) -> &'static Rule {
    match why {
        PlaceWhy::InOtherGame {
            what: OtherGame::NoSuchMove { .. },
            ..
        }
        | PlaceWhy::NoSuchMove { .. }
        | PlaceWhy::PlayedThere { .. }
        | PlaceWhy::WrongGame(_) => &crate::claims::references::LOST_REFERENCE,
        PlaceWhy::InOtherGame { .. } => &crate::claims::told_games::FALSE_REFERENCE,
        PlaceWhy::OtherToMove { .. } => &crate::claims::stipulations::FALSE_STIPULATION,
    }
}

/// What is told.
pub(super) fn told(why: &PlaceWhy) -> String {
    match why {
        PlaceWhy::NoSuchMove { number, last } => {
            format!("There is no move {number}: no line of this game goes beyond move {last}.")
        }
        PlaceWhy::PlayedThere { side, by } => {
            format!("On that move {} played {}.", named(side.0), line(by))
        }
        PlaceWhy::WrongGame(wrong) => match wrong {
            WrongPointer::Players {
                players: [white, black],
                number,
                other,
            } => format!("{white}\u{2013}{black} is game {number}; {other} is another one."),
            WrongPointer::Way { number, below } => {
                let side = if *below { "below" } else { "above" };
                format!("Game {number} stands {side}.")
            }
            WrongPointer::Beyond { number, end, down } => {
                let side = if *down { "down" } else { "up" };
                format!("Game {number} does not stand there: the numbers go {side} to {end}.")
            }
            WrongPointer::Missing {
                number,
                below,
                above,
            } => format!("There is no game {number}: behind game {below} comes game {above}."),
        },
        PlaceWhy::InOtherGame { title, what } => format!("In {title} {}.", there(what)),
        PlaceWhy::OtherToMove { turn, side } => format!(
            "It is {}'s move here, not {}'s.",
            named(turn.0),
            named(side.0)
        ),
    }
}

/// What is true of another game.
fn there(what: &OtherGame) -> String {
    match what {
        OtherGame::NoSuchMove { last } => {
            format!("it has no such move: the last one is number {last}")
        }
        OtherGame::Played { side, by } => format!("{} played {}", named(side.0), line(by)),
        OtherGame::DidCastle { side, by } => {
            format!("{} castled, by {}", named(side.0), line(by))
        }
        OtherGame::CastledBy { side, by } => {
            format!("{} castled by {}", named(side.0), line(by))
        }
        OtherGame::DidNotCastle { side } => format!("{} did not castle", named(side.0)),
        OtherGame::NoSuchPosition => "this position did not occur".to_owned(),
        OtherGame::Winner { side, .. } => match side {
            Some(side) => format!("{} won", named(side.0)),
            None => "nobody won: it was drawn".to_owned(),
        },
        OtherGame::LastMove { number, last } => {
            format!("the last move was number {number}, {}", line(last))
        }
        OtherGame::MatedBy { side, last } => {
            format!("{} mated by {}", named(side.0), line(last))
        }
        OtherGame::NobodyMated { last } => {
            format!("nobody mated there: the last move was {}", line(last))
        }
    }
}
