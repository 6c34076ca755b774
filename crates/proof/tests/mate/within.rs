//! Mates within a number of moves, against an exhaustive search that shares
//! nothing with the prover but the rules of the game.

use gainsay_proof::{Budget, MateProver, Verdict};
use shakmaty::{CastlingMode, Chess, Color, Piece, Position, Role, Setup, Square};

use crate::{Numbers, brute::Brute, position};

fn random_position(numbers: &mut Numbers, men: usize) -> Option<Chess> {
    let mut setup = Setup::empty();
    let roles = [
        Role::Queen,
        Role::Rook,
        Role::Bishop,
        Role::Knight,
        Role::Pawn,
    ];
    let square = |numbers: &mut Numbers| Square::new(numbers.below(64) as u32);
    setup
        .board
        .set_piece_at(square(numbers), Color::White.king());
    // A king near the edge is mated more often.
    let edge = Square::from_coords(
        shakmaty::File::new(numbers.below(8) as u32),
        shakmaty::Rank::Eighth,
    );
    setup.board.set_piece_at(edge, Color::Black.king());
    for _ in 0..men {
        let at = square(numbers);
        if setup.board.piece_at(at).is_none() {
            let role = roles[numbers.below(5)];
            let color = if numbers.below(3) == 0 {
                Color::Black
            } else {
                Color::White
            };
            setup.board.set_piece_at(at, Piece { color, role });
        }
    }
    setup.halfmoves = if numbers.below(4) == 0 {
        93 + numbers.below(8) as u32
    } else {
        0
    };
    setup.position(CastlingMode::Standard).ok()
}

#[test]
fn agrees_with_exhaustive_search_on_random_positions() {
    let mut numbers = Numbers(0x9a15_4e11);
    let mut prover = MateProver::new(1 << 20);
    let (mut held, mut failed) = (0, 0);
    while held + failed < 400 {
        let Some(position) = random_position(&mut numbers, 5) else {
            continue;
        };
        let least = Brute::default().least(&position, 2);
        for moves in 1..=2 {
            let answer = prover.mate_within(&position, moves, &mut Budget::nodes(1_000_000));
            let expected = least.filter(|&least| least <= moves);
            assert_eq!(answer.moves, expected, "{position:?}");
            match expected {
                Some(least) => {
                    held += 1;
                    assert_eq!(answer.verdict, Verdict::Holds);
                    assert!(answer.exact);
                    assert_eq!(answer.line.len() as u32, 2 * least - 1);
                    let mut last = position.clone();
                    for m in answer.line {
                        last = last.play(m).unwrap();
                    }
                    assert!(last.is_checkmate());
                }
                None => {
                    failed += 1;
                    assert_eq!(answer.verdict, Verdict::Fails);
                }
            }
        }
    }
    assert!(held > 40 && failed > 40, "{held} {failed}");
}

#[test]
fn stalemate_is_no_mate() {
    let mut prover = MateProver::new(1 << 20);
    // 1. Qb6 would be stalemate; there is no mate in one.
    let answer = prover.mate_within(
        &position("k7/8/8/1Q6/8/8/8/K7 w - - 0 1"),
        1,
        &mut Budget::nodes(10_000),
    );
    assert_eq!(answer.verdict, Verdict::Fails);
}

#[test]
fn the_fifty_move_rule_ends_a_mate_that_comes_too_late() {
    let mut prover = MateProver::new(1 << 20);
    // King and rook mate in two; the mating move is the third half-move.
    for (clock, verdict) in [
        (96, Verdict::Holds),
        (97, Verdict::Holds),
        (98, Verdict::Fails),
    ] {
        let fen = format!("7k/8/5K2/6R1/8/8/8/8 w - - {clock} 100");
        let answer = prover.mate_within(&position(&fen), 2, &mut Budget::nodes(100_000));
        assert_eq!(answer.verdict, verdict, "{clock}");
    }
}

#[test]
fn an_empty_budget_settles_nothing() {
    let mut prover = MateProver::new(1 << 20);
    let answer = prover.mate_within(
        &position("7k/8/5K2/6R1/8/8/8/8 w - - 0 1"),
        2,
        &mut Budget::nodes(3),
    );
    assert_eq!(answer.verdict, Verdict::Unsettled);
    assert!(answer.nodes <= 3);
}
