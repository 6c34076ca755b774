//! Words as the reader of prose compares them.

use super::mistake::What;

/// Letters that a word can have, at most.
const LETTERS: usize = 16;

/// The word, if it is folded as the words of a text are.
pub(crate) fn folded(word: &str) -> Result<&str, What> {
    let letter = |byte: u8| byte.is_ascii_lowercase() || byte == b'\'';
    if word.is_empty() || word.len() > LETTERS || !word.bytes().all(letter) {
        return Err(What::NotFolded(word.to_owned()));
    }
    Ok(word)
}

/// The word, if it can be both read and written into a text, where it keeps its accents.
pub(crate) fn written(word: &str) -> Result<&str, What> {
    let letters = word.chars();
    // Latin-1 is what is folded.
    if word.chars().count() > LETTERS || !letters.into_iter().all(|letter| letter <= 'ÿ') {
        return Err(What::NotFolded(word.to_owned()));
    }
    Ok(word)
}
