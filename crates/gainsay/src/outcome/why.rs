//! Why a claim fails: what is true instead.

use gainsay_notation::Language;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

use super::data::{At, Kind, Line, Man, OnFile, Pattern, Side, Unreadable};

/// Why a claim fails: what is true instead, by families.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "family", rename_all = "kebab-case")]
pub enum Why {
    /// Why a mate, or a threat of mate, is not there.
    Mate(MateWhy),
    /// What is wrong with a cited move or line.
    Line(LineWhy),
    /// Why a move is not the only one, or a judgement is false.
    Move(MoveWhy),
    /// Why this is no draw.
    Draw(DrawWhy),
    /// Why material is not won, lost or there.
    Material(MaterialWhy),
    /// Why a piece does not stand or do what is said.
    Piece(PieceWhy),
    /// Why the structure is another, or a side has not castled.
    Structure(StructureWhy),
    /// Why a pointer, or what is told of another game, is wrong.
    Place(PlaceWhy),
}

impl From<MateWhy> for Why {
    fn from(why: MateWhy) -> Self {
        Self::Mate(why)
    }
}

impl From<LineWhy> for Why {
    fn from(why: LineWhy) -> Self {
        Self::Line(why)
    }
}

impl From<MoveWhy> for Why {
    fn from(why: MoveWhy) -> Self {
        Self::Move(why)
    }
}

impl From<DrawWhy> for Why {
    fn from(why: DrawWhy) -> Self {
        Self::Draw(why)
    }
}

impl From<MaterialWhy> for Why {
    fn from(why: MaterialWhy) -> Self {
        Self::Material(why)
    }
}

impl From<PieceWhy> for Why {
    fn from(why: PieceWhy) -> Self {
        Self::Piece(why)
    }
}

impl From<StructureWhy> for Why {
    fn from(why: StructureWhy) -> Self {
        Self::Structure(why)
    }
}

impl From<PlaceWhy> for Why {
    fn from(why: PlaceWhy) -> Self {
        Self::Place(why)
    }
}

/// Why a mate, or a threat of mate, is not there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MateWhy {
    /// `side` does not mate in so many moves.
    MateAbsent {
        /// The side that should mate.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// Whether the other side is to move.
        other_moves: bool,
        /// What holds out; empty where nothing shows it.
        defence: Line,
        /// The mate that takes a little longer, if there is one.
        longer: Option<Longer>,
    },
    /// It mates in fewer moves than is said.
    MateSooner {
        /// The side that mates.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// The mate.
        line: Line,
    },
    /// It does mate though that is denied.
    MateThere {
        /// The side that mates, where it is named.
        side: Option<Side>,
        /// The mate.
        line: Line,
    },
    /// The other side is mated.
    OtherSideMated {
        /// The side that is.
        side: Side,
    },
    /// It is mate though that is denied.
    IsMated {
        /// The side that is mated.
        side: Side,
    },
    /// This is no mate.
    NotMated(Mated),
    /// A mate can never be forced.
    NoForcedMate {
        /// The side that cannot force it.
        side: Side,
        /// All that it has, where that is too little.
        only: Vec<Man>,
        /// What holds out, where it has enough.
        defence: Option<Line>,
    },
    /// A mate is called by a name that is not its own.
    MisnamedMate {
        /// The name.
        name: String,
        /// What the mate lacks.
        lacks: Lack,
        /// The pattern that it shows.
        shows: Option<Pattern>,
        /// The moves to it, where it is still to come.
        line: Option<Line>,
    },
    /// A cited move has the sign of a mate that it is not.
    FalseMateSign {
        /// The move.
        cited: Line,
        /// What is true of the position behind it.
        #[serde(flatten)]
        mated: Mated,
    },
    /// `side` does not threaten mate.
    NoMateThreat {
        /// The side that should.
        side: Side,
        /// In how many moves, where it is said.
        moves: Option<u32>,
        /// So many were tried.
        within: u32,
        /// What holds out; empty where nothing shows it.
        defence: Line,
    },
    /// There is no mate in so many moves.
    NoMateIn {
        /// The side to move.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// Whether it is the side to move that should be mated.
        is_mated: bool,
    },
    /// The mate comes sooner.
    MateInFewer {
        /// The side to move.
        side: Side,
        /// In how many moves.
        least: u32,
        /// In how many it is said to come.
        moves: u32,
        /// Whether it is the side to move that is mated.
        is_mated: bool,
    },
}

/// What is wrong with a cited move or line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum LineWhy {
    /// A cited move has the sign of a check that it does not give.
    FalseCheckSign {
        /// The move.
        cited: Line,
    },
    /// A cited move gives check or mate without its sign.
    MissingSign {
        /// The move as it is written.
        words: String,
        /// Whether it mates.
        mates: bool,
    },
    /// A cited move can be several.
    AmbiguousMove {
        /// The moves, in the letters of the comment.
        moves: Vec<String>,
    },
    /// A line fits with another number.
    Misnumbered {
        /// The move that has a wrong number.
        fits: Line,
    },
    /// A cited move cannot be played.
    Unplayable {
        /// The move as it is written.
        words: String,
        /// In whose letters.
        letters: Letters,
        /// The moves before it.
        behind: Line,
    },
}

/// Why a move is not the only one, or a judgement is false.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MoveWhy {
    /// There are more legal moves than one.
    NotOnlyLegal {
        /// The side to move.
        side: Side,
        /// How many it has.
        count: u32,
        /// Some of them.
        moves: Vec<Line>,
    },
    /// There are more or fewer legal moves than are said.
    LegalMoves {
        /// The side to move.
        side: Side,
        /// How many it has.
        count: u32,
        /// Some of them.
        moves: Vec<Line>,
    },
    /// Another move is as good.
    AsGood {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move stops the mate as well.
    StopsMateToo {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move wins as well.
    WinsToo {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move mates as well.
    MatesToo {
        /// The move.
        cited: Line,
        /// The mate by the other.
        other: Line,
    },
    /// The piece can go to other squares.
    GoesElsewhere {
        /// Some of them.
        squares: Vec<At>,
    },
    /// A king cannot go to the square.
    KingCannotGo {
        /// Where it stands.
        king: At,
        /// Where it cannot go.
        to: At,
        /// Where it can go.
        squares: Vec<At>,
    },
    /// The line refutes nothing.
    RefutesNothing {
        /// Best play from its first move on.
        line: Line,
        /// The side that is winning behind it.
        side: Side,
    },
    /// The position is about level.
    AboutLevel {
        /// Best play.
        line: Line,
    },
    /// The side has too little to win.
    CannotWin {
        /// The side.
        side: Side,
        /// All that it has.
        only: Vec<Man>,
    },
    /// The other side, or this one, is much better.
    MuchBetter {
        /// The side that is.
        side: Side,
        /// Best play.
        line: Line,
    },
    /// Tables know how the ending ends.
    EndingIs {
        /// The side that wins; `None` for a draw.
        winner: Option<Side>,
        /// Best play.
        line: Line,
    },
    /// A move that is praised allows mate.
    AllowsMate {
        /// The move.
        cited: Line,
        /// The mate.
        line: Line,
        /// A move that does not allow it.
        safe: Line,
    },
    /// A move that is blamed mates.
    BlamedMates {
        /// The move.
        cited: Line,
    },
    /// A move that is blamed is the only legal one.
    BlamedIsOnlyMove {
        /// The move.
        cited: Line,
    },
    /// A move that is blamed forces mate.
    BlamedForcesMate {
        /// The move.
        cited: Line,
        /// The mate.
        line: Line,
    },
    /// The move is not the best: another mates.
    NotBest {
        /// The move.
        cited: Line,
        /// In how many moves there is a mate.
        mate: u32,
    },
    /// The move mates, so that there is nothing better.
    NothingBetter {
        /// The move.
        cited: Line,
        /// In how many moves it mates.
        mate: u32,
    },
}

/// Why this is no draw.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum DrawWhy {
    /// This is no stalemate: there is a legal move.
    NoStalemate {
        /// The move.
        legal: Line,
    },
    /// This is no stalemate but mate.
    StalemateIsMate {
        /// The move that mates.
        line: Line,
    },
    /// The other side is stalemated.
    OtherSideStalemated {
        /// The side that is.
        side: Side,
    },
    /// There are pieces left that can mate.
    StillThere {
        /// The pieces.
        men: Vec<Man>,
    },
    /// Not enough moves without capture or pawn move.
    FewQuietMoves {
        /// Moves of each side.
        moves: u32,
    },
    /// No position has come up three times.
    Occurs {
        /// How often this one has.
        times: u32,
    },
    /// There is more than a perpetual check.
    MoreThanPerpetual {
        /// The side that mates.
        side: Side,
        /// The mate.
        line: Line,
    },
    /// The checks run out.
    ChecksRunOut {
        /// The move that ends them.
        line: Line,
    },
}

/// Why material is not won, lost or there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MaterialWhy {
    /// The balance of material is another one.
    Balance {
        /// The side that it is told for.
        side: Side,
        /// How many queens, rooks, minor pieces and pawns it has more.
        more: [i32; 4],
        /// Whether it is told of the end of a line.
        at_the_end: bool,
    },
    /// The side has more or fewer men of a kind.
    HasCount {
        /// The side.
        side: Side,
        /// The kind.
        kind: Kind,
        /// How many it has.
        count: u32,
    },
    /// What is won is taken back, with more.
    TakenBack {
        /// The move that takes.
        cited: Line,
        /// The answer.
        reply: Line,
        /// The side that loses by it.
        side: Side,
    },
    /// The side has no minor piece to win the exchange with.
    NothingToWinWith {
        /// The side.
        side: Side,
    },
    /// The side has no such piece.
    HasNone {
        /// The side.
        side: Side,
        /// The kind of piece.
        kind: Kind,
    },
    /// The side has lost no such piece.
    HasLostNone {
        /// The side.
        side: Side,
        /// The kind of piece.
        kind: Kind,
        /// All of that kind.
        men: Vec<Man>,
    },
    /// Nothing has been won.
    WonNothing {
        /// The side that should have won it.
        side: Side,
        /// Best play.
        line: Line,
    },
    /// The side has no rook to give.
    NoRookToGive {
        /// The side.
        side: Side,
    },
    /// No rook of the side can be taken.
    NoRookTaken {
        /// The side.
        side: Side,
    },
}

/// Why a piece does not stand or do what is said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum PieceWhy {
    /// No move does what is threatened.
    NoMoveDoes {
        /// The side that should make it.
        side: Side,
    },
    /// No such piece stands there.
    NoSuchPiece {
        /// The side, where it is said.
        side: Option<Side>,
        /// The kind, where it is said.
        kind: Option<Kind>,
        /// The square, or else the file.
        at: Option<At>,
        /// The file.
        file: Option<OnFile>,
        /// What stands on the square.
        there: Option<Man>,
    },
    /// The piece is not pinned, or not so.
    NotPinned(NotPinned),
    /// The piece attacks other pieces, or none.
    AttacksOnly {
        /// The piece.
        man: Man,
        /// What it attacks.
        hit: Vec<Man>,
        /// The empty square that it does not attack, where that is meant.
        not: Option<At>,
    },
    /// No such piece attacks all of these, or any.
    NothingAttacks {
        /// Whether all of several were meant.
        all: bool,
    },
    /// A square or piece is attacked by others, or by none.
    AttackedBy {
        /// The square.
        at: At,
        /// What stands on it.
        man: Option<Man>,
        /// Whose men were looked for.
        side: Option<Side>,
        /// What attacks it.
        by: Vec<Man>,
    },
    /// A square or piece is defended by others, or by none.
    DefendedBy {
        /// The square.
        at: At,
        /// What stands on it.
        man: Option<Man>,
        /// What defends it.
        by: Vec<Man>,
    },
    /// No such piece defends that.
    NothingDefends,
    /// The check is given by others, or nobody is in check.
    CheckedBy {
        /// The side to move.
        side: Side,
        /// What gives check.
        by: Vec<Man>,
    },
    /// A move gives no such check.
    NoSuchCheck {
        /// The move.
        cited: Line,
        /// The check that it should give.
        check: CheckKind,
        /// The side that should be in check.
        side: Side,
        /// What gives check.
        by: Vec<Man>,
    },
    /// The piece has safe moves.
    HasSafeMoves {
        /// The piece.
        man: Man,
        /// One of the moves.
        line: Line,
    },
    /// The piece has little to guard.
    GuardsOnly {
        /// The piece.
        man: Man,
        /// What it has to guard.
        squares: Vec<At>,
    },
    /// Taking the piece loses material.
    TakingLoses {
        /// The piece.
        man: Man,
        /// The capture and its answer.
        line: Line,
    },
}

/// Why the structure is another, or a side has not castled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum StructureWhy {
    /// A feature of the structure is not as it is said to be.
    NotSoHere {
        /// What is there instead.
        here: Vec<Structure>,
    },
    /// The side castled on another move.
    CastledOn {
        /// The side.
        side: Side,
        /// The number of the move.
        number: u32,
        /// The move.
        by: Line,
    },
    /// The side cannot castle any more.
    CannotCastle {
        /// The side.
        side: Side,
        /// The move by which it has castled; `None` where king or rooks have moved.
        by: Option<Line>,
    },
    /// The side can still castle.
    CanCastle {
        /// The side.
        side: Side,
        /// How.
        by: Line,
    },
    /// The side has not lost the right to castle.
    KeepsRight {
        /// The side.
        side: Side,
        /// Where its king stands.
        king: At,
    },
    /// The side has not castled.
    HasNotCastled {
        /// The side.
        side: Side,
        /// Where its king stands.
        king: At,
    },
    /// The side has castled on the other wing.
    CastledOtherWing {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side has castled.
    HasCastled {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
}

/// Why a pointer, or what is told of another game, is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum PlaceWhy {
    /// There is no such move in this game.
    NoSuchMove {
        /// Its number.
        number: u32,
        /// The number of the last move.
        last: u32,
    },
    /// On that move another was played.
    PlayedThere {
        /// The side.
        side: Side,
        /// The move that was played.
        by: Line,
    },
    /// A pointer at another game is wrong.
    WrongGame(WrongPointer),
    /// What is told of another game is not so.
    InOtherGame {
        /// The title of that game.
        title: String,
        /// What is true of it.
        #[serde(rename = "there")]
        what: OtherGame,
    },
    /// The other side is to move.
    OtherToMove {
        /// The side to move.
        turn: Side,
        /// The side that should be.
        side: Side,
    },
}

/// A mate that takes longer than is said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Longer {
    /// In how many moves.
    pub moves: u32,
    /// Whether that was proved to be the least.
    pub exact: bool,
    /// The mate.
    pub line: Line,
}

/// What is true of a position that is no mate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mated {
    /// The side to move.
    pub side: Side,
    /// Whether it is in check.
    pub check: bool,
    /// A legal move of it; empty where there is none.
    pub reply: Line,
}

/// What a mate lacks that its name cannot do without.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lack {
    /// The side has no such piece.
    Piece(Side, Kind),
    /// None of these gives the check.
    CheckBy(Vec<Kind>),
    /// The king is not on the edge of the board.
    Edge,
    /// Two of these.
    Two(Kind),
    /// A queen that mates on this square.
    QueenOn(At),
    /// A check along a diagonal.
    Diagonal,
    /// A check from elsewhere than from this square.
    CheckElsewhere(At),
    /// A second piece that gives check.
    SecondCheck,
    /// Rook or queen.
    HeavyPiece,
}

/// The check that a move is said to give.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckKind {
    /// A check.
    Plain,
    /// By two pieces.
    Double,
    /// By a piece whose line was opened.
    Discovered,
}

/// Why a piece is not pinned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "pin", rename_all = "kebab-case")]
pub enum NotPinned {
    /// There is no such piece.
    NoPiece,
    /// It is pinned otherwise.
    Otherwise {
        /// The piece.
        man: Man,
        /// What it is pinned to.
        behind: Man,
        /// By what.
        by: Man,
    },
    /// It is a king.
    King {
        /// A move of it.
        free: Option<Line>,
    },
    /// No rook, bishop or queen attacks it.
    NotAttacked {
        /// The piece.
        man: Man,
        /// A move of it.
        free: Option<Line>,
    },
    /// Nothing of worth stands behind it.
    NothingBehind {
        /// The piece.
        man: Man,
        /// What attacks it.
        by: Man,
        /// A move of it.
        free: Option<Line>,
    },
}

/// What is there instead of a feature of the structure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "feature", rename_all = "kebab-case")]
pub enum Structure {
    /// Pawns stand on the file, or none.
    PawnsOnFile {
        /// The file.
        file: OnFile,
        /// The pawns.
        pawns: Vec<Man>,
    },
    /// These files are open.
    OpenFiles {
        /// The files.
        files: Vec<OnFile>,
    },
    /// The pawn faces others, or none.
    PawnFaces {
        /// The pawn.
        pawn: Man,
        /// What keeps it from being passed.
        against: Vec<Man>,
    },
    /// The side has pawns of a kind here, or none.
    Pawns {
        /// The kind.
        kind: PawnKind,
        /// The side.
        side: Side,
        /// Where they stand.
        at: Vec<At>,
    },
    /// The pawn is defended by these.
    PawnDefended {
        /// The pawn.
        pawn: Man,
        /// By what.
        by: Vec<Man>,
    },
    /// The side has so many pawn islands.
    Islands {
        /// The side.
        side: Side,
        /// How many.
        count: u32,
    },
    /// So many pawns on the files of a wing.
    OnWing {
        /// The wing.
        wing: Wing,
        /// White's and Black's.
        pawns: [u32; 2],
    },
    /// These pieces stand here.
    Stand {
        /// The pieces.
        men: Vec<Man>,
    },
    /// There are no bishops.
    NoBishops,
    /// There are only pawns left.
    OnlyPawns,
    /// No pawn can be taken en passant.
    NoEnPassant,
    /// A square can be attacked by pawns.
    PawnsChase {
        /// The square.
        at: At,
        /// The pawns.
        pawns: Vec<Man>,
    },
    /// A square lies in the side's own half.
    OwnHalf {
        /// The square.
        at: At,
        /// The side.
        side: Side,
    },
    /// There is no such square.
    NoSuchSquare,
    /// It is not so here, nor near.
    NotNear,
}

/// A kind of pawn, or a rook where rooks are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PawnKind {
    /// Passed.
    Passed,
    /// Isolated.
    Isolated,
    /// Doubled.
    Doubled,
    /// Backward.
    Backward,
    /// Protected by a pawn.
    Protected,
    /// A rook.
    Rook,
}

/// A part of the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wing {
    /// Files a to d.
    Queenside,
    /// Files e to h.
    Kingside,
    /// Files c to f.
    Centre,
}

/// What is wrong with a pointer at another game.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "pointer", rename_all = "kebab-case")]
pub enum WrongPointer {
    /// The players played another game.
    Players {
        /// Their names.
        players: [String; 2],
        /// The number of their game.
        number: u32,
        /// The title of the game with the number that is written.
        other: String,
    },
    /// The game stands on the other side.
    Way {
        /// Its number.
        number: u32,
        /// Whether it stands below.
        below: bool,
    },
    /// The numbers do not go so far.
    Beyond {
        /// The number.
        number: u32,
        /// Where they end.
        end: u32,
        /// Whether they go down there.
        down: bool,
    },
    /// The number is left out.
    Missing {
        /// The number.
        number: u32,
        /// The one before.
        below: u32,
        /// The one behind.
        above: u32,
    },
}

/// What is true of another game.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "told", rename_all = "kebab-case")]
pub enum OtherGame {
    /// It has no such move.
    NoSuchMove {
        /// The number of the last one.
        last: u32,
    },
    /// Another move was played there.
    Played {
        /// By whom.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side castled so, though that is denied.
    DidCastle {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side castled by another move.
    CastledBy {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side did not castle.
    DidNotCastle {
        /// The side.
        side: Side,
    },
    /// The position did not occur.
    NoSuchPosition,
    /// This side won, or nobody.
    Winner {
        /// The side; `None` where it was drawn.
        side: Option<Side>,
        /// The last move.
        last: Line,
    },
    /// The last move was another one.
    LastMove {
        /// Its number.
        number: u32,
        /// The move.
        last: Line,
    },
    /// Another move mated.
    MatedBy {
        /// The side that mated.
        side: Side,
        /// The move.
        last: Line,
    },
    /// Nobody mated.
    NobodyMated {
        /// The last move.
        last: Line,
    },
}

impl OtherGame {
    /// The move that shows it.
    #[must_use]
    pub const fn shown(&self) -> Option<&Line> {
        match self {
            Self::NoSuchMove { .. } | Self::DidNotCastle { .. } | Self::NoSuchPosition => None,
            Self::Played { by, .. } | Self::DidCastle { by, .. } | Self::CastledBy { by, .. } => {
                Some(by)
            }
            Self::Winner { last, .. }
            | Self::LastMove { last, .. }
            | Self::MatedBy { last, .. }
            | Self::NobodyMated { last } => Some(last),
        }
    }
}

/// The letters of a language, by the language's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Letters(pub Language);

impl Serialize for Letters {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.0.name())
    }
}

impl<'de> Deserialize<'de> for Letters {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let name = String::deserialize(from)?;
        let mut known = Language::ALL.into_iter();
        known
            .find(|language| language.name() == name)
            .map(Self)
            .ok_or_else(|| D::Error::custom(Unreadable(name)))
    }
}
