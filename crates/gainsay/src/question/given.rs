//! Solutions as they are printed: a tree of moves from the position of an exercise.

use gainsay_commentary::{Context, Prose, Reader};
use shakmaty::{Chess, Move, Position};

use super::lines::resolve_lines;
use crate::{memory::Digest, scene::Scene, show};

/// A move of a printed solution.
#[derive(Clone, Debug)]
pub(crate) struct GivenMove {
    /// The position before it.
    pub(crate) before: Chess,
    pub(crate) mv: Move,
    pub(crate) after: Chess,
}

/// A printed solution: its moves in the order of the text, each once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Given {
    /// The number of the exercise.
    pub(crate) number: Option<u32>,
    pub(crate) moves: Vec<GivenMove>,
    /// Whether a line of it could not be played, so that moves are lost.
    pub(crate) lost: bool,
}

impl Given {
    /// The moves of a game from the position that its comment stands in.
    pub(crate) fn of_game(scene: &Scene) -> Self {
        let mut given = Self::default();
        for (before, mv, after) in scene.tree.moves_behind(scene.after) {
            given.add(before, mv, after);
        }
        given
    }

    /// The moves that prose gives from a position.
    pub(crate) fn of_prose(text: &[u8], position: &Chess, context: &Context) -> Self {
        let mut prose = Prose::default();
        Reader::new().read(text, context, &mut prose);
        let mut given = Self::default();
        for line in resolve_lines(&prose, &Scene::alone(position), None) {
            given.lost |= line.readings.is_empty();
            for step in line.readings.first().into_iter().flatten() {
                // A threat is shown behind a pass and answers no defence.
                if let Some(mv) = step.mv {
                    given.add(&step.before, mv, &step.after);
                }
            }
        }
        given
    }

    fn add(&mut self, before: &Chess, mv: Move, after: &Chess) {
        let known = (self.moves.iter()).any(|known| known.mv == mv && known.before == *before);
        if !known {
            self.moves.push(GivenMove {
                before: before.clone(),
                mv,
                after: after.clone(),
            });
        }
    }

    /// The moves that are given in a position, in the order of the text.
    pub(crate) fn at<'g>(&'g self, position: &'g Chess) -> impl Iterator<Item = &'g GivenMove> {
        self.moves
            .iter()
            .filter(move |given| given.before == *position)
    }

    /// The first line from a position: the main line.
    pub(crate) fn main_line(&self, position: &Chess) -> Vec<&GivenMove> {
        let mut line: Vec<&GivenMove> = Vec::new();
        let next = |here: &Chess| self.moves.iter().find(|given| given.before == *here);
        let mut here = next(position);
        // A position that comes again would go on for ever.
        while let Some(given) = here.filter(|_| line.len() < self.moves.len()) {
            line.push(given);
            here = next(&given.after);
        }
        line
    }

    /// Whether a line of it mates with this many plies from a position.
    pub(crate) fn mates_after(&self, position: &Chess, plies: usize) -> bool {
        let mut reached: Vec<(&Chess, usize)> = vec![(position, 0)];
        // A line stands behind the one that it leaves.
        for given in &self.moves {
            let before = reached.iter().find(|(here, _)| **here == given.before);
            let Some(depth) = before.map(|&(_, depth)| depth + 1) else {
                continue;
            };
            if depth == plies && given.after.is_checkmate() {
                return true;
            }
            reached.push((&given.after, depth));
        }
        false
    }

    /// A fingerprint.
    pub(crate) fn print(&self) -> Digest {
        let mut told = Vec::new();
        for given in &self.moves {
            told.extend_from_slice(show::fen(&given.before).as_bytes());
            told.extend_from_slice(format!(" {:?} ", given.mv).as_bytes());
        }
        told.push(u8::from(self.lost));
        told.extend_from_slice(format!("{:?}", self.number).as_bytes());
        Digest::of(&[b"given", &told])
    }
}
