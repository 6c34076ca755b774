//! Players' names.

use shakmaty::Color;

use crate::key::WordKey;
use crate::lexicon::LEXICON;

/// The words by which a text may call the two players.
///
/// Built once a game from the values of the White and Black tags. A word that both
/// names share, or that the lexicon knows as an ordinary word, names nobody.
#[derive(Clone, Debug, Default)]
pub struct Names {
    words: Vec<(WordKey, Color)>,
    author: Option<Color>,
}

impl Names {
    /// The names in two tag values such as `Carrera, Ana` or `Ana Carrera`.
    #[must_use]
    pub fn new(white: &str, black: &str) -> Self {
        let mut words: Vec<(WordKey, Color)> = Vec::new();
        for (name, color) in [(white, Color::White), (black, Color::Black)] {
            for key in keys(name) {
                if !LEXICON.knows(&key) {
                    words.push((key, color));
                }
            }
        }
        words.sort_unstable_by_key(|&(key, color)| (key, color.is_white()));
        words.dedup();
        let shared: Vec<WordKey> = words
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] if a.0 == b.0 => Some(a.0),
                _ => None,
            })
            .collect();
        words.retain(|(key, _)| !shared.contains(key));
        Self {
            words,
            author: None,
        }
    }

    /// The same with the value of the Annotator tag: where it names one of the players,
    /// "I" and "my" are that player.
    #[must_use]
    pub fn annotated_by(mut self, annotator: &str) -> Self {
        let mut sides = keys(annotator).filter_map(|key| self.color(&key));
        self.author = sides
            .next()
            .filter(|first| sides.all(|side| side == *first));
        self
    }

    /// Whether nobody is named.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.words.is_empty()
    }

    /// The player whom a word names.
    #[must_use]
    pub fn calls(&self, word: &[u8]) -> Option<Color> {
        let (key, length) = WordKey::words(word).next()?;
        (length == word.len()).then(|| self.color(&key)).flatten()
    }

    /// The player who writes, where that is known.
    pub(crate) const fn author(&self) -> Option<Color> {
        self.author
    }

    /// The side that a word names.
    pub(crate) fn color(&self, key: &WordKey) -> Option<Color> {
        self.words
            .iter()
            .find(|(known, _)| known == key)
            .map(|&(_, color)| color)
    }
}

/// The words of a name that are long enough to call somebody by.
fn keys(name: &str) -> impl Iterator<Item = WordKey> {
    let words = WordKey::words(name.as_bytes());
    words.filter(|&(_, length)| length >= 3).map(|(key, _)| key)
}
