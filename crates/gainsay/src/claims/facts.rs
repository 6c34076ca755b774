//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{At, Goods, Material, Noun, Owner, Relation, Subject, Target, Traits};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square};

use super::{Pending, answer::Answer, scene::Step};
use crate::{Finding, Rule, rules, show};

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

    // ---- material -------------------------------------------------------------------

    /// The sides that a claim can be about.
    pub(super) fn sides(&self) -> Vec<Color> {
        match self.claim.subject {
            Subject::Side(color) => vec![color],
            _ => Color::ALL.to_vec(),
        }
    }

    /// Settles the balance of material.
    pub(super) fn settle_material(&self, material: Material) -> Answer {
        let sides = self.sides();
        let named = sides.len() == 1;
        let holds = |position: &Chess| {
            sides
                .iter()
                .any(|&side| balance_is(position.board(), side, material))
        };
        if let Some(answer) = self.material_at_the_end(&holds, named, &sides) {
            return answer;
        }
        // What is said of now is not confirmed by what was so many moves ago.
        let near = self.is_near(&holds);
        let answer = self.settle_statement(
            &holds,
            named.then_some(&rules::false_material::RULE),
            &|here| {
                let side = sides.first().copied().unwrap_or(Color::White);
                format!("\"{}\": {}.", self.text, told(here.board(), side))
            },
        );
        if answer.verdict == Verdict::Holds && !near && !self.denied() {
            return Answer::unsettled();
        }
        answer
    }

    /// "24.Rxd5 and White is a pawn up" speaks of the end of the line. It fails if it is not
    /// so there, nor after a capture or two of either side.
    fn material_at_the_end(
        &self,
        holds: &dyn Fn(&Chess) -> bool,
        named: bool,
        sides: &[Color],
    ) -> Option<Answer> {
        let At::End(_) = self.claim.at else {
            return None;
        };
        let line = self.line().filter(|line| !line.readings.is_empty())?;
        let ends: Vec<&Chess> = line
            .readings
            .iter()
            .filter_map(|steps| steps.last())
            .map(|step| &step.after)
            .collect();
        if let Some(end) = ends.iter().find(|end| holds(end)) {
            return Some(Answer::new(Verdict::Holds).on(end));
        }
        let end = ends
            .first()
            .filter(|_| named && !self.denied() && !line.shaky)?;
        let side = sides.first()?;
        if ends.iter().any(|end| after_captures(end, 2, holds)) || self.comment_cites_loosely() {
            return Some(Answer::unsettled());
        }
        let finding = Finding::new(
            &rules::false_material::RULE,
            self.place(),
            format!(
                "\"{}\": {} at the end of this line.",
                self.text,
                told(end.board(), *side).replacen("here ", "", 1)
            ),
        )
        .on(end);
        Some(
            Answer::new(Verdict::Fails)
                .on(end)
                .shown_by(show::fen(end))
                .found(finding),
        )
    }

    /// Whether something is true at the comment, two plies before or behind it, in a cited
    /// line, or beside it; before the first move, of any position of the game.
    fn is_near(&self, holds: &dyn Fn(&Chess) -> bool) -> bool {
        let scene = &self.comment.scene;
        let cited = self.comment.lines.iter().flat_map(|line| {
            let steps = line.readings.iter().chain(&line.renumbered).flatten();
            steps.flat_map(|step| [&step.before, &step.after])
        });
        let opens = scene.before().is_none();
        std::iter::once(&scene.here)
            .chain(scene.back.iter().take(2))
            .chain(scene.ahead.iter().take(2))
            .chain(&scene.beside)
            .chain(cited)
            .any(holds)
            || opens && scene.tree.all().any(holds)
    }
}

/// Whether something is true after at most `plies` captures, whoever begins.
fn after_captures(position: &Chess, plies: u32, holds: &dyn Fn(&Chess) -> bool) -> bool {
    let sides = [Some(position.clone()), crate::pass(position)];
    sides.iter().flatten().any(|position| {
        position.capture_moves().iter().any(|&m| {
            let mut after = position.clone();
            after.play_unchecked(m);
            holds(&after) || plies > 1 && after_captures(&after, plies - 1, holds)
        })
    })
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
        Material::For(own, other) => {
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
            let (Some(own), Some(other)) = (of(own), of(other)) else {
                return false;
            };
            (
                difference.pawns,
                difference.minors,
                difference.rooks,
                difference.queens,
            ) == (
                own.0 - other.0,
                own.1 - other.1,
                own.2 - other.2,
                own.3 - other.3,
            )
        }
    }
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

/// The balance of material in words.
fn told(board: &Board, side: Color) -> String {
    let difference = facts::difference(board, side);
    let mut words = Vec::new();
    for (count, name) in [
        (difference.queens, "queen"),
        (difference.rooks, "rook"),
        (difference.minors, "minor piece"),
        (difference.pawns, "pawn"),
    ] {
        if count != 0 {
            let plural = if count.abs() == 1 { "" } else { "s" };
            let sign = if count > 0 { "more" } else { "fewer" };
            words.push(format!("{} {name}{plural} {sign}", count.abs()));
        }
    }
    if words.is_empty() {
        "here both sides have the same pieces".to_owned()
    } else {
        format!(
            "here {} has {}",
            show::side(side),
            show::list(&words, "and")
        )
    }
}
