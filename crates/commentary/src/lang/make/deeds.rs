//! What a move is said to have done.

use shakmaty::Role;

use crate::deed::{Act, Deed, When};
use crate::kind::ClaimKind;
use crate::noun::Noun;
use crate::pattern::Slots;
use crate::wording::Nuance;

/// A single piece, as a move takes or moves it; of several nothing is told.
fn one(noun: Option<&Noun>) -> Option<Option<Noun>> {
    let single = |noun: &Noun| {
        !noun.plural && noun.count.is_none_or(|count| count == 1) && !noun.wording.has(Nuance::No)
    };
    match noun {
        Some(noun) => single(noun).then_some(Some(*noun)),
        None => Some(None),
    }
}

fn deed(
    act: Act,
    when: When,
    by: Option<&Noun>,
    of: Option<&Noun>,
    slots: &Slots,
) -> Option<ClaimKind> {
    let victim = one(of)?;
    // "Schlägt der Turm": it takes.
    if victim.is_some_and(|noun| noun.wording.has(Nuance::Subject)) {
        return None;
    }
    // A king is taken somewhere, and never captured.
    if victim.is_some_and(|noun| noun.role == Some(Role::King)) {
        return None;
    }
    // "A captured queen", "with taken pawns": a participle is no verb.
    let bare = |noun: &Noun| {
        let object = noun.wording.has(Nuance::Object);
        !(noun.determined || object) && noun.square.is_none()
    };
    if when == When::Ever && victim.as_ref().is_some_and(bare) {
        return None;
    }
    Some(ClaimKind::from(Deed {
        act,
        actor: one(by)?,
        victim,
        on: slots.square,
        when,
    }))
}

/// Makers of deeds: the first piece of the pattern is taken, and the second one takes.
macro_rules! captures {
    ($($name:ident => $act:ident, $when:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            let (of, by) = (slots.pieces.first(), slots.pieces.get(1));
            deed(Act::$act, When::$when, by, of, slots)
        })*
    };
}

captures! {
    takes => Takes, Now;
    took => Takes, Ever;
    took_just => Takes, Just;
    retakes_piece => Retakes, Now;
    retook_piece => Retakes, Ever;
    retook_piece_just => Retakes, Just;
}

/// Makers of deeds whose first piece takes and whose second one is taken.
macro_rules! captors {
    ($($name:ident => $when:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            let (by, of) = (slots.pieces.first(), slots.pieces.get(1));
            deed(Act::Takes, When::$when, by, of, slots)
        })*
    };
}

captors! {
    took_by => Ever;
    took_by_just => Just;
}

/// Makers of deeds whose only piece acts.
macro_rules! moves {
    ($($name:ident => $act:ident, $when:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            deed(Act::$act, When::$when, slots.pieces.first(), None, slots)
        })*
    };
}

moves! {
    retakes => Retakes, Now;
    retook => Retakes, Ever;
    retook_just => Retakes, Just;
    went_just => Goes, Just;
    double_step => Doubles, Just;
}
