//! Speed of board facts, mate prover, move search and ending tables, next to the bare rules library.
//!
//! `cargo bench -p gainsay-proof --bench answers`. Counts of items are positions, or
//! nodes of the search; `rules_alone` plays every move of each position on a copy and
//! generates the replies, which is what one node costs at least.
//!
//! `cargo bench -p gainsay-proof --bench answers -- FILE…` measures mates on the positions of
//! files instead (see `files::measure`).

mod clock;
mod files;

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use gainsay_proof::endings::Tables;
use gainsay_proof::facts;
use gainsay_proof::search::{Searcher, evaluate};
use gainsay_proof::{Budget, MateProver};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen};

use clock::ThreadClock;

fn main() -> std::io::Result<()> {
    let arguments = std::env::args().skip(1);
    let files: Vec<String> = arguments
        .filter(|name| std::path::Path::new(name).is_file())
        .collect();
    if files.is_empty() {
        divan::main();
    }
    files.iter().try_for_each(|path| files::measure(path))
}

/// Invented positions: an opening, two middlegames, an ending, a mate.
const POSITIONS: [&str; 5] = [
    "r1bqk2r/ppp2ppp/2np1n2/2b1p3/2B1P3/2PP1N2/PP3PPP/RNBQ1RK1 b kq - 0 6",
    "r2q1rk1/1b2bppp/p1nppn2/1p6/3NPP2/1BN1B3/PPP3PP/R2Q1R1K w - - 0 13",
    "2r2rk1/pp1bqpp1/2n1pn1p/3p4/3P4/2PBPN2/PP1N1PPP/R2QR1K1 w - - 0 14",
    "8/5pk1/3r2p1/1p1P3p/1P2K2P/4R1P1/5P2/8 w - - 0 40",
    "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1",
];

fn positions() -> Vec<Chess> {
    POSITIONS
        .iter()
        .filter_map(|fen| {
            fen.parse::<Fen>()
                .ok()?
                .into_position(CastlingMode::Standard)
                .ok()
        })
        .collect()
}

#[divan::bench]
fn rules_alone(bencher: Bencher) {
    let positions = positions();
    let moves: usize = positions.iter().map(|p| p.legal_moves().len()).sum();
    bencher.counter(ItemsCount::new(moves)).bench(|| {
        let mut replies = 0;
        for position in &positions {
            for m in position.legal_moves() {
                let mut next = position.clone();
                next.play_unchecked(m);
                replies += black_box(next.legal_moves()).len();
            }
        }
        replies
    });
}

#[divan::bench(sample_count = 10)]
fn search(bencher: Bencher) {
    let positions = positions();
    let mut searcher = Searcher::new(64 << 20);
    let mut count = 0;
    for position in &positions {
        let mut budget = Budget::nodes(50_000);
        searcher.best(position, 1, &mut budget);
        count += budget.spent();
    }
    bencher.counter(ItemsCount::new(count)).bench_local(|| {
        for position in &positions {
            black_box(searcher.best(position, 1, &mut Budget::nodes(50_000)));
        }
    });
}

/// Raises the flag a while after the work began, and prints how long it went on then, by
/// the clock on the wall and by that of the working thread, which does not count while others
/// have the processor; the promise is one millisecond.
fn stopped(bencher: Bencher, mut work: impl FnMut(&mut Budget<'_>)) {
    let (mut delays, mut worked) = (Vec::new(), Vec::new());
    bencher.bench_local(|| {
        let stop = AtomicBool::new(false);
        let clock = ThreadClock::own();
        // Another moment of the work each time.
        let pause = Duration::from_micros(1_000 + 1_733 * (delays.len() as u64 % 50));
        std::thread::scope(|scope| {
            let raised = scope.spawn(|| {
                std::thread::sleep(pause);
                let now = (Instant::now(), clock.now());
                stop.store(true, Ordering::Relaxed);
                now
            });
            work(&mut Budget::nodes(u64::MAX).stoppable(&stop));
            let (ended, work_ended) = (Instant::now(), clock.now());
            if let Ok((raised, work_then)) = raised.join() {
                delays.push(ended.saturating_duration_since(raised));
                worked.push(work_ended.saturating_sub(work_then));
            }
        });
    });
    for (name, mut times) in [("to answer", delays), ("work until then", worked)] {
        times.sort_unstable();
        let at = |part: usize| times.get((times.len() - 1) * part / 1000);
        let [half, most, nearly, all] = [500, 990, 999, 1000].map(at);
        eprintln!(
            "\nfrom flag {name}: median {half:?}, 99 of 100 {most:?}, 999 of 1000 {nearly:?}, \
             longest {all:?} of {}",
            times.len()
        );
    }
}

#[divan::bench(sample_count = 1000, sample_size = 1)]
fn stopped_search(bencher: Bencher) {
    let position = Chess::default();
    let mut searcher = Searcher::new(64 << 20);
    stopped(bencher, |budget| {
        black_box(searcher.best(&position, 1, budget));
    });
}

/// Long enough for the tables to grow on the way.
#[divan::bench(sample_count = 200, sample_size = 1)]
fn stopped_prover(bencher: Bencher) {
    let positions = positions();
    let mut prover = MateProver::new(128 << 20);
    stopped(bencher, |budget| {
        for position in &positions {
            black_box(prover.mate(position, budget));
        }
    });
}

/// Asks for mates within so many moves.
fn within(bencher: Bencher, positions: &[Chess], moves: u32) {
    let mut prover = MateProver::new(16 << 20);
    bencher
        .counter(ItemsCount::new(positions.len()))
        .bench_local(|| {
            for position in positions {
                let mut budget = Budget::nodes(1_000_000);
                black_box(prover.mate_within(position, moves, &mut budget));
            }
        });
}

/// Published problems (their sources stand beside them) that end in so many moves: the
/// mate proved, and that there is none shorter.
#[divan::bench(args = [2, 3, 4])]
fn exact_mate(bencher: Bencher, moves: u32) {
    let positions: Vec<Chess> = include_str!("../../../../fixtures/mates.epd")
        .lines()
        .filter_map(|line| files::mate_in(line, moves))
        .collect();
    within(bencher, &positions, moves);
}

/// That there is no mate in three in the opening and the middlegames.
#[divan::bench]
fn false_mate_in_three(bencher: Bencher) {
    let mut positions = positions();
    positions.retain(|position| position.board().occupied().count() >= 20);
    within(bencher, &positions, 3);
}

#[divan::bench]
fn evaluations(bencher: Bencher) {
    let positions = positions();
    bencher
        .counter(ItemsCount::new(positions.len()))
        .bench(|| positions.iter().map(evaluate).sum::<i32>());
}

#[divan::bench]
fn exchanges(bencher: Bencher) {
    let positions = positions();
    let moves: usize = positions.iter().map(|p| p.legal_moves().len()).sum();
    bencher.counter(ItemsCount::new(moves)).bench(|| {
        let mut sum = 0;
        for position in &positions {
            for m in position.legal_moves() {
                sum += facts::exchange_of(position, m);
            }
        }
        sum
    });
}

#[divan::bench]
fn pins_forks_and_patterns(bencher: Bencher) {
    let positions = positions();
    bencher.counter(ItemsCount::new(positions.len())).bench(|| {
        for position in &positions {
            let board = position.board();
            black_box(facts::pins(board, position.turn()));
            black_box(facts::forks(board, position.turn()));
            black_box(facts::MatingPattern::of(position));
        }
    });
}

#[divan::bench(sample_count = 3, sample_size = 1, args = ["KRK", "KRKN"])]
fn build_table(bencher: Bencher, name: &str) {
    bencher.bench_local(|| {
        let stop = AtomicBool::new(false);
        name.parse()
            .and_then(|signature| Tables::new(usize::MAX).build(signature, &stop))
            .map(|table| table.longest())
    });
}
