//! What reading and playing a game noticed, for the rules to look at.

use std::collections::BTreeMap;

use gainsay_notation::{FaultKind, MoveNumber, Span};

use crate::{
    marks::Marks,
    replay::{Ply, View, by_one},
    report::Finding,
    rule::Rule,
    show::side,
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

/// The moves whose numbers are those of the next move or of the one before, as are the numbers that
/// follow: a move is missing or too many before them. With how many follow, by the element of the
/// move.
pub(super) fn gaps(view: &View<'_>) -> BTreeMap<u32, usize> {
    let mut gaps: BTreeMap<u32, usize> = BTreeMap::new();
    let mut first = None;
    let told = Marks::WRONG_NUMBER | Marks::WRONG_DOTS;
    for ply in marked(view, told | Marks::SAME_GAP) {
        match (ply.marks.contains(Marks::SAME_GAP), first) {
            (false, _) => first = Some(ply.element),
            (true, Some(first)) => *gaps.entry(first).or_default() += 1,
            (true, None) => {}
        }
    }
    gaps
}

/// A move is missing or too many: the numbers are right, and the author must say which move it is.
/// Nothing is said behind a move that cannot be played, which tells it already.
pub(super) fn gap(
    rule: &'static Rule,
    view: &View<'_>,
    ply: &Ply,
    (span, number): (Span, MoveNumber),
    followers: usize,
) -> Option<Finding> {
    if ply.marks.contains(Marks::LOST) {
        return None;
    }
    let (us, them) = (side(ply.side()), side(ply.side().other()));
    let follow = match followers {
        1 => "the number that follows does".to_owned(),
        many => format!("the {many} numbers that follow do"),
    };
    let why = if by_one(number, ply.count) == Some(false) {
        "a move too many probably stands before it".to_owned()
    } else {
        format!("a move of {us} is probably missing before it")
    };
    let message = format!(
        "It is {us}'s move, but \"{}\" announces a move of {them}, and {follow} likewise: {why}.",
        view.words(span),
    );
    Some(Finding::new(rule, span, message).before(view, ply))
}
