//! Pieces in danger: what must be so for "trapped", "overloaded" and "hanging" to be false.

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    nouns::{is_held_by_check, pins, squares},
};
use gainsay_commentary::{ClaimKind, Noun, Nuance, Relation, Target, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Move, Position, Role, Square};

use crate::{
    outcome::{Line, Man, PieceWhy, squares_of},
    question::Question,
    resolve::{played, with_turn},
    rule::{Severity, rule},
};

rule! {
    /// A piece is called trapped, dominated, overloaded or hanging, and is not.
    ///
    /// Definitions are common practice, no source. A piece is not trapped if wherever the
    /// comment can look it may roam, no move of the other side takes its squares away, and it
    /// has a move that loses nothing by exchange and by search. It is not overloaded if it
    /// guards one square at most at which the other side could take, check, promote or come
    /// near the king, and that side wins nothing by search were it to move. It does not hang if
    /// every way to take it loses material, by exchange and by search. A piece that nothing
    /// attacks at all is a matter of the rule `false-attack`.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "4k3/5ppp/8/4N3/3P4/8/5PPP/6K1 b - - 0 20"]
    ///
    /// 20... h6 {White's knight is trapped.} 21. Kf1 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5pp1/7p/8/8/1P6/b1P2PPP/2K5 w - - 0 20"]
    ///
    /// 20. Kb2 {Black's bishop is trapped.} h5 *
    /// ```
    FALSE_DANGER = "false-danger", Severity::Warning
}

/// So much may be lost by a move, in centipawns, before it is no way out.
const LITTLE: i32 = 100;

/// What costs so much, in centipawns, wins nothing.
const DEAR: i32 = 150;

/// So many ways out are searched.
const TRIED: usize = 3;

/// What becomes of an answer about a piece in danger once the board has been looked at
/// more closely: a piece that nothing can get at is not confirmed to be trapped, and the
/// claim is false where no sense of the word fits.
pub(super) fn settle_plight(
    question: &Question,
    relation: Relation,
    targets: &[Target],
    answer: Answer,
    court: &mut Court<'_>,
) -> Answer {
    let [Target::Piece(noun)] = targets else {
        return answer;
    };
    match (relation, answer.verdict) {
        (Relation::Trapped, Verdict::Holds)
            if !question.denied() && !is_at_risk(question, noun) =>
        {
            Answer::unsettled()
        }
        (_, Verdict::Unsettled) => not_in_danger(question, relation, noun, court).unwrap_or(answer),
        _ => answer,
    }
}

/// Whether a trapped piece that the noun can mean is attacked, can be by one move, or is
/// shut in by the other side; where its own men alone shut it in, it must be more than
/// not developed yet.
fn is_at_risk(question: &Question, noun: &Noun) -> bool {
    if noun.role == Some(Role::King) {
        return true;
    }
    let scene = &question.comment.scene;
    // Before the first move a text speaks of the game to come.
    let opens = scene.before().is_none();
    let game = scene.tree.all().filter(|_| opens);
    question.within_reach().chain(game).any(|position| {
        let board = position.board();
        squares(board, noun)
            .into_iter()
            .filter(|&square| facts::trapped(board, square))
            .any(|square| {
                let home = |owner| position.castles().has_color(owner);
                !board.color_at(square).is_some_and(home)
                    || facts::legal_targets(board, square).any()
                    || facts::hanging(board, square)
                    || is_soon_hanging(position, square)
            })
    })
}

/// The finding that a piece is not trapped, overloaded or hanging.
fn not_in_danger(
    question: &Question,
    relation: Relation,
    noun: &Noun,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let piece = noun.role.is_some_and(|role| role != Role::King);
    let vague = noun.plural || !noun.determined && noun.square.is_none();
    if !piece
        || vague
        || !question.claim.closed
        || question.denied()
        || question.claim.tense == Tense::Future
        || question.line_is_lost()
        || question.comment_cites_loosely()
    {
        return None;
    }
    let at = question.nearest().next()?;
    let square = squares(at.board(), noun).single_square()?;
    match relation {
        Relation::Trapped => not_trapped(question, at, square, noun, court),
        Relation::Overloaded => not_overloaded(question, at, square, noun, court),
        Relation::Hanging => not_hanging(question, at, square, noun, court),
        _ => None,
    }
}

/// Whether something is true of every piece that the noun can mean, wherever the comment
/// can look.
fn everywhere(question: &Question, noun: &Noun, test: &dyn Fn(&Chess, Square) -> bool) -> bool {
    question.within_reach().all(|position| {
        let mut all = squares(position.board(), noun).into_iter();
        all.all(|square| test(position, square))
    })
}

/// A trapped piece has nowhere to go. It is not trapped if it is free all around the
/// comment, no move of the other side traps it, it gets away from every attack for good,
/// or that side wins nothing by search, and it has a move that loses nothing, by exchange
/// and by search.
fn not_trapped(
    question: &Question,
    at: &Chess,
    square: Square,
    noun: &Noun,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let dominated = question.claim.wording.has(Nuance::Dominated);
    if noun.role == Some(Role::Pawn)
        || !(dominated || question.claim.wording.has(Nuance::Trapped))
        || !everywhere(question, noun, &|position, square| {
            facts::is_free(position.board(), square) || is_held_by_check(position, square)
        })
    {
        return None;
    }
    // A piece that is dominated may keep a poor square or two.
    let board = at.board();
    let safe = facts::safe_squares(board, square).count();
    if dominated && safe * 2 <= facts::legal_targets(board, square).count() {
        return None;
    }
    let owner = board.color_at(square)?;
    let theirs = with_turn(at, !owner)?;
    let caught = |m: &Move| {
        let after = played(&theirs, *m);
        // A pin or a check by itself is no trap.
        let board = after.board();
        let pinned = || pins(board).any(|pin| pin.pinned == square);
        m.to() == square
            || facts::trapped(board, square)
                && !is_held_by_check(&after, square)
                && (facts::hanging(board, square) || !pinned())
    };
    if facts::hanging(at.board(), square) || theirs.legal_moves().iter().any(caught) {
        return None;
    }
    let gets_away = |m: Move| {
        let after = played(&theirs, m);
        !facts::hanging(after.board(), square) || facts::ways_out(&after, square).next().is_some()
    };
    if !theirs.legal_moves().into_iter().all(gets_away) && !wins_nothing(&theirs, court) {
        return None;
    }
    let ours = with_turn(at, owner)?;
    let had = facts::balance(ours.board(), owner) * 100;
    // Where more is in danger than this piece, standing still is no better.
    let still = court.value(&theirs, JUDGEMENT / 4)?.0.reversed();
    let least = had.min(still.centipawns()) - LITTLE;
    let out = facts::ways_out(&ours, square).take(TRIED).find(|&m| {
        let after = played(&ours, m);
        let judged = court.value(&after, JUDGEMENT / 4);
        judged.is_some_and(|(value, _, sure)| sure && value.reversed().centipawns() >= least)
    })?;
    let line = Line::new(&ours, &[out]);
    let shown = line.clone();
    let man = Man::on(at.board(), square)?;
    Some(Answer::refuted(
        PieceWhy::HasSafeMoves { man, line },
        at,
        shown,
    ))
}

/// An overloaded piece has two duties. It is not overloaded if all around the comment it
/// guards one square at most at which the other side could do anything, and that side
/// wins nothing by search.
fn not_overloaded(
    question: &Question,
    at: &Chess,
    square: Square,
    noun: &Noun,
    court: &mut Court<'_>,
) -> Option<Answer> {
    // The author may say what it has to guard.
    let explained = question.comment.prose.claims.iter().any(|claim| {
        let guards = [Relation::Defends, Relation::Defended, Relation::Controls];
        matches!(&claim.kind, ClaimKind::Relation { relation, .. } if guards.contains(relation))
    });
    if explained {
        return None;
    }
    let tasks = |position: &Chess, square: Square| {
        let owner = position.board().color_at(square)?;
        let pinned = facts::pins(position.board(), owner)
            .iter()
            .any(|pin| pin.pinned == square);
        let theirs = with_turn(position, !owner).filter(|_| !pinned)?;
        Some(facts::tasks(&theirs, square))
    };
    if !everywhere(question, noun, &|position, square| {
        tasks(position, square).is_some_and(|tasks| tasks.count() <= 1)
    }) {
        return None;
    }
    let owner = at.board().color_at(square)?;
    if !wins_nothing(&with_turn(at, !owner)?, court) {
        return None;
    }
    let man = Man::on(at.board(), square)?;
    let squares = squares_of(tasks(at, square)?);
    let why = PieceWhy::GuardsOnly { man, squares };
    Some(Answer::refuted(why, at, Line::new(at, &[])))
}

/// A hanging piece can be taken with profit. It does not hang if taking it costs
/// material by exchange all around the comment, no move of the other side changes that,
/// and every way to take it loses by search.
fn not_hanging(
    question: &Question,
    at: &Chess,
    square: Square,
    noun: &Noun,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let structure =
        noun.traits.contains(gainsay_commentary::Traits::HANGING) && noun.role == Some(Role::Pawn);
    let costs = |position: &Chess, square: Square| {
        let taken = facts::best_capture(position.board(), square);
        taken.is_none_or(|(_, value)| value <= -LITTLE)
    };
    if structure
        || !question.claim.wording.has(Nuance::Hangs)
        || !everywhere(question, noun, &costs)
    {
        return None;
    }
    let owner = at.board().color_at(square)?;
    if is_soon_hanging(at, square) {
        return None;
    }
    let theirs = with_turn(at, !owner)?;
    let had = facts::balance(theirs.board(), !owner) * 100;
    let takes = theirs.capture_moves().into_iter();
    let mut shown = None;
    for m in takes.filter(|m| m.to() == square && !m.is_en_passant()) {
        let after = played(&theirs, m);
        let (value, line, sure) = court.value(&after, JUDGEMENT / 4)?;
        if !sure || value.reversed().centipawns() > had - DEAR {
            return None;
        }
        let mut moves = vec![m];
        moves.extend(line.first());
        shown.get_or_insert_with(|| Line::new(&theirs, &moves));
    }
    let line = shown?;
    let shown = line.clone();
    let man = Man::on(at.board(), square)?;
    Some(Answer::refuted(
        PieceWhy::TakingLoses { man, line },
        at,
        shown,
    ))
}

/// Whether by two searches the side to move wins nothing to speak of.
fn wins_nothing(position: &Chess, court: &mut Court<'_>) -> bool {
    let had = facts::balance(position.board(), position.turn()) * 100;
    let judged = court.value(position, JUDGEMENT / 2);
    judged.is_some_and(|(value, _, sure)| sure && value.centipawns() <= had + LITTLE)
}

/// Whether the other side has a move after which the piece on `square` hangs.
fn is_soon_hanging(position: &Chess, square: Square) -> bool {
    let owner = position.board().color_at(square);
    let Some(theirs) = owner.and_then(|owner| with_turn(position, !owner)) else {
        return true;
    };
    theirs.legal_moves().into_iter().any(|m| {
        let after = played(&theirs, m);
        m.to() != square && facts::hanging(after.board(), square)
    })
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn a_piece_with_safe_squares_is_not_trapped() {
        use Verdict::Fails;
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5",
            &[("[The bishop on c4 is trapped].", Fails)],
        );
    }
}
