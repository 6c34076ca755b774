//! Examples of every pattern.

use shakmaty::Position;

use super::*;
use crate::facts::testing::{playouts, position};

/// Invented final positions, one or more a pattern; every one must be mate.
const EXAMPLES: &[(MatingPattern, &str)] = &[
    (
        MatingPattern::BackRank,
        "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::Smothered, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::Suffocation,
        "5rk1/4Np1p/8/8/8/8/1B6/6K1 b - - 0 1",
    ),
    (MatingPattern::Arabian, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
    (MatingPattern::Anastasia, "8/4N1pk/8/7R/8/8/8/6K1 b - - 0 1"),
    (MatingPattern::Boden, "2kr4/3p4/B7/8/5B2/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::DoubleBishop,
        "7k/7p/8/3BB3/8/8/8/6K1 b - - 0 1",
    ),
    (
        MatingPattern::Epaulette,
        "3rkr2/8/4Q3/8/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::Hook, "4R3/4kp2/5N2/4P3/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::Dovetail,
        "8/8/5p2/4pk2/6Q1/7P/8/6K1 b - - 0 1",
    ),
    (
        MatingPattern::SwallowTail,
        "3r1r2/4k3/4Q3/3P4/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::Ladder, "R6k/1R6/8/8/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::BlindSwine,
        "5rk1/6RR/8/8/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::Corridor, "6rk/6p1/8/8/8/8/8/6KR b - - 0 1"),
    (MatingPattern::Damiano, "5rk1/7Q/6P1/8/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::DamianoBishop,
        "5rk1/6Q1/5B2/8/8/8/8/6K1 b - - 0 1",
    ),
    (
        MatingPattern::Legal,
        "3q1b2/3pkB2/3p4/3NN3/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::Opera, "3Rkb2/5p2/8/6B1/8/8/8/2K5 b - - 0 1"),
    (MatingPattern::Greco, "7k/6p1/8/7Q/2B5/8/8/6K1 b - - 0 1"),
    (MatingPattern::Lolli, "6k1/5pQp/5P1p/8/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::Blackburne,
        "5rk1/7B/8/6N1/8/8/1B6/6K1 b - - 0 1",
    ),
    (MatingPattern::Reti, "1nbB4/1pk5/2p5/8/8/8/8/2KR4 b - - 0 1"),
    (
        MatingPattern::Triangle,
        "4kr2/3Q4/8/3R4/8/8/8/6K1 b - - 0 1",
    ),
    (MatingPattern::KillBox, "3Rk3/8/5Q2/8/8/8/8/7K b - - 0 1"),
    (MatingPattern::Support, "4k3/4Q3/4K3/8/8/8/8/8 b - - 0 1"),
    (MatingPattern::Corner, "7k/5N1p/8/8/8/8/8/6RK b - - 0 1"),
    (MatingPattern::MaxLange, "6Q1/5Bpk/7p/8/8/8/8/6K1 b - - 0 1"),
    (
        MatingPattern::Pillsbury,
        "5rk1/5p1p/8/8/8/8/1B6/6RK b - - 0 1",
    ),
    (MatingPattern::Morphy, "7k/7p/8/8/8/8/1B6/6RK b - - 0 1"),
    (
        MatingPattern::Anderssen,
        "5rkR/5pP1/8/8/8/8/1B6/6K1 b - - 0 1",
    ),
    (MatingPattern::Mayet, "5rkR/5p2/8/8/8/8/1B6/6K1 b - - 0 1"),
    (MatingPattern::Vukovic, "4k3/4R3/3PN3/8/8/8/8/6K1 b - - 0 1"),
    (MatingPattern::Balestra, "4k3/8/2B2Q2/8/8/8/8/6K1 b - - 0 1"),
    (MatingPattern::Pawn, "7k/5KPp/8/8/8/8/8/8 b - - 0 1"),
    (MatingPattern::TwoKnights, "7k/4NN1p/7K/8/8/8/8/8 b - - 0 1"),
    (
        MatingPattern::Scholars,
        "r1bqkb1r/pppp1Qpp/2n2n2/4p3/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 0 4",
    ),
    (
        MatingPattern::Fools,
        "rnb1kbnr/pppp1ppp/8/4p3/6Pq/5P2/PPPPP2P/RNBQKBNR w KQkq - 1 3",
    ),
    (
        MatingPattern::DoubleCheck,
        "3rkb2/3p1p2/5N2/8/8/8/8/4R1K1 b - - 0 1",
    ),
    (MatingPattern::Opposition, "R3k3/8/4K3/8/8/8/8/8 b - - 0 1"),
    (
        MatingPattern::Castling,
        "3k4/1R6/4Q3/8/8/8/8/2KR4 b - - 0 1",
    ),
];

#[test]
fn every_example_is_mate_and_shows_its_pattern() {
    let mut wrong = Vec::new();
    for &(pattern, fen) in EXAMPLES {
        let p = position(fen);
        if !p.is_checkmate() {
            wrong.push(format!("{pattern:?} {fen} is no mate"));
        } else if !pattern.matches(&p) {
            wrong.push(format!(
                "{pattern:?} {fen} shows {:?}",
                MatingPattern::of(&p)
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn clearly_other_pictures_do_not_match() {
    for (pattern, fen) in [
        (
            MatingPattern::Smothered,
            "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::BackRank, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Arabian, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Boden, "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Epaulette,
            "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Smothered, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Anastasia,
            "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Legal, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
        // Not mate at all: the king takes the rook.
        (MatingPattern::Arabian, "7k/7R/8/8/8/8/8/6K1 b - - 0 1"),
    ] {
        assert!(!pattern.matches(&position(fen)), "{pattern:?} {fen}");
    }
}

#[test]
fn nothing_but_mate_has_a_pattern_and_mirrors_agree() {
    let mut mates = 0;
    for position in playouts(400, 400) {
        let shown = MatingPattern::of(&position);
        if !position.is_checkmate() {
            assert!(shown.is_empty());
            continue;
        }
        mates += 1;
        let mirrored = position
            .to_setup(shakmaty::EnPassantMode::Legal)
            .into_mirrored()
            .position::<Chess>(shakmaty::CastlingMode::Standard)
            .unwrap();
        assert_eq!(shown, MatingPattern::of(&mirrored));
    }
    assert!(mates > 5);
}
