//! The legal moves of a position, as they are offered.

use std::ops::Range;

use gainsay::{CitedStep, Language, View, show};
use shakmaty::{Chess, Color, Move, Position, Role};

use super::{
    board, hover,
    place::{Place, ply_at},
    walk,
};

/// A move that is offered, with what it leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Offered {
    /// In SAN, in the letters of the game.
    pub(crate) text: String,
    /// What the position behind it says at a glance.
    pub(crate) summary: String,
    /// The board behind it, in Markdown.
    pub(crate) board: String,
}

/// The legal moves, the likeliest first: the one that the game goes on with before all.
pub(crate) fn legal(position: &Chess, played: Option<Move>, language: Language) -> Vec<Offered> {
    let mut ranked: Vec<(u8, String, Move, Chess)> = position
        .legal_moves()
        .into_iter()
        .map(|m| {
            let mut after = position.clone();
            after.play_unchecked(m);
            let rank = if played == Some(m) {
                0
            } else {
                1 + plausibility(position, m, &after)
            };
            (rank, show::san(position, m), m, after)
        })
        .collect();
    ranked.sort_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1)));
    let offered = ranked.into_iter().map(|(_, san, m, after)| {
        let mut markdown = String::new();
        hover::draw(&mut markdown, &after, &show::ends(m));
        Offered {
            text: show::in_language(&san, language),
            summary: board::summary(&after),
            board: markdown,
        }
    });
    offered.collect()
}

/// What can be cited at an offset of a comment, where the words before it end with the number
/// of a move or with a cited move: the position, and what the game goes on with there.
pub(crate) fn citable(
    place: &Place<'_>,
    view: Option<&View<'_>>,
    cited: &[CitedStep],
    (words, word): (&[u8], Range<usize>),
) -> Option<(Chess, Option<Move>)> {
    let number = words.trim_ascii_end();
    let dots = number
        .iter()
        .rev()
        .take_while(|byte| **byte == b'.')
        .count();
    let rest = number.get(..number.len() - dots)?;
    let digits = rest
        .iter()
        .rev()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let value = rest.get(rest.len() - digits..).and_then(|digits| {
        let digits = std::str::from_utf8(digits).ok()?;
        digits.parse::<u32>().ok().filter(|_| dots > 0)
    });
    let side = if dots > 1 { Color::Black } else { Color::White };
    let fits = |position: &Chess| {
        value.is_none_or(|value| position.fullmoves().get() == value && position.turn() == side)
    };
    // Behind a cited move, with or without a number between.
    let before = cited.iter().rev().find(|step| step.span.end <= word.start);
    if let Some(step) = before
        && let Some(between) = place.text().get(step.span.end..word.start)
        && between.iter().all(|byte| {
            byte.is_ascii_whitespace() || byte.is_ascii_digit() || b".!?".contains(byte)
        })
        && fits(&step.after)
    {
        return Some((step.after.clone(), None));
    }
    value?;
    let Some(view) = view else {
        let spoken = walk::shown(place.snapshot, place.section.start + word.start)?;
        return fits(&spoken.position).then_some((spoken.position, None));
    };
    // The place in the game that the number names, that of the comment's own line first.
    let here = ply_at(view, u32::try_from(word.start).ok()?);
    let mut at = here;
    while let Some(ply) = at.and_then(|at| view.replay.ply(at)) {
        if let Some(position) = view.replay.before(ply).filter(|position| fits(position)) {
            return Some((position.clone(), ply.played));
        }
        at = ply.parent;
    }
    let mut plies = view.replay.plies.iter();
    let named = plies.find_map(|ply| {
        let position = view.replay.before(ply).filter(|position| fits(position))?;
        Some((position.clone(), ply.played))
    });
    named.or_else(|| {
        let last = view.replay.at(here)?;
        fits(last).then(|| (last.clone(), None))
    })
}

/// Mates, checks, captures by small pieces first, quiet moves, moves of the king.
fn plausibility(position: &Chess, m: Move, after: &Chess) -> u8 {
    if after.is_checkmate() {
        return 0;
    }
    let value = |role: Role| match role {
        Role::Pawn => 1,
        Role::Knight | Role::Bishop => 3,
        Role::Rook => 5,
        Role::Queen => 9,
        Role::King => 0,
    };
    if let Some(taken) = m.capture() {
        let gain = value(taken) - value(m.role());
        return if gain >= 0 { 1 } else { 3 };
    }
    if after.is_check() {
        return 2;
    }
    if m.promotion() == Some(Role::Queen) || m.is_castle() {
        return 2;
    }
    match m.role() {
        Role::King => 6,
        Role::Pawn if position.fullmoves().get() > 10 => 5,
        _ => 4,
    }
}
