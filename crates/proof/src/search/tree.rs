//! Alpha-beta below the root (Knuth and Moore, "An analysis of alpha-beta pruning", 1975;
//! fail-soft).

use shakmaty::{Chess, Move, Position};

use super::engine::{Search, Visit, mated_at, plies};
use super::evaluate::evaluate;
use super::order::{Checks, Picker};
use super::table::{Bound, Entry, Packed};
use super::value::{DEEPEST, MATE, MATE_BOUND};
use crate::facts::exchange_of;

/// How a position is to be searched.
#[derive(Clone, Copy)]
struct Task {
    /// Plies.
    depth: i32,
    alpha: i32,
    beta: i32,
    /// Whether some move is expected to reach beta.
    expect_cut: bool,
    /// A move to leave out.
    without: Option<Packed>,
}

/// What is known of a position before its moves are tried.
struct View {
    stored: Option<Entry>,
    checked: bool,
    /// The window is wider than a point: the best line may pass here.
    on_line: bool,
    /// The position is better than it was when the same side moved last.
    improving: bool,
    /// The static value.
    estimate: i32,
    /// The static value, or what an earlier search says against it.
    tuned: i32,
}

impl View {
    fn hash_move(&self) -> Packed {
        self.stored.map_or(Packed::NONE, |entry| entry.best)
    }
}

/// A move as it is about to be tried.
struct Candidate {
    m: Move,
    quiet: bool,
    gives_check: bool,
    /// It loses material on its square.
    losing: bool,
    /// Its place among the moves tried, from 1.
    place: i32,
    /// How many quiet moves came up so far, itself included.
    quiets: i32,
}

/// What a search without the move of the table says of that move.
enum Alone {
    /// It is the only good one.
    Yes,
    No,
    /// Another move reaches beta too: the value.
    Cut(i32),
}

impl Search<'_, '_> {
    /// The value of a position searched to `depth`, within the window.
    pub(super) fn node(
        &mut self,
        place: Visit<'_>,
        depth: i32,
        alpha: i32,
        beta: i32,
        expect_cut: bool,
    ) -> i32 {
        let task = Task {
            depth,
            alpha,
            beta,
            expect_cut,
            without: None,
        };
        self.search(place, task)
    }

    fn search(&mut self, place: Visit<'_>, mut task: Task) -> i32 {
        // On the way back up nothing is begun anew.
        if self.stopped {
            return 0;
        }
        let Visit { position, ply, .. } = place;
        if let Some(line) = self.lines.get_mut(ply) {
            line.clear();
        }
        if self.is_draw(&place) {
            // Mate on the hundredth half-move comes before the draw.
            return if position.halfmoves() >= 100 && position.is_checkmate() {
                mated_at(ply)
            } else {
                0
            };
        }
        if task.depth <= 0 {
            return self.quiesce(place, task.alpha, task.beta, 0);
        }
        if ply >= DEEPEST {
            return evaluate(position);
        }
        let on_line = task.beta - task.alpha > 1;
        // No line is better than mating at once or worse than being mated here.
        task.alpha = task.alpha.max(mated_at(ply));
        task.beta = task.beta.min(MATE - plies(ply) - 1);
        if task.alpha >= task.beta {
            return task.alpha;
        }
        let stored = match task.without {
            Some(_) => None,
            None => self.table.get(place.hash, plies(ply)),
        };
        if let Some(entry) = stored
            && !on_line
            && let Some(score) = entry.settled(task.depth, task.alpha, task.beta)
        {
            return score;
        }
        let view = self.view(&place, stored, on_line);
        if !on_line
            && !view.checked
            && task.without.is_none()
            && let Some(score) = self.without_moves(place, &task, &view)
        {
            return score;
        }
        if view.hash_move() == Packed::NONE && task.depth >= 4 && task.without.is_none() {
            task.depth -= 1;
        }
        self.moves(place, task, &view)
    }

    fn view(&mut self, place: &Visit<'_>, stored: Option<Entry>, on_line: bool) -> View {
        let checked = place.position.is_check();
        let estimate = if checked {
            -MATE
        } else {
            stored.map_or_else(
                || evaluate(place.position),
                |entry| i32::from(entry.estimate),
            )
        };
        if let Some(slot) = self.estimates.get_mut(place.ply) {
            *slot = estimate;
        }
        let before = place.ply.checked_sub(2);
        let before = before.and_then(|ply| self.estimates.get(ply));
        let tuned = stored
            .filter(|_| !checked)
            .and_then(|entry| entry.refined(estimate))
            .filter(|score| score.abs() < MATE_BOUND);
        View {
            stored,
            checked,
            on_line,
            improving: !checked && before.is_some_and(|&old| estimate > old),
            estimate,
            tuned: tuned.unwrap_or(estimate),
        }
    }

    /// The value where it is plain without trying a move.
    fn without_moves(&mut self, place: Visit<'_>, task: &Task, view: &View) -> Option<i32> {
        let &Task {
            depth, alpha, beta, ..
        } = task;
        // So far above beta that a quiet reply will not change it.
        if depth <= 6
            && beta.abs() < MATE_BOUND
            && view.tuned - 90 * (depth - i32::from(view.improving)) >= beta
        {
            return Some(view.tuned);
        }
        if depth <= 2 && view.tuned + 250 * depth < alpha {
            let score = self.quiesce(place, alpha, beta, 0);
            if score <= alpha {
                return Some(score);
            }
        }
        self.pass(place, task, view.tuned)
    }

    /// Null move: if even passing keeps the value above beta, a move will too.
    fn pass(&mut self, place: Visit<'_>, task: &Task, estimate: i32) -> Option<i32> {
        let position = place.position;
        let &Task {
            depth,
            beta,
            expect_cut,
            ..
        } = task;
        let pieces = position.us() & !position.board().pawns() & !position.board().kings();
        if depth < 3
            || place.passed
            || estimate < beta
            || beta <= -MATE_BOUND
            || pieces.is_empty()
            || !expect_cut && depth < 4
        {
            return None;
        }
        let less = 3 + depth / 4 + ((estimate - beta) / 200).min(3);
        let score = self.passing(place, |search, child| {
            -search.node(child, depth - less, -beta, -beta + 1, !expect_cut)
        })?;
        if self.stopped {
            return Some(0);
        }
        if score < beta {
            return None;
        }
        // A mate seen after passing is not one to rely on.
        let score = if score >= MATE_BOUND { beta } else { score };
        if depth < 10 || pieces.more_than_one() {
            return Some(score);
        }
        // With a single piece zugzwang is likely; look again without passing.
        let place = Visit {
            passed: true,
            ..place
        };
        let check = self.node(place, depth - less, beta - 1, beta, false);
        (check >= beta).then_some(score)
    }

    /// Tries the moves one by one.
    fn moves(&mut self, place: Visit<'_>, mut task: Task, view: &View) -> i32 {
        let Visit {
            position,
            hash,
            ply,
            last,
            ..
        } = place;
        let moves = position.legal_moves();
        if moves.is_empty() {
            return if view.checked { mated_at(ply) } else { 0 };
        }
        let single = moves.len() == 1;
        let start = task.alpha;
        let mut best = -MATE;
        let mut best_move = Packed::NONE;
        let mut tried: Vec<Move> = Vec::new();
        let mut counted = 0_i32;
        let mut quiets = 0_i32;
        let checks = Checks::new(position);
        let picker = Picker::new(position, &moves, view.hash_move(), self.learned, last, ply);
        for ranked in picker {
            let m = ranked.m;
            let packed = Packed::new(m);
            if task.without == Some(packed) {
                continue;
            }
            let quiet = !m.is_capture() && !m.is_promotion();
            counted += 1;
            quiets += i32::from(quiet);
            let candidate = Candidate {
                m,
                quiet,
                gives_check: checks.given_by(position, m),
                losing: ranked.is_losing_capture(),
                place: counted,
                quiets,
            };
            if best > -MATE_BOUND
                && !view.checked
                && ply > 0
                && is_hopeless(position, &candidate, &task, view)
            {
                continue;
            }
            let mut longer =
                candidate.gives_check && (!candidate.losing || task.depth > 2) || single;
            match self.alone(place, &task, view, packed) {
                Alone::Yes => longer = true,
                Alone::No => {}
                Alone::Cut(score) => return score,
            }
            if self.stopped {
                return 0;
            }
            // Along one line extensions may double the depth at most.
            if plies(ply) > 2 * (plies(ply) / 2 + task.depth).max(12) {
                longer = false;
            }
            if !self.spend() {
                return 0;
            }
            let ahead = task.depth - 1 + i32::from(longer);
            let less = self.reduced(&place, &task, view, &candidate, ahead);
            let score = self.below(place, m, |search, child| {
                search.one_move(child, &task, view, (counted, ahead, less))
            });
            if self.stopped {
                return 0;
            }
            if score > best {
                best = score;
                if score > task.alpha {
                    best_move = packed;
                    task.alpha = score;
                    if view.on_line {
                        self.keep_line(ply, m);
                    }
                    if score >= task.beta {
                        if quiet {
                            self.learned
                                .learn(position.turn(), last, ply, task.depth, m, &tried);
                        }
                        break;
                    }
                }
            }
            if quiet && tried.len() < 32 {
                tried.push(m);
            }
        }
        if counted == 0 {
            // Only the move left out is legal.
            return task.alpha;
        }
        if task.without.is_none() {
            let bound = Bound::of(best, start, task.beta);
            let ply = plies(ply);
            self.table
                .put(hash, ply, task.depth, best, view.estimate, bound, best_move);
        }
        best
    }

    /// The value of the position after one move: principal variation search. The move is
    /// the `counted`-th; its value is looked for `ahead` plies deep, at first `less`.
    fn one_move(
        &mut self,
        child: Visit<'_>,
        task: &Task,
        view: &View,
        (counted, ahead, less): (i32, i32, i32),
    ) -> i32 {
        let &Task {
            alpha,
            beta,
            expect_cut,
            ..
        } = task;
        let mut score = alpha;
        if counted > 1 {
            score = -self.node(child, ahead - less, -alpha - 1, -alpha, true);
            if score > alpha && less > 0 && !self.stopped {
                score = -self.node(child, ahead, -alpha - 1, -alpha, !expect_cut);
            }
        }
        if counted == 1 || (view.on_line && score > alpha && !self.stopped) {
            let cut = !view.on_line && !expect_cut;
            score = -self.node(child, ahead, -beta, -alpha, cut);
        }
        score
    }

    /// Whether the move of the table, `packed`, is the only good one. It deserves a closer
    /// look then.
    fn alone(&mut self, place: Visit<'_>, task: &Task, view: &View, packed: Packed) -> Alone {
        let Some(entry) = view.stored else {
            return Alone::No;
        };
        let score = i32::from(entry.score);
        if packed != entry.best
            || task.depth < 6
            || task.without.is_some()
            || i32::from(entry.depth) < task.depth - 3
            || entry.bound == Bound::Upper
            || score.abs() >= MATE_BOUND
        {
            return Alone::No;
        }
        let limit = score - 2 * task.depth;
        let rest = Task {
            depth: (task.depth - 1) / 2,
            alpha: limit - 1,
            beta: limit,
            without: Some(packed),
            ..*task
        };
        let rest = self.search(place, rest);
        if self.stopped {
            Alone::No
        } else if rest < limit {
            Alone::Yes
        } else if limit >= task.beta && !view.on_line {
            Alone::Cut(limit)
        } else {
            Alone::No
        }
    }

    /// By how much less deep a move is looked at first than `ahead`.
    fn reduced(
        &self,
        place: &Visit<'_>,
        task: &Task,
        view: &View,
        candidate: &Candidate,
        ahead: i32,
    ) -> i32 {
        let late = candidate.place > 2 + i32::from(view.on_line);
        if task.depth < 3 || !late || !candidate.quiet && !candidate.losing {
            return 0;
        }
        let mut less = reduction(task.depth, candidate.place);
        less += i32::from(task.expect_cut) + i32::from(!view.improving);
        less -= i32::from(view.on_line) + i32::from(candidate.gives_check) * 2;
        less -= i32::from(view.checked);
        if candidate.quiet {
            let turn = place.position.turn();
            less -= self.learned.quiet(turn, place.last, candidate.m) / 8_000;
        }
        less.clamp(0, (ahead - 1).max(0))
    }
}

/// Whether a move near the leaves cannot be expected to raise alpha.
fn is_hopeless(position: &Chess, candidate: &Candidate, task: &Task, view: &View) -> bool {
    let depth = task.depth;
    if candidate.quiet && !candidate.gives_check {
        let most = (4 + depth * depth) / if view.improving { 1 } else { 2 };
        if depth <= 7 && candidate.quiets > most + 2 {
            return true;
        }
        if depth <= 6 && !view.on_line && view.estimate + 110 + 100 * depth <= task.alpha {
            return true;
        }
    }
    if depth > 5 || view.on_line {
        return false;
    }
    let floor = if candidate.quiet {
        -30 * depth * depth
    } else {
        -100 * depth
    };
    (candidate.losing || candidate.quiet)
        && !(candidate.gives_check && depth > 2)
        && exchange_of(position, candidate.m) < floor
}

/// How much less deep a late move is looked at: about the product of the logarithms of
/// the depth and of its place in the order.
fn reduction(depth: i32, place: i32) -> i32 {
    // Hundredths of natural logarithms, from a bit length; exact enough for this use.
    let log = |x: i32| {
        let x = x.max(1).unsigned_abs();
        let whole = 31 - x.leading_zeros();
        let part = (u64::from(x) << 16 >> whole) - (1 << 16);
        i32::try_from(u64::from(whole) * 69 + part * 69 / (1 << 16)).unwrap_or(0)
    };
    (60 + log(depth) * log(place) / 220) / 100
}
