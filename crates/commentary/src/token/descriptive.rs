//! Moves in descriptive notation: `P-K4`, `KtxP`, `Castles`.

use gainsay_notation::read_descriptive;

use super::lexer::{Lexer, is_letter};

impl Lexer<'_> {
    /// The length of the move in descriptive notation at `at`, with the sign that is glued to it.
    pub(super) fn descriptive_length(&self, at: usize) -> Option<usize> {
        if !self.letters.is_english() {
            return None;
        }
        let (_, end) = read_descriptive(self.text, at)?;
        // "Castles" is a verb as well.
        if matches!(self.byte(at), b'C') && !self.behind_number(at) {
            return None;
        }
        let sign = sign_length(self.rest(end));
        Some(end + sign - at)
    }

    /// Whether a number and its dots stand in front of `at`, the comma behind a move, or a word
    /// behind which a move is named: "and Castles", but not "White Castles".
    fn behind_number(&self, at: usize) -> bool {
        const WORDS: [&[u8]; 12] = [
            b"and", b"or", b"by", b"of", b"after", b"with", b"play", b"plays", b"playing", b"than",
            b"not", b"before",
        ];
        let before = self.text.get(..at).unwrap_or_default();
        let before = before.trim_ascii_end();
        let letters = before.iter().rev().take_while(|byte| is_letter(**byte));
        let word = before.len() - letters.count();
        WORDS.contains(&before.get(word..).unwrap_or_default())
            || matches!(
                before,
                [.., b'0'..=b'9', b'.' | b')']
                    | [.., b'.', b'.']
                    | [
                        ..,
                        b'0'..=b'9' | b'P' | b't' | b'B' | b'R' | b'Q' | b'h' | b's',
                        b','
                    ]
            )
    }
}

/// The length of a sign of check or mate in front, in letters or not.
fn sign_length(bytes: &[u8]) -> usize {
    const SIGNS: [&[u8]; 8] = [
        b"++",
        b"+",
        b"#",
        b"checkmate",
        b"check",
        b"mate",
        b"dbl.ch",
        b"ch",
    ];
    let stands = |sign: &&&[u8]| {
        let next = bytes.get(sign.len()).copied().unwrap_or(0);
        // "+-" is a judgement.
        let judges = sign.ends_with(b"+") && matches!(next, b'-' | b'=');
        bytes.starts_with(sign) && !judges && !next.is_ascii_alphanumeric()
    };
    SIGNS.iter().find(stands).map_or(0, |sign| sign.len())
}
