//! Words as the reader of prose compares them.

use super::mistake::What;

/// Letters that a word can have, at most.
const LETTERS: usize = 16;

/// The word, if it is folded as the words of a text are: small Latin or Cyrillic letters.
pub(crate) fn folded(word: &str) -> Result<&str, What> {
    let letter = |letter: char| matches!(letter, 'a'..='z' | 'а'..='я' | '\'');
    if word.is_empty() || word.chars().count() > LETTERS || !word.chars().all(letter) {
        return Err(What::NotFolded(word.to_owned()));
    }
    Ok(word)
}

/// The word, if it can be both read and written into a text, where it keeps its accents.
pub(crate) fn written(word: &str) -> Result<&str, What> {
    let letters = word.chars();
    // Latin-1 and the Russian alphabet are what is folded.
    let folds = |letter| letter <= 'ÿ' || matches!(letter, 'а'..='я' | 'ё');
    if word.chars().count() > LETTERS || !letters.into_iter().all(folds) {
        return Err(What::NotFolded(word.to_owned()));
    }
    Ok(word)
}
