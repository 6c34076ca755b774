//! Glyphs, dashes and the few signs above ASCII.

use gainsay_notation::Glyph;

use super::lexer::{Lexer, blank_length, is_letter};
use super::moves::is_figurine;
use super::numbers::{digits, number};
use super::tokens::TokenKind;

impl Lexer<'_> {
    /// `$12`
    pub(super) fn glyph_by_number(&mut self) {
        let digits = digits(self.rest(self.at + 1));
        let number = number(self.rest(self.at + 1), digits);
        match number.and_then(|number| u8::try_from(number).ok()) {
            Some(number) if digits > 0 => {
                let glyph = Glyph::new(number);
                self.push(self.at + 1 + digits, TokenKind::Glyph(glyph));
            }
            _ => self.push(self.at + 1, TokenKind::Other),
        }
    }

    /// A byte above ASCII: a letter of a word, or one of the few signs that prose uses.
    pub(super) fn high(&mut self) {
        const SIGNS: [(&[u8], TokenKind); 13] = [
            ("…".as_bytes(), TokenKind::Ellipsis),
            ("–".as_bytes(), TokenKind::Pause),
            ("—".as_bytes(), TokenKind::Pause),
            ("“".as_bytes(), TokenKind::Quote),
            ("”".as_bytes(), TokenKind::Quote),
            ("„".as_bytes(), TokenKind::Quote),
            ("«".as_bytes(), TokenKind::Quote),
            ("»".as_bytes(), TokenKind::Quote),
            ("‘".as_bytes(), TokenKind::Quote),
            ("’".as_bytes(), TokenKind::Quote),
            ("¿".as_bytes(), TokenKind::Other),
            ("¡".as_bytes(), TokenKind::Other),
            ("½".as_bytes(), TokenKind::Other),
        ];
        let rest = self.rest(self.at);
        let blank = blank_length(rest);
        if blank > 0 {
            self.at += blank;
            return;
        }
        if rest.starts_with("…".as_bytes()) {
            return self.dots();
        }
        if is_figurine(rest) {
            return self.letter_run();
        }
        if let Some((glyph, length)) = Glyph::at_start(rest) {
            return self.push(self.at + length, TokenKind::Glyph(glyph));
        }
        for (sign, kind) in SIGNS {
            if rest.starts_with(sign) {
                let end = self.at + sign.len();
                if matches!(kind, TokenKind::Other) {
                    self.at = end;
                } else {
                    self.push(end, kind);
                }
                return;
            }
        }
        self.letter_run();
    }

    /// Glyphs and dashes.
    pub(super) fn sign(&mut self) {
        let rest = self.rest(self.at);
        let Some((glyph, length)) = Glyph::at_start(rest) else {
            let dashes = rest.iter().take_while(|&&byte| byte == b'-').count();
            if dashes > 0 {
                return self.push(self.at + dashes.min(3), TokenKind::Pause);
            }
            return self.push(self.at + 1, TokenKind::Other);
        };
        let end = self.at + length;
        let behind_move = self.tokens.tokens.last().is_some_and(|token| {
            token.span.end as usize == self.at
                && matches!(
                    token.kind,
                    TokenKind::Move(_) | TokenKind::Square(_) | TokenKind::Glyph(_)
                )
        });
        if behind_move {
            self.push(end, TokenKind::Glyph(glyph));
        } else if glyph.is_mark() {
            let end = self.after_marks(end);
            let marks = self.text.get(self.at..end).unwrap_or_default();
            let kind = if marks.contains(&b'?') {
                TokenKind::Question
            } else {
                TokenKind::Exclamation
            };
            self.push(end, kind);
        } else if is_letter(self.byte(end)) || self.byte(end).is_ascii_digit() {
            // "1500+-rated" and the score of a match, "+8 =2", are no judgements.
            self.push(end, TokenKind::Other);
        } else {
            self.push(end, TokenKind::Glyph(glyph));
        }
    }

    fn after_marks(&self, mut at: usize) -> usize {
        while matches!(self.byte(at), b'!' | b'?') {
            at += 1;
        }
        at
    }
}
