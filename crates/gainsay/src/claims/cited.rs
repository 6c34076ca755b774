//! Whether a cited line can be played, and whether its signs are true.

use crate::{
    marks::Marks,
    outcome::{Fault, Letters, Line, LineWhy, MateWhy, Mated, Side, Why},
    question::{
        Broken, Question, Resolved, captures_are_true, expected, may_be_another, meaning, said,
        signs_are_true,
    },
    resolve::{Resolution, played, resolve, sign_marks},
    rule::{Severity, rule},
    scene::{Step, count},
    show, suggest,
};
use gainsay_commentary::{CitedLine, CitedMove, ClaimKind, LineRole, Mood};
use gainsay_notation::{Oddities, Signs, parse_move};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

use super::answer::Answer;

rule! {
    /// A move cited in prose can be made by several pieces.
    ///
    /// The reader must guess which is meant. Only numbered moves are looked at, and only if
    /// they are ambiguous wherever their line can start.
    ///
    /// ```pgn before
    /// 1. Nf3 Nf6 2. d4 d5 {Now 3.Nd2 is solid.} 3. c4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. Nf3 Nf6 2. d4 d5 {Now 3.Nbd2 is solid.} 3. c4 *
    /// ```
    AMBIGUOUS_CITATION = "ambiguous-citation", Severity::Information
}

rule! {
    /// A numbered move cited in prose gives check or mate without its sign.
    ///
    /// Many authors leave the sign out in prose, so this is a matter of style.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Bc4 Nf6 {Now 3.Bxf7 Kxf7 is bad.} 3. d3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Bc4 Nf6 {Now 3.Bxf7+ Kxf7 is bad.} 3. d3 *
    /// ```
    UNSIGNED_CITATION = "unsigned-citation", Severity::Hint
}

rule! {
    /// A line cited in a comment can be played, but only with another number.
    ///
    /// A wrong number, or the wrong dots, is the commonest slip in cited lines.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 {Better was 2...f4 exf4.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 {Better was 2.f4 exf4.} Nc6 *
    /// ```
    MISNUMBERED_LINE = "misnumbered-line", Severity::Warning
}

rule! {
    /// A line cited in a comment cannot be played.
    ///
    /// Cited lines are played from the comment's position, from the one before its move, from
    /// any ply of a line cited before it, from the game, and after a pass. The rule speaks
    /// only where the line's number says that it starts at the comment or in a line cited
    /// before it, and no start lets it be played.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 {Threatens the pawn. Not 2...Nf6 3.Bxe5.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 {Threatens the pawn. Not 2...Nf6 3.Nxe5.} Nc6 *
    /// ```
    UNPLAYABLE_LINE = "unplayable-line", Severity::Error
}

/// Whether a cited line can be played, and whether its signs are true.
pub(super) fn settle_line(question: &Question) -> Answer {
    let (Some(line), Some(resolved)) = (question.cited_line(), question.line()) else {
        return Answer::unsettled();
    };
    if !resolved.readings.is_empty() {
        // "24.Rxe7 is illegal", which is legal: no tick, though "impossible" may mean bad.
        if line.role == LineRole::Impossible && line.mood == Mood::Stated {
            return Answer::unsettled();
        }
        // "24.Qxf6+" where nothing is taken is said of another board.
        let moves = question.comment.prose.moves_of(line);
        if !resolved
            .readings
            .iter()
            .any(|steps| captures_are_true(moves, steps))
        {
            return Answer::unsettled();
        }
        let mut answer = settle_signs(question, line, resolved);
        // Nothing is ticked before all of its signs are true together, nor a threat that has to
        // wait for the game.
        let mut readings = resolved.readings.iter();
        let verified =
            readings.any(|steps| steps.len() == moves.len() && signs_are_true(moves, steps));
        if answer.verdict == Verdict::Holds && (resolved.late || !verified) {
            answer.verdict = Verdict::Unsettled;
        }
        return answer;
    }
    if line.severed {
        return Answer::unsettled();
    }
    if let Some(position) = names_a_piece(question, line) {
        return Answer::new(Verdict::Holds).on(position);
    }
    let barred = line.barred
        && resolved
            .broken
            .as_ref()
            .is_some_and(|broken| broken.at == 0);
    if !speaks_of_a_line(line) || line.doubted || barred {
        return Answer::unsettled();
    }
    // Where the numbers fit and a few moves can be played, the numbers are right; and so they are
    // of one move that continues a line, or fits only far from the comment.
    let fits = |steps: &Vec<Step>| {
        let scene = &question.comment.scene;
        let near = [Some(&scene.here), scene.before(), scene.ahead.first()].into_iter();
        let far = |position: &Chess| !near.clone().any(|near| near == Some(position));
        let broken = resolved.broken.as_ref();
        broken.is_some_and(|broken| {
            let one = steps.len() == 1;
            let away = far(&broken.position) || steps.iter().any(|step| far(&step.before));
            // Nor is it the number where it names the very next move, unless the dots are wrong.
            let next = broken.position == scene.here
                && steps
                    .iter()
                    .all(|step| count(&step.before) / 2 != count(&scene.here) / 2);
            broken.at > 0 || one && (away || next)
        })
    };
    if let Some(steps) = resolved.renumbered.as_ref().filter(|steps| !fits(steps)) {
        // "16.Qxf6" is not the queen's move to f6 in another place where it takes nothing.
        if !signs_are_true(question.comment.prose.moves_of(line), steps) {
            return Answer::unsettled();
        }
        // The move just played, told with the other side's dots, or the other side's, which cannot be
        // played: either may be meant.
        let scene = &question.comment.scene;
        let played = scene.played.as_ref().and_then(|step| step.mv);
        let next = (resolved.broken.as_ref()).is_some_and(|broken| broken.position == scene.here);
        if next && steps.len() == 1 && steps.first().is_some_and(|step| step.mv == played) {
            return Answer::unsettled();
        }
        let answer = misnumbered(question, line, steps, resolved.broken.is_some());
        if !answer.faults.is_empty() {
            return answer;
        }
    }
    match &resolved.broken {
        Some(broken) if question.claim.kind != ClaimKind::Mention => {
            unplayable(question, line, broken)
        }
        _ => Answer::unsettled(),
    }
}

/// The position in which the piece stands already whose move is named: "keeping Bb7 out
/// of play" tells of the bishop on b7.
fn names_a_piece<'q>(question: &'q Question, line: &CitedLine) -> Option<&'q Chess> {
    let [cited] = question.comment.prose.moves_of(line) else {
        return None;
    };
    let (role, to) = cited.written.shape.piece_and_square()?;
    let plain = cited.written.signs == Signs::None && cited.number.is_none();
    let there = |position: &&Chess| {
        let piece = position.board().piece_at(to);
        piece.is_some_and(|piece| piece.role == role)
    };
    question.meant().find(there).filter(|_| plain)
}

/// The signs of a line that can be played. A sign is false only if it is false in
/// every way to play the line.
fn settle_signs(question: &Question, line: &CitedLine, resolved: &Resolved) -> Answer {
    let mut answer = Answer::new(Verdict::Holds);
    if let Some(first) = resolved.readings.first().and_then(|steps| steps.first()) {
        answer = answer.on(&first.before);
    }
    let signed = match line.role {
        LineRole::Stated | LineRole::Alternative => true,
        // Longer threats leave replies out, so only a single move is what it says.
        LineRole::Threat => line.moves.len() == 1,
        _ => false,
    };
    if !signed || !speaks_of_a_line(line) || resolved.shaky || leaves_out_answers(question, line) {
        return answer;
    }
    for (at, cited) in question.comment.prose.moves_of(line).iter().enumerate() {
        let signs = said(cited);
        let marks = |steps: &Vec<Step>| {
            steps
                .get(at)
                .map_or(Marks::empty(), |step| sign_marks(signs, &step.after))
        };
        let everywhere = resolved
            .readings
            .iter()
            .map(marks)
            .reduce(Marks::intersection)
            .unwrap_or_default();
        // A move without a number may be meant a few plies away.
        let everywhere = if question.claim.kind == ClaimKind::Mention {
            marks_around(question, cited, signs, everywhere)
        } else {
            everywhere
        };
        let Some(step) = resolved.readings.first().and_then(|steps| steps.get(at)) else {
            continue;
        };
        let Some(mv) = step.mv else { continue };
        let written = Line::new(&step.before, &[mv]);
        let span = cited.span.start..cited.span.end;
        if everywhere.intersects(Marks::FALSE_MATE) {
            let reply = step.after.legal_moves().first().copied();
            let reply = Line::new(&step.after, reply.as_slice());
            let why = MateWhy::FalseMateSign {
                cited: written,
                mated: Mated {
                    side: Side(step.after.turn()),
                    check: step.after.is_check(),
                    reply: reply.clone(),
                },
            };
            answer.verdict = Verdict::Fails;
            let fault = Fault::of(why).at(span);
            answer = answer
                .shown_by(reply.clone())
                .found(fault.shown(&step.after, Some(reply)));
        } else if everywhere.intersects(Marks::SURPLUS_CHECK) {
            answer.verdict = Verdict::Fails;
            let fault = Fault::of(LineWhy::FalseCheckSign { cited: written }).at(span);
            answer = answer.found(fault.shown(&step.after, None));
        } else if let Some(fault) =
            unsigned(question, line, at, cited, (&step.before, mv), everywhere)
        {
            answer = answer.found(fault.shown(&step.after, None));
        }
        if let Some(fault) = ambiguous(question, resolved, line, at) {
            answer = answer.found(fault.shown(&step.before, None));
        }
    }
    answer
}

/// Whether a move without a number comes behind another of the same side, as in "Bxh7+,
/// Ng5+ and Qh5#": what was answered is not told, so that its position is not known.
fn leaves_out_answers(question: &Question, line: &CitedLine) -> bool {
    let Some(before) = (question.claim.at.line()).and_then(|index| index.checked_sub(1)) else {
        return false;
    };
    let comment = &question.comment;
    let same_sentence = (comment.prose.lines.get(before as usize))
        .is_some_and(|known| known.sentence == line.sentence);
    let mover = |index: u32| {
        let line = comment.lines.get(index as usize)?;
        Some(line.readings.first()?.last()?.before.turn())
    };
    question.claim.kind == ClaimKind::Mention
        && same_sentence
        && mover(before).is_none_or(|side| Some(side) == mover(before + 1))
}

/// What is left of `marks` where a move is played from any position around the comment.
fn marks_around(question: &Question, cited: &CitedMove, signs: Signs, mut marks: Marks) -> Marks {
    let scene = &question.comment.scene;
    for position in scene.around().chain(&scene.beside) {
        if marks.is_empty() {
            break;
        }
        if let Resolution::Legal(m, _) = meaning(position, &cited.written) {
            let after = played(position, m);
            marks &= sign_marks(signs, &after);
        }
    }
    marks
}

/// A numbered move that gives check or mate without its sign. Words behind the line
/// may say it instead.
fn unsigned(
    question: &Question,
    line: &CitedLine,
    at: usize,
    cited: &CitedMove,
    (before, mv): (&Chess, Move),
    marks: Marks,
) -> Option<Fault> {
    // Old books leave out their signs as often as they write them.
    if cited.written.oddities.contains(Oddities::DESCRIPTIVE) {
        return None;
    }
    let sign = if marks.contains(Marks::MISSING_MATE) {
        '#'
    } else if marks.contains(Marks::MISSING_CHECK) {
        '+'
    } else {
        return None;
    };
    let last = at + 1 == line.moves.len();
    let said = question.comment.prose.claims.iter().any(|claim| {
        claim.at.line() == question.claim.at.line()
            && !matches!(claim.kind, ClaimKind::Line | ClaimKind::Mention)
    });
    if question.claim.kind != ClaimKind::Line || last && said {
        return None;
    }
    let index = line.moves.start as usize + at;
    let words = question.comment.words.get(index)?;
    let letters = question.comment.prose.letters;
    let plain = format!("{}{sign}", words.trim_end_matches('+'));
    // What cannot be played as it stands, such as a pawn that does not say what it
    // becomes, is written as it was understood.
    let plays = parse_move(plain.as_bytes(), letters)
        .is_some_and(|written| matches!(resolve(before, &written), Resolution::Legal(..)));
    let text = if plays {
        plain
    } else {
        show::in_language(&show::san(before, mv), letters)
    };
    // A comment is the author's.
    let span = cited.span.start..cited.span.end;
    let why = LineWhy::MissingSign {
        words: words.clone(),
        mates: sign == '#',
    };
    Some(Fault::of(why).at(span.clone()).or(span, text))
}

/// A numbered move that several pieces can make, wherever the line starts.
fn ambiguous(
    question: &Question,
    resolved: &Resolved,
    line: &CitedLine,
    at: usize,
) -> Option<Fault> {
    if question.claim.kind != ClaimKind::Line {
        return None;
    }
    let moves = question.comment.prose.moves_of(line);
    let cited = moves.get(at)?;
    if !may_be_another(resolved.readings.first()?, moves, at) {
        return None;
    }
    let letters = question.comment.prose.letters;
    let mut names: Vec<String> = Vec::new();
    for steps in &resolved.readings {
        let before = &steps.get(at)?.before;
        let Resolution::Ambiguous(moves) = resolve(before, &cited.written) else {
            return None;
        };
        if names.is_empty() {
            let name = |&m: &Move| show::in_language(&show::san(before, m), letters);
            names = moves.iter().map(name).collect();
        }
    }
    let span = cited.span.start..cited.span.end;
    let moves = names.clone();
    let fault = Fault::of(LineWhy::AmbiguousMove { moves }).at(span.clone());
    Some(
        names
            .into_iter()
            .fold(fault, |fault, name| fault.or(span.clone(), name)),
    )
}

/// That a line fits only with another number. `lost` says that it cannot be played where its own
/// number says for certain.
fn misnumbered(question: &Question, line: &CitedLine, steps: &[Step], lost: bool) -> Answer {
    let (Some(first), Some(cited)) = (steps.first(), question.comment.prose.moves_of(line).first())
    else {
        return Answer::unsettled();
    };
    // A single move fits somewhere by chance, and a line that begins later than it
    // should may leave out the moves in between.
    let wanted = cited.number.and_then(expected).unwrap_or(0);
    let found = count(&first.before);
    let same_move = wanted / 2 == found / 2;
    let plain = steps.len() >= 2 && !(wanted > found && wanted - found <= 3);
    if !lost && !same_move && !plain && line.role != LineRole::Denied {
        return Answer::unsettled();
    }
    // The first number may be right, and a later one wrong.
    let wrong = |(cited, step): &(&CitedMove, &Step)| {
        let wanted = cited.number.and_then(expected);
        wanted.is_some_and(|wanted| wanted != count(&step.before))
    };
    let moves = question.comment.prose.moves_of(line).iter().zip(steps);
    let wrong: Vec<_> = moves.filter(wrong).collect();
    let Some((cited, step)) = wrong.first() else {
        return Answer::unsettled();
    };
    let (Some(mv), Some(span)) = (step.mv, cited.number_span) else {
        return Answer::unsettled();
    };
    let fits = Line::new(&step.before, &[mv]);
    let fault = Fault::of(LineWhy::Misnumbered { fits }).at(span.start..span.end);
    let number = |(cited, step): &(&CitedMove, &Step)| {
        let span = cited.number_span?;
        Some((span.start..span.end, show::number(&step.before)))
    };
    let fault = fault.or_all(wrong.iter().filter_map(number));
    Answer::new(Verdict::Fails)
        .on(&step.before)
        .found(fault.shown(&step.before, None))
}

pub(super) fn unplayable(question: &Question, line: &CitedLine, broken: &Broken) -> Answer {
    let index = line.moves.start as usize + broken.at;
    let (Some(cited), Some(words)) = (
        question.comment.prose.moves.get(index),
        question.comment.words.get(index),
    ) else {
        return Answer::unsettled();
    };
    // A number that fits no ply of the line is a slip of another kind.
    if matches!(
        meaning(&broken.position, &cited.written),
        Resolution::Legal(..)
    ) {
        return Answer::unsettled();
    }
    let start = broken.steps.first().map(|first| &first.before);
    let moves: Vec<Move> = broken.steps.iter().filter_map(|step| step.mv).collect();
    let behind = Line::new(start.unwrap_or(&broken.position), &moves);
    let letters = question.comment.prose.letters;
    let span = cited.span.start..cited.span.end;
    let why = LineWhy::Unplayable {
        words: words.clone(),
        letters: Letters(letters),
        behind: behind.clone(),
    };
    let fault = Fault::of(why).at(span.clone());
    let near = suggest::nearest(&broken.position, words, letters).into_iter();
    let fault = near.fold(fault, |fault, near| fault.or(span.clone(), near));
    Answer::new(Verdict::Fails)
        .on(&broken.position)
        .shown_by(behind.clone())
        .found(fault.shown(&broken.position, Some(behind)))
}

/// Whether the line that the claim leans on has a false mate sign of its own.
pub(super) fn line_is_told(question: &Question) -> bool {
    let (Some(line), Some(resolved)) = (question.cited_line(), question.line()) else {
        return false;
    };
    let signs = settle_signs(question, line, resolved);
    (signs.faults.iter()).any(|fault| matches!(fault.why, Why::Mate(MateWhy::FalseMateSign { .. })))
}

/// Whether the sentence cites the line as one that can be played.
fn speaks_of_a_line(line: &CitedLine) -> bool {
    matches!(
        line.role,
        LineRole::Stated | LineRole::Alternative | LineRole::Denied | LineRole::Threat
    ) && !matches!(
        line.mood,
        Mood::Unreal | Mood::Elsewhere | Mood::Prevented | Mood::Wished
    )
}

#[cfg(test)]
mod tests;
