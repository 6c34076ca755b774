//! How many men attack or defend something.

use crate::kind::{Bearing, ClaimKind, Relation, Target};
use crate::noun::Noun;
use crate::pattern::Slots;

/// What is counted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Counted {
    Attackers,
    Defenders,
}

/// So many attackers or defenders of the only target of the pattern, if it has one.
fn bearing(slots: &Slots, counted: Counted, number: u32) -> Option<Bearing> {
    let target = match slots.targets.as_slice() {
        [] => slots.square.map(Target::Square),
        [target] => Some(*target),
        _ => return None,
    };
    let number = Some(u8::try_from(number).ok()?);
    let attacks = counted == Counted::Attackers;
    Some(Bearing {
        target,
        attackers: number.filter(|_| attacks),
        defenders: number.filter(|_| !attacks),
        of: None,
        by: Vec::new(),
        open: false,
    })
}

/// As many as the number in the pattern says.
fn so_many(slots: &Slots, counted: Counted) -> Option<ClaimKind> {
    bearing(slots, counted, slots.number?).map(ClaimKind::from)
}

/// "Is attacked twice".
pub(in crate::lang) fn attackers(slots: &Slots) -> Option<ClaimKind> {
    so_many(slots, Counted::Attackers)
}

/// "Is defended twice", "has two defenders".
pub(in crate::lang) fn defenders(slots: &Slots) -> Option<ClaimKind> {
    so_many(slots, Counted::Defenders)
}

/// "Is attacked twice and defended once".
pub(in crate::lang) fn attackers_defenders(slots: &Slots) -> Option<ClaimKind> {
    both(slots, slots.number?, slots.number2?)
}

/// "Is attacked twice and defended not at all".
pub(in crate::lang) fn attackers_undefended(slots: &Slots) -> Option<ClaimKind> {
    both(slots, slots.number?, 0)
}

/// "Is defended twice and attacked once".
pub(in crate::lang) fn defenders_attackers(slots: &Slots) -> Option<ClaimKind> {
    both(slots, slots.number2?, slots.number?)
}

fn both(slots: &Slots, attackers: u32, defenders: u32) -> Option<ClaimKind> {
    let attacked = bearing(slots, Counted::Attackers, attackers)?;
    let defenders = Some(u8::try_from(defenders).ok()?);
    Some(ClaimKind::from(Bearing {
        defenders,
        ..attacked
    }))
}

/// "Has a single attacker", and by name: "is attacked only by the knight".
pub(in crate::lang) fn one_attacker(slots: &Slots) -> Option<ClaimKind> {
    only(slots, Counted::Attackers)
}

/// "Has a single defender", and by name: "the only defender of f7 is the king".
pub(in crate::lang) fn one_defender(slots: &Slots) -> Option<ClaimKind> {
    only(slots, Counted::Defenders)
}

/// One man only, or as many as a noun in the pattern says.
fn only(slots: &Slots, counted: Counted) -> Option<ClaimKind> {
    let by = slots.pieces.first();
    let number = match by {
        Some(noun) if noun.plural => noun.count?,
        _ => 1,
    };
    let by = by.map(|&noun| Target::Piece(noun));
    let bearing = bearing(slots, counted, number.into())?;
    Some(ClaimKind::from(Bearing {
        by: by.into_iter().collect(),
        ..bearing
    }))
}

/// "Has no attacker", "no white piece attacks e4".
pub(in crate::lang) fn no_attacker(slots: &Slots) -> Option<ClaimKind> {
    none(slots, Counted::Attackers)
}

/// "Has no protector", "no white piece guards e4".
pub(in crate::lang) fn no_defender(slots: &Slots) -> Option<ClaimKind> {
    none(slots, Counted::Defenders)
}

fn none(slots: &Slots, counted: Counted) -> Option<ClaimKind> {
    let of = slots.pieces.first().copied();
    let all = of.is_none_or(|noun| noun.role.is_none() && noun.square.is_none());
    let bearing = bearing(slots, counted, 0).filter(|_| all)?;
    Some(ClaimKind::from(Bearing { of, ..bearing }))
}

/// "Three white pieces attack d5".
pub(in crate::lang) fn counted_attack(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    of_them(slots, Counted::Attackers, noun)
}

/// "Two black pieces defend the rook".
pub(in crate::lang) fn counted_defence(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    of_them(slots, Counted::Defenders, noun)
}

fn of_them(slots: &Slots, counted: Counted, noun: &Noun) -> Option<ClaimKind> {
    // "By both the knight and the rook" does not count knights.
    let several = noun.plural || noun.count == Some(1);
    let count = (noun.count).filter(|_| several && noun.square.is_none())?;
    let bearing = bearing(slots, counted, count.into())?;
    Some(ClaimKind::from(Bearing {
        of: Some(*noun),
        ..bearing
    }))
}

/// "Is attacked by three white pieces" counts, "is attacked by the queen" does not.
pub(super) fn by_many(slots: &Slots, relation: Relation) -> Option<ClaimKind> {
    let counted = match relation {
        Relation::Attacked => Counted::Attackers,
        Relation::Defended => Counted::Defenders,
        _ => return None,
    };
    match (slots.targets.as_slice(), slots.pieces.as_slice()) {
        ([_], [noun]) => of_them(slots, counted, noun),
        _ => None,
    }
}
