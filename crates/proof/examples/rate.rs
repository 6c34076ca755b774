//! Moves played a second: the prover against "clone, play, generate the replies"
//! with the rules library alone, in one run.
//!
//! `cargo run --release -p gainsay-proof --example rate -- FILE.epd [EVERY] [NODES]`

use std::{env, error::Error, fs, hint::black_box, time::Instant};

use gainsay_proof::{Budget, MateProver};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen};

/// Plays `left` moves in all, depth first, generating the replies after each.
fn play(position: &Chess, left: &mut u64, depth: u32) {
    for m in position.legal_moves() {
        if *left == 0 {
            return;
        }
        *left -= 1;
        let mut next = position.clone();
        next.play_unchecked(m);
        if depth > 1 {
            play(&next, left, depth - 1);
        } else {
            black_box(next.legal_moves());
        }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = env::args().skip(1).collect();
    let path = args.first().ok_or("name an EPD file")?;
    let number = |at: usize, default| {
        args.get(at)
            .and_then(|arg| arg.parse().ok())
            .unwrap_or(default)
    };
    let (every, nodes) = (number(1, 20), number(2, 200_000));
    let mut prover = MateProver::new(128 << 20);
    let (mut played, mut proved) = (0.0, 0.0);
    let (mut plays, mut proofs) = (0, 0);
    for line in fs::read_to_string(path)?.lines().step_by(every as usize) {
        let Some((fen, _)) = line.split_once(" bm #") else {
            continue;
        };
        let position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        let mut budget = Budget::nodes(nodes);
        let start = Instant::now();
        black_box(prover.mate(&position, &mut budget));
        proved += start.elapsed().as_secs_f64();
        proofs += budget.spent();
        let mut left = budget.spent();
        let start = Instant::now();
        play(&position, &mut left, 4);
        played += start.elapsed().as_secs_f64();
        plays += budget.spent() - left;
    }
    let (proved, played) = (proofs as f64 / proved / 1e6, plays as f64 / played / 1e6);
    println!(
        "prover {proved:.2}, rules library alone {played:.2} million moves a second: ratio {:.2}",
        proved / played
    );
    Ok(())
}
