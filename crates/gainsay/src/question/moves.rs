//! Which moves and choices a judgement of a move can mean.

use gainsay_commentary::{At, ClaimKind, OnlyMove, Subject, Tense};
use shakmaty::{Chess, Move, Position};

use super::asked::Question;
use crate::scene::Step;

impl Question {
    /// The positions in which the move that is spoken of is made: before the move of the
    /// comment, at the comment, and along the line the claim leans on.
    pub(crate) fn choices(&self) -> Vec<Chess> {
        let scene = &self.comment.scene;
        // A glyph is said of the move that it stands behind.
        if self.is_glyph() {
            return scene.before().cloned().into_iter().collect();
        }
        let mut found: Vec<Chess> = Vec::new();
        if let Some(line) = self.line().filter(|_| self.names_its_move()) {
            let named = |steps: &&Vec<Step>| self.named_step(steps).is_some();
            let readings = line.readings.iter().filter(named);
            let steps = readings.flat_map(|steps| {
                // Of a line in front it may be the first move that is called so.
                let first = steps.first().filter(|_| self.follows_its_line());
                self.named_step(steps).into_iter().chain(first)
            });
            return steps.map(|step| step.before.clone()).collect();
        }
        // "Black has only one legal move", where Black is to move.
        if self.is_said_of_the_mover() {
            return vec![scene.here.clone()];
        }
        if let Some(line) = self.line() {
            for steps in &line.readings {
                found.extend(steps.iter().map(|step| step.before.clone()));
                found.extend(steps.last().map(|step| step.after.clone()));
            }
        }
        found.extend(scene.before().cloned());
        found.push(scene.here.clone());
        found.extend(scene.back.get(1).cloned());
        found.extend(scene.ahead.iter().take(2).cloned());
        found.extend(scene.beside.iter().take(2).cloned());
        if let Subject::Side(side) = self.claim.subject {
            found.retain(|position| position.turn() == side);
        }
        found
    }

    /// The positions in which the number of legal moves is told, if nothing else is said: in front
    /// of a move that is named, behind the line that leads there, or here.
    pub(crate) fn counted(&self) -> Vec<Chess> {
        let mut found = match self.line() {
            _ if matches!(self.claim.at, At::Shown(_)) => self.choices(),
            Some(line) => line.ends().map(|step| step.after.clone()).collect(),
            None if self.claim.tense == Tense::Present => vec![self.comment.scene.here.clone()],
            None => self.comment.scene.before().cloned().into_iter().collect(),
        };
        if let Subject::Side(side) = self.claim.subject {
            found.retain(|position| position.turn() == side);
        }
        found
    }

    /// Whether the claim speaks of the first move of its line: "the only reply is
    /// 24...Kg8", "24...Kg8 was the only move".
    pub(crate) fn names_its_move(&self) -> bool {
        match self.claim.at {
            At::Shown(_) => true,
            At::End(_) | At::Subject(_) => self.claim.subject == Subject::Line,
            _ => false,
        }
    }

    /// The move of the line that is said to be the only one: the first, or the last of
    /// "24.Nh6+ Kh8 is forced" and "24.Nh6+ Kh8 is the only legal move".
    pub(crate) fn named_step<'s>(&self, steps: &'s [Step]) -> Option<&'s Step> {
        let forced = matches!(self.claim.kind, ClaimKind::OnlyMove(OnlyMove::Forced));
        match self.claim.at {
            At::End(_) if forced && self.claim.subject == Subject::Line => steps.last(),
            _ if self.follows_its_line() => steps.last(),
            _ => steps.first(),
        }
    }

    /// Whether the words of the claim begin with a line of more than one move.
    pub(crate) fn follows_its_line(&self) -> bool {
        let index = self.claim.at.line().map(|index| index as usize);
        let line = index.and_then(|index| self.comment.prose.lines.get(index));
        line.is_some_and(|line| line.moves.len() > 1 && line.span.start <= self.claim.span.start)
    }

    /// Whether it is said now and without a line of the side that is to move at the comment.
    pub(crate) fn is_said_of_the_mover(&self) -> bool {
        self.claim.at == At::Here
            && self.claim.tense == Tense::Present
            && self.claim.subject == Subject::Side(self.comment.scene.here.turn())
            && matches!(
                self.claim.kind,
                ClaimKind::OnlyMove(OnlyMove::Legal | OnlyMove::Count(_))
            )
    }

    /// The moves that a judgement of a move can mean, the likeliest first: the line's
    /// first move, the move the comment stands behind, the move in front of it.
    pub(crate) fn moves_meant(&self) -> Vec<(Chess, Move)> {
        let scene = &self.comment.scene;
        if let Some(told_of) = self.moves_told_of() {
            let steps = told_of.into_iter();
            return steps
                .filter_map(|step| Some((step.before, step.mv?)))
                .collect();
        }
        let first = self
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| self.named_step(steps));
        first
            .into_iter()
            .chain(&scene.played)
            .chain(scene.steps.first())
            .filter_map(|step| Some((step.before.clone(), step.mv?)))
            .collect()
    }
}
