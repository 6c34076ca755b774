//! What a move did, told in words.

use gainsay_commentary::{Act, Deed, Noun, Nuance, Owner, Subject, Tense, Traits, When};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Color, Move, Position, Role, Square};

use super::answer::Answer;
use crate::{
    outcome::{DeedWhy, Line, Man},
    question::Question,
    resolve::with_turn,
    rule::{Severity, rule},
    scene::{Step, count},
};

rule! {
    /// A move did not do what the text tells of it.
    ///
    /// "White has just taken a bishop", "recaptures with the queen", "the pawn has just made its
    /// double step": which piece moved, what it took and where are compared with the move that
    /// the comment stands behind, or with the last one of the line that it cites. What "has
    /// taken" tells may have happened in any move of the game. It is false only where no move
    /// near the comment, and none in the lines beside it, can be meant (common practice, no
    /// source).
    ///
    /// ```pgn before
    /// 1. e4 d5 2. exd5 Qxd5 {Black has just taken a knight.} *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 Qxd5 {Black has just taken a pawn.} *
    /// ```
    FALSE_DEED = "false-deed", Severity::Error
}

/// So many moves in front of a comment can be told of as its own, and so many behind it.
const NEAR: usize = 3;

/// How exactly a move must be what is told.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Sense {
    /// As the words say.
    Strict,
    /// As they may be meant.
    Wide,
}

/// All that is told of the move.
struct Told<'q> {
    deed: &'q Deed,
    side: Option<Color>,
    actors: Vec<&'q Noun>,
}

/// Settles "Black has just taken the queen", "White recaptures with the knight".
pub(super) fn settle_deed(question: &Question, deed: &Deed) -> Answer {
    let claim = &question.claim;
    if question.denied() || claim.tense == Tense::Future || question.is_of_no_move() {
        return Answer::unsettled();
    }
    let named = match &claim.subject {
        Subject::Piece(noun) => Some(noun),
        _ => None,
    };
    // "A knight that takes the queen is well fed" tells of any.
    let general = |noun: &Noun| noun.wording.begins(Nuance::Any);
    if deed.when == When::Now && named.is_some_and(general) {
        return Answer::unsettled();
    }
    let told = Told {
        deed,
        side: side(claim.subject, deed),
        actors: named.into_iter().chain(&deed.actor).collect(),
    };
    // Several pieces, or one that is not of the other side, are taken by no single move.
    let mine = |noun: &&Noun| matches!(noun.owner, Owner::He | Owner::Mine);
    let loose =
        told.actors.iter().any(|noun| noun.plural) || deed.victim.iter().any(|noun| mine(&noun));
    let scene = &question.comment.scene;
    let way = scene.way();
    let around = Around {
        question,
        way: &way,
    };
    let meant = match question.line() {
        // A line that ends in the move of the comment is that move.
        Some(line) => {
            let played = |step: &&Step| step.after == scene.here;
            line.ends().find(played).or_else(|| question.only_end())
        }
        None => scene.played.as_ref(),
    };
    // "After 24.Kf1 Black takes the rook" tells of the move behind the line.
    let premise = question.cited_line().is_some_and(|line| line.premise);
    let Some(meant) = meant.filter(|_| !premise) else {
        return Answer::unsettled();
    };
    let here = claim.at.line().is_none();
    let strict = |step: &Step| told.is(step, &around, Sense::Strict);
    let wide = |step: &Step| told.is(step, &around, Sense::Wide);
    let done = match deed.when {
        When::Ever if here => way.iter().find(|step| strict(step)),
        _ => Some(meant).filter(|step| strict(step)),
    };
    if let Some(step) = done {
        return Answer::new(Verdict::Holds)
            .on(&step.before)
            .shown_by(step.shown());
    }
    let back = match deed.when {
        When::Ever => usize::MAX,
        When::Now | When::Just => NEAR,
    };
    let elsewhere = around.steps(back).any(|step| wide(&step));
    if loose || elsewhere || !claim.closed || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    match deed.when {
        // What is taken now may be taken next.
        When::Now if here => {
            let told_of_mover = told.side == Some(meant.before.turn());
            let acts = meant.mv.is_some_and(|m| m.is_capture());
            if !told_of_mover || !acts || around.next().any(|step| wide(&step)) {
                return Answer::unsettled();
            }
            did(meant)
        }
        // "Recaptured with the queen", behind another recapture.
        When::Ever if here && deed.act == Act::Retakes => {
            let plain = Deed {
                actor: None,
                victim: None,
                ..*deed
            };
            let any = Told {
                deed: &plain,
                actors: Vec::new(),
                ..told
            };
            if !any.is(meant, &around, Sense::Strict) {
                return Answer::unsettled();
            }
            did(meant)
        }
        When::Ever if here => never(&told, &way, &scene.here),
        _ => did(meant),
    }
}

/// Who is said to have moved.
fn side(subject: Subject, deed: &Deed) -> Option<Color> {
    let owner = |noun: &Noun| match noun.owner {
        Owner::Side(color) => Some(color),
        _ => None,
    };
    match subject {
        Subject::Side(color) => Some(color),
        Subject::Piece(noun) => owner(&noun),
        _ => None,
    }
    .or_else(|| deed.actor.as_ref().and_then(owner))
    .or_else(|| Some(!deed.victim.as_ref().and_then(owner)?))
}

impl Told<'_> {
    /// Whether a move is what is told.
    fn is(&self, step: &Step, around: &Around<'_>, sense: Sense) -> bool {
        let Some(m) = step.mv else {
            return false;
        };
        let turn = step.before.turn();
        let on = |square: Square| m.to() == square || facts::taken_on(m) == Some(square);
        self.side.is_none_or(|side| side == turn)
            && self.acts(m, step, around, sense)
            && self.deed.on.is_none_or(on)
            && self.actors.iter().all(|noun| moves(noun, m, turn, sense))
            && (self.deed.victim.as_ref()).is_none_or(|noun| takes(noun, m, turn, sense))
    }

    fn acts(&self, m: Move, step: &Step, around: &Around<'_>, sense: Sense) -> bool {
        match self.deed.act {
            Act::Takes => m.is_capture(),
            Act::Retakes if sense == Sense::Wide => m.is_capture(),
            Act::Retakes => {
                let gave = |other: &Step| {
                    other.after == step.before
                        && other
                            .mv
                            .is_some_and(|gave| gave.is_capture() && gave.to() == m.to())
                };
                m.is_capture() && around.steps(usize::MAX).any(|other| gave(&other))
            }
            Act::Goes => true,
            Act::Doubles => facts::is_double_step(m),
        }
    }
}

/// Whether the piece that moves is the one that is named.
pub(super) fn moves(noun: &Noun, m: Move, turn: Color, sense: Sense) -> bool {
    let strict = sense == Sense::Strict;
    let role = match noun.role {
        Some(role) => m.role() == role || !strict && m.promotion() == Some(role),
        None => !strict || m.role() != Role::Pawn,
    };
    let stands = |square: Square| m.to() == square || m.from() == Some(square);
    let file =
        |file| m.from().is_some_and(|from| from.file() == file) || !strict && m.to().file() == file;
    role && is_of(noun, turn)
        && noun.square.is_none_or(stands)
        && noun.file.is_none_or(file)
        && (!strict || noun.traits.is_empty())
}

/// Whether the piece that is taken is the one that is named.
fn takes(noun: &Noun, m: Move, turn: Color, sense: Sense) -> bool {
    let strict = sense == Sense::Strict;
    let (Some(taken), Some(square)) = (m.capture(), facts::taken_on(m)) else {
        return false;
    };
    let role = match noun.role {
        Some(role) => taken == role,
        None => !strict || taken != Role::Pawn,
    };
    let light = noun.traits == Traits::LIGHT && square.is_light();
    let dark = noun.traits == Traits::DARK && square.is_dark();
    role && is_of(noun, !turn)
        && noun
            .square
            .is_none_or(|named| named == square || named == m.to())
        && noun.file.is_none_or(|file| file == square.file())
        && (!strict || noun.traits.is_empty() || light || dark)
}

/// Whether a piece can be said to be of this side.
fn is_of(noun: &Noun, side: Color) -> bool {
    match noun.owner {
        Owner::Side(color) => color == side,
        _ => true,
    }
}

/// The moves that a comment can tell of.
struct Around<'q> {
    question: &'q Question,
    /// The moves in front of it, the nearest first.
    way: &'q [Step],
}

impl Around<'_> {
    /// The moves near the comment, `back` of them in front of it, and those of the lines that it
    /// cites and that stand beside it.
    fn steps(&self, back: usize) -> impl Iterator<Item = Step> {
        let scene = &self.question.comment.scene;
        let lines = self.question.comment.lines.iter().flat_map(|line| {
            let broken = line.broken.iter().map(|broken| &broken.steps);
            line.readings
                .iter()
                .chain(&line.renumbered)
                .chain(broken)
                .flatten()
        });
        let near = self
            .way
            .iter()
            .take(back)
            .chain(scene.steps.iter().take(NEAR));
        let places = scene.before().into_iter().chain([&scene.here]);
        let beside = places.flat_map(|position| scene.tree.moves_at(count(position)));
        near.chain(lines).cloned().chain(beside)
    }

    /// What may be played at the comment, by either side.
    fn next(&self) -> impl Iterator<Item = Step> {
        let here = &self.question.comment.scene.here;
        let boards = Color::ALL
            .into_iter()
            .filter_map(|side| with_turn(here, side));
        boards.flat_map(|before| {
            let moves = before.legal_moves();
            moves.into_iter().map(move |m| Step {
                before: before.clone(),
                mv: Some(m),
                after: before.clone(),
            })
        })
    }
}

/// The finding that the move did something else.
fn did(step: &Step) -> Answer {
    let board = step.before.board();
    let man = |square: Square| Man::on(board, square);
    let Some((m, mover)) = step.mv.and_then(|m| Some((m, man(m.from()?)?))) else {
        return Answer::unsettled();
    };
    let why = DeedWhy::Did {
        by: step.shown(),
        man: mover,
        took: facts::taken_on(m).and_then(man),
    };
    Answer::refuted(why, &step.before, step.shown())
}

/// The finding that no move of the whole game did it.
fn never(told: &Told<'_>, way: &[Step], here: &Chess) -> Answer {
    let whole = (way.last()).is_some_and(|first| first.before == Chess::default());
    let definite = told
        .deed
        .victim
        .is_some_and(|noun| noun.wording.has(Nuance::Told));
    if !whole || definite {
        return Answer::unsettled();
    }
    let mut captures: Vec<Line> = (way.iter())
        .filter(|step| step.mv.is_some_and(|m| m.is_capture()))
        .filter(|step| told.side.is_none_or(|side| side == step.before.turn()))
        .map(Step::shown)
        .collect();
    captures.reverse();
    let shown = Line::new(here, &[]);
    Answer::refuted(DeedWhy::Never { captures }, here, shown)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::{all, verdict};

    const SPANISH: &str = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6";

    #[test]
    fn what_was_just_taken_is_compared_with_the_last_move() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            SPANISH,
            &[
                ("Black [has just taken the bishop].", Holds),
                ("Black [has just taken a knight].", Fails),
                ("Black [has just captured the bishop with the pawn].", Holds),
                ("Black [has recaptured with the pawn].", Holds),
                ("Black [has recaptured with the knight].", Fails),
                ("The d-pawn [has just taken a bishop].", Holds),
                ("The b-pawn [has just taken a bishop].", Fails),
                // The move before it.
                ("White [has just taken the knight].", Unsettled),
                ("White [has taken a knight].", Holds),
                ("White [has taken a rook].", Fails),
                ("White [captured the knight].", Holds),
                ("The knight [was taken on c6].", Holds),
                ("The queen [was taken on c6].", Fails),
            ],
        );
    }

    #[test]
    fn what_may_be_meant_elsewhere_is_left() {
        for comment in [
            "Black [takes the pawn].",
            "If White [takes the rook], all is lost.",
            "[Has Black just taken a knight]?",
            "White [has just taken a knight] or a bishop.",
        ] {
            assert_ne!(verdict(SPANISH, comment), Some(Verdict::Fails), "{comment}");
        }
        // What happened before the position is not known.
        let start = "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1 | 1. e4 Kd7";
        let told = verdict(start, "White [has taken a rook].");
        assert_ne!(told, Some(Verdict::Fails));
    }
}
