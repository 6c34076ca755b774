//! The author's words, as messages quote them.

use gainsay_notation::{Span, decode};

/// What a text says at `span`, with one blank between words: the view of a manuscript has many
/// where its format has signs.
pub(crate) fn quoted(text: &[u8], span: Span) -> String {
    let said = decode(span.of(text));
    if !said.contains("  ") {
        return said.into_owned();
    }
    let mut quoted = String::with_capacity(said.len());
    for sign in said.chars() {
        if sign != ' ' || !quoted.ends_with(' ') {
            quoted.push(sign);
        }
    }
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_quoted_once() {
        let quoted = |text: &str| quoted(text.as_bytes(), Span::new(0, text.len() as u32));
        assert_eq!(quoted("a       rook\n  wins"), "a rook\n wins");
        assert_eq!(quoted("a rook"), "a rook");
    }
}
