//! The root of the search: several best lines, and a window around what is expected.

use shakmaty::{Chess, Move, MoveList, Position};

use super::engine::{Search, Visit};
use super::order::Picker;
use super::searcher::Variation;
use super::table::{Bound, Packed};
use super::value::{MATE, Value};

/// No aspiration window is narrower than this, in centipawns.
const WINDOW: i32 = 30;

impl Search<'_, '_> {
    /// Searches the root to `depth` for the best `wanted` moves.
    pub(super) fn deepen(
        &mut self,
        position: &Chess,
        hash: u64,
        moves: &MoveList,
        wanted: usize,
        depth: i32,
        last: Option<&[Variation]>,
    ) -> Vec<Variation> {
        let mut found: Vec<Variation> = Vec::new();
        for rank in 0..wanted {
            let mut rest: Vec<Move> = moves
                .iter()
                .copied()
                .filter(|m| !found.iter().any(|line| line.moves.first() == Some(m)))
                .collect();
            self.order_root(position, hash, &mut rest, last);
            let expected = last
                .and_then(|lines| lines.get(rank))
                .map(|line| line.value)
                .filter(|value| !value.is_mate() && depth > 4)
                .map(Value::centipawns);
            let line = self.root(position, hash, &rest, depth, expected);
            match line {
                Some(line) => found.push(line),
                None => break,
            }
            if self.stopped {
                break;
            }
        }
        // A later line may turn out better than an earlier one.
        found.sort_by_key(|line| std::cmp::Reverse(line.value));
        found
    }

    fn order_root(
        &self,
        position: &Chess,
        hash: u64,
        moves: &mut Vec<Move>,
        last: Option<&[Variation]>,
    ) {
        let hash_move = self.table.get(hash, 0).map_or(Packed::NONE, |e| e.best);
        let picker = Picker::new(position, moves, hash_move, self.learned, None, 0);
        *moves = picker.map(|ranked| ranked.m).collect();
        let favoured: Vec<Move> = last
            .unwrap_or_default()
            .iter()
            .filter_map(|line| line.moves.first().copied())
            .filter(|m| moves.contains(m))
            .collect();
        moves.retain(|m| !favoured.contains(m));
        moves.splice(0..0, favoured);
    }

    /// One best line among `moves`, with a window around the expected score.
    fn root(
        &mut self,
        position: &Chess,
        hash: u64,
        moves: &[Move],
        depth: i32,
        expected: Option<i32>,
    ) -> Option<Variation> {
        let mut width = WINDOW;
        let (mut alpha, mut beta) =
            expected.map_or((-MATE, MATE), |score| (score - width, score + width));
        let mut best: Option<Variation> = None;
        loop {
            let (score, line) = self.root_window(position, hash, moves, depth, alpha, beta);
            if self.stopped {
                // A line that was better than all before it counts, even so.
                let better = line.is_some_and(|_| score > alpha);
                return if better {
                    self.root_line(score, depth)
                } else {
                    best
                };
            }
            if score > alpha
                && let Some(line) = self.root_line(score, depth)
            {
                best = Some(line);
            }
            if score <= alpha && alpha > -MATE {
                alpha = (alpha - width).max(-MATE);
            } else if score >= beta && beta < MATE {
                beta = (beta + width).min(MATE);
            } else {
                return self.root_line(score, depth).or(best);
            }
            width *= 3;
            if width > 900 {
                (alpha, beta) = (-MATE, MATE);
            }
        }
    }

    fn root_line(&self, score: i32, depth: i32) -> Option<Variation> {
        let moves = self.lines.first().filter(|line| !line.is_empty())?.clone();
        Some(Variation {
            value: Value::from_score(score),
            moves,
            depth: depth.unsigned_abs(),
        })
    }

    /// The best score within the window and its move, if any raised alpha. The best line
    /// is left in `lines[0]`.
    fn root_window(
        &mut self,
        position: &Chess,
        hash: u64,
        moves: &[Move],
        depth: i32,
        mut alpha: i32,
        beta: i32,
    ) -> (i32, Option<Move>) {
        let place = Visit {
            position,
            hash,
            ply: 0,
            last: None,
            passed: false,
        };
        if let Some(line) = self.lines.first_mut() {
            line.clear();
        }
        let start = alpha;
        let mut best = -MATE;
        let mut best_move = None;
        for (at, &m) in moves.iter().enumerate() {
            if !self.spend() {
                break;
            }
            let score = self.below(place, m, |search, child| {
                let check = child.position.is_check();
                let ahead = depth - 1 + i32::from(check);
                let mut score = 0;
                if at > 0 {
                    let late = at > 3 && depth > 3 && !m.is_capture() && !check;
                    let reduced = ahead - i32::from(late);
                    score = -search.node(child, reduced, -alpha - 1, -alpha, true);
                    if score > alpha && reduced < ahead && !search.stopped {
                        score = -search.node(child, ahead, -alpha - 1, -alpha, true);
                    }
                }
                if at == 0 || (score > alpha && !search.stopped) {
                    score = -search.node(child, ahead, -beta, -alpha, false);
                }
                score
            });
            if self.stopped {
                break;
            }
            if score > best {
                best = score;
                if score > alpha {
                    alpha = score;
                    best_move = Some(m);
                    self.keep_line(0, m);
                    if score >= beta {
                        break;
                    }
                }
            }
        }
        if !self.stopped {
            let bound = Bound::of(best, start, beta);
            let packed = best_move.map_or(Packed::NONE, Packed::new);
            self.table.put(hash, 0, depth, best, 0, bound, packed);
        }
        (best, best_move)
    }
}
