//! A claim with its comment and all that it can speak of.

use std::{ops::Range, sync::Arc};

use gainsay_commentary::{
    At, CitedLine, CitedMove, Claim, ClaimKind, Context, Extent, Mate, Mood, Polarity, Prose,
    Reference, Subject, Tense,
};
use gainsay_notation::Span;

use super::{
    lines::Resolved,
    lookout::{Pointed, print},
};
use crate::{
    book::Found,
    memory::Digest,
    outcome::Claimed,
    quote::{quoted, quoted_move},
    report::UnreadSentence,
    scene::Scene,
    settings::Settings,
    show,
    tasks::{self, Genre},
};

/// A claim that was read and waits for its verdict. It owns all it needs, so that it
/// can be settled on another thread.
#[derive(Clone, Debug)]
pub(crate) struct Question {
    pub(crate) claim: Claim,
    pub(crate) comment: Arc<Comment>,
    /// The author's words.
    pub(crate) text: String,
    /// The author's words near it that were not understood.
    pub(crate) unread: Vec<String>,
    /// Byte offsets in the checked text.
    pub(crate) span: Range<usize>,
    /// The most it may cost, whatever the settings allow.
    pub(crate) nodes: u64,
}

/// A comment that was read.
#[derive(Debug)]
pub(crate) struct Comment {
    pub(crate) prose: Prose,
    pub(crate) scene: Scene,
    pub(crate) lines: Vec<Resolved>,
    /// The game it stands in; `None` for prose beside it.
    pub(crate) game: Option<u32>,
    pub(crate) mv: Option<String>,
    /// The words of every cited move.
    pub(crate) words: Vec<String>,
    /// Where the comment's text begins.
    pub(crate) base: usize,
    /// How far its claims can be called false.
    pub(crate) trust: Trust,
    /// What its pointers at other games lead to.
    pub(crate) pointed: Arc<Vec<Pointed>>,
    /// For the text of an exercise: its solution, which stands elsewhere.
    pub(crate) given: Option<Arc<super::given::Given>>,
    /// What it asks for that is not proved.
    pub(crate) genre: Option<Genre>,
    /// How many solutions the text says that there are; 0 for several.
    pub(crate) solutions: Option<u32>,
    /// A fingerprint of its words, of how they are read, and of all that they can speak of.
    pub(crate) print: Digest,
}

/// What was read in the comments of a piece of text.
#[derive(Debug, Default)]
pub(crate) struct Heard {
    /// The claims.
    pub(crate) questions: Vec<Question>,
    /// The sentences that were not understood.
    pub(crate) unread: Vec<UnreadSentence>,
}

impl Heard {
    /// Takes note of the sentences of `prose`, which is what `passage` says at `base`, that were not
    /// understood. No author writes as many as are listed at most.
    pub(crate) fn list(&mut self, prose: &Prose, passage: &[u8], base: usize, mv: Option<&str>) {
        let words = |span: Span| quoted(passage, span);
        let left = MOST_CLAIMS.saturating_sub(self.unread.len());
        let sentences = prose.sentences.iter().take(left);
        self.unread.extend(sentences.map(|sentence| {
            UnreadSentence {
                text: words(sentence.span),
                span: base + sentence.span.start as usize..base + sentence.span.end as usize,
                mv: mv.map(ToOwned::to_owned),
                words: (prose.words_of(sentence).iter())
                    .map(|&span| words(span))
                    .collect(),
            }
        }));
    }
}

impl Comment {
    /// The claims of `prose`, which is what `passage` says here.
    pub(crate) fn pending(
        mut self,
        passage: &[u8],
        context: &Context,
        prose: Prose,
    ) -> Vec<Question> {
        let mut pointed = Vec::new();
        print(&self.pointed, &mut pointed);
        // Beside a position that is set up, the words themselves say what kind of problem it is.
        let asks = |claim: &Claim| {
            matches!(
                claim.kind,
                ClaimKind::Stipulation(_) | ClaimKind::Mate(Mate::In { .. })
            )
        };
        let set_up = self.scene.before().is_none() && self.scene.played.is_none();
        if set_up && prose.claims.iter().any(asks) {
            self.genre = self.genre.or_else(|| tasks::genre(passage));
            self.solutions = self.solutions.or_else(|| tasks::solutions(passage));
        }
        self.print = Digest::of(&[
            passage,
            format!("{context:?} {:?}", (self.trust, self.genre, self.solutions)).as_bytes(),
            self.scene.print.bytes(),
            &pointed,
            self.given
                .as_ref()
                .map_or_else(Digest::default, |given| given.print())
                .bytes(),
        ]);
        let words = |span: Span| quoted(passage, span);
        let moves = prose.moves.iter();
        self.words = moves
            .map(|cited| quoted_move(passage, cited.span))
            .collect();
        self.prose = prose;
        let comment = Arc::new(self);
        comment
            .prose
            .claims
            .iter()
            .map(|claim| Question {
                text: words(claim.span),
                unread: (comment.prose.unread_of(claim).iter())
                    .map(|&span| words(span))
                    .collect(),
                span: comment.base + claim.span.start as usize
                    ..comment.base + claim.span.end as usize,
                claim: claim.clone(),
                comment: Arc::clone(&comment),
                nodes: u64::MAX,
            })
            .collect()
    }
}

/// Bytes of the longest comment that is read for claims: more than any author writes
/// on one move, so that what is longer is a file gone wrong, which must not cost
/// memory in proportion.
pub(crate) const LONGEST_COMMENT: u32 = 4 << 20;

/// So many claims of one game are read, the first ones. No author makes as many, and each
/// takes some kilobytes until all are settled.
///
/// ```
/// use gainsay::{Document, Format, MOST_CLAIMS, Settings};
/// let text = format!("1. e4 {}e5 *\n", "{White mates in one.} ".repeat(MOST_CLAIMS + 1));
/// let text = Document::open(text.into_bytes(), Format::Pgn);
/// assert_eq!(text.questions(0, &Settings::default()).len(), MOST_CLAIMS);
/// ```
pub const MOST_CLAIMS: usize = 2000;

/// How far a claim beside a neighbour can be called false.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Trust {
    /// As the words say: a comment in a game.
    Words,
    /// Cited lines, pieces, and what leans on a cited line: a paragraph that names a move
    /// of the game.
    Cited,
    /// Those, mates and what an exercise asks for: a paragraph near a position.
    Position,
    /// As the words say, but for what is told of the past: a paragraph next to a position.
    Beside,
    /// Not at all.
    Nothing,
}

impl Trust {
    /// Whether a claim can fail.
    pub(crate) fn lets_fail(self, claim: &Claim) -> bool {
        let of_lines = matches!(claim.kind, ClaimKind::Line | ClaimKind::Pieces(_))
            || claim.at.line().is_some();
        match self {
            Self::Words => true,
            Self::Cited => of_lines,
            Self::Position => {
                of_lines
                    || matches!(
                        claim.kind,
                        ClaimKind::Mate(Mate::In { .. } | Mate::Forced) | ClaimKind::Stipulation(_)
                    )
            }
            Self::Beside => of_lines || claim.tense != Tense::Past,
            Self::Nothing => false,
        }
    }
}

impl Question {
    /// All that the verdict depends on: the comment with all that it can speak of, which of its
    /// claims this is, and the budget.
    pub(crate) fn depends(&self, settings: &Settings, tables: bool) -> Digest {
        let place = |offset: u32| offset.to_le_bytes();
        Digest::of(&[
            b"claim",
            self.comment.print.bytes(),
            &place(self.claim.span.start),
            &place(self.claim.span.end),
            format!("{:?}", self.claim.kind).as_bytes(),
            &settings.nodes.min(self.nodes).to_le_bytes(),
            &[u8::from(tables)],
        ])
    }

    /// The sections of the book with the other games that the claim's comment points at.
    pub(crate) fn looks_at(&self) -> impl Iterator<Item = Range<usize>> {
        let found = self
            .comment
            .pointed
            .iter()
            .flat_map(|pointed| &pointed.found.games);
        found.map(|game| game.section.clone())
    }

    /// Whether the claim's comment points at other games.
    pub(crate) fn points(&self) -> bool {
        !self.comment.pointed.is_empty()
    }

    /// The claim as it stands in the text.
    pub(crate) fn claimed(&self) -> Claimed<'_> {
        Claimed {
            kind: self.claim.kind.name(),
            text: &self.text,
            span: &self.span,
            base: self.comment.base,
            game: self.comment.game,
            mv: self.comment.mv.as_deref(),
            here: &self.comment.scene.here,
        }
    }

    /// What it says, for who recognises it another time: its words, and who they are said of.
    pub(crate) fn said(&self) -> String {
        let subject = match self.claim.subject {
            Subject::Side(side) => show::side(side),
            Subject::He => "he",
            Subject::Opponent => "opponent",
            Subject::Piece(_) => "piece",
            Subject::Line => "line",
            Subject::ThisMove => "move",
            Subject::Nobody => "",
        };
        let denied = match self.claim.polarity {
            Polarity::Affirmed => "",
            Polarity::Denied => "not",
        };
        format!("{subject} {denied} {}", self.text)
    }

    /// The words of a span of the comment, if it lies within the claim's.
    pub(crate) fn words(&self, span: Span) -> String {
        let from = span.start.saturating_sub(self.claim.span.start) as usize;
        let to = span.end.saturating_sub(self.claim.span.start) as usize;
        self.text.get(from..to).unwrap_or_default().to_owned()
    }

    /// Whether the sentence means the claim so plainly that it can be called false.
    pub(crate) fn may_fail(&self) -> bool {
        if self.claim.told.is_some()
            || matches!(self.claim.kind, ClaimKind::Reference(Reference::Game(_)))
        {
            return self.claim.mood == Mood::Stated;
        }
        if !self.comment.trust.lets_fail(&self.claim) {
            return false;
        }
        let prose = &self.comment.prose;
        if self.cited_line().is_some_and(|line| line.imagined) {
            return false;
        }
        if !matches!(self.claim.kind, ClaimKind::Reference(_)) && self.is_told_of_nowhere() {
            return false;
        }
        // "In the position after 24.Kf1 Qe2 he has a choice. He can …" goes on from there.
        let goes_on = |line: &CitedLine| line.premise && line.sentence + 1 == self.claim.sentence;
        if self.claim.at == At::Here && prose.lines.iter().any(goes_on) {
            return false;
        }
        match self.claim.mood {
            Mood::Stated => true,
            // "If 24...Kh8 25.Qg7 is mate": the line is the condition.
            Mood::Conditional | Mood::Counterfactual => {
                matches!(self.claim.kind, ClaimKind::Line)
                    || matches!(self.claim.at, At::End(_) | At::Subject(_) | At::Shown(_))
                        && self.claim.mood == Mood::Conditional
            }
            Mood::Hedged => matches!(self.claim.kind, ClaimKind::Line),
            _ => false,
        }
    }

    /// Whether the sentence says that it is so, here or behind a line that is cited, and does not
    /// only ask, wish, prevent or suppose it.
    pub(crate) fn is_asserted(&self) -> bool {
        if self.cited_line().is_some_and(|line| line.imagined) {
            return false;
        }
        match self.claim.kind {
            // A line can be played, and a piece stands where it stands, whatever is said of it.
            ClaimKind::Line | ClaimKind::Mention | ClaimKind::Reference(_) => return true,
            ClaimKind::Pieces(_) => return self.claim.mood != Mood::Unreal,
            _ => {}
        }
        match self.claim.mood {
            Mood::Elsewhere => self.claim.told.is_some(),
            Mood::Asked => false,
            _ => self.claim.asserted,
        }
    }

    /// Whether the claim is denied.
    pub(crate) fn denied(&self) -> bool {
        self.claim.polarity == Polarity::Denied
    }

    /// Whether the claim is all that a comment in a game says.
    pub(crate) fn is_all(&self) -> bool {
        self.claim.extent <= Extent::Whole && self.comment.trust == Trust::Words
    }

    /// Whether it is the one word of a comment in a game.
    pub(crate) fn is_one_word(&self) -> bool {
        self.is_all() && self.claim.extent == Extent::Word
    }

    /// The line that the claim leans on, as it is written.
    pub(crate) fn cited_line(&self) -> Option<&CitedLine> {
        let index = self.claim.at.line()?;
        self.comment.prose.lines.get(index as usize)
    }

    /// The line that the claim leans on, with the ways to play it.
    pub(crate) fn line(&self) -> Option<&Resolved> {
        self.comment.lines.get(self.claim.at.line()? as usize)
    }

    /// The moves of the line that the claim leans on, as they are written.
    pub(crate) fn line_moves(&self) -> &[CitedMove] {
        let line = self.cited_line();
        line.map_or(&[], |line| self.comment.prose.moves_of(line))
    }

    /// Whether another line stands behind the claim's in its sentence.
    pub(crate) fn line_goes_on(&self) -> bool {
        let Some(index) = self.claim.at.line() else {
            return false;
        };
        let lines = &self.comment.prose.lines;
        let next = lines.get(index as usize + 1);
        next.is_some_and(|next| next.sentence == self.claim.sentence)
    }

    /// Whether the claim is a glyph of the movetext, not words.
    pub(crate) fn is_glyph(&self) -> bool {
        self.comment.prose.claims.is_empty()
    }

    /// What the only pointer of this claim's sentence leads to.
    pub(crate) fn told_game(&self) -> Option<&Found> {
        let mut pointed = self.comment.pointed.iter();
        let found = pointed.find(|pointed| pointed.sentence == self.claim.sentence)?;
        Some(&found.found)
    }
}
