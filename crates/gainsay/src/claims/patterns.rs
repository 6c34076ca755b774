//! Named mates: "a smothered mate".

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    mate_names::pattern,
    named::settle_named_mate,
    pictures::{called, lacks},
};
use gainsay_commentary::NamedMate;
use gainsay_proof::{Verdict, facts::MatingPattern};
use shakmaty::{Chess, Position};

use crate::{
    outcome::{Line, MateWhy},
    question::Question,
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A mate does not show what its name stands for.
    ///
    /// Authors stretch the names of mates, so a name is doubted only where the mate lacks
    /// the very piece or the very place of the king that it stands for: a smothered mate
    /// without a knight, a back-rank mate in the middle of the board. Of a mate to come ("a
    /// smothered mate follows") this must be so in every line of the shortest mate.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Ra8# {A smothered mate.} 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Ra8# {A back-rank mate.} 1-0
    /// ```
    MISNAMED_MATE = "misnamed-mate", Severity::Warning
}

/// Settles the name of a mate by the picture of the final position. Authors stretch
/// the names, so a name is false only where the mate lacks the very piece, or the very
/// place of the king, that the name stands for.
pub(super) fn settle_pattern(
    question: &Question,
    named: &NamedMate,
    court: &mut Court<'_>,
) -> Answer {
    let name = question.words(named.span);
    let pattern = pattern(named.name);
    let scene = &question.comment.scene;
    let shows = |position: &&Chess| pattern.matches(position);
    if let Some(position) = question.within_reach().chain(scene.tree.all()).find(shows) {
        return if question.denied() {
            Answer::unsettled()
        } else {
            Answer::new(Verdict::Holds).on(position)
        };
    }
    if let Some(answer) = settle_named_mate(question, pattern, &name, named.comes, court) {
        return answer;
    }
    // The mate that can be proved from here, or was threatened.
    for start in [Some(scene.here.clone()), scene.passed()]
        .into_iter()
        .flatten()
    {
        let forced = court.mates_within(&start, 3, JUDGEMENT);
        let mut position = start.clone();
        for &m in &forced.line {
            position.play_unchecked(m);
        }
        if forced.verdict == Verdict::Holds && pattern.matches(&position) && !question.denied() {
            return Answer::new(Verdict::Holds)
                .on(&position)
                .shown_by(Line::new(&start, &forced.line));
        }
    }
    misnamed(question, pattern, &name)
}

/// The mate at the end of the cited line, or at the comment, where it is not what it
/// is called.
fn misnamed(question: &Question, pattern: MatingPattern, name: &str) -> Answer {
    let ends: Vec<&Step> = match question.line() {
        Some(line) => line.ends().collect(),
        None => question.comment.scene.played.iter().collect(),
    };
    let Some(&last) = ends.first() else {
        return Answer::unsettled();
    };
    let mate = &last.after;
    let mut missing = None;
    for Step { after, .. } in &ends {
        match lacks(pattern, after) {
            Some(what) if after.is_checkmate() => missing = Some(what),
            _ => return Answer::unsettled(),
        }
    }
    let (Some(missing), false) = (missing, question.denied()) else {
        return Answer::unsettled();
    };
    let why = MateWhy::MisnamedMate {
        name: name.to_owned(),
        lacks: missing,
        shows: called(mate),
        line: None,
    };
    Answer::refuted(why, mate, last.shown())
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn the_name_of_a_mate_must_fit() {
        use Verdict::{Fails, Holds};
        all(
            "6rk/6pp/8/6N1/8/8/8/6K1 w - - 0 1 | 1. Nf7#",
            &[
                ("A [smothered mate].", Holds),
                ("A [back-rank mate].", Fails),
            ],
        );
    }
}
