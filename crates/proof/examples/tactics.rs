//! Measures the move search on a file of tactical positions.
//!
//! `tactics FILE.csv NODES [STEP] [START] [-v] [-j]` reads rows `id,FEN,moves,rating,themes`
//!
//! where the first of the moves (UCI) is played from the FEN and the second is the only
//! good answer; any mate counts where the themes say mate in one. It searches every
//! STEP-th row and prints how many first moves were found, and the misses by theme.
//!
//! With `-j` it judges instead whether the good answer, and whether another legal move,
//! is the best, and counts the verdicts: the first should never fail, the second never
//! hold.
//!
//! `tactics FILE.epd NODES` reads positions with `bm` (best moves), which it scores in
//! the same way, and with `dm` (distance to mate, 0 for a draw), of which it asks
//! whether the side to move is winning or losing, and counts right, wrong and unsettled
//! verdicts.

use std::collections::BTreeMap;
use std::time::Instant;

use gainsay_proof::Budget;
use gainsay_proof::Verdict;
use gainsay_proof::search::{Searcher, Settings, Value};
use shakmaty::{CastlingMode, Chess, Move, Position, fen::Fen, san::SanPlus, uci::UciMove};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments: Vec<String> = std::env::args().skip(1).collect();
    let tell = arguments.iter().any(|a| a == "-v");
    let judge = arguments.iter().any(|a| a == "-j");
    arguments.retain(|a| a != "-v" && a != "-j");
    let number = |at: usize, otherwise: u64| -> u64 {
        arguments
            .get(at)
            .and_then(|text| text.parse().ok())
            .unwrap_or(otherwise)
    };
    let path = arguments
        .first()
        .ok_or("usage: tactics FILE.csv NODES [STEP] [START] [-v]")?;
    let (nodes, step) = (number(1, 100_000), number(2, 1).max(1));
    let text = std::fs::read_to_string(path)?;
    if path.ends_with(".epd") {
        return epd(&text, nodes);
    }
    let mut searcher = Searcher::new(64 << 20);
    let (mut asked, mut found, mut spent) = (0_u32, 0_u32, 0_u64);
    let mut missed: BTreeMap<String, u32> = BTreeMap::new();
    let mut themes_seen: BTreeMap<String, u32> = BTreeMap::new();
    let mut verdicts: BTreeMap<String, u32> = BTreeMap::new();
    let start = Instant::now();
    for (row, line) in text.lines().skip(1).enumerate() {
        if !(row as u64 + number(3, 0)).is_multiple_of(step) {
            continue;
        }
        let fields: Vec<&str> = line.split(',').collect();
        let [id, fen, moves, _, themes] = fields.as_slice() else {
            continue;
        };
        let mut position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        let mut moves = moves.split(' ');
        let first: UciMove = moves.next().unwrap_or_default().parse()?;
        position = position.clone().play(first.to_move(&position)?)?;
        let wanted = moves
            .next()
            .unwrap_or_default()
            .parse::<UciMove>()?
            .to_move(&position)?;
        if judge {
            for (what, m) in [("good", Some(wanted)), ("other", other(&position, wanted))] {
                let Some(m) = m else { continue };
                let mut budget = Budget::nodes(nodes);
                let judged = searcher.is_best(&position, m, Settings::default(), &mut budget);
                let verdict = format!("{what} {}", judged.verdict.as_str());
                if tell && ["good fails", "other holds"].contains(&verdict.as_str()) {
                    println!("{verdict}: {id} {fen} {wanted} {m} [{themes}]");
                }
                *verdicts.entry(verdict).or_default() += 1;
            }
            continue;
        }
        let mut budget = Budget::nodes(nodes);
        let lines = searcher.best(&position, 1, &mut budget);
        spent += budget.spent();
        asked += 1;
        let best = lines.first().and_then(|line| line.moves.first().copied());
        let right = best == Some(wanted)
            || best.is_some_and(|m| {
                themes.contains("mateIn1")
                    && position
                        .clone()
                        .play(m)
                        .is_ok_and(|next| next.is_checkmate())
            });
        found += u32::from(right);
        for theme in themes.split(' ') {
            *themes_seen.entry(theme.to_owned()).or_default() += 1;
            if !right {
                *missed.entry(theme.to_owned()).or_default() += 1;
            }
        }
        if !right && tell {
            let line = lines.first();
            println!(
                "{id} {} wanted {wanted} got {} {} depth {} [{themes}]",
                Fen::from_position(&position, shakmaty::EnPassantMode::Legal),
                best.map_or_else(String::new, |m| m.to_string()),
                line.map_or_else(String::new, |line| line.value.to_string()),
                line.map_or(0, |line| line.depth),
            );
        }
    }
    if judge {
        println!("{verdicts:?} at {nodes} nodes");
        return Ok(());
    }
    let seconds = start.elapsed().as_secs_f64();
    println!(
        "{found} of {asked} ({:.1} %) at {nodes} nodes; {:.0} nodes a second",
        100.0 * f64::from(found) / f64::from(asked.max(1)),
        spent as f64 / seconds
    );
    let mut worst: Vec<_> = missed.into_iter().collect();
    worst.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    for (theme, misses) in worst.iter().take(14) {
        println!(
            "  {theme}: {misses} of {}",
            themes_seen.get(theme).unwrap_or(&0)
        );
    }
    Ok(())
}

/// Another move that does not mate, the middle one of the rest.
fn other(position: &Chess, wanted: Move) -> Option<Move> {
    let rest: Vec<Move> = position
        .legal_moves()
        .into_iter()
        .filter(|&m| m != wanted)
        .filter(|&m| {
            !position
                .clone()
                .play(m)
                .is_ok_and(|next| next.is_checkmate())
        })
        .collect();
    rest.get(rest.len() / 2).copied()
}

/// Scores `bm` and `dm` of an EPD file.
fn epd(text: &str, nodes: u64) -> Result<(), Box<dyn std::error::Error>> {
    let mut searcher = Searcher::new(64 << 20);
    let (mut asked, mut found) = (0, 0);
    let mut verdicts: BTreeMap<&str, u32> = BTreeMap::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let Some((fen, operations)) = words.split_at_checked(4) else {
            continue;
        };
        let fen = format!("{} 0 1", fen.join(" "));
        let Some(position) = fen
            .parse::<Fen>()
            .ok()
            .and_then(|fen| fen.into_position::<Chess>(CastlingMode::Standard).ok())
        else {
            continue;
        };
        let mut budget = Budget::nodes(nodes);
        let operand = operations.join(" ");
        for operation in operand.split(';').map(str::trim) {
            if let Some(best) = operation.strip_prefix("bm ") {
                let wanted: Vec<_> = best
                    .split(' ')
                    .filter_map(|san| san.parse::<SanPlus>().ok()?.san.to_move(&position).ok())
                    .collect();
                let lines = searcher.best(&position, 1, &mut budget);
                let got = lines.first().and_then(|line| line.moves.first());
                asked += 1;
                found += u32::from(got.is_some_and(|m| wanted.contains(m)));
            } else if let Some(distance) = operation.strip_prefix("dm ") {
                let truth = distance.parse::<i32>()?.signum();
                let judged = searcher.worth_at_least(
                    &position,
                    Value::Centipawns(0),
                    Settings { margin: 400 },
                    &mut budget,
                );
                let told = match judged.verdict {
                    Verdict::Holds => 1,
                    Verdict::Fails => -1,
                    Verdict::Unsettled => 0,
                };
                let what = if told == 0 {
                    "unsettled"
                } else if told == truth {
                    "right"
                } else {
                    println!("wrong: {line} told {:?}", judged.late);
                    "wrong"
                };
                *verdicts.entry(what).or_default() += 1;
            }
        }
    }
    println!("{found} of {asked} best moves, verdicts {verdicts:?} at {nodes} nodes");
    Ok(())
}
