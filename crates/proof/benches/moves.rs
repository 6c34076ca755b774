//! How many moves the mate prover plays a second, as a part of what the bare rules
//! library plays.
//!
//! `cargo bench -p gainsay-proof --bench moves [-- FILE.epd]`. One node is one move played.
//! Without a file: the published problems, many of them with few men, and positions of
//! play, most of which have no mate.
//! The bare library plays every move of the same positions on a copy and generates the
//! replies, which is what a node costs at least. Both are measured in turns, and the
//! median of the ratios is printed.

use std::hint::black_box;
use std::time::Instant;

use gainsay_proof::{Budget, MateProver, Verdict};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen};

const NODES: u64 = 300_000;
const TURNS: usize = 5;

/// The positions of an EPD text, or of one with positions in its form, that can be played.
fn positions(text: &str) -> Vec<Chess> {
    text.lines()
        .filter_map(|line| {
            let fields: Vec<&str> = line.split(' ').take(4).collect();
            let fen: Fen = fields.join(" ").parse().ok()?;
            fen.into_position(CastlingMode::Standard).ok()
        })
        .collect()
}

/// Moves a second by the rules library alone, over at least five million moves.
fn alone(positions: &[Chess]) -> f64 {
    let start = Instant::now();
    let mut played = 0_u32;
    while played < 5_000_000 {
        for position in positions {
            for m in position.legal_moves() {
                let mut next = position.clone();
                next.play_unchecked(m);
                black_box(next.legal_moves());
                played += 1;
            }
        }
    }
    f64::from(played) / start.elapsed().as_secs_f64()
}

/// Moves a second by the prover, asked for a mate of any length, and how many it proved.
fn prover(prover: &mut MateProver, positions: &[Chess]) -> (f64, usize) {
    let start = Instant::now();
    let (mut played, mut proved) = (0, 0);
    for position in positions {
        let mut budget = Budget::nodes(NODES);
        let answer = black_box(prover.mate(position, &mut budget));
        proved += usize::from(answer.verdict == Verdict::Holds);
        played += budget.spent();
    }
    (played as f64 / start.elapsed().as_secs_f64(), proved)
}

fn measure(title: &str, positions: &[Chess]) {
    println!("{title}: {} positions", positions.len());
    let mut asked = MateProver::new(128 << 20);
    let mut ratios = Vec::new();
    for _ in 0..TURNS {
        let ((prover, proved), alone) = (prover(&mut asked, positions), alone(positions));
        ratios.push(prover / alone);
        println!(
            "{:.2} million moves a second, the rules alone {:.2}: {:.3}; {proved} mates",
            prover / 1e6,
            alone / 1e6,
            prover / alone
        );
    }
    ratios.sort_by(f64::total_cmp);
    println!("median ratio {:.3}", ratios[TURNS / 2]);
}

fn main() {
    let file = std::env::args().skip(1).find(|arg| !arg.starts_with("--"));
    let Some(file) = file else {
        let problems = positions(include_str!("../../../fixtures/mates.epd"));
        measure("problems", &problems);
        let played = positions(include_str!("../../../fixtures/perft.txt"));
        measure("positions of play", &played);
        return;
    };
    let text = std::fs::read_to_string(&file).unwrap_or_else(|error| {
        eprintln!("{file} cannot be read: {error}; name an EPD file");
        std::process::exit(2);
    });
    let positions = positions(&text);
    if positions.is_empty() {
        eprintln!("no position can be played");
        std::process::exit(2);
    }
    measure(&file, &positions);
}
