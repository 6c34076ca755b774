//! The reader of game text.

use shakmaty::{Color, Rank, Role};

use crate::bytes::{
    self, BOM, Class, braces, byte, byte_ends_word, class, ends_word, is_event_start,
    is_game_start, is_line_end, is_space, line_end, odd_space, read_tag, rest, skip_space,
    word_end,
};
use crate::movetext::{dash, read_base, read_common, read_move, read_signs};
use crate::symbols::{glyph, symbol, whole_symbol};
use crate::words::is_movelike;
use crate::{
    CommentKind, Element, ElementKind, Fault, FaultKind, Game, GameResult, Language, MoveNumber,
    Signs, Span, Tag, WrittenMove, WrittenShape,
};

/// Reads the game that begins at or after `from` in `text` into `game`, and
/// returns where reading of the next one must begin; `None` when nothing but
/// white space is left.
///
/// A game ends where the tags of the next begin; without tags, where move
/// number 1 or an unnumbered move follows the termination marker in a new
/// paragraph, or where a paragraph begins with move number 1 though the game is
/// well under way. Comments behind the marker belong to the game.
///
/// The spans of `game` are offsets into `text`. At most 4 GiB of `text` are
/// read; cut longer texts into [`sections`](crate::sections()).
pub fn read_game(text: &[u8], from: usize, game: &mut Game) -> Option<usize> {
    game.clear();
    let text = text.get(..u32::MAX as usize).unwrap_or(text);
    let mut start = from;
    if start == 0 && text.starts_with(BOM) {
        start = BOM.len();
    }
    start = skip_space(text, start);
    if start >= text.len() {
        return None;
    }
    let mut reader = Reader {
        text,
        game,
        at: start,
        depth: 0,
        moves: 0,
        begun: false,
        over: false,
        loose: false,
        has_event: false,
        paren_numbers: false,
    };
    reader.run();
    let next = reader.at;
    reader.close(start);
    Some(next)
}

struct Reader<'a> {
    text: &'a [u8],
    game: &'a mut Game,
    /// Where reading goes on.
    at: usize,
    /// Side-lines that are open.
    depth: u32,
    /// Moves read outside side-lines.
    moves: u32,
    /// Whether anything but tags and comments has been read.
    begun: bool,
    /// Whether a termination marker has been read outside side-lines.
    over: bool,
    /// Whether the last element is a loose word.
    loose: bool,
    /// Whether an Event tag has been read.
    has_event: bool,
    /// Whether the game writes its numbers like `5)`.
    paren_numbers: bool,
}

/// What follows is only called with offsets within the text, which has less
/// than 4 GiB.
#[inline]
const fn span(start: usize, end: usize) -> Span {
    Span::new(start as u32, end as u32)
}

impl Reader<'_> {
    fn run(&mut self) {
        while let Some(&first) = self.text.get(self.at) {
            let at = self.at;
            match class(first) {
                Class::Space => {
                    self.at += 1;
                    continue;
                }
                Class::MoveLetter => match read_common(self.text, at) {
                    Some((written, end)) if !self.over => self.push_move(written, at, end),
                    _ => {
                        if !self.word() {
                            return;
                        }
                    }
                },
                Class::Digit => {
                    if !self.digits() {
                        return;
                    }
                }
                Class::Dot => self.dots(),
                Class::BraceOpen => self.brace_comment(),
                Class::BraceClose => {
                    self.fault(FaultKind::StrayBrace, at, at + 1);
                    self.at = at + 1;
                }
                Class::ParenOpen => {
                    self.depth += 1;
                    self.push(ElementKind::Open, at, at + 1);
                }
                Class::ParenClose => {
                    if self.depth == 0 {
                        self.begun = true;
                        self.fault(FaultKind::StrayParenthesis, at, at + 1);
                        self.at = at + 1;
                    } else {
                        self.depth -= 1;
                        self.push(ElementKind::Close, at, at + 1);
                    }
                }
                Class::Semicolon => {
                    let end = line_end(self.text, at);
                    self.comment(CommentKind::Line, at, end, (at + 1, end));
                }
                Class::Percent if at == 0 || is_line_end(byte(self.text, at - 1)) => {
                    let end = line_end(self.text, at);
                    self.comment(CommentKind::Escape, at, end, (at + 1, end));
                }
                Class::Dollar => self.nag(),
                Class::Glyph => {
                    let (nag, length) = glyph(self.text, at);
                    self.push(ElementKind::Glyph { nag, symbol: true }, at, at + length);
                }
                Class::Star => self.result(GameResult::Unknown, at + 1),
                Class::Bracket => {
                    if self.begun {
                        if is_game_start(self.text, at) {
                            return;
                        }
                        if !self.word() {
                            return;
                        }
                    } else if self.has_event && is_event_start(self.text, at) {
                        return;
                    } else {
                        self.tag();
                    }
                }
                Class::High | Class::Other | Class::Percent => {
                    if !self.word() {
                        return;
                    }
                }
                Class::Control => self.binary(),
            }
        }
    }

    #[inline]
    fn push(&mut self, kind: ElementKind, start: usize, end: usize) {
        self.begun = true;
        self.loose = false;
        self.game.elements.push(Element {
            span: span(start, end),
            kind,
        });
        // One blank behind a token is the rule; it need not go round the loop.
        self.at = end + usize::from(byte(self.text, end) == b' ');
    }

    #[inline]
    fn push_move(&mut self, written: WrittenMove, start: usize, end: usize) {
        self.moves += u32::from(self.depth == 0);
        self.push(ElementKind::Move(written), start, end);
    }

    /// Notes a fault; neighbours of the same kind become one.
    fn fault(&mut self, kind: FaultKind, start: usize, end: usize) {
        self.begun = true;
        push_fault(self.text, &mut self.game.faults, kind, span(start, end));
    }

    fn comment(&mut self, kind: CommentKind, start: usize, end: usize, body: (usize, usize)) {
        self.loose = false;
        self.game.elements.push(Element {
            span: span(start, end),
            kind: ElementKind::Comment {
                body: span(body.0, body.1),
                kind,
            },
        });
        self.at = end;
    }

    fn brace_comment(&mut self) {
        let at = self.at;
        let found = braces(self.text, at);
        let faults = &mut self.game.faults;
        let kind = if found.closed {
            CommentKind::Brace
        } else {
            push_fault(
                self.text,
                faults,
                FaultKind::UnclosedComment,
                span(at, at + 1),
            );
            CommentKind::Unclosed
        };
        if let Some(nested) = found.nested {
            push_fault(
                self.text,
                faults,
                FaultKind::NestedComment,
                span(nested, nested + 1),
            );
        }
        self.comment(kind, at, found.end, (at + 1, found.body_end));
    }

    fn tag(&mut self) {
        let raw = read_tag(self.text, self.at);
        let tag = Tag {
            span: span(self.at, raw.end),
            name: span(raw.name.0, raw.name.1),
            value: span(raw.value.0, raw.value.1),
            escaped: raw.escaped,
        };
        if raw.broken {
            let faults = &mut self.game.faults;
            if tag.name.is_empty() {
                push_fault(self.text, faults, FaultKind::BrokenTag, tag.span);
            } else {
                // Each tag with a name is a mistake of its own.
                faults.push(Fault {
                    span: tag.span,
                    kind: FaultKind::BrokenTag,
                });
            }
        }
        if !tag.name.is_empty() {
            self.has_event |= tag.name.of(self.text) == b"Event";
            self.game.tags.push(tag);
        }
        self.at = raw.end;
    }

    fn nag(&mut self) {
        let start = self.at;
        let mut end = start + 1;
        let mut value = 0u32;
        while byte(self.text, end).is_ascii_digit() {
            let digit = u32::from(byte(self.text, end) - b'0');
            value = value.saturating_mul(10).saturating_add(digit);
            end += 1;
        }
        match u8::try_from(value) {
            Ok(nag) if end > start + 1 => {
                self.push(ElementKind::Glyph { nag, symbol: false }, start, end);
            }
            _ => {
                self.fault(FaultKind::BadGlyph, start, end);
                self.loose = false;
                self.at = end;
            }
        }
    }

    fn result(&mut self, result: GameResult, end: usize) {
        self.over |= self.depth == 0;
        self.push(ElementKind::Result(result), self.at, end);
    }

    /// Dots that stand alone.
    fn dots(&mut self) {
        let (dots, end) = count_dots(self.text, self.at);
        let glued = self
            .at
            .checked_sub(1)
            .map_or(b' ', |before| byte(self.text, before));
        if dots == 1 && !byte_ends_word(glued) && ends_word(self.text, end) {
            // The full stop of a sentence.
            self.loose_word(self.at, end);
            return;
        }
        self.push(
            ElementKind::Number(MoveNumber { value: None, dots }),
            self.at,
            end,
        );
    }

    /// A move number, or a result, castling or word that begins with a digit.
    /// False where the next game begins.
    fn digits(&mut self) -> bool {
        let start = self.at;
        let mut value = 0u32;
        let mut end = start;
        while byte(self.text, end).is_ascii_digit() {
            let digit = u32::from(byte(self.text, end) - b'0');
            value = value.saturating_mul(10).saturating_add(digit);
            end += 1;
        }
        let mut number = MoveNumber {
            value: Some(value),
            dots: 0,
        };
        match byte(self.text, end) {
            b'.' => {
                number.dots = 1;
                end += 1;
                let common = class(byte(self.text, end)) == Class::MoveLetter
                    || byte(self.text, end) == b' '
                        && class(byte(self.text, end + 1)) == Class::MoveLetter;
                if !common {
                    if value == 0
                        && let Some((result, behind)) = self.result_at(start)
                    {
                        self.result(result, behind);
                        return true;
                    }
                    (number.dots, end) = count_dots(self.text, end - 1);
                    (number.dots, end) = more_dots(self.text, end, number.dots);
                }
            }
            b' ' | b'\t' | b'\n' | b'\r' | 0xe2 => {
                if let Some((result, behind)) = self.result_at(start) {
                    self.result(result, behind);
                    return true;
                }
                (number.dots, end) = more_dots(self.text, end, 0);
                if number.dots == 0 && byte(self.text, end) == 0xe2 {
                    return self.word();
                }
                if number.dots == 0 && self.loose && !self.move_follows(end) {
                    return self.word();
                }
            }
            b')' if self.paren_number(end) => {
                self.paren_numbers = true;
                end += 1;
                (number.dots, end) = count_dots(self.text, end);
            }
            _ if ends_word(self.text, end) => {}
            _ => {
                if let Some((result, behind)) = self.result_at(start) {
                    self.result(result, behind);
                    return true;
                }
                // `23Rf8`, but not `2nd`, and not `0-0`.
                let glued = class(byte(self.text, end)) == Class::MoveLetter
                    && matches!(
                        read_move(self.text, end, Language::English),
                        Some((_, behind)) if ends_word(self.text, behind)
                    );
                if !glued {
                    return self.word();
                }
            }
        }
        if value == 1 && number.dots <= 1 && self.next_game_at_number() {
            return false;
        }
        self.push(ElementKind::Number(number), start, end);
        true
    }

    /// Whether the parenthesis at `at`, behind digits, belongs to them: `5)Qa4`.
    fn paren_number(&self, at: usize) -> bool {
        let after_open = matches!(
            self.game.elements.last(),
            Some(Element {
                kind: ElementKind::Open,
                ..
            })
        );
        (self.depth == 0 || after_open || self.paren_numbers)
            && matches!(
                class(byte(self.text, at + 1)),
                Class::MoveLetter | Class::Dot
            )
    }

    /// Whether a move follows the white space at `at`.
    fn move_follows(&self, at: usize) -> bool {
        let next = skip_space(self.text, at);
        matches!(
            read_move(self.text, next, Language::English),
            Some((_, end)) if ends_word(self.text, end)
        )
    }

    /// Whether move number 1 at the reader's place begins another game.
    #[cold]
    fn next_game_at_number(&self) -> bool {
        self.depth == 0
            && if self.over {
                bytes::begins_line(self.text, self.at)
            } else {
                self.moves >= 2 && bytes::after_blank_line(self.text, self.at)
            }
    }

    /// Whether a move without a number, behind the termination marker, begins
    /// another game.
    fn next_game_at_move(&self) -> bool {
        self.depth == 0
            && bytes::after_blank_line(self.text, self.at)
            && matches!(
                self.game
                    .elements
                    .iter()
                    .rev()
                    .find(|element| !matches!(element.kind, ElementKind::Comment { .. })),
                Some(Element {
                    kind: ElementKind::Result(_),
                    ..
                })
            )
    }

    /// The game result that begins at `at`, and the offset behind it.
    fn result_at(&self, at: usize) -> Option<(GameResult, usize)> {
        let (first, mut end) = half(self.text, at)?;
        let joint = match byte(self.text, end) {
            b':' => 1,
            _ => dash(rest(self.text, end)),
        };
        let result = if joint == 0 {
            if first != Score::Half {
                return None;
            }
            GameResult::Draw
        } else {
            let (second, behind) = half(self.text, end + joint)?;
            end = behind;
            match (first, second) {
                (Score::One, Score::Zero) => GameResult::Win(Color::White),
                (Score::Zero, Score::One) => GameResult::Win(Color::Black),
                (Score::Half, Score::Half) => GameResult::Draw,
                _ => return None,
            }
        };
        let ends =
            ends_word(self.text, end) || matches!(byte(self.text, end), b',' | b'[' | b'}' | b'"');
        ends.then_some((result, end))
    }

    /// A word that is no plain move: a move with something glued to it, a
    /// symbol, a result, a null move, or a loose word. False where the next
    /// game begins.
    fn word(&mut self) -> bool {
        let start = self.at;
        let text = self.text;
        if class(byte(text, start)) == Class::High
            && let Some(end) = self.high(start)
        {
            self.at = end;
            return true;
        }
        let end = word_end(text, start);
        if let Some((base, behind)) = read_base(text, start, Language::English) {
            // A loose `de` or `ed` is more likely a word than a capture.
            let doubtful = self.loose
                && behind == start + 2
                && matches!(base.shape, WrittenShape::PawnCapture { .. });
            if let Some(end) = foreign_promotion(text, behind, &base) {
                self.loose_word(start, end);
                return true;
            }
            if !doubtful && let Some(tail) = Tail::read(text, base, behind, end) {
                if self.over && self.next_game_at_move() {
                    return false;
                }
                self.push_move(tail.written, start, tail.end);
                if let Some((nag, glyph_end)) = tail.glyph {
                    self.push(
                        ElementKind::Glyph { nag, symbol: true },
                        tail.end,
                        glyph_end,
                    );
                }
                return true;
            }
        }
        let word = text.get(start..end).unwrap_or_default();
        let nag = whole_symbol(word).or_else(|| self.letter_symbol(word));
        if let Some(nag) = nag {
            self.push(ElementKind::Glyph { nag, symbol: true }, start, end);
            return true;
        }
        if let Some((result, end)) = self.result_at(start) {
            self.result(result, end);
            return true;
        }
        self.loose_word(start, end.max(start + 1));
        true
    }

    /// `N` for a novelty and `D` for a diagram, where they stand behind a move.
    fn letter_symbol(&self, word: &[u8]) -> Option<u8> {
        let nag = match word {
            b"N" | b"TN" => 146,
            b"D" => 220,
            _ => return None,
        };
        matches!(
            self.game.elements.last()?.kind,
            ElementKind::Move(_) | ElementKind::Glyph { .. } | ElementKind::Comment { .. }
        )
        .then_some(nag)
    }

    /// White space, symbols and dots outside ASCII; the offset behind them.
    fn high(&mut self, start: usize) -> Option<usize> {
        let bytes = rest(self.text, start);
        match bytes {
            [0xef, 0xbb, 0xbf, ..] => {
                push_fault(
                    self.text,
                    &mut self.game.faults,
                    FaultKind::ByteOrderMark,
                    span(start, start + BOM.len()),
                );
                return Some(start + BOM.len());
            }
            _ if odd_space(bytes, 0) > 0 => return Some(start + odd_space(bytes, 0)),
            [0xe2, 0x80, 0xa6, ..] => {
                self.dots();
                return Some(self.at);
            }
            _ => {}
        }
        let (nag, length) = symbol(bytes)?;
        if !ends_word(bytes, length) && class(byte(bytes, length)) != Class::High {
            return None;
        }
        self.push(
            ElementKind::Glyph { nag, symbol: true },
            start,
            start + length,
        );
        Some(self.at)
    }

    fn loose_word(&mut self, start: usize, word_end: usize) {
        let text = self.text;
        let mut end = word_end;
        let mut word = text.get(start..end).unwrap_or_default();
        let movelike = is_movelike(word);
        if !movelike {
            // Abbreviations and full stops belong to the word.
            while byte(text, end) == b'.' {
                end = crate::bytes::word_end(text, end + 1);
            }
            word = text.get(start..end).unwrap_or_default();
        }
        if !movelike && word.iter().any(|&byte| class(byte) == Class::Control) {
            self.fault(FaultKind::Binary, start, end);
            self.at = end;
            self.loose = false;
            return;
        }
        let follows = self.loose;
        self.push(ElementKind::Word { movelike }, start, end);
        if movelike {
            return;
        }
        self.loose = true;
        let whole = span(start, end);
        match self.game.faults.last_mut() {
            Some(last) if follows && last.kind == FaultKind::LooseWords => {
                last.span = last.span.to(whole);
            }
            _ => self.game.faults.push(Fault {
                span: whole,
                kind: FaultKind::LooseWords,
            }),
        }
    }

    /// A run of bytes that are no text, together with what is glued to it.
    fn binary(&mut self) {
        let start = self.at;
        let end = word_end(self.text, start).max(start + 1);
        self.fault(FaultKind::Binary, start, end);
        self.loose = false;
        self.at = end;
    }

    /// Notes the side-lines that stayed open and puts the faults in order.
    fn close(&mut self, start: usize) {
        let mut end = self.at;
        while end > start && is_space(byte(self.text, end - 1)) {
            end -= 1;
        }
        self.game.span = span(start, end);
        // An unclosed comment or a broken tag may reach over the white space.
        let last_element = self.game.elements.last().map(|element| element.span.end);
        let last_tag = self.game.tags.last().map(|tag| tag.span.end);
        self.game.span.end = self
            .game
            .span
            .end
            .max(last_element.max(last_tag).unwrap_or(0));
        if self.depth > 0 {
            let mut closes = 0u32;
            let mut last: Option<Span> = None;
            for element in self.game.elements.iter().rev() {
                match element.kind {
                    ElementKind::Close => closes += 1,
                    ElementKind::Open if closes > 0 => closes -= 1,
                    ElementKind::Open => {
                        // Parentheses in a row are one fault.
                        match (&mut last, self.game.faults.last_mut()) {
                            (Some(behind), Some(fault))
                                if Span::new(element.span.end, behind.start)
                                    .of(self.text)
                                    .iter()
                                    .all(|&byte| is_space(byte)) =>
                            {
                                fault.span = fault.span.to(element.span);
                            }
                            _ => self.game.faults.push(Fault {
                                span: element.span,
                                kind: FaultKind::UnclosedSideLine,
                            }),
                        }
                        last = Some(element.span);
                    }
                    _ => {}
                }
            }
        }
        if self.game.faults.len() > 1 {
            self.game.faults.sort_by_key(|fault| fault.span.start);
        }
    }
}

/// A move of a word, with what is glued behind it.
struct Tail {
    written: WrittenMove,
    /// Offset behind the move and its signs.
    end: usize,
    /// The number of a symbol behind it, and the offset behind that.
    glyph: Option<(u8, usize)>,
}

impl Tail {
    /// Reads what stands between the move `base` and the end of its word.
    fn read(text: &[u8], base: WrittenMove, behind: usize, word_end: usize) -> Option<Self> {
        let glued = |from: usize| {
            let bytes = text.get(from..word_end.max(from))?;
            let nag = match bytes {
                b"N" | b"TN" => Some(146),
                _ => whole_symbol(bytes),
            };
            nag.map(|nag| (nag, word_end))
        };
        // `Nf3+-` says that White is winning, not that it is check.
        if let Some(glyph) = glued(behind) {
            return Some(Self {
                written: base,
                end: behind,
                glyph: Some(glyph),
            });
        }
        let (written, end) = read_signs(text, behind, base);
        if ends_word(text, end) || byte(text, end) == b',' {
            return Some(Self {
                written,
                end,
                glyph: None,
            });
        }
        if byte(text, behind) == b'+'
            && byte(text, behind + 1) == b'+'
            && let Some(glyph) = glued(behind + 1)
        {
            // `++-` is check and `+-`.
            let mut written = base;
            written.signs = Signs::Check;
            return Some(Self {
                written,
                end: behind + 1,
                glyph: Some(glyph),
            });
        }
        glued(end).map(|glyph| Self {
            written,
            end,
            glyph: Some(glyph),
        })
    }
}

/// The offset behind `(D)`, the piece of another language in parentheses, behind
/// a pawn move to the last rank.
fn foreign_promotion(text: &[u8], at: usize, base: &WrittenMove) -> Option<usize> {
    let WrittenShape::To {
        role: Role::Pawn,
        to,
        promotion: None,
        ..
    } = base.shape
    else {
        return None;
    };
    let last = matches!(to.rank(), Rank::First | Rank::Eighth);
    match rest(text, at) {
        [b'(', letter, b')', ..] if last && letter.is_ascii_uppercase() => Some(at + 3),
        _ => None,
    }
}

fn push_fault(text: &[u8], faults: &mut Vec<Fault>, kind: FaultKind, span: Span) {
    if let Some(last) = faults.last_mut()
        && last.kind == kind
        && let Some(gap) = text.get(last.span.end as usize..span.start as usize)
        && gap.iter().all(|&byte| is_space(byte))
    {
        last.span = last.span.to(span);
        return;
    }
    faults.push(Fault { span, kind });
}

/// Counts the dots at `at`; an ellipsis character counts three.
#[inline]
fn count_dots(text: &[u8], at: usize) -> (u8, usize) {
    let mut dots = 0u8;
    let mut end = at;
    loop {
        match byte(text, end) {
            b'.' => {
                dots = dots.saturating_add(1);
                end += 1;
            }
            0xe2 if rest(text, end).starts_with(b"\xe2\x80\xa6") => {
                dots = dots.saturating_add(3);
                end += 3;
            }
            _ => return (dots, end),
        }
    }
}

/// Adds the dots that follow behind white space: `23. ...`.
#[inline]
fn more_dots(text: &[u8], at: usize, dots: u8) -> (u8, usize) {
    let next = skip_space(text, at);
    if !matches!(byte(text, next), b'.' | 0xe2) {
        return (dots, at);
    }
    match count_dots(text, next) {
        (0, _) => (dots, at),
        (more, end) => (dots.saturating_add(more), end),
    }
}

/// One side's share of a result.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Score {
    Zero,
    Half,
    One,
}

fn half(text: &[u8], at: usize) -> Option<(Score, usize)> {
    let (score, length) = match rest(text, at) {
        [b'1', b'/', b'2', ..] | [b'0', b'.' | b',', b'5', ..] => (Score::Half, 3),
        [0xc2, 0xbd, ..] => (Score::Half, 2),
        [0xbd, ..] => (Score::Half, 1),
        [b'1', ..] => (Score::One, 1),
        [b'0', ..] => (Score::Zero, 1),
        _ => return None,
    };
    let end = at + length;
    (!byte(text, end).is_ascii_digit()).then_some((score, end))
}

#[cfg(test)]
mod tests {
    use super::*;
    use FaultKind::*;

    /// All games of a text, each as a line of tokens and its faults.
    fn read(text: &[u8]) -> Vec<(String, Vec<(FaultKind, String)>)> {
        let mut games = Vec::new();
        let mut game = Game::default();
        let mut at = 0;
        while let Some(next) = read_game(text, at, &mut game) {
            assert!(next > at && next <= text.len());
            at = next;
            let of = |span: Span| crate::decode(span.of(text)).into_owned();
            let mut tokens: Vec<String> = game
                .tags
                .iter()
                .map(|tag| format!("[{}={}]", of(tag.name), tag.value(text)))
                .collect();
            tokens.extend(game.elements.iter().map(|element| match element.kind {
                ElementKind::Number(MoveNumber { value, dots }) => {
                    let value = value.map(|value| value.to_string());
                    format!("#{}:{dots}", value.unwrap_or_default())
                }
                ElementKind::Move(_) => of(element.span),
                ElementKind::Glyph { nag, symbol: true } => format!("${nag}s"),
                ElementKind::Glyph { nag, .. } => format!("${nag}"),
                ElementKind::Comment { body, kind } => format!("{kind:?}<{}>", of(body)),
                ElementKind::Open => "(".into(),
                ElementKind::Close => ")".into(),
                ElementKind::Result(result) => result.as_str().into(),
                ElementKind::Word { movelike: true } => format!("like:{}", of(element.span)),
                ElementKind::Word { .. } => format!("word:{}", of(element.span)),
            }));
            let faults = game
                .faults
                .iter()
                .map(|fault| (fault.kind, of(fault.span)))
                .collect();
            games.push((tokens.join(" "), faults));
        }
        games
    }

    /// The only game of a text without faults.
    fn clean(text: &str) -> String {
        let mut games = read(text.as_bytes());
        assert_eq!(games.len(), 1, "{games:?}");
        let (tokens, faults) = games.remove(0);
        assert_eq!(faults, [], "{text}: {tokens}");
        tokens
    }

    /// The only game of a text and its faults.
    fn faulty(text: &str) -> (String, Vec<(FaultKind, String)>) {
        let mut games = read(text.as_bytes());
        assert_eq!(games.len(), 1, "{games:?}");
        games.remove(0)
    }

    fn games(text: &str) -> Vec<String> {
        read(text.as_bytes())
            .into_iter()
            .map(|(tokens, _)| tokens)
            .collect()
    }

    fn is(faults: &[(FaultKind, String)], expected: &[(FaultKind, &str)]) {
        let faults: Vec<_> = faults
            .iter()
            .map(|(kind, text)| (*kind, text.as_str()))
            .collect();
        assert_eq!(faults, expected);
    }

    #[test]
    fn nothing_and_white_space_hold_no_game() {
        for text in ["", " ", "\r\n\t\n", "\u{feff}", "\u{feff}\n "] {
            assert_eq!(read(text.as_bytes()), [], "{text:?}");
        }
    }

    #[test]
    fn numbers_in_every_form() {
        assert_eq!(clean("23. Rf8 23... Rf8"), "#23:1 Rf8 #23:3 Rf8");
        assert_eq!(clean("23.Rf8 23...Rf8"), "#23:1 Rf8 #23:3 Rf8");
        assert_eq!(clean("23. ... Rf8 23 ... Rf8"), "#23:4 Rf8 #23:3 Rf8");
        assert_eq!(clean("23 Rf8 23Rf8"), "#23:0 Rf8 #23:0 Rf8");
        assert_eq!(clean("23\u{2026}Rf8 \u{2026}Rf8"), "#23:3 Rf8 #:3 Rf8");
        assert_eq!(clean("...Rf8 .. Rf8"), "#:3 Rf8 #:2 Rf8");
        assert_eq!(clean("5)Qa4 5)...Nf6"), "#5:0 Qa4 #5:3 Nf6");
        assert_eq!(clean("(5)Qa4)"), "( #5:0 Qa4 )");
        assert_eq!(clean("(4. e4 e5 5)"), "( #4:1 e4 e5 #5:0 )");
        assert_eq!(clean("99999999999. e4"), "#4294967295:1 e4");
    }

    #[test]
    fn glyphs_glued_and_alone() {
        assert_eq!(
            clean("e4! e5 ? d4!! d5?? c4!? c5?! f4$14 $255"),
            "e4 $1s e5 $2s d4 $3s d5 $4s c4 $5s c5 $6s f4 $14 $255"
        );
        assert_eq!(
            clean("e4 = e5 += d4 =+ d5 \u{b1} c4 \u{2213} c5 \u{2a72} f4 \u{2a71} f5"),
            "e4 $10s e5 $14s d4 $15s d5 $16s c4 $17s c5 $14s f4 $15s f5"
        );
        assert_eq!(
            clean("e4 +- e5 -+ d4 +/- d5 -/+ c4 +/= c5 =/+ f4 \u{221e} f5 \u{25a1} g4 \u{2295}"),
            "e4 $18s e5 $19s d4 $16s d5 $17s c4 $14s c5 $15s f4 $13s f5 $7s g4 $138s"
        );
        assert_eq!(clean("e4 N e5 D Nf3N"), "e4 $146s e5 $220s Nf3 $146s");
        assert_eq!(
            clean("Nf3+- Nf3++- Nf3\u{b1}"),
            "Nf3 $18s Nf3+ $18s Nf3 $16s"
        );
        assert_eq!(clean("Nf3= e8=Q= Nf3+="), "Nf3 $10s e8=Q $10s Nf3 $14s");
        // The sign ± in Latin-1.
        assert_eq!(read(b"Nf3 \xb1 e5")[0].0, "Nf3 $16s e5");
        let (tokens, faults) = faulty("e4 $256 e5 $ d4");
        assert_eq!(tokens, "e4 e5 d4");
        is(&faults, &[(BadGlyph, "$256"), (BadGlyph, "$")]);
    }

    #[test]
    fn results_in_every_form() {
        for (written, meant) in [
            ("1-0", "1-0"),
            ("0-1", "0-1"),
            ("1/2-1/2", "1/2-1/2"),
            ("1/2", "1/2-1/2"),
            ("\u{bd}-\u{bd}", "1/2-1/2"),
            ("\u{bd}", "1/2-1/2"),
            ("1/2:1/2", "1/2-1/2"),
            ("0.5-0.5", "1/2-1/2"),
            ("1:0", "1-0"),
            ("0:1", "0-1"),
            ("1\u{2013}0", "1-0"),
            ("0\u{2212}1", "0-1"),
            ("*", "*"),
        ] {
            assert_eq!(clean(&format!("e4 {written}")), format!("e4 {meant}"));
        }
        assert_eq!(clean("e4 0-0 0-0-0 1-0"), "e4 0-0 0-0-0 1-0");
        assert_eq!(read(b"e4 \xbd-\xbd")[0].0, "e4 1/2-1/2");
    }

    #[test]
    fn moves_in_every_form_stay_whole() {
        let moves = "e2-e4 Ng1-f3 0-0 exd6 e.p. exd6e.p. e8Q e8=Q e8(Q) e8/Q hxg \u{2658}f3 \
                     Nf3++ Qh7mate Bb5ch. N:f3 Nf3: -- Z0 <> @@@@ O-O-O# o-o";
        let game = clean(moves);
        assert_eq!(game, moves);
        let mut game = Game::default();
        read_game(moves.as_bytes(), 0, &mut game);
        assert_eq!(game.elements.len(), 22);
    }

    #[test]
    fn tags_with_their_faults() {
        assert_eq!(
            clean(r#"[White "A \"B\" C\\"] [Black ""][ Site  "x" ]"#),
            r#"[White=A "B" C\] [Black=] [Site=x]"#
        );
        let (tokens, faults) = faulty("[White \"Foo]\n[Black Bar]\n[Site \"x\"\n[Round]\n*");
        assert_eq!(tokens, "[White=Foo] [Black=Bar] [Site=x] [Round=] *");
        assert_eq!(faults.len(), 4);
        assert!(faults.iter().all(|(kind, _)| *kind == BrokenTag));
        let (tokens, faults) =
            faulty("[Event \"The \"Best\" Open\"]\n[White \"Foo] [Black \"Bar\"]");
        assert_eq!(tokens, "[Event=The \"Best\" Open] [White=Foo] [Black=Bar]");
        is(
            &faults,
            &[
                (BrokenTag, "[Event \"The \"Best\" Open\"]"),
                (BrokenTag, "[White \"Foo]"),
            ],
        );
        assert_eq!(clean("[Date\n\"x\"\n]"), "[Date=x]");
        assert_eq!(clean("[A \"1\"]\n\n[A \"2\"]\n\n*"), "[A=1] [A=2] *");
    }

    #[test]
    fn comments_of_every_kind() {
        assert_eq!(
            clean("%first\n{ a } e4 ; b ) {\ne5 {c;\n%d}\n%e"),
            "Escape<first> Brace< a > e4 Line< b ) {> e5 Brace<c;\n%d> Escape<e>"
        );
    }

    #[test]
    fn a_percent_sign_elsewhere_is_a_word() {
        let (tokens, faults) = faulty("e4 %e5\n%note\n e5");
        assert_eq!(tokens, "e4 word:%e5 Escape<note> e5");
        is(&faults, &[(LooseWords, "%e5")]);
    }

    #[test]
    fn braces_that_do_not_match() {
        let (tokens, faults) = faulty("e4 { a { b } 2. Nf3 Nc6 } Bb5 }}");
        assert_eq!(tokens, "e4 Brace< a { b > #2:1 Nf3 Nc6 Bb5");
        is(
            &faults,
            &[(NestedComment, "{"), (StrayBrace, "}"), (StrayBrace, "}}")],
        );
        let (tokens, faults) = faulty("e4 { a { b } c } e5");
        assert_eq!(tokens, "e4 Brace< a { b } c > e5");
        is(&faults, &[(NestedComment, "{")]);
    }

    #[test]
    fn an_unclosed_comment_ends_at_the_next_game() {
        let text = "[Event \"a\"]\n\n1. e4 { never closed 1-0\n\n[White \"b\"]\n\n1. d4 {x} 0-1\n";
        let games = read(text.as_bytes());
        assert_eq!(games.len(), 2);
        assert_eq!(
            games[0].0,
            "[Event=a] #1:1 e4 Unclosed< never closed 1-0\n\n>"
        );
        is(&games[0].1, &[(UnclosedComment, "{")]);
        assert_eq!(games[1].0, "[White=b] #1:1 d4 Brace<x> 0-1");
        // An Event tag needs no blank line; a bracket in a line is no game.
        let text = "1. e4 { see [White \"x\"]\n[White \"x\"]\n[Event \"b\"]\n*";
        let games = read(text.as_bytes());
        assert_eq!(games.len(), 2);
        assert_eq!(games[1].0, "[Event=b] *");
        let (tokens, _) = faulty("e4 {to the end");
        assert_eq!(tokens, "e4 Unclosed<to the end>");
    }

    #[test]
    fn side_lines_that_do_not_match() {
        let (tokens, faults) = faulty("e4 (d4) ) e5 (( c5 (a6) (");
        assert_eq!(tokens, "e4 ( d4 ) e5 ( ( c5 ( a6 ) (");
        is(
            &faults,
            &[
                (StrayParenthesis, ")"),
                (UnclosedSideLine, "(("),
                (UnclosedSideLine, "("),
            ],
        );
    }

    #[test]
    fn loose_words_are_one_fault_a_run() {
        let (tokens, faults) = faulty("e4 White is better, of course. e5 (and so on) d4");
        assert_eq!(
            tokens,
            "e4 word:White word:is word:better, word:of word:course. e5 ( word:and word:so \
             word:on ) d4"
        );
        is(
            &faults,
            &[
                (LooseWords, "White is better, of course."),
                (LooseWords, "and so on"),
            ],
        );
        // A year among words is no move number, a number before a move is one.
        let (tokens, _) = faulty("e4 played in 1925 again 23 Nf3");
        assert_eq!(
            tokens,
            "e4 word:played word:in word:1925 word:again #23:0 Nf3"
        );
    }

    #[test]
    fn words_like_moves_are_no_loose_words() {
        let (tokens, faults) = faulty("e4 Sf6 Ng9 Nxx5 Ni3 Nf exd9 NF3 e8(D)");
        assert_eq!(
            tokens,
            "e4 like:Sf6 like:Ng9 like:Nxx5 like:Ni3 like:Nf like:exd9 like:NF3 like:e8(D)"
        );
        is(&faults, &[]);
        let (tokens, faults) = faulty("e4 Kings No On Be Qed x2 I 2nd 15min");
        assert!(!tokens.contains("like:"), "{tokens}");
        assert_eq!(faults.len(), 1);
    }

    #[test]
    fn punctuation_behind_a_move_is_loose() {
        let (tokens, faults) = faulty("1. e4, e5. 2. Nf3");
        assert_eq!(tokens, "#1:1 e4 word:, e5 word:. #2:1 Nf3");
        is(&faults, &[(LooseWords, ","), (LooseWords, ".")]);
    }

    #[test]
    fn games_without_tags_end_at_the_marker() {
        assert_eq!(
            games("1. e4 e5 1-0\n\n1. d4 d5 0-1\n1. c4 *"),
            ["#1:1 e4 e5 1-0", "#1:1 d4 d5 0-1", "#1:1 c4 *"]
        );
        assert_eq!(
            games("1. e4 e5 1-0 {a comment}\n\ne4 *"),
            ["#1:1 e4 e5 1-0 Brace<a comment>", "e4 *"]
        );
        // Moves behind the marker stay in the game.
        assert_eq!(games("1. e4 1-0 e5\n2. Nf3"), ["#1:1 e4 1-0 e5 #2:1 Nf3"]);
        // A paragraph that begins with number 1 is a game even without a marker.
        assert_eq!(
            games("1. e4 e5 2. Nf3\n\n1. d4 d5"),
            ["#1:1 e4 e5 #2:1 Nf3", "#1:1 d4 d5"]
        );
        assert_eq!(games("1. e4\n\n1... e5"), ["#1:1 e4 #1:3 e5"]);
    }

    #[test]
    fn tags_begin_a_game_wherever_movetext_stood() {
        assert_eq!(
            games("[White \"a\"]\n1. e4 (e5\n[White \"b\"]\n*\n [White \"c\"] *"),
            ["[White=a] #1:1 e4 ( e5", "[White=b] *", "[White=c] *"]
        );
        assert_eq!(
            games("[Event \"a\"]\n[Result \"*\"]\n\n[Event \"b\"]\n"),
            ["[Event=a] [Result=*]", "[Event=b]"]
        );
        // Within a line it is a loose word.
        assert_eq!(games("1. e4 [White \"b\"] e5").len(), 1);
    }

    #[test]
    fn byte_order_marks_and_line_ends() {
        assert_eq!(
            clean("\u{feff}[A \"b\"]\r\n\r\n1. e4\r\n*\r\n"),
            "[A=b] #1:1 e4 *"
        );
        assert_eq!(
            clean("[A \"b\"]\r\r1. e4\r;c\re5 *"),
            "[A=b] #1:1 e4 Line<c> e5 *"
        );
        let games = read("1. e4 *\n\n\u{feff}[A \"b\"]\n\n*".as_bytes());
        assert_eq!(games.len(), 2);
        is(&games[0].1, &[(ByteOrderMark, "\u{feff}")]);
        assert_eq!(games[1], ("[A=b] *".into(), vec![]));
    }

    #[test]
    fn binary_is_named_and_reading_goes_on() {
        let games = read(b"1. e4 \0\0\x01\0 e5 \0M\0Z ab\0cd\0 Nf3 *");
        assert_eq!(games[0].0, "#1:1 e4 e5 Nf3 *");
        let kinds: Vec<_> = games[0].1.iter().map(|(kind, _)| *kind).collect();
        assert_eq!(kinds, [Binary, Binary]);
    }

    #[test]
    fn the_span_is_the_game_without_white_space_around_it() {
        let text = b"  \n1. e4 *  \n\n[A \"b\"]\n*\n";
        let mut game = Game::default();
        let next = read_game(text, 0, &mut game).expect("a game");
        assert_eq!(game.span.of(text), b"1. e4 *");
        read_game(text, next, &mut game).expect("a game");
        assert_eq!(game.span.of(text), b"[A \"b\"]\n*");
    }
}
