//! What is said of material.

use shakmaty::Role;

use crate::kind::{ClaimKind, Count, Goods, Material, Passing};
use crate::noun::Noun;
use crate::pattern::Slots;

/// What a noun is worth: "two pawns", "a piece", "the h-pawn".
pub(crate) fn goods(noun: &Noun) -> Option<Goods> {
    if noun.plural && noun.count.is_none() && noun.role != Some(Role::Queen) {
        return None;
    }
    let count = noun.count.unwrap_or(1);
    Some(match noun.role {
        None => Goods::Pieces(count),
        Some(Role::Pawn) if count == 1 && (noun.file.is_some() || noun.square.is_some()) => {
            Goods::Pawn(
                noun.file
                    .or_else(|| noun.square.map(shakmaty::Square::file)),
            )
        }
        Some(Role::Pawn) => Goods::Pawns(count),
        Some(Role::King) => return None,
        Some(role) => Goods::Role(role, count),
    })
}

/// What the first noun of the pattern is worth.
pub(super) fn first(slots: &Slots) -> Option<Goods> {
    slots.pieces.first().and_then(goods)
}

fn second(slots: &Slots) -> Option<Goods> {
    slots.pieces.get(1).and_then(goods)
}

pub(in crate::lang) fn up(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::Up(first(slots)?)))
}

pub(in crate::lang) fn down(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::Down(first(slots)?)))
}

pub(in crate::lang) fn up_both(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::UpBoth(
        first(slots)?,
        second(slots)?,
    )))
}

pub(in crate::lang) fn down_both(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::DownBoth(
        first(slots)?,
        second(slots)?,
    )))
}

/// "A piece down for two pawns": the subject has the second for the first.
pub(in crate::lang) fn goods_given(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        second(slots)?,
        first(slots)?,
    )))
}

/// "The c-pawn falls", "the knight or the rook will fall".
pub(in crate::lang) fn falls(slots: &Slots) -> Option<ClaimKind> {
    let [noun, rest @ ..] = slots.pieces.as_slice() else {
        return None;
    };
    // "Hanging pieces drop" is a rule of thumb.
    if noun.plural && !noun.determined && noun.count.is_none() {
        return None;
    }
    let one = Noun {
        plural: false,
        count: noun.count.filter(|_| noun.plural),
        ..*noun
    };
    // Of two one is lost, whichever it is.
    let either = rest.first().is_some_and(|other| other.role != noun.role);
    let one = if either {
        Noun { role: None, ..one }
    } else {
        one
    };
    Some(ClaimKind::Gain {
        what: goods(&one)?,
        how: Passing::Lost,
    })
}

pub(in crate::lang) fn for_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        first(slots)?,
        second(slots)?,
    )))
}

pub(in crate::lang) fn exchange_for(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        Goods::Exchange(1),
        first(slots)?,
    )))
}

/// "Has two pawns for the exchange".
pub(in crate::lang) fn for_exchange(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        first(slots)?,
        Goods::Exchange(1),
    )))
}

pub(in crate::lang) fn wins_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Won,
    })
}

pub(in crate::lang) fn gives_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Given,
    })
}

pub(in crate::lang) fn loses_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Lost,
    })
}

/// "Black's queen was lost": of a king the game is meant, and of many pieces some.
pub(in crate::lang) fn piece_lost(slots: &Slots) -> Option<ClaimKind> {
    gone(slots, Passing::Lost)
}

/// "The pawn on a5 is won", by the side whose it is not.
pub(in crate::lang) fn piece_won(slots: &Slots) -> Option<ClaimKind> {
    gone(slots, Passing::Won)
}

fn gone(slots: &Slots, how: Passing) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let king = noun.role == Some(Role::King);
    let what = match goods(noun) {
        _ if king => Goods::Game,
        Some(what) => what,
        None => Goods::Material,
    };
    Some(ClaimKind::Gain { what, how })
}

/// "White has three pawns left", "Black has only a rook left".
pub(in crate::lang) fn left(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let count = match noun.count {
        Some(count) => count,
        None => (!noun.plural && slots.pieces.len() == 1).then_some(1)?,
    };
    counted(noun, count)
}

/// "White has no rook left".
pub(in crate::lang) fn none_left(slots: &Slots) -> Option<ClaimKind> {
    counted(slots.pieces.first()?, 0)
}

/// So many pieces of a kind, wherever they stand.
fn counted(noun: &Noun, count: u8) -> Option<ClaimKind> {
    let plain = noun.traits.is_empty() && noun.square.is_none() && noun.file.is_none();
    let role = noun.role.filter(|role| plain && *role != Role::King)?;
    let both = false;
    Some(ClaimKind::Count(Count { role, count, both }))
}

/// "Both sides have three pawns left".
pub(in crate::lang) fn both_left(slots: &Slots) -> Option<ClaimKind> {
    match left(slots)? {
        ClaimKind::Count(count) => Some(ClaimKind::Count(Count {
            both: true,
            ..count
        })),
        _ => None,
    }
}
