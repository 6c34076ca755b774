//! The pictures that the names of mates stand for.

use gainsay_commentary::MateName;
use gainsay_proof::facts::MatingPattern;

/// The picture that a mate of this name shows.
pub(super) const fn pattern(name: MateName) -> MatingPattern {
    use MatingPattern as P;
    match name {
        MateName::BackRank => P::BackRank,
        MateName::Smothered => P::Smothered,
        MateName::Suffocation => P::Suffocation,
        MateName::Arabian => P::Arabian,
        MateName::Anastasia => P::Anastasia,
        MateName::Boden => P::Boden,
        MateName::DoubleBishop => P::DoubleBishop,
        MateName::Epaulette => P::Epaulette,
        MateName::Hook => P::Hook,
        MateName::Dovetail => P::Dovetail,
        MateName::SwallowTail => P::SwallowTail,
        MateName::Ladder => P::Ladder,
        MateName::BlindSwine => P::BlindSwine,
        MateName::Corridor => P::Corridor,
        MateName::Damiano => P::Damiano,
        MateName::DamianoBishop => P::DamianoBishop,
        MateName::Legal => P::Legal,
        MateName::Opera => P::Opera,
        MateName::Greco => P::Greco,
        MateName::Lolli => P::Lolli,
        MateName::Blackburne => P::Blackburne,
        MateName::Reti => P::Reti,
        MateName::Triangle => P::Triangle,
        MateName::KillBox => P::KillBox,
        MateName::Support => P::Support,
        MateName::Corner => P::Corner,
        MateName::MaxLange => P::MaxLange,
        MateName::Pillsbury => P::Pillsbury,
        MateName::Morphy => P::Morphy,
        MateName::Anderssen => P::Anderssen,
        MateName::Mayet => P::Mayet,
        MateName::Vukovic => P::Vukovic,
        MateName::Balestra => P::Balestra,
        MateName::Pawn => P::Pawn,
        MateName::TwoKnights => P::TwoKnights,
        MateName::Scholars => P::Scholars,
        MateName::Fools => P::Fools,
        MateName::DoubleCheck => P::DoubleCheck,
        MateName::Opposition => P::Opposition,
        MateName::Castling => P::Castling,
    }
}
