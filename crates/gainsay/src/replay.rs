//! Playing through a game: every move of every line gets its position.

use std::borrow::Cow;

use gainsay_notation::{
    Element, ElementKind, FaultKind, Game, GameResult, Language, MoveNumber, Span, WrittenMove,
    parse_move,
};
use shakmaty::{
    CastlingMode, Chess, Color, FromSetup, Move, Position, PositionError, PositionErrorKinds,
    fen::{Fen, ParseFenError},
};

use crate::{
    Marks,
    resolve::{Resolution, pass, resolve, sign_marks},
};

/// A game played through.
///
/// `plies` holds the moves of all lines in the order of the text; a ply names its
/// predecessor, so that the lines form a tree without recursion.
#[derive(Clone, Debug, Default)]
pub struct Replay {
    /// Where the game begins.
    pub start: Start,
    /// All moves, side-lines included, in the order of the text.
    pub plies: Vec<Ply>,
    /// Where comments stand, in the order of the text.
    pub comments: Vec<CommentSite>,
    /// Glyphs, in the order of the text.
    pub glyphs: Vec<GlyphSite>,
    /// Every mark that some ply has.
    pub marks: Marks,
    /// The language whose piece letters the moves are in.
    pub language: Language,
    /// The last ply of the main line.
    pub last: Option<u32>,
    /// The termination marker of the game: its element.
    pub result: Option<(u32, GameResult)>,
}

/// Where a game begins.
#[derive(Clone, Debug)]
pub struct Start {
    /// The position; `None` where it cannot be known.
    pub position: Option<Chess>,
    /// The `FEN` tag, by its place in the game's tags, if the game has one.
    pub tag: Option<u32>,
    /// What is wrong with the `FEN` tag.
    pub trouble: Option<FenTrouble>,
    /// A variant whose rules gainsay does not know, by its tag.
    pub variant: Option<u32>,
}

impl Default for Start {
    fn default() -> Self {
        Self {
            position: Some(Chess::default()),
            tag: None,
            trouble: None,
            variant: None,
        }
    }
}

/// What is wrong with a FEN.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FenTrouble {
    /// It cannot be read.
    Unreadable(ParseFenError),
    /// It gives no legal position; all the broken rules.
    Illegal(PositionErrorKinds),
}

/// A move of a game.
#[derive(Clone, Debug)]
pub struct Ply {
    /// Its element.
    pub element: u32,
    /// The element of the number before it, if written.
    pub number: Option<u32>,
    /// The ply before it in its line; `None` for the first move of the game.
    pub parent: Option<u32>,
    /// How many side-lines it stands in; 0 is the main line.
    pub depth: u32,
    /// Half moves since White's first move of move 0: twice the move number, and one
    /// more for Black. Known even where the position is not.
    pub count: u32,
    /// The move; `None` for null moves and where it could not be played.
    pub played: Option<Move>,
    /// The position after it; `None` where it could not be played.
    pub after: Option<Chess>,
    /// What was noticed.
    pub marks: Marks,
}

impl Ply {
    /// The move number.
    #[must_use]
    pub const fn move_number(&self) -> u32 {
        self.count / 2
    }

    /// Who moves.
    #[must_use]
    pub const fn side(&self) -> Color {
        if self.count.is_multiple_of(2) {
            Color::White
        } else {
            Color::Black
        }
    }
}

/// Where a comment stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CommentSite {
    /// Its element.
    pub element: u32,
    /// The last ply before it in its line; `None` at the start of the game. For a
    /// comment before the first move of a side-line: the ply that the side-line's
    /// first move follows.
    pub after: Option<u32>,
    /// Whether it stands before the first move of a side-line.
    pub opens: bool,
    /// How many side-lines it stands in.
    pub depth: u32,
}

/// Where a glyph stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GlyphSite {
    /// Its element.
    pub element: u32,
    /// The last ply before it.
    pub after: Option<u32>,
    /// Its number in the PGN standard.
    pub nag: u8,
}

/// Where the walk through the elements stands.
#[derive(Clone, Copy, Debug)]
struct Cursor {
    /// The last ply of the line.
    last: Option<u32>,
    /// Whether the line has a move of its own yet.
    begun: bool,
    /// By how much the numbers written so far are off.
    delta: i64,
    /// Whether the line is one that the text never closes.
    unclosed: bool,
    /// Whether a move with an odd number could not be played, so that later numbers
    /// tell nothing new.
    adrift: bool,
}

impl Replay {
    /// Plays through `game`, which was read from `text`.
    ///
    /// Without a `language`, the moves are read as English ones; where that fails and
    /// the letters of exactly one other language make the whole main line legal, as
    /// those.
    #[must_use]
    pub fn of(text: &[u8], game: &Game, language: Option<Language>) -> Self {
        let mut replay = Self::default();
        replay.run(text, game, language);
        replay
    }

    /// Like [`Replay::of`], but uses the allocations of `self`.
    pub fn run(&mut self, text: &[u8], game: &Game, language: Option<Language>) {
        self.start = Start::of(text, game);
        self.walk(text, game, language.unwrap_or_default());
        if language.is_none()
            && self.marks.intersects(Marks::ILLEGAL | Marks::UNREADABLE)
            && self.start.position.is_some()
            && let Some(other) = recognise(text, game, &self.start)
        {
            self.walk(text, game, other);
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
                    let written = written(text, element, language);
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
                    self.play(game, written, &mut cursor);
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
                ElementKind::Comment { .. } => self.comments.push(CommentSite {
                    element: at,
                    after: cursor.last,
                    opens: !stack.is_empty() && !cursor.begun,
                    depth: stack.len() as u32,
                }),
                ElementKind::Glyph { nag, .. } => self.glyphs.push(GlyphSite {
                    element: at,
                    after: cursor.last,
                    nag,
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
    }

    /// Plays the move of the last ply, which stands in the position before it.
    fn play(&mut self, game: &Game, written: Option<WrittenMove>, cursor: &mut Cursor) {
        let Some(ply) = self.plies.last_mut() else {
            return;
        };
        if let Some(position) = &mut ply.after {
            match chosen(game, ply.element, position, written, &mut ply.marks) {
                Step::Move(m, signs) => {
                    position.play_unchecked(m);
                    ply.played = Some(m);
                    ply.marks |= sign_marks(signs, position);
                }
                Step::Pass => ply.after = pass(position),
                Step::None => ply.after = None,
            }
            // A side-line that hangs on the wrong move has odd numbers all along: that
            // is one mistake, and the move tells it.
            if ply.marks.contains(Marks::ILLEGAL) && ply.marks.intersects(NUMBERING) {
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

/// What a written move comes to.
enum Step {
    Move(Move, gainsay_notation::Signs),
    Pass,
    None,
}

/// Decides which move is played in `before`, and marks what is wrong with it.
fn chosen(
    game: &Game,
    element: u32,
    before: &Chess,
    written: Option<WrittenMove>,
    marks: &mut Marks,
) -> Step {
    let Some(written) = written else {
        *marks |= Marks::UNREADABLE;
        return Step::None;
    };
    if !written.oddities.is_empty() {
        *marks |= Marks::ODD_SPELLING;
    }
    let m = match resolve(before, &written) {
        Resolution::Legal(m, noticed) => {
            *marks |= noticed;
            Some(m)
        }
        Resolution::Null => return Step::Pass,
        Resolution::Ambiguous(list) => {
            *marks |= Marks::AMBIGUOUS;
            likeliest(game, element, before, &list)
        }
        Resolution::NoPromotion(list) => {
            *marks |= Marks::NO_PROMOTION;
            // A queen is meant nearly always, and reading can go on with it.
            list.iter()
                .copied()
                .find(|m| m.promotion() == Some(shakmaty::Role::Queen))
        }
        Resolution::Illegal => {
            *marks |= if before.legal_moves().is_empty() {
                Marks::AFTER_END
            } else {
                Marks::ILLEGAL
            };
            None
        }
    };
    m.map_or(Step::None, |m| Step::Move(m, written.signs))
}

/// The candidate after which most of the following moves can be played: what the
/// author meant is seen from what he wrote next.
fn likeliest(game: &Game, element: u32, before: &Chess, candidates: &[Move]) -> Option<Move> {
    const HORIZON: usize = 16;
    let mut best = None;
    for &candidate in candidates {
        let mut position = before.clone();
        position.play_unchecked(candidate);
        let mut depth = 0_usize;
        let mut played = 0_usize;
        for later in game.elements.iter().skip(element as usize + 1) {
            match later.kind {
                ElementKind::Open => depth += 1,
                ElementKind::Close if depth == 0 => break,
                ElementKind::Close => depth -= 1,
                ElementKind::Move(written) if depth == 0 => {
                    let Resolution::Legal(m, _) = resolve(&position, &written) else {
                        break;
                    };
                    position.play_unchecked(m);
                    played += 1;
                    if played == HORIZON {
                        break;
                    }
                }
                _ => {}
            }
        }
        if best.is_none_or(|(most, _)| played > most) {
            best = Some((played, candidate));
        }
    }
    best.map(|(_, m)| m)
}

impl Start {
    fn of(text: &[u8], game: &Game) -> Self {
        let mut start = Self::default();
        let mut chess960 = false;
        let mut fen = None;
        for (at, tag) in game.tags.iter().enumerate() {
            // Names are compared by length first, which skips nearly every tag.
            match tag.name.of(text) {
                b"FEN" if fen.is_none() => fen = Some(at as u32),
                b"Variant" => match variant(&tag.value(text)) {
                    Variant::Standard => {}
                    Variant::Chess960 => chess960 = true,
                    Variant::Other => start.variant = Some(at as u32),
                },
                _ => {}
            }
        }
        if start.variant.is_some() {
            start.position = None;
            return start;
        }
        if let Some(at) = fen {
            start.tag = Some(at);
            if let Some(tag) = game.tags.get(at as usize) {
                let (position, trouble) = read_fen(&tag.value(text), chess960);
                start.position = position;
                start.trouble = trouble;
            }
        }
        start
    }

    /// The count (see [`Ply::count`]) of the first move.
    fn first_count(&self) -> u32 {
        self.position.as_ref().map_or(2, |position| {
            position
                .fullmoves()
                .get()
                .saturating_mul(2)
                .saturating_add(u32::from(position.turn() == Color::Black))
        })
    }
}

enum Variant {
    Standard,
    Chess960,
    Other,
}

fn variant(name: &str) -> Variant {
    let letters: String = name
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    match letters.as_str() {
        "" | "standard" | "chess" | "normal" | "fromposition" | "classical" | "orthodox" => {
            Variant::Standard
        }
        "chess960" | "960" | "fischerandom" | "fischerrandom" | "fischerrandomchess"
        | "fischerandomchess" | "freestyle" | "freestylechess" => Variant::Chess960,
        _ => Variant::Other,
    }
}

/// Reads a FEN. A position that breaks a rule without making play impossible
/// (castling rights without a rook, more pieces than promotions can give) comes
/// with its trouble, and play goes on.
///
/// Castling fields that name files or outer rooks are read as Chess960, as are
/// those of a game whose tag says so.
#[must_use]
pub fn read_fen(fen: &str, chess960: bool) -> (Option<Chess>, Option<FenTrouble>) {
    let fen = match Fen::from_ascii(fen.trim().as_bytes()) {
        Ok(fen) => fen,
        Err(error) => return (None, Some(FenTrouble::Unreadable(error))),
    };
    let setup = fen.into_setup();
    let standard = Chess::from_setup(setup.clone(), CastlingMode::Standard);
    match standard {
        Ok(position) if !chess960 => (Some(position), None),
        _ => match Chess::from_setup(setup, CastlingMode::Chess960) {
            Ok(position) => (Some(position), None),
            Err(error) => {
                let kinds = error.kinds();
                let position = Err(error)
                    .or_else(PositionError::ignore_invalid_castling_rights)
                    .or_else(PositionError::ignore_invalid_ep_square)
                    .or_else(PositionError::ignore_too_much_material)
                    .or_else(PositionError::ignore_impossible_check)
                    .ok();
                (position, Some(FenTrouble::Illegal(kinds)))
            }
        },
    }
}

/// The move at an element, in the letters of `language`.
fn written(text: &[u8], element: &Element, language: Language) -> Option<WrittenMove> {
    match element.kind {
        ElementKind::Move(written) if language == Language::English => Some(written),
        ElementKind::Move(_) | ElementKind::Word { movelike: true } => parse_move(
            gainsay_notation::decode(element.span.of(text)).as_bytes(),
            language,
        ),
        _ => None,
    }
}

/// The language other than English whose letters make the whole main line legal.
///
/// `None` where there is none, or where two languages would give different games.
fn recognise(text: &[u8], game: &Game, start: &Start) -> Option<Language> {
    // An illegal move can by chance be legal with a letter's other meaning, so the game
    // must use a letter that is no English one.
    let foreign = |element: &Element| matches!(element.kind, ElementKind::Word { movelike: true });
    if !game.elements.iter().any(foreign) {
        return None;
    }
    let mut found: Option<(Language, Vec<Move>)> = None;
    let mut tried: Vec<[char; 6]> = vec![Language::English.letters()];
    for language in Language::ALL {
        let letters = language.letters();
        if tried.contains(&letters) {
            continue;
        }
        tried.push(letters);
        let Some(moves) = main_line(text, game, start, language) else {
            continue;
        };
        match &found {
            None => found = Some((language, moves)),
            Some((_, other)) if *other == moves => {}
            Some(_) => return None,
        }
    }
    found.map(|(language, _)| language)
}

fn main_line(text: &[u8], game: &Game, start: &Start, language: Language) -> Option<Vec<Move>> {
    let mut position = start.position.clone()?;
    let mut moves = Vec::new();
    let mut depth = 0_usize;
    for element in &game.elements {
        match element.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close => depth = depth.saturating_sub(1),
            ElementKind::Move(_) | ElementKind::Word { movelike: true } if depth == 0 => {
                let written = written(text, element, language)?;
                match resolve(&position, &written) {
                    Resolution::Legal(m, _) => {
                        position.play_unchecked(m);
                        moves.push(m);
                    }
                    Resolution::Null => position = pass(&position)?,
                    _ => return None,
                }
            }
            _ => {}
        }
    }
    (!moves.is_empty()).then_some(moves)
}

/// What is noticed about numbers.
const NUMBERING: Marks = Marks::WRONG_NUMBER.union(Marks::WRONG_DOTS);

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

/// Whether a written number, dots included, is that of the ply of this count.
fn number_fits(number: MoveNumber, count: u32) -> bool {
    number.value == Some(count / 2)
        && if count.is_multiple_of(2) {
            number.dots < 2
        } else {
            number.dots != 1
        }
}

/// Compares a written number with the ply it stands before. Numbers that are off
/// by the same amount as the ones before them are not marked again.
fn number_marks(number: MoveNumber, ply: &Ply, cursor: &mut Cursor) -> Marks {
    let dots_fit = match (ply.side(), number.value) {
        (Color::White, Some(_)) => number.dots < 2,
        (Color::White, None) => false,
        (Color::Black, Some(_)) => number.dots != 1,
        (Color::Black, None) => number.dots > 1,
    };
    let mut marks = if dots_fit {
        Marks::empty()
    } else {
        Marks::WRONG_DOTS
    };
    if let Some(value) = number.value {
        let delta = i64::from(value) - i64::from(ply.move_number());
        if delta != 0 && delta != cursor.delta {
            marks |= Marks::WRONG_NUMBER;
        }
        cursor.delta = delta;
    }
    marks
}

/// A game with its text and its moves played through: what rules look at.
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
            self.words(self.span(ply.element))
        )
    }
}
