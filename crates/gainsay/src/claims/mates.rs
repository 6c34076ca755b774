//! Mates and threats of mate.

use gainsay_commentary::{At, ClaimKind, Mate, Subject, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

use super::{
    Pending,
    answer::{Answer, Court, Forced, evidence},
    scene::{Step, count},
};
use crate::outcome::{Fault, Longer, MateWhy, Side, Why};

/// One way to understand a claim about mate.
pub(super) struct Reading {
    pub(super) position: Chess,
    /// Whether the side to move mates; otherwise it is mated.
    pub(super) attacks: bool,
    pub(super) moves: u32,
    /// How many of the moves may have been counted before: those of a line that begins the
    /// mate.
    pub(super) made: u32,
}

impl Reading {
    /// The side that mates.
    pub(super) fn winner(&self) -> Color {
        if self.attacks {
            self.position.turn()
        } else {
            self.position.turn().other()
        }
    }
}

impl Pending {
    /// Settles a claim about mate.
    pub(super) fn settle_mate(&self, mate: Mate, court: &mut Court<'_>) -> Answer {
        match mate {
            Mate::In { moves, .. } if moves == 0 || moves > 200 => Answer::unsettled(),
            Mate::In { moves, at_most } => self.settle_mate_in(moves, at_most, court),
            Mate::Next => self.settle_mate_in(1, true, court),
            Mate::Forced => self.settle_forced(court),
            Mate::Now => self.settle_mate_now(court),
            Mate::Absent { moves } => self.settle_no_mate(moves, court),
        }
    }

    /// The readings of "mate in `moves`": from the position of the comment, its side to
    /// move mating or being mated; as an alternative to the move before; at the end of the
    /// line it leans on, that line's last move counted or not; from where the line starts.
    pub(super) fn mate_readings(&self, moves: u32) -> Vec<Reading> {
        if let At::Subject(_) = self.claim.at {
            return self.readings_of_line(moves);
        }
        let scene = &self.comment.scene;
        let mut readings: Vec<Reading> = Vec::new();
        let mut add = |position: &Chess, attacks: bool| {
            let reading = Reading {
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
        if let Some(line) = self.line() {
            for steps in &line.readings {
                if let Some(Step { before, after, .. }) = steps.last() {
                    if matches!(self.claim.at, At::Shown(_))
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
        if self.goes_on_from_its_line() {
            if let Some(side) = self.winner() {
                readings.retain(|reading| reading.winner() == side);
            }
            return readings;
        }
        for position in self.pointed_at() {
            add(position, true);
            add(position, false);
        }
        // "On move 20 White had mate in two" speaks of no other place.
        let told_of = self.told_of().is_some_and(|places| !places.is_empty());
        if told_of {
            if let Some(side) = self.winner() {
                readings.retain(|reading| reading.winner() == side);
            }
            return readings;
        }
        let past = self.claim.tense == Tense::Past;
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
        let plain = self.counts_from_here();
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
        if let Some(side) = self.winner() {
            readings.retain(|reading| reading.winner() == side);
        }
        readings
    }

    /// The readings of "24.Qh6+ mates in two": behind the line, whose last move counts or
    /// not, and whose last move is that of the side that mates or of the other.
    fn readings_of_line(&self, moves: u32) -> Vec<Reading> {
        let lines = self.line().into_iter().flat_map(|line| &line.readings);
        let ends = lines.filter_map(|steps| Some((steps.last()?, steps.len())));
        ends.flat_map(|(last, length)| {
            [false, true].map(|attacks| Reading {
                position: last.after.clone(),
                attacks,
                moves,
                made: u32::try_from(length.div_ceil(2)).unwrap_or(u32::MAX),
            })
        })
        .collect()
    }

    /// The side that the claim says mates, where it says so.
    pub(super) fn winner(&self) -> Option<Color> {
        match self.claim.subject {
            Subject::Side(color) => Some(color),
            _ => None,
        }
    }

    pub(super) fn ask(court: &mut Court<'_>, reading: &Reading) -> Forced {
        if reading.attacks {
            court.mates(&reading.position, reading.moves)
        } else {
            court.is_mated(&reading.position, reading.moves)
        }
    }

    fn settle_mate_in(&self, moves: u32, at_most: bool, court: &mut Court<'_>) -> Answer {
        let readings = self.mate_readings(moves);
        if self.line_is_lost() {
            return self
                .any_holds(&readings, court)
                .unwrap_or_else(Answer::unsettled);
        }
        let mut failed: Vec<(usize, Forced)> = Vec::new();
        let mut all_hold = !readings.is_empty();
        let mut any_holds = false;
        let mut unsettled = readings.is_empty();
        let mut shorter: Option<(usize, Forced)> = None;
        for (at, reading) in readings.iter().enumerate() {
            let forced = Self::ask(court, reading);
            // Of a side that is mated already "mate in" says nothing; behind the last move
            // it looks back over the game.
            if forced.moves == Some(0) && reading.made == 0 {
                all_hold = false;
                unsettled |= reading.position == self.comment.scene.here;
                continue;
            }
            match forced.verdict {
                Verdict::Holds if !self.denied() => {
                    if self.is_begun_otherwise(reading, court) {
                        all_hold = false;
                        unsettled = true;
                        continue;
                    }
                    // Where it is not so in the position of the comment, a mate elsewhere
                    // saves the claim from being called false, and confirms nothing.
                    if self.is_of_now_only(reading) && !failed.is_empty() {
                        all_hold = false;
                        unsettled = true;
                        continue;
                    }
                    let least = forced.moves.filter(|_| forced.exact && !at_most);
                    if least.is_none_or(|least| least.saturating_add(reading.made) >= moves) {
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
            return if unsettled || self.counts_by_a_line(moves) {
                holds(reading, &forced)
            } else {
                self.shorter_mate(reading, &forced)
            };
        }
        if self.denied() && all_hold {
            return self.denial(&readings, court);
        }
        if unsettled || any_holds {
            return Answer::unsettled();
        }
        if self.denied() {
            let first = failed.first();
            let Some((reading, forced)) =
                first.and_then(|(at, forced)| Some((readings.get(*at)?, forced)))
            else {
                return Answer::unsettled();
            };
            return Answer::new(Verdict::Holds)
                .on(&reading.position)
                .shown_by(evidence(&reading.position, &forced.line))
                .by_search(court.spent());
        }
        self.no_mate(&readings, &failed, court)
    }

    /// Whether the claim speaks in the present tense, leaning on no line and pointing nowhere, and
    /// the reading is of a position that is neither its own nor the one before the last move.
    fn is_of_now_only(&self, reading: &Reading) -> bool {
        let scene = &self.comment.scene;
        let near = reading.position == scene.here || scene.before() == Some(&reading.position);
        let plain = self.claim.tense == Tense::Present && self.line().is_none();
        !near && plain && self.pointed_at().is_empty()
    }

    /// Whether a mate is shown by a single move that does not begin it: "mate in two by
    /// 24.Qh6", where another move mates.
    pub(super) fn is_begun_otherwise(&self, reading: &Reading, court: &mut Court<'_>) -> bool {
        let At::Shown(_) = self.claim.at else {
            return false;
        };
        let Some([steps]) = self.line().map(|line| line.readings.as_slice()) else {
            return false;
        };
        let [only] = steps.as_slice() else {
            return false;
        };
        let begins = reading.attacks && reading.position == only.before;
        let left = reading.moves.saturating_sub(1);
        begins && court.is_mated(&only.after, left).verdict == Verdict::Fails
    }

    /// Whether a line of the comment, or the game itself, mates in just so many moves: the
    /// author counts by it.
    fn counts_by_a_line(&self, moves: u32) -> bool {
        let plies = |steps: &[Step]| {
            let end = steps
                .iter()
                .position(|step| step.after.is_checkmate())
                .map(|at| at + 1)?;
            u32::try_from(end).ok()
        };
        let mates = |length: u32| length.div_ceil(2) == moves || (length + 1).div_ceil(2) == moves;
        self.comment
            .lines
            .iter()
            .flat_map(|line| &line.readings)
            .map(Vec::as_slice)
            .chain([self.comment.scene.steps.as_slice()])
            .any(|steps| plies(steps).is_some_and(mates))
    }

    /// The finding that the mate comes sooner than is said, in every reading in which there
    /// is one.
    fn shorter_mate(&self, reading: &Reading, forced: &Forced) -> Answer {
        let shown = evidence(&reading.position, &forced.line);
        let moves = forced.moves.unwrap_or(1).max(1);
        let why = MateWhy::MateSooner {
            side: Side(reading.winner()),
            moves,
            line: shown.clone(),
        };
        let fault = self.recounted(Fault::of(why), moves);
        Answer::new(Verdict::Fails)
            .on(&reading.position)
            .shown_by(shown)
            .found(fault)
    }

    /// A denied mate that is there in every reading.
    fn denial(&self, readings: &[Reading], court: &mut Court<'_>) -> Answer {
        let Some(reading) = readings.first() else {
            return Answer::unsettled();
        };
        let forced = Self::ask(court, reading);
        let shown = evidence(&reading.position, &forced.line);
        let why = MateWhy::MateThere {
            side: Some(Side(reading.winner())),
            line: shown.clone(),
        };
        Answer::refuted(why, &reading.position, shown)
    }

    pub(super) fn any_holds(&self, readings: &[Reading], court: &mut Court<'_>) -> Option<Answer> {
        if self.denied() {
            return None;
        }
        readings.iter().find_map(|reading| {
            let forced = Self::ask(court, reading);
            (forced.verdict == Verdict::Holds).then(|| holds(reading, &forced))
        })
    }

    /// The finding that there is no such mate in any reading, with the defence, and with the
    /// mate that there is if it takes a little longer. Where it is, that reading is told of.
    fn no_mate(
        &self,
        readings: &[Reading],
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
        let line = self.line().into_iter().flat_map(|line| &line.readings);
        let steps: Vec<&Step> = line.flatten().collect();
        let of_line = |reading: &Reading| {
            let there = |step: &&Step| [&step.before, &step.after].contains(&&reading.position);
            steps.is_empty() || steps.iter().any(there)
        };
        for (reading, forced) in tries.filter(|(reading, _)| of_line(reading)) {
            told.get_or_insert((reading, forced));
            if reading.attacks {
                let found = court.mates_within(&reading.position, reading.moves + LONGER, NODES);
                if let Some(moves) = found.moves.filter(|_| found.verdict == Verdict::Holds) {
                    let line = evidence(&reading.position, &found.line);
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
        let defence = evidence(&reading.position, &forced.line);
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
            fault = self.recounted(fault, right);
        }
        Answer::new(Verdict::Fails)
            .on(&reading.position)
            .shown_by(shown)
            .found(fault)
            .by_search(searched)
    }

    /// The fault with `right` in the place of the number that the claim says, as the author would
    /// write it.
    pub(super) fn recounted(&self, fault: Fault, right: u32) -> Fault {
        let number = self.claim.number.as_ref();
        match number.and_then(|number| number.rewritten(right)) {
            Some(edits) => fault.or_all(
                edits
                    .into_iter()
                    .map(|(span, text)| (span.start..span.end, text)),
            ),
            None => fault,
        }
    }

    /// Whether the line that the claim leans on has a false mate sign of its own.
    pub(super) fn line_is_told(&self) -> bool {
        let line = self
            .claim
            .at
            .line()
            .and_then(|index| self.comment.prose.lines.get(index as usize));
        let (Some(line), Some(resolved)) = (line, self.line()) else {
            return false;
        };
        let signs = self.settle_signs(line, resolved);
        (signs.faults.iter())
            .any(|fault| matches!(fault.why, Why::Mate(MateWhy::FalseMateSign { .. })))
    }

    /// Whether a number of moves is told at the beginning of the comment, or by the rubric of
    /// an exercise, so that no move but those of the game has come before.
    fn counts_from_here(&self) -> bool {
        match self.claim.kind {
            ClaimKind::Stipulation(_) => true,
            ClaimKind::Mate(Mate::In { .. } | Mate::Next) => {
                self.claim.at == At::Here && self.claim.sentence == 0 && !self.claim.joined
            }
            _ => false,
        }
    }

    /// Whether it is said of the end of a line with which its clause begins, and of nothing
    /// else: "after 24.Kf1 Black mates in one".
    pub(super) fn goes_on_from_its_line(&self) -> bool {
        let At::End(index) = self.claim.at else {
            return false;
        };
        let line = self.comment.prose.lines.get(index as usize);
        let premise = line.is_some_and(|line| line.premise);
        (premise || self.claim.attached) && !self.line_is_lost()
    }

    /// Whether the claim leans on a line that cannot be played.
    pub(super) fn line_is_lost(&self) -> bool {
        self.line().is_some_and(|line| line.readings.is_empty())
    }
}

pub(super) fn holds(reading: &Reading, forced: &Forced) -> Answer {
    let mut answer = Answer::new(Verdict::Holds)
        .on(&reading.position)
        .shown_by(evidence(&reading.position, &forced.line));
    answer.exact = Some(forced.exact);
    answer.others = forced.others;
    answer.proof.clone_from(&forced.proof);
    answer
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
}
