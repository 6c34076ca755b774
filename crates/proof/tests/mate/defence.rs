//! Whether the side to move is mated, against exhaustive search.

use gainsay_proof::{Budget, MateProver, Verdict, verify};
use shakmaty::{Chess, Color, Position};

use crate::{Numbers, brute::Brute, position, within::random_position};

fn nodes(nodes: u64) -> Budget<'static> {
    Budget::nodes(nodes)
}

#[test]
fn agrees_with_exhaustive_search_on_random_positions() {
    let mut numbers = Numbers(0x0ddb_a115);
    let mut prover = MateProver::new(1 << 20);
    let (mut held, mut failed) = (0, 0);
    while held < 60 || failed < 200 {
        let Some(position) = random_position(&mut numbers, 5, Color::Black) else {
            continue;
        };
        let mut brute = Brute::default();
        let least = (0..=2).find(|&left| brute.mated(&position, left));
        for moves in 0..=2 {
            let answer = prover.mated(&position, Some(moves), &mut nodes(1_000_000));
            let expected = least.filter(|&least| least <= moves);
            assert_eq!(answer.moves, expected, "{moves} {position:?}");
            if let Some(least) = expected {
                held += 1;
                assert_eq!((answer.verdict, answer.exact), (Verdict::Holds, true));
                assert_eq!(answer.line.len() as u32, 2 * least);
                let verified = verify(&answer.proof.unwrap().to_string()).unwrap();
                assert_eq!(verified.attacker, Color::White);
                assert_eq!(
                    (verified.position, verified.moves),
                    (position.clone(), least)
                );
            } else {
                failed += 1;
                assert_eq!(answer.verdict, Verdict::Fails, "{moves} {position:?}");
                breaks(&mut brute, &position, &answer.line, moves);
            }
        }
    }
}

/// The first move of the line leaves no mate within `moves` moves, and the attempt that
/// follows it, if there is one, meets a reply that does not either.
fn breaks(brute: &mut Brute, position: &Chess, line: &[shakmaty::Move], moves: u32) {
    let Some((&reply, attempt)) = line.split_first() else {
        assert!(position.is_stalemate());
        return;
    };
    let next = position.clone().play(reply).unwrap();
    assert!(next.halfmoves() >= 100 || !brute.mates(&next, moves));
    if let &[attack, answer] = attempt
        && moves > 0
    {
        let end = next.play(attack).unwrap().play(answer).unwrap();
        assert!(end.halfmoves() >= 100 || !brute.mates(&end, moves - 1));
    }
}

#[test]
fn a_move_that_mates_in_n_leaves_a_mate_in_one_less() {
    let mut prover = MateProver::new(16 << 20);
    for fen in [
        "n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1",
        "1k6/8/8/3K4/8/8/8/7Q w - - 0 1",
        "7k/8/4K3/6R1/8/8/8/8 w - - 40 80",
        "1r6/8/8/8/2k5/8/5r2/K7 b - - 0 1",
    ] {
        let p = position(fen);
        let first = prover.mate(&p, &mut nodes(3_000_000));
        let after = p.clone().play(first.line[0]).unwrap();
        let answer = prover.mated(&after, None, &mut nodes(3_000_000));
        assert_eq!(answer.verdict, Verdict::Holds, "{fen}");
        assert!(first.exact && answer.exact, "{fen}");
        assert_eq!(answer.moves, first.moves.map(|moves| moves - 1), "{fen}");
        let verified = verify(&answer.proof.unwrap().to_string()).unwrap();
        assert_eq!(Some(verified.moves), answer.moves);
        assert_eq!(verified.attacker, p.turn());
        // The mating side is not mated.
        let mated = prover.mated(&p, Some(3), &mut nodes(1_000_000));
        assert_eq!(mated.verdict, Verdict::Fails, "{fen}");
    }
}

#[test]
fn budgets_are_kept_and_answers_do_not_depend_on_earlier_questions() {
    let mut used = MateProver::new(1 << 20);
    for fen in [
        "r1bqkb1r/pppp1ppp/2n2n2/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 0 1",
        "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 b - - 0 1",
        "7k/8/4K3/6R1/8/8/8/8 b - - 0 1",
    ] {
        let p = position(fen);
        for limit in [None, Some(3), Some(5)] {
            for amount in [0, 1, 10, 1_000, 30_000] {
                let mut budget = nodes(amount);
                let again = used.mated(&p, limit, &mut budget);
                assert!(budget.spent() <= amount);
                assert_eq!(again.nodes, budget.spent());
                let fresh = MateProver::new(1 << 20).mated(&p, limit, &mut nodes(amount));
                assert_eq!(
                    (again.verdict, again.moves, again.line, again.nodes),
                    (fresh.verdict, fresh.moves, fresh.line, fresh.nodes)
                );
            }
        }
    }
}

/// Positions that several replies lead to are written down once, whichever reply comes
/// first.
#[test]
fn what_replies_share_is_written_once() {
    let mut prover = MateProver::new(16 << 20);
    let mut all = 0;
    // Invented: the pieces meet again after several orders of moves.
    for fen in [
        "8/8/8/6k1/8/8/R2R4/5K2 b - - 0 1",
        "R7/8/3k4/8/8/6K1/2R5/8 b - - 0 1",
        "6K1/8/k7/6Qp/2P5/8/8/8 b - - 0 1",
    ] {
        let start = position(fen);
        let answer = prover.mated(&start, None, &mut nodes(1_000_000));
        let text = answer.proof.expect("a proof").to_string();
        let verified = verify(&text).expect("sound");
        assert_eq!(Some(verified.moves), answer.moves, "{fen}");
        // Each line of a proof belongs to a position; those of one position and length
        // stand for each other.
        let (mut positions, mut lines) = (std::collections::HashSet::new(), 0);
        for (at, length) in walked(&start, &text) {
            lines += 1;
            positions.insert((at, length));
        }
        all += lines;
        assert_eq!(positions.len(), lines, "{fen}");
    }
    assert!(all > 30, "{all}");
}

/// The position of every step of a proof in which the first step has no move, with the
/// number of moves it takes from there.
fn walked(start: &Chess, text: &str) -> Vec<(String, u32)> {
    use shakmaty::{EnPassantMode, fen::Epd, uci::UciMove};
    let play = |at: &Chess, word: &str| {
        let m: UciMove = word.parse().expect("a move");
        at.clone()
            .play(m.to_move(at).expect("legal"))
            .expect("legal")
    };
    let steps: Vec<Vec<&str>> = (text.lines().skip(3))
        .take_while(|line| !line.starts_with("end "))
        .map(|line| line.split(' ').collect())
        .collect();
    let mut reached = vec![None; steps.len()];
    reached[0] = Some(start.clone());
    let mut lengths = vec![1; steps.len()];
    for (number, step) in steps.iter().enumerate() {
        let mut at = reached[number].clone().expect("reached before");
        if step[0] != "-" {
            at = play(&at, step[0]);
        }
        let mut replies: Vec<String> = (at.legal_moves().into_iter())
            .map(|m| m.to_uci(shakmaty::CastlingMode::Standard).to_string())
            .collect();
        replies.sort();
        for (reply, answer) in replies.iter().zip(&step[1..]) {
            if let Ok(to) = answer.parse::<usize>() {
                reached[to].get_or_insert_with(|| play(&at, reply));
            }
        }
    }
    for (number, step) in steps.iter().enumerate().rev() {
        for answer in &step[1..] {
            let below = answer.parse::<usize>().map_or(1, |to| lengths[to]);
            lengths[number] = lengths[number].max(below + 1);
        }
    }
    (reached.into_iter().flatten().zip(lengths))
        .map(|(at, length)| {
            (
                Epd::from_position(&at, EnPassantMode::Legal).to_string(),
                length,
            )
        })
        .collect()
}
