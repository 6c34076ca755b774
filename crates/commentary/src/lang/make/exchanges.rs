//! Recaptures, exchanges, and what happens for the first time.

use shakmaty::Role;

use crate::deed::{Able, Exchanged, First, Men, Retake, Trade};
use crate::kind::ClaimKind;
use crate::noun::{Noun, Owner};
use crate::pattern::Slots;

/// Makers of claims about who can take, where so many pieces in front and then a victim are named,
/// or the victim first.
macro_rules! retakes {
    ($($name:ident => $able:ident, $shape:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            retake(Able::$able, Shape::$shape, slots)
        })*
    };
}

retakes! {
    retake_can => Can, Back;
    retake_alone => Alone, Back;
    retake_none => None, Back;
    take_can => Can, VictimLast;
    take_can_by => Can, VictimFirst;
    take_alone => Alone, VictimLast;
    take_none => None, VictimLast;
    take_none_by => None, VictimFirst;
    take_it => Can, Taken;
    take_it_alone => Alone, Taken;
    take_it_none => None, Taken;
}

/// In which order a phrase names pieces.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// Only those that take back.
    Back,
    /// Only those that take.
    Taken,
    /// Those that take, and then what they take.
    VictimLast,
    /// What is taken, and then by what.
    VictimFirst,
}

fn retake(able: Able, shape: Shape, slots: &Slots) -> Option<ClaimKind> {
    let mut nouns = slots.pieces.iter().copied();
    let (by, victim) = match (shape, slots.pieces.len()) {
        (Shape::Back | Shape::Taken, _) => ([nouns.next(), nouns.next()], None),
        (Shape::VictimFirst, _) => {
            let victim = nouns.next();
            ([nouns.next(), None], victim)
        }
        (Shape::VictimLast, 3) => ([nouns.next(), nouns.next()], nouns.next()),
        (Shape::VictimLast, 2) => ([nouns.next(), None], nouns.next()),
        (Shape::VictimLast, _) => ([None, None], nouns.next()),
    };
    // "Two pieces can recapture" counts them.
    let counted = |noun: &Noun| noun.count.is_some_and(|count| count > 1);
    let king = victim.is_some_and(|noun| noun.role == Some(Role::King));
    let named = victim.is_some() || !matches!(shape, Shape::VictimFirst | Shape::VictimLast);
    let stands = slots.pieces.iter().any(counted) || king || !named;
    let said = Retake {
        by,
        able,
        victim,
        on: slots.square,
        again: shape == Shape::Back,
    };
    (!stands).then(|| said.into())
}

/// What is exchanged of each side: "queens", "the bishop for the knight".
fn trade(offered: bool, slots: &Slots) -> Option<ClaimKind> {
    let first = slots.pieces.first()?;
    let own = first.role?;
    let second = slots.pieces.get(1);
    let other = match second {
        Some(second) => second.role?,
        None => own,
    };
    // "Trades his bishop" and "trades two knights" do not say against what.
    let one = |noun: &Noun| !noun.plural && noun.count.is_none_or(|count| count == 1);
    let pair = first.plural && first.count.is_none_or(|count| count == 2);
    let told = match second {
        Some(second) => one(first) && one(second),
        None => pair || offered && !matches!(first.owner, Owner::Other),
    };
    let king = own == Role::King || other == Role::King;
    (told && !king).then_some(ClaimKind::Trade(Trade {
        own,
        other,
        on: [first.square, second.and_then(|second| second.square)],
        offered,
    }))
}

/// "Trades queens", "exchanges the bishop for the knight".
pub(in crate::lang) fn trades(slots: &Slots) -> Option<ClaimKind> {
    trade(false, slots)
}

/// "Offers the exchange of queens".
pub(in crate::lang) fn offers_trade(slots: &Slots) -> Option<ClaimKind> {
    trade(true, slots)
}

/// Makers of "offers a queen trade".
macro_rules! offers {
    ($($name:ident => $role:ident;)*) => {
        $(pub(in crate::lang) fn $name(_: &Slots) -> Option<ClaimKind> {
            Some(ClaimKind::Trade(Trade {
                own: Role::$role,
                other: Role::$role,
                on: [None, None],
                offered: true,
            }))
        })*
    };
}

offers! {
    offers_queens => Queen;
    offers_rooks => Rook;
    offers_bishops => Bishop;
    offers_knights => Knight;
}

fn men(slots: &Slots) -> Option<Men> {
    let Some(noun) = slots.pieces.first() else {
        return Some(Men::All);
    };
    let plain = noun.square.is_none() && noun.file.is_none() && noun.traits.is_empty();
    let any = matches!(noun.owner, Owner::Anyone);
    match noun.role {
        _ if !plain || !any => None,
        Some(Role::King) => None,
        Some(role) => Some(Men::Role(role)),
        None => Some(Men::Pieces),
    }
}

/// "No pawn has been exchanged".
pub(in crate::lang) fn exchanged_none(slots: &Slots) -> Option<ClaimKind> {
    none_left_the_board(false, slots)
}

/// "Nothing has been captured".
pub(in crate::lang) fn captured_none(slots: &Slots) -> Option<ClaimKind> {
    none_left_the_board(true, slots)
}

fn none_left_the_board(one_sided: bool, slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Exchanged(Exchanged {
        men: men(slots)?,
        pairs: Some(0),
        one_sided,
    }))
}

/// "One pair of knights has been exchanged".
pub(in crate::lang) fn exchanged_pairs(slots: &Slots) -> Option<ClaimKind> {
    let men = men(slots)?;
    let pairs = match slots.number {
        Some(number) => Some(u8::try_from(number).ok().filter(|&pairs| pairs > 0)?),
        None => None,
    };
    let named = matches!(men, Men::Role(_));
    named.then_some(ClaimKind::Exchanged(Exchanged {
        men,
        pairs,
        one_sided: false,
    }))
}

/// Makers of what happens for the first time.
macro_rules! firsts {
    ($($name:ident => $first:ident;)*) => {
        $(pub(in crate::lang) fn $name(_: &Slots) -> Option<ClaimKind> {
            Some(ClaimKind::First(First::$first))
        })*
    };
}

firsts! {
    first_capture => Capture;
    first_check => Check;
    first_exchange => Exchange;
}
