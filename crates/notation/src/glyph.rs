//! Annotation glyphs: their numbers, the symbols that stand for them, and what they mean.
//!
//! Numbers up to 139 mean what the PGN Specification and Implementation Guide (1994) says in
//! section 10, "Numeric Annotation Glyphs", which gives symbols to 1 to 6 only. The other
//! symbols, and the numbers from 140 on, are common practice, no source.

use shakmaty::{Color, Role};

use crate::bytes::byte;

/// An annotation glyph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Glyph(u8);

/// What a glyph says. Of whom it says so, [`Glyph::side`] tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GlyphMeaning {
    /// Nothing.
    Nothing,
    /// The move is good (`!`).
    GoodMove,
    /// The move is poor (`?`).
    PoorMove,
    /// The move is very good (`!!`).
    VeryGoodMove,
    /// The move is very poor (`??`).
    VeryPoorMove,
    /// The move is speculative (`!?`).
    SpeculativeMove,
    /// The move is questionable (`?!`).
    QuestionableMove,
    /// All other moves lose quickly.
    ForcedMove,
    /// There is no reasonable alternative to the move.
    SingularMove,
    /// There is no worse move.
    WorstMove,
    /// The position is drawish.
    Drawish,
    /// Chances are equal and the position is quiet.
    EqualQuiet,
    /// Chances are equal and the position is active.
    EqualActive,
    /// The position is unclear.
    Unclear,
    /// The side stands better.
    Advantage(Degree),
    /// The side is in zugzwang.
    Zugzwang,
    /// The side has more space.
    Space(Degree),
    /// The side is ahead in time (development).
    Time(Degree),
    /// The side has the initiative.
    Initiative,
    /// The side has a lasting initiative.
    LastingInitiative,
    /// The side has the attack.
    Attack,
    /// The side has compensation for missing material.
    Compensation(Degree),
    /// The side controls a part of the board.
    Control(Wing, Degree),
    /// How well the side's first rank is protected.
    FirstRank(Grade),
    /// How well the side's king is protected.
    KingProtected(Grade),
    /// How well the side's king is placed.
    KingPlaced(Grade),
    /// How strong the side's pawn structure is.
    PawnStructure(Grade),
    /// How well the side's men of a kind are placed.
    Placed(Role, Grade),
    /// How well the side's pieces work together.
    Coordination(Grade),
    /// How well the side has played a part of the game.
    Played(Phase, Grade),
    /// The side has counterplay.
    Counterplay(Degree),
    /// The side is short of time on the clock.
    TimePressure(Degree),
    /// An idea follows.
    Idea,
    /// What the move is aimed against follows.
    Against,
    /// A better move follows.
    BetterMove,
    /// A worse move follows.
    WorseMove,
    /// A move that is as good follows.
    EquivalentMove,
    /// An editor's remark follows.
    Remark,
    /// The move was not played before.
    Novelty,
    /// The position has a diagram in print.
    Diagram,
}

/// How much of something there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Degree {
    /// Slight; of compensation: insufficient.
    Slight,
    /// Moderate; of compensation: sufficient.
    Moderate,
    /// Decisive; of compensation: more than adequate; of time pressure: severe.
    Decisive,
    /// So much that the other side should resign.
    Crushing,
}

/// How good something is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Grade {
    /// Very poor.
    VeryPoor,
    /// Poor.
    Poor,
    /// Good.
    Good,
    /// Very good.
    VeryGood,
}

/// A part of the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Wing {
    /// The middle.
    Centre,
    /// The side of the kings.
    Kingside,
    /// The side of the queens.
    Queenside,
}

/// A part of a game.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Phase {
    /// Its beginning.
    Opening,
    /// Its middle.
    Middlegame,
    /// Its end.
    Ending,
}

/// The symbols of glyphs, longest first where one begins another.
const SYMBOLS: &[(&str, u8)] = &[
    ("!!", 3),
    ("!?", 5),
    ("!", 1),
    ("?!", 6),
    ("??", 4),
    ("?", 2),
    ("+/-", 16),
    ("-/+", 17),
    ("+/=", 14),
    ("=/+", 15),
    ("=/∞", 44),
    ("+\u{2212}", 18), // a minus sign
    ("+\u{2013}", 18), // an en dash
    ("+\u{2014}", 18), // an em dash
    ("\u{2212}+", 19),
    ("\u{2013}+", 19),
    ("\u{2014}+", 19),
    ("+-", 18),
    ("-+", 19),
    ("+=", 14),
    ("=+", 15),
    ("=", 10),
    ("~", 13),
    ("±", 16),
    ("∓", 17),
    ("⩲", 14),
    ("⩱", 15),
    ("∞", 13),
    ("□", 7),
    ("⊕", 138), // The standard has a number for each side; this is White's.
    ("⨁", 138),
    ("⊙", 22),
    ("⨀", 22),
    ("○", 26),
    ("↑", 36),
    ("→", 40),
    ("⇆", 132),
    ("△", 140),
    ("∆", 140),
    ("⌓", 142),
    ("‼", 3),
    ("⁇", 4),
    ("⁉", 5),
    ("⁈", 6),
];

/// The letters that stand for glyphs behind a move.
const LETTERS: &[(&str, u8)] = &[("N", 146), ("TN", 146), ("D", 220)];

impl Glyph {
    /// The glyph of a number.
    #[must_use]
    pub const fn new(number: u8) -> Self {
        Self(number)
    }

    /// Its number, the one behind the `$`.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// The glyph whose symbol stands at the start of `bytes`, and the symbol's length.
    #[must_use]
    pub fn at_start(bytes: &[u8]) -> Option<(Self, usize)> {
        let found = SYMBOLS
            .iter()
            .find(|(symbol, _)| bytes.starts_with(symbol.as_bytes()));
        if let Some((symbol, number)) = found {
            return Some((Self(*number), symbol.len()));
        }
        // `±` in Latin-1, where it is not the first byte of a UTF-8 character.
        (byte(bytes, 0) == 0xb1).then_some((Self(16), 1))
    }

    /// The glyph whose symbol is all of `bytes`.
    #[must_use]
    pub fn of_symbol(bytes: &[u8]) -> Option<Self> {
        Self::at_start(bytes)
            .filter(|&(_, length)| length == bytes.len())
            .map(|(glyph, _)| glyph)
    }

    /// The glyph that a word means behind a move: `N` for a novelty, `D` for a diagram.
    pub(crate) fn of_letters(word: &[u8]) -> Option<Self> {
        let found = LETTERS.iter().find(|(known, _)| known.as_bytes() == word);
        found.map(|(_, number)| Self(*number))
    }

    /// The side that it speaks of.
    #[must_use]
    pub const fn side(self) -> Option<Color> {
        match self.0 {
            14..=139 if self.0.is_multiple_of(2) => Some(Color::White),
            14..=139 => Some(Color::Black),
            _ => None,
        }
    }

    /// Whether it is one of `!`, `?` and the signs made of them.
    #[must_use]
    pub const fn is_mark(self) -> bool {
        matches!(self.0, 1..=6)
    }

    /// Whether it is written with a question mark.
    #[must_use]
    pub const fn has_question_mark(self) -> bool {
        matches!(self.0, 2 | 4..=6)
    }

    /// What it means; `None` where neither the standard nor common practice says so.
    #[must_use]
    pub const fn meaning(self) -> Option<GlyphMeaning> {
        use GlyphMeaning as M;
        // From 14 on every meaning has two numbers, one a side.
        Some(match self.0 {
            0 => M::Nothing,
            1 => M::GoodMove,
            2 => M::PoorMove,
            3 => M::VeryGoodMove,
            4 => M::VeryPoorMove,
            5 => M::SpeculativeMove,
            6 => M::QuestionableMove,
            7 => M::ForcedMove,
            8 => M::SingularMove,
            9 => M::WorstMove,
            10 => M::Drawish,
            11 => M::EqualQuiet,
            12 => M::EqualActive,
            13 => M::Unclear,
            14..=21 => M::Advantage(degree(self.0 - 14)),
            22..=23 => M::Zugzwang,
            24..=29 => M::Space(degree(self.0 - 24)),
            30..=35 => M::Time(degree(self.0 - 30)),
            36..=37 => M::Initiative,
            38..=39 => M::LastingInitiative,
            40..=41 => M::Attack,
            42..=47 => M::Compensation(degree(self.0 - 42)),
            48..=53 => M::Control(Wing::Centre, degree(self.0 - 48)),
            54..=59 => M::Control(Wing::Kingside, degree(self.0 - 54)),
            60..=65 => M::Control(Wing::Queenside, degree(self.0 - 60)),
            66..=69 => M::FirstRank(poor_or_good(self.0 - 66)),
            70..=73 => M::KingProtected(poor_or_good(self.0 - 70)),
            74..=77 => M::KingPlaced(poor_or_good(self.0 - 74)),
            78..=85 => M::PawnStructure(grade(self.0 - 78)),
            86..=89 => M::Placed(Role::Knight, poor_or_good(self.0 - 86)),
            90..=93 => M::Placed(Role::Bishop, poor_or_good(self.0 - 90)),
            94..=97 => M::Placed(Role::Rook, poor_or_good(self.0 - 94)),
            98..=101 => M::Placed(Role::Queen, poor_or_good(self.0 - 98)),
            102..=105 => M::Coordination(poor_or_good(self.0 - 102)),
            106..=113 => M::Played(Phase::Opening, grade(self.0 - 106)),
            114..=121 => M::Played(Phase::Middlegame, grade(self.0 - 114)),
            122..=129 => M::Played(Phase::Ending, grade(self.0 - 122)),
            130..=135 => M::Counterplay(degree(self.0 - 130)),
            136..=137 => M::TimePressure(Degree::Moderate),
            138..=139 => M::TimePressure(Degree::Decisive),
            140 => M::Idea,
            141 => M::Against,
            142 => M::BetterMove,
            143 => M::WorseMove,
            144 => M::EquivalentMove,
            145 => M::Remark,
            146 => M::Novelty,
            220..=221 => M::Diagram,
            _ => return None,
        })
    }
}

/// The degree of a glyph whose row of the table, two numbers a degree, begins so far before.
const fn degree(offset: u8) -> Degree {
    match offset / 2 {
        0 => Degree::Slight,
        1 => Degree::Moderate,
        2 => Degree::Decisive,
        _ => Degree::Crushing,
    }
}

/// The same of the four grades.
const fn grade(offset: u8) -> Grade {
    match offset / 2 {
        0 => Grade::VeryPoor,
        1 => Grade::Poor,
        2 => Grade::Good,
        _ => Grade::VeryGood,
    }
}

/// The same of the two grades in the middle.
const fn poor_or_good(offset: u8) -> Grade {
    grade(offset + 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From the table of section 10 of the PGN standard (1994), from memory.
    #[test]
    fn glyphs_mean_what_the_standard_lists() {
        use Color::{Black, White};
        use GlyphMeaning as M;
        for (number, side, meaning) in [
            (1, None, M::GoodMove),
            (9, None, M::WorstMove),
            (13, None, M::Unclear),
            (16, Some(White), M::Advantage(Degree::Moderate)),
            (19, Some(Black), M::Advantage(Degree::Decisive)),
            (21, Some(Black), M::Advantage(Degree::Crushing)),
            (23, Some(Black), M::Zugzwang),
            (29, Some(Black), M::Space(Degree::Decisive)),
            (40, Some(White), M::Attack),
            (45, Some(Black), M::Compensation(Degree::Moderate)),
            (53, Some(Black), M::Control(Wing::Centre, Degree::Decisive)),
            (60, Some(White), M::Control(Wing::Queenside, Degree::Slight)),
            (67, Some(Black), M::FirstRank(Grade::Poor)),
            (72, Some(White), M::KingProtected(Grade::Good)),
            (78, Some(White), M::PawnStructure(Grade::VeryPoor)),
            (98, Some(White), M::Placed(Role::Queen, Grade::Poor)),
            (101, Some(Black), M::Placed(Role::Queen, Grade::Good)),
            (
                121,
                Some(Black),
                M::Played(Phase::Middlegame, Grade::VeryGood),
            ),
            (132, Some(White), M::Counterplay(Degree::Moderate)),
            (139, Some(Black), M::TimePressure(Degree::Decisive)),
            (146, None, M::Novelty),
        ] {
            let glyph = Glyph::new(number);
            assert_eq!(
                (glyph.meaning(), glyph.side()),
                (Some(meaning), side),
                "{number}"
            );
        }
        // Section 10 numbers 0 to 139 without a gap; beyond 146 only diagrams are common.
        let known = (0..=u8::MAX).filter(|number| Glyph::new(*number).meaning().is_some());
        let numbers: Vec<u8> = (0..=146).chain([220, 221]).collect();
        assert_eq!(known.collect::<Vec<u8>>(), numbers);
    }

    #[test]
    fn every_symbol_is_read_whole() {
        for (symbol, number) in SYMBOLS {
            let glyph = Some(Glyph::new(*number));
            assert_eq!(Glyph::of_symbol(symbol.as_bytes()), glyph, "{symbol}");
            assert!(glyph.and_then(Glyph::meaning).is_some(), "{symbol}");
        }
        assert_eq!(Glyph::of_symbol(b"\xb1"), Some(Glyph::new(16)));
        assert_eq!(Glyph::of_symbol(b"!!!"), None);
        assert_eq!(Glyph::at_start(b"!!!"), Some((Glyph::new(3), 2)));
        assert_eq!(Glyph::of_letters(b"TN"), Some(Glyph::new(146)));
    }
}
