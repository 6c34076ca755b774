//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{Noun, Nuance, Owner, Target, Tense, Traits};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square};

use super::{Pending, answer::Answer, told::Told};
use crate::played;

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

/// The colour of the piece on a square.
pub(super) fn color(board: &Board, square: Square) -> Option<Color> {
    board.color_at(square)
}

/// A statement that is true of a board or not.
pub(super) struct Statement<'a> {
    pub(super) holds: &'a dyn Fn(&Chess) -> bool,
    /// Whether an author may mean it in the widest sense of the words: it is false only
    /// where that is true nowhere.
    pub(super) plausible: &'a dyn Fn(&Chess) -> bool,
    /// Whether it can be called false; where it is too loose it cannot.
    pub(super) may_fail: bool,
    /// Whether its denial can be.
    pub(super) may_be_denied: bool,
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
    /// comment can speak of. It fails, where it may, only if it is true of none
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
        if !statement.may_fail || opens || self.comment_cites_loosely() {
            return Answer::unsettled();
        }
        if self.within_reach().any(plausible) || self.is_soon(plausible, statement.soon) {
            return Answer::unsettled();
        }
        (statement.told)(here).refutes(here)
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
        if !statement.may_be_denied || !plain || !always() {
            return Answer::unsettled();
        }
        (statement.told)(here).refutes(here)
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

/// Every pin on the board.
pub(super) fn pins(board: &Board) -> impl Iterator<Item = facts::Pin> {
    Color::ALL
        .into_iter()
        .flat_map(move |color| facts::pins(board, color))
}
