//! Cited lines.

use gainsay_notation::{MoveNumber, Signs, WrittenMove, parse_move};

use super::chunker::Chunker;
use crate::chunks::ChunkKind;
use crate::claim::{CitedLine, CitedMove, Joint, LineRole, Mood};
use crate::set::Set;
use crate::token::{TokenKind, is_plain_move};

impl Chunker<'_> {
    /// A square behind a number of the line, or with a glyph behind it, is a pawn's move.
    pub(super) fn pawn_move_line(&mut self) -> bool {
        let glyph = matches!(self.token(self.at + 1), Some(TokenKind::Glyph(glyph)) if glyph.is_mark())
            && self.span(self.at).end == self.span(self.at + 1).start;
        let starts_line = matches!(self.token(self.at + 1), Some(TokenKind::MoveNumber(number)) if number.value.is_some());
        let before = self.at.wrapping_sub(1);
        // "g4 was mate", but not "control of g4 was".
        let verb = self.is(self.at + 1, Set::MoveVerb)
            || self.is(before, Set::Plays)
            || self.is(self.at + 2, Set::MoveTrait)
                && matches!(self.token(self.at + 1), Some(TokenKind::Word { .. }));
        // "the f5 break", "the threat is f5"
        let step = self.is(self.at + 1, Set::PawnStep);
        let is = self.is(before, Set::Question)
            && (self.is(before.wrapping_sub(1), Set::Threat)
                || self.is(before.wrapping_sub(1), Set::PawnStep));
        // "the best move: f3", "the usual move, f3."
        let told = matches!(
            self.token(before),
            Some(TokenKind::Colon | TokenKind::Comma)
        ) && self.is(before.wrapping_sub(1), Set::PawnStep)
            && matches!(
                self.token(self.at + 1),
                None | Some(TokenKind::Stop | TokenKind::Comma | TokenKind::Close)
            );
        let is = is || told;
        let placed = self.is(before, Set::Prep) && !(step && self.is(before, Set::Det));
        (glyph || starts_line || verb || step || is) && !placed && self.line()
    }

    /// The move at a token: a move, or a square that stands for a pawn's move.
    fn move_at(&self, at: usize) -> Option<WrittenMove> {
        match self.token(at)? {
            TokenKind::Move(written) => Some(written),
            TokenKind::Square(_) => parse_move(self.span(at).of(self.text), self.letters),
            _ => None,
        }
    }

    /// Reads a cited line at the current token.
    pub(super) fn line(&mut self) -> bool {
        let first = self.at;
        let first_move = u32::try_from(self.prose.moves.len()).unwrap_or(u32::MAX);
        let mut at = first;
        let mut end = first;
        loop {
            // Number.
            let mut next = at;
            let mut number: Option<MoveNumber> = None;
            let mut number_span = None;
            if end > first && matches!(self.token(next), Some(TokenKind::Comma)) {
                // A comma inside a numbered line: "24.Qh6+ Kg8, 25.Qg7#".
                if !matches!(self.token(next + 1), Some(TokenKind::MoveNumber(n)) if n.value.is_some())
                {
                    break;
                }
                next += 1;
            }
            if let Some(TokenKind::MoveNumber(written)) = self.token(next) {
                number = Some(written);
                number_span = Some(self.span(next));
                next += 1;
                // "5)Qa4"
                if matches!(self.token(next), Some(TokenKind::Close)) {
                    next += 1;
                }
            }
            let Some(written) = self.move_at(next) else {
                break;
            };
            let pawn = !is_plain_move(&written) && written.signs == Signs::None;
            if number.is_none() && pawn && matches!(self.token(next), Some(TokenKind::Square(_))) {
                // A bare square goes on with a line of moves; that it begins one
                // [`Self::pawn_move_line`] has asked. No piece may be named behind it.
                if self.sense(next + 1).piece.is_some() {
                    break;
                }
            }
            let mut cited = CitedMove {
                span: self.span(next),
                number,
                number_span,
                written,
                glyph: None,
                mate_word: false,
            };
            next += 1;
            while let Some(TokenKind::Glyph(glyph)) = self.token(next) {
                cited.glyph.get_or_insert(glyph);
                next += 1;
            }
            if self.is(next, Set::Mate) && self.mate_word_ends(next + 1) {
                cited.mate_word = true;
                next += 1;
            }
            self.prose.moves.push(cited);
            end = next;
            at = next;
            if cited.mate_word {
                break;
            }
        }
        if end == first {
            return false;
        }
        let index = u32::try_from(self.prose.lines.len()).unwrap_or(u32::MAX);
        let line = CitedLine {
            span: self.span(first).to(self.span(end - 1)),
            moves: first_move..u32::try_from(self.prose.moves.len()).unwrap_or(u32::MAX),
            role: LineRole::Stated,
            mood: Mood::Stated,
            depth: self.depth,
            sentence: self.sentence,
            joint: self.joint(),
            doubted: false,
            premise: false,
            follows: false,
            imagined: false,
            apposed: false,
        };
        self.prose.lines.push(line);
        self.push(end, ChunkKind::Line(index));
        true
    }

    /// Whether the word "mate" in front of token `at` closes a line.
    fn mate_word_ends(&self, at: usize) -> bool {
        match self.token(at) {
            None => true,
            Some(TokenKind::Word { .. }) => self.is(at, Set::And),
            Some(TokenKind::Number(_)) => false,
            Some(_) => true,
        }
    }

    /// What stands between the line before and here.
    fn joint(&self) -> Joint {
        for chunk in self.chunks.iter().rev().take(40) {
            match chunk.kind {
                ChunkKind::Line(line) => {
                    return match self.prose.lines.get(line as usize) {
                        Some(before) if before.sentence != self.sentence => Joint::Sentence,
                        Some(_) if self.only_a_list_since() => Joint::List,
                        _ => Joint::Words,
                    };
                }
                ChunkKind::End => return self.after_sentence(),
                _ => {}
            }
        }
        self.after_sentence()
    }

    fn after_sentence(&self) -> Joint {
        if self.prose.lines.is_empty() {
            Joint::First
        } else {
            Joint::Sentence
        }
    }

    fn only_a_list_since(&self) -> bool {
        self.chunks
            .iter()
            .rev()
            .take_while(|chunk| !matches!(chunk.kind, ChunkKind::Line(_)))
            .all(|chunk| match chunk.kind {
                ChunkKind::Comma | ChunkKind::Pause => true,
                ChunkKind::Word { .. } => {
                    let sense = self.senses.sense(chunk);
                    sense.is(Set::Or) || sense.is(Set::And)
                }
                _ => false,
            })
    }
}
