//! What the pictures of mates are called.

use gainsay_proof::facts::MatingPattern;

/// What a mate that shows a picture is called in a sentence.
pub(super) const fn called(pattern: MatingPattern) -> &'static str {
    use MatingPattern as P;
    match pattern {
        P::BackRank => "the back-rank mate",
        P::Smothered => "the smothered mate",
        P::Suffocation => "the suffocation mate",
        P::Arabian => "the Arabian mate",
        P::Anastasia => "Anastasia's mate",
        P::Boden => "Boden's mate",
        P::DoubleBishop => "the double-bishop mate",
        P::Epaulette => "the epaulette mate",
        P::Hook => "the hook mate",
        P::Dovetail => "the dovetail mate",
        P::SwallowTail => "the swallow-tail mate",
        P::Ladder => "the ladder mate",
        P::BlindSwine => "the blind-swine mate",
        P::Corridor => "the corridor mate",
        P::Damiano => "Damiano's mate",
        P::DamianoBishop => "Damiano's bishop mate",
        P::Legal => "Légal's mate",
        P::Opera => "the opera mate",
        P::Greco => "Greco's mate",
        P::Lolli => "Lolli's mate",
        P::Blackburne => "Blackburne's mate",
        P::Reti => "Réti's mate",
        P::Triangle => "the triangle mate",
        P::KillBox => "the kill-box mate",
        P::Support => "the support mate",
        P::Corner => "the corner mate",
        P::MaxLange => "Max Lange's mate",
        P::Pillsbury => "Pillsbury's mate",
        P::Morphy => "Morphy's mate",
        P::Anderssen => "Anderssen's mate",
        P::Mayet => "Mayet's mate",
        P::Vukovic => "Vuković's mate",
        P::Balestra => "the Balestra mate",
        P::Pawn => "the pawn mate",
        P::TwoKnights => "the two-knights mate",
        P::Scholars => "scholar's mate",
        P::Fools => "fool's mate",
        P::DoubleCheck => "the double-check mate",
        P::Opposition => "the opposition mate",
        P::Castling => "the castling mate",
    }
}
