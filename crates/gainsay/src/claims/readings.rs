//! The readings of a claim about mate, and what the prover says of them.

use super::answer::{Answer, Court, Forced};
use crate::{
    outcome::Line,
    question::Question,
    scene::{Step, count},
};
use gainsay_commentary::{At, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

/// One way to understand a claim about mate.
#[derive(Clone)]
pub(super) struct MateReading {
    pub(super) position: Chess,
    /// Whether the side to move mates; otherwise it is mated.
    pub(super) attacks: bool,
    pub(super) moves: u32,
    /// How many of the moves may have been counted before: those of a line that begins the
    /// mate.
    pub(super) made: u32,
    /// Whether it is just what the words say. Any other reading saves the claim from being
    /// called false, and confirms nothing.
    pub(super) confirms: bool,
}

impl MateReading {
    /// The side that mates.
    pub(super) fn winner(&self) -> Color {
        if self.attacks {
            self.position.turn()
        } else {
            self.position.turn().other()
        }
    }
}

pub(super) fn any_holds(
    question: &Question,
    readings: &[MateReading],
    court: &mut Court<'_>,
) -> Option<Answer> {
    if question.denied() {
        return None;
    }
    let confirming = readings.iter().filter(|reading| reading.confirms);
    confirming.into_iter().find_map(|reading| {
        let forced = ask(court, reading);
        (forced.verdict == Verdict::Holds).then(|| holds(reading, &forced))
    })
}

pub(super) fn ask(court: &mut Court<'_>, reading: &MateReading) -> Forced {
    if reading.attacks {
        court.mates(&reading.position, reading.moves)
    } else {
        court.is_mated(&reading.position, reading.moves)
    }
}

/// The readings of "mate in `moves`": at the end of the line it leans on, that line's moves
/// counted or not; from the position of the comment, its side to move mating or being mated, the
/// move just played counted or not; as an alternative to the move before.
pub(super) fn mate_readings(question: &Question, moves: u32) -> Vec<MateReading> {
    if let At::Subject(_) = question.claim.at {
        return readings_of_line(question, moves);
    }
    let mut readings = Readings {
        moves,
        found: Vec::new(),
    };
    readings.of_line(question);
    let told_of = question.told_of().is_some_and(|places| !places.is_empty());
    if !question.goes_on_from_its_line() {
        for position in question.pointed_at() {
            readings.add(position, true, true);
            readings.add(position, false, true);
        }
        // "On move 20 White had mate in two" speaks of no other place.
        if !told_of {
            readings.around(question);
        }
    }
    let mut readings = readings.found;
    if let Some(side) = question.winner() {
        readings.retain(|reading| reading.winner() == side);
    }
    readings
}

/// The readings of a claim of a mate in so many moves.
struct Readings {
    moves: u32,
    found: Vec<MateReading>,
}

impl Readings {
    fn add(&mut self, position: &Chess, attacks: bool, confirms: bool) {
        self.enter(MateReading {
            position: position.clone(),
            attacks,
            moves: self.moves,
            made: 0,
            confirms,
        });
    }

    /// The same where `made` of the moves have been made, the last of which led to `position`.
    fn add_begun(&mut self, position: &Chess, made: u32, confirms: bool) {
        if self.moves > made {
            self.enter(MateReading {
                position: position.clone(),
                attacks: false,
                moves: self.moves - made,
                made,
                confirms,
            });
        }
    }

    fn enter(&mut self, reading: MateReading) {
        let same = |known: &&mut MateReading| {
            known.attacks == reading.attacks
                && known.made == reading.made
                && known.position == reading.position
        };
        match self.found.iter_mut().find(same) {
            Some(known) => known.confirms |= reading.confirms,
            None => self.found.push(reading),
        }
    }

    /// Those of the line that the claim leans on: what is said with a move is said of that move,
    /// not of another that mates as well, nor of the other side's.
    fn of_line(&mut self, question: &Question) {
        let shown = matches!(question.claim.at, At::Shown(_));
        // "After 24.Kf1 it is mate in two" may be either side's.
        let own = question.cited_line();
        let after = own.is_some_and(|line| line.premise);
        for steps in question.line().into_iter().flat_map(|line| &line.readings) {
            let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
                continue;
            };
            let answered = steps.len() % 2 == 0;
            if shown {
                self.add(&first.before, true, true);
            }
            // "Mate in two, by 24.Nxg7+" counts the move that is shown.
            let behind = !shown || after;
            self.add(&last.after, false, behind && (!answered || after));
            self.add(&last.after, true, behind && (answered || after));
            if !answered {
                self.add_begun(&last.after, made(steps), true);
            }
            if !after {
                self.add(&last.before, true, false);
                self.add(&first.before, true, false);
            }
            self.add(&first.after, false, shown && after);
        }
    }

    /// Those of the positions around the comment.
    fn around(&mut self, question: &Question) {
        let scene = &question.comment.scene;
        // With a line it is the line that it is said of; in the present it is so here.
        let near = question.line().is_none();
        // Behind the last move it looks back over the game.
        let ended = scene.here.is_checkmate();
        let far = near && (question.claim.tense != Tense::Present || ended);
        if question.claim.tense == Tense::Past
            && let Some(before) = scene.before()
        {
            self.add(before, true, near);
        }
        self.add(&scene.here, true, near);
        self.add(&scene.here, false, near);
        if near && scene.played.is_some() {
            // The move just played may be counted, or not.
            self.add_begun(&scene.here, 1, false);
        }
        for earlier in scene.back.iter().take(2) {
            self.add(earlier, true, far);
        }
        // What begins with the mate counts from where it stands: "White has a mate in two".
        let plain = question.counts_from_here();
        if let Some(next) = scene.ahead.first() {
            self.add(next, true, far);
            if !plain {
                self.add(next, false, far);
            }
        }
        for beside in scene.beside.iter().take(2) {
            let at = count(beside);
            let first = at == count(&scene.here) + 1
                || scene.before().is_some_and(|before| at == count(before) + 1);
            if first || !plain {
                self.add(beside, true, far);
            }
            if !plain {
                self.add(beside, false, far);
            }
        }
        if let Some(second) = scene.ahead.get(1).filter(|_| !plain) {
            self.add(second, true, far);
        }
        if let Some(passed) = scene.passed() {
            self.add(&passed, true, far);
        }
    }
}

/// How many moves the side that plays the last of these plays.
fn made(steps: &[Step]) -> u32 {
    u32::try_from(steps.len().div_ceil(2)).unwrap_or(u32::MAX)
}

/// The readings of "24.Qh6+ mates in two": behind the line, whose last move counts or
/// not. The side that plays its first move mates.
fn readings_of_line(question: &Question, moves: u32) -> Vec<MateReading> {
    let lines = question.line().into_iter().flat_map(|line| &line.readings);
    let ends = lines.filter_map(|steps| Some((steps.last()?, steps)));
    ends.flat_map(|(last, steps)| {
        let answered = steps.len() % 2 == 0;
        [false, true].map(|attacks| MateReading {
            position: last.after.clone(),
            attacks,
            moves,
            made: made(steps),
            confirms: attacks == answered,
        })
    })
    .collect()
}

/// Whether a mate is shown by moves that do not begin it: "mate in two by 24.Qh6", where another
/// move mates.
pub(super) fn is_begun_otherwise(
    question: &Question,
    reading: &MateReading,
    court: &mut Court<'_>,
) -> bool {
    let At::Shown(_) = question.claim.at else {
        return false;
    };
    let Some([steps]) = question.line().map(|line| line.readings.as_slice()) else {
        return false;
    };
    let Some(first) = steps.first() else {
        return false;
    };
    let begins = reading.attacks && reading.position == first.before;
    let left = reading.moves.saturating_sub(1);
    begins && court.is_mated(&first.after, left).verdict == Verdict::Fails
}

pub(super) fn holds(reading: &MateReading, forced: &Forced) -> Answer {
    let mut answer = Answer::new(Verdict::Holds)
        .on(&reading.position)
        .shown_by(Line::new(&reading.position, &forced.line));
    answer.exact = Some(forced.exact);
    answer.others = forced.others;
    answer.proof.clone_from(&forced.proof);
    answer
}
