//! What replaying a game noticed about a move.

use bitflags::bitflags;

bitflags! {
    /// A set of things that a rule may want to speak about. A game whose marks are
    /// empty costs the rules nothing.
    ///
    /// ```
    /// use gainsay::{Marks, Reading, Settings};
    /// let text = b"1. e4+ e5 *";
    /// let reading = Reading::of(text, &Settings::default());
    /// let view = reading.views(text).next().unwrap();
    /// assert_eq!(view.replay.plies[0].marks, Marks::SURPLUS_CHECK);
    /// assert_eq!(view.replay.plies[1].marks, Marks::empty());
    /// ```
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub struct Marks: u32 {
        /// No legal move fits.
        const ILLEGAL = 1;
        /// Several legal moves fit.
        const AMBIGUOUS = 1 << 1;
        /// It does not say what the pawn becomes.
        const NO_PROMOTION = 1 << 2;
        /// It has the shape of a move but cannot be read.
        const UNREADABLE = 1 << 3;
        /// An earlier move of its line could not be played.
        const LOST = 1 << 4;
        /// A check without its sign.
        const MISSING_CHECK = 1 << 5;
        /// A mate without its sign.
        const MISSING_MATE = 1 << 6;
        /// A check sign without a check.
        const SURPLUS_CHECK = 1 << 7;
        /// A mate sign without mate.
        const FALSE_MATE = 1 << 8;
        /// The number before it is wrong.
        const WRONG_NUMBER = 1 << 9;
        /// The dots before it speak of the other side.
        const WRONG_DOTS = 1 << 10;
        /// An origin square, file or rank that the move does not need.
        const NEEDLESS_ORIGIN = 1 << 11;
        /// An origin rank where SAN would give the file.
        const UNUSUAL_ORIGIN = 1 << 12;
        /// A capture without its sign.
        const MISSING_CAPTURE = 1 << 13;
        /// A capture sign without a capture.
        const SURPLUS_CAPTURE = 1 << 14;
        /// Written otherwise than in SAN (the oddities of the reader).
        const ODD_SPELLING = 1 << 15;
        /// It follows the end of the game: mate, stalemate or a termination marker.
        const AFTER_END = 1 << 16;
        /// The number before it is off by as much as the one before that.
        const SAME_SHIFT = 1 << 17;
        /// The number before it is that of the next move, as was the one before that.
        const SAME_GAP = 1 << 20;
        /// The letter of a pawn, which names a piece of another language that could go
        /// there as well.
        const PAWN_OR_PIECE = 1 << 18;
        /// A move before it in its line was guessed.
        const BEHIND_DOUBT = 1 << 19;
        /// How many moves stand before it in its line is in doubt: one of them cannot be played, or
        /// their numbers show that one is missing or too many.
        const UNCOUNTED = 1 << 21;
        /// What is written is no move, and the one that lets the game go on was taken for it.
        const GUESSED = 1 << 22;
        /// A move before it in its line is [`Marks::GUESSED`].
        const BEHIND_GUESS = 1 << 23;
        /// What leaves the count of all moves behind it in doubt.
        const MISCOUNT = Self::ILLEGAL.bits()
            | Self::UNREADABLE.bits()
            | Self::LOST.bits()
            | Self::SAME_GAP.bits()
            | Self::UNCOUNTED.bits();
        /// Which move is meant was guessed, here or before in the line.
        const DOUBT = Self::AMBIGUOUS.bits()
            | Self::NO_PROMOTION.bits()
            | Self::PAWN_OR_PIECE.bits()
            | Self::BEHIND_DOUBT.bits();
    }
}
