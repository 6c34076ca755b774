//! What begins with a digit, a dot or a dollar: move numbers, results and glyphs by number.

use shakmaty::Color;

use super::Reader;
use crate::bytes::{self, Class, byte, byte_ends_word, class, ends_word, rest, skip_space};
use crate::glyph::Glyph;
use crate::language::Language;
use crate::movetext::{dash, read_move};
use crate::tree::{Element, ElementKind, FaultKind, GameResult, MoveNumber};

impl Reader<'_> {
    pub(super) fn glyph_by_number(&mut self) {
        let start = self.at;
        let mut end = start + 1;
        let mut value = 0u32;
        while byte(self.text, end).is_ascii_digit() {
            let digit = u32::from(byte(self.text, end) - b'0');
            value = value.saturating_mul(10).saturating_add(digit);
            end += 1;
        }
        match u8::try_from(value) {
            Ok(number) if end > start + 1 => {
                let glyph = Glyph::new(number);
                self.push(
                    ElementKind::Glyph {
                        glyph,
                        symbol: false,
                    },
                    start,
                    end,
                );
            }
            _ => {
                self.fault(FaultKind::BadGlyph, start, end);
                self.loose = false;
                self.at = end;
            }
        }
    }

    pub(super) fn result(&mut self, result: GameResult, end: usize) {
        self.over |= self.depth == 0;
        self.push(ElementKind::Result(result), self.at, end);
    }

    /// Dots that stand alone.
    pub(super) fn dots(&mut self) {
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
    pub(super) fn digits(&mut self) -> bool {
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
    pub(super) fn next_game_at_move(&self) -> bool {
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
    pub(super) fn result_at(&self, at: usize) -> Option<(GameResult, usize)> {
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
