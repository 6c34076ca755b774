//! A passage in tokens.

use gainsay_notation::{Glyph, MoveNumber, Oddities, Span, WrittenMove};
use shakmaty::{File, Square};

use crate::entry::Entry;
use crate::lexicon::Word;
use crate::tongue::Tongue;

/// A token with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub(crate) span: Span,
    /// The word; [`Entry::SIGN`] for all else.
    pub(crate) entry: Entry,
    pub(crate) kind: TokenKind,
}

/// What a token is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum TokenKind {
    /// A word.
    Word {
        /// Whether it begins with a capital letter.
        capital: bool,
    },
    /// A player's name from the tags.
    Name(shakmaty::Color),
    /// A number.
    Number(u32),
    /// A move number with dots, or dots alone, in front of a move.
    MoveNumber(MoveNumber),
    /// A move.
    Move(WrittenMove),
    /// A square that may also be a pawn's move.
    Square(Square),
    /// A file: `e-`, `e` before "file" or "pawn".
    File(File),
    /// A way over more than two squares, a square that does not exist, a list such as `d1/e1`.
    Route,
    /// An annotation glyph.
    Glyph(Glyph),
    /// `,`
    Comma,
    /// `;`, a dash between words.
    Pause,
    /// `:`
    Colon,
    /// `.`
    Stop,
    /// `?` behind a word.
    Question,
    /// `!` behind a word.
    Exclamation,
    /// `(` or `[`
    Open,
    /// `)` or `]`
    Close,
    /// A quotation mark.
    Quote,
    /// `/`
    Slash,
    /// Several dots that stand for nothing.
    Ellipsis,
    /// A blank line.
    Paragraph,
    /// Anything else: dates, addresses, scores.
    Other,
}

/// A passage in tokens.
#[derive(Debug, Default)]
pub(crate) struct Tokens {
    pub(crate) tokens: Vec<Token>,
    /// How many words there are that just these languages know, by the bits of
    /// [`Word::tongues`]. Single letters that no language knows are no words.
    pub(crate) known: [u32; 1 << Tongue::COUNT],
}

impl Tokens {
    /// How many moves there are whose letters are in the right case: what is not may be a piece
    /// of another language.
    pub(crate) fn moves(&self) -> usize {
        let is_move = |token: &&Token| match token.kind {
            TokenKind::Move(written) => !written.oddities.contains(Oddities::CASE),
            _ => false,
        };
        self.tokens.iter().filter(is_move).count()
    }

    /// Whether a move has letters above ASCII.
    pub(crate) fn has_foreign(&self) -> bool {
        self.tokens.iter().any(|token| match token.kind {
            TokenKind::Move(written) => written.oddities.contains(Oddities::FOREIGN),
            _ => false,
        })
    }

    #[inline]
    pub(super) fn push(&mut self, start: usize, end: usize, kind: TokenKind) {
        self.tokens.push(Token {
            span: span(start, end),
            entry: Entry::SIGN,
            kind,
        });
    }

    /// Pushes a word.
    #[inline]
    pub(super) fn push_word(&mut self, start: usize, end: usize, word: Word, capital: bool) {
        let entry = word.entry;
        if (entry.is_known() || end - start > 1)
            && let Some(known) = self.known.get_mut(usize::from(word.tongues))
        {
            *known += 1;
        }
        self.tokens.push(Token {
            span: span(start, end),
            entry,
            kind: TokenKind::Word { capital },
        });
    }
}

fn span(start: usize, end: usize) -> Span {
    Span::new(
        u32::try_from(start).unwrap_or(u32::MAX),
        u32::try_from(end).unwrap_or(u32::MAX),
    )
}
