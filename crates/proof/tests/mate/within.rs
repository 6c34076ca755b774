//! Mates within a number of moves, against an exhaustive search that shares
//! nothing with the prover but the rules of the game.

use gainsay_proof::{Budget, MateProver, Verdict, verify};
use shakmaty::{CastlingMode, Chess, Color, Piece, Position, Role, Setup, Square};

use crate::{Numbers, brute::Brute, position};

/// A position in which White should have the better of it, whoever is to move.
pub(crate) fn random_position(numbers: &mut Numbers, men: usize, turn: Color) -> Option<Chess> {
    let mut setup = Setup::empty();
    setup.turn = turn;
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
        let Some(position) = random_position(&mut numbers, 5, Color::White) else {
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

#[test]
fn first_moves_agree_with_exhaustive_search_on_random_positions() {
    let mut numbers = Numbers(0x0005_eed0_fa11);
    let mut prover = MateProver::new(1 << 20);
    let (mut held, mut failed) = (0, 0);
    while held + failed < 4_000 {
        let Some(position) = random_position(&mut numbers, 5, Color::White) else {
            continue;
        };
        let mut brute = Brute::default();
        for answer in prover.mating_moves(&position, Some(2), &mut Budget::nodes(2_000_000)) {
            let mates = brute.mates_with(&position, answer.first, 2);
            if mates {
                held += 1;
                assert_eq!(answer.verdict, Verdict::Holds, "{position:?} {answer:?}");
            } else {
                failed += 1;
                assert_eq!(answer.verdict, Verdict::Fails, "{position:?} {answer:?}");
                if let Some(escape) = answer.escape {
                    let after = position.clone().play(answer.first).unwrap();
                    let drawn = after.halfmoves() >= 100;
                    let next = after.play(escape).unwrap();
                    assert!(drawn || next.halfmoves() >= 100 || !brute.mates(&next, 1));
                }
            }
        }
    }
    assert!(held > 100, "{held}");
}

/// Three moves: the bounded proof-number search has its part in these.
#[test]
fn agrees_with_exhaustive_search_in_three_moves_and_any_number() {
    let mut numbers = Numbers(0x3333);
    let mut prover = MateProver::new(1 << 20);
    let mut held = 0;
    for _ in 0..300 {
        let Some(position) = random_position(&mut numbers, 4, Color::White) else {
            continue;
        };
        let least = Brute::default().least(&position, 3);
        let answer = prover.mate_within(&position, 3, &mut Budget::nodes(3_000_000));
        assert_eq!(answer.moves, least, "{position:?}");
        // A small budget may leave questions open but never answers them wrongly.
        let answer = prover.mate(&position, &mut Budget::nodes(20_000));
        match (answer.verdict, least) {
            (Verdict::Holds, Some(least)) => {
                held += 1;
                let moves = answer.moves.unwrap();
                assert!(
                    moves == least || (moves > least && !answer.exact),
                    "{position:?}"
                );
            }
            (Verdict::Holds, None) => assert!(answer.moves.unwrap() > 3, "{position:?}"),
            (Verdict::Fails, _) => assert_eq!(least, None, "{position:?}"),
            (Verdict::Unsettled, _) => assert!(answer.nodes <= 20_000),
        }
        if let Some(proof) = answer.proof {
            assert_eq!(
                verify(&proof.to_string()).unwrap().moves,
                answer.moves.unwrap()
            );
        }
    }
    assert!(held > 30, "{held}");
}

#[test]
fn without_mating_material_there_is_no_mate() {
    let mut prover = MateProver::new(1 << 20);
    // A lone bishop; a king alone; stalemate; mated oneself.
    for fen in [
        "8/8/8/4k3/8/8/3B4/4K3 w - - 0 1",
        "8/8/8/4k3/8/8/3R4/4K3 b - - 0 1",
        "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1",
        "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1",
    ] {
        let answer = prover.mate(&position(fen), &mut Budget::nodes(100_000));
        assert_eq!(answer.verdict, Verdict::Fails, "{fen}");
        assert!(answer.proof.is_none() && answer.moves.is_none());
    }
    // Blocked pawns: no mate in any number of moves, though moves never end.
    let answer = prover.mate(
        &position("8/8/4k3/p1p1p1p1/P1P1P1P1/4K3/8/8 w - - 0 1"),
        &mut Budget::nodes(3_000_000),
    );
    assert_ne!(answer.verdict, Verdict::Holds);
}

/// King and queen against king with the attacker to move is always won (common
/// practice, no source). Nearly every line repeats positions, so a disproof that wrongly
/// rests on the path would show here.
#[test]
fn repetition_on_the_path_disproves_nothing() {
    let mut numbers = Numbers(0x0909);
    let mut prover = MateProver::new(2 << 20);
    let mut asked = 0;
    while asked < 150 {
        let mut setup = Setup::empty();
        for piece in [
            Color::White.king(),
            Color::Black.king(),
            Color::White.queen(),
        ] {
            let square = Square::new(numbers.below(64) as u32);
            setup.board.set_piece_at(square, piece);
        }
        let Ok(position) = setup.position::<Chess>(CastlingMode::Standard) else {
            continue;
        };
        if position.board().occupied().count() < 3 {
            continue;
        }
        asked += 1;
        let answer = prover.mate(&position, &mut Budget::nodes(30_000));
        assert_ne!(answer.verdict, Verdict::Fails, "{position:?}");
    }
}

#[test]
fn answers_do_not_depend_on_earlier_questions() {
    let fens = [
        "r2qkbnr/ppp2p1p/3p2p1/4N3/2B1P3/2N5/PPPP1PPP/R1BbK2R w KQkq - 0 6",
        "1r2k1r1/pbppnp1p/1b3P2/8/Q7/B1PB1q2/P4PPP/3R2K1 w - - 0 21",
        "r1bqkb1r/pppp1ppp/2n2n2/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR w KQkq - 4 4",
        "8/8/8/8/3N4/p7/k1K5/8 w - - 0 1",
    ];
    let ask = |prover: &mut MateProver, fen: &str| {
        let answer = prover.mate(&position(fen), &mut Budget::nodes(60_000));
        format!("{answer:?}")
    };
    let mut used = MateProver::new(4 << 20);
    for _ in 0..70 {
        for fen in fens {
            // More questions than the table has generations of its smallest kind.
            let _ = used.mate_within(&position(fen), 1, &mut Budget::nodes(50));
        }
    }
    for fen in fens {
        let fresh = ask(&mut MateProver::new(4 << 20), fen);
        assert_eq!(ask(&mut used, fen), fresh);
        assert_eq!(ask(&mut used, fen), fresh);
    }
}

#[test]
fn budgets_are_kept() {
    let mut prover = MateProver::new(1 << 20);
    let position = position("r1bqkb1r/pppp1ppp/2n2n2/4p3/2B1P3/5N2/PPPP1PPP/RNBQK2R w KQkq - 4 4");
    for nodes in [0, 1, 7, 100, 5_000, 50_000] {
        let mut budget = Budget::nodes(nodes);
        let answer = prover.mate(&position, &mut budget);
        assert_eq!(answer.verdict, Verdict::Unsettled);
        assert!(answer.nodes <= nodes && answer.nodes == budget.spent());
        let mut budget = Budget::nodes(nodes);
        let answers = prover.mating_moves(&position, None, &mut budget);
        assert_eq!(answers.len(), position.legal_moves().len());
        assert!(budget.spent() <= nodes);
    }
}

/// A stop flag raised while the prover works ends the work at once. The time allowed
/// is generous, because the machine may be busy with other tests.
#[test]
fn a_stopped_search_ends_at_once() {
    use std::{
        sync::atomic::{AtomicBool, Ordering},
        thread,
        time::{Duration, Instant},
    };
    let stop = AtomicBool::new(false);
    let position = position("r1bqkb1r/pppp1ppp/2n2n2/4p3/2B1P3/5N2/PPPP1PPP/RNBQK2R w KQkq - 4 4");
    thread::scope(|scope| {
        let worker = scope.spawn(|| {
            let mut budget = Budget::nodes(u64::MAX).stoppable(&stop);
            let answer = MateProver::new(1 << 20).mate(&position, &mut budget);
            (answer.verdict, Instant::now())
        });
        thread::sleep(Duration::from_millis(100));
        let stopped = Instant::now();
        stop.store(true, Ordering::Relaxed);
        let (verdict, ended) = worker.join().unwrap();
        assert_eq!(verdict, Verdict::Unsettled);
        assert!(ended.saturating_duration_since(stopped) < Duration::from_millis(200));
    });
}

/// Locked pawns keep every search going without end in sight; the stack must do.
#[test]
fn deep_searches_need_little_stack() {
    let deep = || {
        let mut prover = MateProver::new(2 << 20);
        for fen in [
            "8/8/4k3/p1p1p1p1/P1P1P1P1/4K3/8/8 w - - 0 1",
            "8/8/8/8/3N4/p7/k1K5/8 w - - 0 1",
            "8/8/8/4k3/8/8/3Q4/4K3 w - - 60 90",
        ] {
            let position = position(fen);
            for moves in [5, 40, u32::MAX] {
                let answer = prover.mate_within(&position, moves, &mut Budget::nodes(200_000));
                assert!(answer.nodes <= 200_000);
            }
            let answer = prover.mate(&position, &mut Budget::nodes(200_000));
            assert!(answer.nodes <= 200_000);
        }
    };
    std::thread::Builder::new()
        .stack_size(1 << 20)
        .spawn(deep)
        .unwrap()
        .join()
        .unwrap();
}
