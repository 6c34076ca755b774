//! Paragraphs of prose.

use std::ops::Range;

/// The paragraphs of prose, in order: what stands between blank lines, in bytes, without the line end of
/// the last line.
///
/// ```
/// use gainsay_notation::paragraphs;
/// let text = b"One\nand two.\n \n\nThree.\n";
/// let found: Vec<&[u8]> = paragraphs(text).map(|range| &text[range]).collect();
/// assert_eq!(found, [&b"One\nand two."[..], b"Three."]);
/// ```
pub fn paragraphs(text: &[u8]) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut at = 0;
    let mut lines = text.split_inclusive(|&byte| byte == b'\n');
    std::iter::from_fn(move || {
        let mut found: Option<Range<usize>> = None;
        for line in lines.by_ref() {
            let start = at;
            at += line.len();
            let end = start + line.trim_ascii_end().len();
            match (&mut found, line.trim_ascii().is_empty()) {
                (None, true) => {}
                (None, false) => found = Some(start..end),
                (Some(found), false) => found.end = end,
                (Some(_), true) => break,
            }
        }
        found
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_of_any_kind_and_none() {
        let of = |text: &'static str| -> Vec<&str> {
            paragraphs(text.as_bytes())
                .map(|range| &text[range])
                .collect()
        };
        assert_eq!(of("a\r\n\r\nb"), ["a", "b"]);
        assert_eq!(of("\n\n  a \n"), ["  a"]);
        assert!(of(" \n\n").is_empty());
        assert!(of("").is_empty());
    }
}
