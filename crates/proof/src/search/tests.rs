//! The search against positions whose answer is known otherwise.

use std::sync::atomic::AtomicBool;

use shakmaty::{Chess, Position};

use super::*;
use crate::facts::testing::{playouts, position, uci};
use crate::{budget::Budget, verdict::Verdict};

fn best(fen: &str, nodes: u64) -> Vec<Variation> {
    Searcher::new(8 << 20).best(&position(fen), 1, &mut Budget::nodes(nodes))
}

#[test]
fn finds_short_mates() {
    for (fen, moves, value) in [
        (
            "6k1/5ppp/8/8/8/8/8/3R2K1 w - - 0 1",
            "d1d8",
            Value::Mates(1),
        ),
        // Two rooks drive the king: mate in two.
        ("7k/8/8/8/8/8/R7/1R4K1 w - - 0 1", "", Value::Mates(2)),
        // The invented smothered mate: Qg8+ Rxg8 Nf7#.
        (
            "5r1k/6pp/7N/8/2Q5/8/8/6K1 w - - 0 1",
            "c4g8",
            Value::Mates(2),
        ),
    ] {
        let lines = best(fen, 20_000);
        assert_eq!(lines[0].value, value, "{fen}");
        if !moves.is_empty() {
            let p = position(fen);
            assert_eq!(lines[0].moves[0], uci(&p, moves), "{fen}");
        }
    }
}

#[test]
fn sees_that_it_is_mated() {
    let lines = best("k7/8/8/8/8/8/1R6/2R3K1 b - - 0 1", 20_000);
    assert!(matches!(lines[0].value, Value::Mated(_)), "{lines:?}");
    assert!(best("3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1", 1_000).is_empty());
}

#[test]
fn lines_are_legal_and_ordered() {
    let mut searcher = Searcher::new(4 << 20);
    for position in playouts(12, 60).into_iter().step_by(5) {
        let lines = searcher.best(&position, 3, &mut Budget::nodes(3_000));
        let moves = position.legal_moves();
        assert_eq!(lines.len(), moves.len().min(3));
        for pair in lines.windows(2) {
            assert!(pair[0].value >= pair[1].value);
            assert_ne!(pair[0].moves[0], pair[1].moves[0]);
        }
        for line in &lines {
            let mut at: Chess = position.clone();
            for &m in &line.moves {
                at = at.play(m).expect("the line is legal");
            }
        }
    }
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let positions = playouts(6, 60);
    let mut used = Searcher::new(1 << 20);
    for position in positions.iter().step_by(4) {
        let again = used.best(position, 2, &mut Budget::nodes(5_000));
        let fresh = Searcher::new(1 << 20).best(position, 2, &mut Budget::nodes(5_000));
        assert_eq!(again, fresh);
    }
}

#[test]
fn the_budget_is_never_exceeded() {
    let mut searcher = Searcher::new(1 << 20);
    for nodes in [0, 1, 2, 100, 5_000] {
        let mut budget = Budget::nodes(nodes);
        searcher.best(&Chess::default(), 1, &mut budget);
        assert!(budget.spent() <= nodes);
    }
    let stop = AtomicBool::new(true);
    let mut budget = Budget::nodes(1_000_000).stoppable(&stop);
    searcher.best(&Chess::default(), 1, &mut budget);
    assert!(budget.spent() < 1_000);
}

/// Wherever the flag is raised, a few nodes later the search is at its end: counted, so that
/// it does not matter what else the machine does. (The clock is in `benches/answers`.)
#[test]
fn a_stopped_search_plays_only_a_few_moves_more() {
    use std::sync::atomic::Ordering;

    let p = position("r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/2N1PN2/PP2BPPP/R1BQ1RK1 w - - 0 9");
    let mut searcher = Searcher::new(4 << 20);
    for (lines, depth) in [(1, 1), (1, 3), (1, 6), (1, 9), (3, 2), (3, 5)] {
        let stop = AtomicBool::new(false);
        let mut budget = Budget::nodes(10_000_000).stoppable(&stop);
        let mut raised = None;
        let question = Question {
            lines,
            ..Question::new(&p)
        };
        searcher.watch(question, &mut budget, &mut |stage| {
            if stage.lines[0].depth == depth {
                stop.store(true, Ordering::Relaxed);
                raised = Some(stage.nodes);
            }
        });
        let after = budget.spent() - raised.expect("deep enough");
        assert!(after < 32, "{lines} {depth}: {after}");
    }
}

/// A search stops within a millisecond. The machine of the tests may be busy with other
/// things, so the best of several attempts counts, and the bound is generous.
#[test]
fn a_stopped_search_ends_at_once() {
    use std::sync::atomic::Ordering;
    use std::time::{Duration, Instant};

    let p = position("r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/2N1PN2/PP2BPPP/R1BQ1RK1 w - - 0 9");
    let mut searcher = Searcher::new(64 << 20);
    let soonest = (0..8)
        .map(|at| {
            let stop = AtomicBool::new(false);
            std::thread::scope(|scope| {
                let raised = scope.spawn(|| {
                    std::thread::sleep(Duration::from_millis(5 + 7 * at));
                    stop.store(true, Ordering::Relaxed);
                    Instant::now()
                });
                let mut budget = Budget::nodes(u64::MAX).stoppable(&stop);
                searcher.best(&p, 1, &mut budget);
                let ended = Instant::now();
                raised.join().map_or(Duration::MAX, |raised| {
                    ended.saturating_duration_since(raised)
                })
            })
        })
        .min();
    println!("stopped after {soonest:?}");
    assert!(soonest < Some(Duration::from_millis(5)), "{soonest:?}");
}

#[test]
fn a_question_can_be_bounded_and_watched() {
    let p = position("r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/2N1PN2/PP2BPPP/R1BQ1RK1 w - - 0 9");
    let mut stages = Vec::new();
    let question = Question {
        depth: 4,
        lines: 2,
        ..Question::new(&p)
    };
    Searcher::new(1 << 20).watch(question, &mut Budget::nodes(1_000_000), &mut |stage| {
        stages.push(stage);
    });
    let depths: Vec<u32> = stages.iter().map(|stage| stage.lines[0].depth).collect();
    assert_eq!(depths, [1, 2, 3, 4]);
    assert!(stages.iter().all(|stage| stage.lines.len() == 2));
    assert!(stages.windows(2).all(|pair| pair[0].nodes < pair[1].nodes));
}

/// A move back to a position of the game is worth a draw, however good the side stands.
#[test]
fn the_game_before_counts_for_repetitions() {
    let mut at = position("7k/8/8/8/8/8/5q2/K7 b - - 0 1");
    let mut past = Vec::new();
    // Kings shuffle, and the first position is on the board again.
    for m in ["h8g8", "a1b1", "g8h8", "b1a1"] {
        past.push(at.clone());
        at = at.clone().play(uci(&at, m)).expect("legal");
    }
    // All but one move is left out: 1...Kg8 leads to a position that occurred.
    let kg8 = uci(&at, "h8g8");
    let but: Vec<_> = at.legal_moves().into_iter().filter(|m| *m != kg8).collect();
    let value = |past: &[Chess]| {
        let question = Question {
            past,
            but: &but,
            ..Question::new(&at)
        };
        let mut value = None;
        let mut searcher = Searcher::new(1 << 20);
        searcher.watch(question, &mut Budget::nodes(5_000), &mut |stage| {
            value = Some(stage.lines[0].value);
        });
        value
    };
    assert_eq!(value(&past), Some(Value::Centipawns(0)));
    assert_ne!(value(&[]), Some(Value::Centipawns(0)));
}

#[test]
fn judgements_hold_fail_and_stay_open() {
    let mut searcher = Searcher::new(8 << 20);
    let settings = Settings::default();
    let queen_up = position("4k3/pppp4/8/8/8/8/PPPP4/3QK3 w - - 0 1");
    let mut ask = |bound: i32| {
        searcher
            .worth_at_least(
                &queen_up,
                Value::Centipawns(bound),
                settings,
                &mut Budget::nodes(20_000),
            )
            .verdict
    };
    assert_eq!(ask(300), Verdict::Holds);
    assert_eq!(ask(25_000), Verdict::Fails);
    let level = Chess::default();
    let judged = searcher.worth_at_least(
        &level,
        Value::Centipawns(20),
        settings,
        &mut Budget::nodes(20_000),
    );
    assert_eq!(judged.verdict, Verdict::Unsettled);
}

#[test]
fn the_best_move_and_a_blunder_are_told_apart() {
    let mut searcher = Searcher::new(8 << 20);
    let p = position("6k1/5ppp/8/3q4/8/8/5PPP/3R2K1 w - - 0 1");
    let judge = |searcher: &mut Searcher, m: &str| {
        searcher
            .is_best(
                &p,
                uci(&p, m),
                Settings::default(),
                &mut Budget::nodes(40_000),
            )
            .verdict
    };
    assert_eq!(judge(&mut searcher, "d1d5"), Verdict::Holds);
    assert_eq!(judge(&mut searcher, "d1a1"), Verdict::Fails);
    let single = position("7k/8/8/8/8/8/1q6/K7 w - - 0 1");
    let judged = searcher.is_best(
        &single,
        uci(&single, "a1b2"),
        Settings::default(),
        &mut Budget::nodes(4_000),
    );
    assert_eq!(judged.verdict, Verdict::Holds);
}

/// Handbook endings (from memory): the won one may be told so, the drawn ones never.
#[test]
fn handbook_endings_are_never_told_wrong() {
    let mut searcher = Searcher::new(16 << 20);
    for (name, fen, won) in [
        ("Lucena", "1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1", true),
        (
            "Philidor, third rank",
            "4k3/7R/r7/3KP3/8/8/8/8 w - - 0 1",
            false,
        ),
        ("Vancura", "R7/6k1/P4r2/8/4K3/8/8/8 w - - 0 1", false),
    ] {
        let verdict = searcher
            .worth_at_least(
                &position(fen),
                Value::Centipawns(300),
                Settings { margin: 100 },
                &mut Budget::nodes(200_000),
            )
            .verdict;
        if won {
            assert_ne!(verdict, Verdict::Fails, "{name}");
        } else {
            assert_ne!(verdict, Verdict::Holds, "{name}");
        }
    }
}
