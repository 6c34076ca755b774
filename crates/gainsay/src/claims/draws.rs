//! Draws by the rules of the game, and perpetual check.

use gainsay_commentary::{At, Draw, Nuance, Standing, Subject};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Position};

use super::{
    answer::{Answer, Court},
    standings::settle_standing,
};
use crate::{
    outcome::{DrawWhy, Line, Man, Side},
    question::Question,
    resolve::played,
    rule::{Severity, rule},
};

rule! {
    /// A draw by the rules that the text claims is none.
    ///
    /// A stalemate, or too little material to mate, said of the end of a cited line, is told
    /// only where it does not come up within two plies of it either. That a game ended by
    /// repetition or by the fifty-move rule is told to be wrong where its last position gives
    /// no such claim, and that a side has only perpetual check where it mates by force.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1"]
    ///
    /// 1. Kf7 {Not 1.Qg8+, stalemate.} Kh7 2. Qg7# *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1"]
    ///
    /// 1. Kf7 {Not 1.Qg6, stalemate.} Kh7 2. Qg7# *
    /// ```
    FALSE_DRAW = "false-draw", Severity::Error
}

/// One question about perpetual check costs at most so many nodes.
const CHECKS: u64 = 60_000;

/// Positions that may have come up again are looked for among so many. After 150 half-moves
/// without capture or pawn move a game is drawn (FIDE Laws of Chess, 9.6.2), so that only one
/// that was played on for long has more.
const WAY: usize = 300;

/// Settles claims of a draw by the rules of the game.
pub(super) fn settle_draw(question: &Question, draw: Draw, court: &mut Court<'_>) -> Answer {
    if draw == Draw::Perpetual {
        return settle_perpetual(question, court);
    }
    let holds = |position: &Chess| match draw {
        Draw::Stalemate => position.is_stalemate() && may_be_stalemated(question, position),
        Draw::Dead => facts::dead_position(position) == Verdict::Holds,
        Draw::Insufficient => facts::insufficient_material(position),
        Draw::FiftyMoves => position.halfmoves() >= 100,
        Draw::Repetition => occurrences(question, position) >= 2,
        Draw::Threefold => occurrences(question, position) >= 3,
        Draw::Perpetual => false,
    };
    if question.denied() {
        return match question.nearest().next() {
            Some(position) if !holds(position) && draw == Draw::Stalemate => {
                Answer::new(Verdict::Holds).on(position)
            }
            _ => Answer::unsettled(),
        };
    }
    if let Some(position) = question.within_reach().find(|position| holds(position)) {
        return Answer::new(Verdict::Holds).on(position);
    }
    if let Some(answer) = mate_no_stalemate(question, draw) {
        return answer;
    }
    let end = match question.claim.at {
        At::End(_) => question.only_end().map(|step| &step.after),
        // A whole comment that says so speaks of its position, and so does "is stalemate".
        At::Here if question.is_all() || draw == Draw::Stalemate && is_there(question) => {
            Some(&question.comment.scene.here)
        }
        _ => None,
    };
    let answer = end.map_or_else(Answer::unsettled, |end| {
        no_draw(question, draw, end, &holds)
    });
    if answer.verdict == Verdict::Unsettled && draw == Draw::Insufficient {
        // It is said to be drawn besides.
        let drawn = settle_standing(question, Standing::Drawn, court);
        if drawn.verdict == Verdict::Fails {
            return drawn;
        }
    }
    answer
}

/// Whether the words say that it is so now: "this is stalemate".
fn is_there(question: &Question) -> bool {
    question.speaks_of_now() && question.claim.wording.has(Nuance::Being)
}

/// Whether "Black is stalemated" can speak of this position.
fn may_be_stalemated(question: &Question, position: &Chess) -> bool {
    !matches!(question.claim.subject, Subject::Side(side) if side != position.turn())
}

/// The finding that there is no such draw at the end of the line, or at the comment.
fn no_draw(question: &Question, draw: Draw, end: &Chess, holds: &dyn Fn(&Chess) -> bool) -> Answer {
    match draw {
        Draw::Stalemate if !soon(end, holds) => {
            let Some(&m) = end.legal_moves().first() else {
                return other_side_stalemated(end);
            };
            let legal = Line::new(end, &[m]);
            let shown = legal.clone();
            Answer::refuted(DrawWhy::NoStalemate { legal }, end, shown)
        }
        Draw::Insufficient if question.claim.subject == Subject::Nobody => {
            let board = end.board();
            let enough = board.pawns() | board.rooks_and_queens();
            let lost = |position: &Chess| {
                let board = position.board();
                (board.pawns() | board.rooks_and_queens()).is_empty()
            };
            if question.meant().any(lost) || question.comment_cites_loosely() || soon(end, holds) {
                return Answer::unsettled();
            }
            let men = Man::all(board, enough);
            Answer::refuted(DrawWhy::StillThere { men }, end, Line::new(end, &[]))
        }
        Draw::Threefold | Draw::FiftyMoves if !question.comment.scene.is_set_up() => {
            no_claim(question, draw, end)
        }
        _ => Answer::unsettled(),
    }
}

/// "White is stalemated", where Black is.
fn other_side_stalemated(end: &Chess) -> Answer {
    if !end.is_stalemate() {
        return Answer::unsettled();
    }
    let side = Side(end.turn());
    Answer::refuted(
        DrawWhy::OtherSideStalemated { side },
        end,
        Line::new(end, &[]),
    )
}

/// How often a position has come up on the way to the comment and in what follows it.
/// Source: FIDE Laws of Chess (2023), 9.2.3.
fn occurrences(question: &Question, position: &Chess) -> usize {
    let scene = &question.comment.scene;
    let same = |other: &&Chess| *other == position;
    let way = scene.tree.way_back(scene.after).take(WAY);
    let way = way.filter(same).count();
    let cited = question
        .comment
        .lines
        .iter()
        .flat_map(|line| &line.readings);
    let in_line = cited.map(|steps| steps.iter().map(|step| &step.after).filter(same).count());
    let ahead = scene.ahead.iter().filter(same).count();
    way + in_line.fold(ahead, usize::max)
}

/// The finding that a game that ends here gives no claim of a draw: no position has come
/// up three times, nor can by the next move (9.2.1), or pieces have been taken or pawns
/// moved far too lately.
fn no_claim(question: &Question, draw: Draw, end: &Chess) -> Answer {
    /// Plies short of which nobody miscounts to a hundred.
    const FAR: u32 = 60;
    let scene = &question.comment.scene;
    // A few words in the middle of a game speak of the position that they stand at.
    let far = |position: &Chess| occurrences(question, position) < 2;
    let plain = draw == Draw::Threefold
        && question.is_all()
        && (scene.around().chain(&scene.beside)).all(far);
    let over = (scene.ahead.is_empty() || plain) && question.comment.lines.is_empty();
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
    Answer::refuted(why, end, Line::new(end, &[]))
}

/// "Stalemate!", all that a comment says behind a move that mates.
fn mate_no_stalemate(question: &Question, draw: Draw) -> Option<Answer> {
    let scene = &question.comment.scene;
    let step = scene.played.as_ref()?;
    if draw != Draw::Stalemate || !question.is_one_word() || !step.after.is_checkmate() {
        return None;
    }
    let line = step.shown();
    let shown = line.clone();
    let why = DrawWhy::StalemateIsMate { line };
    Some(Answer::refuted(why, &step.after, shown))
}

/// The finding that the side to move has more than the perpetual check that is all the
/// author gives it: it mates by force.
fn more_than_perpetual(question: &Question, court: &mut Court<'_>) -> Option<Answer> {
    let at = question.nearest().next()?;
    let meant = question.claim.wording.begins(Nuance::Merely)
        && !question.denied()
        && !question.line_is_lost()
        && !matches!(question.claim.subject, Subject::Side(side) if side != at.turn());
    if !meant {
        return None;
    }
    let forced = court.mates_ever(at, CHECKS);
    if forced.verdict != Verdict::Holds {
        return None;
    }
    let line = Line::new(at, &forced.line);
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
fn settle_perpetual(question: &Question, court: &mut Court<'_>) -> Answer {
    if let Some(answer) = more_than_perpetual(question, court) {
        return answer;
    }
    let scene = &question.comment.scene;
    let mut positions: Vec<&Chess> = Vec::new();
    let at_line = matches!(question.claim.at, At::End(_) | At::Shown(_));
    if let Some(line) = question.line() {
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
            Verdict::Holds if question.denied() => return Answer::unsettled(),
            Verdict::Holds => {
                return Answer::new(Verdict::Holds)
                    .on(position)
                    .shown_by(Line::new(position, &line));
            }
            Verdict::Unsettled => all_fail = false,
            Verdict::Fails => {}
        }
    }
    if question.denied() && all_fail {
        return Answer::new(Verdict::Holds).on(&scene.here);
    }
    let (Some(last), true) = (
        question.only_end(),
        all_fail && at_line && !question.denied(),
    ) else {
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
    let line = Line::new(&last.after, &[escape]);
    let shown = line.clone();
    Answer::refuted(DrawWhy::ChecksRunOut { line }, &last.after, shown)
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

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn draws_by_the_rules_are_seen() {
        use Verdict::{Fails, Holds};
        all(
            "7k/8/5KQ1/8/8/8/8/8 w - - 0 1 | 1. Qg5 Kh7 2. Qg1 Kh8 3. Qg6",
            &[("[Stalemate].", Holds)],
        );
        all(
            "7k/8/5KQ1/8/8/8/8/8 w - - 0 1 | 1. Qg5",
            &[("[Stalemate].", Fails)],
        );
    }

    #[test]
    fn a_stalemate_that_is_said_to_be_there_is_looked_at() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "7k/8/5K1P/8/8/3B4/8/8 b - - 0 1 |",
            &[
                (
                    "[It is stalemate on the board already], a small mercy.",
                    Fails,
                ),
                ("Black hopes for [stalemate].", Unsettled),
            ],
        );
        all(
            "7k/8/6KP/8/8/8/8/5B2 b - - 0 1 |",
            &[("[Black is stalemated].", Fails)],
        );
        all(
            "7k/5K2/6P1/8/8/8/8/6Q1 b - - 0 1 |",
            &[("[Black is stalemated].", Holds)],
        );
    }
}
