//! Draws by the rules of the game, and perpetual check.

use gainsay_commentary::{At, Draw, Nuance, Standing, Subject};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Position};

use super::{
    Pending,
    answer::{Answer, Court, evidence, nothing, single},
    scene::Step,
};
use crate::{
    outcome::{DrawWhy, Man, Side},
    played,
};

/// One question about perpetual check costs at most so many nodes.
const CHECKS: u64 = 60_000;

/// Positions that may have come up again are looked for among so many. After 150 half-moves
/// without capture or pawn move a game is drawn (FIDE Laws of Chess, 9.6.2), so that only one
/// that was played on for long has more.
const WAY: usize = 300;

impl Pending {
    /// Settles claims of a draw by the rules of the game.
    pub(super) fn settle_draw(&self, draw: Draw, court: &mut Court<'_>) -> Answer {
        if draw == Draw::Perpetual {
            return self.settle_perpetual(court);
        }
        let holds = |position: &Chess| match draw {
            Draw::Stalemate => position.is_stalemate() && self.may_be_stalemated(position),
            Draw::Dead => facts::dead_position(position) == Verdict::Holds,
            Draw::Insufficient => facts::insufficient_material(position),
            Draw::FiftyMoves => position.halfmoves() >= 100,
            Draw::Repetition => self.occurrences(position) >= 2,
            Draw::Threefold => self.occurrences(position) >= 3,
            Draw::Perpetual => false,
        };
        if self.denied() {
            return match self.nearest().next() {
                Some(position) if !holds(position) && draw == Draw::Stalemate => {
                    Answer::new(Verdict::Holds).on(position)
                }
                _ => Answer::unsettled(),
            };
        }
        if let Some(position) = self.within_reach().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        if let Some(answer) = self.mate_no_stalemate(draw) {
            return answer;
        }
        let end = match self.claim.at {
            At::End(_) => self.only_end().map(|step| &step.after),
            // A whole comment that says so speaks of its position.
            At::Here if self.is_all() => Some(&self.comment.scene.here),
            _ => None,
        };
        let answer = end.map_or_else(Answer::unsettled, |end| self.no_draw(draw, end, &holds));
        if answer.verdict == Verdict::Unsettled && draw == Draw::Insufficient {
            // It is said to be drawn besides.
            let drawn = self.settle_standing(Standing::Drawn, court);
            if drawn.verdict == Verdict::Fails {
                return drawn;
            }
        }
        answer
    }

    /// Whether "Black is stalemated" can speak of this position.
    fn may_be_stalemated(&self, position: &Chess) -> bool {
        !matches!(self.claim.subject, Subject::Side(side) if side != position.turn())
    }

    /// The finding that there is no such draw at the end of the line, or at the comment.
    fn no_draw(&self, draw: Draw, end: &Chess, holds: &dyn Fn(&Chess) -> bool) -> Answer {
        match draw {
            Draw::Stalemate if !soon(end, holds) => {
                let Some(&m) = end.legal_moves().first() else {
                    return self.other_side_stalemated(end);
                };
                let legal = single(end, m);
                let shown = legal.clone();
                Answer::refuted(DrawWhy::NoStalemate { legal }, end, shown)
            }
            Draw::Insufficient if self.claim.subject == Subject::Nobody => {
                let board = end.board();
                let enough = board.pawns() | board.rooks_and_queens();
                let lost = |position: &Chess| {
                    let board = position.board();
                    (board.pawns() | board.rooks_and_queens()).is_empty()
                };
                if self.meant().any(lost) || self.comment_cites_loosely() || soon(end, holds) {
                    return Answer::unsettled();
                }
                let men = Man::all(board, enough);
                Answer::refuted(DrawWhy::StillThere { men }, end, nothing(end))
            }
            Draw::Threefold | Draw::FiftyMoves if !self.comment.scene.is_set_up() => {
                self.no_claim(draw, end)
            }
            _ => Answer::unsettled(),
        }
    }

    /// "White is stalemated", where Black is.
    fn other_side_stalemated(&self, end: &Chess) -> Answer {
        if !end.is_stalemate() {
            return Answer::unsettled();
        }
        let side = Side(end.turn());
        Answer::refuted(DrawWhy::OtherSideStalemated { side }, end, nothing(end))
    }

    /// How often a position has come up on the way to the comment and in what follows it.
    /// Source: FIDE Laws of Chess (2023), 9.2.3.
    fn occurrences(&self, position: &Chess) -> usize {
        let scene = &self.comment.scene;
        let same = |other: &&Chess| *other == position;
        let way = scene.tree.way_back(scene.after).take(WAY);
        let way = way.filter(same).count();
        let cited = self.comment.lines.iter().flat_map(|line| &line.readings);
        let in_line = cited.map(|steps| steps.iter().map(|step| &step.after).filter(same).count());
        let ahead = scene.ahead.iter().filter(same).count();
        way + in_line.fold(ahead, usize::max)
    }

    /// The finding that a game that ends here gives no claim of a draw: no position has come
    /// up three times, nor can by the next move (9.2.1), or pieces have been taken or pawns
    /// moved far too lately.
    fn no_claim(&self, draw: Draw, end: &Chess) -> Answer {
        /// Plies short of which nobody miscounts to a hundred.
        const FAR: u32 = 60;
        let scene = &self.comment.scene;
        // A few words in the middle of a game speak of the position that they stand at.
        let far = |position: &Chess| self.occurrences(position) < 2;
        let plain = draw == Draw::Threefold
            && self.is_all()
            && (scene.around().chain(&scene.beside)).all(far);
        let over = (scene.ahead.is_empty() || plain) && self.comment.lines.is_empty();
        if !over || end != &scene.here {
            return Answer::unsettled();
        }
        let why = match draw {
            Draw::FiftyMoves if end.halfmoves() < FAR => DrawWhy::FewQuietMoves {
                moves: end.halfmoves() / 2,
            },
            Draw::Threefold => {
                let way: Vec<&Chess> = scene.tree.way_back(scene.after).take(WAY + 1).collect();
                if way.len() > WAY && end.halfmoves() as usize >= WAY {
                    return Answer::unsettled();
                }
                let times = |wanted: &Chess| way.iter().filter(|&&other| other == wanted).count();
                let next = end.legal_moves().into_iter().any(|m| {
                    let after = played(end, m);
                    times(&after) >= 2
                });
                if next || way.iter().any(|position| times(position) >= 3) {
                    return Answer::unsettled();
                }
                DrawWhy::Occurs {
                    times: if times(end) == 1 { 1 } else { 2 },
                }
            }
            _ => return Answer::unsettled(),
        };
        Answer::refuted(why, end, nothing(end))
    }

    /// "Stalemate!", all that a comment says behind a move that mates.
    fn mate_no_stalemate(&self, draw: Draw) -> Option<Answer> {
        let scene = &self.comment.scene;
        let step = scene.played.as_ref()?;
        if draw != Draw::Stalemate || !self.is_one_word() || !step.after.is_checkmate() {
            return None;
        }
        let line = step.shown();
        let shown = line.clone();
        let why = DrawWhy::StalemateIsMate { line };
        Some(Answer::refuted(why, &step.after, shown))
    }

    /// The last step of the line that the claim leans on, where the line can be played in
    /// one way only.
    pub(super) fn only_end(&self) -> Option<&Step> {
        let [steps] = self.line()?.readings.as_slice() else {
            return None;
        };
        steps.last()
    }

    /// The finding that the side to move has more than the perpetual check that is all the
    /// author gives it: it mates by force.
    fn more_than_perpetual(&self, court: &mut Court<'_>) -> Option<Answer> {
        let at = self.nearest().next()?;
        let meant = self.claim.wording.begins(Nuance::Merely)
            && !self.denied()
            && !self.line_is_lost()
            && !matches!(self.claim.subject, Subject::Side(side) if side != at.turn());
        if !meant {
            return None;
        }
        let forced = court.mates_ever(at, CHECKS);
        if forced.verdict != Verdict::Holds {
            return None;
        }
        let line = evidence(at, &forced.line);
        let shown = line.clone();
        let side = Side(at.turn());
        Some(Answer::refuted(
            DrawWhy::MoreThanPerpetual { side, line },
            at,
            shown,
        ))
    }

    /// Perpetual check: the side to move checks for ever, at the comment, around it, or
    /// anywhere on the line the claim leans on. It fails only at the end of a line, where
    /// the checks are shown to run out in every position that can be meant.
    fn settle_perpetual(&self, court: &mut Court<'_>) -> Answer {
        if let Some(answer) = self.more_than_perpetual(court) {
            return answer;
        }
        let scene = &self.comment.scene;
        let mut positions: Vec<&Chess> = Vec::new();
        let at_line = matches!(self.claim.at, At::End(_) | At::Shown(_));
        if let Some(line) = self.line() {
            for steps in line.readings.iter().take(2) {
                positions.extend(steps.iter().rev().take(4).map(|step| &step.before));
                positions.extend(steps.last().map(|step| &step.after));
            }
        }
        positions.push(&scene.here);
        positions.extend(scene.back.iter().take(3));
        positions.extend(scene.ahead.iter().take(4));
        positions.extend(scene.beside.iter().take(4));
        let mut all_fail = true;
        for position in positions {
            let (verdict, line) = court.perpetual(position, CHECKS);
            // Checks that end in mate are no perpetual check.
            let mut end = position.clone();
            for &m in &line {
                end.play_unchecked(m);
            }
            match verdict {
                _ if end.is_checkmate() => {}
                Verdict::Holds if self.denied() => return Answer::unsettled(),
                Verdict::Holds => {
                    return Answer::new(Verdict::Holds)
                        .on(position)
                        .shown_by(evidence(position, &line));
                }
                Verdict::Unsettled => all_fail = false,
                Verdict::Fails => {}
            }
        }
        if self.denied() && all_fail {
            return Answer::new(Verdict::Holds).on(&scene.here);
        }
        let (Some(last), true) = (self.only_end(), all_fail && at_line && !self.denied()) else {
            return Answer::unsettled();
        };
        if !last.after.is_check() {
            return Answer::unsettled();
        }
        let escape = last.after.legal_moves().into_iter().find(|&m| {
            let away = played(&last.after, m);
            court.perpetual(&away, CHECKS).0 == Verdict::Fails
        });
        let Some(escape) = escape else {
            return Answer::unsettled();
        };
        let line = single(&last.after, escape);
        let shown = line.clone();
        Answer::refuted(DrawWhy::ChecksRunOut { line }, &last.after, shown)
    }
}

/// Whether something is true after one or two moves from a position.
fn soon(position: &Chess, holds: &dyn Fn(&Chess) -> bool) -> bool {
    position.legal_moves().iter().any(|&m| {
        let after = played(position, m);
        holds(&after)
            || after.legal_moves().iter().any(|&m| {
                let later = played(&after, m);
                holds(&later)
            })
    })
}
