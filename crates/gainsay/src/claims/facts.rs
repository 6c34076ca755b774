//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{Noun, Nuance, Owner, Relation, Subject, Target, Tense, Traits};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::{
    Pending,
    answer::Answer,
    scene::Step,
    told::{Told, instead},
};
use crate::{Rule, played, rules};

/// The pieces on the board that a noun can mean.
pub(super) fn squares(board: &Board, noun: &Noun) -> Bitboard {
    let mut found = match noun.role {
        Some(role) => board.by_role(role),
        None => board.occupied() & !board.by_role(Role::King) & !board.by_role(Role::Pawn),
    };
    if let Owner::Side(color) = noun.owner {
        found &= board.by_color(color);
    }
    if let Some(square) = noun.square {
        found &= Bitboard::from_square(square);
    }
    if let Some(file) = noun.file {
        found &= Bitboard::from_file(file);
    }
    if noun.traits.contains(Traits::LIGHT) {
        found &= Bitboard::LIGHT_SQUARES;
    }
    if noun.traits.contains(Traits::DARK) {
        found &= Bitboard::DARK_SQUARES;
    }
    found
}

/// The squares that a target can mean.
pub(super) fn aims(board: &Board, target: &Target) -> Bitboard {
    match target {
        Target::Piece(noun) => squares(board, noun),
        Target::Square(square) => Bitboard::from_square(*square),
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

/// The colour of the piece on a square.
fn color(board: &Board, square: Square) -> Option<Color> {
    board.color_at(square)
}

/// A statement that is true of a board or not.
pub(super) struct Statement<'a> {
    pub(super) holds: &'a dyn Fn(&Chess) -> bool,
    /// Whether an author may mean it in the widest sense of the words: it is false only
    /// where that is true nowhere.
    pub(super) plausible: &'a dyn Fn(&Chess) -> bool,
    /// The rule that is broken where it is false; `None` where it is too loose for that.
    pub(super) rule: Option<&'static Rule>,
    /// The rule that is broken where it is true though the author says that it is not.
    pub(super) denial: Option<&'static Rule>,
    /// What is true instead.
    pub(super) told: &'a dyn Fn(&Chess) -> Told,
    pub(super) soon: Soon<'a>,
}

/// By which moves a statement may become true that an author makes already.
#[derive(Clone, Copy)]
pub(super) enum Soon<'a> {
    ByAnyMove,
    /// The words are so exact that only the end of an exchange can be meant.
    ByCapture,
    /// Only what makes this true can be meant.
    If(&'a dyn Fn(&Chess) -> bool),
    Never,
}

impl Pending {
    /// Settles a statement about a board: it holds if it is true of a position that the
    /// comment can speak of. It fails, where it has a rule, only if it is true of none
    /// of them, nor after a move from the comment's position, and no line is lost.
    pub(super) fn settle_statement(&self, statement: &Statement<'_>) -> Answer {
        let holds = statement.holds;
        if self.denied() {
            // "No longer attacked", "lost the right": it was so before. What is just "not
            // attacked" may be meant of any position near.
            let of_now = |position: &Chess| {
                !(statement.plausible)(position)
                    && (self.claim.wording.has(Nuance::No)
                        || self.claim.wording.has(Nuance::Lost)
                        || !self.meant().any(holds))
            };
            return match self.nearest().next() {
                Some(position) if of_now(position) => Answer::new(Verdict::Holds).on(position),
                Some(position) if !holds(position) => Answer::unsettled(),
                _ => self.settle_denial(statement),
            };
        }
        // What is said of the end of a line that cannot be played is said of nothing.
        if self.line_is_lost() {
            return Answer::unsettled();
        }
        if let Some(position) = self.confirming().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        // What was so, or will be so, many moves away is neither confirmed nor denied.
        let scene = &self.comment.scene;
        let earlier = scene.tree.way_back(scene.after);
        let past = self.claim.tense == Tense::Past;
        let plausible = statement.plausible;
        if self.within_reach().any(holds) || past && earlier.into_iter().any(plausible) {
            return Answer::unsettled();
        }
        let here = &scene.here;
        // Before the first move a text speaks of the game to come.
        let opens = scene.before().is_none();
        if opens && let Some(position) = scene.tree.all().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let opens = opens && here.board() == Chess::default().board();
        let Some(rule) = statement
            .rule
            .filter(|_| !opens && !self.comment_cites_loosely())
        else {
            return Answer::unsettled();
        };
        if self.within_reach().any(plausible) || self.is_soon(plausible, statement.soon) {
            return Answer::unsettled();
        }
        let Told { words, shown } = (statement.told)(here);
        let message = format!("\"{}\": {words}.", self.text);
        self.refuted(rule, here, message, shown)
    }

    /// Settles the denial of a statement that is true of the comment's position: it fails
    /// if the statement is true all around, and the comment speaks of no other line.
    fn settle_denial(&self, statement: &Statement<'_>) -> Answer {
        let scene = &self.comment.scene;
        let here = &scene.here;
        let always = || {
            self.within_reach()
                .all(|position| (statement.holds)(position))
        };
        let plain = self.claim.tense == Tense::Present && self.comment.lines.is_empty();
        let Some(rule) = statement.denial.filter(|_| plain && always()) else {
            return Answer::unsettled();
        };
        let Told { words, shown } = (statement.told)(here);
        let message = format!("\"{}\": {words}.", self.text);
        self.refuted(rule, here, message, shown)
    }

    /// Whether a statement becomes true by a move of either side from the comment or from
    /// the end of the line it leans on.
    fn is_soon(&self, plausible: &dyn Fn(&Chess) -> bool, soon: Soon<'_>) -> bool {
        let holds = match soon {
            Soon::Never => return false,
            Soon::If(true_then) => true_then,
            Soon::ByAnyMove | Soon::ByCapture => plausible,
        };
        let lines = self.line().into_iter().flat_map(|line| &line.readings);
        let ends = lines
            .filter_map(|steps| steps.last())
            .map(|step| &step.after);
        let starts = ends.chain([&self.comment.scene.here]);
        starts.into_iter().any(|start| {
            let sides = [Some(start.clone()), crate::pass(start)];
            sides.iter().flatten().any(|position| {
                let moves = match soon {
                    Soon::ByCapture => position.capture_moves(),
                    _ => position.legal_moves(),
                };
                moves.iter().any(|&m| {
                    let after = played(position, m);
                    holds(&after)
                })
            })
        })
    }

    /// The positions that a comment speaks of first: the end of the line it leans on, its
    /// own, the one before.
    pub(super) fn nearest(&self) -> impl Iterator<Item = &Chess> {
        let line = self.line().into_iter().flat_map(|line| {
            line.readings
                .iter()
                .filter_map(|steps| steps.last())
                .map(|step| &step.after)
        });
        let scene = &self.comment.scene;
        line.chain(std::iter::once(&scene.here))
            .chain(scene.before())
    }

    // ---- pieces at work -------------------------------------------------------------

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
        let rule = match relation {
            Relation::Pins | Relation::Pinned | Relation::PinnedTo if exact => {
                Some(&rules::false_pin::RULE)
            }
            Relation::Attacks | Relation::Defends | Relation::Controls | Relation::Forks
                if named =>
            {
                Some(&rules::false_attack::RULE)
            }
            Relation::Attacked | Relation::Defended | Relation::Hanging if placed && exact => {
                Some(&rules::false_attack::RULE)
            }
            // "Loose" is said of pieces that are defended badly.
            Relation::Loose if placed && exact && !self.claim.wording.has(Nuance::Loose) => {
                Some(&rules::false_attack::RULE)
            }
            _ => None,
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
            denial: None,
            rule,
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
}

impl Pending {
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

/// Whether a piece has no moves only because its king is in check, while nothing attacks it.
pub(super) fn is_held_by_check(position: &Chess, square: Square) -> bool {
    let board = position.board();
    let turn = position.turn();
    position.is_check()
        && color(board, square) == Some(turn)
        && !board.kings().contains(square)
        && facts::attackers(board, square, !turn).is_empty()
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

/// Every pin on the board.
pub(super) fn pins(board: &Board) -> impl Iterator<Item = facts::Pin> {
    Color::ALL
        .into_iter()
        .flat_map(move |color| facts::pins(board, color))
}
