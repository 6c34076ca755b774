//! What is won and lost: "wins the queen", "gives up the exchange".

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    not_gained::{exchange_passes, more, never_gained, not_gained, settle_exchange_given},
};
use gainsay_commentary::{At, ClaimKind, Goods, Mood, Noun, Owner, Passing, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Chess, Color, Move, Position, Role};

use crate::{
    outcome::{Line, MaterialWhy, Side},
    question::Question,
    resolve::played,
    scene::{Step, count},
};

/// Settles "wins the queen": the line, the game or the best play shows it, or is about
/// to.
pub(super) fn settle_gain(
    question: &Question,
    what: Goods,
    how: Passing,
    court: &mut Court<'_>,
) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    if (what, how) == (Goods::Exchange(1), Passing::Given) {
        return settle_exchange_given(question);
    }
    let scene = &question.comment.scene;
    // What a line wins is not shown by the game.
    let leans = !matches!(question.claim.at, At::Here) && question.line().is_some();
    let game = scene.played.iter().chain(&scene.steps);
    let winners: Vec<Color> = match (question.claim.subject, how) {
        (Subject::Side(color), Passing::Won) => vec![color],
        (Subject::Side(color), _) => vec![!color],
        // A piece is won and lost to the other side.
        (Subject::Piece(noun), _) => {
            owner_of(question, &noun).map_or_else(|| Color::ALL.to_vec(), |owner| vec![!owner])
        }
        _ => who_threatens(question)
            .or_else(|| winner_of_line(question, how))
            .map_or_else(|| Color::ALL.to_vec(), |winner| vec![winner]),
    };
    let lines = question.comment.lines.iter();
    let cited = lines.flat_map(|line| by_winner(&line.readings, &winners).flatten());
    let steps: Vec<&Step> = cited.chain(game.filter(|_| !leans)).collect();
    // A queen that is taken is lost whatever is had for it; a piece that is taken back is
    // exchanged.
    let outright = how == Passing::Given || matches!(what, Goods::Role(..));
    // "The pawn on a5 is lost": that one.
    let place = match question.claim.subject {
        Subject::Piece(noun) => noun.square,
        _ => None,
    };
    // One capture wins no two pieces.
    let one = !matches!(
        what,
        Goods::Pieces(2..) | Goods::Pawns(2..) | Goods::Role(_, 2..)
    );
    let taken = |m: Move| {
        one && m.capture().is_some_and(|role| is_goods(role, what))
            && place.is_none_or(|square| square == m.to())
    };
    // What is taken by more, which is lost for it, is not won.
    let pays =
        |before: &Chess, m: Move| how == Passing::Given || facts::exchange_of(before, m) >= 0;
    let shows = |step: &&&Step| {
        let before = &step.before;
        let won = |m: Move| taken(m) && (outright && pays(before, m) || is_profit(before, m, what));
        winners.contains(&before.turn()) && step.mv.is_some_and(won)
    };
    // "On move 9 White sacrificed the queen" is shown there or nowhere.
    if let Some(places) = question.told_of() {
        let tree = &scene.tree;
        let made = places
            .into_iter()
            .flat_map(|place| tree.moves_at(count(place)));
        let shown = made.into_iter().find(|step| shows(&&step));
        return shown.map_or_else(Answer::unsettled, |step| {
            Answer::new(Verdict::Holds)
                .on(&step.before)
                .shown_by(step.shown())
        });
    }
    let kept = |step: &&&&Step, court: &mut Court<'_>| {
        outright || !is_won_back(&step.before, &step.after, court)
    };
    let shown: Vec<&&Step> = steps.iter().filter(shows).collect();
    if let Some(step) = shown.iter().find(|step| kept(step, court)) {
        return Answer::new(Verdict::Holds)
            .on(&step.before)
            .shown_by(Line::new(
                &step.before,
                &step.mv.into_iter().collect::<Vec<_>>(),
            ));
    }
    if what == Goods::Exchange(1) {
        let losers: Vec<Color> = winners.iter().map(|&winner| !winner).collect();
        if let Some(position) = exchange_passes(question, &losers) {
            return Answer::new(Verdict::Holds).on(position);
        }
    }
    // It went a few plies ago.
    if let Some(role) = role_of(what).filter(|_| !leans) {
        let at = place.map_or(Bitboard::FULL, Bitboard::from_square);
        let count = |position: &Chess, color: Color| {
            (position.board().by_piece(role.of(color)) & at).count()
        };
        let gone = |earlier: &&Chess| {
            let won = |&winner: &Color| {
                let gain = facts::balance(scene.here.board(), winner)
                    - facts::balance(earlier.board(), winner);
                count(earlier, !winner) > count(&scene.here, !winner) && (outright || gain > 0)
            };
            winners.iter().any(won)
        };
        if let Some(earlier) = scene.back.iter().find(gone) {
            return Answer::new(Verdict::Holds).on(earlier);
        }
    }
    // About to be taken with profit.
    let here = (!leans).then_some(&scene.here);
    let lines = question.line().into_iter();
    let last = lines.flat_map(|line| by_winner(&line.readings, &winners));
    let last = last.filter_map(|steps| steps.last());
    let ends: Vec<&Step> = if leans { last.collect() } else { steps.clone() };
    let ends = ends.into_iter().map(|step| &step.after).chain(here);
    for position in ends {
        for m in position.capture_moves() {
            if winners.contains(&position.turn())
                && taken(m)
                && is_profit(position, m, what)
                && (outright || !is_won_back(position, &played(position, m), court))
            {
                return Answer::new(Verdict::Holds)
                    .on(position)
                    .shown_by(Line::new(position, &[m]));
            }
        }
    }
    let answer = gain_by_search(question, what, &winners, court);
    match (answer.verdict, winners.as_slice()) {
        (Verdict::Unsettled, &[winner]) => (leans && !outright)
            .then(|| taken_back(question, what, winner, court))
            .flatten()
            .or_else(|| never_gained(question, what, winner))
            .or_else(|| {
                let won = how != Passing::Given;
                won.then(|| not_gained(question, what, winner, court))
                    .flatten()
            })
            .unwrap_or(answer),
        _ => answer,
    }
}

/// Whose piece a noun means, by its words or by what stands on its square.
fn owner_of(question: &Question, noun: &Noun) -> Option<Color> {
    if let Owner::Side(owner) = noun.owner {
        return Some(owner);
    }
    let scene = &question.comment.scene;
    let mut near = std::iter::once(&scene.here).chain(scene.before());
    near.find_map(|position| position.board().color_at(noun.square?))
}

/// The finding that a line's last move takes something and loses more: what it took is
/// taken back, and by two searches the one who is said to win has less than before.
fn taken_back(
    question: &Question,
    what: Goods,
    winner: Color,
    court: &mut Court<'_>,
) -> Option<Answer> {
    if question.comment_cites_loosely() || question.line_is_lost() {
        return None;
    }
    // The line may be told in pieces: "9.Bd6 loses a piece to 9...Rxd6".
    let lines = question.comment.lines.iter();
    let [steps] = lines
        .filter_map(|line| match line.readings.as_slice() {
            [steps] => Some(steps),
            _ => None,
        })
        .filter(|steps| {
            (steps.last().and_then(|step| step.mv?.capture()))
                .is_some_and(|role| is_goods(role, what))
        })
        .collect::<Vec<_>>()[..]
    else {
        return None;
    };
    let (first, last) = (steps.first()?, steps.last()?);
    let m = last.mv?;
    if last.before.turn() != winner || facts::exchange_of(&last.before, m) >= 0 {
        return None;
    }
    let before = facts::balance(first.before.board(), winner);
    let mut loses = |nodes| {
        let lines = court.best(&last.after, 1, nodes);
        let moves = &lines.first()?.moves;
        let mut position = last.after.clone();
        for &m in moves {
            position.play_unchecked(m);
        }
        let less = facts::balance(position.board(), winner) < before;
        less.then(|| moves.first().copied()).flatten()
    };
    let early = loses(JUDGEMENT / 8)?;
    let reply = loses(JUDGEMENT / 2)?;
    if early != reply || !reply.is_capture() {
        return None;
    }
    let why = MaterialWhy::TakenBack {
        cited: Line::new(&last.before, &[m]),
        reply: Line::new(&last.after, &[reply]),
        side: Side(winner),
    };
    let shown = Line::new(&last.before, &[m, reply]);
    Some(Answer::refuted(why, &last.before, shown))
}

/// Whose threat it is that a line shows: "threatening to win a pawn by 24.dxe5".
fn who_threatens(question: &Question) -> Option<Color> {
    let shown = matches!(question.claim.at, At::Shown(_));
    let threat = matches!(question.claim.kind, ClaimKind::Threat(_));
    let step = question.line()?.readings.first()?.first()?;
    (shown && threat).then(|| step.before.turn())
}

/// Who wins where a line is said to win or lose: "9.Bd6 Rxd6 wins a piece" for the
/// side that moved last, "9.Bd6 loses a piece" for the other. `None` where a longer line
/// is said to lose.
fn winner_of_line(question: &Question, how: Passing) -> Option<Color> {
    if matches!(question.claim.at, At::Here) || question.claim.subject != Subject::Line {
        return None;
    }
    let steps = question.line()?.readings.first()?;
    let mover = steps.last()?.before.turn();
    match how {
        Passing::Won => Some(mover),
        Passing::Lost | Passing::Given => (steps.len() == 1).then_some(!mover),
    }
}

/// Best play from the end of the line, or from the comment, that leaves one of the
/// `winners` with as much more wood as is said.
fn gain_by_search(
    question: &Question,
    what: Goods,
    winners: &[Color],
    court: &mut Court<'_>,
) -> Answer {
    let Some(worth) = worth(what) else {
        return Answer::unsettled();
    };
    let scene = &question.comment.scene;
    let line = match question.claim.at {
        At::End(_) | At::Shown(_) => question.line().and_then(|line| line.readings.first()),
        _ => None,
    };
    let end = line.and_then(|steps| steps.last()).map(|step| &step.after);
    // What a line wins is not shown by the game. What is won now is won by the move just
    // played or by those to come, not by those that might have been played instead.
    let missed = question.claim.tense == Tense::Past || question.claim.mood != Mood::Stated;
    let here = [(&scene.here, &scene.here)].into_iter();
    let before = scene.before();
    let here = here.chain(before.map(|before| (before, &scene.here)));
    let here = here.chain(before.filter(|_| missed).map(|before| (before, before)));
    let end = end.map(|end| (end, end));
    for (first, start) in end.into_iter().chain(here.filter(|_| end.is_none())) {
        let Some((gained, moves)) = gained(start, court) else {
            continue;
        };
        let gained = gained + facts::balance(start.board(), Color::White)
            - facts::balance(first.board(), Color::White);
        let winner = if gained > 0 {
            Color::White
        } else {
            Color::Black
        };
        if gained.abs() >= worth
            && winners.contains(&winner)
            && in_kind(first, start, &moves, what, winner)
        {
            return Answer::new(Verdict::Holds)
                .on(start)
                .shown_by(Line::new(start, &moves));
        }
    }
    Answer::unsettled()
}

/// That the side to move wins what is said: by a capture at once, or by best play.
pub(super) fn gains_now(
    position: &Chess,
    what: Goods,
    winner: Color,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let held = |shown: &[Move]| {
        let answer = Answer::new(Verdict::Holds).on(position);
        answer.shown_by(Line::new(position, shown))
    };
    let takes = |m: &&Move| {
        m.capture().is_some_and(|role| is_goods(role, what)) && is_profit(position, **m, what)
    };
    if let Some(&m) = position.capture_moves().iter().find(takes) {
        return Some(held(&[m]));
    }
    let worth = worth(what)?;
    let (white, moves) = gained(position, court)?;
    let won = winner.fold_wb(white, -white) >= worth;
    (won && in_kind(position, position, &moves, what, winner)).then(|| held(&moves))
}

/// The ways to play a line that the winner begins, if it is one side and there are any;
/// otherwise all.
fn by_winner<'r>(
    readings: &'r [Vec<Step>],
    winners: &[Color],
) -> impl Iterator<Item = &'r Vec<Step>> {
    let winner = match winners {
        &[winner] => Some(winner),
        _ => None,
    };
    let begins = move |steps: &&Vec<Step>| {
        let first = steps.first();
        first.is_some_and(|step| Some(step.before.turn()) == winner)
    };
    let some = readings.iter().any(|steps| begins(&steps));
    readings.iter().filter(move |steps| !some || begins(steps))
}

/// What White gains by best play from a position, in pawns by the scale 1, 3, 3, 5, 9, and
/// the moves.
fn gained(start: &Chess, court: &mut Court<'_>) -> Option<(i32, Vec<Move>)> {
    let line = court.best(start, 1, JUDGEMENT / 4).into_iter().next()?;
    let before = facts::balance(start.board(), Color::White);
    let mut position = start.clone();
    for &m in &line.moves {
        position.play_unchecked(m);
    }
    let after = facts::balance(position.board(), Color::White);
    Some((after - before, line.moves))
}

/// Whether a side that took something has nothing of it in the end, by best play.
fn is_won_back(before: &Chess, after: &Chess, court: &mut Court<'_>) -> bool {
    let winner = before.turn();
    let Some((white, _)) = gained(after, court) else {
        return false;
    };
    let had = facts::balance(before.board(), winner);
    facts::balance(after.board(), winner) + winner.fold_wb(white, -white) <= had
}

/// Whether what is gained since `first`, by moves from `start` on, is of the kind that is
/// said: a pawn that is won is no exchange.
fn in_kind(first: &Chess, start: &Chess, moves: &[Move], what: Goods, winner: Color) -> bool {
    let mut end = start.clone();
    for &m in moves {
        end.play_unchecked(m);
    }
    if let Goods::Role(role, _) = what {
        // A queen that is won is taken.
        let mut position = start.clone();
        return moves.iter().any(|&m| {
            let taken = position.turn() == winner && m.capture() == Some(role);
            position.play_unchecked(m);
            taken
        });
    }
    let won = facts::balance(end.board(), winner) - facts::balance(first.board(), winner);
    match what {
        Goods::Exchange(_) => more(first, &end, what, winner) > 0,
        // A piece that is won is no pawn.
        Goods::Pawns(count) => {
            let pawns = more(first, &end, Goods::Role(Role::Pawn, 1), winner);
            pawns >= i32::from(count) || won == i32::from(count)
        }
        _ => true,
    }
}

/// The least that must be gained for it to be called so, in pawns by the scale 1, 3, 3, 5,
/// 9: a pawn given for a piece leaves it a piece won.
fn worth(what: Goods) -> Option<i32> {
    Some(match what {
        Goods::Pawns(count) => i32::from(count),
        Goods::Pawn(_) | Goods::Material => 1,
        Goods::Pieces(1) | Goods::Role(Role::Knight | Role::Bishop, 1) => 2,
        Goods::Role(Role::Rook, 1) => 4,
        // Two pieces or a rook are mostly had for it.
        Goods::Role(Role::Queen, 1) => 4,
        Goods::Exchange(1) => 1,
        _ => return None,
    })
}

/// Whether a capture wins material by exchange: for the exchange about as much as a rook is
/// worth more than a minor piece, since a whole rook is more.
fn is_profit(position: &Chess, m: Move, what: Goods) -> bool {
    let gain = facts::exchange_of(position, m);
    let most = if matches!(what, Goods::Exchange(_)) {
        350
    } else {
        i32::MAX
    };
    gain > 0 && gain <= most
}

/// The one kind of piece that is said to be won.
const fn role_of(what: Goods) -> Option<Role> {
    match what {
        Goods::Role(role, _) => Some(role),
        Goods::Pawns(_) | Goods::Pawn(_) => Some(Role::Pawn),
        _ => None,
    }
}

/// Whether a piece is what is said to be won.
fn is_goods(role: Role, what: Goods) -> bool {
    match what {
        Goods::Pawns(_) | Goods::Pawn(_) => role == Role::Pawn,
        Goods::Pieces(_) => !matches!(role, Role::Pawn | Role::King),
        Goods::Role(wanted, _) => role == wanted,
        Goods::Exchange(_) => role == Role::Rook,
        Goods::Material => role != Role::King,
        Goods::Game => false,
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn what_a_line_wins_is_seen() {
        use Verdict::Holds;
        all(
            "4k3/8/8/3q4/8/8/8/3RK3 w - - 0 1 | 1. Kf2 Kf8",
            &[("2.Rxd5 [wins the queen].", Holds)],
        );
    }

    #[test]
    fn what_is_taken_by_more_is_not_won() {
        use Verdict::{Holds, Unsettled};
        all(
            "3rk1n1/7Q/8/8/8/8/8/4K3 w - - 0 1 | 1. Kf2 Kf8",
            &[("2.Qxg8+ [wins the knight].", Unsettled)],
        );
        all(
            "6n1/7Q/8/8/8/8/k7/4K3 w - - 0 1 | 1. Kf2 Ka1",
            &[("2.Qxg8 [wins the knight].", Holds)],
        );
    }
}
