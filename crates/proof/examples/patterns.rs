//! Measures the mating patterns on a file of tactical positions.
//!
//! `patterns FILE.csv` reads rows `id,FEN,moves,rating,themes`, plays all moves, and, when
//! the game ends in mate, compares the patterns that the final position shows with the
//! themes whose names are patterns (`smotheredMate` and the like). It prints, for each
//! pattern, how many positions have the theme, how many of those show the pattern, and in
//! how many mates without the theme it is shown too.

use std::collections::BTreeMap;

use gainsay_proof::facts::MatingPattern;
use shakmaty::{CastlingMode, Chess, EnPassantMode, Position, fen::Fen, uci::UciMove};

/// `backRankMate` is the pattern `BackRank`; some themes have an s behind the name.
fn pattern(theme: &str) -> Option<MatingPattern> {
    let stem = theme.strip_suffix("Mate")?;
    MatingPattern::ALL.into_iter().find(|pattern| {
        let name = format!("{pattern:?}");
        [stem, stem.trim_end_matches('s')]
            .iter()
            .any(|stem| name.eq_ignore_ascii_case(stem))
    })
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("usage: patterns FILE.csv")?;
    let mut counts: BTreeMap<MatingPattern, [u32; 3]> = BTreeMap::new();
    let (mut mates, mut shown_none) = (0, 0);
    for line in std::fs::read_to_string(path)?.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [id, fen, moves, _, themes] = fields.as_slice() else {
            continue;
        };
        let mut position: Chess = fen.parse::<Fen>()?.into_position(CastlingMode::Standard)?;
        for uci in moves.split(' ') {
            position = position
                .clone()
                .play(uci.parse::<UciMove>()?.to_move(&position)?)?;
        }
        if !position.is_checkmate() {
            continue;
        }
        mates += 1;
        let shown = MatingPattern::of(&position);
        shown_none += u32::from(shown.is_empty());
        let named: Vec<_> = themes.split(' ').filter_map(pattern).collect();
        for kind in MatingPattern::ALL {
            let count = counts.entry(kind).or_default();
            match (named.contains(&kind), shown.contains(&kind)) {
                (true, true) => {
                    count[0] += 1;
                    count[1] += 1;
                }
                (true, false) => {
                    count[0] += 1;
                    println!(
                        "missed {kind:?}: {id} {}",
                        Fen::from_position(&position, EnPassantMode::Legal)
                    );
                }
                (false, true) => count[2] += 1,
                (false, false) => {}
            }
        }
    }
    println!("{mates} mates, {shown_none} show no pattern");
    for (kind, [themed, found, others]) in counts {
        println!(
            "{:18} themed {themed:3}, shown {found:3}, shown without the theme {others:3}",
            format!("{kind:?}")
        );
    }
    Ok(())
}
