//! Reading a passage: tokens, chunks, and the claims they make.

use gainsay_notation::{Language, Span};
use shakmaty::{Color, Role};

use crate::chunk::{Chunk, ChunkKind, chunk};
use crate::lang::{Tie, Tongue, Who, goods, pawn_feature};
use crate::lexicon::{LEXICON, Sense, Senses, Set};
use crate::names::Names;
use crate::pattern::{Match, Patterns, Presence};
use crate::token::{Token, TokenKind, tokenise};
use crate::{
    At, Claim, ClaimKind, Joint, LineRole, Mate, Material, Mood, Noun, Owner, Polarity, Prose,
    Quality, Relation, Standing, Subject, Target, Tense, Threat, Traits,
};

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
    tokens: Vec<Token>,
    chunks: Vec<Chunk>,
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
        self.tokens.clear();
        self.chunks.clear();
        tokenise(passage, context.letters, &context.names, &mut self.tokens);
        let spoken = context.tongue.or_else(|| tongue_of(&self.tokens));
        let tongue = spoken.unwrap_or(Tongue::English);
        let letters = self.letters(passage, context, tongue);
        chunk(
            passage,
            &self.tokens,
            LEXICON.senses(tongue),
            letters,
            context.names.author(),
            prose,
            &mut self.chunks,
        );
        let mut maker = Maker {
            chunks: &self.chunks,
            senses: LEXICON.senses(tongue),
            patterns: LEXICON.patterns(tongue),
            there: Presence::default(),
            elsewhere: false,
            away: false,
            quotes: 0,
        };
        maker.run(prose, spoken.is_some());
    }

    /// The piece letters of the passage. Moves that are printed in English letters are
    /// often cited in those of the prose; the letters that make more moves are meant.
    fn letters(&mut self, passage: &[u8], context: &Context, tongue: Tongue) -> Language {
        let own = tongue.letters();
        if own == context.letters || context.letters != Language::English {
            return context.letters;
        }
        let moves = |tokens: &[Token]| {
            let is_move = |token: &&Token| matches!(token.kind, TokenKind::Move(_));
            tokens.iter().filter(is_move).count()
        };
        let before = moves(&self.tokens);
        self.tokens.clear();
        tokenise(passage, own, &context.names, &mut self.tokens);
        if moves(&self.tokens) > before {
            return own;
        }
        self.tokens.clear();
        tokenise(passage, context.letters, &context.names, &mut self.tokens);
        context.letters
    }
}

/// Reads one passage; [`Reader`] saves allocations where there are many.
#[must_use]
pub fn read(passage: &[u8], context: &Context) -> Prose {
    let mut prose = Prose::default();
    Reader::new().read(passage, context, &mut prose);
    prose
}

/// The language of most words, if at least a third of them are known in it.
fn tongue_of(tokens: &[Token]) -> Option<Tongue> {
    let lexicon = &*LEXICON;
    let mut words = 0_u32;
    // A counter for each set of languages that may know a word.
    let mut by_tongues = [0_u32; 1 << Tongue::COUNT];
    for token in tokens {
        if let TokenKind::Word { entry, .. } = token.kind {
            if !entry.is_known() && token.span.len() == 1 {
                continue;
            }
            words += 1;
            if let Some(count) = by_tongues.get_mut(usize::from(lexicon.tongues(entry))) {
                *count += 1;
            }
        }
    }
    let mut known = [0_u32; Tongue::COUNT];
    for (tongues, count) in by_tongues.iter().enumerate() {
        for (bit, known) in known.iter_mut().enumerate() {
            if tongues >> bit & 1 != 0 {
                *known += count;
            }
        }
    }
    let mut best = Tongue::English;
    for tongue in Tongue::ALL {
        if known[tongue as usize] > known[best as usize] {
            best = tongue;
        }
    }
    // A third of the words must be known, and one of them at the least.
    (words > 0 && known[best as usize] * 3 >= words && known[best as usize] > 0).then_some(best)
}

/// Makes claims of chunks.
struct Maker<'a> {
    chunks: &'a [Chunk],
    senses: Senses<'a>,
    patterns: &'a Patterns,
    /// What the sentence holds at all.
    there: Presence,
    /// Whether the passage has turned to another game.
    elsewhere: bool,
    /// Whether the sentence speaks of another chapter or page.
    away: bool,
    quotes: u32,
}

/// What the words around a claim or a line say of it.
#[derive(Clone, Copy, Debug)]
struct Surroundings {
    polarity: Polarity,
    mood: Mood,
    tense: Tense,
    role: LineRole,
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

    fn run(&mut self, prose: &mut Prose, spoken: bool) {
        let mut sentence = 0;
        let mut asked = self.begin_sentence(prose, 0);
        let mut at = 0;
        let mut claimed_to = 0;
        while at < self.chunks.len() {
            match self.kind(at) {
                Some(ChunkKind::End { .. }) => {
                    sentence += 1;
                    at += 1;
                    asked = self.begin_sentence(prose, at);
                    continue;
                }
                Some(ChunkKind::Quote) => self.quotes += 1,
                Some(ChunkKind::Line(line)) => self.line(prose, at, line, asked, sentence),
                Some(ChunkKind::Noun(noun)) if spoken => {
                    self.noun(prose, at, &noun, asked, sentence)
                }
                Some(ChunkKind::Glyph(nag)) => {
                    self.glyph(prose, at, nag, At::Here, asked, sentence);
                }
                _ => {}
            }
            if spoken
                && at >= claimed_to
                && let Some(found) = self.longest(at)
            {
                let end = found.end;
                if !self.is_overtaken(at, end) && self.claim(prose, at, found, asked, sentence) {
                    claimed_to = end;
                }
            }
            at += 1;
        }
    }

    /// Whether a phrase that begins inside `start..end` reaches further: "and mate" gives
    /// way to "mate in two".
    fn is_overtaken(&self, start: usize, end: usize) -> bool {
        (start + 1..end).any(|at| self.longest(at).is_some_and(|other| other.end > end))
    }

    /// The longest phrase that begins at chunk `at`.
    fn longest(&self, at: usize) -> Option<Match> {
        if !self.patterns.may_begin(self.chunks.get(at)?) {
            return None;
        }
        self.patterns
            .longest(self.chunks, at, self.senses, &self.there)
    }

    /// The claims that a noun phrase makes by itself: that the piece stands there, and
    /// what its adjectives say.
    fn noun(&self, prose: &mut Prose, at: usize, noun: &Noun, asked: bool, sentence: u32) {
        let placed = noun.square.is_some() || noun.file.is_some();
        if noun.square.is_none() && noun.traits.is_empty() {
            return;
        }
        // "Rooks belong behind passed pawns" speaks of no position.
        if noun.plural && !placed && !noun.determined && noun.count.is_none() {
            return;
        }
        let mut around = self.surroundings(at, at + 1, asked);
        let imagined = (at.checked_sub(1)).is_some_and(|before| self.sense(before).is(Set::Having));
        if imagined && noun.square.is_some() {
            around.mood = around.mood.max(Mood::Hedged);
        }
        let place = self.line_before(prose, at, sentence);
        let whole = Subject::Piece(*noun);
        // "White has doubled pawns" is read as a whole.
        let told = prose.claims.iter().rev().take(3).any(|claim| {
            matches!(claim.kind, ClaimKind::Structure { .. })
                && claim.span.start <= noun.span.start
                && noun.span.end <= claim.span.end
        });
        let mut push = |kind, polarity, subject| {
            prose.claims.push(Claim {
                span: noun.span,
                kind,
                polarity,
                mood: around.mood,
                subject,
                at: place,
                tense: around.tense,
                sentence,
            });
        };
        if noun.square.is_some() {
            // A piece that is named stands there, even if the sentence denies something of it.
            push(ClaimKind::Pieces(*noun), Polarity::Affirmed, whole);
        }
        if let Some(feature) = pawn_feature(noun.traits).filter(|_| !told)
            && noun.role == Some(Role::Pawn)
        {
            let kind = ClaimKind::Structure {
                feature,
                file: noun.file,
                square: noun.square,
                owner: noun.owner,
            };
            push(kind, around.polarity, whole);
        }
        for (known, relation) in [
            (Traits::PINNED, Relation::Pinned),
            (Traits::TRAPPED, Relation::Trapped),
            (Traits::LOOSE, Relation::Loose),
            (Traits::HANGING, Relation::Hanging),
            (Traits::PROTECTED, Relation::Defended),
        ] {
            if noun.traits.contains(known) && noun.role.is_some() {
                let kind = ClaimKind::Relation {
                    relation,
                    actor: None,
                    targets: vec![Target::Piece(*noun)],
                };
                push(kind, around.polarity, whole);
            }
        }
        if noun.traits.contains(Traits::EXTRA)
            && let Some(goods) = goods(noun)
        {
            let kind = ClaimKind::Material(Material::Extra(goods));
            let subject = match noun.owner {
                Owner::Side(color) => Subject::Side(color),
                _ => self.subject(at, &kind),
            };
            push(kind, around.polarity, subject);
        }
    }

    /// A glyph that judges the position.
    fn glyph(&self, prose: &mut Prose, at: usize, nag: u8, place: At, asked: bool, sentence: u32) {
        let Some((standing, side)) = Standing::of_glyph(nag) else {
            return;
        };
        let around = self.surroundings(at, at + 1, asked);
        prose.claims.push(Claim {
            span: self.span(at, at + 1),
            kind: ClaimKind::Standing(standing),
            polarity: Polarity::Affirmed,
            mood: around.mood,
            subject: side.map_or(Subject::Nobody, Subject::Side),
            at: place,
            tense: around.tense,
            sentence,
        });
    }

    // ---- sentences ----------------------------------------------------------------

    /// Looks through the sentence that begins at chunk `from`; whether it is a question.
    fn begin_sentence(&mut self, prose: &Prose, from: usize) -> bool {
        let rest = self.chunks.get(from..).unwrap_or_default();
        let mut there = Presence::EVERYWHERE;
        let mut length = rest.len();
        let mut asked = false;
        let mut glyph = false;
        let mut pause = false;
        for (at, chunk) in rest.iter().enumerate() {
            match chunk.kind {
                ChunkKind::End { asked: question } => {
                    length = at;
                    asked = question;
                    break;
                }
                ChunkKind::Glyph(2) => glyph = true,
                ChunkKind::Pause => pause = true,
                _ => {}
            }
            there.add(chunk, self.senses);
        }
        self.there = there;
        // What is longer than any sentence is taken for a list without sense.
        let within = length < 4 * REACH;
        let end = from + length.min(4 * REACH);
        self.away = there.has(Set::Book);
        if there.has_number() || pause || there.has(Set::Game) {
            self.elsewhere |= self.tells_of_another_game(from, end);
        }
        if glyph || there.has(Set::Reply) {
            return asked && within || self.asks_inside(prose, from, end);
        }
        asked && within
    }

    /// Whether a sentence asks before its end.
    fn asks_inside(&self, prose: &Prose, from: usize, end: usize) -> bool {
        let opens = (from..from + 3).any(|at| self.sense(at).is(Set::Question));
        let chunks = self.chunks.get(from..end).unwrap_or_default();
        chunks
            .iter()
            .zip(from + 1..)
            .any(|(chunk, next)| match chunk.kind {
                // "Can Black play 24...Kh8?" ends in a glyph.
                ChunkKind::Glyph(2) => opens,
                // "A threat of 24...Qg2#? No" is answered.
                ChunkKind::Line(line) if self.sense(next).is(Set::Reply) => {
                    prose.lines.get(line as usize).is_some_and(|line| {
                        let last = prose.moves_of(line).last();
                        last.is_some_and(|cited| matches!(cited.glyph, Some(2 | 4..=6)))
                    })
                }
                _ => false,
            })
    }

    /// Whether the sentence of chunks `from..end` tells of another game: by a year, a
    /// pair of names, or "the fourth match game".
    fn tells_of_another_game(&self, from: usize, end: usize) -> bool {
        (from..end).any(|at| match self.kind(at) {
            Some(ChunkKind::Number(1500..=2100)) => true,
            Some(ChunkKind::Word {
                entry,
                capital: true,
            }) if !entry.is_known() => {
                matches!(self.kind(at + 1), Some(ChunkKind::Pause))
                    && matches!(
                        self.kind(at + 2),
                        Some(ChunkKind::Word { entry, capital: true }) if !entry.is_known()
                    )
            }
            Some(ChunkKind::Word { .. }) if self.sense(at).is(Set::Game) => {
                let number = |at: usize| {
                    matches!(self.kind(at), Some(ChunkKind::Number(_)))
                        || self.sense(at).number.is_some()
                };
                number(at + 1)
                    || at.checked_sub(1).is_some_and(|before| {
                        number(before)
                            || self.sense(before).is(Set::Game) && self.sense(at).is(Set::Game)
                    })
            }
            _ => false,
        })
    }

    // ---- surroundings -------------------------------------------------------------

    /// Reads the words around chunks `start..end`.
    fn surroundings(&self, start: usize, end: usize, asked: bool) -> Surroundings {
        let mut around = Surroundings {
            polarity: Polarity::Affirmed,
            mood: Mood::Stated,
            tense: Tense::Present,
            role: LineRole::Stated,
        };
        let raise = |mood: &mut Mood, to: Mood| *mood = (*mood).max(to);
        // To the left: the own clause first, then the rest of the sentence.
        let mut clause = true;
        let mut lines_between = 0;
        for at in (start.saturating_sub(REACH)..start).rev() {
            let sense = self.sense(at);
            match self.kind(at) {
                Some(ChunkKind::End { .. }) | None => break,
                Some(ChunkKind::Comma | ChunkKind::Open | ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                }
                Some(ChunkKind::Pause) => {
                    clause = false;
                }
                Some(ChunkKind::Line(_)) => lines_between += 1,
                _ => {}
            }
            if sense.is(Set::If) {
                raise(&mut around.mood, Mood::Conditional);
            }
            if sense.is(Set::Without) || sense.is(Set::But) && self.sense(at + 1).is(Set::For) {
                raise(&mut around.mood, Mood::Unreal);
            }
            if sense.is(Set::Would) {
                raise(&mut around.mood, Mood::Counterfactual);
            }
            if !clause {
                continue;
            }
            if sense.is(Set::Because) || self.opens_clause(at, start) {
                // "Olsen said that he was a pawn up."
                let before = at.checked_sub(1).map_or(&Sense::NONE, |at| self.sense(at));
                if before.is(Set::Hedge) || before.is(Set::Wish) {
                    raise(&mut around.mood, Mood::Hedged);
                }
                clause = false;
                continue;
            }
            if sense.is(Set::Stop) {
                raise(&mut around.mood, Mood::Prevented);
                around.role = LineRole::Prevented;
            }
            if sense.is(Set::Wish) || sense.is(Set::Plan) {
                raise(&mut around.mood, Mood::Wished);
                if around.role == LineRole::Stated {
                    around.role = LineRole::Plan;
                }
            }
            if sense.is(Set::Threat) && around.role == LineRole::Stated {
                around.role = LineRole::Threat;
            }
            if sense.is(Set::Hedge) {
                raise(&mut around.mood, Mood::Hedged);
            }
            if sense.is(Set::Past) {
                around.tense = Tense::Past;
            }
            if sense.is(Set::Future) && around.tense == Tense::Present {
                around.tense = Tense::Future;
            }
            if sense.is(Set::Impossible) {
                around.role = LineRole::Impossible;
            }
            if sense.is(Set::Instead) && around.role == LineRole::Stated {
                around.role = LineRole::Alternative;
            }
            if sense.is(Set::Not) && lines_between == 0 && !self.is_not_only(at) {
                around.polarity = contrary(around.polarity);
                if around.role == LineRole::Stated {
                    around.role = LineRole::Denied;
                }
            }
        }
        // To the right: conditions and what would lift them.
        for at in end..end + REACH {
            let sense = self.sense(at);
            match self.kind(at) {
                Some(ChunkKind::End { .. }) | None => break,
                Some(ChunkKind::Pause) => break,
                _ => {}
            }
            if sense.is(Set::If) {
                raise(&mut around.mood, Mood::Conditional);
            }
            if sense.is(Set::Without) || sense.is(Set::But) && self.sense(at + 1).is(Set::For) {
                raise(&mut around.mood, Mood::Unreal);
            }
            // "An Arabian mate, in the widest sense"
            if sense.is(Set::HedgeBehind) && at < end + 8 {
                raise(&mut around.mood, Mood::Hedged);
            }
            // "The open b-file will be White's"
            if sense.is(Set::Future) && at < end + 2 && around.tense == Tense::Present {
                around.tense = Tense::Future;
            }
            // "24.Qg7 would be mate", "24.Qg7 was impossible"
            if at < end + 4 {
                if sense.is(Set::Would) {
                    raise(&mut around.mood, Mood::Counterfactual);
                }
                if sense.is(Set::Past) {
                    around.tense = Tense::Past;
                }
                if sense.is(Set::Impossible) && around.role == LineRole::Stated {
                    around.role = LineRole::Impossible;
                }
                // "24.Qg7 is threatened"
                if sense.is(Set::Threat)
                    && self.sense(at - 1).is(Set::Question)
                    && around.role == LineRole::Stated
                {
                    around.role = LineRole::Threat;
                }
                if sense.is(Set::Instead) && around.role == LineRole::Stated {
                    around.role = LineRole::Alternative;
                }
            }
        }
        if asked {
            raise(&mut around.mood, Mood::Asked);
        }
        if self.elsewhere || self.away || self.quotes % 2 == 1 {
            raise(&mut around.mood, Mood::Elsewhere);
        }
        around
    }

    /// Whether "and" at chunk `at` begins a clause with a subject of its own, in which the
    /// claim at `start` stands: "the king cannot move and the knight covers f6".
    fn opens_clause(&self, at: usize, start: usize) -> bool {
        let sense = self.sense(at);
        if !sense.is(Set::And) || sense.is(Set::Or) {
            return false;
        }
        let subject = |at| {
            matches!(
                self.kind(at),
                Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::He(_))
            )
        };
        let verb = self.sense(at + 2);
        let verb = [Set::Question, Set::Past, Set::Future, Set::MoveVerb]
            .into_iter()
            .any(|set| verb.is(set));
        subject(at + 1) && (at + 1 == start || at + 2 == start || at + 2 < start && verb)
    }

    /// "not only", "no doubt", "nothing but" deny nothing.
    fn is_not_only(&self, at: usize) -> bool {
        matches!(self.kind(at + 1), Some(ChunkKind::Word { .. })) && {
            let next = self.sense(at + 1);
            next.is(Set::NotOnly)
        }
    }

    // ---- lines --------------------------------------------------------------------

    fn line(&self, prose: &mut Prose, at: usize, index: u32, asked: bool, sentence: u32) {
        let mut around = self.surroundings(at, at + 1, asked);
        let before = at.checked_sub(1).map_or(&Sense::NONE, |at| self.sense(at));
        // "not" denies a line only where it stands in front of it.
        if around.role == LineRole::Denied && !before.is(Set::Not) {
            around.role = LineRole::Stated;
        }
        // A list takes the role of the line before: "preparing Rd8, Rd2 and Rad1".
        let previous = index
            .checked_sub(1)
            .and_then(|before| prose.lines.get(before as usize))
            .cloned();
        let Some(line) = prose.lines.get_mut(index as usize) else {
            return;
        };
        line.role = around.role;
        line.mood = around.mood;
        if let (Joint::List, Some(previous)) = (line.joint, previous)
            && line.role == LineRole::Stated
        {
            line.role = previous.role;
            line.mood = line.mood.max(previous.mood);
        }
        let (span, mood, moves) = (line.span, line.mood, line.moves.clone());
        let glyph =
            (prose.moves.get((moves.end as usize).wrapping_sub(1))).and_then(|cited| cited.glyph);
        let numbered = prose
            .moves
            .get(moves.start as usize)
            .is_some_and(|cited| cited.number.is_some_and(|number| number.value.is_some()));
        let single = moves.end - moves.start == 1;
        prose.claims.push(Claim {
            span,
            kind: if numbered || !single {
                ClaimKind::Line
            } else {
                ClaimKind::Mention
            },
            polarity: Polarity::Affirmed,
            mood,
            subject: Subject::Nobody,
            at: At::Shown(index),
            tense: around.tense,
            sentence,
        });
        if let Some(nag) = glyph {
            self.glyph(prose, at, nag, At::End(index), asked, sentence);
        }
    }

    /// The line in front of chunk `at` in the same sentence.
    fn line_before(&self, prose: &Prose, at: usize, sentence: u32) -> At {
        for before in (at.saturating_sub(REACH)..at).rev() {
            match self.kind(before) {
                Some(ChunkKind::End { .. }) | None => break,
                Some(ChunkKind::Line(line)) => {
                    return match prose.lines.get(line as usize) {
                        Some(known) if known.sentence == sentence => At::End(line),
                        _ => At::Here,
                    };
                }
                _ => {}
            }
        }
        At::Here
    }

    /// Whether a line stands in front of chunk `start`, but for "is also" and the like, and
    /// begins its sentence.
    fn begins_with_line(&self, start: usize) -> bool {
        const WORDS: usize = 2;
        let joins = |at: usize| {
            let sense = self.sense(at);
            // "24.Qg7 was mate" tells what was missed.
            let words = [Set::Filler, Set::Question, Set::Would];
            words.into_iter().any(|set| sense.is(set)) && !sense.is(Set::Past)
        };
        let words = (1..=WORDS)
            .take_while(|&back| start.checked_sub(back).is_some_and(joins))
            .count();
        let before = |back: usize| {
            let at = start.checked_sub(words + back)?;
            self.kind(at)
        };
        matches!(before(1), Some(ChunkKind::Line(_)))
            && matches!(
                before(2),
                None | Some(ChunkKind::End { .. } | ChunkKind::Open)
            )
    }

    /// The line behind chunk `at` with nothing but "with", ":" or a parenthesis between.
    fn line_behind(&self, at: usize) -> Option<u32> {
        for behind in at..at + 4 {
            match self.kind(behind)? {
                ChunkKind::Line(line) => return Some(line),
                ChunkKind::Colon | ChunkKind::Open | ChunkKind::Pause | ChunkKind::Comma => {}
                ChunkKind::Word { .. } if self.sense(behind).is(Set::By) => {}
                _ => return None,
            }
        }
        None
    }

    // ---- claims -------------------------------------------------------------------

    fn claim(
        &self,
        prose: &mut Prose,
        start: usize,
        found: Match,
        asked: bool,
        sentence: u32,
    ) -> bool {
        let Match { rule, end, slots } = found;
        if rule.silent {
            return true;
        }
        let Some(kind) = (rule.make)(&slots) else {
            return false;
        };
        if self.is_a_name(end)
            || self.is_friends(start, end, &kind)
            || rule.subject == Who::Inside && slots.targets.len() > 1 && self.is_object(start)
        {
            return false;
        }
        let around = self.surroundings(start, end, asked);
        let mut mood = around.mood.max(rule.mood.unwrap_or(Mood::Stated));
        let mut polarity = around.polarity;
        for at in start..end {
            if self.sense(at).is(Set::Not) && !self.is_not_only(at) {
                polarity = contrary(polarity);
            }
        }
        let polarity = rule.polarity.unwrap_or(polarity);
        if rule.polarity.is_some() && around.polarity == Polarity::Denied {
            // A second negation around a phrase that has its own: too knotty.
            mood = mood.max(Mood::Hedged);
        }
        let mut at = match slots.line2.or(slots.line) {
            Some(line) => match rule.tie {
                Tie::End => At::End(line),
                Tie::Shown => At::Shown(line),
            },
            None => At::Here,
        };
        if at == At::Here {
            at = match self.line_before(prose, start, sentence) {
                At::End(line) => At::End(line),
                _ => match self.line_behind(end) {
                    Some(line) => At::Shown(line),
                    None => At::Here,
                },
            };
        }
        let subject = match rule.subject {
            Who::Nobody => Subject::Nobody,
            Who::Inside => match slots.side {
                Some(side) => self.side(side),
                None => match slots.pieces.first() {
                    Some(noun) => Subject::Piece(*noun),
                    None => Subject::Nobody,
                },
            },
            Who::Before => self.subject(start, &kind),
            Who::Victim => opposite(self.subject(start, &kind)),
        };
        let span = self.span(start, end);
        let Some(kind) = self.fitted(kind, subject, start, end) else {
            return false;
        };
        if let (ClaimKind::Mate(_), At::End(line), Subject::Line) = (&kind, at, subject)
            && self.begins_with_line(start)
        {
            at = At::Subject(line);
        }
        prose.claims.push(Claim {
            span,
            kind,
            polarity,
            mood,
            subject,
            at,
            tense: around.tense,
            sentence,
        });
        true
    }

    /// Fits a kind to its subject: "24.Kf1 is better" judges a move, "White is better" a
    /// position, and "the endgame is better" nothing that can be told.
    fn fitted(
        &self,
        kind: ClaimKind,
        subject: Subject,
        start: usize,
        end: usize,
    ) -> Option<ClaimKind> {
        let of_a_move = matches!(subject, Subject::Line | Subject::ThisMove);
        Some(match kind {
            ClaimKind::Standing(Standing::Better | Standing::MuchBetter) if of_a_move => {
                ClaimKind::Quality(Quality::Better)
            }
            ClaimKind::Standing(Standing::Winning) if of_a_move => {
                ClaimKind::Quality(Quality::Wins)
            }
            ClaimKind::Standing(Standing::Worse | Standing::MuchWorse) if of_a_move => return None,
            // The name is all in front of the word for mate, or all but the last word.
            ClaimKind::Pattern(_) => {
                let mate = (start..end).rfind(|&at| self.sense(at).is(Set::Mate));
                let last = mate.unwrap_or(end.saturating_sub(1));
                ClaimKind::Pattern(self.span(start, last))
            }
            ClaimKind::Structure {
                feature,
                file,
                square,
                owner: Owner::Anyone,
            } => ClaimKind::Structure {
                feature,
                file,
                square,
                owner: match subject {
                    Subject::Side(color) => Owner::Side(color),
                    Subject::He => Owner::He,
                    _ => Owner::Anyone,
                },
            },
            other => other,
        })
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

    /// "Mate in Two Cup": a word with a capital behind the phrase makes it a name.
    fn is_a_name(&self, end: usize) -> bool {
        match (
            end.checked_sub(1).and_then(|at| self.kind(at)),
            self.kind(end),
        ) {
            (
                Some(ChunkKind::Word { capital: true, .. }),
                Some(ChunkKind::Word { capital: true, .. }),
            ) => true,
            (_, Some(ChunkKind::Word { .. })) => self.sense(end).is(Set::Game),
            _ => false,
        }
    }

    /// "His mates watched": mates that are people have an owner or a number in front.
    fn is_friends(&self, start: usize, end: usize, kind: &ClaimKind) -> bool {
        if !matches!(kind, ClaimKind::Mate(Mate::Now | Mate::Forced)) || end - start > 1 {
            return false;
        }
        // "Mate." is all that the sentence says.
        if matches!(kind, ClaimKind::Mate(Mate::Now)) {
            let ends = |kind: Option<ChunkKind>| {
                matches!(kind, None | Some(ChunkKind::End { .. } | ChunkKind::Comma))
            };
            let before = start.checked_sub(1).and_then(|at| self.kind(at));
            return !(ends(before) && ends(self.kind(end)));
        }
        let Some(before) = start.checked_sub(1) else {
            return false;
        };
        let sense = self.sense(before);
        sense.is(Set::His) || sense.is(Set::Det) || sense.number.is_some() || sense.is(Set::Team)
    }

    /// Whether what begins at chunk `start` is the object of a verb in front of it: in
    /// "covers e1 and the bishop is pinned" the square is not pinned.
    fn is_object(&self, start: usize) -> bool {
        let Some(before) = start.checked_sub(1) else {
            return false;
        };
        let sense = self.sense(before);
        let joins = [Set::And, Set::Because, Set::If, Set::Filler, Set::Det]
            .into_iter()
            .any(|set| sense.is(set));
        matches!(self.kind(before), Some(ChunkKind::Word { .. })) && !joins
    }

    fn side(&self, at: usize) -> Subject {
        match self.kind(at) {
            Some(ChunkKind::Side(color)) => Subject::Side(color),
            Some(ChunkKind::He(third)) => match self.named_before(at).filter(|_| third) {
                Some(color) => Subject::Side(color),
                None => Subject::He,
            },
            Some(ChunkKind::Opponent) => Subject::Opponent,
            _ => Subject::Nobody,
        }
    }

    /// The player whom "he" at chunk `at` means, where the sentence and the one before name
    /// one side only, and by itself: "After White's move he is lost" can be said of either.
    fn named_before(&self, at: usize) -> Option<Color> {
        let mut sides = [false; 2];
        let mut sentences = 0;
        for back in (at.saturating_sub(REACH)..at).rev() {
            let named = match self.kind(back)? {
                ChunkKind::End { .. } => {
                    sentences += 1;
                    if sentences > 1 {
                        break;
                    }
                    None
                }
                ChunkKind::Side(color) => {
                    if self.sense(back + 1).is(Set::Possessive) {
                        return None;
                    }
                    Some(color)
                }
                ChunkKind::Noun(noun) => match noun.owner {
                    Owner::Side(color) => Some(color),
                    _ => None,
                },
                _ => None,
            };
            if let Some(color) = named {
                sides[usize::from(color.is_white())] = true;
            }
        }
        match sides {
            [false, true] => Some(Color::White),
            [true, false] => Some(Color::Black),
            _ => None,
        }
    }

    /// Who stands in front of chunk `start` in the same clause.
    fn subject(&self, start: usize, kind: &ClaimKind) -> Subject {
        let pieces = takes_pieces(kind);
        for at in (start.saturating_sub(10)..start).rev() {
            match self.kind(at) {
                Some(ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent) => {
                    return self.side(at);
                }
                Some(ChunkKind::Noun(noun)) if pieces => return Subject::Piece(noun),
                Some(ChunkKind::Line(_)) => return Subject::Line,
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    if sense.is(Set::This) {
                        return Subject::ThisMove;
                    }
                    if sense.is(Set::And) || sense.is(Set::Because) || sense.is(Set::If) {
                        return Subject::Nobody;
                    }
                }
                Some(ChunkKind::Noun(_) | ChunkKind::Square(_) | ChunkKind::Number(_)) => {}
                _ => return Subject::Nobody,
            }
        }
        // A comment that begins with its verb goes on with the move it stands behind:
        // "24.Qg7 {was better.}"
        if start == 0 && self.sense(0).is(Set::Question) {
            return Subject::ThisMove;
        }
        Subject::Nobody
    }
}

/// Whether a piece can be the subject of a claim of this kind.
const fn takes_pieces(kind: &ClaimKind) -> bool {
    matches!(
        kind,
        ClaimKind::Relation { .. }
            | ClaimKind::Mate(Mate::Now)
            | ClaimKind::Threat(Threat::Pieces(_))
            | ClaimKind::OnlyMove(_)
    )
}

const fn contrary(polarity: Polarity) -> Polarity {
    match polarity {
        Polarity::Affirmed => Polarity::Denied,
        Polarity::Denied => Polarity::Affirmed,
    }
}

/// The one who acts where `subject` suffers.
const fn opposite(subject: Subject) -> Subject {
    match subject {
        Subject::Side(Color::White) => Subject::Side(Color::Black),
        Subject::Side(Color::Black) => Subject::Side(Color::White),
        Subject::Opponent => Subject::He,
        Subject::He => Subject::Opponent,
        _ => Subject::Nobody,
    }
}
