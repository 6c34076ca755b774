//! The sets of words that the code asks for.

/// A set of words that the code knows by name. The discriminant is the bit of the set among
/// those of a word; sets that only patterns name have none.
macro_rules! sets {
    ($($(#[$doc:meta])* $variant:ident = $name:literal,)*) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub(crate) enum Set { $($(#[$doc])* $variant,)* }

        /// The names of the sets, by their bits.
        pub(crate) const SET_NAMES: &[&str] = &[$($name,)*];

        const _: () = assert!(SET_NAMES.len() <= u128::BITS as usize, "one bit a set");
    };
}

sets! {
    /// Turns a claim into its contrary.
    Not = "not",
    /// May stand anywhere without a change of sense.
    Filler = "filler",
    /// Articles and the like.
    Det = "det",
    /// Begins a condition.
    If = "if",
    /// "would", "could".
    Would = "would",
    /// Forms of "to be" and "to have" in the past, and other pasts.
    Past = "past",
    /// "will", "soon".
    Future = "future",
    /// "wants", "hopes", "plans".
    Wish = "wish",
    /// "with the idea of", "intending".
    Plan = "plan",
    /// "perhaps", "almost".
    Hedge = "hedge",
    /// "stops", "avoids", "parries".
    Stop = "stop",
    /// "without", "but for".
    Without = "without",
    /// "because", "as": begins another clause.
    Because = "because",
    /// "and", "or", "but".
    And = "and",
    /// "or".
    Or = "or",
    /// "white".
    White = "white",
    /// "black".
    Black = "black",
    /// "he", "him".
    He = "he",
    /// "his", "its", "my".
    His = "his",
    /// "he", "she": a player who was named before.
    Third = "third",
    /// "'s"
    Possessive = "possessive",
    /// "with", in front of what may be imagined: "with the king on h8".
    Having = "having",
    /// "in a sense", behind a claim that is not meant to the letter.
    HedgeBehind = "hedgebehind",
    /// "opponent", "enemy".
    Opponent = "opponent",
    /// "enemy", "hostile", in front of a piece.
    Enemy = "enemy",
    /// "this", "the text".
    This = "this",
    /// "on", "at", in front of a square.
    On = "on",
    /// Any preposition in front of a square that makes it no move.
    Prep = "prep",
    /// "both", "two" in front of pieces.
    Both = "both",
    /// Adjectives between article and piece.
    Adjective = "adjective",
    /// Nouns that make of a piece in front an adjunct: "queen sacrifice".
    Adjunct = "adjunct",
    /// Abbreviations whose full stop ends no sentence.
    Abbreviation = "abbreviation",
    /// Opens a question.
    Question = "question",
    /// "threatens", "threat".
    Threat = "threat",
    /// "better was", "instead".
    Instead = "instead",
    /// "impossible", "cannot play".
    Impossible = "impossible",
    /// "game", "round", "match", a place of other games.
    Game = "game",
    /// "square", "point", in front of or behind a square.
    SquareWord = "squareword",
    /// "mate", as a word directly behind a move.
    Mate = "mate",
    /// "smothered", "back": what a mate is called.
    MateName = "matename",
    /// "only", "doubt", behind a negation that denies nothing.
    NotOnly = "notonly",
    /// "with", "by", between a claim and the line that shows it.
    By = "by",
    /// Verbs in front of which a bare square is a pawn's move ("g4 was").
    MoveVerb = "moveverb",
    /// What "is" must bring for that ("g4 is mate").
    MoveTrait = "movetrait",
    /// "but" of "but for", "not" of "were it not for".
    But = "but",
    /// "for" behind it.
    For = "for",
    /// Adjectives in front of a piece that are claims themselves.
    Passed = "passed",
    /// "isolated"
    Isolated = "isolated",
    /// "doubled"
    Doubled = "doubled",
    /// "tripled"
    Tripled = "tripled",
    /// "backward"
    Backward = "backward",
    /// "pinned"
    Pinned = "pinned",
    /// "trapped"
    Trapped = "trapped",
    /// "unprotected"
    Loose = "loose",
    /// "hanging"
    Hanging = "hanging",
    /// "extra"
    Extra = "extra",
    /// "connected"
    Connected = "connected",
    /// "protected"
    Protected = "protected",
    /// "light", of squares.
    Light = "light",
    /// "dark", of squares.
    Dark = "dark",
    /// What stands for all that a side has: "White's position is lost".
    Whole = "whole",
    /// "push", "break", behind a square that is a pawn's move.
    PawnStep = "pawnstep",
    /// "losing", which may have an object that is not known.
    Losing = "losing",
    /// "team", in front of mates who are people.
    Team = "team",
    /// "I", "my": the author.
    Me = "me",
    /// "play", "pushes", in front of a square that is a pawn's move.
    Plays = "plays",
    /// "yes", "no": answers to a question.
    Reply = "reply",
    /// "chapter", "page": what the sentence says may be true there.
    Book = "book",
    /// "next", "previous", in front of the word for a place.
    Adjacent = "adjacent",
    /// "exercise", "week": such a place.
    Place = "place",
    /// "put", "add", at the head of a sentence that alters the position.
    Alter = "alter",
    /// "jumps", "takes": between a line and a claim, tell of a move in words.
    Motion = "motion",
    /// "here", "but": behind a claim, leave it as it is.
    GoesOn = "goeson",
    /// "match", "round", "blitz": events whose games have numbers of their own.
    Contest = "contest",
    /// "here", "but": what the sentence says may be told of this game after all.
    Contrast = "contrast",
    /// "in", "see", in front of another game that something is told of.
    Points = "points",
    /// Words between another game and what is told of it.
    Tells = "tells",
    /// "of", "against", behind a game that is not of this book.
    Belongs = "belongs",
    /// "above", behind another game.
    Above = "above",
    /// "below".
    Below = "below",
    /// "fails", which denies nothing of the line that it fails to.
    Fails = "fails",
    /// "see", "fear": what is not seen can be played all the same.
    Sees = "sees",
    /// "gone", "parried": behind a claim, it is true no longer.
    Gone = "gone",
    /// "is", "are".
    Is = "is",
    /// "as", "like", which may only liken.
    Likens = "likens",
    /// "after", "if", "on", in front of a line behind which the clause goes on.
    Premise = "premise",
    /// "to", in front of an infinitive.
    Infinitive = "infinitive",
    /// "that", "which", behind what they describe.
    Relative = "relative",
    /// "have", behind "would".
    Have = "have",
    /// "forbids", "barred", "pinned": why a move cannot be played.
    Bars = "bars",
    /// "sacrifices", "plants": what puts a piece where it did not stand.
    Puts = "puts",
    /// "pins", "forks": what one piece does, though several of them are called so.
    Acts = "acts",
    /// "since", "because", "as": in front of a reason.
    Reason = "reason",
    /// "once", "twice": how often something is attacked.
    Times = "times",
    /// "only", "single", in front of a man that is the only one.
    Sole = "sole",
    /// "of": may join a piece to its square, as in "the pawn of e4".
    Of = "of",
    /// "how", in front of what is wished for.
    How = "how",
    /// "must", "can", in front of what is put off.
    Must = "must",
    /// "wait": what a move does that is put off.
    Waits = "waits",
    /// "kingside".
    Kingside = "kingside",
    /// "queenside".
    Queenside = "queenside",
    /// "wing", "majority": beside numbers of pawns, these may be some of all.
    Wing = "wing",
    /// "by", "from", "namely": in front of those that are counted.
    Agent = "agent",
    /// "had", "were", at the head of a sentence that supposes something.
    Inverted = "inverted",
    /// "columna", "вертикаль", in front of the letter of a file.
    FileWord = "fileword",
    /// "des" of "la tour des Blancs", and "белых", which says so by itself: whose a piece is.
    Owned = "owned",
    /// "dass", "что": behind a comma, begins what the verb in front says.
    Complement = "complement",
}

impl Set {
    /// Its bit among the sets of a word.
    pub(crate) const fn bit(self) -> u128 {
        1 << self as u32
    }
}
