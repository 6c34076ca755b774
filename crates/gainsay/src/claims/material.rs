//! The balance of material.

use gainsay_commentary::{At, ClaimKind, Goods, Material, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Board, Chess, Color, Move, Position, Role};

use super::{
    answer::{Answer, Court},
    instead::TrueInstead,
    statements::{Soon, Statement, settle_statement},
};
use crate::{
    outcome::{Line, MaterialWhy, Side},
    question::Question,
    resolve::{played, whoever_moves},
    rule::{Severity, rule},
};

rule! {
    /// The balance of material is not what the text says.
    ///
    /// Counted by pieces, and by the scale pawn 1, knight and bishop 3, rook 5, queen 9
    /// (common practice, no source), within eight plies of the comment and in the lines it
    /// cites. What a line or a side is said to win, and the exchange above all, is told only
    /// where searches of two sizes leave the winner no more than it had, and nothing of the kind
    /// is taken; that the exchange is given, where no rook of the giver can be taken.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 {White is a rook up.} Nf6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 3. Nxe5 {White is a pawn up.} Nxe5 *
    /// ```
    FALSE_MATERIAL = "false-material", Severity::Warning
}

/// Settles the balance of material.
pub(super) fn settle_material(
    question: &Question,
    material: Material,
    court: &mut Court<'_>,
) -> Answer {
    let sides = question.sides();
    let named = sides.len() == 1 && !is_set_against(question);
    let plausible = |position: &Chess| {
        sides
            .iter()
            .any(|&side| balance_is(position.board(), side, material))
    };
    let holds = |position: &Chess| {
        let named = |&&side: &&Color| has_the_minors(position.board(), side, material);
        let mut sides = sides.iter().filter(named);
        sides.any(|&side| balance_is(position.board(), side, material))
    };
    if let Some(answer) = material_at_the_end(question, [&holds, &plausible], named, &sides, court)
    {
        return answer;
    }
    // A pawn more or less is often called level.
    let uneven = |position: &Chess| {
        facts::difference(position.board(), Color::White)
            .points()
            .abs()
            >= 2
    };
    let told_wrong = match material {
        Material::Level => question.within_reach().all(uneven),
        _ => {
            let less = |position: &Chess| {
                sides
                    .iter()
                    .any(|&side| understates(position.board(), side, material))
            };
            named
                && question.claim.tense != Tense::Future
                && !question.meant().any(less)
                && !question.within_reach().any(plausible)
        }
    };
    settle_statement(
        question,
        &Statement {
            holds: &holds,
            plausible: &plausible,
            may_be_denied: false,
            may_fail: told_wrong,
            told: &|here| {
                let side = sides.first().copied().unwrap_or(Color::White);
                TrueInstead::of(told(here.board(), side, false))
            },
            // In the middle of an exchange its end is counted already.
            soon: match &question.comment.scene.played {
                Some(step) if !step.mv.is_some_and(Move::is_capture) => Soon::Never,
                _ => Soon::ByAnyMove,
            },
        },
    )
}

/// "White has a pawn more, but a bishop less": each is a part of the balance.
fn is_set_against(question: &Question) -> bool {
    let claims = question.comment.prose.claims.iter();
    let mut others = claims.filter(|claim| claim.span != question.claim.span);
    others.any(|claim| {
        matches!(claim.kind, ClaimKind::Material(_)) && claim.sentence == question.claim.sentence
    })
}

/// "24.Rxd5 and White is a pawn up" speaks of the end of the line. It fails if it is not
/// so there, nor after a capture or two of either side.
fn material_at_the_end(
    question: &Question,
    [holds, plausible]: [&dyn Fn(&Chess) -> bool; 2],
    named: bool,
    sides: &[Color],
    court: &mut Court<'_>,
) -> Option<Answer> {
    let At::End(_) = question.claim.at else {
        return None;
    };
    let line = question.line().filter(|line| !line.readings.is_empty())?;
    let ends: Vec<&Chess> = line.ends().map(|step| &step.after).collect();
    if let Some(end) = ends.iter().find(|end| holds(end)) {
        return Some(Answer::new(Verdict::Holds).on(end));
    }
    let end = ends
        .first()
        .filter(|_| named && !question.denied() && !line.shaky && !line.ambiguous)?;
    let side = sides.first()?;
    let open = ends
        .iter()
        .any(|end| plausible(end) || after_captures(end, 2, plausible));
    if open || question.comment_cites_loosely() {
        return Some(Answer::unsettled());
    }
    // "24...Bb4+ and Black emerges a piece up" counts what is taken back yet.
    for end in &ends {
        if let Some(answer) = best_play_leads_to(end, holds, court) {
            return Some(answer);
        }
    }
    let moves: Vec<Move> = line
        .readings
        .first()
        .into_iter()
        .flatten()
        .filter_map(|step| step.mv)
        .collect();
    let start = line.readings.first().and_then(|steps| steps.first())?;
    let shown = Line::new(&start.before, &moves);
    Some(Answer::refuted(told(end.board(), *side, true), end, shown))
}

/// The answer that something is true a few plies on, where both sides play well.
fn best_play_leads_to(
    end: &Chess,
    holds: &dyn Fn(&Chess) -> bool,
    court: &mut Court<'_>,
) -> Option<Answer> {
    const PLIES: usize = 8;
    const NODES: u64 = 20_000;
    let line = court.best(end, 1, NODES).into_iter().next()?;
    let mut position = end.clone();
    for (at, &m) in line.moves.iter().take(PLIES).enumerate() {
        position = played(&position, m);
        if holds(&position) {
            let shown = Line::new(end, line.moves.get(..=at)?);
            return Some(Answer::new(Verdict::Holds).on(&position).shown_by(shown));
        }
    }
    None
}

/// Whether something is true after at most `plies` captures, whoever begins.
fn after_captures(position: &Chess, plies: u32, holds: &dyn Fn(&Chess) -> bool) -> bool {
    whoever_moves(position).any(|position| {
        position.capture_moves().iter().any(|&m| {
            let after = played(&position, m);
            holds(&after) || plies > 1 && after_captures(&after, plies - 1, holds)
        })
    })
}

/// Whether a side is up a queen or a rook, as is said, and more besides.
fn understates(board: &Board, side: Color, material: Material) -> bool {
    let (side, goods) = match material {
        Material::Up(goods) => (side, goods),
        Material::Down(goods) => (!side, goods),
        _ => return false,
    };
    let Goods::Role(role @ (Role::Queen | Role::Rook), 1) = goods else {
        return false;
    };
    let of = |color: Color| board.by_piece(role.of(color)).count();
    let points = facts::difference(board, side).points();
    of(side) > of(!side) && worth(goods).is_some_and(|worth| points > worth)
}

/// Whether `side` has the balance that is claimed. Exact counts and the same worth by the
/// scale 1, 3, 3, 5, 9 both do.
fn balance_is(board: &Board, side: Color, material: Material) -> bool {
    let difference = facts::difference(board, side);
    let points = difference.points();
    match material {
        Material::Level => difference.is_level(),
        Material::Up(goods) => {
            worth(goods).is_some_and(|worth| points == worth)
                || match goods {
                    Goods::Pawns(count) => difference.pawns_up(i32::from(count)),
                    Goods::Pawn(_) => difference.pawns_up(1),
                    Goods::Pieces(1) => difference.piece_up(),
                    Goods::Role(Role::Rook, 1) => difference.rook_up(),
                    Goods::Role(Role::Queen, 1) => difference.queen_up(),
                    Goods::Role(Role::Knight | Role::Bishop, 1) => difference.piece_up(),
                    // As with one piece, whatever was paid for them in pawns.
                    Goods::Pieces(count) => {
                        difference.minors == i32::from(count)
                            && difference.rooks == 0
                            && difference.queens == 0
                    }
                    Goods::Exchange(_) => difference.exchange_up(),
                    Goods::Material => points > 0,
                    _ => false,
                }
        }
        Material::Down(goods) => balance_is(board, !side, Material::Up(goods)),
        Material::Extra(goods) => {
            let more = |role: Role| {
                let of = |color: Color| board.by_piece(role.of(color)).count();
                of(side) > of(!side)
            };
            balance_is(board, side, Material::Up(goods))
                || match goods {
                    Goods::Pawns(1) | Goods::Pawn(_) => more(Role::Pawn),
                    Goods::Role(role, 1) => more(role),
                    Goods::Exchange(_) => difference.rooks > 0,
                    Goods::Pawns(count) => difference.pawns >= i32::from(count),
                    Goods::Pieces(_) => difference.minors > 0 || points > 0,
                    _ => points > 0,
                }
        }
        Material::UpBoth(one, other) => {
            // More on top of it makes it no less true.
            let more = |goods: Goods| match goods {
                Goods::Pawns(count) => difference.pawns >= i32::from(count),
                Goods::Pawn(_) => difference.pawns >= 1,
                Goods::Role(Role::Rook, count) => difference.rooks >= i32::from(count),
                Goods::Role(Role::Queen, count) => difference.queens >= i32::from(count),
                Goods::Pieces(count) | Goods::Role(_, count) => {
                    difference.minors >= i32::from(count)
                }
                _ => points > 0,
            };
            (worth(one).zip(worth(other))).is_some_and(|(one, other)| points == one + other)
                || more(one) && more(other)
        }
        Material::DownBoth(one, other) => balance_is(board, !side, Material::UpBoth(one, other)),
        Material::For(own, other) => stands_against(difference, own, other),
    }
}

/// Whether a side that is said to be a knight or a bishop ahead has more of these very pieces: a
/// knight too many is no bishop.
fn has_the_minors(board: &Board, side: Color, material: Material) -> bool {
    let (side, goods) = match material {
        Material::Up(goods) => (side, [Some(goods), None]),
        Material::Down(goods) => (!side, [Some(goods), None]),
        Material::UpBoth(one, other) => (side, [Some(one), Some(other)]),
        Material::DownBoth(one, other) => (!side, [Some(one), Some(other)]),
        _ => return true,
    };
    goods.into_iter().flatten().all(|goods| match goods {
        Goods::Role(role @ (Role::Knight | Role::Bishop), _) => {
            let of = |color: Color| board.by_piece(role.of(color)).count();
            of(side) > of(!side)
        }
        _ => true,
    })
}

/// Whether one side has `own` for `other` of the other side: "three pieces for the queen". Pawns
/// count where they are named.
fn stands_against(difference: facts::Difference, own: Goods, other: Goods) -> bool {
    let of = |goods| match goods {
        Goods::Pawns(count) => Some((i32::from(count), 0, 0, 0)),
        Goods::Pawn(_) => Some((1, 0, 0, 0)),
        Goods::Pieces(count) | Goods::Role(Role::Knight | Role::Bishop, count) => {
            Some((0, i32::from(count), 0, 0))
        }
        Goods::Role(Role::Rook, count) => Some((0, 0, i32::from(count), 0)),
        Goods::Role(Role::Queen, count) => Some((0, 0, 0, i32::from(count))),
        Goods::Exchange(count) => Some((0, -i32::from(count), i32::from(count), 0)),
        _ => None,
    };
    let pawns = |goods: Goods| matches!(goods, Goods::Pawns(_) | Goods::Pawn(_));
    let (Some(one), Some(two)) = (of(own), of(other)) else {
        return false;
    };
    let (mut minors, mut rooks) = (difference.minors, difference.rooks);
    // Against a queen a rook is one of "three pieces".
    if matches!(
        (own, other),
        (Goods::Pieces(_), Goods::Role(Role::Queen, _))
    ) && rooks > 0
    {
        minors += rooks;
        rooks = 0;
    }
    (minors, rooks, difference.queens) == (one.1 - two.1, one.2 - two.2, one.3 - two.3)
        && (!pawns(own) && !pawns(other) || difference.pawns == one.0 - two.0)
}

/// The worth of goods in pawns, where it is certain.
fn worth(goods: Goods) -> Option<i32> {
    Some(match goods {
        Goods::Pawns(count) => i32::from(count),
        Goods::Pawn(_) => 1,
        Goods::Pieces(count) => 3 * i32::from(count),
        Goods::Role(role, count) => facts::role_value(role) / 100 * i32::from(count),
        Goods::Exchange(count) => 2 * i32::from(count),
        Goods::Material | Goods::Game => return None,
    })
}

/// The balance of material as it is for a side.
fn told(board: &Board, side: Color, at_the_end: bool) -> MaterialWhy {
    let difference = facts::difference(board, side);
    MaterialWhy::Balance {
        side: Side(side),
        more: [
            difference.queens,
            difference.rooks,
            difference.minors,
            difference.pawns,
        ],
        at_the_end,
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn the_balance_is_counted() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 d5 2. exd5 Nf6",
            &[
                ("White [is a pawn up].", Holds),
                ("White [is a rook up].", Fails),
                ("Black [is a pawn down].", Holds),
            ],
        );
    }
}
