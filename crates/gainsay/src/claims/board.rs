//! Statements that the board alone decides.

use gainsay_commentary::{ClaimKind, Noun, Nuance, Owner, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Board, Chess, Color, Position};

use super::{
    Pending,
    answer::{Answer, nothing},
    facts::squares,
    scene::REACH,
};
use crate::outcome::{At, Kind, Man, OnFile, PieceWhy, Side};

/// What is said without more speaks of the plies that are no further away: of 1,142
/// statements of annotators 1,081 were true within one ply.
pub(super) const NEAR: usize = 2;

/// Whether the noun's square or file, role and owner fit the board. `He` and `Other` fit
/// anyone.
fn stands(board: &Board, noun: &Noun) -> bool {
    let Some(square) = noun.square else {
        return noun.file.is_none() || !squares(board, noun).is_empty();
    };
    board.piece_at(square).is_some_and(|piece| {
        noun.role.is_none_or(|role| role == piece.role)
            && match noun.owner {
                Owner::Side(color) => color == piece.color,
                _ => true,
            }
    })
}

/// The sides whose something can be that has this owner.
pub(super) fn owners(owner: Owner) -> Vec<Color> {
    match owner {
        Owner::Side(color) => vec![color],
        _ => Color::ALL.to_vec(),
    }
}

impl Pending {
    /// Every position that a statement about the board can speak of: around the comment,
    /// in the lines it cites, in the lines beside it, and where it points.
    pub(super) fn within_reach(&self) -> impl Iterator<Item = &Chess> {
        let scene = &self.comment.scene;
        scene
            .around()
            .chain(self.cited_positions())
            .chain(&scene.beside)
            .chain(self.pointed_at())
    }

    /// The positions of the lines that the comment cites.
    pub(super) fn cited_positions(&self) -> impl Iterator<Item = &Chess> {
        self.comment.lines.iter().flat_map(|line| {
            let steps = line.readings.iter().chain(&line.renumbered).flatten();
            steps.flat_map(|step| [&step.before, &step.after])
        })
    }

    /// The positions that a statement about the board speaks of first: those that its
    /// sentence points at; or else the comment's, a few plies before and behind it, as the
    /// tense of the sentence bids, the cited lines, and the lines beside.
    pub(super) fn meant(&self) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let ahead = match self.claim.tense {
            Tense::Past | Tense::Present => NEAR,
            Tense::Future => REACH,
        };
        self.within(NEAR, ahead)
    }

    /// The positions of which a statement is confirmed: as above, but in the present only the
    /// comment's and the one before its move, since a ply later a file may be open that is not.
    /// What opens it is told ahead, and in the middle of an exchange its end is counted.
    pub(super) fn confirming(&self) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let played = self.comment.scene.played.as_ref();
        let exchanging = matches!(self.claim.kind, ClaimKind::Material(_))
            && played.is_some_and(|step| step.mv.is_some_and(|m| m.is_capture()));
        let opens = self.comment.scene.before().is_none();
        let ahead = opens || exchanging || self.claim.wording.has(Nuance::Becomes);
        match self.claim.tense {
            Tense::Present if !ahead => self.within(1, 0),
            _ => self.meant(),
        }
    }

    fn within(&self, back: usize, ahead: usize) -> Box<dyn Iterator<Item = &Chess> + '_> {
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

    /// "The knight on f6": a piece stands where it is said to stand.
    pub(super) fn settle_pieces(&self, noun: &Noun) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        let there = |position: &&Chess| stands(position.board(), noun);
        if let Some(position) = self.within_reach().find(there) {
            return Answer::new(Verdict::Holds).on(position);
        }
        // Somewhere else in the game it may be meant, or not.
        if self
            .comment
            .scene
            .tree
            .all()
            .any(|position| there(&position))
        {
            return Answer::unsettled();
        }
        let here = &self.comment.scene.here;
        // "A knight on d5: that is the dream."
        let vague = self.claim.wording.begins(Nuance::Any);
        if vague || self.comment_cites_loosely() {
            return Answer::unsettled();
        }
        let board = here.board();
        let file = match (noun.square, noun.file) {
            (Some(_), _) => None,
            (None, Some(file)) if noun.determined => Some(file),
            _ => return Answer::unsettled(),
        };
        let why = PieceWhy::NoSuchPiece {
            side: match noun.owner {
                Owner::Side(color) => Some(Side(color)),
                _ => None,
            },
            kind: noun.role.map(Kind),
            at: noun.square.map(At),
            file: file.map(OnFile),
            there: noun.square.and_then(|square| Man::on(board, square)),
        };
        Answer::refuted(why, here, nothing(here))
    }

    /// Whether no position that can be meant has this piece where it is said to stand.
    pub(super) fn is_nowhere(&self, noun: &Noun) -> bool {
        !self
            .within_reach()
            .chain(self.comment.scene.tree.all())
            .any(|position| stands(position.board(), noun))
    }

    /// Whether the comment holds a line that could not be played: the statement may
    /// speak of a position in it.
    pub(super) fn comment_cites_loosely(&self) -> bool {
        self.comment
            .lines
            .iter()
            .any(|line| line.readings.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::{Settings, check};

    #[test]
    fn what_the_next_capture_brings_is_not_so_yet() {
        for (game, verdict) in [
            ("1. e4 d5 {White is a pawn up.} 2. exd5", Verdict::Unsettled),
            ("1. e4 d5 2. exd5 {White is a pawn up.}", Verdict::Holds),
            (
                "1. e4 d5 {The e-file is half open.} 2. exd5",
                Verdict::Unsettled,
            ),
            (
                "1. e4 d5 {The next move opens the e-file.} 2. exd5 e5",
                Verdict::Unsettled,
            ),
            (
                "1. e4 d5 2. exd5 {The e-file is half open.}",
                Verdict::Holds,
            ),
        ] {
            let text = format!("{game} *");
            let report = check(text.as_bytes(), &Settings::default());
            let verdicts: Vec<Verdict> = report.claims.iter().map(|claim| claim.verdict).collect();
            assert_eq!(verdicts, [verdict], "{game}");
        }
    }
}
