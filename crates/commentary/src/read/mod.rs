//! Reading a passage: tokens, chunks, and the claims they make.

mod around;
mod bearing;
mod extent;
mod game;
mod gate;
mod line;
mod made;
mod maker;
mod mate_name;
mod mate_number;
mod noun;
mod number;
mod pawns;
mod phrase;
mod sentence;
mod subject;
#[cfg(test)]
mod told;
mod unread;

use std::cell::OnceCell;

use gainsay_notation::{Language, Span};

use self::maker::Maker;
use crate::chunk::chunk;
use crate::chunks::{ChunkKind, Chunks, Sentence};
use crate::claim::{At, Prose};
use crate::lexicon::{LEXICON, Lexicon};
use crate::names::Names;
use crate::pattern::{Alive, Match};
use crate::presence::Presence;
use crate::set::Set;
use crate::token::{Tokens, tokenise};
use crate::tongue::Tongue;

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
    /// Where the claims of a sentence stand.
    covered: Vec<Span>,
}

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
        let letters = match spoken {
            Some(_) => self.letters(passage, context, tongue, lexicon, prose),
            None => self.any_letters(passage, context, lexicon, prose),
        };
        prose.letters = letters;
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
            made: Vec::new(),
            covered: std::mem::take(&mut self.covered),
        };
        for (sentence, number) in self.chunks.sentences.iter().zip(0..) {
            let finders = self.chunks.finders.get(sentence.finders.clone());
            maker.sentence(prose, sentence, finders.unwrap_or_default(), number);
        }
        maker.measure(prose);
        self.covered = maker.covered;
    }

    /// The piece letters of a passage whose language is not known: those that make most moves.
    fn any_letters(
        &mut self,
        passage: &[u8],
        context: &Context,
        lexicon: &Lexicon,
        prose: &mut Prose,
    ) -> Language {
        if context.letters != Language::English || !names_square(passage) {
            return context.letters;
        }
        let mut best = (self.tokens.moves(), Tongue::English);
        for tongue in Tongue::ALL.into_iter().skip(1) {
            let other = &mut self.other_letters;
            tokenise(passage, tongue.letters(), &context.names, lexicon, other);
            if other.moves() > best.0 {
                best = (other.moves(), tongue);
            }
        }
        let letters = self.letters(passage, context, best.1, lexicon, prose);
        prose.or_letters = None;
        letters
    }

    /// The piece letters of the passage. Moves that are printed in English letters are
    /// often cited in those of the prose; the letters that make more moves are meant.
    fn letters(
        &mut self,
        passage: &[u8],
        context: &Context,
        tongue: Tongue,
        lexicon: &Lexicon,
        prose: &mut Prose,
    ) -> Language {
        let own = tongue.letters();
        let others = own != context.letters && context.letters == Language::English;
        if !others || !names_square(passage) {
            return context.letters;
        }
        let names = &context.names;
        tokenise(passage, own, names, lexicon, &mut self.other_letters);
        // "К:f7" is a pawn's move behind a word in English letters.
        let foreign = own.is_cyrillic() && self.other_letters.has_foreign();
        if self.other_letters.moves() <= self.tokens.moves() && !foreign {
            let as_many = self.other_letters.moves() == self.tokens.moves();
            prose.or_letters = Some(own).filter(|_| as_many && self.tokens.moves() > 0);
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

impl Maker<'_> {
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
        self.made.clear();
        self.claims(prose, sentence, asked, number);
        self.number_mates(prose, first, sentence);
        self.pass_gate(prose);
        self.say_how_mates_come(prose, first, sentence);
        self.tell_of_games(prose, first, sentence);
        self.list_unread(prose, first, sentence);
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
