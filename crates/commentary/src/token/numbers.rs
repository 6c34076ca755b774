//! Dots and digits: move numbers, counts, dates.

use gainsay_notation::MoveNumber;

use super::lexer::{Lexer, blank_length, is_letter};
use super::tokens::TokenKind;

impl Lexer<'_> {
    /// Whether the dot at `at` is one by itself.
    pub(super) fn is_full_stop(&self, at: usize) -> bool {
        !matches!(self.byte(at + 1), b'.' | 0xe2)
    }

    /// Dots: an ellipsis in front of a move, a full stop otherwise.
    pub(super) fn dots(&mut self) {
        let (count, length) = dots(self.rest(self.at));
        if count >= 2 {
            let at = self.blanks(self.at + length);
            if self.move_length(at).is_some() || self.is_short_capture(at) {
                let number = MoveNumber {
                    value: None,
                    dots: count,
                };
                return self.push(self.at + length, TokenKind::MoveNumber(number));
            }
            return self.push(self.at + length, TokenKind::Ellipsis);
        }
        self.push(self.at + length, TokenKind::Stop);
    }

    /// Digits: a move number, a count, a castling with zeros, a date, a score.
    pub(super) fn digit_run(&mut self) {
        if self.byte(self.at) == b'0' && self.try_move() {
            return;
        }
        let start = self.at;
        let length = digits(self.rest(start));
        let value = number(self.rest(start), length);
        let behind = start + length;
        let (count, dot_length) = dots(self.rest(behind));
        let mut at = behind + dot_length;
        if count > 0 || self.byte(behind) == b')' {
            if count == 0 {
                at += 1;
            }
            // "23. ... Rf8"
            let mut dots_seen = count;
            let blank = self.blanks(at);
            let (more, more_length) = dots(self.rest(blank));
            if count > 0 && more >= 2 {
                dots_seen = more.max(count);
                at = blank + more_length;
            }
            // "12.fg" and "12... fg", but not "on move 12. de"
            let target = if dots_seen >= 2 { self.blanks(at) } else { at };
            let moves = self.move_length(self.blanks(at)).is_some()
                || count > 0 && self.is_short_capture(target);
            if moves && value.is_some_and(|v| v < 1000) {
                let end = if count == 0 { behind } else { at };
                let number = MoveNumber {
                    value,
                    dots: dots_seen,
                };
                return self.push(end, TokenKind::MoveNumber(number));
            }
        }
        // "23 ... Rf8" and "23 Rf8"
        let blank = self.blanks(behind);
        if count == 0 && blank > behind && value.is_some_and(|v| v < 1000) {
            let (more, more_length) = dots(self.rest(blank));
            let target = self.blanks(blank + more_length);
            if more >= 2 && self.move_length(target).is_some() {
                let number = MoveNumber { value, dots: more };
                return self.push(blank + more_length, TokenKind::MoveNumber(number));
            }
            if more == 0 && self.has_piece_move(blank) {
                let number = MoveNumber { value, dots: 0 };
                return self.push(behind, TokenKind::MoveNumber(number));
            }
        }
        // Dates, times, scores, versions: everything glued to the digits.
        let mut end = behind;
        while matches!(
            self.byte(end),
            b'0'..=b'9' | b'.' | b':' | b'/' | b'-' | b'%'
        ) && (self.byte(end).is_ascii_digit()
            || self.byte(end + 1).is_ascii_digit()
            || self.byte(end) == b'%')
        {
            end += 1;
        }
        if end > behind {
            return self.push(end, TokenKind::Other);
        }
        match value {
            Some(value) if !is_letter(self.byte(behind)) || blank > behind => {
                self.push(behind, TokenKind::Number(value));
                // "3-fold"
                self.at +=
                    usize::from(self.byte(behind) == b'-' && is_letter(self.byte(behind + 1)));
            }
            // "1st", "2nd", "12th", "3rd": the ending is dropped.
            Some(value) if is_ordinal(self.rest(behind)) => {
                self.push(behind + 2, TokenKind::Number(value));
            }
            _ => {
                let mut end = behind;
                while is_letter(self.byte(end)) || self.byte(end).is_ascii_digit() {
                    end += 1;
                }
                self.push(end, TokenKind::Other);
            }
        }
    }

    pub(super) fn blanks(&self, mut at: usize) -> usize {
        loop {
            at += match self.byte(at) {
                b' ' | b'\n' | b'\r' | b'\t' => 1,
                0x80.. => match blank_length(self.rest(at)) {
                    0 => return at,
                    length => length,
                },
                _ => return at,
            };
        }
    }
}

/// The number of ASCII digits in front.
pub(super) fn digits(bytes: &[u8]) -> usize {
    bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count()
}

/// The value of the first `length` digits, if it is not absurd.
pub(super) fn number(bytes: &[u8], length: usize) -> Option<u32> {
    if length == 0 || length > 6 {
        return None;
    }
    bytes
        .get(..length)
        .map(|digits| digits.iter().fold(0, |n, &d| n * 10 + u32::from(d - b'0')))
}

/// How many dots stand in front, and how many bytes they take.
fn dots(bytes: &[u8]) -> (u8, usize) {
    let mut count = 0_u8;
    let mut length = 0;
    loop {
        let rest = bytes.get(length..).unwrap_or_default();
        if rest.first() == Some(&b'.') {
            count = count.saturating_add(1);
            length += 1;
        } else if rest.starts_with("…".as_bytes()) {
            count = count.saturating_add(3);
            length += 3;
        } else {
            return (count, length);
        }
    }
}

fn is_ordinal(bytes: &[u8]) -> bool {
    [b"st", b"nd", b"rd", b"th"]
        .iter()
        .any(|ending| bytes.starts_with(*ending))
        && !bytes.get(2).is_some_and(|&byte| is_letter(byte))
}
