//! Exchanges: those that a move makes or offers, and what was exchanged so far.

use gainsay_commentary::{At as Place, Exchanged, Men, Nuance, Subject, Tense, Trade};
use gainsay_proof::Verdict;
use shakmaty::{Board, Chess, Color, Move, Position, Role};

use super::answer::Answer;
use crate::{
    outcome::{DeedWhy, Kind, Line},
    question::{Question, Resolved},
    resolve::{played, whoever_moves, with_turn},
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// An exchange is told that is not there.
    ///
    /// A move exchanges two men if it takes one with the other where the other side can take back,
    /// or if it takes back where the exchange began; it offers an exchange if afterwards one of them
    /// can take the other, whichever side begins, and be taken in turn (common practice, no source).
    /// Offers and exchanges are false only if nothing of either kind can be taken near in the game or
    /// in the lines of the comment. So many pairs have been exchanged as both sides have lost of
    /// that kind; nothing has been exchanged as long as one side has lost nothing.
    ///
    /// ```pgn before
    /// 1. e4 d5 2. exd5 Qxd5 {No pawn has been exchanged.} 3. Nc3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 Qxd5 {One pair of pawns has been exchanged.} 3. Nc3 *
    /// ```
    FALSE_EXCHANGE = "false-exchange", Severity::Error
}

/// Settles "trades queens", "offers to swap the knight for the bishop".
pub(super) fn settle_trade(question: &Question, said: Trade) -> Answer {
    let claim = &question.claim;
    if question.denied() || claim.tense == Tense::Future || question.is_of_no_move() {
        return Answer::unsettled();
    }
    let scene = &question.comment.scene;
    let meant = match question.line() {
        Some(_) => question.only_end(),
        None => scene.played.as_ref(),
    };
    let premise = question.cited_line().is_some_and(|line| line.premise);
    let of_mover = |step: &&Step| match claim.subject {
        Subject::Side(side) => side == step.before.turn(),
        Subject::Line | Subject::ThisMove | Subject::Nobody => true,
        _ => false,
    };
    let Some(meant) = meant.filter(of_mover).filter(|_| !premise) else {
        return Answer::unsettled();
    };
    let cited: Vec<&Step> = question
        .comment
        .lines
        .iter()
        .flat_map(Resolved::steps)
        .collect();
    let way = scene.way();
    let before = (cited.iter().copied().chain(&way)).find(|step| step.after == meant.before);
    let shown = match said.offered {
        true => offers(meant, said),
        false => exchanges(meant, before, said),
    };
    if let Some(moves) = shown {
        return Answer::new(Verdict::Holds)
            .on(&meant.before)
            .shown_by(Line::new(&meant.before, &moves));
    }
    // What was exchanged may have been so in any move of the game.
    if claim.tense == Tense::Past || claim.wording.has(Nuance::Told) {
        let pairs = way.iter().zip(way.iter().skip(1).map(Some).chain([None]));
        let mut made = pairs.filter(|(step, _)| of_mover(step));
        let found = made.find_map(|(step, before)| {
            let moves = exchanges(step, before, said)?;
            Some((step, moves))
        });
        return match found.filter(|_| question.line().is_none() && !said.offered) {
            Some((step, moves)) => Answer::new(Verdict::Holds)
                .on(&step.before)
                .shown_by(Line::new(&step.before, &moves)),
            None => Answer::unsettled(),
        };
    }
    // Whatever is near may be meant.
    let near = way.iter().take(3).chain(&scene.steps).chain(cited);
    let mut boards: Vec<Chess> = vec![meant.before.clone(), meant.after.clone()];
    for step in near {
        boards.push(step.before.clone());
        boards.push(step.after.clone());
    }
    boards.extend(scene.beside.iter().cloned());
    let possible = boards.iter().flat_map(whoever_moves).any(|position| {
        let mut moves = position.legal_moves().into_iter();
        moves.any(|m| begins(m, said))
    });
    let last = meant.mv.filter(|m| !begins(*m, said));
    if possible || last.is_none() || !claim.closed || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let why = DeedWhy::NoExchange {
        by: meant.shown(),
        own: Kind(said.own),
        other: Kind(said.other),
    };
    Answer::refuted(why, &meant.before, meant.shown())
}

/// Whether a move may begin the exchange: it takes one of the two, with whatever it takes it, since
/// an exchange may be made on two squares ("24.Bxe7 cxd4"), or a new piece is given.
fn begins(m: Move, said: Trade) -> bool {
    let of = m.capture();
    of == Some(said.other) || of == Some(said.own) || m.promotion().is_some()
}

/// Whether the squares that are named are those of the move.
fn fits(m: Move, said: Trade) -> bool {
    let there = |square: &shakmaty::Square| m.to() == *square || m.from() == Some(*square);
    said.on.iter().flatten().all(there)
}

fn takes_back(position: &Chess, square: shakmaty::Square) -> Option<Move> {
    let mut captures = position.capture_moves().into_iter();
    captures.find(|m| m.to() == square)
}

/// The moves of the exchange that the move begins or ends.
fn exchanges(step: &Step, before: Option<&Step>, said: Trade) -> Option<Vec<Move>> {
    let m = step.mv.filter(|m| m.is_capture() && fits(*m, said))?;
    // It began where the other side took.
    let began = before.and_then(|before| before.mv).is_some_and(|gave| {
        gave.to() == m.to()
            && gave.capture() == Some(said.own)
            && gave.role() == said.other
            && m.capture() == Some(said.other)
    });
    if began {
        return Some(vec![m]);
    }
    if m.role() != said.own || m.capture() != Some(said.other) || m.promotion().is_some() {
        return None;
    }
    Some(vec![m, takes_back(&step.after, m.to())?])
}

/// The exchange that is possible behind the move.
fn offers(step: &Step, said: Trade) -> Option<Vec<Move>> {
    let m = step.mv?;
    let side = step.before.turn();
    // The other side may begin, or the mover, were it its turn.
    let theirs = (step.after.capture_moves().into_iter()).find_map(|take| {
        let roles = take.role() == said.other && take.capture() == Some(said.own);
        let wanted = roles && fits(take, said);
        let after = played(&step.after, take);
        (wanted && takes_back(&after, take.to()).is_some()).then_some(vec![m, take])
    });
    theirs.or_else(|| {
        let mine = with_turn(&step.after, side)?;
        let mut captures = mine.capture_moves().into_iter();
        let found = captures.any(|take| {
            let roles = take.role() == said.own && take.capture() == Some(said.other);
            let wanted = roles && fits(take, said);
            let after = played(&mine, take);
            wanted && takes_back(&after, take.to()).is_some()
        });
        found.then(|| vec![m])
    })
}

/// Settles "no pawn has been exchanged", "one pair of knights has been exchanged".
pub(super) fn settle_exchanged(question: &Question, said: Exchanged) -> Answer {
    let scene = &question.comment.scene;
    let way = scene.way();
    let whole = match way.last() {
        Some(first) => first.before == Chess::default(),
        None => scene.here == Chess::default(),
    };
    // What a pawn became is counted as it stands.
    let promoted = |step: &Step| step.mv.is_some_and(|m| m.promotion().is_some());
    if question.denied() || !whole || question.line_is_lost() || question.pointer().is_some() {
        return Answer::unsettled();
    }
    let near = question.cited_steps().chain(scene.steps.iter().take(2));
    if way.iter().chain(near.clone()).any(promoted) {
        return Answer::unsettled();
    }
    let place = match question.claim.at {
        Place::Here => Some(&scene.here),
        _ => question.only_end().map(|step| &step.after),
    };
    let Some(place) = place.filter(|_| question.claim.tense != Tense::Future) else {
        return Answer::unsettled();
    };
    if is_exchanged(place.board(), said, false) {
        return Answer::new(Verdict::Holds).on(place);
    }
    let mut near = near.map(|step| &step.after).chain([&scene.here]);
    let elsewhere = near.any(|position| is_exchanged(position.board(), said, true));
    // "Nothing had been exchanged" until this move.
    let told = said.pairs == Some(0) && question.claim.wording.has(Nuance::Told);
    if told
        || elsewhere
        || is_exchanged(place.board(), said, true)
        || !question.claim.closed
        || question.comment_cites_loosely()
    {
        return Answer::unsettled();
    }
    let captures: Vec<Line> = way
        .iter()
        .rev()
        .filter(|step| step.mv.is_some_and(|m| m.is_capture()))
        .map(Step::shown)
        .collect();
    let shown = captures
        .first()
        .cloned()
        .unwrap_or_else(|| Line::new(place, &[]));
    Answer::refuted(DeedWhy::Captures { captures }, place, shown)
}

/// How many men of a role a side has lost since the beginning.
fn lost(board: &Board, side: Color, role: Role) -> usize {
    let whole = Board::default().by_piece(role.of(side)).count();
    whole.saturating_sub(board.by_piece(role.of(side)).count())
}

/// Whether so much has been exchanged, as the words say or as they may be meant.
fn is_exchanged(board: &Board, said: Exchanged, wide: bool) -> bool {
    let all = [
        Role::Pawn,
        Role::Knight,
        Role::Bishop,
        Role::Rook,
        Role::Queen,
    ];
    let roles: &[Role] = match &said.men {
        Men::All => &all,
        Men::Pieces if wide => all.get(1..).unwrap_or_default(),
        // "No pieces have been exchanged" may mean pawns too.
        Men::Pieces => &all,
        Men::Role(role) => std::slice::from_ref(role),
    };
    let of = |side: Color| -> usize { roles.iter().map(|&role| lost(board, side, role)).sum() };
    let (most, least) = {
        let (white, black) = (of(Color::White), of(Color::Black));
        (white.max(black), white.min(black))
    };
    match said.pairs {
        Some(0) if wide && !said.one_sided => least == 0,
        Some(0) => most == 0,
        Some(pairs) if wide => least >= usize::from(pairs),
        Some(pairs) => least == usize::from(pairs) && most == least,
        None => least > 0,
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict::{Fails, Holds, Unsettled};

    use crate::marked::all;

    #[test]
    fn what_both_sides_have_lost_was_exchanged() {
        all(
            "1. e4 d5 2. exd5 Qxd5",
            &[
                ("[One pair of pawns has been exchanged].", Holds),
                ("[One pair of knights has been exchanged].", Fails),
                ("[Two pairs of pawns have been exchanged].", Fails),
                ("[No pawn has been exchanged].", Fails),
                ("[Nothing has been exchanged].", Fails),
            ],
        );
        all(
            "1. e4 e5 2. Nf3 Nc6",
            &[
                ("[Nothing has been exchanged].", Holds),
                ("[No pawn has been exchanged].", Holds),
                ("[One pair of pawns has been exchanged].", Fails),
            ],
        );
        // A pawn given is not exchanged.
        all(
            "1. e4 d5 2. exd5 Nf6",
            &[("[No pawn has been exchanged].", Unsettled)],
        );
    }

    #[test]
    fn exchanges_are_made_and_offered() {
        all(
            "1. e4 e5 2. d4 exd4 3. Qxd4 Qf6",
            &[
                ("Black [offers the exchange of queens].", Holds),
                ("Black [offers a queen trade].", Holds),
                ("Black [offers an exchange of rooks].", Fails),
                ("Black [trades rooks].", Fails),
            ],
        );
        all(
            "1. e4 e5 2. d4 exd4 3. Qxd4 Qf6 4. Qxf6",
            &[
                ("White [trades queens].", Holds),
                ("White [exchanges queens].", Holds),
            ],
        );
        all(
            "1. e4 e5 2. d4 exd4 3. Qxd4 Qf6 4. Qxf6 Nxf6",
            &[("Black [trades queens].", Holds)],
        );
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6",
            &[
                ("White [exchanges his bishop for the knight].", Holds),
                ("White [trades rooks].", Fails),
            ],
        );
    }
}
