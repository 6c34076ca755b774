//! What is said of pieces at work.

use shakmaty::Role;

use super::bearing::by_many;
use crate::kind::{ClaimKind, Flight, OnlyMove, Relation, Shade, Target};
use crate::noun::Noun;
use crate::pattern::Slots;
use crate::wording::Nuance;

/// "The bishop is still on c1".
pub(in crate::lang) fn stands(slots: &Slots) -> Option<ClaimKind> {
    let mut noun = *slots.pieces.first()?;
    if noun.plural || noun.square.is_some() {
        return None;
    }
    noun.square = Some(slots.square?);
    Some(ClaimKind::Pieces(noun))
}

/// "White has a knight on d5".
pub(in crate::lang) fn has_on_square(slots: &Slots) -> Option<ClaimKind> {
    let noun = *slots.pieces.first()?;
    (noun.square.is_some() && !noun.plural).then_some(ClaimKind::Pieces(noun))
}

/// "The bishop runs on light squares", "h8 is a light square".
pub(in crate::lang) fn light_squares(slots: &Slots) -> Option<ClaimKind> {
    shade(slots, true)
}

/// "The bishop runs on dark squares", "h8 is a dark square".
pub(in crate::lang) fn dark_squares(slots: &Slots) -> Option<ClaimKind> {
    shade(slots, false)
}

fn shade(slots: &Slots, light: bool) -> Option<ClaimKind> {
    let of = match slots.pieces.first() {
        Some(&noun) => Target::Piece(noun),
        None => Target::Square(slots.square?),
    };
    let bishop = |noun: &Noun| noun.role == Some(Role::Bishop);
    let fits = !matches!(&of, Target::Piece(noun) if !bishop(noun));
    fits.then_some(ClaimKind::Shade(Shade { of, light }))
}

/// A relation of the subject to the targets.
macro_rules! relations {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(relation(slots, Relation::$relation))
        })*
    };
}

/// A relation in which the targets suffer what a verb says: "greift der Turm an" has none.
macro_rules! deeds {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            suffers(slots).then(|| relation(slots, Relation::$relation))
        })*
    };
}

/// Whether all targets are in a case in which something is done to them.
fn suffers(slots: &Slots) -> bool {
    let acts = |target: &Target| matches!(target, Target::Piece(noun) if noun.wording.has(Nuance::Subject));
    !slots.targets.iter().any(acts)
}

/// A relation of the piece of the pattern to its targets, wherever they stand: "greift der Läufer
/// den Springer an". There is none where the cases say otherwise, or leave it open which acts.
fn done_by(slots: &Slots, relation: Relation) -> Option<ClaimKind> {
    let actor = *slots.pieces.first()?;
    let object = |target: &Target| match target {
        Target::Piece(noun) => noun.wording.has(Nuance::Object),
        Target::Square(_) => true,
    };
    let told = actor.wording.has(Nuance::Subject) || slots.targets.iter().all(object);
    let acts = told && !actor.wording.has(Nuance::Object);
    (acts && suffers(slots)).then(|| ClaimKind::Relation {
        relation,
        actor: None,
        targets: slots.targets.clone(),
    })
}

/// "Greift der Läufer den Springer an".
pub(in crate::lang) fn attacks_of(slots: &Slots) -> Option<ClaimKind> {
    done_by(slots, Relation::Attacks)
}

/// "Deckt der Turm den Springer".
pub(in crate::lang) fn defends_of(slots: &Slots) -> Option<ClaimKind> {
    done_by(slots, Relation::Defends)
}

/// "Fesselt der Läufer den Springer".
pub(in crate::lang) fn pins_of(slots: &Slots) -> Option<ClaimKind> {
    done_by(slots, Relation::Pins)
}

deeds! {
    attacks => Attacks;
    defends => Defends;
    controls => Controls;
    pins => Pins;
    forks => Forks;
    skewers => Skewers;
}

relations! {
    loose => Loose;
    hanging => Hanging;
    pinned => Pinned;
    checks => Checks;
    double_check => DoubleCheck;
    discovered_check => DiscoveredCheck;
    discovered_attack => DiscoveredAttack;
    overloaded => Overloaded;
    trapped => Trapped;
    blocks => Blocks;
    x_rays => XRay;
    immune => Immune;
    immobile => Immobile;
}

/// "The knight is attacked", "the knight is attacked by three pieces".
pub(in crate::lang) fn attacked(slots: &Slots) -> Option<ClaimKind> {
    by_many(slots, Relation::Attacked).or_else(|| Some(relation(slots, Relation::Attacked)))
}

/// "The knight is defended", "the knight is defended by two pieces".
pub(in crate::lang) fn defended(slots: &Slots) -> Option<ClaimKind> {
    by_many(slots, Relation::Defended).or_else(|| Some(relation(slots, Relation::Defended)))
}

fn relation(slots: &Slots, relation: Relation) -> ClaimKind {
    let mut targets = slots.targets.clone();
    let mut pieces = slots.pieces.iter();
    // Without TARGETS the first piece is what is acted on, and the next one acts.
    if targets.is_empty() {
        targets.extend(pieces.next().map(|noun| Target::Piece(*noun)));
        targets.extend(slots.square.map(Target::Square));
    }
    // "Protected by the queen from d1": that is where the queen stands.
    let from = slots.square.filter(|_| !slots.targets.is_empty());
    let actor = pieces.next().map(|noun| Noun {
        square: noun.square.or(from),
        ..*noun
    });
    ClaimKind::Relation {
        relation,
        actor,
        targets,
    }
}

/// "The knight is pinned to the queen by the bishop".
pub(in crate::lang) fn pinned_to_by(slots: &Slots) -> Option<ClaimKind> {
    let [behind, actor] = *slots.pieces.as_slice() else {
        return None;
    };
    pinned_by(slots, behind, actor)
}

/// "The knight is pinned by the bishop to the queen".
pub(in crate::lang) fn pinned_by_to(slots: &Slots) -> Option<ClaimKind> {
    let [actor, behind] = *slots.pieces.as_slice() else {
        return None;
    };
    pinned_by(slots, behind, actor)
}

fn pinned_by(slots: &Slots, behind: Noun, actor: Noun) -> Option<ClaimKind> {
    let [target] = *slots.targets.as_slice() else {
        return None;
    };
    Some(ClaimKind::Relation {
        relation: Relation::PinnedTo,
        actor: Some(actor),
        targets: vec![target, Target::Piece(behind)],
    })
}

/// Makers of what a piece does from a square: "from a2 the rook attacks the pawn".
macro_rules! from_squares {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            acts_from(slots, Relation::$relation)
        })*
    };
}

from_squares! {
    attacks_from => Attacks;
    defends_from => Defends;
    controls_from => Controls;
}

fn acts_from(slots: &Slots, relation: Relation) -> Option<ClaimKind> {
    let noun = *slots.pieces.first()?;
    let one = !noun.plural && noun.square.is_none();
    let actor = Noun {
        square: slots.square,
        ..noun
    };
    one.then(|| ClaimKind::Relation {
        relation,
        actor: Some(actor),
        targets: slots.targets.clone(),
    })
}

/// "In check from the knight", "the check comes from the bishop".
pub(in crate::lang) fn checked_by(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Relation {
        relation: Relation::Checks,
        actor: Some(*slots.pieces.first()?),
        targets: Vec::new(),
    })
}

/// "Pins the knight to the queen", "the knight is pinned to the queen".
pub(in crate::lang) fn pinned_to(slots: &Slots) -> Option<ClaimKind> {
    let pieces = slots.pieces.iter().copied().map(Target::Piece);
    let named: Vec<Target> = slots.targets.iter().copied().chain(pieces).collect();
    (named.len() == 2).then_some(ClaimKind::Relation {
        relation: Relation::PinnedTo,
        actor: None,
        targets: named,
    })
}

/// "The pin on the knight". "The pin on the king" is that of what stands in front of it.
pub(in crate::lang) fn pin_on(slots: &Slots) -> Option<ClaimKind> {
    let king =
        |target: &Target| matches!(target, Target::Piece(noun) if noun.role == Some(Role::King));
    if slots.targets.iter().any(king) {
        return None;
    }
    pinned(slots)
}

/// "A fork on e7": the piece that forks stands there.
pub(in crate::lang) fn fork_on(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Relation {
        relation: Relation::Forks,
        actor: None,
        targets: vec![Target::Square(slots.square?)],
    })
}

/// "The d-pawn is blocked by the knight": the second piece acts.
pub(in crate::lang) fn blocked(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Relation {
        relation: Relation::Blocks,
        actor: slots.pieces.first().copied(),
        targets: slots.targets.clone(),
    })
}

/// Where the king of the pattern can go; of other pieces it is told otherwise.
fn flight(slots: &Slots, flight: Flight) -> Option<ClaimKind> {
    let king = slots.pieces.first()?.role == Some(Role::King);
    king.then_some(ClaimKind::OnlyMove(OnlyMove::Flight(flight)))
}

/// "The king has no flight square".
pub(in crate::lang) fn flight_none(slots: &Slots) -> Option<ClaimKind> {
    flight(slots, Flight::None)
}

/// "The king has two squares".
pub(in crate::lang) fn flight_count(slots: &Slots) -> Option<ClaimKind> {
    flight(slots, Flight::Count(u8::try_from(slots.number?).ok()?))
}

/// "The king has a single legal move".
pub(in crate::lang) fn flight_one(slots: &Slots) -> Option<ClaimKind> {
    flight(slots, Flight::Count(1))
}

/// "The king can go to f7".
pub(in crate::lang) fn flight_to(slots: &Slots) -> Option<ClaimKind> {
    flight(slots, Flight::To(slots.square?))
}
