//! Perpetual check.

use std::collections::{HashMap, HashSet};

use shakmaty::zobrist::Zobrist128;
use shakmaty::{Chess, EnPassantMode, Move, Position};

use super::order::Checks;
use crate::{budget::Budget, verdict::Verdict};

/// The answer to a question about perpetual check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Perpetual {
    /// Whether the side to move can give check on every move for ever (or mate).
    pub verdict: Verdict,
    /// When it holds: checks and replies, until a position occurs again or mate.
    pub line: Vec<Move>,
    /// Nodes spent.
    pub nodes: u64,
}

/// Chains of checks are followed so many checks far, the short ones first: most perpetual
/// checks are short, and a queen has very many long ones.
const LIMITS: [usize; 8] = [2, 3, 5, 8, 14, 26, 50, 120];

/// Can the side to move give check for ever?
///
/// *Holds* when there is a set of positions, this one among them, such that in each the
/// side to move has a check after which every reply leads back into the set (or there is
/// no reply: mate). Then the draw by repetition (FIDE Laws 9.2) cannot be prevented.
/// *Fails* when every order of checks runs out against some replies; that is exact
/// too. *Unsettled* when the budget or the length of the chains did not suffice. The
/// fifty-move rule is left aside, for it would only help the checking side.
#[must_use]
pub fn perpetual_check(position: &Chess, budget: &mut Budget<'_>) -> Perpetual {
    let before = budget.spent();
    let mut chase = Chase {
        budget,
        lost: HashSet::new(),
        held: HashMap::new(),
        open: HashSet::new(),
        tired: HashMap::new(),
        limit: 0,
        cut: false,
    };
    let mut verdict = Verdict::Unsettled;
    for limit in LIMITS {
        chase.limit = limit;
        verdict = chase.settle(position);
        if verdict != Verdict::Unsettled || chase.budget.left() == 0 {
            break;
        }
    }
    let verdict = if chase.budget.is_stopped() {
        Verdict::Unsettled
    } else {
        verdict
    };
    let line = if verdict == Verdict::Holds {
        chase.line(position)
    } else {
        Vec::new()
    };
    Perpetual {
        verdict,
        line,
        nodes: budget.spent() - before,
    }
}

fn key(position: &Chess) -> Zobrist128 {
    position.zobrist_hash(EnPassantMode::Legal)
}

struct Chase<'a, 'b> {
    budget: &'a mut Budget<'b>,
    /// Positions in which the checks run out.
    lost: HashSet<Zobrist128>,
    /// Positions in which they do not, as far as is known, with the check to give.
    held: HashMap<Zobrist128, Move>,
    /// Positions on the way here.
    open: HashSet<Zobrist128>,
    /// Positions given up in this walk, with the checks that were left then.
    tired: HashMap<Zobrist128, usize>,
    /// The longest chain of checks that is followed.
    limit: usize,
    /// Something was not looked at; what seems lost may not be.
    cut: bool,
}

impl Chase<'_, '_> {
    /// Walks until what is held stands, or nothing new is found to be lost.
    ///
    /// A position may have been taken for held because of one that was open above it and
    /// given up later; so what is held is looked at once more as a whole, and the walk is
    /// repeated with what is known to be lost.
    fn settle(&mut self, position: &Chess) -> Verdict {
        loop {
            let lost = self.lost.len();
            self.held.clear();
            self.open.clear();
            self.tired.clear();
            self.cut = false;
            if !self.holds(position, 0) {
                return if self.cut {
                    Verdict::Unsettled
                } else {
                    Verdict::Fails
                };
            }
            if self.stands(position) {
                return Verdict::Holds;
            }
            if self.lost.len() == lost {
                return Verdict::Unsettled;
            }
        }
    }

    /// Whether what is held really holds: from the root on, every reply to the check
    /// noted leads to a position that is held as well.
    fn stands(&mut self, position: &Chess) -> bool {
        let mut open = vec![position.clone()];
        let mut seen = HashSet::new();
        while let Some(here) = open.pop() {
            let name = key(&here);
            if !seen.insert(name) {
                continue;
            }
            let Some(&check) = self.held.get(&name) else {
                return false;
            };
            if !self.budget.spend() {
                return false;
            }
            let mut checked = here;
            checked.play_unchecked(check);
            for reply in checked.legal_moves() {
                if !self.budget.spend() {
                    return false;
                }
                let mut next = checked.clone();
                next.play_unchecked(reply);
                open.push(next);
            }
        }
        true
    }

    /// Whether the side to move can go on checking. Depth counts checks, so that the
    /// recursion is bounded.
    fn holds(&mut self, position: &Chess, depth: usize) -> bool {
        let here = key(position);
        if self.held.contains_key(&here) || self.open.contains(&here) {
            return true;
        }
        if self.lost.contains(&here) {
            return false;
        }
        let left = self.limit.saturating_sub(depth);
        if left == 0 || self.tired.get(&here).is_some_and(|&then| then >= left) {
            self.cut = true;
            return false;
        }
        self.open.insert(here);
        let checks = Checks::new(position);
        let mut sure = true;
        let mut holding = None;
        for m in position.legal_moves() {
            if !checks.given_by(position, m) {
                continue;
            }
            if !self.budget.spend() {
                self.cut = true;
                sure = false;
                break;
            }
            let mut next = position.clone();
            next.play_unchecked(m);
            let cut_before = std::mem::replace(&mut self.cut, false);
            let answered = self.answered(&next, depth);
            sure &= !self.cut;
            self.cut |= cut_before;
            if !answered {
                holding = Some(m);
                break;
            }
        }
        self.open.remove(&here);
        match holding {
            Some(m) => {
                self.held.insert(here, m);
                true
            }
            None => {
                if sure {
                    self.lost.insert(here);
                } else {
                    self.tired.insert(here, left);
                }
                false
            }
        }
    }

    /// Whether some reply ends the checks.
    fn answered(&mut self, checked: &Chess, depth: usize) -> bool {
        let mut replies = checked.legal_moves();
        // Captures of the checking piece end most chases at once.
        replies.sort_by_key(|m| !m.is_capture());
        for m in replies {
            if !self.budget.spend() {
                self.cut = true;
                return true;
            }
            let mut next = checked.clone();
            next.play_unchecked(m);
            if !self.holds(&next, depth + 1) {
                return true;
            }
        }
        false
    }

    /// The checks to give with some replies, until a position occurs again.
    fn line(&self, position: &Chess) -> Vec<Move> {
        let mut line = Vec::new();
        let mut seen = HashSet::new();
        let mut position = position.clone();
        while seen.insert(key(&position)) {
            let Some(&check) = self.held.get(&key(&position)) else {
                break;
            };
            position.play_unchecked(check);
            line.push(check);
            let Some(reply) = position.legal_moves().first().copied() else {
                break;
            };
            position.play_unchecked(reply);
            line.push(reply);
        }
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{playouts, position};

    fn ask(fen: &str) -> Perpetual {
        perpetual_check(&position(fen), &mut Budget::nodes(200_000))
    }

    #[test]
    fn queens_and_rooks_check_for_ever() {
        // The queen checks on e8 and h5 in turn (common practice, no source).
        let answer = ask("6k1/6p1/8/7Q/8/1q6/r7/6K1 w - - 0 1");
        assert_eq!(answer.verdict, Verdict::Holds);
        let mut at = position("6k1/6p1/8/7Q/8/1q6/r7/6K1 w - - 0 1");
        for (ply, m) in answer.line.iter().enumerate() {
            at = at.play(*m).unwrap();
            assert!(ply % 2 == 1 || at.is_check());
        }
    }

    #[test]
    fn checks_that_run_out() {
        // One check, then none.
        assert_eq!(
            ask("6k1/5ppp/8/8/8/8/r7/R5K1 w - - 0 1").verdict,
            Verdict::Fails
        );
        assert_eq!(
            ask("4k3/8/8/8/8/8/8/4K2N w - - 0 1").verdict,
            Verdict::Fails
        );
    }

    #[test]
    fn a_small_budget_leaves_it_open() {
        let p = position("6k1/6p1/8/7Q/8/1q6/r7/6K1 w - - 0 1");
        assert_eq!(
            perpetual_check(&p, &mut Budget::nodes(1)).verdict,
            Verdict::Unsettled
        );
    }

    /// The definition said otherwise: build every position reachable by checks and all
    /// replies, then strike out, until nothing changes, those without a check whose
    /// replies all remain.
    fn by_striking_out(root: &Chess, most: usize) -> Option<bool> {
        let mut positions = vec![root.clone()];
        let mut numbers: HashMap<Zobrist128, usize> = HashMap::from([(key(root), 0)]);
        let mut checks: Vec<Vec<Vec<usize>>> = Vec::new();
        let mut at = 0;
        while at < positions.len() {
            let here = positions[at].clone();
            let mut own = Vec::new();
            for m in here.legal_moves() {
                let mut checked = here.clone();
                checked.play_unchecked(m);
                if !checked.is_check() {
                    continue;
                }
                let mut replies = Vec::new();
                for r in checked.legal_moves() {
                    let mut next = checked.clone();
                    next.play_unchecked(r);
                    let number = *numbers.entry(key(&next)).or_insert_with(|| {
                        positions.push(next.clone());
                        positions.len() - 1
                    });
                    replies.push(number);
                }
                own.push(replies);
            }
            checks.push(own);
            at += 1;
            if positions.len() > most {
                return None;
            }
        }
        let mut alive = vec![true; positions.len()];
        loop {
            let mut changed = false;
            for at in 0..positions.len() {
                let stays = checks[at].iter().any(|r| r.iter().all(|&n| alive[n]));
                if alive[at] && !stays {
                    alive[at] = false;
                    changed = true;
                }
            }
            if !changed {
                return Some(alive[0]);
            }
        }
    }

    #[test]
    fn verdicts_equal_striking_out_all_that_does_not_last() {
        let mut compared = [0, 0];
        for position in playouts(300, 160) {
            let Some(truth) = by_striking_out(&position, 400) else {
                continue;
            };
            let found = perpetual_check(&position, &mut Budget::nodes(1_000_000)).verdict;
            compared[usize::from(truth)] += 1;
            let wanted = if truth {
                Verdict::Holds
            } else {
                Verdict::Fails
            };
            assert_eq!(found, wanted, "{}", position.board());
        }
        assert!(compared[0] > 500 && compared[1] > 20, "{compared:?}");
    }
}
