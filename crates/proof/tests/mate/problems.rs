//! Published mates of two to five moves with their sole keys.
//!
//! All are given from memory, each with the source it is known from; exhaustive search
//! with the rules library alone confirms that every one is sound: mate in that many
//! moves, in none fewer, by that first move only. Positions marked "schematic" show a
//! mate that the source is known for with the men it needs.

use gainsay_proof::{Budget, MateProver, Verdict, verify};
use shakmaty::{Position, san::San};

use crate::{brute::Brute, position};

struct Problem {
    source: &'static str,
    fen: &'static str,
    moves: u32,
    key: &'static str,
}

const PROBLEMS: [Problem; 12] = [
    Problem {
        source: "Lucena, Repetición de amores (1497): the smothered mate, schematic",
        fen: "5rk1/5Npp/8/8/2Q5/8/8/6K1 w - - 0 1",
        moves: 3,
        key: "Nh6+",
    },
    Problem {
        source: "Damiano, Questo libro (1512): the queen behind the rook, schematic",
        fen: "5rk1/6p1/4p1P1/8/8/8/8/1K1Q3R w - - 0 1",
        moves: 3,
        key: "Rh8+",
    },
    Problem {
        source: "Greco, c. 1620: 1. e4 b6 2. d4 Bb7 3. Bd3 f5 4. exf5 Bxg2 5. Qh5+ g6 6. fxg6 Nf6",
        fen: "rn1qkb1r/p1ppp2p/1p3nP1/7Q/3P4/3B4/PPP2PbP/RNB1K1NR w KQkq - 1 7",
        moves: 2,
        key: "gxh7+",
    },
    Problem {
        source: "Stamma, Essai sur le jeu des échecs (1737): knight against rook's pawn, schematic",
        fen: "8/8/8/8/3N4/p7/k1K5/8 w - - 0 1",
        moves: 3,
        key: "Ne2",
    },
    Problem {
        source: "Légal, Paris c. 1750: 1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1",
        fen: "r2qkbnr/ppp2p1p/3p2p1/4N3/2B1P3/2N5/PPPP1PPP/R1BbK2R w KQkq - 0 6",
        moves: 2,
        key: "Bxf7+",
    },
    Problem {
        source: "Lolli, Osservazioni (1763): queen and pawn on the sixth rank, schematic",
        fen: "r4rk1/p4p1p/5Pp1/8/7Q/8/8/6K1 w - - 0 1",
        moves: 2,
        key: "Qh6",
    },
    Problem {
        source: "Heinse, Anastasia und das Schachspiel (1803): Anastasia's mate, schematic",
        fen: "5r1k/4Nppp/8/7Q/8/4R3/8/6K1 w - - 0 1",
        moves: 2,
        key: "Qxh7+",
    },
    Problem {
        source: "Loveday, The Chess Player's Chronicle (1845): the Indian problem",
        fen: "8/8/1p5B/4p3/1p2k1P1/1P3n2/P4PB1/K2R4 w - - 0 1",
        moves: 3,
        key: "Bc1",
    },
    Problem {
        source: "Anderssen, London 1851, the Immortal Game after 20. e5 Na6",
        fen: "r1b1k1nr/p2p1ppp/n2B4/1p1NPN1P/6P1/3P1Q2/P1P1K3/q5b1 w kq - 1 21",
        moves: 3,
        key: "Nxg7+",
    },
    Problem {
        source: "Anderssen, Berlin 1852, the Evergreen Game after 20. Rxe7+ Nxe7",
        fen: "1r2k1r1/pbppnp1p/1b3P2/8/Q7/B1PB1q2/P4PPP/3R2K1 w - - 0 21",
        moves: 4,
        key: "Qxd7+",
    },
    Problem {
        source: "Morphy, New York Clipper (1856)",
        fen: "kbK5/pp6/1P6/8/8/8/8/R7 w - - 0 1",
        moves: 2,
        key: "Ra6",
    },
    Problem {
        source: "Loyd, London Era (1861): Excelsior",
        fen: "n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1",
        moves: 5,
        key: "b4",
    },
];

#[test]
fn the_problems_are_remembered_rightly() {
    for problem in &PROBLEMS {
        let position = position(problem.fen);
        let mut brute = Brute::default();
        assert_eq!(
            brute.least(&position, problem.moves),
            Some(problem.moves),
            "{}",
            problem.source
        );
        let keys: Vec<String> = position
            .legal_moves()
            .into_iter()
            .filter(|&m| brute.mates_with(&position, m, problem.moves))
            .map(|m| san(&position, m))
            .collect();
        assert_eq!(
            keys,
            [problem.key.trim_end_matches('+')],
            "{}",
            problem.source
        );
    }
}

fn san(position: &shakmaty::Chess, m: shakmaty::Move) -> String {
    San::from_move(position, m).to_string()
}

#[test]
fn problems_are_solved_exactly_with_a_proof() {
    let mut prover = MateProver::new(32 << 20);
    for problem in &PROBLEMS {
        let position = position(problem.fen);
        let answer = prover.mate_within(&position, problem.moves, &mut Budget::nodes(3_000_000));
        assert_eq!(answer.verdict, Verdict::Holds, "{}", problem.source);
        assert_eq!(answer.moves, Some(problem.moves), "{}", problem.source);
        assert!(answer.exact, "{}", problem.source);
        let proof = answer.proof.unwrap();
        assert_eq!(
            verify(&proof.to_string()).unwrap().moves,
            problem.moves,
            "{}",
            problem.source
        );
        let answer =
            prover.mate_within(&position, problem.moves - 1, &mut Budget::nodes(3_000_000));
        assert_eq!(answer.verdict, Verdict::Fails, "{}", problem.source);
        // A move that does not mate, and a reply that shows it.
        assert_eq!(answer.line.len(), 2, "{}", problem.source);
        let mut brute = Brute::default();
        let after = position.clone().play(answer.line[0]).unwrap();
        let next = after.play(answer.line[1]).unwrap();
        assert!(!brute.mates(&next, problem.moves - 2), "{}", problem.source);
    }
}

#[test]
fn the_key_is_the_only_mating_move() {
    let mut prover = MateProver::new(32 << 20);
    for problem in &PROBLEMS {
        let position = position(problem.fen);
        let mut brute = Brute::default();
        let answers = prover.mating_moves(
            &position,
            Some(problem.moves),
            &mut Budget::nodes(20_000_000),
        );
        assert_eq!(answers.len(), position.legal_moves().len());
        for answer in answers {
            let name = san(&position, answer.first);
            if name == problem.key.trim_end_matches('+') {
                assert_eq!(answer.verdict, Verdict::Holds, "{} {name}", problem.source);
                assert_eq!(answer.moves, Some(problem.moves), "{}", problem.source);
                assert_eq!(answer.escape, None);
                continue;
            }
            assert_eq!(answer.verdict, Verdict::Fails, "{} {name}", problem.source);
            let after = position.clone().play(answer.first).unwrap();
            if after.legal_moves().is_empty() {
                assert!(after.is_stalemate());
                continue;
            }
            let next = after.play(answer.escape.unwrap()).unwrap();
            assert!(
                !brute.mates(&next, problem.moves - 1),
                "{} {name}",
                problem.source
            );
        }
    }
}
