//! Tokens to chunks: cited lines, noun phrases for pieces, sides, and the words
//! between them.

mod line;
mod noun;

use std::ops::Range;

use gainsay_notation::{Glyph, Language, Span};
use shakmaty::{Color, File, Square};

use crate::lexicon::Set;
use crate::pattern::Presence;
use crate::sense::{Entry, Sense, Senses};
use crate::token::{Token, TokenKind};
use crate::{Noun, Prose};

/// A chunk with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chunk {
    pub(crate) span: Span,
    /// The word, or what stands for words of its kind.
    pub(crate) entry: Entry,
    pub(crate) kind: ChunkKind,
}

/// What a chunk is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum ChunkKind {
    /// A word; whether it begins with a capital letter.
    Word {
        capital: bool,
    },
    Number(u32),
    /// A cited line, by its index.
    Line(u32),
    Noun(Noun),
    Square(Square),
    File(File),
    Side(Color),
    /// One of the players; whether "he", who was named before, or "we", "they".
    He(bool),
    Opponent,
    Glyph(Glyph),
    Comma,
    /// `;`, a dash, a slash.
    Pause,
    Colon,
    Open,
    Close,
    Quote,
    /// The end of a sentence.
    End,
    Other,
}

/// The sets of the words that a noun phrase can begin with, pieces and numbers aside.
pub(crate) const OPENS_NOUN: u128 = Set::White.bit()
    | Set::Black.bit()
    | Set::Light.bit()
    | Set::Dark.bit()
    | Set::His.bit()
    | Set::Enemy.bit()
    | Set::Opponent.bit()
    | Set::Both.bit()
    | Set::Det.bit()
    | Set::Adjective.bit();

/// The sets of the words that can be a side by themselves.
const NAMES_SIDE: u128 =
    Set::White.bit() | Set::Black.bit() | Set::Me.bit() | Set::He.bit() | Set::Opponent.bit();

impl Chunk {
    /// A chunk that is no word.
    pub(crate) const fn new(span: Span, kind: ChunkKind) -> Self {
        let entry = match kind {
            ChunkKind::Quote | ChunkKind::Glyph(_) => Entry::MARK,
            ChunkKind::Number(_) => Entry::NUMBER,
            ChunkKind::Line(_) => Entry::LINE,
            ChunkKind::Noun(_) => Entry::NOUN,
            ChunkKind::Square(_) => Entry::SQUARE,
            ChunkKind::File(_) => Entry::FILE,
            ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent => Entry::SIDE,
            _ => Entry::SIGN,
        };
        Self { span, entry, kind }
    }
}

impl<'l> Senses<'l> {
    /// What a chunk's word means.
    #[inline]
    pub(crate) fn sense(self, chunk: &Chunk) -> &'l Sense {
        self.of(chunk.entry)
    }
}

/// A sentence, and what is known of it before its claims are made.
#[derive(Clone, Debug)]
pub(crate) struct Sentence {
    /// Its chunks, without the end of the sentence.
    pub(crate) chunks: Range<usize>,
    /// Whether it ends in a question mark.
    pub(crate) asked: bool,
    /// All that patterns can ask for.
    pub(crate) there: Presence,
    /// The sets of its words, one bit each.
    pub(crate) sets: u128,
    /// Its chunks by which patterns are found, as indices into [`Chunks::finders`].
    pub(crate) finders: Range<usize>,
    /// Whether it has a glyph.
    pub(crate) glyph: bool,
    /// Whether it has a pause.
    pub(crate) pause: bool,
}

impl Sentence {
    /// An empty sentence behind so many chunks and finders.
    const fn at(chunks: usize, finders: usize) -> Self {
        Self {
            chunks: chunks..chunks,
            asked: false,
            there: Presence::EVERYWHERE,
            sets: 0,
            finders: finders..finders,
            glyph: false,
            pause: false,
        }
    }
}

/// A passage in chunks.
#[derive(Debug, Default)]
pub(crate) struct Chunks {
    pub(crate) chunks: Vec<Chunk>,
    pub(crate) sentences: Vec<Sentence>,
    /// The chunks by which patterns are found.
    pub(crate) finders: Vec<usize>,
}

impl Chunks {
    fn clear(&mut self) {
        self.chunks.clear();
        self.sentences.clear();
        self.finders.clear();
    }
}

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
    };
    while let Some(token) = tokens.get(chunker.at) {
        chunker.step(token);
    }
    if chunker.current.chunks.start < chunker.chunks.len() {
        chunker.close_sentence(chunker.chunks.len(), false);
    }
}

struct Chunker<'a> {
    text: &'a [u8],
    tokens: &'a [Token],
    senses: Senses<'a>,
    letters: Language,
    /// The player who writes, where that is known.
    author: Option<Color>,
    prose: &'a mut Prose,
    chunks: &'a mut Vec<Chunk>,
    sentences: &'a mut Vec<Sentence>,
    finders: &'a mut Vec<usize>,
    /// The sentence that is being read.
    current: Sentence,
    at: usize,
    depth: u8,
    sentence: u32,
}

impl Chunker<'_> {
    fn token(&self, at: usize) -> Option<TokenKind> {
        self.tokens.get(at).map(|token| token.kind)
    }

    fn span(&self, at: usize) -> Span {
        self.tokens
            .get(at)
            .map(|token| token.span)
            .unwrap_or_default()
    }

    fn sense(&self, at: usize) -> &'_ Sense {
        let token = self.tokens.get(at);
        token.map_or(&Sense::NONE, |token| self.senses.of(token.entry))
    }

    fn is(&self, at: usize, set: Set) -> bool {
        self.sense(at).is(set)
    }

    /// Pushes a chunk over the tokens from the current one up to `end`.
    fn push(&mut self, end: usize, kind: ChunkKind) {
        let end = end.max(self.at + 1);
        let span = self.span(self.at).to(self.span(end - 1));
        self.push_chunk(Chunk::new(span, kind));
        self.at = end;
    }

    #[inline]
    fn push_chunk(&mut self, chunk: Chunk) {
        let sense = self.senses.sense(&chunk);
        self.current.there.add(&sense.presence);
        self.current.sets |= sense.sets;
        // Pushed and taken back sooner than asked: which words find is hard to foretell.
        let finders = self.finders.len() + usize::from(sense.finds);
        self.finders.push(self.chunks.len());
        self.finders.truncate(finders);
        self.chunks.push(chunk);
    }

    fn step(&mut self, token: &Token) {
        let kind = match token.kind {
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
            ChunkKind::Word { .. } => Chunk {
                span: token.span,
                entry: token.entry,
                kind,
            },
            kind => Chunk::new(token.span, kind),
        };
        self.push_chunk(chunk);
        self.at += 1;
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

    /// What the word at the current token is by itself; `None` where it begins a noun phrase,
    /// which is pushed.
    #[inline]
    fn word(&mut self, entry: Entry, capital: bool) -> Option<ChunkKind> {
        let sense = self.senses.of(entry);
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
