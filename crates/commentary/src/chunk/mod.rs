//! Tokens to chunks: cited lines, noun phrases for pieces, sides, and the words
//! between them.

mod adjectives;
mod chunker;
mod line;
mod noun;

use gainsay_notation::Language;
use shakmaty::{Color, File};

use self::chunker::Chunker;
use crate::chunks::{Chunk, ChunkKind, Chunks, Sentence};
use crate::claim::Prose;
use crate::entry::Entry;
use crate::sense::Senses;
use crate::set::Set;
use crate::token::{Token, TokenKind};
use crate::wording::Nuance;

/// The sets of the words that can be a side by themselves.
const NAMES_SIDE: u128 =
    Set::White.bit() | Set::Black.bit() | Set::Me.bit() | Set::He.bit() | Set::Opponent.bit();

/// Turns `tokens` into chunks and enters moves and lines into `prose`.
pub(crate) fn chunk(
    text: &[u8],
    tokens: &[Token],
    senses: Senses<'_>,
    letters: Language,
    author: Option<Color>,
    prose: &mut Prose,
    out: &mut Chunks,
) {
    out.clear();
    let mut chunker = Chunker {
        text,
        tokens,
        senses,
        letters,
        author,
        prose,
        chunks: &mut out.chunks,
        sentences: &mut out.sentences,
        finders: &mut out.finders,
        current: Sentence::at(0, 0),
        at: 0,
        depth: 0,
        sentence: 0,
        line_end: 0,
    };
    while let Some(token) = tokens.get(chunker.at) {
        chunker.step(token);
    }
    if chunker.current.chunks.start < chunker.chunks.len() {
        chunker.close_sentence(chunker.chunks.len(), false);
    }
}

impl Chunker<'_> {
    fn step(&mut self, token: &Token) {
        let kind = match token.kind {
            TokenKind::Word { .. } if let Some(file) = self.file_by_letter(self.at) => {
                ChunkKind::File(file)
            }
            TokenKind::Word { capital } => match self.word(token.entry, capital) {
                Some(kind) => kind,
                None => return,
            },
            TokenKind::Name(_)
            | TokenKind::Number(_)
            | TokenKind::Square(_)
            | TokenKind::File(_)
                if self.noun() =>
            {
                return;
            }
            TokenKind::Name(color) => ChunkKind::Side(color),
            TokenKind::Number(value) => ChunkKind::Number(value),
            TokenKind::MoveNumber(_) | TokenKind::Move(_) if self.line() => return,
            TokenKind::Square(_) if self.pawn_move_line() => return,
            TokenKind::Square(square) => ChunkKind::Square(square),
            TokenKind::File(file) => ChunkKind::File(file),
            // "Mate on f1?" asks; only behind a move is the mark a glyph.
            TokenKind::Glyph(glyph)
                if glyph.has_question_mark()
                    && matches!(
                        self.chunks.last(),
                        Some(Chunk {
                            kind: ChunkKind::Square(_) | ChunkKind::Noun(_),
                            ..
                        })
                    ) =>
            {
                return self.end_sentence(true);
            }
            TokenKind::Glyph(glyph) => {
                self.current.glyph = true;
                ChunkKind::Glyph(glyph)
            }
            TokenKind::Comma => ChunkKind::Comma,
            TokenKind::Pause | TokenKind::Slash | TokenKind::Ellipsis => {
                self.current.pause = true;
                ChunkKind::Pause
            }
            TokenKind::Colon => ChunkKind::Colon,
            TokenKind::Stop if self.ends_sentence() => return self.end_sentence(false),
            TokenKind::Stop => {
                self.at += 1;
                return;
            }
            TokenKind::Question => return self.end_sentence(true),
            TokenKind::Exclamation | TokenKind::Paragraph => return self.end_sentence(false),
            TokenKind::Open => {
                self.depth = self.depth.saturating_add(1);
                ChunkKind::Open
            }
            TokenKind::Close => {
                self.depth = self.depth.saturating_sub(1);
                ChunkKind::Close
            }
            TokenKind::Quote => ChunkKind::Quote,
            TokenKind::MoveNumber(_) | TokenKind::Move(_) | TokenKind::Route | TokenKind::Other => {
                ChunkKind::Other
            }
        };
        let chunk = match kind {
            ChunkKind::Word { .. } | ChunkKind::He(_) => Chunk {
                span: token.span,
                entry: token.entry,
                kind,
            },
            kind => {
                let mut chunk = Chunk::new(token.span, kind);
                if chunk.entry == Entry::SIDE && self.sense(self.at).has(Nuance::Object) {
                    chunk.entry = Entry::OBLIQUE_SIDE;
                }
                chunk
            }
        };
        self.push_chunk(chunk);
        self.at += 1;
    }

    /// The file that a single letter at token `at` names behind the word for files: "la columna e",
    /// "вертикаль d".
    pub(super) fn file_by_letter(&self, at: usize) -> Option<File> {
        let letter = match self.span(at).of(self.text) {
            &[letter] => letter,
            _ => return None,
        };
        let named = at
            .checked_sub(1)
            .is_some_and(|at| self.is(at, Set::FileWord));
        // "La colonne a été ouverte", "de la colonne d'attaque"
        let next = self.text.get(self.span(at).end as usize);
        let elided = matches!(next, Some(b'\'' | 0xe2));
        let verb = letter == b'a'
            && matches!(self.token(at + 1), Some(TokenKind::Word { .. }))
            && !self.is(at + 1, Set::Is);
        (named && !elided && !verb)
            .then(|| File::from_char(char::from(letter)))
            .flatten()
    }

    /// Whether the word at token `at` counts what stands behind it.
    fn counts(&self, at: usize) -> bool {
        self.sense(at).number.is_some() || self.is(at, Set::Not) || self.is(at, Set::Sole)
    }

    fn end_sentence(&mut self, asked: bool) {
        let end = self.chunks.len();
        self.push(self.at + 1, ChunkKind::End);
        self.sentence += 1;
        self.close_sentence(end, asked);
    }

    /// Ends the sentence in front of chunk `end`.
    fn close_sentence(&mut self, end: usize, asked: bool) {
        let current = &mut self.current;
        current.chunks.end = end;
        current.finders.end = self.finders.len();
        current.asked = asked;
        self.sentences.push(current.clone());
        *current = Sentence::at(self.chunks.len(), self.finders.len());
    }

    /// A full stop behind an abbreviation or an initial ends no sentence.
    fn ends_sentence(&self) -> bool {
        let Some(before) = self.at.checked_sub(1) else {
            return true;
        };
        if self.span(before).end != self.span(self.at).start {
            return true;
        }
        match self.token(before) {
            Some(TokenKind::Word { capital, .. }) => {
                let initial = capital && self.span(before).len() == 1;
                !(initial || self.is(before, Set::Abbreviation))
            }
            _ => true,
        }
    }

    /// What the word at the current token is by itself; `None` where it begins a noun phrase or
    /// a number of two words, which is pushed.
    #[inline]
    fn word(&mut self, entry: Entry, capital: bool) -> Option<ChunkKind> {
        let sense = self.senses.of(entry);
        // "Twenty-one" is two words.
        if let (Some(tens @ 20..), Some(units @ 1..10)) =
            (sense.number, self.sense(self.at + 1).number)
        {
            self.push(self.at + 2, ChunkKind::Number(u32::from(tens + units)));
            return None;
        }
        if sense.opens_noun && self.noun() {
            return None;
        }
        if !sense.is_any(NAMES_SIDE) {
            return Some(ChunkKind::Word { capital });
        }
        Some(if sense.is(Set::White) {
            ChunkKind::Side(Color::White)
        } else if sense.is(Set::Black) {
            ChunkKind::Side(Color::Black)
        } else if let (true, Some(author)) = (sense.is(Set::Me), self.author) {
            ChunkKind::Side(author)
        } else if sense.is(Set::He) {
            ChunkKind::He(sense.is(Set::Third))
        } else if sense.is(Set::Opponent) && self.at > 0 && self.counts(self.at - 1) {
            // "One defender", "no attacker", "the sole defender": a piece.
            ChunkKind::Word { capital }
        } else if sense.is(Set::Opponent) {
            match self.author {
                Some(author) if self.at > 0 && self.is(self.at - 1, Set::Me) => {
                    ChunkKind::Side(!author)
                }
                _ => ChunkKind::Opponent,
            }
        } else {
            ChunkKind::Word { capital }
        })
    }
}
