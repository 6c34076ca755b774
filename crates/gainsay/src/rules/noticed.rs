//! What reading and playing a game noticed, for the rules to look at.

use gainsay_notation::{FaultKind, Span};

use crate::{
    marks::Marks,
    replay::{Ply, View},
};

/// The plies that have one of `marks`.
pub(super) fn marked<'a>(view: &View<'a>, marks: Marks) -> impl Iterator<Item = &'a Ply> {
    view.replay
        .plies
        .iter()
        .filter(move |ply| ply.marks.intersects(marks))
}

/// The faults of one kind.
pub(super) fn faults<'a>(view: &View<'a>, kind: FaultKind) -> impl Iterator<Item = Span> + 'a {
    view.game
        .faults
        .iter()
        .filter(move |fault| fault.kind == kind)
        .map(|fault| fault.span)
}
