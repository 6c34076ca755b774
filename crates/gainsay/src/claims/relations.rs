//! Pieces at work: what attacks, defends, pins or checks what.

use gainsay_commentary::{Noun, Nuance, Owner, Relation, Subject, Target, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::{
    answer::Answer,
    checks::{may_be_in_check, settle_check},
    instead::instead,
    nouns::{aims, color, is_held_by_check, pins, squares},
    pieces::is_nowhere,
    statements::{Soon, Statement, settle_statement},
};
use crate::{
    question::{Question, Resolved},
    resolve::{played, whoever_moves},
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A piece is said to attack, defend, cover or fork what it does not, or a move to give a
    /// double or discovered check; or a side is said to threaten to fork or pin what two moves
    /// running cannot.
    ///
    /// The rule speaks only where the piece is named with its square, and nothing of the kind
    /// is true within eight plies of the comment, in a line it cites, or after any move from
    /// its position; where all pieces are named with their squares, after any capture.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on f3 attacks the rook on h8.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on f3 attacks the pawn on e5.} 3. Bc4 *
    /// ```
    FALSE_ATTACK = "false-attack", Severity::Warning
}

rule! {
    /// A pin that the text speaks of is not on the board.
    ///
    /// Pins to the king and to any other piece count, and pins by any piece that the text may
    /// mean. The rule speaks only where no such pin stands within eight plies of the comment,
    /// in a line it cites, or after any move from its position.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {Black's queen is pinned.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 d6 3. Bb5+ Nc6 {Black's knight is pinned.} 4. O-O *
    /// ```
    FALSE_PIN = "false-pin", Severity::Warning
}

/// The pieces that can be the one who acts: the noun that is named, or else the piece
/// that moved last, or any piece of the side.
fn actors(question: &Question, board: &Board, actor: Option<&Noun>) -> Bitboard {
    if let Some(noun) = actor {
        return squares(board, noun);
    }
    match &question.claim.subject {
        Subject::Piece(noun) => squares(board, noun),
        Subject::Side(color) => board.by_color(*color),
        _ => board.occupied(),
    }
}

/// Whether one piece is named, without its square.
const fn is_one_piece(target: &Target) -> bool {
    matches!(target, Target::Piece(noun) if noun.square.is_none() && !noun.plural)
}

/// Where a piece stands that is named without a square: the one that just moved, or the only
/// one that it attacks, or else each that it can be.
fn meant(question: &Question, position: &Chess, target: &Target) -> Bitboard {
    let board = position.board();
    let all = aims(board, target);
    let scene = &question.comment.scene;
    let mut ends = question.line().into_iter().flat_map(Resolved::ends);
    let step = if *position == scene.here {
        scene.played.as_ref()
    } else {
        ends.find(|step| step.after == *position)
    };
    let Some(moved) = step.and_then(|step| step.mv).map(|m| m.to()) else {
        return all;
    };
    if all.contains(moved) {
        return moved.into();
    }
    let attacked = board.attacks_from(moved) & all;
    if attacked.count() == 1 { attacked } else { all }
}

/// The piece that the claim is said of.
const fn acting_piece(question: &Question) -> Option<&Noun> {
    match &question.claim.subject {
        Subject::Piece(noun) => Some(noun),
        _ => None,
    }
}

/// Settles "attacks", "defends", "is pinned" and their like.
pub(super) fn settle_relation(
    question: &Question,
    relation: Relation,
    actor: Option<&Noun>,
    targets: &[Target],
) -> Answer {
    // Behind a line that cannot be played nothing is known.
    let lost = |line: &Resolved| line.readings.is_empty();
    if question.claim.at.line().is_some() && question.line().is_none_or(lost) {
        return Answer::unsettled();
    }
    let subject = acting_piece(question);
    let nouns = || {
        let targets = targets.iter().filter_map(|target| match target {
            Target::Piece(noun) => Some(noun),
            Target::Square(_) => None,
        });
        targets.chain(actor).chain(subject)
    };
    // That a piece is not there at all is told once, at the piece.
    if !question.denied()
        && !question.comment_cites_loosely()
        && relation != Relation::Forks
        && nouns().any(|noun| noun.square.is_some() && is_nowhere(question, noun))
    {
        return Answer::new(Verdict::Fails).on(&question.comment.scene.here);
    }
    if let Some(answer) = settle_check(question, relation, actor) {
        return answer;
    }
    // Who is named with a piece can be told to be wrong; the rest may be meant loosely.
    let acts = |noun: &Noun| noun.square.is_some();
    let named = actor.is_some() || subject.is_some_and(acts);
    let placed = nouns().next().is_some() && nouns().all(acts);
    let exact = targets
        .iter()
        .any(|target| matches!(target, Target::Piece(noun) if noun.role.is_some()));
    // "The rook on d1 is protected by the queen" is said of any queen.
    let now = question.speaks_of_now();
    let aimed = targets.iter().all(|target| match target {
        Target::Piece(noun) => noun.square.is_some() && noun.role.is_some(),
        Target::Square(_) => true,
    });
    let of_kind = now && aimed && actor.is_some_and(|noun| noun.role.is_some() && !noun.plural);
    let single = |noun: &Noun| {
        let place = question.place();
        place.is_some_and(|position| squares(position.board(), noun).count() == 1)
    };
    let whose =
        |noun: &Noun| noun.role.is_some() && (matches!(noun.owner, Owner::Side(_)) || single(noun));
    let named = named || now && aimed && subject.is_some_and(whose);
    let may_fail = match relation {
        Relation::Attacked | Relation::Defended if of_kind => true,
        Relation::Pins | Relation::Pinned | Relation::PinnedTo => exact,
        Relation::Attacks | Relation::Defends | Relation::Controls | Relation::Forks => named,
        Relation::Attacked | Relation::Defended | Relation::Hanging => placed && exact,
        // "Loose" is said of pieces that are defended badly, and a king is never defended.
        Relation::Loose => {
            let king = |noun: &Noun| noun.role == Some(Role::King);
            let loosely = question.claim.wording.has(Nuance::Loose) || nouns().any(king);
            placed && exact && !loosely
        }
        _ => false,
    };
    // What cannot be taken with profit may hang in the long run; what nothing attacks
    // does not.
    let weaker = match relation {
        Relation::Hanging => Relation::Attacked,
        other => other,
    };
    let attacked =
        |position: &Chess| relates(question, position, Relation::Attacked, actor, targets);
    let holds = |position: &Chess| relates_to(question, position, relation, actor, targets, true);
    let plausible = |position: &Chess| relates(question, position, relation, actor, targets);
    let answer = settle_statement(
        question,
        &Statement {
            holds: &holds,
            plausible: &plausible,
            may_be_denied: false,
            may_fail,
            told: &|here| {
                let actors = match (actor, subject) {
                    (None, None) => Bitboard::EMPTY,
                    _ => actors(question, here.board(), actor),
                };
                instead(here, relation, actors, targets)
            },
            soon: if relation == Relation::Hanging {
                Soon::If(&attacked)
            } else if placed && question.claim.tense == Tense::Present {
                Soon::ByCapture
            } else {
                Soon::ByAnyMove
            },
        },
    );
    // What a piece attacks through another is meant loosely.
    let loosely = |relation| {
        question
            .nearest()
            .any(|position| relates(question, position, relation, actor, targets))
    };
    if answer.verdict == Verdict::Fails
        && (weaker != relation && loosely(weaker)
            || matches!(
                relation,
                Relation::Attacks | Relation::Attacked | Relation::Controls
            ) && loosely(Relation::XRay))
    {
        return Answer::unsettled();
    }
    if answer.verdict == Verdict::Holds
        && !question.denied()
        && !is_done_by_the_move(question, relation, actor, targets)
    {
        return Answer::unsettled();
    }
    answer
}

/// Whether what a move is said to do is done by the piece that moved, or by one that it
/// opened a line for: "24.Qf6 protects the bishop". True where no move is said to do it.
fn is_done_by_the_move(
    question: &Question,
    relation: Relation,
    actor: Option<&Noun>,
    targets: &[Target],
) -> bool {
    let active = matches!(
        relation,
        Relation::Attacks | Relation::Forks | Relation::Defends | Relation::Controls
    );
    let steps: Vec<&Step> = match &question.claim.subject {
        Subject::Line => question
            .line()
            .into_iter()
            .flat_map(Resolved::ends)
            .collect(),
        Subject::ThisMove => question.comment.scene.played.iter().collect(),
        _ => return true,
    };
    if !active || actor.is_some() || steps.is_empty() {
        return true;
    }
    steps.into_iter().any(|step| {
        let (before, after) = (step.before.board(), step.after.board());
        let moved = step.mv.map(Move::to);
        let pieces = after.by_color(step.before.turn());
        pieces.into_iter().any(|from| {
            targets.iter().all(|target| {
                aims(after, target).into_iter().any(|to| {
                    works(after, relation, from, to)
                        && (moved == Some(from) || !works(before, relation, from, to))
                })
            })
        })
    })
}

/// Whether a relation is there in a position.
pub(super) fn relates(
    question: &Question,
    position: &Chess,
    relation: Relation,
    actor: Option<&Noun>,
    targets: &[Target],
) -> bool {
    relates_to(question, position, relation, actor, targets, false)
}

/// The same, `strictly` with as many pieces as are said.
fn relates_to(
    question: &Question,
    position: &Chess,
    relation: Relation,
    actor: Option<&Noun>,
    targets: &[Target],
    strictly: bool,
) -> bool {
    let board = position.board();
    // "The bishop is guarded by the queen": of several bishops the one that is meant.
    let passive = match relation {
        Relation::Attacked | Relation::Defended => actor.is_some(),
        Relation::Immune | Relation::Immobile => true,
        _ => false,
    };
    if let [target @ Target::Piece(noun)] = targets
        && strictly
        && passive
        && is_one_piece(target)
    {
        let meant = meant(question, position, target);
        let placed = |square: Square| {
            let noun = Noun {
                square: Some(square),
                ..*noun
            };
            let target = [Target::Piece(noun)];
            relates_to(question, position, relation, actor, &target, false)
        };
        return meant.any() && meant.into_iter().all(placed);
    }
    let each = |test: &dyn Fn(Square) -> bool| {
        !targets.is_empty()
            && targets
                .iter()
                .all(|target| aims(board, target).into_iter().any(test))
    };
    let several = [actor, acting_piece(question)]
        .into_iter()
        .flatten()
        .any(|noun| noun.plural);
    let by_one = |test: &dyn Fn(Square, Square) -> bool| {
        // "The knights control f6 and g7": each square is some knight's.
        let shared = several && targets.len() > 1 && {
            let actors = actors(question, board, actor);
            each(&|to| actors.into_iter().any(|from| test(from, to)))
        };
        shared
            || !targets.is_empty()
                && actors(question, board, actor).into_iter().any(|from| {
                    targets.iter().all(|target| {
                        let hit = aims(board, target).into_iter().filter(|&to| test(from, to));
                        hit.count() >= least(relation, target, strictly)
                    })
                })
    };
    let enemy = |square: Square| color(board, square).map(|color| !color);
    match relation {
        Relation::Forks if actor.is_none() && matches!(targets, [Target::Square(_)]) => {
            targets.iter().any(|target| match target {
                Target::Square(square) => forks_on(position, *square),
                Target::Piece(_) => false,
            })
        }
        // "Forks king and queen on f6": the knight stands there.
        Relation::Forks
            if let Some(Target::Piece(Noun {
                square: Some(on), ..
            })) = targets.last()
                && targets.len() > 1
                && facts::fork_targets(board, *on).any() =>
        {
            targets.iter().all(|target| match target {
                Target::Piece(noun) => {
                    let plain = Noun {
                        square: None,
                        ..*noun
                    };
                    (squares(board, &plain) & facts::attacked_pieces(board, *on)).any()
                }
                Target::Square(square) => facts::attacks(board, *on, *square),
            })
        }
        Relation::Attacks | Relation::Forks | Relation::Controls | Relation::Defends => {
            by_one(&|from, to| works(board, relation, from, to))
        }
        Relation::Attacked if actor.is_some() => {
            relates(question, position, Relation::Attacks, actor, targets)
        }
        Relation::Defended if actor.is_some() => {
            relates(question, position, Relation::Defends, actor, targets)
        }
        Relation::Attacked => each(&|square| {
            enemy(square).is_some_and(|enemy| facts::attackers(board, square, enemy).any())
        }),
        // Most pieces are defended, so that it says little of one of several.
        Relation::Defended if strictly && targets.iter().all(is_one_piece) => {
            targets.iter().all(|target| {
                let meant = meant(question, position, target);
                let mut squares = meant.into_iter();
                meant.any() && squares.all(|square| facts::defenders(board, square).any())
            })
        }
        Relation::Defended => each(&|square| {
            let own = color(board, square);
            facts::defenders(board, square).any()
                || own.is_none()
                    && board
                        .occupied()
                        .into_iter()
                        .any(|from| facts::attacks(board, from, square))
        }),
        Relation::Loose => each(&|square| facts::undefended(board, square)),
        Relation::Hanging => each(&|square| facts::hanging(board, square)),
        Relation::Trapped => each(&|square| {
            facts::trapped(board, square) && !is_held_by_check(position, square)
                || board.kings().contains(square) && facts::legal_targets(board, square).is_empty()
        }),
        Relation::Overloaded => each(&|square| facts::overloaded(board, square)),
        Relation::Pinned if strictly && actor.is_none() && targets.iter().all(is_one_piece) => {
            targets.iter().all(|target| {
                let meant = meant(question, position, target);
                let pinned = |square| pins(board).any(|pin| pin.pinned == square);
                meant.any() && meant.into_iter().all(pinned)
            })
        }
        Relation::Pinned => {
            let actors = actor.map(|noun| squares(board, noun));
            targets.first().is_some_and(|target| {
                let aims = aims(board, target);
                pins(board).any(|pin| {
                    aims.contains(pin.pinned)
                        && actors.is_none_or(|actors| actors.contains(pin.pinner))
                })
            })
        }
        Relation::PinnedTo => {
            let [target, behind] = targets else {
                return false;
            };
            let pinned = aims(board, target);
            let behind = aims(board, behind);
            let actors = actors(question, board, actor);
            let held = |by| {
                facts::x_rays(board, by).iter().any(|ray| {
                    pinned.contains(ray.through)
                        && behind.contains(ray.target)
                        && actors.contains(ray.slider)
                        && color(board, ray.through) == color(board, ray.target)
                        && color(board, ray.through) != Some(by)
                })
            };
            Color::ALL.into_iter().any(held)
        }
        Relation::Pins => {
            let actors = actors(question, board, actor);
            targets.first().is_some_and(|target| {
                let aims = aims(board, target);
                pins(board).any(|pin| actors.contains(pin.pinner) && aims.contains(pin.pinned))
            })
        }
        Relation::Skewers => {
            let wanted = targets
                .iter()
                .fold(Bitboard::EMPTY, |all, target| all | aims(board, target));
            let actors = actors(question, board, actor);
            Color::ALL.into_iter().any(|by| {
                facts::skewers(board, by).iter().any(|skewer| {
                    actors.contains(skewer.attacker)
                        && (wanted.contains(skewer.front) || wanted.contains(skewer.behind))
                })
            })
        }
        Relation::Checks => position.is_check() && may_be_in_check(question, position.turn()),
        Relation::DoubleCheck => facts::is_double_check(position),
        Relation::Immune => {
            each(&|square| facts::best_capture(board, square).is_none_or(|(_, value)| value < 0))
        }
        Relation::Immobile => each(&|square| facts::legal_targets(board, square).is_empty()),
        Relation::Blocks => by_one(&|from, to| blocks(board, from, to)),
        Relation::XRay => by_one(&|from, to| facts::x_ray_squares(board, from).contains(to)),
        Relation::DiscoveredAttack => false,
        Relation::DiscoveredCheck => false,
    }
}

/// Whether the piece on `from` does to what stands on `to` what is said: attacks or forks,
/// defends, or controls.
fn works(board: &Board, relation: Relation, from: Square, to: Square) -> bool {
    let own = color(board, to) == color(board, from);
    facts::attacks(board, from, to)
        && match relation {
            Relation::Attacks | Relation::Forks => !own,
            Relation::Defends => own || color(board, to).is_none(),
            _ => true,
        }
}

/// How many of the pieces that a target can mean must be met: a fork of the rooks takes
/// two of them, and "both rooks" are two.
fn least(relation: Relation, target: &Target, strictly: bool) -> usize {
    match target {
        Target::Piece(noun) if strictly && noun.plural => match noun.count {
            Some(count) => usize::from(count.max(1)),
            None if relation == Relation::Forks => 2,
            None => 1,
        },
        _ => 1,
    }
}

/// Whether the piece on `from` stands in the way of what is on `to`: in front of a pawn,
/// or where the moves of a rook, bishop or queen end. A square is blocked by what stands
/// on it.
fn blocks(board: &Board, from: Square, to: Square) -> bool {
    match board.piece_at(to) {
        Some(pawn) if pawn.role == Role::Pawn => {
            let ahead = pawn.color.fold_wb(8, -8);
            to.offset(ahead) == Some(from)
        }
        Some(_) => board.sliders().contains(to) && facts::attacks(board, to, from),
        None => from == to,
    }
}

/// Whether a piece forks from `square`, now or after a move of either side that brings it
/// there.
fn forks_on(position: &Chess, square: Square) -> bool {
    let forks = |board: &Board| facts::fork_targets(board, square).count() >= 2;
    if forks(position.board()) {
        return true;
    }
    whoever_moves(position).any(|position| {
        position.legal_moves().iter().any(|&m| {
            let after = played(&position, m);
            m.to() == square && forks(after.board())
        })
    })
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn what_a_piece_does_is_seen() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5",
            &[
                ("The bishop on c4 [attacks f7].", Holds),
                ("The bishop on c4 [attacks b6].", Fails),
                ("The knight on f3 [is pinned].", Fails),
            ],
        );
    }

    /// What a move may bring is not meant by what is plainly so now.
    #[test]
    fn what_is_said_of_now_is_judged_now() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "3r2k1/5ppp/8/8/1q6/8/1Q3PPP/3R2K1 w - - 0 1 | 1. h3",
            &[
                ("[The rook on d1 is protected by the queen].", Fails),
                ("[The rook on d8 is protected by the queen].", Fails),
                ("[The black queen attacks the pawn on f2].", Fails),
                ("[The black queen attacks the queen on b2].", Holds),
                (
                    "[The rook on d1 is attacked by the rook], and h6 may follow.",
                    Holds,
                ),
                (
                    "[The pawn on f2 is attacked by the rook], and Kf8 may follow.",
                    Fails,
                ),
                (
                    "If [the pawn on f2 is attacked by the queen], he defends it.",
                    Unsettled,
                ),
                ("Soon [the pawn on f2 is attacked by the queen].", Unsettled),
                (
                    "Perhaps [the pawn on f2 is attacked by the queen].",
                    Unsettled,
                ),
            ],
        );
    }
}
