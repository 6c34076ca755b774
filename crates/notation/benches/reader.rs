//! The reader against pgn-reader (0.29.0) with a visitor that does nothing, on
//! the collections that pgn-reader ships: `cargo bench -p gainsay-notation`.
//!
//! Both read from memory, in turn, in one run; the best of the rounds counts,
//! since everything that disturbs a measurement makes it slower.

#[path = "../tests/common/mod.rs"]
mod common;

use std::hint::black_box;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use gainsay_notation::{Cuts, Game, LineIndex, read_game, sections};
use pgn_reader::{Reader, Skip, Visitor};

const ROUNDS: usize = 40;

/// Reads everything, side-lines too, and keeps nothing.
struct Nothing;

impl Visitor for Nothing {
    type Tags = ();
    type Movetext = ();
    type Output = ();

    fn begin_tags(&mut self) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }

    fn begin_movetext(&mut self, (): ()) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }

    fn begin_variation(&mut self, (): &mut ()) -> ControlFlow<(), Skip> {
        ControlFlow::Continue(Skip(false))
    }

    fn end_game(&mut self, (): ()) {}
}

fn reference(text: &[u8]) {
    // `text` is a reader of itself; the library buffers.
    let _ = black_box(Reader::new(black_box(text)).visit_all_games(&mut Nothing));
}

fn ours(text: &[u8]) {
    let mut game = Game::default();
    let mut at = 0;
    while let Some(next) = read_game(black_box(text), at, &mut game) {
        black_box(&game);
        at = next;
    }
}

fn cutting(text: &[u8]) {
    black_box(sections(black_box(text)).count());
}

fn lines(text: &[u8]) {
    black_box(LineIndex::new(black_box(text)));
}

/// The best time of each job, taken in turn.
fn best<const N: usize>(jobs: [fn(&[u8]); N], text: &[u8]) -> [Duration; N] {
    let mut best = [Duration::MAX; N];
    let repeats = (2_000_000 / text.len().max(1)).clamp(1, 200);
    for _ in 0..ROUNDS {
        for (job, best) in jobs.iter().zip(&mut best) {
            let start = Instant::now();
            for _ in 0..repeats {
                job(text);
            }
            *best = (*best).min(start.elapsed() / repeats as u32);
        }
    }
    best
}

/// What a keystroke costs in a text of about 10 MB: the lines and the cuts follow
/// it and the sections that changed are read again. The splice of the text
/// itself is left out.
fn keystrokes(text: &[u8]) {
    let mut text = text.repeat(10_000_000 / text.len().max(1));
    let mut lines = LineIndex::new(&text);
    let mut cuts = Cuts::new(&text);
    let mut game = Game::default();
    let mut times = Vec::new();
    let mut state = 1u64;
    for number in 0..2000 {
        // A fixed sequence of places, after Knuth's MMIX generator.
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let place = (state >> 33) as usize % text.len();
        let typed = [b'e', b'\n', b'{', b'['][number % 4];
        text.insert(place, typed);
        let start = Instant::now();
        lines.replace(&text, place..place, 1);
        let recut = cuts.replace(&text, place..place, 1);
        for number in recut.new {
            let section = &text[cuts.get(number).unwrap_or_default()];
            let mut at = 0;
            while let Some(next) = read_game(section, at, &mut game) {
                black_box(&game);
                at = next;
            }
        }
        times.push(start.elapsed());
    }
    times.sort();
    println!(
        "keystroke in {:.1} MB, {} sections: median {:?}, p99 {:?}, worst {:?}",
        text.len() as f64 / 1e6,
        cuts.len(),
        times[times.len() / 2],
        times[times.len() * 99 / 100],
        times[times.len() - 1],
    );
}

fn main() {
    println!(
        "{:24} {:>9} {:>11} {:>11} {:>7} {:>11} {:>11}",
        "file", "bytes", "pgn-reader", "read_game", "ratio", "sections", "LineIndex"
    );
    let mut total = [Duration::ZERO; 2];
    for (number, (_, text)) in common::collections().iter().enumerate() {
        let times = best([reference, ours, cutting, lines], text);
        let rate = |time: Duration| text.len() as f64 / time.as_secs_f64() / 1e6;
        let [reference, ours, cutting, lines] = times;
        println!(
            "{:24} {:>9} {:>6.0} MB/s {:>6.0} MB/s {:>7.2} {:>6.0} MB/s {:>6.0} MB/s",
            format!("collection {}", number + 1),
            text.len(),
            rate(reference),
            rate(ours),
            rate(ours) / rate(reference),
            rate(cutting),
            rate(lines),
        );
        total[0] += reference;
        total[1] += ours;
    }
    println!(
        "all: {:.2} times the throughput of pgn-reader",
        total[0].as_secs_f64() / total[1].as_secs_f64()
    );
    for (_, text) in common::collections() {
        if text.len() > 500_000 {
            keystrokes(&text);
        }
    }
}
