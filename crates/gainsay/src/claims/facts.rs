//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{
    ClaimKind, Feature, Goods, Material, Noun, Owner, Relation, Subject, Target, Traits,
};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, CastlingSide, Chess, Color, Position, Role, Square};

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
    fn settle_statement(
        &self,
        holds: &dyn Fn(&Chess) -> bool,
        rule: Option<&'static Rule>,
        message: &dyn Fn(&Chess) -> String,
    ) -> Answer {
        if self.denied() {
            // A denial is confirmed only where nothing near contradicts it.
            return if self.nearest().any(holds) {
                Answer::unsettled()
            } else {
                Answer::new(Verdict::Holds).on(&self.comment.scene.here)
            };
        }
        if let Some(position) = self.within_reach().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let Some(rule) = rule.filter(|_| !self.comment_cites_loosely()) else {
            return Answer::unsettled();
        };
        let here = &self.comment.scene.here;
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
            Relation::Trapped => each(&|square| facts::trapped(board, square)),
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
            Relation::XRay
            | Relation::Blocks
            | Relation::DiscoveredCheck
            | Relation::DiscoveredAttack => false,
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
        self.settle_statement(
            &|position| {
                sides
                    .iter()
                    .any(|&side| balance_is(position.board(), side, material))
            },
            named.then_some(&rules::false_material::RULE),
            &|here| {
                let side = sides.first().copied().unwrap_or(Color::White);
                format!("\"{}\": {}.", self.text, told(here.board(), side))
            },
        )
    }

    // ---- structure ------------------------------------------------------------------

    /// Settles a feature of the structure.
    pub(super) fn settle_structure(&self, kind: &ClaimKind) -> Answer {
        let ClaimKind::Structure {
            feature,
            file,
            square,
            owner,
        } = kind
        else {
            return Answer::unsettled();
        };
        let sides = match owner {
            Owner::Side(color) => vec![*color],
            _ => Color::ALL.to_vec(),
        };
        let pawns = |all: Bitboard| {
            let mut all = all;
            if let Some(file) = file {
                all &= Bitboard::from_file(*file);
            }
            if let Some(square) = square {
                all &= Bitboard::from_square(*square);
            }
            all.any()
        };
        let holds = |position: &Chess| {
            let board = position.board();
            sides.iter().any(|&side| match feature {
                Feature::OpenFile => file.is_none_or(|file| {
                    facts::is_open(board, file) || facts::is_half_open(board, file, side)
                }),
                Feature::HalfOpenFile => file.is_none_or(|file| {
                    facts::is_open(board, file) || facts::is_half_open(board, file, side)
                }),
                Feature::PassedPawn => pawns(facts::passed_pawns(board, side)),
                Feature::ConnectedPassedPawns => {
                    pawns(facts::passed_pawns(board, side) & facts::connected_pawns(board, side))
                }
                Feature::IsolatedPawn => pawns(facts::isolated_pawns(board, side)),
                Feature::DoubledPawns => pawns(facts::doubled_pawns(board, side)),
                Feature::TripledPawns => shakmaty::File::ALL.into_iter().any(|file| {
                    let on_file = board.by_piece(Role::Pawn.of(side)) & Bitboard::from_file(file);
                    on_file.count() >= 3
                }),
                Feature::BackwardPawn => pawns(facts::backward_pawns(board, side)),
                Feature::QueensideMajority => {
                    facts::has_majority(board, side, facts::Wing::Queenside)
                }
                Feature::KingsideMajority => {
                    facts::has_majority(board, side, facts::Wing::Kingside)
                }
                Feature::RookOnSeventh => facts::on_seventh(board, side).any(),
                Feature::RooksOnSeventh => facts::on_seventh(board, side).count() >= 2,
                Feature::Outpost => {
                    square.is_none_or(|square| facts::outpost_square(board, side, square))
                }
                Feature::OppositeBishops => facts::opposite_bishops(board),
                Feature::SameBishops => {
                    let bishops = |color: Color| board.by_piece(Role::Bishop.of(color));
                    Color::ALL.iter().all(|&color| bishops(color).count() == 1)
                        && !facts::opposite_bishops(board)
                }
                Feature::BishopPair => facts::bishop_pair(board, side),
                Feature::CastlingRights => CastlingSide::ALL
                    .into_iter()
                    .any(|wing| facts::has_castling_right(position, side, wing)),
                Feature::Castled => board.king_of(side).is_some_and(|king| {
                    king.rank() == side.relative_rank(shakmaty::Rank::First)
                        && matches!(king, square if square.file() >= shakmaty::File::G
                            || square.file() <= shakmaty::File::C)
                }),
                Feature::EnPassant => position.legal_ep_square().is_some(),
                Feature::PromotionNext => position
                    .legal_moves()
                    .iter()
                    .any(|m| m.promotion().is_some()),
                Feature::QueensOff => board.queens().is_empty(),
                Feature::Ending(role) => {
                    let men = board.occupied() & !board.kings() & !board.pawns();
                    match role {
                        Some(Role::Pawn) | None => men.is_empty(),
                        Some(role) => men.any() && (men & !board.by_role(*role)).is_empty(),
                    }
                }
            })
        };
        // Authors differ on outposts, backward pawns, majorities and castled kings.
        let firm = matches!(
            feature,
            Feature::OpenFile
                | Feature::HalfOpenFile
                | Feature::PassedPawn
                | Feature::DoubledPawns
                | Feature::OppositeBishops
                | Feature::QueensOff
                | Feature::TripledPawns
        );
        self.settle_statement(
            &holds,
            firm.then_some(&rules::false_structure::RULE),
            &|_| format!("\"{}\" is not so here, nor within eight plies.", self.text),
        )
    }
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
