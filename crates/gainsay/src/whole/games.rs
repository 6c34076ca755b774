//! Games that stand in a text twice.

use std::collections::BTreeMap;

use super::{
    remark::{Remark, What},
    text::Whole,
};
use crate::game_facts::GameFacts;

/// Shorter games are alike by chance, or show an opening.
const LEAST: u32 = 20;

/// Games whose main line another one before them has, move by move.
pub(super) fn remarks(whole: &Whole<'_>) -> Vec<Remark> {
    let mut seen: BTreeMap<(u64, u32), (u32, &GameFacts)> = BTreeMap::new();
    let mut found = Vec::new();
    for (nth, (base, game)) in (1..).zip(whole.games()) {
        if game.plies < LEAST {
            continue;
        }
        let Some((first, other)) = seen.get(&(game.line, game.plies)) else {
            seen.insert((game.line, game.plies), (nth, game));
            continue;
        };
        // Two people may write of the same game.
        let annotators = [&game.annotator, &other.annotator];
        if annotators[0] != annotators[1] && annotators.iter().all(|name| !name.is_empty()) {
            continue;
        }
        found.push(Remark {
            span: base + game.first.start..base + game.first.end,
            what: What::SameGame {
                moves: game.plies.div_ceil(2),
                game: *first,
                players: other.players.clone(),
            },
        });
    }
    found
}
