//! Words: moves with something glued to them, symbols, and what is neither.

use shakmaty::{Rank, Role};

use super::{Reader, push_fault, span};
use crate::bytes::{BOM, Class, byte, class, ends_word, odd_space, rest, word_end};
use crate::glyph::Glyph;
use crate::language::Language;
use crate::movetext::{Signs, WrittenMove, WrittenShape};
use crate::movetext::{may_be_descriptive, read_base, read_old_move, read_signs};
use crate::tree::{ElementKind, Fault, FaultKind};
use crate::words::is_movelike;

impl Reader<'_> {
    /// A word that is no plain move: a move with something glued to it, a
    /// symbol, a result, a null move, or a loose word. False where the next
    /// game begins.
    pub(super) fn word(&mut self) -> bool {
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
                if let Some((glyph, glyph_end)) = tail.glyph {
                    self.push(
                        ElementKind::Glyph {
                            glyph,
                            symbol: true,
                        },
                        tail.end,
                        glyph_end,
                    );
                }
                return true;
            }
        }
        if may_be_descriptive(byte(text, start), byte(text, start + 1))
            && let Some((written, end)) = read_old_move(text, start)
            && (ends_word(text, end) || byte(text, end) == b',')
        {
            if self.over && self.next_game_at_move() {
                return false;
            }
            self.push_move(written, start, end);
            return true;
        }
        let word = text.get(start..end).unwrap_or_default();
        let glyph = Glyph::of_symbol(word).or_else(|| self.letter_glyph(word));
        if let Some(glyph) = glyph {
            self.push(
                ElementKind::Glyph {
                    glyph,
                    symbol: true,
                },
                start,
                end,
            );
            return true;
        }
        if let Some((result, end)) = self.result_at(start) {
            self.result(result, end);
            return true;
        }
        self.loose_word(start, end.max(start + 1));
        true
    }

    /// The glyph that letters mean where they stand behind a move.
    fn letter_glyph(&self, word: &[u8]) -> Option<Glyph> {
        let glyph = Glyph::of_letters(word)?;
        matches!(
            self.game.elements.last()?.kind,
            ElementKind::Move(_)
                | ElementKind::Word { movelike: true }
                | ElementKind::Glyph { .. }
                | ElementKind::Comment { .. }
        )
        .then_some(glyph)
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
        let (glyph, length) = Glyph::at_start(bytes)?;
        if !ends_word(bytes, length) && class(byte(bytes, length)) != Class::High {
            return None;
        }
        self.push(
            ElementKind::Glyph {
                glyph,
                symbol: true,
            },
            start,
            start + length,
        );
        Some(self.at)
    }

    pub(super) fn loose_word(&mut self, start: usize, word_end: usize) {
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
    pub(super) fn binary(&mut self) {
        let start = self.at;
        let end = word_end(self.text, start).max(start + 1);
        self.fault(FaultKind::Binary, start, end);
        self.loose = false;
        self.at = end;
    }
}

/// A move of a word, with what is glued behind it.
struct Tail {
    written: WrittenMove,
    /// Offset behind the move and its signs.
    end: usize,
    /// The glyph behind it, and the offset behind that.
    glyph: Option<(Glyph, usize)>,
}

impl Tail {
    /// Reads what stands between the move `base` and the end of its word.
    fn read(text: &[u8], base: WrittenMove, behind: usize, word_end: usize) -> Option<Self> {
        let glued = |from: usize| {
            let bytes = text.get(from..word_end.max(from))?;
            let novelty = || Glyph::of_letters(bytes).filter(|_| bytes.ends_with(b"N"));
            let glyph = Glyph::of_symbol(bytes).or_else(novelty);
            glyph.map(|glyph| (glyph, word_end))
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
