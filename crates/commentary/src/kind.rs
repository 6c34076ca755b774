//! The kinds of claim.

use gainsay_notation::{Degree, Glyph, GlyphMeaning, Span};
use shakmaty::{CastlingSide, Color, File, Role, Square};

use crate::deed::{Deed, Exchanged, First, Retake, Trade};
use crate::mate_name::MateName;
use crate::noun::Noun;
use crate::other_game::{GameEnd, OtherGame};
use crate::structure::Structure;

/// What is claimed. Polarity, mood, subject and place stand in [`crate::claim::Claim`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ClaimKind {
    /// The moves of the line in [`crate::claim::Claim::at`] can be played, with their signs.
    Line,
    /// A single unnumbered move is named. It can be played by somebody now or soon.
    Mention,
    /// A mate.
    Mate(Mate),
    /// A threat.
    Threat(Threat),
    /// There is no other move.
    OnlyMove(OnlyMove),
    /// A line refutes a move or shows why it fails.
    Refutation(Refutation),
    /// The named pieces stand where they are said to stand.
    Pieces(Noun),
    /// A piece acts on pieces or squares.
    Relation {
        /// How.
        relation: Relation,
        /// Who acts; `None` where it is the claim's subject or nobody is named.
        actor: Option<Noun>,
        /// The pieces acted on.
        targets: Vec<Target>,
    },
    /// So many men attack or defend something.
    Bearing(Box<Bearing>),
    /// The balance of material.
    Material(Material),
    /// A side has so many men of a kind left.
    Count(Count),
    /// The sides have so many pawns.
    Pawns(Pawns),
    /// A square or a bishop is of this colour.
    Shade(Shade),
    /// Something is won or lost.
    Gain {
        /// What.
        what: Goods,
        /// How it passes.
        how: Passing,
    },
    /// How good the position is.
    Standing(Standing),
    /// How good a move is.
    Quality(Quality),
    /// A draw.
    Draw(Draw),
    /// What a move did.
    Deed(Box<Deed>),
    /// Who can take back.
    Retake(Box<Retake>),
    /// The move makes or offers an exchange.
    Trade(Trade),
    /// What was exchanged so far.
    Exchanged(Exchanged),
    /// The move does something for the first time in the game.
    First(First),
    /// A feature of the pawn skeleton or of the placement of the pieces.
    Structure(Structure),
    /// A named mate ("a smothered mate").
    Pattern(NamedMate),
    /// What an exercise asks for.
    Stipulation(Stipulation),
    /// Another place in the book.
    Reference(Reference),
    /// How the other game that is pointed at ended.
    GameEnd(GameEnd),
}

/// Claims about mate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mate {
    /// "mate in two", "mates in 3": by `moves` moves of the mating side.
    In {
        /// The number of moves.
        moves: u32,
        /// "at most", "at the latest", "in at most": fewer is fine too.
        at_most: bool,
    },
    /// "forced mate", "mate follows", "mate cannot be stopped", "gets mated".
    Forced,
    /// "mate next move".
    Next,
    /// "is mate", "mates", "checkmate".
    Now,
    /// "there is no mate", "White has no mate in two".
    Absent {
        /// Within so many moves, if that is said.
        moves: Option<u32>,
    },
}

/// How many men of a kind a side has left: "White has three pawns left".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Count {
    /// The kind.
    pub role: Role,
    /// How many.
    pub count: u8,
    /// Whether it is said of each side.
    pub both: bool,
}

/// Which colour a square has, or the squares that a bishop moves on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shade {
    /// The square or the bishop.
    pub of: Target,
    /// Whether it is light.
    pub light: bool,
}

/// How many pawns the sides have: "five pawns against four". Without numbers both have as many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pawns {
    /// Whose pawns are told first, where that is said by their name or else by the claim's
    /// subject.
    pub side: Option<Color>,
    /// How many those are.
    pub own: Option<u8>,
    /// How many the others are.
    pub other: Option<u8>,
    /// On which wing, where that is said.
    pub wing: Option<CastlingSide>,
    /// Whether the very words say that pawns are counted.
    pub named: bool,
}

/// How many men attack or defend something: "attacked twice and defended once".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bearing {
    /// What they attack or defend; `None` where it is not known.
    pub target: Option<Target>,
    /// How many attack it, where that is said.
    pub attackers: Option<u8>,
    /// How many defend it, where that is said.
    pub defenders: Option<u8>,
    /// The men that are counted, where others may bear on it too: "by two black pawns".
    pub of: Option<Noun>,
    /// Those that all of them are said to be, of the last number; empty where that is not said.
    pub by: Vec<Target>,
    /// Whether words behind the count may say which men they are, and were not understood.
    pub open: bool,
}

/// A mate that is called by a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct NamedMate {
    /// The name.
    pub name: MateName,
    /// Where it stands, without the word for mate.
    pub span: Span,
    /// How its sentence says that it comes, where it does: "mates in two with a smothered mate".
    pub comes: Option<Coming>,
}

/// How a mate is said to come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Coming {
    /// Within so many moves, where that is said.
    pub moves: Option<u32>,
    /// Whether it is only threatened.
    pub threatened: bool,
}

/// Claims about threats.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Threat {
    /// "threatens mate", "threatens mate in two".
    Mate(Option<u32>),
    /// "threatens mate on g7".
    MateOn(Square),
    /// The line in [`crate::claim::Claim::at`] is threatened.
    Line,
    /// Pieces are threatened ("threatens the queen").
    Pieces(Vec<Target>),
    /// "threatens to fork king and queen", "threatens a fork on c7".
    Relation(Relation, Vec<Target>),
    /// "threatens to win the exchange".
    Gain(Goods),
    /// "there is no threat", "threatens nothing" (denied).
    Any,
}

/// Claims that there is no other move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OnlyMove {
    /// "the only legal move", to the letter.
    Legal,
    /// "two legal moves".
    Count(u32),
    /// "the only move": every other loses.
    Sensible,
    /// "the only square": of one piece.
    Square,
    /// "the only square for the king is f7".
    SquareIs(Square),
    /// "the king must go to f7".
    Goes(Square),
    /// "forced".
    Forced,
    /// "the only way to stop the mate", "the only defence".
    Defence,
    /// "the only winning move", "the only way to win".
    Win,
    /// "only 24.Qh5 mates".
    Mate,
    /// "no legal moves", "cannot move" (said of a side, or of a king).
    NoMove,
    /// Where a king can go.
    Flight(Flight),
    /// "must take with the pawn", which is the claim's subject.
    TakeWith,
    /// "must be taken".
    Taken,
}

/// Where a king is said to be able to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flight {
    /// "no flight square".
    None,
    /// "two squares".
    Count(u8),
    /// "can go to f7", "has a flight square on f7".
    To(Square),
}

/// Why a line is said to fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Refutation {
    /// "fails to", "is refuted by", "is met by", "runs into", "on account of": the
    /// line at the claim's end answers what stands before.
    By {
        /// The line that fails, as index into the lines; `None` where it is the
        /// move of the comment.
        fails: Option<u32>,
    },
    /// "is met by", "is answered by": a good answer, which need not win.
    Met {
        /// The line that is answered, as in [`Self::By`].
        fails: Option<u32>,
    },
    /// "loses", "fails", "does not work" without a reason.
    Bare,
}

/// Something a piece acts on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// A piece.
    Piece(Noun),
    /// A square.
    Square(Square),
}

/// How a piece acts on another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Relation {
    /// Attacks, hits, eyes.
    Attacks,
    /// Is attacked, is under attack, is en prise (without regard to defence).
    Attacked,
    /// Defends, protects, guards.
    Defends,
    /// Is defended, is protected.
    Defended,
    /// Is undefended, unprotected, loose.
    Loose,
    /// Is hanging, en prise: can be taken with profit.
    Hanging,
    /// Covers, controls a square.
    Controls,
    /// Pins.
    Pins,
    /// Is pinned.
    Pinned,
    /// The first target is pinned to the second.
    PinnedTo,
    /// Forks.
    Forks,
    /// Skewers.
    Skewers,
    /// Gives check.
    Checks,
    /// Gives double check.
    DoubleCheck,
    /// Gives discovered check.
    DiscoveredCheck,
    /// Opens an attack of the piece behind it.
    DiscoveredAttack,
    /// Sees through another piece.
    XRay,
    /// Has too much to defend.
    Overloaded,
    /// Has no safe square.
    Trapped,
    /// Blocks.
    Blocks,
    /// Cannot be taken.
    Immune,
    /// Cannot move.
    Immobile,
}

/// The balance of material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Material {
    /// The subject is up: what it has more than the other side.
    Up(Goods),
    /// The subject is down.
    Down(Goods),
    /// The subject has more of these than the other side ("an extra knight").
    Extra(Goods),
    /// The subject is up both ("a queen and a rook up").
    UpBoth(Goods, Goods),
    /// The subject is down both.
    DownBoth(Goods, Goods),
    /// The subject has the first for the second ("a piece for two pawns").
    For(Goods, Goods),
    /// "material is level".
    Level,
}

/// How something passes from one side to the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Passing {
    /// The subject wins it.
    Won,
    /// The subject loses it.
    Lost,
    /// The subject gives it, perhaps for something else: a sacrifice.
    Given,
}

/// Wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Goods {
    /// So many pawns.
    Pawns(u8),
    /// A pawn of this file.
    Pawn(Option<File>),
    /// A minor piece, or so many.
    Pieces(u8),
    /// This piece, or so many of it.
    Role(Role, u8),
    /// Rook for minor piece.
    Exchange(u8),
    /// Something.
    Material,
    /// The game.
    Game,
}

/// How good a position is for the subject.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Won.
    Winning,
    /// Clearly better.
    MuchBetter,
    /// Better.
    Better,
    /// Even.
    Equal,
    /// Unclear.
    Unclear,
    /// Worse.
    Worse,
    /// Clearly worse.
    MuchWorse,
    /// Lost.
    Lost,
    /// Drawn.
    Drawn,
}

/// How good a move is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quality {
    /// The best.
    Best,
    /// Better than what was played.
    Better,
    /// Good, strong.
    Good,
    /// Winning.
    Wins,
    /// A mistake.
    Mistake,
    /// A blunder, a losing move.
    Blunder,
    /// A chance missed.
    Missed,
}

/// Kinds of draw. Source: FIDE Laws of Chess (2023), articles 5.2 and 9.2 to 9.6.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Draw {
    /// Stalemate, 5.2.1.
    Stalemate,
    /// A dead position, 5.2.2.
    Dead,
    /// Perpetual check.
    Perpetual,
    /// The position occurs for the third time, 9.2.
    Threefold,
    /// The position occurs again.
    Repetition,
    /// Fifty moves, 9.3.
    FiftyMoves,
    /// Too few pieces to mate.
    Insufficient,
}

/// What an exercise asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stipulation {
    /// The side to move plays.
    ToPlay,
    /// "it is White's turn": said of what is, and not asked.
    Turn,
    /// "to play and win".
    Win,
    /// "to play and draw".
    Draw,
    /// "mate in N".
    Mate(u32),
    /// "find the best move".
    BestMove,
    /// "find the mate".
    AnyMate,
    /// A helpmate, a selfmate and the like, which the words around it name.
    Other,
}

/// A pointer to another place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Reference {
    /// A move of this game by number, which the reader is sent to.
    Move(u32),
    /// A number of moves that is only named ("by move 40").
    Mention(u32),
    /// Something is told of a move of this number ("on move 12 White castled").
    On(u32),
    /// So many moves of the subject from the beginning ("White's 12th move").
    Nth {
        /// The number.
        number: u32,
        /// Whether it is written in digits: "his second move" may be counted from
        /// anywhere.
        firm: bool,
    },
    /// Another game.
    Game(OtherGame),
    /// The position occurs in the other game that is pointed at.
    SamePosition,
    /// A diagram by number.
    Diagram(u32),
    /// The diagram, whichever that is.
    TheDiagram,
    /// So many moves ago.
    Ago(u32),
    /// So many moves later.
    Later(u32),
}

impl Standing {
    /// What an annotation glyph says of the position; of whom, the glyph tells itself.
    #[must_use]
    pub const fn of_glyph(glyph: Glyph) -> Option<Self> {
        Some(match glyph.meaning() {
            Some(GlyphMeaning::Drawish) => Self::Equal,
            Some(GlyphMeaning::Unclear) => Self::Unclear,
            Some(GlyphMeaning::Advantage(Degree::Slight)) => Self::Better,
            Some(GlyphMeaning::Advantage(Degree::Moderate)) => Self::MuchBetter,
            Some(GlyphMeaning::Advantage(Degree::Decisive)) => Self::Winning,
            _ => return None,
        })
    }
}

impl Quality {
    /// What an annotation glyph says of the move. `!?` and `?!` say nothing that could be
    /// told.
    #[must_use]
    pub const fn of_glyph(glyph: Glyph) -> Option<Self> {
        Some(match glyph.meaning() {
            Some(GlyphMeaning::GoodMove | GlyphMeaning::VeryGoodMove) => Self::Good,
            Some(GlyphMeaning::PoorMove) => Self::Mistake,
            Some(GlyphMeaning::VeryPoorMove) => Self::Blunder,
            _ => return None,
        })
    }
}

impl From<Structure> for ClaimKind {
    fn from(said: Structure) -> Self {
        Self::Structure(said)
    }
}

// What names several pieces stands in a box, so that no claim takes room for it but its own.

impl From<Bearing> for ClaimKind {
    fn from(said: Bearing) -> Self {
        Self::Bearing(Box::new(said))
    }
}

impl From<Deed> for ClaimKind {
    fn from(said: Deed) -> Self {
        Self::Deed(Box::new(said))
    }
}

impl From<Retake> for ClaimKind {
    fn from(said: Retake) -> Self {
        Self::Retake(Box::new(said))
    }
}

impl ClaimKind {
    /// What an annotation glyph claims of the position or of the move.
    #[must_use]
    pub fn of_glyph(glyph: Glyph) -> Option<Self> {
        let standing = Standing::of_glyph(glyph).map(Self::Standing);
        standing.or_else(|| Quality::of_glyph(glyph).map(Self::Quality))
    }

    /// The name of the kind in reports.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Mention => "move",
            Self::Mate(Mate::In { .. }) => "mate-in",
            Self::Mate(Mate::Forced) => "forced-mate",
            Self::Mate(Mate::Next) => "mate-next-move",
            Self::Mate(Mate::Now) => "mate",
            Self::Mate(Mate::Absent { .. }) => "no-mate",
            Self::Threat(Threat::Mate(_) | Threat::MateOn(_)) => "mate-threat",
            Self::Threat(_) => "threat",
            Self::OnlyMove(_) => "only-move",
            Self::Refutation(_) => "refutation",
            Self::Pieces(_) => "piece",
            Self::Relation { .. } => "relation",
            Self::Shade(_) => "square-colour",
            Self::Bearing(_) => "attack-count",
            Self::Material(_) => "material",
            Self::Count(_) | Self::Pawns(_) => "count",
            Self::Gain { .. } => "gain",
            Self::Standing(_) => "standing",
            Self::Quality(_) => "quality",
            Self::Draw(_) => "draw",
            Self::Deed(_) | Self::First(_) => "deed",
            Self::Retake(_) => "recapture",
            Self::Trade(_) | Self::Exchanged(_) => "exchange",
            Self::Structure(_) => "structure",
            Self::Pattern(_) => "pattern",
            Self::Stipulation(_) => "stipulation",
            Self::Reference(_) => "reference",
            Self::GameEnd(_) => "outcome",
        }
    }
}
