//! What is said of the pawn skeleton and of the placement of the pieces.

use shakmaty::{CastlingSide, Role};

use crate::kind::{ClaimKind, Shade, Target};
use crate::noun::{Owner, Traits};
use crate::pattern::Slots;
use crate::structure::{Feature, Structure};

/// What the adjectives of a pawn say together.
pub(crate) fn pawn_feature(traits: Traits) -> Option<Feature> {
    let mut said = [
        (Traits::PASSED, Feature::PassedPawn),
        (Traits::ISOLATED, Feature::IsolatedPawn),
        (Traits::DOUBLED, Feature::DoubledPawns),
        (Traits::TRIPLED, Feature::TripledPawns),
        (Traits::BACKWARD, Feature::BackwardPawn),
    ]
    .into_iter()
    .filter(|&(known, _)| traits.contains(known));
    let (_, feature) = said.next()?;
    Some(match (feature, said.next()) {
        (_, Some(_)) => Feature::Pawn(traits),
        (Feature::PassedPawn, None) if traits.contains(Traits::PROTECTED) => Feature::Pawn(traits),
        (Feature::PassedPawn, None) if traits.contains(Traits::CONNECTED) => {
            Feature::ConnectedPassedPawns
        }
        (feature, None) => feature,
    })
}

/// What a side is said to have.
fn possession(slots: &Slots) -> Option<Structure> {
    let noun = slots.pieces.first()?;
    let feature = match noun.role? {
        Role::Pawn => pawn_feature(noun.traits)?,
        Role::Bishop if noun.count == Some(2) => Feature::BishopPair,
        _ => return None,
    };
    let mut had = Structure::new(feature).of(noun);
    if feature == Feature::BishopPair {
        had.count = None;
    }
    noun.square.is_none().then_some(had)
}

/// "White has doubled pawns", "Black has a passed pawn", "White has the two bishops".
pub(in crate::lang) fn has_pieces(slots: &Slots) -> Option<ClaimKind> {
    possession(slots).map(ClaimKind::Structure)
}

/// "White has two passed pawns on the queenside".
pub(in crate::lang) fn has_on_queenside(slots: &Slots) -> Option<ClaimKind> {
    let wing = Some(CastlingSide::QueenSide);
    possession(slots).map(|had| Structure { wing, ..had }.into())
}

/// "White has two passed pawns on the kingside".
pub(in crate::lang) fn has_on_kingside(slots: &Slots) -> Option<ClaimKind> {
    let wing = Some(CastlingSide::KingSide);
    possession(slots).map(|had| Structure { wing, ..had }.into())
}

/// "Both sides have a passed pawn".
pub(in crate::lang) fn both_have(slots: &Slots) -> Option<ClaimKind> {
    possession(slots).map(|had| Structure { both: true, ..had }.into())
}

/// "The king is in the corner".
pub(in crate::lang) fn in_corner(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let king = noun.role == Some(Role::King) && !noun.plural;
    king.then(|| Structure::new(Feature::KingInCorner).of(noun).into())
}

/// "There is no stopping the a-pawn", "the pawns cannot be stopped".
pub(in crate::lang) fn promotes(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let pawn = noun.role == Some(Role::Pawn);
    pawn.then(|| Structure::new(Feature::Promotes).of(noun).into())
}

/// A feature with the file and square in the pattern.
const fn plain(feature: Feature, slots: &Slots) -> Structure {
    Structure {
        file: slots.file,
        square: slots.square,
        ..Structure::new(feature)
    }
}

/// Makers of such features.
macro_rules! features {
    ($($name:ident => $feature:expr;)*) => {
        $(pub(in crate::lang) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(plain($feature, slots).into())
        })*
    };
}

/// "The pawn on d6 is backward": the file and square are the pawn's.
fn pawn_is(slots: &Slots, feature: Feature) -> Option<ClaimKind> {
    let [Target::Piece(noun)] = slots.targets.as_slice() else {
        return None;
    };
    let pawn = noun.role == Some(Role::Pawn);
    pawn.then(|| Structure::new(feature).of(noun).into())
}

pub(in crate::lang) fn is_doubled(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::DoubledPawns)
}

pub(in crate::lang) fn is_isolated(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::IsolatedPawn)
}

/// "The pawn is isolated and doubled".
pub(in crate::lang) fn is_isolated_doubled(slots: &Slots) -> Option<ClaimKind> {
    let both = Traits::ISOLATED.with(Traits::DOUBLED);
    pawn_is(slots, Feature::Pawn(both))
}

/// "The pawn is passed and isolated".
pub(in crate::lang) fn is_passed_isolated(slots: &Slots) -> Option<ClaimKind> {
    let both = Traits::PASSED.with(Traits::ISOLATED);
    pawn_is(slots, Feature::Pawn(both))
}

pub(in crate::lang) fn is_backward(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::BackwardPawn)
}

/// "The bishop on e3 is a dark-squared bishop", "the f-pawn is a passer": the file and square are
/// those of the first piece.
pub(in crate::lang) fn is_such_a_piece(slots: &Slots) -> Option<ClaimKind> {
    let [pawn, such] = slots.pieces.as_slice() else {
        return None;
    };
    let bishops = pawn.role == Some(Role::Bishop) && such.role == Some(Role::Bishop);
    let light = such.traits.contains(Traits::LIGHT);
    if bishops && (light || such.traits.contains(Traits::DARK)) && such.square.is_none() {
        let of = Target::Piece(*pawn);
        return Some(ClaimKind::Shade(Shade { of, light }));
    }
    let pawns = pawn.role == Some(Role::Pawn) && such.role == Some(Role::Pawn);
    let placed = pawn.square.is_some() || pawn.file.is_some();
    let plain = such.square.is_none() && such.file.is_none();
    let feature = pawn_feature(such.traits).filter(|_| pawns && placed && plain)?;
    Some(Structure::new(feature).of(pawn).into())
}

/// "The d-pawn can be captured en passant".
pub(in crate::lang) fn taken_en_passant(slots: &Slots) -> Option<ClaimKind> {
    let pawn = slots.pieces.first()?;
    let named = pawn.role == Some(Role::Pawn) && !pawn.plural;
    named.then(|| Structure::new(Feature::EnPassant).of(pawn).into())
}

/// "There are no pawns on the e-file".
pub(in crate::lang) fn no_pawns(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let pawns = noun.role == Some(Role::Pawn) && noun.plural && noun.traits.is_empty();
    let anyones = !matches!(noun.owner, Owner::Side(_));
    let file = noun.file.filter(|_| pawns && anyones);
    let said = Structure::new(Feature::OpenFile);
    file.map(|file| {
        Structure {
            file: Some(file),
            ..said
        }
        .into()
    })
}

/// "White has the pair of bishops", "Black has kept both bishops".
pub(in crate::lang) fn keeps_bishops(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let both = noun.role == Some(Role::Bishop) && noun.plural && noun.square.is_none();
    both.then(|| Structure::new(Feature::BishopPair).into())
}

features! {
    open_file => Feature::OpenFile;
    half_open_file => Feature::HalfOpenFile;
    closed_file => Feature::ClosedFile;
    queenside_majority => Feature::QueensideMajority;
    central_majority => Feature::CentralMajority;
    kingside_majority => Feature::KingsideMajority;
    outpost => Feature::Outpost;
    bishop_pair => Feature::BishopPair;
    castling_rights => Feature::CastlingRights;
    castled_alike => Feature::CastledAlike;
    castled_apart => Feature::CastledApart;
    castled => Feature::Castled(None);
    castled_short => Feature::Castled(Some(CastlingSide::KingSide));
    castled_long => Feature::Castled(Some(CastlingSide::QueenSide));
    both_castled => Feature::BothCastled;
    en_passant => Feature::EnPassant;
    promotion_next => Feature::PromotionNext;
    queens_off => Feature::QueensOff;
    pawn_ending => Feature::Ending(Some(Role::Pawn));
    knight_ending => Feature::Ending(Some(Role::Knight));
    bishop_ending => Feature::Ending(Some(Role::Bishop));
    rook_ending => Feature::Ending(Some(Role::Rook));
    queen_ending => Feature::Ending(Some(Role::Queen));
}

/// Makers of features on a wing.
macro_rules! on_wings {
    ($($name:ident => $feature:expr, $wing:ident;)*) => {
        $(pub(in crate::lang) fn $name(_: &Slots) -> Option<ClaimKind> {
            let wing = Some(CastlingSide::$wing);
            Some(Structure { wing, ..Structure::new($feature) }.into())
        })*
    };
}

on_wings! {
    castling_rights_short => Feature::CastlingRights, KingSide;
    castling_rights_long => Feature::CastlingRights, QueenSide;
    castling_next_short => Feature::CastlingNext, KingSide;
    castling_next_long => Feature::CastlingNext, QueenSide;
    both_castled_short => Feature::BothCastled, KingSide;
    both_castled_long => Feature::BothCastled, QueenSide;
}

/// "The right to castle on either wing".
pub(in crate::lang) fn castling_rights_either(_: &Slots) -> Option<ClaimKind> {
    let count = Some(2);
    Some(
        Structure {
            count,
            ..Structure::new(Feature::CastlingRights)
        }
        .into(),
    )
}

/// "The pawn on e5 is passed": the file and square are the pawn's.
pub(in crate::lang) fn passed(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::PassedPawn, slots);
    let noun = match slots.targets.as_slice() {
        [] => return Some(said.into()),
        [Target::Square(square)] => {
            let square = Some(*square);
            return Some(Structure { square, ..said }.into());
        }
        [Target::Piece(noun)] if noun.role == Some(Role::Pawn) => noun,
        _ => return None,
    };
    let of_pawn = said.of(noun);
    Some(
        Structure {
            file: said.file.or(of_pawn.file),
            square: said.square.or(of_pawn.square),
            ..of_pawn
        }
        .into(),
    )
}

/// "Both sides have the bishop pair".
pub(in crate::lang) fn both_bishop_pairs(_: &Slots) -> Option<ClaimKind> {
    let said = Structure::new(Feature::BishopPair);
    Some(Structure { both: true, ..said }.into())
}

/// "Two open files".
pub(in crate::lang) fn open_files(slots: &Slots) -> Option<ClaimKind> {
    counted(plain(Feature::OpenFile, slots), slots)
}

/// "Two half-open files".
pub(in crate::lang) fn half_open_files(slots: &Slots) -> Option<ClaimKind> {
    counted(plain(Feature::HalfOpenFile, slots), slots)
}

/// "The only open file", "the e-file is the only open one".
pub(in crate::lang) fn only_open_file(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::OpenFile, slots);
    Some(
        Structure {
            count: Some(1),
            only: true,
            ..said
        }
        .into(),
    )
}

/// "Three pawn islands".
pub(in crate::lang) fn pawn_islands(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::PawnIslands, slots);
    counted(Structure { only: true, ..said }, slots)
}

/// A feature with the number in the pattern.
fn counted(said: Structure, slots: &Slots) -> Option<ClaimKind> {
    let count = Some(u8::try_from(slots.number?).ok()?);
    Some(Structure { count, ..said }.into())
}

/// Rooks on the seventh rank.
fn seventh(slots: &Slots) -> Option<Structure> {
    let noun = slots.pieces.first()?;
    let feature = match noun.role? {
        // More than two are not counted.
        Role::Rook if noun.count.is_some_and(|count| count > 2) => return None,
        Role::Rook if noun.plural => Feature::RooksOnSeventh,
        Role::Rook => Feature::RookOnSeventh,
        _ => return None,
    };
    Some(Structure {
        count: None,
        ..Structure::new(feature).of(noun)
    })
}

/// "A rook on the seventh", "two rooks on the seventh".
pub(in crate::lang) fn on_seventh(slots: &Slots) -> Option<ClaimKind> {
    seventh(slots).map(ClaimKind::Structure)
}

/// "White's rooks are doubled on the seventh".
pub(in crate::lang) fn doubled_on_seventh(slots: &Slots) -> Option<ClaimKind> {
    let said = seventh(slots)?;
    (said.feature == Feature::RooksOnSeventh).then(|| said.into())
}

/// "Both sides have a rook on the seventh".
pub(in crate::lang) fn both_on_seventh(slots: &Slots) -> Option<ClaimKind> {
    seventh(slots).map(|said| Structure { both: true, ..said }.into())
}

/// "The knight on d5 occupies an outpost".
pub(in crate::lang) fn piece_outpost(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    noun.square?;
    Some(Structure::new(Feature::Outpost).of(noun).into())
}

/// "The queens are off", "without queens".
pub(in crate::lang) fn queens_gone(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    (noun.role == Some(Role::Queen) && noun.plural && noun.square.is_none())
        .then(|| queens_off(slots))?
}

/// "Opposite-coloured bishops", "bishops of the same colour".
pub(in crate::lang) fn bishops(slots: &Slots, feature: Feature) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    // White's bishops are a pair.
    let bishops = noun.role? == Role::Bishop && !matches!(noun.owner, Owner::Side(_));
    bishops.then(|| Structure::new(feature).into())
}

pub(in crate::lang) fn opposite_bishops(slots: &Slots) -> Option<ClaimKind> {
    bishops(slots, Feature::OppositeBishops)
}

/// "OCB", "an opposite-colour bishop ending".
pub(in crate::lang) fn unlike_bishops(_: &Slots) -> Option<ClaimKind> {
    Some(Structure::new(Feature::OppositeBishops).into())
}

pub(in crate::lang) fn same_bishops(slots: &Slots) -> Option<ClaimKind> {
    bishops(slots, Feature::SameBishops)
}
