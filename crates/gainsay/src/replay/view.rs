//! What a rule sees of a game.

use std::borrow::Cow;

use gainsay_notation::{CommentKind, Element, ElementKind, Game, GameResult, Span, WrittenMove};

use shakmaty::Color;

use super::{
    language::written,
    parts::{Ply, Replay},
};
use crate::{line_end, marks::Marks, quote::quoted_move, show};

/// A game with its text and its moves played through: what rules look at.
///
/// ```
/// use gainsay::{Reading, Settings};
/// let text = b"1. e4 e5 2. Sg1-f3 *";
/// let reading = Reading::of(text, &Settings { language: Some(gainsay::Language::German), ..Settings::default() });
/// let view = reading.views(text).next().unwrap();
/// let ply = view.replay.ply(2).unwrap();
/// assert_eq!(view.name(ply), "2.Sg1-f3");
/// assert_eq!(view.san(ply).as_deref(), Some("Sf3"));
/// ```
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// The text that all spans are offsets into.
    pub text: &'a [u8],
    /// The game as read.
    pub game: &'a Game,
    /// The game as played through.
    pub replay: &'a Replay,
    /// Its number within the text, from 1.
    pub index: u32,
}

impl<'a> View<'a> {
    /// How a game ended, where its tag and its marker do not contradict each other.
    pub(crate) fn ended(&self) -> Option<GameResult> {
        let decided = |result: &GameResult| *result != GameResult::Unknown;
        let marker = self.replay.result.map(|(_, result)| result);
        let tag = self.game.tag(self.text, "Result").map(|tag| {
            let value = tag.value(self.text);
            let all = [
                GameResult::Win(Color::White),
                GameResult::Win(Color::Black),
                GameResult::Draw,
            ];
            let known = all
                .into_iter()
                .find(|result| result.as_str() == value.trim());
            known.unwrap_or(GameResult::Unknown)
        });
        match (marker.filter(decided), tag.filter(decided)) {
            (Some(marker), Some(tag)) => (marker == tag).then_some(marker),
            (one, other) => one.or(other),
        }
    }

    /// The element of this index.
    #[must_use]
    pub fn element(&self, at: u32) -> Option<&'a Element> {
        self.game.elements.get(at as usize)
    }

    /// The span of an element; empty where there is none.
    #[must_use]
    pub fn span(&self, at: u32) -> Span {
        self.element(at).map_or_else(Span::default, |e| e.span)
    }

    /// The words of a span.
    #[must_use]
    pub fn words(&self, span: Span) -> Cow<'a, str> {
        gainsay_notation::decode(span.of(self.text))
    }

    /// The move at a ply as written, in the letters of the game's language.
    #[must_use]
    pub fn written(&self, ply: &Ply) -> Option<WrittenMove> {
        written(self.text, self.element(ply.element)?, self.replay.language)
    }

    /// The line end of the game: the first in it or behind it, or else the last before it.
    #[must_use]
    pub fn line_end(&self) -> &'static str {
        let start = self.game.span.start as usize;
        let (before, behind) = self.text.split_at_checked(start).unwrap_or_default();
        line_end::first(behind)
            .or_else(|| line_end::last(before))
            .unwrap_or("\n")
    }

    /// The move at a ply in SAN, in the letters of the game; `None` where none is played.
    #[must_use]
    pub fn san(&self, ply: &Ply) -> Option<String> {
        let before = self.replay.before(ply)?;
        let san = show::san(before, ply.played?);
        Some(show::in_language(&san, self.replay.language))
    }

    /// Whether it is known beyond doubt which move is played at a ply: nothing was guessed
    /// on the way to it. Only then can rewriting it be safe.
    #[must_use]
    pub fn is_sure(&self, ply: &Ply) -> bool {
        let guessed = Marks::GUESSED | Marks::BEHIND_GUESS;
        self.is_told(ply) && !ply.marks.intersects(guessed)
    }

    /// The same where a move that is none may have been guessed on the way, since all that stands behind
    /// it fits one only.
    #[must_use]
    pub(crate) fn is_told(&self, ply: &Ply) -> bool {
        self.replay.sure && !ply.marks.intersects(Marks::DOUBT) && !self.is_behind_result(ply)
    }

    /// Whether it is certain how many moves stand before a ply in its line, so that its number can be
    /// corrected.
    #[must_use]
    pub(crate) fn is_counted(&self, ply: &Ply) -> bool {
        !ply.marks.contains(Marks::UNCOUNTED)
            && !self.is_behind_result(ply)
            && !self.hides_moves_before(ply)
    }

    /// Whether a comment up to the end of the line stands before a ply that begins with a number: the
    /// semicolon may only part moves.
    fn hides_moves_before(&self, ply: &Ply) -> bool {
        let at = ply.number.unwrap_or(ply.element);
        let before = at.checked_sub(1).and_then(|at| self.element(at));
        match before.map(|element| element.kind) {
            Some(ElementKind::Comment {
                kind: CommentKind::Line,
                body,
            }) => (body.of(self.text).trim_ascii_start())
                .first()
                .is_some_and(u8::is_ascii_digit),
            _ => false,
        }
    }

    /// Whether a ply stands behind the result of the game. Written in another way it may
    /// begin a game of its own.
    #[must_use]
    pub fn is_behind_result(&self, ply: &Ply) -> bool {
        self.replay.result.is_some_and(|(at, _)| at < ply.element)
    }

    /// A ply as written, with the number it should have: `24...Kh8`.
    #[must_use]
    pub fn name(&self, ply: &Ply) -> String {
        let dots = if ply.side() == Color::White {
            "."
        } else {
            "..."
        };
        format!(
            "{}{dots}{}",
            ply.move_number(),
            quoted_move(self.text, self.span(ply.element))
        )
    }
}
