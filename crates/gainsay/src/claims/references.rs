//! Pointers to other places: "see move 12", "White's 12th move", "two moves ago", "diagram 2".

use gainsay_commentary::{
    At, Claim, ClaimKind, LineRole, Mood, Quality, Reference, Subject, Tense,
};
use gainsay_proof::Verdict;
use shakmaty::Position;

use super::answer::Answer;
use crate::{
    outcome::{Evidence, Fault, PlaceWhy, Side},
    question::{Question, expected, ply, step},
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// The text points at a move that the game does not have.
    ///
    /// "See the note to move 40" in a game of thirty moves sends the reader nowhere, and so
    /// does "White's 4th move, 4.Ba4," where White played another. Where the text names
    /// another game or a diagram, the move may be found there, and nothing is said.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {See the note to move 12.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {See the note to move 1.} 3. Bb5 *
    /// ```
    LOST_REFERENCE = "lost-reference", Severity::Warning
}

/// Settles a pointer: the place exists, and the move that is named with it was made
/// there. Diagrams may be counted through the book, which is not known here: those of the
/// game are looked at first.
pub(super) fn settle_reference(question: &Question, reference: Reference) -> Answer {
    let scene = &question.comment.scene;
    if question
        .points_at(reference, &question.claim)
        .next()
        .is_some()
    {
        if let Reference::Nth { number, firm } = reference
            && let Some(answer) = another_move(question, number, firm)
        {
            return answer;
        }
        if names_another_number(question, reference) {
            return Answer::unsettled();
        }
        let mut places = question.points_at(reference, &question.claim);
        return match places.next() {
            Some(position) => Answer::new(Verdict::Holds).on(position),
            None => Answer::new(Verdict::Holds),
        };
    }
    let (number, plain) = match reference {
        Reference::Move(number) => (number, true),
        Reference::Nth { number, firm } => (number, firm),
        // "On move 40 the clock is stopped": only what happened must have a place.
        Reference::On(number) => (number, tells(question, number)),
        _ => return Answer::unsettled(),
    };
    // Behind the last move a comment may tell how a game went on that is not given.
    let goes_on = matches!(reference, Reference::Move(_))
        || !scene.ahead.is_empty()
        || scene.here.legal_moves().is_empty();
    let plain = plain && goes_on;
    let Some(last) = scene
        .tree
        .last_number()
        .filter(|_| plain && !tells_of_games(question))
    else {
        return Answer::unsettled();
    };
    if number <= last
        || question.denied()
        || !question
            .comment
            .lines
            .iter()
            .all(|line| line.broken.is_none())
    {
        return Answer::unsettled();
    }
    Answer::new(Verdict::Fails)
        .showing(Evidence::LastMove(last))
        .found(Fault::of(PlaceWhy::NoSuchMove { number, last }))
}

/// Whether a claim of the same sentence tells of what happened on the move it points at.
fn tells(question: &Question, number: u32) -> bool {
    let points = |claim: &&Claim| match claim.kind {
        ClaimKind::Reference(Reference::On(other)) => other == number,
        _ => false,
    };
    let claims = &question.comment.prose.claims;
    claims.iter().any(|claim| {
        let told = match claim.kind {
            ClaimKind::Quality(quality) => quality != Quality::Wins,
            ref kind => matches!(
                kind,
                ClaimKind::Structure { .. }
                    | ClaimKind::Relation { .. }
                    | ClaimKind::Gain { .. }
                    | ClaimKind::Material(_)
                    | ClaimKind::Pieces(_)
            ),
        };
        claim.sentence == question.claim.sentence
            && told
            && !points(&claim)
            && claim.mood == Mood::Stated
            && claim.tense != Tense::Future
    })
}

/// "White's 4th move, 4.Ba4, was quiet" of a move that is not the game's. The cited move
/// must have the number and the side of the pointer, and commas around it. "White's 4th
/// move was Ba4" needs neither.
fn another_move(question: &Question, number: u32, firm: bool) -> Option<Answer> {
    let Subject::Side(side) = question.claim.subject else {
        return None;
    };
    let line = question
        .cited_line()
        .filter(|line| line.role == LineRole::Stated && line.moves.len() == 1)
        .filter(|line| line.span.start > question.claim.span.end)?;
    let wanted = ply(number, side);
    let cited = question.comment.prose.moves_of(line).first()?;
    let is_named = matches!(question.claim.at, At::Subject(_)) && !question.denied();
    let numbered = cited.number.and_then(expected) == Some(wanted);
    let plain = cited.number.is_none() && is_named && firm;
    if question.claim.mood != Mood::Stated || !(numbered && (firm || is_named) || plain) {
        return None;
    }
    let made = question.comment.scene.tree.moves_at(wanted);
    let resolved = question
        .comment
        .lines
        .get(question.claim.at.line()? as usize)?;
    let own = |made: &Step| step(&made.before, cited, None).is_some_and(|own| own.mv == made.mv);
    let played = made.first()?;
    if made.iter().any(own) || resolved.readings.is_empty() || !(is_named || line.apposed) {
        return None;
    }
    let by = played.shown();
    let shown = by.clone();
    let side = Side(side);
    Some(Answer::refuted(
        PlaceWhy::PlayedThere { side, by },
        &played.before,
        shown,
    ))
}

/// Whether the move that is cited with a pointer has another number or side than it: "Black's
/// 4th move, 4.Ba4".
fn names_another_number(question: &Question, reference: Reference) -> bool {
    let (Reference::Nth { number, .. }, At::Subject(_), Subject::Side(side)) =
        (reference, question.claim.at, question.claim.subject)
    else {
        return false;
    };
    let cited = question.line_moves().first();
    let written = cited.and_then(|cited| cited.number).and_then(expected);
    written.is_some_and(|written| written != ply(number, side))
}

/// Whether the comment points at other games, so that a move it names may be theirs.
fn tells_of_games(question: &Question) -> bool {
    let points_away = |kind: &ClaimKind| {
        matches!(
            kind,
            ClaimKind::Reference(Reference::Game(_) | Reference::Diagram(_))
        )
    };
    (question.comment.prose.claims.iter()).any(|claim| points_away(&claim.kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, check};

    #[test]
    fn the_diagrams_of_a_game_are_counted_by_their_marks() {
        let text = b"1. e4 e5 2. Qh5 $220 Nc6 3. Bc4 Nf6 {[Diagram]} 4. d3 d6 \
            {See diagram 2, and diagram 3. In diagram 2 White mates in one. In diagram 1 \
            White mates in one.} *";
        let report = check(text, &Settings::default());
        let verdicts: Vec<(&str, Verdict)> = report
            .claims
            .iter()
            .map(|claim| (claim.text.as_str(), claim.verdict))
            .collect();
        assert_eq!(
            verdicts,
            [
                ("diagram 2", Verdict::Holds),
                ("diagram 3", Verdict::Unsettled),
                ("diagram 2", Verdict::Holds),
                ("mates in one", Verdict::Holds),
                ("diagram 1", Verdict::Holds),
                ("mates in one", Verdict::Fails),
            ]
        );
    }

    /// The verdicts on the claims of `kind` that a comment makes before the end of a game.
    fn verdicts(comment: &str, kind: &str) -> Vec<Verdict> {
        let text = format!(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 5. O-O Bg4 6. h3 h5 7. d3 Qf6 {{{comment}}} 8. Nbd2 *"
        );
        let report = check(text.as_bytes(), &Settings::default());
        let of = report.claims.iter().filter(|claim| claim.kind == kind);
        of.map(|claim| claim.verdict).collect()
    }

    #[test]
    fn what_is_told_of_a_move_must_be_true_there() {
        use Verdict::{Fails, Holds, Unsettled};
        for (comment, kind, verdict) in [
            ("White castled on move 5.", "structure", Holds),
            ("White castled on his 5th move.", "structure", Holds),
            ("White castled on move 6.", "structure", Fails),
            ("On move 5 Black pinned the knight.", "relation", Holds),
            // It was so later, but not there.
            ("On move 3 Black pinned the knight.", "relation", Unsettled),
            (
                "White's 4th move, 4.Bxc6, doubles pawns.",
                "reference",
                Holds,
            ),
            ("White's 4th move, 4.Ba4, was quiet.", "reference", Fails),
            (
                "Better than White's 4th move was 4.Ba4.",
                "reference",
                Holds,
            ),
            ("White's 40th move decided.", "reference", Fails),
            ("On move 40 White castled.", "reference", Fails),
            ("The time control was on move 40.", "reference", Unsettled),
            ("In the diagram White mates in two.", "mate-in", Unsettled),
        ] {
            let found = verdicts(comment, kind);
            assert_eq!(found, [verdict], "{comment}");
        }
    }
}
