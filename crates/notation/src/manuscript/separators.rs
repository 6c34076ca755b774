//! Semicolons between moves.
//!
//! In game files a semicolon begins a comment that ends with the line. Columns print `1 e4 e5 ; 2 Nf3
//! Nc6`, where it only parts the moves: it does where the number that is due stands behind it.

use std::borrow::Cow;

use super::printed::Printed;
use crate::bytes::{byte, skip_space, word_end};
use crate::paragraphs::paragraphs;
use crate::runs::number;

/// Blanks the semicolons of a view that only part moves. What its `blocks` hold is left alone, and so
/// are games with tags: those are written as game files are.
pub(super) fn blank(view: &mut Cow<'_, [u8]>, blocks: &[Printed]) {
    for at in parting(view) {
        let fenced = |block: &Printed| block.range.contains(&at);
        if !blocks.iter().any(fenced)
            && let Some(sign) = view.to_mut().get_mut(at)
        {
            *sign = b' ';
        }
    }
}

/// The semicolons between moves whose numbers go on.
fn parting(text: &[u8]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut tagged = false;
    for range in paragraphs(text) {
        let own = text.get(..range.end).unwrap_or_default();
        let first = skip_space(own, range.start);
        let behind_tags = std::mem::replace(&mut tagged, byte(own, first) == b'[');
        // Where commas part the moves, semicolons part the lines of a sentence: `1. KtxB, KtxKt; 2. RxKt`.
        let words = own.get(first..).is_some_and(|own| own.contains(&b','));
        if behind_tags || words || !byte(own, first).is_ascii_digit() {
            continue;
        }
        let mut last = None;
        let mut parted = None;
        let mut at = first;
        while at < own.len() {
            let next = match number(own, at) {
                Some((number, dots, end)) => {
                    let due = |last: u32| match dots {
                        0 | 1 => last.checked_add(1) == Some(number),
                        _ => last == number,
                    };
                    found.extend(parted.take().filter(|_| last.is_some_and(due)));
                    last = Some(number);
                    end
                }
                None => {
                    let end = word_end(own, at).max(at + 1);
                    let sign = own.get(at..end).and_then(|word| word.strip_suffix(b";"));
                    parted = sign.map(|_| end - 1);
                    end
                }
            };
            at = skip_space(own, next);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn semicolons_part_moves_where_the_number_is_due() {
        let shown = |text: &str| {
            let mut view = Cow::Borrowed(text.as_bytes());
            blank(&mut view, &[]);
            String::from_utf8(view.into_owned()).expect("UTF-8")
        };
        assert_eq!(
            shown("1  e4 e5 ;  2  Nf3 Nc6;\n3. Bb5 ; 3. ... a6\n"),
            "1  e4 e5    2  Nf3 Nc6 \n3. Bb5   3. ... a6\n"
        );
        for text in [
            "1. e4 e5 ; the open games\n2. Nf3\n",
            "1. e4 e5 ; 3. Nf3 is wrong\n",
            "[White \"A\"]\n\n1. e4 e5 ; 2. f4 exf4\n2. Nf3\n",
            "Words; 2 e4 e5 ; 3 Nf3\n",
            "1. P-Kt4; 2. B-Q6, K-B3; 3. Kt-K8\n",
        ] {
            assert_eq!(shown(text), text);
        }
    }
}
