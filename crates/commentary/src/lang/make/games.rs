//! Other games, and how they ended.

use gainsay_notation::Span;

use crate::kind::{ClaimKind, Reference};
use crate::other_game::{Ended, GameEnd, OtherGame, Which};
use crate::pattern::Slots;

/// A pointer; what stands around it is read behind.
fn pointer(which: Which) -> ClaimKind {
    ClaimKind::Reference(Reference::Game(OtherGame {
        which,
        number: Span::default(),
        players: None,
        way: None,
        contest: false,
    }))
}

/// "Game 3".
pub(in crate::lang) fn game_reference(slots: &Slots) -> Option<ClaimKind> {
    Some(pointer(Which::Number(slots.number?)))
}

/// "The previous game".
pub(in crate::lang) fn previous_game(_: &Slots) -> Option<ClaimKind> {
    Some(pointer(Which::Previous))
}

/// "The next game".
pub(in crate::lang) fn next_game(_: &Slots) -> Option<ClaimKind> {
    Some(pointer(Which::Next))
}

/// "The same position arose in game 3".
pub(in crate::lang) fn same_position(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Reference(Reference::SamePosition))
}

/// How the game ended, with the number of moves that is told.
macro_rules! outcomes {
    ($($name:ident => $ending:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(ClaimKind::GameEnd(GameEnd {
                how: Ended::$ending,
                moves: slots.number,
            }))
        })*
    };
}

outcomes! {
    game_won => Won;
    game_lost => Lost;
    game_drawn => Drawn;
    game_mated => Mated;
    game_lasted => Lasted;
}
