//! Measures the mate prover on an EPD file with `bm #N` operations.
//!
//! `cargo run --release -p gainsay-proof --example mates -- FILE [--every K] [--offset K] [--nodes N] [--within MAX] [--memory MB]`
//!
//! A file whose name ends in `.csv` holds `Id,FEN,Moves,…` lines: mates in three are
//! refuted in the positions with 20 men or more, before and after the first move.
//!
//! With `--any`, mates of any length are asked for, every proof is verified, and
//! `--proofs FOLDER` keeps them; `--list` prints every answer.

use std::{env, error::Error, fs, time::Instant};

use gainsay_proof::{Budget, MateAnswer, MateProver, Verdict, verify};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen, uci::UciMove};

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
    let memory = option(&args, "--memory", 128) as usize;
    let mut prover = MateProver::new(memory << 20);
    if path.ends_with(".csv") {
        return refute(&mut prover, path, every, offset, nodes);
    }
    let mut size = 0;
    let folder = args
        .iter()
        .position(|arg| arg == "--proofs")
        .and_then(|at| args.get(at + 1));
    let mut times = vec![Vec::new(); max as usize + 1];
    let mut tally: Vec<(u32, MateAnswer, f64)> = Vec::new();
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
        let any = args.iter().any(|arg| arg == "--any");
        if any {
            let position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
            let mut budget = Budget::nodes(nodes);
            let start = Instant::now();
            let answer = prover.mate(&position, &mut budget);
            let time = start.elapsed().as_secs_f64();
            if let Some(proof) = &answer.proof {
                let text = proof.to_string();
                let verified = verify(&text)?;
                assert_eq!(Some(verified.moves), answer.moves, "{fen}");
                assert_eq!(verified.position, position, "{fen}");
                size += text.len();
                if let Some(folder) = folder {
                    fs::write(format!("{folder}/{}.proof", tally.len()), text)?;
                }
            }
            if args.iter().any(|arg| arg == "--list") {
                println!(
                    "{fen} #{length}: {} {:?} exact {} in {} nodes",
                    answer.verdict.as_str(),
                    answer.moves,
                    answer.exact,
                    answer.nodes
                );
            }
            tally.push((length, answer, time));
            continue;
        }
        if length > max {
            continue;
        }
        let position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        let mut budget = Budget::nodes(nodes);
        let start = Instant::now();
        let answer = prover.mate_within(&position, length, &mut budget);
        let time = start.elapsed().as_secs_f64() * 1e3;
        times[length as usize].push(time);
        if args.iter().any(|arg| arg == "--list") {
            println!("{fen} #{length}: {time:.2} ms, {} nodes", answer.nodes);
        }
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
    if !tally.is_empty() {
        let count = |test: &dyn Fn(&(u32, MateAnswer, f64)) -> bool| {
            tally.iter().filter(|entry| test(entry)).count()
        };
        let total: u64 = tally.iter().map(|entry| entry.1.nodes).sum();
        let seconds: f64 = tally.iter().map(|entry| entry.2).sum();
        println!(
            "{} positions: {} proved, {} at the known length, {} exact, {} shorter, {} false; {:.2} Mn, {:.2} s, {:.2} Mn/s, proofs of {} bytes in the mean",
            tally.len(),
            count(&|entry| entry.1.verdict == Verdict::Holds),
            count(&|entry| entry.1.moves.is_some_and(|moves| moves <= entry.0)),
            count(&|entry| entry.1.exact),
            count(&|entry| entry.1.moves.is_some_and(|moves| moves < entry.0)),
            count(&|entry| entry.1.verdict == Verdict::Fails),
            total as f64 / 1e6,
            seconds,
            total as f64 / 1e6 / seconds,
            size / tally.len()
        );
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

/// Refutes mates in three in middlegames.
fn refute(
    prover: &mut MateProver,
    path: &str,
    every: usize,
    offset: usize,
    nodes: u64,
) -> Result<(), Box<dyn Error>> {
    let (mut times, mut counts, mut others) = (Vec::new(), Vec::new(), 0);
    for line in fs::read_to_string(path)?
        .lines()
        .skip(1 + offset)
        .step_by(every)
    {
        let mut fields = line.split(',').skip(1);
        let (Some(fen), Some(moves)) = (fields.next(), fields.next()) else {
            continue;
        };
        let before: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        let first: UciMove = moves.split(' ').next().unwrap_or_default().parse()?;
        let after = before.clone().play(first.to_move(&before)?)?;
        for position in [before, after] {
            if position.board().occupied().count() < 20 {
                continue;
            }
            let start = Instant::now();
            let answer = prover.mate_within(&position, 3, &mut Budget::nodes(nodes));
            let time = start.elapsed().as_secs_f64() * 1e3;
            if answer.verdict == Verdict::Fails {
                times.push(time);
                counts.push(answer.nodes);
            } else {
                others += 1;
            }
        }
    }
    times.sort_by(f64::total_cmp);
    counts.sort_unstable();
    let at = |part: usize| times.len() * part / 100;
    println!(
        "{} refuted ({others} not): median {:.2} ms, {} nodes; 95 of 100 within {:.2} ms, {} nodes; longest {:.2} ms",
        times.len(),
        times[at(50)],
        counts[at(50)],
        times[at(95)],
        counts[at(95)],
        times[times.len() - 1],
    );
    Ok(())
}
