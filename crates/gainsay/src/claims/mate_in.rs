//! Mates and threats of mate.

use gainsay_commentary::{At, ClaimKind};
use gainsay_proof::Verdict;
use shakmaty::Position;

use super::{
    answer::{Answer, Court, Forced},
    readings::{MateReading, any_holds, ask, holds, is_begun_otherwise, mate_readings},
};
use crate::{
    outcome::{Fault, Line, Longer, MateWhy, Side},
    question::Question,
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A mate that the text claims is not there.
    ///
    /// "Mate in two", "mate next move", "is mate", a cited move with `#` or the word mate
    /// behind it. Whether the text counts a check just given, speaks of an alternative to
    /// the move played, or of the other side: every plausible reading is tried, and the
    /// claim fails only if all of them fail. The evidence is the defence that breaks it.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Kd2 h6 {Now 2.Ra8 is mate.} *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Kd2 {White had mate in one.} h6 {Now 2.Ra8+ Kh7 is safe.} *
    /// ```
    FALSE_MATE = "false-mate", Severity::Error
}

rule! {
    /// A mate comes sooner than the text says.
    ///
    /// "Mate in three" where two moves do it. Whether a check just given is counted or not,
    /// and whether the author counts by a line that is shown, is tried first. The evidence is
    /// the shorter mate.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White mates in three.} 1. Kd2 h6 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White mates in one.} 1. Kd2 h6 *
    /// ```
    SHORTER_MATE = "shorter-mate", Severity::Information
}

pub(super) fn settle_mate_in(
    question: &Question,
    moves: u32,
    at_most: bool,
    court: &mut Court<'_>,
) -> Answer {
    let readings = mate_readings(question, moves);
    if question.line_is_lost() {
        return any_holds(question, &readings, court).unwrap_or_else(Answer::unsettled);
    }
    let mut failed: Vec<(usize, Forced)> = Vec::new();
    let mut all_hold = !readings.is_empty();
    let mut any_holds = false;
    let mut unsettled = readings.is_empty();
    let mut shorter: Option<(usize, Forced)> = None;
    for (at, reading) in readings.iter().enumerate() {
        let forced = ask(court, reading);
        // Of a side that is mated already "mate in" says nothing; behind the last move
        // it looks back over the game.
        if forced.moves == Some(0) && reading.made == 0 {
            all_hold = false;
            unsettled |= reading.position == question.comment.scene.here;
            continue;
        }
        match forced.verdict {
            Verdict::Holds if !question.denied() => {
                if is_begun_otherwise(question, reading, court) {
                    all_hold = false;
                    unsettled = true;
                    continue;
                }
                if !reading.confirms {
                    all_hold = false;
                    unsettled = true;
                    continue;
                }
                let least = forced.moves.filter(|_| forced.exact && !at_most);
                if least.is_none_or(|least| least.saturating_add(reading.made) >= moves) {
                    if shows_another_number(question, moves) {
                        return Answer::unsettled();
                    }
                    return holds(reading, &forced);
                }
                shorter.get_or_insert((at, forced));
            }
            Verdict::Holds => any_holds = true,
            Verdict::Fails => {
                all_hold = false;
                failed.push((at, forced));
            }
            Verdict::Unsettled => {
                all_hold = false;
                unsettled = true;
            }
        }
    }
    if let Some((at, forced)) = shorter
        && let Some(reading) = readings.get(at)
    {
        return if counts_by_a_line(question, moves, 0) {
            holds(reading, &forced)
        } else if unsettled || counts_by_a_line(question, moves, 1) {
            Answer::unsettled()
        } else {
            shorter_mate(question, reading, &forced)
        };
    }
    if question.denied() && all_hold {
        return denial(&readings, court);
    }
    if unsettled || any_holds {
        return Answer::unsettled();
    }
    if question.denied() {
        let first = failed.first();
        let Some((reading, forced)) =
            first.and_then(|(at, forced)| Some((readings.get(*at)?, forced)))
        else {
            return Answer::unsettled();
        };
        return Answer::new(Verdict::Holds)
            .on(&reading.position)
            .shown_by(Line::new(&reading.position, &forced.line))
            .by_search(court.spent());
    }
    no_mate(question, &readings, &failed, court)
}

/// Whether the line that is said to show the mate mates, but not in so many moves: "mate in two:
/// 31.Rg7+ Kh8 32.Rh7+ Kg8 33.Rbg7#".
fn shows_another_number(question: &Question, moves: u32) -> bool {
    let At::Shown(_) = question.claim.at else {
        return false;
    };
    let lines = question.line().into_iter().flat_map(|line| &line.readings);
    let mut mating =
        lines.filter(|steps| steps.last().is_some_and(|last| last.after.is_checkmate()));
    mating.any(|steps| {
        let length = u32::try_from(steps.len()).unwrap_or(u32::MAX);
        length.div_ceil(2) != moves && (length / 2) != moves
    })
}

/// Whether a line of the comment, or the game itself, mates in just so many moves, `made` of
/// which were made before it: the author counts by it.
fn counts_by_a_line(question: &Question, moves: u32, made: u32) -> bool {
    let plies = |steps: &[Step]| {
        let end = steps
            .iter()
            .position(|step| step.after.is_checkmate())
            .map(|at| at + 1)?;
        u32::try_from(end).ok()
    };
    let mates = |length: u32| (length + made).div_ceil(2) == moves;
    question
        .comment
        .lines
        .iter()
        .flat_map(|line| &line.readings)
        .map(Vec::as_slice)
        .chain([question.comment.scene.steps.as_slice()])
        .any(|steps| plies(steps).is_some_and(mates))
}

/// The remark that the mate comes sooner than is said, in every reading in which there
/// is one. It is there, so that nothing is false, and not as it is said, so that nothing holds.
fn shorter_mate(question: &Question, reading: &MateReading, forced: &Forced) -> Answer {
    let shown = Line::new(&reading.position, &forced.line);
    let moves = forced.moves.unwrap_or(1).max(1);
    let why = MateWhy::MateSooner {
        side: Side(reading.winner()),
        moves,
        line: shown.clone(),
    };
    let fault = question.recounted(Fault::of(why), moves);
    // An exercise asks for the very number.
    let verdict = match question.claim.kind {
        ClaimKind::Stipulation(_) => Verdict::Fails,
        _ => Verdict::Unsettled,
    };
    Answer::new(verdict)
        .on(&reading.position)
        .shown_by(shown)
        .found(fault)
}

/// A denied mate that is there in every reading.
fn denial(readings: &[MateReading], court: &mut Court<'_>) -> Answer {
    let Some(reading) = readings.first() else {
        return Answer::unsettled();
    };
    let forced = ask(court, reading);
    let shown = Line::new(&reading.position, &forced.line);
    let why = MateWhy::MateThere {
        side: Some(Side(reading.winner())),
        line: shown.clone(),
    };
    Answer::refuted(why, &reading.position, shown)
}

/// The finding that there is no such mate in any reading, with the defence, and with the
/// mate that there is if it takes a little longer. Where it is, that reading is told of.
fn no_mate(
    question: &Question,
    readings: &[MateReading],
    failed: &[(usize, Forced)],
    court: &mut Court<'_>,
) -> Answer {
    const LONGER: u32 = 3;
    const NODES: u64 = 200_000;
    let searched = court.spent();
    let tries = failed
        .iter()
        .filter_map(|(at, forced)| Some((readings.get(*at)?, forced)));
    let mut longer = None;
    let mut told = None;
    // What is said of a cited line is answered where the line stands.
    let line = question.line().into_iter().flat_map(|line| &line.readings);
    let steps: Vec<&Step> = line.flatten().collect();
    let of_line = |reading: &MateReading| {
        let there = |step: &&Step| [&step.before, &step.after].contains(&&reading.position);
        steps.is_empty() || steps.iter().any(there)
    };
    for (reading, forced) in tries.filter(|(reading, _)| of_line(reading)) {
        told.get_or_insert((reading, forced));
        if reading.attacks {
            let found = court.mates_within(&reading.position, reading.moves + LONGER, NODES);
            if let Some(moves) = found.moves.filter(|_| found.verdict == Verdict::Holds) {
                let line = Line::new(&reading.position, &found.line);
                longer = Some(Longer {
                    moves,
                    exact: found.exact,
                    line,
                });
                told = Some((reading, forced));
                break;
            }
        }
    }
    let Some((reading, forced)) = told else {
        return Answer::unsettled();
    };
    let defence = Line::new(&reading.position, &forced.line);
    let shown = longer.as_ref().map_or(&defence, |longer| &longer.line);
    let shown = shown.clone();
    // A number that may be too great is not to be written.
    let right = (longer.as_ref())
        .filter(|longer| longer.exact)
        .map(|longer| longer.moves);
    let mut fault = Fault::of(MateWhy::MateAbsent {
        side: Side(reading.winner()),
        moves: reading.moves,
        other_moves: !reading.attacks,
        defence,
        longer,
    });
    if let Some(right) = right {
        fault = question.recounted(fault, right);
    }
    Answer::new(Verdict::Fails)
        .on(&reading.position)
        .shown_by(shown)
        .found(fault)
        .by_search(searched)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::{Settings, check};

    /// The remedy for a wrong number is in the author's language and inflected.
    #[test]
    fn the_right_number_is_offered_as_the_author_writes() {
        let offered = |claim: &str| {
            let text = format!("1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 {{{claim}}} *");
            let report = check(text.as_bytes(), &Settings::default());
            let finding = report
                .findings
                .iter()
                .find(|one| one.rule.name == "shorter-mate");
            let remedy = finding.and_then(|finding| finding.remedies.first())?;
            let mut mended = text.clone();
            for edit in remedy.edits.iter().rev() {
                mended.replace_range(edit.span.clone(), &edit.text);
            }
            let from = mended.find('{')? + 1;
            Some((
                remedy.title.clone(),
                mended.get(from..mended.find('}')?)?.to_owned(),
            ))
        };
        for (claim, title, mended) in [
            ("White mates in two.", "Write one", "White mates in one."),
            (
                "White mates in two moves.",
                "Write one",
                "White mates in one move.",
            ),
            ("White mates in 3.", "Write 1", "White mates in 1."),
            (
                "Weiss setzt in zwei Zügen matt.",
                "Write einem",
                "Weiss setzt in einem Zug matt.",
            ),
            (
                "Weiß setzt in 2 Zügen matt.",
                "Write 1",
                "Weiß setzt in 1 Zug matt.",
            ),
            (
                "Blancas dan mate en dos.",
                "Write uno",
                "Blancas dan mate en uno.",
            ),
            (
                "Blancas dan mate en dos jugadas.",
                "Write una",
                "Blancas dan mate en una jugada.",
            ),
        ] {
            assert_eq!(
                offered(claim),
                Some((title.to_owned(), mended.to_owned())),
                "{claim}"
            );
        }
    }

    /// What is said right behind a line is said of its end, however many words join the two: it
    /// is not true because there is a mate in the game.
    #[test]
    fn what_is_joined_to_a_line_is_said_of_its_end() {
        for words in [
            "3... g6, mate in one.",
            "3... g6 and mate in one.",
            "3... g6, and mate in one.",
            "3... g6 with mate in one.",
            "3... g6 with a mate in one.",
            "3... g6 is then mate in one.",
            "3... g6 and then mate in one.",
            "3... g6, and now, of course, mate in one.",
            "3... g6 and there is indeed a mate in one.",
            "3... g6 and then, quite simply, there is a mate in one.",
        ] {
            let text = format!("1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 {{{words}}} *");
            let report = check(text.as_bytes(), &Settings::default());
            let claim = report.claims.iter().find(|claim| claim.kind == "mate-in");
            assert_eq!(
                claim.map(|claim| claim.verdict),
                Some(Verdict::Fails),
                "{words}"
            );
        }
    }

    /// What was so two plies ago saves a claim from being called false, and confirms nothing.
    #[test]
    fn a_mate_of_now_is_confirmed_in_the_position_of_the_comment() {
        let verdict = |moves: &str| {
            let text =
                format!("1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 {moves} {{White has a mate in one.}} *");
            let report = check(text.as_bytes(), &Settings::default());
            let claim = report.claims.iter().find(|claim| claim.kind == "mate-in");
            claim.map(|claim| claim.verdict)
        };
        assert_eq!(verdict(""), Some(Verdict::Holds));
        assert_eq!(verdict("4. d3 d6"), Some(Verdict::Holds));
        assert_eq!(verdict("4. d3 Nxh5"), Some(Verdict::Unsettled));
    }

    /// With a cited move it is that move, and its side, that mates.
    #[test]
    fn a_mate_with_a_move_is_of_that_move() {
        use Verdict::{Fails, Holds};
        let rank = "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1 | 1. Kd2 h6";
        crate::marked::all(
            rank,
            &[
                ("Instead [1.Ra7 forces mate in two].", Verdict::Unsettled),
                ("After [1.Kf2 it is mate in one].", Fails),
                ("Instead [1.Ke2 forces mate in three].", Verdict::Unsettled),
            ],
        );
        let corner = "k7/8/1K6/8/8/8/8/7R w - - 0 1 | 1. Rh2 Kb8";
        crate::marked::all(
            corner,
            &[
                ("Instead [1.Rh7 forces mate in two].", Holds),
                ("Instead 1.Rh7 and [mate in one].", Holds),
                ("Instead 1.Rh7 with [mate in two].", Holds),
                ("After 1.Rh7 Kb8 it is [mate in one].", Holds),
                // The king lets go of the corner.
                ("Instead [1.Ka5 forces mate in two].", Verdict::Unsettled),
            ],
        );
        let both = "4r1k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1 | 1. h3 h6";
        crate::marked::all(
            both,
            &[
                ("Instead [1.Ra7 mates in one].", Verdict::Unsettled),
                ("After 1.Ra7 [Black mates in one].", Holds),
            ],
        );
    }

    /// A number belongs to its mate wherever it stands, and one that is too great is remarked on.
    #[test]
    fn the_number_belongs_to_the_mate() {
        use Verdict::{Fails, Holds, Unsettled};
        let corner = "k7/8/1K6/8/8/8/8/7R w - - 0 1 | 1. Rh7";
        crate::marked::all(
            corner,
            &[
                ("[Mate follows in one move].", Holds),
                // Whether the move just played is counted is not said.
                ("[Mate follows in two moves].", Unsettled),
                ("[Mate follows in seven moves].", Unsettled),
                ("It takes only two moves to give [mate].", Unsettled),
                ("It takes only nine moves to give [mate].", Unsettled),
                ("White has [mate in five].", Unsettled),
                ("[Mate follows].", Holds),
            ],
        );
        crate::marked::all(
            "1. e4 e5 2. Nf3 Nc6",
            &[("[Mate follows in two moves].", Fails)],
        );
    }
}
