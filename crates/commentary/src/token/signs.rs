//! Glyphs, dashes and the few signs above ASCII.

use super::moves::is_figurine;
use super::numbers::{digits, number};
use super::{Lexer, TokenKind, is_letter};

impl Lexer<'_> {
    /// `$12`
    pub(super) fn nag(&mut self) {
        let digits = digits(self.rest(self.at + 1));
        match number(self.rest(self.at + 1), digits).and_then(|nag| u8::try_from(nag).ok()) {
            Some(nag) if digits > 0 => self.push(self.at + 1 + digits, TokenKind::Glyph(nag)),
            _ => self.push(self.at + 1, TokenKind::Other),
        }
    }

    /// A byte above ASCII: a letter of a word, or one of the few signs that prose uses.
    pub(super) fn high(&mut self) {
        const SIGNS: [(&[u8], TokenKind); 22] = [
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
            ("±".as_bytes(), TokenKind::Glyph(16)),
            ("∓".as_bytes(), TokenKind::Glyph(17)),
            ("⩲".as_bytes(), TokenKind::Glyph(14)),
            ("⩱".as_bytes(), TokenKind::Glyph(15)),
            ("∞".as_bytes(), TokenKind::Glyph(13)),
            ("□".as_bytes(), TokenKind::Glyph(7)),
            ("⊕".as_bytes(), TokenKind::Glyph(22)),
            ("¿".as_bytes(), TokenKind::Other),
            ("¡".as_bytes(), TokenKind::Other),
            ("½".as_bytes(), TokenKind::Other),
            ("\u{feff}".as_bytes(), TokenKind::Other),
            ("\u{a0}".as_bytes(), TokenKind::Other),
        ];
        let rest = self.rest(self.at);
        if rest.starts_with("…".as_bytes()) {
            return self.dots();
        }
        if is_figurine(rest) {
            return self.letter_run();
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
        const GLYPHS: [(&[u8], u8); 20] = [
            (b"+/-", 16),
            (b"-/+", 17),
            (b"+/=", 14),
            (b"=/+", 15),
            (b"+-", 18),
            (b"-+", 19),
            (b"+=", 14),
            (b"=+", 15),
            (b"!!", 3),
            (b"??", 4),
            (b"!?", 5),
            (b"?!", 6),
            (b"---", 0),
            (b"--", 0),
            (b"!", 1),
            (b"?", 2),
            (b"=", 10),
            (b"-", 0),
            (b"+", 0),
            (b"#", 0),
        ];
        let rest = self.rest(self.at);
        for (sign, nag) in GLYPHS {
            if !rest.starts_with(sign) {
                continue;
            }
            let end = self.at + sign.len();
            let behind_move = self.tokens.tokens.last().is_some_and(|token| {
                token.span.end as usize == self.at
                    && matches!(
                        token.kind,
                        TokenKind::Move(_) | TokenKind::Square(_) | TokenKind::Glyph(_)
                    )
            });
            return match (sign, nag) {
                (b"?" | b"??", _) if !behind_move => {
                    self.push(self.after_marks(end), TokenKind::Question);
                }
                (b"!" | b"!!" | b"!?" | b"?!", _) if !behind_move => {
                    let end = self.after_marks(end);
                    let asked = self
                        .text
                        .get(self.at..end)
                        .is_some_and(|s| s.contains(&b'?'));
                    self.push(
                        end,
                        if asked {
                            TokenKind::Question
                        } else {
                            TokenKind::Exclamation
                        },
                    );
                }
                // "1500+-rated" is no judgement.
                (_, 10..) if !behind_move && is_letter(self.byte(end)) => {
                    self.push(end, TokenKind::Other);
                }
                (b"-" | b"--" | b"---", _) => self.push(end, TokenKind::Pause),
                (_, 0) => self.push(end, TokenKind::Other),
                (_, nag) => self.push(end, TokenKind::Glyph(nag)),
            };
        }
        self.push(self.at + 1, TokenKind::Other);
    }

    fn after_marks(&self, mut at: usize) -> usize {
        while matches!(self.byte(at), b'!' | b'?') {
            at += 1;
        }
        at
    }
}
