//! Published mates of two to five moves with their sole keys.
//!
//! The file says where each is known from; exhaustive search with the rules library alone
//! confirms that every one is sound: mate in that many moves, in none fewer, by that first
//! move only.

use gainsay_proof::{Budget, MateProver, Verdict, verify};
use shakmaty::{Position, san::San};

use crate::{brute::Brute, position};

struct Problem {
    source: String,
    fen: String,
    moves: u32,
    key: String,
}

/// The problems of `fixtures/mates.epd`.
fn problems() -> Vec<Problem> {
    let problems: Vec<Problem> = include_str!("../../../../fixtures/mates.epd")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| {
            let operand = |name: &str| {
                line.split_once(&format!(" {name} "))
                    .and_then(|(_, rest)| rest.split_once(';'))
                    .map_or_else(|| panic!("no {name} in {line}"), |(operand, _)| operand)
            };
            let fields: Vec<&str> = line.split(' ').take(4).collect();
            Problem {
                source: operand("id").trim_matches('"').to_owned(),
                fen: format!(
                    "{} {} {}",
                    fields.join(" "),
                    operand("hmvc"),
                    operand("fmvn")
                ),
                moves: operand("dm").parse().expect("a number"),
                key: operand("bm").to_owned(),
            }
        })
        .collect();
    assert!(problems.len() >= 24);
    problems
}

#[test]
fn the_problems_are_remembered_rightly() {
    for problem in problems() {
        let position = position(&problem.fen);
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
    for problem in problems() {
        let position = position(&problem.fen);
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
    for problem in problems() {
        let position = position(&problem.fen);
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
