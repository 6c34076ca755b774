//! How many pawns the sides have.

use shakmaty::Role;

use crate::kind::{ClaimKind, Pawns};
use crate::noun::{Noun, Owner};
use crate::pattern::Slots;

/// The pawns of a noun that only counts them: "five pawns", "six white pawns".
fn counted(noun: &Noun) -> Option<u8> {
    let plain = noun.traits.is_empty() && noun.square.is_none() && noun.file.is_none();
    noun.count
        .filter(|_| noun.role == Some(Role::Pawn) && plain)
}

fn claim(own: Option<u8>, other: Option<u8>, first: Option<&Noun>) -> ClaimKind {
    ClaimKind::Pawns(Pawns {
        side: match first.map(|noun| noun.owner) {
            Some(Owner::Side(color)) => Some(color),
            _ => None,
        },
        own,
        other,
        wing: None,
        named: first.is_some(),
    })
}

/// "Seven pawns each", "each side has seven pawns".
pub(in crate::lang) fn pawns_each(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let count = counted(noun).filter(|_| !matches!(noun.owner, Owner::Side(_)))?;
    Some(claim(Some(count), Some(count), Some(noun)))
}

/// "Five pawns against four", "White has five pawns to Black's four".
pub(in crate::lang) fn pawns_against(slots: &Slots) -> Option<ClaimKind> {
    let number = |number: u32| u8::try_from(number).ok();
    match slots.pieces.as_slice() {
        // "The pawns are four against three"
        [noun] if noun.count.is_none() && noun.plural && noun.role == Some(Role::Pawn) => {
            let plain = noun.square.is_none() && noun.owner == Owner::Anyone;
            let (own, other) = (number(slots.number?)?, number(slots.number2?)?);
            plain.then(|| claim(Some(own), Some(other), Some(noun)))
        }
        [noun] => {
            let other = number(slots.number?)?;
            Some(claim(Some(counted(noun)?), Some(other), Some(noun)))
        }
        [noun, other] => {
            let others = counted(other)?;
            Some(claim(Some(counted(noun)?), Some(others), Some(noun)))
        }
        _ => {
            let (own, other) = (number(slots.number?)?, number(slots.number2?)?);
            Some(claim(Some(own), Some(other), None))
        }
    }
}

/// "The pawns are three to two in White's favour".
pub(in crate::lang) fn pawns_favour(slots: &Slots) -> Option<ClaimKind> {
    let ClaimKind::Pawns(said) = pawns_against(slots)? else {
        return None;
    };
    Some(ClaimKind::Pawns(Pawns {
        side: None,
        own: said.own.max(said.other),
        other: said.own.min(said.other),
        ..said
    }))
}

/// "The pawns are level", "the number of pawns is the same".
pub(in crate::lang) fn pawns_level(slots: &Slots) -> Option<ClaimKind> {
    let plain = slots.pieces.first().is_none_or(|noun| {
        let all = noun.plural && noun.count.is_none() && noun.owner == Owner::Anyone;
        all && noun.role == Some(Role::Pawn) && noun.square.is_none() && noun.traits.is_empty()
    });
    plain.then(|| claim(None, None, slots.pieces.first()))
}
