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
pub(super) struct MateReading {
    pub(super) position: Chess,
    /// Whether the side to move mates; otherwise it is mated.
    pub(super) attacks: bool,
    pub(super) moves: u32,
    /// How many of the moves may have been counted before: those of a line that begins the
    /// mate.
    pub(super) made: u32,
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
    readings.iter().find_map(|reading| {
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

/// The readings of "mate in `moves`": from the position of the comment, its side to
/// move mating or being mated; as an alternative to the move before; at the end of the
/// line it leans on, that line's last move counted or not; from where the line starts.
pub(super) fn mate_readings(question: &Question, moves: u32) -> Vec<MateReading> {
    if let At::Subject(_) = question.claim.at {
        return readings_of_line(question, moves);
    }
    let scene = &question.comment.scene;
    let mut readings: Vec<MateReading> = Vec::new();
    let mut add = |position: &Chess, attacks: bool| {
        let reading = MateReading {
            position: position.clone(),
            attacks,
            moves,
            made: 0,
        };
        if !readings
            .iter()
            .any(|known| known.attacks == attacks && known.position == reading.position)
        {
            readings.push(reading);
        }
    };
    if let Some(line) = question.line() {
        for steps in &line.readings {
            if let Some(Step { before, after, .. }) = steps.last() {
                if matches!(question.claim.at, At::Shown(_))
                    && let Some(first) = steps.first()
                {
                    add(&first.before, true);
                }
                add(after, false);
                add(after, true);
                add(before, true);
                if let Some(first) = steps.first() {
                    add(&first.before, true);
                    add(&first.after, false);
                }
            }
        }
    }
    if question.goes_on_from_its_line() {
        if let Some(side) = question.winner() {
            readings.retain(|reading| reading.winner() == side);
        }
        return readings;
    }
    for position in question.pointed_at() {
        add(position, true);
        add(position, false);
    }
    // "On move 20 White had mate in two" speaks of no other place.
    let told_of = question.told_of().is_some_and(|places| !places.is_empty());
    if told_of {
        if let Some(side) = question.winner() {
            readings.retain(|reading| reading.winner() == side);
        }
        return readings;
    }
    let past = question.claim.tense == Tense::Past;
    if past && let Some(before) = scene.before() {
        add(before, true);
    }
    add(&scene.here, true);
    add(&scene.here, false);
    if let Some(before) = scene.before() {
        add(before, true);
    }
    if let Some(earlier) = scene.back.get(1) {
        add(earlier, true);
    }
    // What begins with the mate counts from where it stands: "White has a mate in two".
    let plain = question.counts_from_here();
    if let Some(next) = scene.ahead.first() {
        add(next, true);
        if !plain {
            add(next, false);
        }
    }
    for beside in scene.beside.iter().take(2) {
        let at = count(beside);
        let first = at == count(&scene.here) + 1
            || scene.before().is_some_and(|before| at == count(before) + 1);
        if first || !plain {
            add(beside, true);
        }
        if !plain {
            add(beside, false);
        }
    }
    if let Some(second) = scene.ahead.get(1).filter(|_| !plain) {
        add(second, true);
    }
    if let Some(passed) = scene.passed() {
        add(&passed, true);
    }
    if let Some(side) = question.winner() {
        readings.retain(|reading| reading.winner() == side);
    }
    readings
}

/// The readings of "24.Qh6+ mates in two": behind the line, whose last move counts or
/// not, and whose last move is that of the side that mates or of the other.
fn readings_of_line(question: &Question, moves: u32) -> Vec<MateReading> {
    let lines = question.line().into_iter().flat_map(|line| &line.readings);
    let ends = lines.filter_map(|steps| Some((steps.last()?, steps.len())));
    ends.flat_map(|(last, length)| {
        [false, true].map(|attacks| MateReading {
            position: last.after.clone(),
            attacks,
            moves,
            made: u32::try_from(length.div_ceil(2)).unwrap_or(u32::MAX),
        })
    })
    .collect()
}

/// Whether a mate is shown by a single move that does not begin it: "mate in two by
/// 24.Qh6", where another move mates.
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
    let [only] = steps.as_slice() else {
        return false;
    };
    let begins = reading.attacks && reading.position == only.before;
    let left = reading.moves.saturating_sub(1);
    begins && court.is_mated(&only.after, left).verdict == Verdict::Fails
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
