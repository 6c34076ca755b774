//! Reading a passage: tokens, chunks, and the claims they make.

mod around;
mod extent;
mod game;
mod gate;
mod line;
mod mate_name;
mod noun;
mod number;
mod phrase;
mod sentence;
mod subject;

use std::cell::OnceCell;

use gainsay_notation::{Language, Span};

use self::game::Pointer;
use crate::chunk::{Chunk, ChunkKind, Chunks, Sentence, chunk};
use crate::lexicon::{LEXICON, Lexicon, Set};
use crate::names::Names;
use crate::pattern::{Alive, Match, Patterns, Presence};
use crate::sense::{Sense, Senses};
use crate::token::{Tokens, tokenise};
use crate::tongue::Tongue;
use crate::{At, Prose, Wording};

/// What is known of a passage before it is read.
#[derive(Clone, Debug, Default)]
pub struct Context {
    /// The players' names.
    pub names: Names,
    /// The piece letters that moves are written with.
    pub letters: Language,
    /// The language of the prose; `None` to tell it by the words.
    pub tongue: Option<Tongue>,
}

/// Reads passages. It keeps its allocations from one passage to the next, and nothing else.
#[derive(Debug, Default)]
pub struct Reader {
    tokens: Tokens,
    /// The passage as it reads with the piece letters of its prose.
    other_letters: Tokens,
    chunks: Chunks,
    alive: Alive,
}

/// How many chunks on each side of a claim can bear on it. Sentences are shorter; the
/// limit keeps reading linear where they are not.
const REACH: usize = 48;

impl Reader {
    /// A reader.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Reads `passage`, the text of one comment or paragraph, into `prose`.
    ///
    /// The passage may be UTF-8 or Latin-1; embedded commands `[%…]` are passed over.
    /// Spans are byte offsets into `passage`. Text in a language that is not read gives
    /// no claims other than its numbered lines.
    pub fn read(&mut self, passage: &[u8], context: &Context, prose: &mut Prose) {
        prose.clear();
        let lexicon = &*LEXICON;
        let names = &context.names;
        tokenise(passage, context.letters, names, lexicon, &mut self.tokens);
        let spoken = context.tongue.or_else(|| tongue_of(&self.tokens.known));
        let tongue = spoken.unwrap_or(Tongue::English);
        let letters = self.letters(passage, context, tongue, lexicon);
        chunk(
            passage,
            &self.tokens.tokens,
            lexicon.senses(tongue),
            letters,
            context.names.author(),
            prose,
            &mut self.chunks,
        );
        let mut maker = Maker {
            text: passage,
            latin: OnceCell::new(),
            tongue,
            chunks: &self.chunks.chunks,
            senses: lexicon.senses(tongue),
            patterns: lexicon.patterns(tongue),
            alive: &mut self.alive,
            spoken: spoken.is_some(),
            lines: false,
            telling: false,
            elsewhere: false,
            left: false,
            games: Vec::new(),
            contests: None,
            away: false,
            quotes: 0,
        };
        for (sentence, number) in self.chunks.sentences.iter().zip(0..) {
            let finders = self.chunks.finders.get(sentence.finders.clone());
            maker.sentence(prose, sentence, finders.unwrap_or_default(), number);
        }
        maker.measure(prose);
    }

    /// The piece letters of the passage. Moves that are printed in English letters are
    /// often cited in those of the prose; the letters that make more moves are meant.
    fn letters(
        &mut self,
        passage: &[u8],
        context: &Context,
        tongue: Tongue,
        lexicon: &Lexicon,
    ) -> Language {
        let own = tongue.letters();
        let others = own != context.letters && context.letters == Language::English;
        if !others || !names_square(passage) {
            return context.letters;
        }
        let names = &context.names;
        tokenise(passage, own, names, lexicon, &mut self.other_letters);
        if self.other_letters.moves() <= self.tokens.moves() {
            return context.letters;
        }
        std::mem::swap(&mut self.tokens, &mut self.other_letters);
        own
    }
}

/// Whether a square is named, without which no move depends on the letters of the pieces.
fn names_square(passage: &[u8]) -> bool {
    let mut pairs = passage.windows(2);
    pairs.any(|pair| matches!(pair, [b'a'..=b'h', b'1'..=b'8']))
}

/// Reads one passage; [`Reader`] saves allocations where there are many.
#[must_use]
pub fn read(passage: &[u8], context: &Context) -> Prose {
    let mut prose = Prose::default();
    Reader::new().read(passage, context, &mut prose);
    prose
}

/// The language of most words, if at least a third of them are known in it, and one of
/// them at the least; see [`Tokens::known`].
fn tongue_of(known: &[u32; 1 << Tongue::COUNT]) -> Option<Tongue> {
    let mut best = (0, None);
    for tongue in Tongue::ALL {
        let its = known.iter().zip(0_u8..);
        let its = its.filter(|(_, tongues)| tongues >> tongue as u8 & 1 != 0);
        let its = its.map(|(words, _)| words).sum();
        if its > best.0 {
            best = (its, Some(tongue));
        }
    }
    let words: u32 = known.iter().sum();
    best.1.filter(|_| u64::from(best.0) * 3 >= u64::from(words))
}

/// Makes claims of chunks.
struct Maker<'a> {
    text: &'a [u8],
    /// Whether the passage is no UTF-8, once it was asked.
    latin: OnceCell<bool>,
    tongue: Tongue,
    chunks: &'a [Chunk],
    senses: Senses<'a>,
    patterns: &'a Patterns,
    /// The patterns that can match in the sentence.
    alive: &'a mut Alive,
    /// Whether the passage is in a language that is read.
    spoken: bool,
    /// Whether the sentence has a cited line.
    lines: bool,
    /// Whether the sentence has words that say something of the claims near them.
    telling: bool,
    /// Whether the passage has turned to another game.
    elsewhere: bool,
    /// Whether a sentence before has pointed at another game.
    left: bool,
    /// The other games that the sentence points at.
    games: Vec<Pointer>,
    /// Whether the passage names a contest, once it was asked.
    contests: Option<bool>,
    /// Whether the sentence speaks of another chapter or page.
    away: bool,
    quotes: u32,
}

impl Maker<'_> {
    fn sense(&self, at: usize) -> &'_ Sense {
        self.chunks
            .get(at)
            .map_or(&Sense::NONE, |chunk| self.senses.sense(chunk))
    }

    fn kind(&self, at: usize) -> Option<ChunkKind> {
        self.chunks.get(at).map(|chunk| chunk.kind)
    }

    fn span(&self, start: usize, end: usize) -> Span {
        let first = self
            .chunks
            .get(start)
            .map(|chunk| chunk.span)
            .unwrap_or_default();
        let last = self
            .chunks
            .get(end.saturating_sub(1))
            .map_or(first, |chunk| chunk.span);
        first.to(last)
    }

    /// The sets of the words of some chunks, one bit each.
    fn sets(&self, chunks: &[Chunk]) -> u128 {
        let senses = chunks.iter().map(|chunk| self.senses.sense(chunk));
        senses.fold(0, |sets, sense| sets | sense.sets)
    }

    /// What the words of some chunks add to a claim.
    fn wording(&self, chunks: &[Chunk]) -> Wording {
        let mut wordings = chunks.iter().map(|chunk| match chunk.kind {
            ChunkKind::Noun(noun) => noun.wording,
            _ => Wording::word(self.senses.sense(chunk).nuances),
        });
        let first = wordings.next().unwrap_or_default();
        wordings.fold(first, Wording::and)
    }

    /// Whether the clause ends with a claim that ends before chunk `end`, or goes on without
    /// a turn.
    fn is_closed(&self, end: usize) -> bool {
        let last = end.checked_sub(1).and_then(|last| self.chunks.get(last));
        let last = last.map_or(0, |chunk| chunk.span.end as usize);
        let behind = self.text.get(last..).unwrap_or_default();
        let sign = behind.trim_ascii_start().first();
        sign.is_none_or(|byte| b".,;:!?)".contains(byte)) || self.sense(end).is(Set::GoesOn)
    }

    /// Whether "and", a cited line or a clause of its own stands in front of chunk `start` in
    /// its sentence.
    fn goes_on(&self, start: usize) -> bool {
        let mut behind = None;
        for at in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(at) {
                Some(ChunkKind::End) | None => return false,
                Some(ChunkKind::Line(_)) => return true,
                Some(ChunkKind::Comma)
                    if !behind.is_some_and(|at| self.sense(at).is(Set::Because)) =>
                {
                    return true;
                }
                _ if self.sense(at).is(Set::And) => return true,
                _ => behind = Some(at),
            }
        }
        false
    }

    /// Makes the claims of a sentence, which has the given number.
    fn sentence(&mut self, prose: &mut Prose, sentence: &Sentence, finders: &[usize], number: u32) {
        if self.spoken {
            self.patterns.find(
                self.chunks,
                finders,
                &sentence.there,
                self.senses,
                self.alive,
            );
        }
        self.point_at_games(sentence);
        let asked = self.begin_sentence(prose, sentence);
        let first = prose.claims.len();
        self.claims(prose, sentence, asked, number);
        self.say_how_mates_come(prose, first, sentence);
        self.tell_of_games(prose, first, sentence);
    }

    fn claims(&mut self, prose: &mut Prose, sentence: &Sentence, asked: bool, number: u32) {
        let phrases = self.spoken && !self.alive.is_empty();
        let there = &sentence.there;
        // All that the loop stops at.
        let mut wanted = Presence::SPEAKS;
        if phrases {
            wanted.add(&self.alive.first);
        }
        if !there.has_any(&wanted) {
            return;
        }
        let mut claimed_to = 0;
        let chunks = self.chunks.get(sentence.chunks.clone()).unwrap_or_default();
        for (chunk, at) in chunks.iter().zip(sentence.chunks.start..) {
            let sense = self.senses.sense(chunk);
            if !sense.presence.has_any(&wanted) {
                continue;
            }
            match &chunk.kind {
                ChunkKind::Quote => self.quotes += 1,
                ChunkKind::Line(line) => self.line(prose, at, *line, asked, number),
                ChunkKind::Noun(noun) if self.spoken => self.noun(prose, at, noun, asked, number),
                ChunkKind::Glyph(glyph) => self.glyph(prose, at, *glyph, At::Here, asked, number),
                _ => {}
            }
            if phrases
                && at >= claimed_to
                && let Some(found) = self.longest(at)
            {
                let end = found.end;
                if !self.is_overtaken(at, end) && self.claim(prose, at, &found, asked, number) {
                    claimed_to = end;
                }
            }
            // "Forces a smothered mate in two" names the mate besides.
            if phrases && sense.is(Set::MateName) {
                self.mate_called(prose, at, asked, number);
            }
        }
    }

    /// Whether a phrase that begins inside `start..end` reaches further: "and mate" gives
    /// way to "mate in two".
    fn is_overtaken(&self, start: usize, end: usize) -> bool {
        // "Won game 3" is no game that is won.
        let reaches = |other: Match| other.end > end && !self.is_of_pointer(other.end - 1);
        (start + 1..end).any(|at| self.longest(at).is_some_and(reaches))
    }

    /// The longest phrase that begins at chunk `at`.
    fn longest(&self, at: usize) -> Option<Match> {
        self.patterns
            .longest(self.chunks, at, self.senses, self.alive)
    }
}
