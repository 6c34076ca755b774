//! Another game of the book, as those see it that point at it.

use std::{ops::Range, sync::Arc};

use gainsay_commentary::Names;
use gainsay_notation::{ElementKind, GameResult};

use crate::{
    replay::View,
    scene::{Step, Tree},
};

/// A game as others see it.
#[derive(Debug)]
pub(crate) struct Other {
    /// "game 3 (Lind–Moreau)"
    pub(crate) title: String,
    /// The section of the book that it stands in.
    pub(crate) section: Range<usize>,
    pub(crate) tree: Arc<Tree>,
    /// Its main line.
    pub(crate) main: Vec<Step>,
    pub(crate) result: Option<GameResult>,
    pub(crate) names: Names,
    /// A fingerprint of its tags, moves and result.
    pub(crate) print: blake3::Hash,
}

impl Other {
    /// `None` where its first position is not known.
    pub(crate) fn of(
        view: &View<'_>,
        title: String,
        names: Names,
        section: Range<usize>,
    ) -> Option<Self> {
        let replay = view.replay;
        replay.start.position.as_ref()?;
        let mut main = Vec::new();
        for ply in replay.plies.iter().filter(|ply| ply.depth == 0) {
            let (Some(before), Some(after)) = (replay.before(ply), &ply.after) else {
                break;
            };
            main.push(Step {
                before: before.clone(),
                mv: ply.played,
                after: after.clone(),
            });
        }
        let mut hasher = blake3::Hasher::new();
        let tags = view.game.tags.iter().map(|tag| tag.span);
        let elements = view.game.elements.iter();
        let moves = elements.filter(|element| !matches!(element.kind, ElementKind::Comment { .. }));
        for span in tags.chain(moves.map(|element| element.span)) {
            hasher.update(span.of(view.text));
            hasher.update(b"\n");
        }
        Some(Self {
            title,
            section,
            tree: Arc::new(Tree::of(view)),
            main,
            result: view.ended(),
            names,
            print: hasher.finalize(),
        })
    }
}
