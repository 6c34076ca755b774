//! The search itself.

use shakmaty::zobrist::Zobrist64;
use shakmaty::{Chess, EnPassantMode, Move, MoveList, Position, Role};

use super::evaluate::evaluate;
use super::order::{Checks, Footprint, Memory, Picker, footprint};
use super::table::{Bound, Packed, Table};
use super::value::{DEEPEST, MATE, MATE_BOUND, Value};
use crate::Budget;
use crate::facts::{exchange_of, role_value};

/// One best line of a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it is worth for the side to move.
    pub value: Value,
    /// The moves, the best reply each time as far as the search saw; at least one.
    pub moves: Vec<Move>,
    /// How many plies were looked ahead in full.
    pub depth: u32,
}

/// The best lines after one completed deepening, and the nodes spent until then.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Nodes spent since the beginning of the search.
    pub nodes: u64,
    /// The best lines, best first; at least one.
    pub lines: Vec<Line>,
}

/// What to search for; [`Question::new`] asks for the best line of a position.
#[derive(Clone, Copy, Debug)]
pub struct Question<'q> {
    /// The position.
    pub position: &'q Chess,
    /// The positions of the game before it, oldest first, for repetitions. They do not
    /// matter beyond the last capture or pawn move.
    pub past: &'q [Chess],
    /// Moves that are not considered.
    pub but: &'q [Move],
    /// How many lines.
    pub lines: usize,
    /// The deepening to end with, in plies.
    pub depth: u32,
}

impl<'q> Question<'q> {
    /// Asks for the best line of `position`, of any depth.
    #[must_use]
    pub const fn new(position: &'q Chess) -> Self {
        Self {
            position,
            past: &[],
            but: &[],
            lines: 1,
            depth: u32::MAX,
        }
    }
}

/// Finds the best moves of a position.
///
/// It keeps its memory between questions to save allocations, but forgets the contents,
/// so that an answer never depends on what was asked before.
#[derive(Debug)]
pub struct Searcher {
    memory: usize,
    table: Table,
    learned: Memory,
}

impl Searcher {
    /// A searcher whose table uses at most about `memory` bytes; a further megabyte
    /// is for what it learns of move ordering.
    #[must_use]
    pub fn new(memory: usize) -> Self {
        Self {
            memory,
            table: Table::new(),
            learned: Memory::new(),
        }
    }

    /// The best `lines` lines, best first, found with at most `budget`. Fewer when there
    /// are fewer legal moves; none when there is none, or when the budget or the stop
    /// flag ended the work before a single move was searched.
    pub fn best(&mut self, position: &Chess, lines: usize, budget: &mut Budget<'_>) -> Vec<Line> {
        self.best_without(position, &[], lines, budget)
    }

    /// As [`Searcher::best`], the moves `but` not considered: what else there is.
    pub fn best_without(
        &mut self,
        position: &Chess,
        but: &[Move],
        lines: usize,
        budget: &mut Budget<'_>,
    ) -> Vec<Line> {
        let question = Question {
            but,
            lines,
            ..Question::new(position)
        };
        let mut last = Vec::new();
        self.watch(question, budget, &mut |stage| last = stage.lines);
        last
    }

    /// Answers a question, and hands the best lines to `each` after every deepening: the
    /// last ones are the answer. `each` is not called at all where [`Searcher::best`]
    /// would give no line.
    pub fn watch(
        &mut self,
        question: Question<'_>,
        budget: &mut Budget<'_>,
        each: &mut dyn FnMut(Stage),
    ) {
        self.deepenings(question, u64::MAX, budget, each);
    }

    /// The best lines after each completed deepening, the moves `but` not considered; at
    /// most `limit` nodes of the budget are spent.
    pub(super) fn stages(
        &mut self,
        position: &Chess,
        but: &[Move],
        lines: usize,
        limit: u64,
        budget: &mut Budget<'_>,
    ) -> Vec<Stage> {
        let question = Question {
            but,
            lines,
            ..Question::new(position)
        };
        let mut stages = Vec::new();
        self.deepenings(question, limit, budget, &mut |stage| stages.push(stage));
        stages
    }

    fn deepenings(
        &mut self,
        question: Question<'_>,
        limit: u64,
        budget: &mut Budget<'_>,
        each: &mut dyn FnMut(Stage),
    ) {
        let position = question.position;
        let limit = limit.min(budget.left());
        self.table.reset(limit, self.memory, || budget.is_stopped());
        self.learned.reset();
        let mut moves = position.legal_moves();
        moves.retain(|m| !question.but.contains(m));
        let wanted = question.lines.min(moves.len());
        if wanted == 0 {
            return;
        }
        let before = budget.spent();
        let hash = hash_of(position);
        let back = position.halfmoves() as usize;
        let older = question.past.len().saturating_sub(back);
        let past = question.past.get(older..).unwrap_or_default();
        let mut path: Vec<u64> = past.iter().map(hash_of).collect();
        path.push(hash);
        let mut search = Search {
            table: &mut self.table,
            learned: &mut self.learned,
            last_node: before.saturating_add(limit),
            budget,
            path,
            lines: vec![Vec::new(); DEEPEST + 2],
            estimates: vec![0; DEEPEST + 2],
            stopped: false,
        };
        let mut last: Option<Vec<Line>> = None;
        let deepest = i32::try_from(question.depth.min(DEEPEST as u32 / 2 - 1)).unwrap_or(1);
        for depth in 1..=deepest {
            let found = search.deepen(position, hash, &moves, wanted, depth, last.as_deref());
            let complete = !search.stopped;
            // An interrupted deepening counts when it looked at the best move again, or
            // when there is nothing older; several lines must be of one depth.
            let counts = complete || (wanted == 1 && !found.is_empty()) || last.is_none();
            if counts && !found.is_empty() {
                each(Stage {
                    nodes: search.budget.spent() - before,
                    lines: found.clone(),
                });
                last = Some(found);
            }
            let settled = last.as_ref().is_some_and(|lines| {
                lines.iter().all(|line| match line.value {
                    Value::Mates(n) => 2 * n.cast_signed() <= depth + 1,
                    Value::Mated(n) => 2 * n.cast_signed() < depth,
                    Value::Centipawns(_) => false,
                })
            });
            if !complete || settled {
                break;
            }
        }
    }
}

fn hash_of(position: &Chess) -> u64 {
    position
        .zobrist_hash::<Zobrist64>(EnPassantMode::PseudoLegal)
        .0
}

struct Search<'a, 'b> {
    table: &'a mut Table,
    learned: &'a mut Memory,
    budget: &'a mut Budget<'b>,
    /// The budget may not be spent beyond this.
    last_node: u64,
    /// The hashes of the positions since the root, the current one last.
    path: Vec<u64>,
    /// The best line from each ply.
    lines: Vec<Vec<Move>>,
    /// The estimate at each ply of the path.
    estimates: Vec<i32>,
    /// The budget ran out or the work was stopped; values since then mean nothing.
    stopped: bool,
}

/// A position in the tree with what is known of it.
#[derive(Clone, Copy)]
struct Place<'p> {
    position: &'p Chess,
    hash: u64,
    ply: usize,
    /// The move that led here.
    last: Option<Footprint>,
    /// The side that moved last passed.
    passed: bool,
}

/// No aspiration window is narrower than this, in centipawns.
const WINDOW: i32 = 30;

impl Search<'_, '_> {
    fn spend(&mut self) -> bool {
        if self.stopped {
            return false;
        }
        if self.budget.spent() >= self.last_node || !self.budget.spend() {
            self.stopped = true;
            return false;
        }
        true
    }

    fn play(&self, place: &Place<'_>, m: Move) -> (Chess, u64) {
        let hash = place.position.update_zobrist_hash(
            Zobrist64(place.hash),
            m,
            EnPassantMode::PseudoLegal,
        );
        let mut next = place.position.clone();
        next.play_unchecked(m);
        let hash = hash.map_or_else(|| hash_of(&next), |hash| hash.0);
        (next, hash)
    }

    /// Searches the root to `depth` for the best `wanted` moves.
    fn deepen(
        &mut self,
        position: &Chess,
        hash: u64,
        moves: &MoveList,
        wanted: usize,
        depth: i32,
        last: Option<&[Line]>,
    ) -> Vec<Line> {
        let mut found: Vec<Line> = Vec::new();
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
        last: Option<&[Line]>,
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
    ) -> Option<Line> {
        let mut width = WINDOW;
        let (mut alpha, mut beta) =
            expected.map_or((-MATE, MATE), |score| (score - width, score + width));
        let mut best: Option<Line> = None;
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

    fn root_line(&self, score: i32, depth: i32) -> Option<Line> {
        let moves = self.lines.first().filter(|line| !line.is_empty())?.clone();
        Some(Line {
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
        let place = Place {
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
            let (next, next_hash) = self.play(&place, m);
            let child = Place {
                position: &next,
                hash: next_hash,
                ply: 1,
                last: Some(footprint(position.turn(), m)),
                passed: false,
            };
            self.path.push(next_hash);
            let ahead = depth - 1 + i32::from(next.is_check());
            let mut score = 0;
            if at > 0 {
                let reduced = if at > 3 && depth > 3 && !m.is_capture() && !next.is_check() {
                    ahead - 1
                } else {
                    ahead
                };
                score = -self.node(child, reduced, -alpha - 1, -alpha, true);
                if score > alpha && reduced < ahead && !self.stopped {
                    score = -self.node(child, ahead, -alpha - 1, -alpha, true);
                }
            }
            if at == 0 || (score > alpha && !self.stopped) {
                score = -self.node(child, ahead, -beta, -alpha, false);
            }
            self.path.pop();
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
            let bound = if best >= beta {
                Bound::Lower
            } else if best > start {
                Bound::Exact
            } else {
                Bound::Upper
            };
            let packed = best_move.map_or(Packed::NONE, Packed::new);
            self.table.put(hash, 0, depth, best, 0, bound, packed);
        }
        (best, best_move)
    }

    /// Puts `m` before the best line of the next ply.
    fn keep_line(&mut self, ply: usize, m: Move) {
        let Some((here, rest)) = self.lines.get_mut(ply..).and_then(<[_]>::split_first_mut) else {
            return;
        };
        here.clear();
        here.push(m);
        if let Some(next) = rest.first() {
            here.extend_from_slice(next);
        }
    }

    /// Whether the position occurred before on the path, or is drawn by the rules.
    fn is_draw(&self, place: &Place<'_>) -> bool {
        let position = place.position;
        let back = position.halfmoves() as usize;
        if back >= 100 || position.is_insufficient_material() {
            return true;
        }
        self.path
            .iter()
            .rev()
            .skip(2)
            .step_by(2)
            .take(back / 2)
            .any(|&hash| hash == place.hash)
    }

    /// The value of a position searched to `depth`, within the window (Knuth and Moore's
    /// alpha-beta, fail-soft).
    #[allow(clippy::too_many_lines, clippy::cognitive_complexity)]
    fn node(
        &mut self,
        place: Place<'_>,
        depth: i32,
        alpha: i32,
        beta: i32,
        expect_cut: bool,
    ) -> i32 {
        self.search(place, depth, alpha, beta, expect_cut, None)
    }

    /// As `node`, one move left out.
    #[allow(clippy::too_many_lines)]
    fn search(
        &mut self,
        place: Place<'_>,
        mut depth: i32,
        mut alpha: i32,
        mut beta: i32,
        expect_cut: bool,
        without: Option<Packed>,
    ) -> i32 {
        let Place {
            position,
            hash,
            ply,
            last,
            passed,
        } = place;
        if let Some(line) = self.lines.get_mut(ply) {
            line.clear();
        }
        if self.is_draw(&place) {
            // Mate on the hundredth half-move comes before the draw.
            return if position.halfmoves() >= 100 && position.is_checkmate() {
                -MATE + plies(ply)
            } else {
                0
            };
        }
        let checked = position.is_check();
        if depth <= 0 {
            return self.quiesce(place, alpha, beta, 0);
        }
        if ply >= DEEPEST {
            return evaluate(position);
        }
        let on_line = beta - alpha > 1;
        // No line is better than mating at once or worse than being mated here.
        alpha = alpha.max(-MATE + plies(ply));
        beta = beta.min(MATE - plies(ply) - 1);
        if alpha >= beta {
            return alpha;
        }
        let stored = if without.is_some() {
            None
        } else {
            self.table.get(hash, plies(ply))
        };
        if let Some(entry) = stored
            && !on_line
            && i32::from(entry.depth) >= depth
        {
            let score = i32::from(entry.score);
            let cuts = match entry.bound {
                Bound::Exact => true,
                Bound::Lower => score >= beta,
                Bound::Upper => score <= alpha,
            };
            if cuts {
                return score;
            }
        }
        let hash_move = stored.map_or(Packed::NONE, |entry| entry.best);
        let estimate = if checked {
            -MATE
        } else {
            stored.map_or_else(|| evaluate(position), |entry| i32::from(entry.estimate))
        };
        if let Some(slot) = self.estimates.get_mut(ply) {
            *slot = estimate;
        }
        let improving = !checked
            && ply >= 2
            && self
                .estimates
                .get(ply - 2)
                .is_some_and(|&old| estimate > old);
        let tuned = match stored {
            Some(entry)
                if !checked
                    && match entry.bound {
                        Bound::Exact => true,
                        Bound::Lower => i32::from(entry.score) > estimate,
                        Bound::Upper => i32::from(entry.score) < estimate,
                    }
                    && i32::from(entry.score).abs() < MATE_BOUND =>
            {
                i32::from(entry.score)
            }
            _ => estimate,
        };
        if !on_line && !checked && without.is_none() {
            // So far above beta that a quiet reply will not change it.
            if depth <= 6
                && beta.abs() < MATE_BOUND
                && tuned - 90 * (depth - i32::from(improving)) >= beta
            {
                return tuned;
            }
            if depth <= 2 && tuned + 250 * depth < alpha {
                let score = self.quiesce(place, alpha, beta, 0);
                if score <= alpha {
                    return score;
                }
            }
            if let Some(score) = self.pass(place, depth, beta, tuned, expect_cut, passed) {
                return score;
            }
        }
        if hash_move == Packed::NONE && depth >= 4 && without.is_none() {
            depth -= 1;
        }
        let moves = position.legal_moves();
        if moves.is_empty() {
            return if checked { -MATE + plies(ply) } else { 0 };
        }
        let single = moves.len() == 1;
        let start = alpha;
        let mut best = -MATE;
        let mut best_move = Packed::NONE;
        let mut tried: Vec<Move> = Vec::new();
        let mut counted = 0_i32;
        let mut quiets = 0_i32;
        let checks = Checks::new(position);
        let picker = Picker::new(position, &moves, hash_move, self.learned, last, ply);
        for ranked in picker {
            let m = ranked.m;
            let packed = Packed::new(m);
            if without == Some(packed) {
                continue;
            }
            let quiet = !m.is_capture() && !m.is_promotion();
            let gives_check = checks.given_by(position, m);
            let losing = ranked.is_losing_capture();
            counted += 1;
            if quiet {
                quiets += 1;
            }
            if best > -MATE_BOUND && !checked && ply > 0 {
                if quiet && !gives_check {
                    let most = (4 + depth * depth) / if improving { 1 } else { 2 };
                    if depth <= 7 && quiets > most + 2 {
                        continue;
                    }
                    if depth <= 6 && !on_line && estimate + 110 + 100 * depth <= alpha {
                        continue;
                    }
                }
                if depth <= 5 && !on_line {
                    let floor = if quiet {
                        -30 * depth * depth
                    } else {
                        -100 * depth
                    };
                    if (losing || quiet)
                        && !(gives_check && depth > 2)
                        && exchange_of(position, m) < floor
                    {
                        continue;
                    }
                }
            }
            let mut longer = 0;
            if gives_check && (!losing || depth > 2) || single {
                longer = 1;
            }
            if packed == hash_move
                && depth >= 6
                && without.is_none()
                && let Some(entry) = stored
                && i32::from(entry.depth) >= depth - 3
                && entry.bound != Bound::Upper
                && i32::from(entry.score).abs() < MATE_BOUND
            {
                // Is it the only good move? Then it deserves a closer look.
                let limit = i32::from(entry.score) - 2 * depth;
                let rest = self.search(
                    place,
                    (depth - 1) / 2,
                    limit - 1,
                    limit,
                    expect_cut,
                    Some(packed),
                );
                if self.stopped {
                    return 0;
                }
                if rest < limit {
                    longer = 1;
                } else if limit >= beta && !on_line {
                    return limit;
                }
            }
            // Along one line extensions may double the depth at most.
            if longer > 0 && plies(ply) > 2 * (plies(ply) / 2 + depth).max(12) {
                longer = 0;
            }
            if !self.spend() {
                return 0;
            }
            let (next, next_hash) = self.play(&place, m);
            let child = Place {
                position: &next,
                hash: next_hash,
                ply: ply + 1,
                last: Some(footprint(position.turn(), m)),
                passed: false,
            };
            self.path.push(next_hash);
            let ahead = depth - 1 + longer;
            let mut score = alpha;
            if counted > 1 {
                let mut less = 0;
                if depth >= 3 && counted > 2 + i32::from(on_line) && (quiet || losing) {
                    less = reduction(depth, counted);
                    less += i32::from(expect_cut) + i32::from(!improving);
                    less -= i32::from(on_line) + i32::from(gives_check) * 2 + i32::from(checked);
                    if quiet {
                        less -= self.learned.quiet(position.turn(), last, m) / 8_000;
                    }
                    less = less.clamp(0, (ahead - 1).max(0));
                }
                score = -self.node(child, ahead - less, -alpha - 1, -alpha, true);
                if score > alpha && less > 0 && !self.stopped {
                    score = -self.node(child, ahead, -alpha - 1, -alpha, !expect_cut);
                }
            }
            if counted == 1 || (on_line && score > alpha && !self.stopped) {
                score = -self.node(child, ahead, -beta, -alpha, !on_line && !expect_cut);
            }
            self.path.pop();
            if self.stopped {
                return 0;
            }
            if score > best {
                best = score;
                if score > alpha {
                    best_move = packed;
                    alpha = score;
                    if on_line {
                        self.keep_line(ply, m);
                    }
                    if score >= beta {
                        if quiet {
                            self.learned
                                .learn(position.turn(), last, ply, depth, m, &tried);
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
            return alpha;
        }
        if without.is_none() {
            let bound = if best >= beta {
                Bound::Lower
            } else if best > start {
                Bound::Exact
            } else {
                Bound::Upper
            };
            self.table
                .put(hash, plies(ply), depth, best, estimate, bound, best_move);
        }
        best
    }

    /// Null move: if even passing keeps the value above beta, a move will too.
    fn pass(
        &mut self,
        place: Place<'_>,
        depth: i32,
        beta: i32,
        estimate: i32,
        expect_cut: bool,
        passed: bool,
    ) -> Option<i32> {
        let position = place.position;
        let pieces = position.us() & !position.board().pawns() & !position.board().kings();
        if depth < 3
            || passed
            || estimate < beta
            || beta <= -MATE_BOUND
            || pieces.is_empty()
            || !expect_cut && depth < 4
        {
            return None;
        }
        let less = 3 + depth / 4 + ((estimate - beta) / 200).min(3);
        let next = position.clone().swap_turn().ok()?;
        if !self.spend() {
            return Some(0);
        }
        let hash = hash_of(&next);
        let child = Place {
            position: &next,
            hash,
            ply: place.ply + 1,
            last: None,
            passed: true,
        };
        self.path.push(hash);
        let score = -self.node(child, depth - less, -beta, -beta + 1, !expect_cut);
        self.path.pop();
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
        let check = self.search(
            Place {
                passed: true,
                ..place
            },
            depth - less,
            beta - 1,
            beta,
            false,
            None,
        );
        (check >= beta).then_some(score)
    }

    /// Plays out captures, promotions and, on its first ply, checks, until the position is
    /// quiet.
    fn quiesce(&mut self, place: Place<'_>, mut alpha: i32, beta: i32, deep: i32) -> i32 {
        let Place {
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
            && i32::from(entry.depth) >= worth
        {
            let score = i32::from(entry.score);
            let cuts = match entry.bound {
                Bound::Exact => true,
                Bound::Lower => score >= beta,
                Bound::Upper => score <= alpha,
            };
            if cuts {
                return score;
            }
        }
        let start = alpha;
        let mut best = -MATE + plies(ply);
        let mut estimate = -MATE;
        if !checked {
            estimate = stored.map_or_else(|| evaluate(position), |entry| i32::from(entry.estimate));
            best = estimate;
            if let Some(entry) = stored
                && match entry.bound {
                    Bound::Exact => true,
                    Bound::Lower => i32::from(entry.score) > best,
                    Bound::Upper => i32::from(entry.score) < best,
                }
            {
                best = i32::from(entry.score);
            }
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
            let (next, next_hash) = self.play(&place, m);
            let child = Place {
                position: &next,
                hash: next_hash,
                ply: ply + 1,
                last: Some(footprint(position.turn(), m)),
                passed: false,
            };
            self.path.push(next_hash);
            let score = -self.quiesce(child, -beta, -alpha, deep + 1);
            self.path.pop();
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
        let bound = if best >= beta {
            Bound::Lower
        } else if best > start && checked {
            Bound::Exact
        } else {
            Bound::Upper
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

/// Plies as a number to compute with.
fn plies(ply: usize) -> i32 {
    i32::try_from(ply).unwrap_or(i32::MAX)
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
