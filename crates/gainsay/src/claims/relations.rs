//! Pieces at work: what attacks, defends, pins or checks what.

use gainsay_commentary::{Noun, Nuance, Owner, Relation, Subject, Target, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::facts::{Soon, Statement, aims, color, is_held_by_check, pins, squares};
use super::{Pending, answer::Answer, scene::Step, told::instead};
use crate::played;

impl Pending {
    /// The pieces that can be the one who acts: the noun that is named, or else the piece
    /// that moved last, or any piece of the side.
    fn actors(&self, board: &Board, actor: Option<&Noun>) -> Bitboard {
        if let Some(noun) = actor {
            return squares(board, noun);
        }
        match &self.claim.subject {
            Subject::Piece(noun) => squares(board, noun),
            Subject::Side(color) => board.by_color(*color),
            _ => board.occupied(),
        }
    }

    /// Settles "attacks", "defends", "is pinned" and their like.
    pub(super) fn settle_relation(
        &self,
        relation: Relation,
        actor: Option<&Noun>,
        targets: &[Target],
    ) -> Answer {
        let subject = match &self.claim.subject {
            Subject::Piece(noun) => Some(noun),
            _ => None,
        };
        let nouns = || {
            let targets = targets.iter().filter_map(|target| match target {
                Target::Piece(noun) => Some(noun),
                Target::Square(_) => None,
            });
            targets.chain(actor).chain(subject)
        };
        // That a piece is not there at all is told once, at the piece.
        if !self.denied()
            && !self.comment_cites_loosely()
            && relation != Relation::Forks
            && nouns().any(|noun| noun.square.is_some() && self.is_nowhere(noun))
        {
            return Answer::new(Verdict::Fails).on(&self.comment.scene.here);
        }
        if let Some(answer) = self.settle_check(relation) {
            return answer;
        }
        // Who is named with a piece can be told to be wrong; the rest may be meant loosely.
        let acts = |noun: &Noun| noun.square.is_some();
        let named = actor.is_some() || subject.is_some_and(acts);
        let placed = nouns().next().is_some() && nouns().all(acts);
        let exact = targets
            .iter()
            .any(|target| matches!(target, Target::Piece(noun) if noun.role.is_some()));
        let may_fail = match relation {
            Relation::Pins | Relation::Pinned | Relation::PinnedTo => exact,
            Relation::Attacks | Relation::Defends | Relation::Controls | Relation::Forks => named,
            Relation::Attacked | Relation::Defended | Relation::Hanging => placed && exact,
            // "Loose" is said of pieces that are defended badly.
            Relation::Loose => placed && exact && !self.claim.wording.has(Nuance::Loose),
            _ => false,
        };
        // What cannot be taken with profit may hang in the long run; what nothing attacks
        // does not.
        let weaker = match relation {
            Relation::Hanging => Relation::Attacked,
            other => other,
        };
        let attacked =
            |position: &Chess| self.relates(position, Relation::Attacked, actor, targets);
        let holds = |position: &Chess| self.relates_to(position, relation, actor, targets, true);
        let plausible = |position: &Chess| self.relates(position, relation, actor, targets);
        let answer = self.settle_statement(&Statement {
            holds: &holds,
            plausible: &plausible,
            may_be_denied: false,
            may_fail,
            told: &|here| {
                let actors = match (actor, subject) {
                    (None, None) => Bitboard::EMPTY,
                    _ => self.actors(here.board(), actor),
                };
                instead(here, relation, actors, targets)
            },
            soon: if relation == Relation::Hanging {
                Soon::If(&attacked)
            } else if placed && self.claim.tense == Tense::Present {
                Soon::ByCapture
            } else {
                Soon::ByAnyMove
            },
        });
        // What a piece attacks through another is meant loosely.
        let loosely = |relation| {
            self.nearest()
                .any(|position| self.relates(position, relation, actor, targets))
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
            && !self.denied()
            && !self.is_done_by_the_move(relation, actor, targets)
        {
            return Answer::unsettled();
        }
        answer
    }

    /// Whether what a move is said to do is done by the piece that moved, or by one that it
    /// opened a line for: "24.Qf6 protects the bishop". True where no move is said to do it.
    fn is_done_by_the_move(
        &self,
        relation: Relation,
        actor: Option<&Noun>,
        targets: &[Target],
    ) -> bool {
        let active = matches!(
            relation,
            Relation::Attacks | Relation::Forks | Relation::Defends | Relation::Controls
        );
        let steps: Vec<&Step> = match &self.claim.subject {
            Subject::Line => self
                .line()
                .into_iter()
                .flat_map(|line| line.readings.iter().filter_map(|steps| steps.last()))
                .collect(),
            Subject::ThisMove => self.comment.scene.played.iter().collect(),
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
        &self,
        position: &Chess,
        relation: Relation,
        actor: Option<&Noun>,
        targets: &[Target],
    ) -> bool {
        self.relates_to(position, relation, actor, targets, false)
    }

    /// The same, `strictly` with as many pieces as are said.
    fn relates_to(
        &self,
        position: &Chess,
        relation: Relation,
        actor: Option<&Noun>,
        targets: &[Target],
        strictly: bool,
    ) -> bool {
        let board = position.board();
        let each = |test: &dyn Fn(Square) -> bool| {
            !targets.is_empty()
                && targets
                    .iter()
                    .all(|target| aims(board, target).into_iter().any(test))
        };
        let by_one = |test: &dyn Fn(Square, Square) -> bool| {
            !targets.is_empty()
                && self.actors(board, actor).into_iter().any(|from| {
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
                self.relates(position, Relation::Attacks, actor, targets)
            }
            Relation::Defended if actor.is_some() => {
                self.relates(position, Relation::Defends, actor, targets)
            }
            Relation::Attacked => each(&|square| {
                enemy(square).is_some_and(|enemy| facts::attackers(board, square, enemy).any())
            }),
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
                    || board.kings().contains(square)
                        && facts::legal_targets(board, square).is_empty()
            }),
            Relation::Overloaded => each(&|square| facts::overloaded(board, square)),
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
                let actors = self.actors(board, actor);
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
                let actors = self.actors(board, actor);
                targets.first().is_some_and(|target| {
                    let aims = aims(board, target);
                    pins(board).any(|pin| actors.contains(pin.pinner) && aims.contains(pin.pinned))
                })
            }
            Relation::Skewers => {
                let wanted = targets
                    .iter()
                    .fold(Bitboard::EMPTY, |all, target| all | aims(board, target));
                let actors = self.actors(board, actor);
                Color::ALL.into_iter().any(|by| {
                    facts::skewers(board, by).iter().any(|skewer| {
                        actors.contains(skewer.attacker)
                            && (wanted.contains(skewer.front) || wanted.contains(skewer.behind))
                    })
                })
            }
            Relation::Checks => position.is_check() && self.may_be_in_check(position.turn()),
            Relation::DoubleCheck => facts::is_double_check(position),
            Relation::Immune => each(&|square| {
                facts::best_capture(board, square).is_none_or(|(_, value)| value < 0)
            }),
            Relation::Immobile => each(&|square| facts::legal_targets(board, square).is_empty()),
            Relation::Blocks => by_one(&|from, to| blocks(board, from, to)),
            Relation::XRay => by_one(&|from, to| facts::x_ray_squares(board, from).contains(to)),
            Relation::DiscoveredAttack => false,
            Relation::DiscoveredCheck => false,
        }
    }

    /// Whether the words can say of `side` that it is in check.
    pub(super) fn may_be_in_check(&self, side: Color) -> bool {
        let said = match self.claim.subject {
            Subject::Side(said) => Some(said),
            Subject::Piece(noun) => match noun.owner {
                Owner::Side(said) if noun.role == Some(Role::King) => Some(said),
                _ => None,
            },
            _ => None,
        };
        let Some(said) = said else {
            return true;
        };
        let in_check = self.claim.wording.has(Nuance::Within);
        matches!(self.claim.subject, Subject::Side(_)) && !in_check || said == side
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
    let sides = [Some(position.clone()), crate::pass(position)];
    sides.iter().flatten().any(|position| {
        position.legal_moves().iter().any(|&m| {
            let after = played(position, m);
            m.to() == square && forks(after.board())
        })
    })
}
