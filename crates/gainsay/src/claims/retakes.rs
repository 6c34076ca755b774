//! Who can take, and who can take back.

use gainsay_commentary::{Able, ClaimKind, Noun, Owner, Retake, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Chess, Color, Move, Position, Role};

use super::{
    answer::Answer,
    deeds::{Sense, moves},
    nouns::squares,
};
use crate::{
    outcome::{DeedWhy, Line},
    question::Question,
    resolve::with_turn,
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A piece is said to be able to take where it cannot, or nothing is said to be able to where
    /// something can.
    ///
    /// "Nobody can recapture", "the king can take back", "only the knight can take it": all legal
    /// captures on the square where the move went are looked at (FIDE Laws of Chess 3.1 to 3.9), that
    /// is behind the move of the comment, or behind the last one of the line that the words lean on.
    /// "The queen can take the pawn" is false only if she can take none such near the comment,
    /// whoever is to move. A "cannot" that is said of one piece or of one side is never called false,
    /// because it may be meant of what happens next; nor is it where only a pinned piece can take
    /// (common practice, no source).
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Bc4 Nc6 3. Bxf7+ {No black piece can recapture.} *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Bc4 Nc6 3. Bxf7+ {The king can recapture.} *
    /// ```
    FALSE_RECAPTURE = "false-recapture", Severity::Error
}

/// A board on which something is taken: the side to move is the one that can.
struct Spot {
    position: Chess,
    /// Where it takes; by the square of what is taken, too.
    on: Bitboard,
}

/// Settles "nobody can recapture", "the king can take back", "no piece can take the knight".
pub(super) fn settle_retake(question: &Question, said: &Retake) -> Answer {
    let claim = &question.claim;
    if claim.tense == Tense::Past || question.is_of_no_move() {
        return Answer::unsettled();
    }
    let named = said.victim.is_some() || said.on.is_some() && !said.again;
    let (meant, others) = if named {
        named_spots(question, said)
    } else {
        moved_spots(question, said)
    };
    let Some(meant) = meant else {
        return Answer::unsettled();
    };
    let place = &meant.position;
    let wide = |spot: &Spot| stands(spot, said, Sense::Wide);
    if question.denied() {
        // What can be taken a move earlier or later "cannot" be taken for a reason.
        return if wide(&meant) || others.iter().any(wide) {
            Answer::unsettled()
        } else {
            Answer::new(Verdict::Holds).on(place)
        };
    }
    let captures = meant.captures();
    if stands(&meant, said, Sense::Strict) {
        let answer = Answer::new(Verdict::Holds).on(place);
        let shown = captures
            .iter()
            .find(|&&m| is_by(said, m, place, Sense::Strict));
        return match shown {
            Some(&m) if said.able != Able::None => answer.shown_by(Line::new(place, &[m])),
            _ => answer,
        };
    }
    if wide(&meant) || others.iter().any(wide) || !claim.closed || question.comment_cites_loosely()
    {
        return Answer::unsettled();
    }
    let captures: Vec<Line> = (captures.iter()).map(|&m| Line::new(place, &[m])).collect();
    let shown = captures.first().cloned();
    let shown = shown.unwrap_or_else(|| Line::new(place, &[]));
    Answer::refuted(DeedWhy::Takes { captures }, place, shown)
}

/// Where the move went that is meant, and where the others did that may be.
fn moved_spots(question: &Question, said: &Retake) -> (Option<Spot>, Vec<Spot>) {
    let scene = &question.comment.scene;
    let spot = |step: &Step| {
        let m = step.mv?;
        let meant = (!said.again || m.is_capture())
            && said.on.is_none_or(|square| square == m.to())
            && side(question, said).is_none_or(|side| side == step.after.turn());
        meant.then(|| Spot {
            position: step.after.clone(),
            on: Bitboard::from_square(m.to()),
        })
    };
    let own = match question.line() {
        Some(_) => question.only_end(),
        None if said.again => scene.played.as_ref(),
        None => None,
    };
    let meant = own.and_then(spot).or_else(|| spot(last_cited(question)?));
    // "It" may be a piece that was named since.
    if !said.again && names_a_piece(question) {
        return (None, Vec::new());
    }
    let others = question
        .cited_steps()
        .chain(&scene.played)
        .chain(scene.steps.first());
    (meant, others.filter_map(spot).collect())
}

/// The last move of the line that the sentence cites in front of the claim.
fn last_cited(question: &Question) -> Option<&Step> {
    let comment = &question.comment;
    let claim = &question.claim;
    let mut lines = comment.prose.lines.iter().zip(&comment.lines).rev();
    let (_, line) = lines
        .find(|(line, _)| line.sentence == claim.sentence && line.span.end <= claim.span.start)?;
    match line.readings.as_slice() {
        [steps] if line.broken.is_none() => steps.last(),
        _ => None,
    }
}

/// Whether a piece is named between the line in front of the claim and the claim.
fn names_a_piece(question: &Question) -> bool {
    let claim = &question.claim;
    let prose = &question.comment.prose;
    let lines = prose.lines.iter().map(|line| line.span.end);
    let from = lines.filter(|&end| end <= claim.span.start).max();
    prose.claims.iter().any(|other| {
        matches!(other.kind, ClaimKind::Pieces(_))
            && other.span.start < claim.span.start
            && from.is_none_or(|from| from <= other.span.start)
    })
}

/// The boards on which what is named can be taken.
fn named_spots(question: &Question, said: &Retake) -> (Option<Spot>, Vec<Spot>) {
    let scene = &question.comment.scene;
    let spot = |position: &Chess, side: Color| {
        let position = with_turn(position, side)?;
        let board = position.board();
        let on = match (&said.victim, said.on) {
            (Some(noun), None) => squares(board, noun) & board.by_color(!side),
            (Some(noun), Some(on)) => {
                squares(board, noun) & board.by_color(!side) & Bitboard::from_square(on)
            }
            (None, Some(on)) => Bitboard::from_square(on),
            (None, None) => Bitboard::EMPTY,
        };
        on.any().then_some(Spot { position, on })
    };
    let place = match (question.line(), last_cited(question)) {
        (Some(_), _) => question.only_end().map(|step| &step.after),
        (None, Some(step)) if is_moved(step, said) => Some(&step.after),
        (None, _) => Some(&scene.here),
    };
    let Some(place) = place else {
        return (None, Vec::new());
    };
    let told = side(question, said).or_else(|| moved(question, said));
    // Either side may be meant, and neither be able.
    if told.is_none() && said.able == Able::None {
        return (None, Vec::new());
    }
    let meant = spot(place, told.unwrap_or_else(|| place.turn()));
    let sides: &[Color] = match &told {
        Some(side) => std::slice::from_ref(side),
        None => &Color::ALL,
    };
    // That nothing can be taken is true of most boards.
    let near: Vec<&Chess> = if said.able == Able::None {
        let ends = question.comment.lines.iter().flat_map(|line| line.ends());
        let ends = ends.map(|step| &step.after);
        ends.filter(|_| question.line().is_none()).collect()
    } else {
        let ahead = scene.steps.iter().map(|step| &step.after).take(4);
        let back = scene.back.iter().take(3);
        let around = ahead.chain(back).chain([&scene.here]).chain(&scene.beside);
        around.chain(question.cited_positions()).collect()
    };
    let others = near
        .into_iter()
        .flat_map(|position| sides.iter().filter_map(|&side| spot(position, side)));
    (meant, others.collect())
}

/// Whether the move has just brought what is named to be taken where it stands.
fn is_moved(step: &Step, said: &Retake) -> bool {
    let (Some(m), Some(victim)) = (step.mv, &said.victim) else {
        return false;
    };
    victim.square.is_none_or(|square| square == m.to())
        && victim
            .role
            .is_some_and(|role| m.promotion().unwrap_or(m.role()) == role)
        && victim.file.is_none()
}

/// The other side of the move that has just brought what is named.
fn moved(question: &Question, said: &Retake) -> Option<Color> {
    let step = match question.line() {
        Some(_) => question.only_end(),
        None => last_cited(question).or(question.comment.scene.played.as_ref()),
    };
    let step = step.filter(|step| is_moved(step, said))?;
    Some(step.after.turn())
}

/// The side that is said to take, or not to.
fn side(question: &Question, said: &Retake) -> Option<Color> {
    let owner = |noun: &Noun| match noun.owner {
        Owner::Side(color) => Some(color),
        _ => None,
    };
    match question.claim.subject {
        Subject::Side(color) => Some(color),
        _ => None,
    }
    .or_else(|| said.by.iter().flatten().find_map(owner))
    .or_else(|| Some(!said.victim.as_ref().and_then(owner)?))
}

impl Spot {
    /// The captures there; a pawn that promotes takes once.
    fn captures(&self) -> Vec<Move> {
        let takes = |m: &Move| {
            let there = facts::taken_on(*m).is_some_and(|square| self.on.contains(square));
            m.is_capture() && (there || self.on.contains(m.to()))
        };
        let legal = self.position.legal_moves().into_iter();
        let mut moves: Vec<Move> = legal.filter(takes).collect();
        moves.dedup_by_key(|m| (m.from(), m.to()));
        moves
    }
}

/// Whether that is true of a board.
fn stands(spot: &Spot, said: &Retake, sense: Sense) -> bool {
    let captures = spot.captures();
    let by = |m: &Move, sense: Sense| is_by(said, *m, &spot.position, sense);
    let wide = sense == Sense::Wide;
    match said.able {
        Able::Can if wide => captures.iter().any(|m| by(m, Sense::Wide)),
        // Each of the pieces that are named must be able.
        Able::Can => {
            let able = |noun: &Noun| {
                let mut captures = captures.iter();
                captures.any(|m| is_such(noun, *m, &spot.position, Sense::Strict))
            };
            !captures.is_empty() && said.by.iter().flatten().all(able)
        }
        Able::Alone => {
            captures.iter().any(|m| by(m, sense)) && captures.iter().all(|m| by(m, sense))
        }
        // What only a pinned piece could take it may not want to take.
        Able::None => !captures.iter().any(|m| {
            let counts = if wide { Sense::Strict } else { Sense::Wide };
            by(m, counts) && !(wide && is_pinned(&spot.position, *m))
        }),
    }
}

/// Whether one of the pieces that are named takes, where any is.
fn is_by(said: &Retake, m: Move, position: &Chess, sense: Sense) -> bool {
    let mut nouns = said.by.iter().flatten().peekable();
    nouns.peek().is_none() || nouns.any(|noun| is_such(noun, m, position, sense))
}

/// Whether the piece that takes is the one that is named. A king is a piece.
fn is_such(noun: &Noun, m: Move, position: &Chess, sense: Sense) -> bool {
    let stands = noun.square.is_none_or(|square| m.from() == Some(square));
    let king = noun.role.is_none() && m.role() == Role::King;
    stands && (moves(noun, m, position.turn(), sense) || king)
}

fn is_pinned(position: &Chess, m: Move) -> bool {
    let pins = facts::pins(position.board(), position.turn());
    pins.iter().any(|pin| m.from() == Some(pin.pinned))
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict::{Fails, Holds, Unsettled};

    use crate::marked::all;

    #[test]
    fn captures_on_the_square_decide_who_can_take_back() {
        all(
            "1. e4 e5 2. Bc4 Nc6 3. Bxf7+",
            &[
                ("[The king can recapture].", Holds),
                ("[Only the king can take back].", Holds),
                ("[The knight can recapture].", Fails),
                ("[No black piece can recapture].", Fails),
                ("[Nobody can take back].", Fails),
                ("[No pawn can recapture].", Holds),
                ("[The king cannot recapture].", Unsettled),
                ("[The knight cannot recapture].", Holds),
            ],
        );
        all(
            "1. e4 d5 2. exd5 Qxd5",
            &[
                ("[Nobody can recapture].", Holds),
                ("[The knight can recapture].", Fails),
            ],
        );
    }

    #[test]
    fn a_cited_capture_is_meant_where_the_words_lean_on_it() {
        all(
            "1. e4 e5 2. Bc4 Nc6",
            &[
                ("After 3.Bxf7+ [the king can recapture].", Holds),
                ("After 3.Bxf7+ [no pawn can recapture].", Holds),
                ("After 3.Bxf7+ [nobody can recapture].", Fails),
                ("After 3.Bxf7+ [the king may take it].", Holds),
                ("[The bishop can take the pawn on f7].", Holds),
                ("[The queen can take the pawn on e5].", Fails),
                ("[No white piece can take the pawn on f7].", Fails),
                ("[No white piece can take the pawn on e5].", Holds),
                ("[The pawn on f7 can be taken by the knight].", Fails),
                ("[The bishop cannot take the pawn on f7].", Unsettled),
                ("[The bishop cannot take the pawn on e5].", Holds),
                ("[Only the bishop can take the pawn on f7].", Holds),
            ],
        );
    }
}
