//! A whole text with what is known of it.

use gainsay_notation::SectionKind;

use crate::{game_facts::GameFacts, outline::Outline, pieces::Piece};

/// A whole text with what is known of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Whole<'t> {
    /// As its file has it.
    pub(crate) text: &'t [u8],
    /// As it is read; as long as `text`.
    pub(crate) view: &'t [u8],
    pub(crate) pieces: &'t [Piece],
    pub(crate) outline: &'t Outline,
}

impl Whole<'_> {
    /// All games in their order, each with the offset of its piece.
    pub(super) fn games(&self) -> impl Iterator<Item = (usize, &GameFacts)> {
        let pieces = self.pieces.iter();
        let games = pieces.filter(|piece| piece.kind == SectionKind::Games);
        games.flat_map(|piece| {
            let own = self.view.get(piece.range.clone()).unwrap_or_default();
            let games = piece.games.of(own).iter();
            games.map(|game| (piece.range.start, game))
        })
    }
}
