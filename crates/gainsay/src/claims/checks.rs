//! Checks: plain, double and discovered.

use gainsay_commentary::{At, Nuance, Relation, Subject};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Position, Role};

use super::{
    Pending,
    answer::{Answer, single},
    board::NEAR,
    facts::squares,
    scene::Step,
};
use crate::{
    outcome::{CheckKind, Man, PieceWhy, Side},
    pass,
};

impl Pending {
    /// Settles relations that a move makes and a position does not show: a double check, a
    /// discovered check or attack. They hold if a move near the comment makes them.
    /// `None` for other relations.
    pub(super) fn settle_check(&self, relation: Relation) -> Option<Answer> {
        if !matches!(
            relation,
            Relation::Checks
                | Relation::DoubleCheck
                | Relation::DiscoveredCheck
                | Relation::DiscoveredAttack
        ) {
            return None;
        }
        let makes = |step: &&Step| {
            step.mv.is_some_and(|m| match relation {
                Relation::Checks => {
                    step.after.is_check()
                        && self.may_be_in_check(step.after.turn())
                        && self.may_give_check(&step.after)
                }
                Relation::DoubleCheck => facts::gives_double_check(&step.before, m),
                Relation::DiscoveredCheck => facts::gives_discovered_check(&step.before, m),
                _ => !facts::discoveries(&step.before, m).is_empty(),
            })
        };
        let scene = &self.comment.scene;
        let cited = self
            .comment
            .lines
            .iter()
            .flat_map(|line| line.readings.iter().flatten());
        let near = scene
            .played
            .iter()
            .chain(scene.steps.iter().take(NEAR))
            .chain(cited);
        let found = near.into_iter().find(makes);
        if self.denied() {
            return Some(match (found, self.step_meant()) {
                (None, Some(step)) => Answer::new(Verdict::Holds).on(&step.after),
                _ => Answer::unsettled(),
            });
        }
        if let Some(step) = found {
            return Some(
                Answer::new(Verdict::Holds)
                    .on(&step.before)
                    .shown_by(step.shown()),
            );
        }
        let earlier = std::iter::once(&scene.here).chain(scene.back.iter().take(NEAR));
        let stood = |position: &Chess| match relation {
            Relation::Checks => {
                position.is_check()
                    && self.may_be_in_check(position.turn())
                    && self.may_give_check(position)
            }
            Relation::DoubleCheck => facts::is_double_check(position),
            _ => false,
        };
        if let Some(position) = earlier
            .chain(&scene.beside)
            .find(|position| stood(position))
        {
            return Some(Answer::new(Verdict::Holds).on(position));
        }
        Some(
            self.no_such_check(relation)
                .unwrap_or_else(Answer::unsettled),
        )
    }

    /// Whether the piece that is said to give check is one of those that do.
    fn may_give_check(&self, position: &Chess) -> bool {
        let Subject::Piece(noun) = self.claim.subject else {
            return true;
        };
        let gives = noun.role.is_some_and(|role| role != Role::King)
            && !self.claim.wording.has(Nuance::Within)
            && !self.claim.wording.begins(Nuance::With);
        !gives || (squares(position.board(), &noun) & position.checkers()).any()
    }

    /// The move of which a check is said: the last of the line it leans on, or the move that
    /// the comment stands behind.
    fn step_meant(&self) -> Option<&Step> {
        match self.claim.at {
            At::End(_) | At::Subject(_) => self.only_end(),
            At::Here => self.comment.scene.played.as_ref(),
            At::Shown(_) | At::Near(_) => None,
        }
    }

    /// The finding that a move does not give the check that is said of it. It must be said
    /// of the move: right behind its line, with "this", or with no other word.
    fn no_such_check(&self, relation: Relation) -> Option<Answer> {
        let check = match relation {
            Relation::Checks => CheckKind::Plain,
            Relation::DoubleCheck => CheckKind::Double,
            Relation::DiscoveredCheck => CheckKind::Discovered,
            _ => return None,
        };
        let of_the_move = match self.claim.at {
            At::End(_) | At::Subject(_) => self.claim.subject == Subject::Line,
            _ => self.claim.subject == Subject::ThisMove || self.is_all(),
        } && !self.claim.wording.begins(Nuance::With);
        let step = self.step_meant().filter(|_| of_the_move)?;
        let m = step.mv?;
        if self.comment_cites_loosely() || self.is_to_come(relation, &step.after) {
            return None;
        }
        let why = PieceWhy::NoSuchCheck {
            cited: single(&step.before, m),
            check,
            side: Side(step.after.turn()),
            by: Man::all(step.after.board(), step.after.checkers()),
        };
        Some(Answer::refuted(why, &step.after, step.shown()))
    }

    /// Whether the next move of either side gives such a double or discovered check.
    fn is_to_come(&self, relation: Relation, position: &Chess) -> bool {
        let sides = [Some(position.clone()), pass(position)];
        relation != Relation::Checks
            && sides.iter().flatten().any(|position| {
                position.legal_moves().into_iter().any(|m| match relation {
                    Relation::DoubleCheck => facts::gives_double_check(position, m),
                    _ => facts::gives_discovered_check(position, m),
                })
            })
    }
}
