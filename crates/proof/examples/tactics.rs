//! Measures the move search on a file of tactical positions.
//!
//! `tactics FILE.csv NODES [STEP] [START] [-v]` reads rows `id,FEN,moves,rating,themes`
//! where the first of the moves (UCI) is played from the FEN and the second is the only
//! good answer; any mate counts where the themes say mate in one. It searches every
//! STEP-th row and prints how many first moves were found, and the misses by theme.

use std::collections::BTreeMap;
use std::time::Instant;

use gainsay_proof::Budget;
use gainsay_proof::search::Searcher;
use shakmaty::{CastlingMode, Chess, Position, fen::Fen, uci::UciMove};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments: Vec<String> = std::env::args().skip(1).collect();
    let tell = arguments.iter().any(|a| a == "-v");
    arguments.retain(|a| a != "-v");
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
    let mut searcher = Searcher::new(64 << 20);
    let (mut asked, mut found, mut spent) = (0_u32, 0_u32, 0_u64);
    let mut missed: BTreeMap<String, u32> = BTreeMap::new();
    let mut themes_seen: BTreeMap<String, u32> = BTreeMap::new();
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
