//! What a passage says: cited moves, the lines they form, and claims.

use std::ops::Range;

use gainsay_notation::{Glyph, Language, MoveNumber, Signs, Span, WrittenMove};
use shakmaty::Color;

use crate::kind::ClaimKind;
use crate::noun::Noun;
use crate::number::WrittenNumber;
use crate::other_game::Attribution;
use crate::wording::Wording;

/// Everything that was read in one passage. Spans are byte offsets into it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prose {
    /// Every cited move, in the order of the text.
    pub moves: Vec<CitedMove>,
    /// The lines that the moves form, in the order of the text. Every move belongs
    /// to exactly one line.
    pub lines: Vec<CitedLine>,
    /// Every claim, in the order of the text.
    pub claims: Vec<Claim>,
    /// The words that were not understood: around claims, see [`Claim::unread`], and in
    /// sentences, see [`UnreadSentence::words`].
    pub unread: Vec<Span>,
    /// The sentences that were not, or not wholly, understood, in the order of the text.
    pub sentences: Vec<UnreadSentence>,
    /// The piece letters that its moves are written with.
    pub letters: Language,
    /// Those of its language, where its moves may as well be written with them: "Rd8" is a rook's
    /// move, or one of the French king.
    pub or_letters: Option<Language>,
}

impl Prose {
    /// Empties it but keeps its allocations.
    pub fn clear(&mut self) {
        self.moves.clear();
        self.lines.clear();
        self.claims.clear();
        self.unread.clear();
        self.sentences.clear();
        self.or_letters = None;
    }

    /// The words of a sentence that were not understood.
    #[must_use]
    pub fn words_of(&self, sentence: &UnreadSentence) -> &[Span] {
        self.unread
            .get(sentence.words.start as usize..sentence.words.end as usize)
            .unwrap_or_default()
    }

    /// The words that keep a claim from being judged.
    #[must_use]
    pub fn unread_of(&self, claim: &Claim) -> &[Span] {
        self.unread
            .get(claim.unread.start as usize..claim.unread.end as usize)
            .unwrap_or_default()
    }

    /// The moves of a line.
    #[must_use]
    pub fn moves_of(&self, line: &CitedLine) -> &[CitedMove] {
        self.moves
            .get(line.moves.start as usize..line.moves.end as usize)
            .unwrap_or_default()
    }

    /// Whether the line that a claim leans on may be told to be impossible.
    pub(crate) fn line_is_barred(&self, at: At) -> bool {
        let line = at.line().and_then(|line| self.lines.get(line as usize));
        line.is_some_and(|line| line.barred || line.role == LineRole::Impossible)
    }

    /// Whether the line that a claim leans on is written with the sign or the word of mate at its
    /// end.
    pub(crate) fn line_mates(&self, at: At) -> bool {
        let line = at.line().and_then(|line| self.lines.get(line as usize));
        let last = line.and_then(|line| self.moves_of(line).last());
        last.is_some_and(|last| last.mate_word || last.written.signs == Signs::Mate)
    }
}

/// A sentence that holds a move, a square, a piece or a term of the trade and was not, or not
/// wholly, understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnreadSentence {
    /// All of it, but for its last sign.
    pub span: Span,
    /// The words and signs that were not understood, as indices into [`Prose::unread`].
    pub words: Range<u32>,
}

/// A move named in prose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CitedMove {
    /// The move with its sign, without number and glyphs.
    pub span: Span,
    /// The number in front, where one is written.
    pub number: Option<MoveNumber>,
    /// Where that number stands.
    pub number_span: Option<Span>,
    /// The move.
    pub written: WrittenMove,
    /// An annotation glyph behind it (`!`, `??`, `+-`).
    pub glyph: Option<Glyph>,
    /// Whether the word "mate" or "checkmate" stands directly behind it, or behind a comma
    /// there, where others write `#`.
    pub mate_word: bool,
    /// Whether it may as well be no move: two files in a row, as in "12.Nxe6 fe".
    pub loose: bool,
}

/// Moves that stand directly behind each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CitedLine {
    /// From the first number or move to the last glyph.
    pub span: Span,
    /// Its moves, as indices into [`Prose::moves`].
    pub moves: Range<u32>,
    /// What the sentence does with the line.
    pub role: LineRole,
    /// How real the sentence means it.
    pub mood: Mood,
    /// How deep in parentheses the line stands.
    pub depth: u8,
    /// The number of the sentence it stands in, from 0.
    pub sentence: u32,
    /// When the sentence says that it is, was or will be played.
    pub tense: Tense,
    /// What stands between it and the line before.
    pub joint: Joint,
    /// Whether a negation stands further in front of it in its clause.
    pub doubted: bool,
    /// Whether its sentence may tell that its first move cannot be played.
    pub barred: bool,
    /// Whether the sentence goes on behind it ("after 24.Kf1 Black mates in one").
    pub premise: bool,
    /// Whether it answers the line before, which is such a premise ("after 24.Kf1 Black has
    /// 24...Qe2").
    pub follows: bool,
    /// Whether its sentence puts it on a board that no moves lead to, as in "if the king stays,
    /// 24.Ba3+" or "otherwise 24.Ba3+". That it cannot be played then says nothing.
    pub imagined: bool,
    /// Whether a comma or a parenthesis closes it: "White's third move, 3.Bb5, is best".
    pub apposed: bool,
    /// Whether it goes on with what was not read as a move, so that its end is not known:
    /// "24.Nd5 Nxg9", "24.Nd5 Kh8 etc."
    pub cut: bool,
    /// Whether such a thing stands in front of it, so that its position is not known.
    pub severed: bool,
}

/// What a sentence does with a cited line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LineRole {
    /// It is stated; nothing more is said.
    Stated,
    /// It is a threat: it is played after the other side passes.
    Threat,
    /// It replaces a move that was played ("better was", "instead of").
    Alternative,
    /// It must not be played ("not 23.Qh5", "avoid").
    Denied,
    /// It cannot be played ("is impossible", "cannot play").
    Impossible,
    /// It is prevented ("stops 31.Ng6").
    Prevented,
    /// It is aimed at ("with the idea of", "heading for").
    Plan,
}

/// What stands between two lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Joint {
    /// It is the first line of the passage.
    First,
    /// Words of the same sentence.
    Words,
    /// A comma, a slash or "or": both answer the same position, or the plan of one side.
    List,
    /// The end of a sentence, or a semicolon.
    Sentence,
}

/// A statement that the board can confirm or deny.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// The words that make it.
    pub span: Span,
    /// What is claimed.
    pub kind: ClaimKind,
    /// Whether it is affirmed or denied.
    pub polarity: Polarity,
    /// How real the sentence means it.
    pub mood: Mood,
    /// Who or what it is said of.
    pub subject: Subject,
    /// The cited line it leans on.
    pub at: At,
    /// When it is said to be true.
    pub tense: Tense,
    /// Whether it is told of another game, which the only other-game pointer of its sentence
    /// leads to.
    pub told: Option<Attribution>,
    /// The number of the sentence it stands in, from 0.
    pub sentence: u32,
    /// What its very words add.
    pub wording: Wording,
    /// The number of moves that it says, as it is written.
    pub number: Option<WrittenNumber>,
    /// Whether nothing behind its words can turn their sense, as in "winning the race".
    pub closed: bool,
    /// Whether its sentence tells something in front of it that it goes on from, as in "gives
    /// the queen and mates in two".
    pub joined: bool,
    /// Whether nothing but "and", "with" and the like stands between the cited line that it is
    /// said of the end of and it: "24.Qh6+ and mate in two". Of a piece: whether its clause goes on
    /// behind it, "the knight on f7 is strong".
    pub attached: bool,
    /// Whether it stands directly behind another claim of its sentence, but for two words at
    /// most such as "on his": "castled on his 12th move".
    pub follows: bool,
    /// How much of its passage it takes up.
    pub extent: Extent,
    /// Whether its own clause says that it is so, and does not only wish, plan, prevent or suppose
    /// it. What a definite noun phrase takes for granted is always asserted.
    pub asserted: bool,
    /// The words of its clause that were not understood, as indices into [`Prose::unread`].
    /// Where there are any the claim is not judged.
    pub unread: Range<u32>,
}

impl Claim {
    /// A claim that its words make by themselves, without a sentence around them: a sign, or a task
    /// in a caption.
    ///
    /// ```
    /// use gainsay_commentary::{Claim, ClaimKind, Extent, Stipulation, Wording};
    /// use gainsay_notation::Span;
    /// let kind = ClaimKind::Stipulation(Stipulation::Win);
    /// let claim = Claim::alone(Span::new(0, 3), kind, Wording::default());
    /// assert!(claim.asserted && claim.extent == Extent::Whole);
    /// ```
    #[must_use]
    pub const fn alone(span: Span, kind: ClaimKind, wording: Wording) -> Self {
        Self {
            span,
            kind,
            polarity: Polarity::Affirmed,
            mood: Mood::Stated,
            subject: Subject::Nobody,
            at: At::Here,
            tense: Tense::Present,
            told: None,
            sentence: 0,
            wording,
            number: None,
            closed: true,
            joined: false,
            attached: false,
            follows: false,
            extent: Extent::Whole,
            asserted: true,
            unread: 0..0,
        }
    }
}

/// How much of its passage a claim takes up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Extent {
    /// It is one word, and the passage has no other: "Checkmate!"
    Word,
    /// It is all that the passage says, but for words that change nothing: "This is a stalemate
    /// now."
    Whole,
    /// The passage ends with it.
    End,
    /// More is said behind it.
    Part,
}

/// Whether a claim is affirmed or denied.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Polarity {
    /// "is mate"
    Affirmed,
    /// "is not mate"
    Denied,
}

/// How real a sentence means what it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mood {
    /// Said of what is, was or will be.
    Stated,
    /// Said under a condition ("if", "after", "when").
    Conditional,
    /// With a grain of salt ("perhaps", "almost").
    Hedged,
    /// "would be"; the condition may stand anywhere or be left out.
    Counterfactual,
    /// Hoped for, planned, intended.
    Wished,
    /// Stopped, avoided, parried: true without the move just played.
    Prevented,
    /// Only true if something on the board were otherwise ("without the knight").
    Unreal,
    /// Asked.
    Asked,
    /// Attribution of another game, or quoted.
    Elsewhere,
}

/// When a claim is said to be true.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Tense {
    /// "is", or no verb.
    Present,
    /// "was", "had": often of an alternative to the move just played.
    Past,
    /// "will", "soon".
    Future,
}

/// Who or what a claim is said of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// Nobody is named.
    Nobody,
    /// A colour, or a player through the tags.
    Side(Color),
    /// "he", "his": one of the players.
    He,
    /// "the opponent".
    Opponent,
    /// A piece.
    Piece(Noun),
    /// The cited line in [`Claim::at`].
    Line,
    /// The move just played ("this", "the text move").
    ThisMove,
}

/// The cited line that a claim leans on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// None: the claim speaks of the position of the comment.
    Here,
    /// The claim is made at the end of the line ("24.Qh6+ and mate in two").
    End(u32),
    /// The line is all that the sentence speaks of ("24.Qh6+ forces mate in two"), or is what
    /// the claim names ("White's 24th move was 24.Qh6+"); said of mates and such moves only.
    Subject(u32),
    /// The line shows or begins what is claimed ("mate by 24.Qh7+", "mate in two: 24.Qh7+ ...").
    Shown(u32),
    /// The line stands in the same sentence, without a closer tie.
    Near(u32),
}

impl At {
    /// The index of the line into [`Prose::lines`].
    #[must_use]
    pub const fn line(self) -> Option<u32> {
        match self {
            Self::Here => None,
            Self::End(line) | Self::Subject(line) | Self::Shown(line) | Self::Near(line) => {
                Some(line)
            }
        }
    }
}
