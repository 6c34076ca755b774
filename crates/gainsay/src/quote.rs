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

/// A move as a text writes it at `span`, on one line: old books break theirs behind a hyphen.
pub(crate) fn quoted_move(text: &[u8], span: Span) -> String {
    let said = decode(span.of(text));
    if !said.contains(['\n', '\r', '\t']) && !said.contains("  ") {
        return said.into_owned();
    }
    let mut quoted = String::with_capacity(said.len());
    for word in said.split_whitespace() {
        if !quoted.is_empty() && !quoted.ends_with(['-', '\u{2013}', '\u{2014}']) {
            quoted.push(' ');
        }
        quoted.push_str(word);
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

    #[test]
    fn a_move_stands_on_one_line() {
        let text = b"R-\n    K1  ch";
        assert_eq!(
            quoted_move(text, Span::new(0, text.len() as u32)),
            "R-K1 ch"
        );
    }
}
