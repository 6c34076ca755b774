//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{Noun, Owner, Relation, Subject, Target, Traits};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square};

use super::{Pending, answer::Answer, scene::Step};
use crate::{Finding, Rule, rules};

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
fn aims(board: &Board, target: &Target) -> Bitboard {
    match target {
        Target::Piece(noun) => squares(board, noun),
        Target::Square(square) => Bitboard::from_square(*square),
    }
}

/// The colour of the piece on a square.
fn color(board: &Board, square: Square) -> Option<Color> {
    board.color_at(square)
}

impl Pending {
    /// Settles a statement about a board: it holds if it is true of a position that the
    /// comment can speak of. It fails, where `rule` is given, only if it is true of none
    /// of them, nor after any move from the comment's position, and no line is lost.
    pub(super) fn settle_statement(
        &self,
        holds: &dyn Fn(&Chess) -> bool,
        rule: Option<&'static Rule>,
        message: &dyn Fn(&Chess) -> String,
    ) -> Answer {
        if self.denied() {
            return match self.nearest().next() {
                Some(position) if !holds(position) => Answer::new(Verdict::Holds).on(position),
                _ => Answer::unsettled(),
            };
        }
        // What is said of the end of a line that cannot be played is said of nothing.
        if self.line_is_lost() {
            return Answer::unsettled();
        }
        if let Some(position) = self.within_reach().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let scene = &self.comment.scene;
        let here = &scene.here;
        // Before the first move a text speaks of the game to come.
        let opens = scene.before().is_none();
        if opens && let Some(position) = scene.tree.all().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let opens = opens && here.board() == Chess::default().board();
        let Some(rule) = rule.filter(|_| !opens && !self.comment_cites_loosely()) else {
            return Answer::unsettled();
        };
        let sides = [Some(here.clone()), self.comment.scene.passed()];
        let soon = sides.iter().flatten().any(|position| {
            position.legal_moves().iter().any(|&m| {
                let mut after = position.clone();
                after.play_unchecked(m);
                holds(&after)
            })
        });
        if soon {
            return Answer::unsettled();
        }
        let finding = Finding::new(rule, self.place(), message(here)).on(here);
        Answer::new(Verdict::Fails).on(here).found(finding)
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
        // Who is named with a piece can be told to be wrong; the rest may be meant loosely.
        let named = actor.is_some()
            || matches!(&self.claim.subject, Subject::Piece(noun) if noun.square.is_some());
        let exact = targets
            .iter()
            .any(|target| matches!(target, Target::Piece(noun) if noun.role.is_some()));
        let rule = match relation {
            Relation::Pins | Relation::Pinned if exact => Some(&rules::false_pin::RULE),
            Relation::Attacks | Relation::Defends | Relation::Controls | Relation::Forks
                if named =>
            {
                Some(&rules::false_attack::RULE)
            }
            _ => None,
        };
        let answer = self.settle_statement(
            &|position| self.relates(position, relation, actor, targets),
            rule,
            &|_| self.denial_of(relation),
        );
        if answer.verdict != Verdict::Holds && self.moves_relate(relation) {
            return Answer::new(Verdict::Holds);
        }
        // What a piece attacks through another is meant loosely.
        if answer.verdict == Verdict::Fails
            && matches!(relation, Relation::Attacks | Relation::Controls)
            && self
                .nearest()
                .any(|position| self.relates(position, Relation::XRay, actor, targets))
        {
            return Answer::unsettled();
        }
        // That a piece is not there at all is told once, at the piece.
        let subject = match &self.claim.subject {
            Subject::Piece(noun) => Some(noun),
            _ => None,
        };
        let nouns = targets.iter().filter_map(|target| match target {
            Target::Piece(noun) => Some(noun),
            Target::Square(_) => None,
        });
        let mut answer = answer;
        if nouns
            .chain(actor)
            .chain(subject)
            .any(|noun| self.is_nowhere(noun))
        {
            answer.findings.clear();
        }
        answer
    }

    fn denial_of(&self, relation: Relation) -> String {
        let what = match relation {
            Relation::Pins | Relation::Pinned => "no such pin is on the board",
            Relation::Defends => "no such piece defends that",
            Relation::Forks => "no such piece attacks all of these",
            _ => "no such piece attacks that",
        };
        format!("\"{}\": {what}, here or within eight plies.", self.text)
    }

    fn relates(
        &self,
        position: &Chess,
        relation: Relation,
        actor: Option<&Noun>,
        targets: &[Target],
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
                    targets
                        .iter()
                        .all(|target| aims(board, target).into_iter().any(|to| test(from, to)))
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
            Relation::Attacks | Relation::Forks => by_one(&|from, to| {
                facts::attacks(board, from, to) && color(board, to) != color(board, from)
            }),
            Relation::Controls => by_one(&|from, to| facts::attacks(board, from, to)),
            Relation::Defends => by_one(&|from, to| {
                facts::attacks(board, from, to)
                    && enemy(to).is_none_or(|enemy| Some(enemy) != color(board, from))
            }),
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
                facts::trapped(board, square)
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
                Color::ALL.into_iter().any(|by| {
                    facts::skewers(board, by).iter().any(|skewer| {
                        wanted.contains(skewer.front) || wanted.contains(skewer.behind)
                    })
                })
            }
            Relation::Checks => position.is_check(),
            Relation::DoubleCheck => facts::is_double_check(position),
            Relation::Immune => each(&|square| {
                facts::best_capture(board, square).is_none_or(|(_, value)| value < 0)
            }),
            Relation::Immobile => each(&|square| facts::legal_targets(board, square).is_empty()),
            Relation::Blocks => by_one(&|from, to| blocks(board, from, to)),
            Relation::XRay => by_one(&|from, to| facts::x_ray_squares(board, from).contains(to)),
            Relation::DiscoveredCheck | Relation::DiscoveredAttack => false,
        }
    }

    /// Relations that a move makes and a position does not show.
    fn moves_relate(&self, relation: Relation) -> bool {
        let made = |step: &Step| {
            step.mv.is_some_and(|m| match relation {
                Relation::DiscoveredCheck => facts::gives_discovered_check(&step.before, m),
                Relation::DiscoveredAttack => !facts::discoveries(&step.before, m).is_empty(),
                Relation::DoubleCheck => facts::gives_double_check(&step.before, m),
                _ => false,
            })
        };
        let scene = &self.comment.scene;
        let cited = self
            .comment
            .lines
            .iter()
            .flat_map(|line| line.readings.iter().flatten());
        !self.denied() && (scene.steps.iter().any(made) || cited.into_iter().any(made))
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
            let mut after = position.clone();
            after.play_unchecked(m);
            m.to() == square && forks(after.board())
        })
    })
}

/// Every pin on the board.
fn pins(board: &Board) -> impl Iterator<Item = facts::Pin> {
    Color::ALL
        .into_iter()
        .flat_map(move |color| facts::pins(board, color))
}
