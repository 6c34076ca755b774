//! Playing through a game: every move of every line gets its position.

mod choice;
mod home;
mod language;
mod numbers;
mod parts;
mod start;
mod view;

use choice::{Chosen, chosen};
use gainsay_notation::{
    ElementKind, FaultKind, Game, Language, MoveNumber, Oddities, Span, WrittenMove,
};
use language::{may_be_a_piece, may_be_foreign, written};
pub(crate) use numbers::by_one;
use numbers::{NUMBERING, TOLD, number_fits, number_marks};
use parts::Cursor;
pub use parts::{CommentSite, GlyphSite, Ply, Replay};
use shakmaty::{Chess, Position};
pub use start::{FenTrouble, Start, read_fen};
pub use view::View;

use crate::{
    boards::{at_count, diagrams_of},
    marks::Marks,
    resolve::{Resolution, pass, resolve, sign_marks},
};

impl Replay {
    /// Plays through `game`, which was read from `text`.
    ///
    /// Without a `language`, it is recognised: the moves are read in the letters of the
    /// language that reads most of them, though some be wrong.
    #[must_use]
    pub fn of(text: &[u8], game: &Game, language: Option<Language>) -> Self {
        let mut replay = Self::default();
        replay.run(text, game, language);
        replay
    }

    /// Like [`Replay::of`], but uses the allocations of `self`.
    pub fn run(&mut self, text: &[u8], game: &Game, language: Option<Language>) {
        self.start = Start::of(text, game);
        self.told = language.is_some();
        self.sure = true;
        self.walk(text, game, language.unwrap_or_default());
        if language.is_none() && self.start.position.is_some() && may_be_foreign(game) {
            self.recognise(text, game);
        }
    }

    /// The position before a ply.
    #[must_use]
    pub fn before(&self, ply: &Ply) -> Option<&Chess> {
        self.at(ply.parent)
    }

    /// The position after the ply of this index, or at the start of the game.
    #[must_use]
    pub fn at(&self, ply: Option<u32>) -> Option<&Chess> {
        match ply {
            None => self.start.position.as_ref(),
            Some(at) => self.plies.get(at as usize)?.after.as_ref(),
        }
    }

    /// The ply of this index.
    #[must_use]
    pub fn ply(&self, at: u32) -> Option<&Ply> {
        self.plies.get(at as usize)
    }

    /// The ply whose element this is.
    #[must_use]
    pub fn ply_of_element(&self, element: u32) -> Option<u32> {
        let at = self
            .plies
            .binary_search_by_key(&element, |ply| ply.element)
            .ok()?;
        u32::try_from(at).ok()
    }

    fn walk(&mut self, text: &[u8], game: &Game, language: Language) {
        self.plies.clear();
        self.comments.clear();
        self.glyphs.clear();
        self.marks = Marks::empty();
        self.language = language;
        self.last = None;
        self.result = None;

        let first_count = self.start.first_count();
        let mut stack: Vec<Cursor> = Vec::new();
        let mut cursor = Cursor {
            last: None,
            begun: false,
            delta: 0,
            off: None,
            unclosed: false,
            adrift: false,
        };
        let unclosed = unclosed_side_lines(game);
        let mut number: Option<(u32, MoveNumber)> = None;

        for (at, element) in game.elements.iter().enumerate() {
            let at = at as u32;
            match element.kind {
                ElementKind::Number(written) => number = Some((at, written)),
                ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
                    let mut written = written(text, element, language);
                    if let Some(written) = &mut written
                        && self.told
                    {
                        // What the author said is not odd.
                        written.oddities = written.oddities.without(Oddities::FOREIGN);
                    }
                    if cursor.unclosed
                        && let Some((_, number)) = number
                    {
                        let left =
                            self.left(number, written.as_ref(), &cursor, &stack, first_count);
                        for _ in 0..left {
                            if let Some(outer) = stack.pop() {
                                cursor = outer;
                            }
                        }
                    }
                    let depth = stack.len() as u32;
                    self.push(at, depth, number.take(), &mut cursor, first_count);
                    self.play(text, game, written, &mut cursor);
                    let index = self.plies.len() as u32 - 1;
                    cursor.last = Some(index);
                    cursor.begun = true;
                    if depth == 0 {
                        self.last = Some(index);
                    }
                }
                ElementKind::Open => {
                    number = None;
                    stack.push(cursor);
                    if cursor.begun {
                        cursor.last = cursor
                            .last
                            .and_then(|last| self.plies.get(last as usize))
                            .and_then(|ply| ply.parent);
                    }
                    cursor.begun = false;
                    cursor.unclosed = unclosed.binary_search(&at).is_ok();
                }
                ElementKind::Close => {
                    number = None;
                    if let Some(parent) = stack.pop() {
                        cursor = parent;
                    }
                }
                ElementKind::Comment { body, .. } => {
                    if let Some(lost) = cursor.last.filter(|_| self.at(cursor.last).is_none())
                        && let Some(position) = self.printed(text, game, at, body, lost)
                        && let Some(ply) = self.plies.get_mut(lost as usize)
                    {
                        ply.after = Some(position);
                    }
                    self.comments.push(CommentSite {
                        element: at,
                        after: cursor.last,
                        opens: !stack.is_empty() && !cursor.begun,
                        depth: stack.len() as u32,
                    });
                }
                ElementKind::Glyph { glyph, .. } => self.glyphs.push(GlyphSite {
                    element: at,
                    after: cursor.last,
                    glyph,
                }),
                ElementKind::Result(result) => {
                    number = None;
                    // A result ends the game, whatever was left open.
                    if stack.is_empty() || cursor.unclosed {
                        self.result.get_or_insert((at, result));
                    }
                }
                ElementKind::Word { movelike: false } => {}
            }
        }
    }

    /// The position behind a ply whose move could not be played, if the comment there prints a diagram
    /// and the move behind it can be played from that.
    fn printed(
        &self,
        text: &[u8],
        game: &Game,
        comment: u32,
        body: Span,
        lost: u32,
    ) -> Option<Chess> {
        let count = self.ply(lost)?.count.checked_add(1)?;
        let (_, board) = diagrams_of(text, body).last()?;
        let position = at_count(&board, count)?;
        let behind = game.elements.get(comment as usize + 1..)?.iter();
        let next = behind.filter_map(|element| match element.kind {
            ElementKind::Move(written) => Some(written),
            _ => None,
        });
        let next = next.take(1).last()?;
        matches!(resolve(&position, &next), Resolution::Legal(..)).then_some(position)
    }

    /// The count of the next ply of a line.
    fn next_count(&self, cursor: &Cursor, first_count: u32) -> u32 {
        cursor
            .last
            .and_then(|last| self.plies.get(last as usize))
            .map_or(first_count, |ply| ply.count.saturating_add(1))
    }

    /// How many unclosed side-lines a number shows the text to have left: it fits the
    /// line that one of them hangs on, and either the number or the move does not fit
    /// here.
    fn left(
        &self,
        number: MoveNumber,
        written: Option<&WrittenMove>,
        here: &Cursor,
        stack: &[Cursor],
        first_count: u32,
    ) -> usize {
        /// How far to look, so that reading stays linear however deep the lines are.
        const LEVELS: usize = 8;
        let fits = |cursor: &Cursor| number_fits(number, self.next_count(cursor, first_count));
        let legal = |cursor: &Cursor| {
            written
                .zip(self.at(cursor.last))
                .is_some_and(|(written, position)| {
                    matches!(resolve(position, written), Resolution::Legal(..))
                })
        };
        if !here.begun || (fits(here) && legal(here)) {
            return 0;
        }
        let mut inner = here;
        for (level, outer) in (1..=LEVELS).zip(stack.iter().rev()) {
            if !inner.unclosed {
                break;
            }
            if fits(outer) && (!fits(here) || legal(outer)) {
                return level;
            }
            inner = outer;
        }
        0
    }

    /// Adds a ply that stands in the position before its move.
    ///
    /// The predecessor is copied within the list and then changed: a position is by
    /// far the largest part of a ply, and is so moved once only.
    fn push(
        &mut self,
        element: u32,
        depth: u32,
        number: Option<(u32, MoveNumber)>,
        cursor: &mut Cursor,
        first_count: u32,
    ) {
        let index = self.plies.len();
        let after_result = self.result.is_some() && cursor.last == self.last;
        match cursor.last.map(|last| last as usize) {
            Some(last) if last < index => self.plies.extend_from_within(last..=last),
            _ => self.plies.push(Ply {
                element,
                number: None,
                parent: None,
                depth,
                count: first_count.wrapping_sub(1),
                played: None,
                after: self.start.position.clone(),
                marks: Marks::empty(),
            }),
        }
        let Some(ply) = self.plies.get_mut(index) else {
            return;
        };
        // It is the predecessor still.
        let before = match cursor.last {
            Some(_) => ply.marks,
            None => Marks::empty(),
        };
        ply.element = element;
        ply.number = number.map(|(at, _)| at);
        ply.parent = cursor.last;
        ply.depth = depth;
        ply.count = ply.count.wrapping_add(1);
        ply.played = None;
        ply.marks = Marks::empty();
        if let Some((_, number)) = number {
            ply.marks |= number_marks(number, ply, cursor);
        }
        if after_result {
            ply.marks |= Marks::AFTER_END;
        }
        if before.intersects(Marks::DOUBT) {
            ply.marks |= Marks::BEHIND_DOUBT;
        }
        if before.intersects(Marks::GUESSED | Marks::BEHIND_GUESS) {
            ply.marks |= Marks::BEHIND_GUESS;
        }
        if before.intersects(Marks::MISCOUNT) {
            ply.marks |= Marks::UNCOUNTED;
        } else if ply.marks.contains(Marks::UNCOUNTED) {
            self.doubt_number_before(cursor.last);
        }
    }

    /// Marks the last ply of a line that has a number: the next one contradicts it.
    fn doubt_number_before(&mut self, mut last: Option<u32>) {
        while let Some(ply) = last.and_then(|at| self.plies.get_mut(at as usize)) {
            if ply.number.is_some() {
                ply.marks |= Marks::UNCOUNTED;
                break;
            }
            last = ply.parent;
        }
    }

    /// Plays the move of the last ply, which stands in the position before it.
    fn play(
        &mut self,
        text: &[u8],
        game: &Game,
        written: Option<WrittenMove>,
        cursor: &mut Cursor,
    ) {
        let by_home = written.and_then(|written| self.by_home(&written));
        let Some(ply) = self.plies.last_mut() else {
            return;
        };
        if let Some(position) = &mut ply.after {
            if let Some(written) = &written
                && written.oddities.contains(Oddities::PAWN_LETTER)
                && !self.told
                && let Some(element) = game.elements.get(ply.element as usize)
                && may_be_a_piece(text, element, written, position)
            {
                ply.marks |= Marks::PAWN_OR_PIECE;
            }
            let chosen = match by_home.zip(written) {
                Some((m, written)) => Chosen::Move(m, written.signs),
                None => chosen(game, ply.element, position, written, &mut ply.marks),
            };
            match chosen {
                Chosen::Move(m, signs) => {
                    position.play_unchecked(m);
                    ply.played = Some(m);
                    ply.marks |= sign_marks(signs, position);
                    if written.is_some_and(|it| it.oddities.contains(Oddities::DESCRIPTIVE)) {
                        // Old books leave out their signs as often as they write them.
                        ply.marks -= Marks::MISSING_CHECK | Marks::MISSING_MATE;
                    }
                }
                Chosen::Pass => ply.after = pass(position),
                Chosen::None => ply.after = None,
            }
            // A side-line that hangs on the wrong move has odd numbers all along: that
            // is one mistake, and the move tells it.
            if ply.marks.contains(Marks::ILLEGAL) && ply.marks.intersects(TOLD) {
                ply.marks -= NUMBERING;
                cursor.adrift = true;
            }
        } else {
            ply.marks |= Marks::LOST;
            if cursor.adrift {
                ply.marks -= NUMBERING;
            }
        }
        self.marks |= ply.marks;
    }
}

/// The elements that open side-lines which are never closed, in order.
fn unclosed_side_lines(game: &Game) -> Vec<u32> {
    let mut found = Vec::new();
    if game
        .faults
        .iter()
        .all(|fault| fault.kind != FaultKind::UnclosedSideLine)
    {
        return found;
    }
    let mut closes = 0_u32;
    for (at, element) in game.elements.iter().enumerate().rev() {
        match element.kind {
            ElementKind::Close => closes += 1,
            ElementKind::Open if closes > 0 => closes -= 1,
            ElementKind::Open => found.push(at as u32),
            _ => {}
        }
    }
    found.reverse();
    found
}
