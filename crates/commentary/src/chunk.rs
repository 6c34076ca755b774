//! Tokens to chunks: cited lines, noun phrases for pieces, sides, and the words
//! between them.

use gainsay_notation::{Language, MoveNumber, Signs, Span, WrittenMove, WrittenShape, parse_move};
use shakmaty::{Color, File, Role, Square};

use crate::lexicon::{Entry, Sense, Senses, Set};
use crate::token::{Token, TokenKind, is_plain_move};
use crate::{CitedLine, CitedMove, Joint, LineRole, Mood, Noun, Owner, Prose, Traits};

/// A chunk with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chunk {
    pub(crate) span: Span,
    pub(crate) kind: ChunkKind,
}

/// What a chunk is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum ChunkKind {
    Word {
        entry: Entry,
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
    Glyph(u8),
    Comma,
    /// `;`, a dash, a slash.
    Pause,
    Colon,
    Open,
    Close,
    Quote,
    /// The end of a sentence.
    End {
        asked: bool,
    },
    Other,
}

/// The adjectives that say something of a piece.
const TRAITS: [(Set, Traits); 12] = [
    (Set::Passed, Traits::PASSED),
    (Set::Isolated, Traits::ISOLATED),
    (Set::Doubled, Traits::DOUBLED),
    (Set::Tripled, Traits::TRIPLED),
    (Set::Backward, Traits::BACKWARD),
    (Set::Pinned, Traits::PINNED),
    (Set::Trapped, Traits::TRAPPED),
    (Set::Loose, Traits::LOOSE),
    (Set::Hanging, Traits::HANGING),
    (Set::Extra, Traits::EXTRA),
    (Set::Connected, Traits::CONNECTED),
    (Set::Protected, Traits::PROTECTED),
];

/// The sets of all of them.
const ANY_TRAIT: u128 = {
    let mut any = 0;
    let mut at = 0;
    while at < TRAITS.len() {
        any |= TRAITS[at].0.bit();
        at += 1;
    }
    any
};

/// The sets of the words that a noun phrase can begin with, pieces and numbers aside.
const OPENS_NOUN: u128 = Set::White.bit()
    | Set::Black.bit()
    | Set::Light.bit()
    | Set::Dark.bit()
    | Set::His.bit()
    | Set::Enemy.bit()
    | Set::Opponent.bit()
    | Set::Both.bit()
    | Set::Det.bit()
    | Set::Adjective.bit();

impl<'l> Senses<'l> {
    /// What a chunk's word means; nothing for other chunks.
    pub(crate) fn sense(self, chunk: &Chunk) -> &'l Sense {
        match chunk.kind {
            ChunkKind::Word { entry, .. } => self.of(entry),
            _ => &Sense::NONE,
        }
    }
}

/// Turns `tokens` into `chunks` and enters moves and lines into `prose`.
pub(crate) fn chunk(
    text: &[u8],
    tokens: &[Token],
    senses: Senses<'_>,
    letters: Language,
    author: Option<Color>,
    prose: &mut Prose,
    chunks: &mut Vec<Chunk>,
) {
    let mut chunker = Chunker {
        text,
        tokens,
        senses,
        letters,
        author,
        prose,
        chunks,
        at: 0,
        depth: 0,
        sentence: 0,
    };
    while chunker.at < tokens.len() {
        chunker.step();
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
        match self.tokens.get(at) {
            Some(Token {
                kind: TokenKind::Word { entry, .. },
                ..
            }) => self.senses.of(*entry),
            _ => &Sense::NONE,
        }
    }

    fn is(&self, at: usize, set: Set) -> bool {
        self.sense(at).is(set)
    }

    /// Pushes a chunk over the tokens from the current one up to `end`.
    fn push(&mut self, end: usize, kind: ChunkKind) {
        let end = end.max(self.at + 1);
        let span = self.span(self.at).to(self.span(end - 1));
        self.chunks.push(Chunk { span, kind });
        self.at = end;
    }

    fn step(&mut self) {
        let Some(kind) = self.token(self.at) else {
            self.at += 1;
            return;
        };
        match kind {
            TokenKind::Word { .. } => self.word(),
            TokenKind::Name(color) => {
                if self.noun() {
                    return;
                }
                self.push(self.at + 1, ChunkKind::Side(color));
            }
            TokenKind::Number(value) => {
                if self.noun() {
                    return;
                }
                self.push(self.at + 1, ChunkKind::Number(value));
            }
            TokenKind::MoveNumber(_) | TokenKind::Move(_) => {
                if !self.line() {
                    self.push(self.at + 1, ChunkKind::Other);
                }
            }
            TokenKind::Square(square) => {
                if self.noun() || self.pawn_move_line() {
                    return;
                }
                self.push(self.at + 1, ChunkKind::Square(square));
            }
            TokenKind::File(file) => {
                if self.noun() {
                    return;
                }
                self.push(self.at + 1, ChunkKind::File(file));
            }
            // "Mate on f1?" asks; only behind a move is the mark a glyph.
            TokenKind::Glyph(2 | 4..=6)
                if matches!(
                    self.chunks.last(),
                    Some(Chunk {
                        kind: ChunkKind::Square(_) | ChunkKind::Noun(_),
                        ..
                    })
                ) =>
            {
                self.end_sentence(true);
            }
            TokenKind::Glyph(nag) => self.push(self.at + 1, ChunkKind::Glyph(nag)),
            TokenKind::Comma => self.push(self.at + 1, ChunkKind::Comma),
            TokenKind::Pause | TokenKind::Slash => self.push(self.at + 1, ChunkKind::Pause),
            TokenKind::Colon => self.push(self.at + 1, ChunkKind::Colon),
            TokenKind::Stop => {
                if self.ends_sentence() {
                    self.end_sentence(false);
                } else {
                    self.at += 1;
                }
            }
            TokenKind::Question => self.end_sentence(true),
            TokenKind::Exclamation | TokenKind::Paragraph => self.end_sentence(false),
            TokenKind::Ellipsis => self.push(self.at + 1, ChunkKind::Pause),
            TokenKind::Open => {
                self.depth = self.depth.saturating_add(1);
                self.push(self.at + 1, ChunkKind::Open);
            }
            TokenKind::Close => {
                self.depth = self.depth.saturating_sub(1);
                self.push(self.at + 1, ChunkKind::Close);
            }
            TokenKind::Quote => self.push(self.at + 1, ChunkKind::Quote),
            TokenKind::Route | TokenKind::Other => self.push(self.at + 1, ChunkKind::Other),
        }
    }

    fn end_sentence(&mut self, asked: bool) {
        self.push(self.at + 1, ChunkKind::End { asked });
        self.sentence += 1;
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

    fn word(&mut self) {
        let Some(TokenKind::Word { entry, capital }) = self.token(self.at) else {
            return;
        };
        let sense = self.senses.of(entry);
        let opens = sense.sets & OPENS_NOUN != 0 || sense.piece.is_some();
        if (opens || sense.number.is_some()) && self.noun() {
            return;
        }
        let kind = if sense.is(Set::White) {
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
            ChunkKind::Word { entry, capital }
        };
        self.push(self.at + 1, kind);
    }

    // ---- noun phrases -------------------------------------------------------------

    /// Reads a noun phrase for a piece at the current token, if there is one:
    /// `[owner] [count] [adjectives] [square or file] piece [on square]`.
    fn noun(&mut self) -> bool {
        let Some((noun, end)) = self.noun_at(self.at) else {
            return false;
        };
        self.push(end, ChunkKind::Noun(noun));
        true
    }

    #[allow(clippy::too_many_lines)] // One phrase, read from left to right.
    fn noun_at(&self, start: usize) -> Option<(Noun, usize)> {
        let mut at = start;
        let mut owner = Owner::Anyone;
        let mut count = None;
        let mut determined = false;
        let mut file = None;
        let mut square = None;
        let mut traits = Traits::default();
        // In front of the noun: at most eight words, so that reading stays linear.
        for _ in 0..8 {
            let sense = self.sense(at);
            match self.token(at)? {
                TokenKind::Name(color) => {
                    // A name owns a piece only with an 's behind it.
                    if !self.possessive(at + 1) {
                        return None;
                    }
                    owner = Owner::Side(color);
                    at += 1;
                }
                TokenKind::Word { .. } if sense.piece.is_some() => break,
                TokenKind::Word { .. } => {
                    if sense.sets & ANY_TRAIT != 0 {
                        for (set, known) in TRAITS {
                            if sense.is(set) {
                                traits = traits.with(known);
                            }
                        }
                    }
                    if (sense.is(Set::Light) || sense.is(Set::Dark))
                        && self.is(at + 1, Set::SquareWord)
                    {
                        // "light-squared": no owner, though the word may be "white".
                        traits = traits.with(if sense.is(Set::Light) {
                            Traits::LIGHT
                        } else {
                            Traits::DARK
                        });
                        at += 1;
                    } else if sense.is(Set::White) || sense.is(Set::Black) {
                        owner = Owner::Side(Color::from_white(sense.is(Set::White)));
                    } else if sense.is(Set::His) {
                        owner = match self.author {
                            Some(author) if sense.is(Set::Me) => Owner::Side(author),
                            _ => Owner::He,
                        };
                        determined = true;
                    } else if sense.is(Set::Enemy) || sense.is(Set::Opponent) {
                        owner = Owner::Other;
                    } else if sense.is(Set::Both) {
                        count = Some(2);
                    } else if let Some(number) = sense.number {
                        count = Some(number);
                    } else if sense.is(Set::Det) {
                        if determined {
                            return None;
                        }
                        determined = true;
                    } else if !(sense.is(Set::Adjective) || self.possessive(at) && at > start) {
                        return None;
                    }
                }
                TokenKind::Number(value) => count = u8::try_from(value).ok(),
                TokenKind::Square(at_square) => square = Some(at_square),
                TokenKind::File(at_file) => file = Some(at_file),
                // "the Nf3"
                TokenKind::Move(written) if determined && at > start => {
                    return self.noun_of_move(start, at, &written, owner);
                }
                _ => return None,
            }
            at += 1;
        }
        let piece = self.sense(at).piece?;
        // "a passer" is a passed pawn.
        if self.is(at, Set::Passed) {
            traits = traits.with(Traits::PASSED);
        }
        at += 1;
        // "queen's side", "queen sacrifice", "pawn structure"
        if self.possessive(at) && self.is(at + 1, Set::Adjunct) || self.is(at, Set::Adjunct) {
            return None;
        }
        // A bare "queen" may be a verb: "can queen", "to queen".
        if at - start == 1
            && at >= 2
            && (self.is(at - 2, Set::Would) || self.is(at - 2, Set::Future))
        {
            return None;
        }
        if square.is_none() && self.is(at, Set::On) {
            let mut behind = at + 1;
            if self.is(behind, Set::Det) {
                behind += 1;
            }
            match self.token(behind) {
                Some(TokenKind::Square(on)) => {
                    square = Some(on);
                    at = behind + 1;
                }
                Some(TokenKind::File(on)) if file.is_none() && self.token(behind + 1).is_some() => {
                    file = Some(on);
                    at = behind + 2;
                }
                _ => {}
            }
        } else if square.is_none() && !piece.plural {
            // "bishop d6"
            if let Some(TokenKind::Square(on)) = self.token(at) {
                square = Some(on);
                at += 1;
            }
        }
        let noun = Noun {
            span: self.span(start).to(self.span(at - 1)),
            role: piece.role,
            owner,
            square,
            file,
            plural: piece.plural,
            count,
            traits,
            determined: determined || owner != Owner::Anyone,
        };
        Some((noun, at))
    }

    /// "the Nf3", "Black's Be6": a piece on its square, unless a word such as "idea"
    /// follows, or "move" stands in front.
    fn noun_of_move(
        &self,
        start: usize,
        at: usize,
        written: &WrittenMove,
        owner: Owner,
    ) -> Option<(Noun, usize)> {
        let WrittenShape::To {
            role,
            file: None,
            rank: None,
            capture: false,
            to,
            promotion: None,
        } = written.shape
        else {
            return None;
        };
        let glyph = matches!(
            self.token(at + 1),
            Some(TokenKind::Glyph(_) | TokenKind::Move(_))
        );
        if written.signs != Signs::None
            || glyph
            || role == Role::Pawn
            || self.is(at + 1, Set::Adjunct)
            || self.is(at + 1, Set::Plan)
        {
            return None;
        }
        let noun = Noun {
            span: self.span(start).to(self.span(at)),
            role: Some(role),
            owner,
            square: Some(to),
            file: None,
            plural: false,
            count: None,
            traits: Traits::default(),
            determined: true,
        };
        Some((noun, at + 1))
    }

    /// Whether the token is `'s`.
    fn possessive(&self, at: usize) -> bool {
        matches!(self.token(at), Some(TokenKind::Word { .. }))
            && self
                .span(at)
                .of(self.text)
                .first()
                .is_some_and(|&byte| byte == b'\'' || byte == 0xe2)
            && self.span(at).of(self.text).last() == Some(&b's')
    }

    // ---- cited lines --------------------------------------------------------------

    /// A square behind a number of the line, or with a glyph behind it, is a pawn's move.
    fn pawn_move_line(&mut self) -> bool {
        let glyph = matches!(self.token(self.at + 1), Some(TokenKind::Glyph(1..=6)))
            && self.span(self.at).end == self.span(self.at + 1).start;
        let starts_line = matches!(self.token(self.at + 1), Some(TokenKind::MoveNumber(number)) if number.value.is_some());
        let before = self.at.wrapping_sub(1);
        // "g4 was mate", but not "control of g4 was".
        let verb = self.is(self.at + 1, Set::MoveVerb)
            || self.is(before, Set::Plays)
            || self.is(self.at + 2, Set::MoveTrait)
                && matches!(self.token(self.at + 1), Some(TokenKind::Word { .. }));
        (glyph || starts_line || verb) && !self.is(before, Set::Prep) && self.line()
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
    fn line(&mut self) -> bool {
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
                // A bare square continues a line of moves, but is none by itself; behind
                // it no word may stand that needs a square.
                let glyph = matches!(self.token(next + 1), Some(TokenKind::Glyph(_)));
                let goes_on = matches!(
                    self.token(next + 1),
                    Some(TokenKind::MoveNumber(_) | TokenKind::Move(_) | TokenKind::Square(_))
                );
                let verb = self.is(next + 1, Set::MoveVerb)
                    || self.is(next + 2, Set::MoveTrait)
                    || next > 0 && self.is(next - 1, Set::Plays);
                if end == first && !glyph && !goes_on && !verb {
                    break;
                }
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
            while let Some(TokenKind::Glyph(nag)) = self.token(next) {
                cited.glyph.get_or_insert(nag);
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
                ChunkKind::End { .. } => return self.after_sentence(),
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
                ChunkKind::Word { entry, .. } => {
                    let sense = self.senses.of(entry);
                    sense.is(Set::Or) || sense.is(Set::And)
                }
                _ => false,
            })
    }
}
