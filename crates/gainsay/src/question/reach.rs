//! Which positions a statement can speak of.

use gainsay_commentary::{At, ClaimKind, LineRole, Mate, Mood, Nuance, Subject, Tense};
use shakmaty::{Board, Chess, Color, Position};

use super::{asked::Question, lines::Resolved};
use crate::{
    outcome::Fault,
    scene::{REACH, Step},
};

/// What is said without more speaks of the plies that are no further away: of 1,142
/// statements of annotators 1,081 were true within one ply.
pub(crate) const NEAR: usize = 2;

/// The positions of a cited line, however it is played.
fn positions(line: &Resolved) -> impl Iterator<Item = &Chess> {
    line.steps().flat_map(|step| [&step.before, &step.after])
}

impl Question {
    /// Every position that a statement about the board can speak of: around the comment,
    /// in the lines it cites, in the lines beside it, and where it points.
    pub(crate) fn within_reach(&self) -> impl Iterator<Item = &Chess> {
        let scene = &self.comment.scene;
        scene
            .around()
            .chain(self.cited_positions())
            .chain(&scene.beside)
            .chain(self.pointed_at())
    }

    /// The positions of the lines that the comment cites.
    pub(crate) fn cited_positions(&self) -> impl Iterator<Item = &Chess> {
        self.comment.lines.iter().flat_map(positions)
    }

    /// The steps of the lines that the comment cites, as they are numbered.
    pub(crate) fn cited_steps(&self) -> impl Iterator<Item = &Step> + Clone {
        let lines = self.comment.lines.iter();
        lines.flat_map(|line| line.readings.iter().flatten())
    }

    /// Whether no move is known that it can tell of: its line is lost or only stands near, or
    /// another place is pointed at.
    pub(crate) fn is_of_no_move(&self) -> bool {
        self.line_is_lost() || self.pointer().is_some() || matches!(self.claim.at, At::Near(_))
    }

    /// The positions that a statement about the board speaks of first: those that its
    /// sentence points at; or else the comment's, a few plies before and behind it, as the
    /// tense of the sentence bids, the cited lines, and the lines beside.
    pub(crate) fn meant(&self) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let ahead = match self.claim.tense {
            Tense::Past | Tense::Present => NEAR,
            Tense::Future => REACH,
        };
        self.within(NEAR, ahead)
    }

    /// The positions of which a statement is confirmed: as above, but in the present only the
    /// comment's own, behind the move, and those of the line that the claim leans on: a ply
    /// earlier or later a piece may be pinned that is not.
    /// What opens it is told ahead, and in the middle of an exchange its end is counted.
    pub(crate) fn confirming(&self) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let played = self.comment.scene.played.as_ref();
        let exchanging = matches!(self.claim.kind, ClaimKind::Material(_))
            && played.is_some_and(|step| step.mv.is_some_and(|m| m.is_capture()));
        // Words in front of a game tell what comes in it; those beside a position speak of that.
        let scene = &self.comment.scene;
        let opens = scene.before().is_none() && scene.is_of_a_game();
        let ahead = opens || self.claim.wording.has(Nuance::Becomes);
        match self.claim.tense {
            Tense::Present if !ahead && exchanging => {
                let scene = &self.comment.scene;
                let takes = |step: &&Step| step.mv.is_some_and(|m| m.is_capture());
                let end = scene.steps.iter().take_while(takes).map(|step| &step.after);
                Box::new(self.now().chain(end))
            }
            Tense::Present if !ahead => self.now(),
            // What will be so is not what was so before the move.
            Tense::Future => {
                let ahead = self.comment.scene.ahead.iter().take(NEAR);
                Box::new(self.now().chain(ahead))
            }
            _ => self.meant(),
        }
    }

    /// The positions that the present speaks of: the comment's own, and the end of the line
    /// that the claim leans on, alone where it goes on from there; where a line shows it, any
    /// of the line's.
    fn now(&self) -> Box<dyn Iterator<Item = &Chess> + '_> {
        if let Some(places) = self.told_of() {
            return Box::new(places.into_iter());
        }
        let here = std::iter::once(&self.comment.scene.here);
        let here = here.filter(|_| !self.goes_on_from_its_line());
        let shown = matches!(self.claim.at, At::Shown(_));
        let along = self.line().into_iter().filter(move |_| shown);
        let along = along.flat_map(positions);
        Box::new(
            here.chain(self.line_ends())
                .chain(along)
                .chain(self.pointed_at()),
        )
    }

    /// The lines that the claim's sentence cites, or the one in front of it.
    pub(crate) fn own_lines(&self) -> impl Iterator<Item = &Resolved> {
        let lines = self.comment.prose.lines.iter().zip(&self.comment.lines);
        let own = self.claim.sentence;
        lines.filter_map(move |(line, resolved)| {
            let near = line.sentence == own || line.sentence + 1 == own;
            near.then_some(resolved)
        })
    }

    pub(crate) fn within(
        &self,
        back: usize,
        ahead: usize,
    ) -> Box<dyn Iterator<Item = &Chess> + '_> {
        if let Some(places) = self.told_of() {
            return Box::new(places.into_iter());
        }
        let scene = &self.comment.scene;
        Box::new(
            std::iter::once(&scene.here)
                .chain(scene.back.iter().take(back))
                .chain(scene.ahead.iter().take(ahead))
                .chain(&scene.beside)
                .chain(self.cited_positions())
                .chain(self.pointed_at()),
        )
    }

    /// Whether the comment holds a line that could not be played: the statement may
    /// speak of a position in it.
    pub(crate) fn comment_cites_loosely(&self) -> bool {
        self.comment
            .lines
            .iter()
            .any(|line| line.readings.is_empty())
    }

    /// The positions that a comment speaks of first: the end of the line it leans on, its
    /// own, the one before.
    pub(crate) fn nearest(&self) -> impl Iterator<Item = &Chess> {
        let scene = &self.comment.scene;
        self.line_ends()
            .chain(std::iter::once(&scene.here))
            .chain(scene.before())
    }

    /// Where the line that the claim leans on ends, in every way to play it.
    pub(crate) fn line_ends(&self) -> impl Iterator<Item = &Chess> {
        let ends = self.line().into_iter().flat_map(Resolved::ends);
        ends.map(|step| &step.after)
    }

    /// The last step of the line that the claim leans on, where the line can be played in
    /// one way only.
    pub(crate) fn only_end(&self) -> Option<&Step> {
        let [steps] = self.line()?.readings.as_slice() else {
            return None;
        };
        steps.last()
    }

    /// The sides that a claim can be about.
    pub(crate) fn sides(&self) -> Vec<Color> {
        match self.claim.subject {
            Subject::Side(color) => vec![color],
            _ => Color::ALL.to_vec(),
        }
    }

    /// The side that the claim says mates, where it says so.
    pub(crate) fn winner(&self) -> Option<Color> {
        match self.claim.subject {
            Subject::Side(color) => Some(color),
            _ => None,
        }
    }

    /// The fault with `right` in the place of the number that the claim says, as the author would
    /// write it.
    pub(crate) fn recounted(&self, fault: Fault, right: u32) -> Fault {
        let number = self.claim.number.as_ref();
        match number.and_then(|number| number.rewritten(right)) {
            Some(edits) => fault.or_all(
                edits
                    .into_iter()
                    .map(|(span, text)| (span.start..span.end, text)),
            ),
            None => fault,
        }
    }

    /// Whether a number of moves is told at the beginning of the comment, or by the rubric of
    /// an exercise, so that no move but those of the game has come before.
    pub(crate) fn counts_from_here(&self) -> bool {
        match self.claim.kind {
            ClaimKind::Stipulation(_) => true,
            ClaimKind::Mate(Mate::In { .. } | Mate::Next) => {
                self.claim.at == At::Here && self.claim.sentence == 0 && !self.claim.joined
            }
            _ => false,
        }
    }

    /// The one position that its words speak of: in the present, that behind the move of the
    /// comment, or the end of the line that the claim stands behind.
    pub(crate) fn place(&self) -> Option<&Chess> {
        let scene = &self.comment.scene;
        if self.claim.tense != Tense::Present || self.claim.wording.has(Nuance::Told) {
            return None;
        }
        match self.claim.at {
            // In front of the first move the game to come may be meant.
            At::Here if scene.before().is_none() && scene.here.board() == &Board::default() => None,
            At::Here => Some(&scene.here),
            At::End(_) => self.only_end().map(|step| &step.after),
            // "24.Nf6+ forks king and queen": a line in front, which is its subject.
            At::Shown(_)
                if self.claim.subject == Subject::Line && self.stands_behind_its_line() =>
            {
                self.only_end().map(|step| &step.after)
            }
            _ => None,
        }
    }

    /// Whether it is said of the one position of [`Self::place`], so plainly that none that a move
    /// may bring can be meant.
    pub(crate) fn speaks_of_now(&self) -> bool {
        let claim = &self.claim;
        // "After 24.Qg7 it would be mate" is said of that position as much as "it is mate".
        let stated = claim.mood == Mood::Stated
            || claim.mood == Mood::Conditional && matches!(claim.at, At::End(_));
        self.place().is_some()
            && stated
            && claim.closed
            && claim.asserted
            && !claim.wording.has(Nuance::Becomes)
            && !self.line_is_lost()
            && self.pointer().is_none()
    }

    /// Whether `place` is the comment's position, or else the claim goes on from its line.
    pub(crate) fn speaks_of_one(&self, place: &Chess) -> bool {
        let threat = self.cited_line().map(|line| line.role) == Some(LineRole::Threat);
        *place == self.comment.scene.here || self.goes_on_from_its_line() && !threat
    }

    /// Whether the line that the claim leans on ends in front of it.
    fn stands_behind_its_line(&self) -> bool {
        self.cited_line()
            .is_some_and(|line| line.span.end <= self.claim.span.start)
    }

    /// Whether something is true behind a move that the comment cites in front of the claim, which
    /// may speak of it all the same; a line that cannot be played may lead anywhere.
    pub(crate) fn may_speak_of_line(&self, holds: &dyn Fn(&Chess) -> bool) -> bool {
        let lines = self.comment.prose.lines.iter();
        let mut lines = lines.zip(&self.comment.lines);
        let fits = |resolved: &Resolved| {
            let mut steps = resolved.readings.iter().flatten();
            steps.any(|step| holds(&step.after))
        };
        self.comment_cites_loosely()
            || lines
                .any(|(line, resolved)| line.span.start < self.claim.span.start && fits(resolved))
    }

    /// Whether it is said of the end of a line with which its clause begins, and of nothing
    /// else: "after 24.Kf1 Black mates in one".
    pub(crate) fn goes_on_from_its_line(&self) -> bool {
        if !matches!(self.claim.at, At::End(_)) {
            return false;
        }
        let premise = self.cited_line().is_some_and(|line| line.premise);
        (premise || self.claim.attached) && !self.line_is_lost()
    }

    /// Whether the claim is said behind a line whose end could not be read.
    pub(crate) fn leans_on_cut_line(&self) -> bool {
        let behind = matches!(self.claim.at, At::End(_) | At::Subject(_) | At::Near(_));
        behind && self.line().is_some_and(|line| line.cut)
    }

    /// Whether the claim leans on a line that cannot be played.
    pub(crate) fn line_is_lost(&self) -> bool {
        self.line().is_some_and(|line| line.readings.is_empty())
    }
}
