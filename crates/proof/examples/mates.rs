//! Measures the mate prover on an EPD file with `bm #N` operations.
//!
//! `cargo run --release -p gainsay-proof --example mates -- FILE [--every K] [--offset K] [--nodes N] [--within MAX]`

use std::{env, error::Error, fs, time::Instant};

use gainsay_proof::{Budget, MateProver, Verdict};
use shakmaty::{CastlingMode, Chess, fen::Fen};

fn option(args: &[String], name: &str, default: u64) -> u64 {
    args.iter()
        .position(|arg| arg == name)
        .and_then(|at| args.get(at + 1))
        .and_then(|value| value.parse().ok())
        .unwrap_or(default)
}

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = env::args().skip(1).collect();
    let path = args.first().ok_or("name an EPD file")?;
    let every = option(&args, "--every", 1) as usize;
    let offset = option(&args, "--offset", 0) as usize;
    let nodes = option(&args, "--nodes", 1_000_000);
    let max = option(&args, "--within", 4) as u32;
    let mut prover = MateProver::new(128 << 20);
    let mut times = vec![Vec::new(); max as usize + 1];
    let mut unsettled = vec![0; max as usize + 1];
    for line in fs::read_to_string(path)?
        .lines()
        .skip(offset)
        .step_by(every)
    {
        let Some((fen, rest)) = line.split_once(" bm #") else {
            continue;
        };
        let Ok(length) = rest
            .chars()
            .take_while(char::is_ascii_digit)
            .collect::<String>()
            .parse::<u32>()
        else {
            continue;
        };
        if length > max {
            continue;
        }
        let position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        let mut budget = Budget::nodes(nodes);
        let start = Instant::now();
        let answer = prover.mate_within(&position, length, &mut budget);
        let time = start.elapsed().as_secs_f64() * 1e3;
        times[length as usize].push(time);
        if answer.verdict == Verdict::Unsettled {
            unsettled[length as usize] += 1;
        }
        if answer.verdict == Verdict::Fails || answer.moves.is_some_and(|m| m != length) {
            println!(
                "{fen}: {:?} {:?} instead of {length}",
                answer.verdict, answer.moves
            );
        }
    }
    for (length, times) in times.iter_mut().enumerate() {
        times.sort_by(f64::total_cmp);
        if !times.is_empty() {
            println!(
                "mate in {length}: {} positions, {} unsettled, median {:.3} ms, max {:.3} ms",
                times.len(),
                unsettled[length],
                times[times.len() / 2],
                times[times.len() - 1],
            );
        }
    }
    Ok(())
}
