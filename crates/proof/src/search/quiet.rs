//! Quiescence: what is left to take, to promote or to check is played out before a
//! position is valued.

use shakmaty::{Chess, MoveList, Position, Role};

use super::engine::{Search, Visit, mated_at, plies};
use super::evaluate::evaluate;
use super::order::{Checks, Picker};
use super::table::{Bound, Packed};
use super::value::{DEEPEST, MATE, MATE_BOUND};
use crate::facts::{exchange_of, role_value};

impl Search<'_, '_> {
    /// Plays out captures, promotions and, on its first ply, checks, until the position is
    /// quiet.
    pub(super) fn quiesce(
        &mut self,
        place: Visit<'_>,
        mut alpha: i32,
        beta: i32,
        deep: i32,
    ) -> i32 {
        let Visit {
            position,
            hash,
            ply,
            last,
            ..
        } = place;
        if let Some(line) = self.lines.get_mut(ply) {
            line.clear();
        }
        if ply >= DEEPEST {
            return evaluate(position);
        }
        if ply > 0 && deep > 0 && self.is_draw(&place) {
            return 0;
        }
        let checked = position.is_check();
        let stored = self.table.get(hash, plies(ply));
        let on_line = beta - alpha > 1;
        let worth = if deep == 0 { 0 } else { -1 };
        if let Some(entry) = stored
            && !on_line
            && let Some(score) = entry.settled(worth, alpha, beta)
        {
            return score;
        }
        let start = alpha;
        let mut best = mated_at(ply);
        let mut estimate = -MATE;
        if !checked {
            estimate = stored.map_or_else(|| evaluate(position), |entry| i32::from(entry.estimate));
            best = stored
                .and_then(|entry| entry.refined(estimate))
                .unwrap_or(estimate);
            if best >= beta {
                return best;
            }
            alpha = alpha.max(best);
        }
        let hash_move = stored.map_or(Packed::NONE, |entry| entry.best);
        let checks = Checks::new(position);
        let moves = if checked {
            position.legal_moves()
        } else {
            noisy(position, &checks, deep == 0)
        };
        if checked && moves.is_empty() {
            return best;
        }
        let picker = if checked {
            Picker::new(position, &moves, hash_move, self.learned, last, ply)
        } else {
            Picker::captures(position, &moves, hash_move)
        };
        let mut best_move = Packed::NONE;
        let mut evasions = 0;
        for ranked in picker {
            let m = ranked.m;
            if checked {
                let quiet = !m.is_capture() && !m.is_promotion();
                evasions += i32::from(quiet);
                if best > -MATE_BOUND && (ranked.is_losing_capture() || evasions > 3 && deep > 1) {
                    continue;
                }
            } else if best > -MATE_BOUND && !m.is_promotion() && !checks.given_by(position, m) {
                // Even winning the piece for nothing would not be enough.
                let gain = m.capture().map_or(0, role_value);
                if estimate + gain + 180 <= alpha {
                    best = best.max(estimate + gain + 180);
                    continue;
                }
            }
            if !self.spend() {
                return 0;
            }
            let score = self.below(place, m, |search, child| {
                -search.quiesce(child, -beta, -alpha, deep + 1)
            });
            if self.stopped {
                return 0;
            }
            if score > best {
                best = score;
                if score > alpha {
                    alpha = score;
                    best_move = Packed::new(m);
                    if on_line {
                        self.keep_line(ply, m);
                    }
                    if score >= beta {
                        break;
                    }
                }
            }
        }
        // Quiet moves were left out unless the king was in check.
        let bound = match Bound::of(best, start, beta) {
            Bound::Exact if !checked => Bound::Upper,
            bound => bound,
        };
        self.table
            .put(hash, plies(ply), worth, best, estimate, bound, best_move);
        best
    }
}

/// Captures and promotions to a queen, and with `checking` also quiet checks that lose
/// nothing on their square.
fn noisy(position: &Chess, checks: &Checks, checking: bool) -> MoveList {
    if checking {
        let mut moves = position.legal_moves();
        moves.retain(|m| {
            m.is_capture()
                || m.promotion() == Some(Role::Queen)
                || (m.promotion().is_none()
                    && checks.given_by(position, *m)
                    && exchange_of(position, *m) >= 0)
        });
        return moves;
    }
    let mut moves = position.capture_moves();
    for m in position.promotion_moves() {
        if !m.is_capture() && m.promotion() == Some(Role::Queen) {
            moves.push(m);
        }
    }
    moves
}
