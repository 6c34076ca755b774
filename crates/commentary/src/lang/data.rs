//! What belongs to one language, as its file in `lang/` says it.

use shakmaty::Role;

use crate::mate_name::MateName;
use crate::pattern::PatternText;
use crate::sense::Adjectives;
use crate::wording::Nuance;

/// The words and patterns of a language. All words are lower-case; those that are never
/// written into a text are without diacritics.
pub(crate) struct Data {
    /// Where its adjectives stand.
    pub(crate) adjectives: Adjectives,
    /// Whether nouns have capitals as names have.
    pub(crate) capitals: bool,
    /// Whether a subject may stand behind its verb, so that what stands in front may be none.
    pub(crate) free_order: bool,
    /// Sets of words, which patterns name by their place here.
    pub(crate) sets: &'static [SetWords],
    /// What single words add to a claim that holds them.
    pub(crate) nuances: &'static [(Nuance, &'static [&'static str])],
    /// Number words. The first of a value is written where the author wrote another number.
    pub(crate) numbers: &'static [(&'static str, u8)],
    /// The nouns for moves that are counted.
    pub(crate) counted: &'static [Counted],
    /// Ordinals in words.
    pub(crate) ordinals: &'static [(&'static str, u8)],
    /// How often, in one word.
    pub(crate) times: &'static [(&'static str, u8)],
    /// What a game is called.
    pub(crate) game: &'static str,
    /// What stands between it and its number.
    pub(crate) number_signs: &'static [&'static str],
    /// What is said of a game that stands above, and of one that stands below.
    pub(crate) ways: [&'static str; 2],
    /// The names of mates, by what they stand for.
    pub(crate) mate_names: &'static [(MateName, &'static [&'static str])],
    /// Nouns for pieces: word, piece, whether plural.
    pub(crate) pieces: &'static [(&'static str, Option<Role>, bool)],
    /// How words end, by their forms.
    pub(crate) endings: Endings,
    /// Frequent words, the most frequent first; they tell the language.
    pub(crate) common: &'static [&'static str],
    /// The phrase patterns. Of two that match as far, the first counts.
    pub(crate) patterns: &'static [PatternText],
}

/// What the words of a form may end with. A form without endings cannot be told.
pub(crate) struct Endings {
    /// Of participles of what goes on: "doubling".
    pub(crate) participle: &'static [&'static str],
    /// Of verbs: "attacks", "doubled".
    pub(crate) verb: &'static [&'static str],
    /// Of verbs with "he", "she" or a piece as subject: "gives".
    pub(crate) third: &'static [&'static str],
    /// Of adverbs of manner: "carelessly".
    pub(crate) manner: &'static [&'static str],
}

/// A set of words.
pub(crate) struct SetWords {
    /// Its place among the sets that the code knows by name, if it is one of them.
    pub(crate) known: Option<usize>,
    pub(crate) words: &'static [&'static str],
}

/// A noun for what is counted.
pub(crate) struct Counted {
    /// The word for one of it.
    pub(crate) one: &'static str,
    /// Its forms behind that word; the first is written.
    pub(crate) singular: &'static [&'static str],
    /// Its forms behind other numbers.
    pub(crate) plural: &'static [&'static str],
    /// Its forms behind five and more, where a language has others there ("два хода, пять ходов").
    pub(crate) many: &'static [&'static str],
}

impl Counted {
    /// Its forms behind a number.
    pub(crate) const fn forms(&self, value: u32) -> &'static [&'static str] {
        match value {
            1 => self.singular,
            // "Двадцать один ход": no such number of moves is rewritten.
            5.. if !self.many.is_empty() => self.many,
            _ => self.plural,
        }
    }
}
