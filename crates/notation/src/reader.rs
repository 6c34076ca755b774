//! The reader of game text.

use shakmaty::Color;

use crate::bytes::{
    self, BOM, Class, braces, byte, class, ends_word, is_event_start, is_game_start, is_line_end,
    is_space, line_end, odd_space, read_tag, rest, skip_space, word_end,
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
            push_fault(
                self.text,
                &mut self.game.faults,
                FaultKind::BrokenTag,
                tag.span,
            );
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
            if first != Half::Half {
                return None;
            }
            GameResult::Draw
        } else {
            let (second, behind) = half(self.text, end + joint)?;
            end = behind;
            match (first, second) {
                (Half::One, Half::Zero) => GameResult::Win(Color::White),
                (Half::Zero, Half::One) => GameResult::Win(Color::Black),
                (Half::Half, Half::Half) => GameResult::Draw,
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
        if class(byte(text, start)) == Class::High {
            if let Some(end) = self.high(start) {
                self.at = end;
                return true;
            }
        }
        let end = word_end(text, start);
        if let Some((base, behind)) = read_base(text, start, Language::English) {
            // A loose `de` or `ed` is more likely a word than a capture.
            let doubtful = self.loose
                && behind == start + 2
                && matches!(base.shape, WrittenShape::PawnCapture { .. });
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
                            (Some(behind), Some(fault)) if element.span.end == behind.start => {
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

fn push_fault(text: &[u8], faults: &mut Vec<Fault>, kind: FaultKind, span: Span) {
    if let Some(last) = faults.last_mut()
        && last.kind == kind
        && kind != FaultKind::BrokenTag
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

/// One side of a result.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    Zero,
    Half,
    One,
}

fn half(text: &[u8], at: usize) -> Option<(Half, usize)> {
    let (half, length) = match rest(text, at) {
        [b'1', b'/', b'2', ..] | [b'0', b'.' | b',', b'5', ..] => (Half::Half, 3),
        [0xc2, 0xbd, ..] => (Half::Half, 2),
        [0xbd, ..] => (Half::Half, 1),
        [b'1', ..] => (Half::One, 1),
        [b'0', ..] => (Half::Zero, 1),
        _ => return None,
    };
    let end = at + length;
    (!byte(text, end).is_ascii_digit()).then_some((half, end))
}
