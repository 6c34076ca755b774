//! Published counts of move paths against what the prover makes of moves: its generator of
//! checks and its keys.

use std::ops::ControlFlow;

use shakmaty::{CastlingMode, Chess, Position, PositionError, fen::Fen};

use super::checks::Checks;
use super::key::{Key, key, key_after};

/// The number of paths of `depth` moves. Those of the last ply are counted as the checks of
/// the generator and the legal moves that are none, so that one check too few or too many
/// makes the number wrong.
fn paths(position: &Chess, known: Key, depth: usize) -> u64 {
    assert_eq!(known, key(position), "{position:?}");
    let moves = position.legal_moves();
    if depth > 1 {
        return (moves.into_iter())
            .map(|m| {
                let mut next = position.clone();
                next.play_unchecked(m);
                paths(&next, key_after(position, known, m), depth - 1)
            })
            .sum();
    }
    let checks = Checks::new(position).expect("a king");
    let mut count = 0;
    let _ = checks.each(position, &mut |m| {
        assert!(moves.contains(&m), "{position:?} {m:?}");
        count += 1;
        ControlFlow::<()>::Continue(())
    });
    for m in moves {
        let mut next = position.clone();
        next.play_unchecked(m);
        assert!(
            !next.is_check() || checks.may_check(m),
            "{position:?} {m:?}"
        );
        count += u64::from(!checks.may_check(m));
    }
    count
}

/// The source of the numbers stands in `fixtures/perft.txt`.
#[test]
fn the_checks_and_the_other_moves_are_as_many_as_published() {
    let mut counts = 0;
    let lines = include_str!("../../../../fixtures/perft.txt").lines();
    for line in lines.filter(|line| !line.starts_with('#')) {
        let (fen, published) = line.split_once(" | ").expect("counts");
        let fen: Fen = fen.parse().expect("a position");
        // Positions that no game can reach are among them.
        let position: Chess = fen
            .into_position(CastlingMode::Standard)
            .or_else(PositionError::ignore_too_much_material)
            .or_else(PositionError::ignore_impossible_check)
            .expect("legal");
        for (before, count) in published.split(' ').enumerate() {
            let count: u64 = count.parse().expect("a number");
            assert_eq!(
                paths(&position, key(&position), before + 1),
                count,
                "{line}"
            );
            counts += 1;
        }
    }
    assert!(counts > 200);
}
