//! HTML within other formats: its tags are left out, and so are its comments.

use std::ops::Range;

use super::remark::show_allowance;
use super::veil::Veil;

/// What tags do to the words around them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tags {
    /// They stand in a line.
    Inline,
    /// They make blocks, with text between.
    Block,
}

/// The opening and the end of a comment.
const COMMENT: (&[u8], &[u8]) = (b"<!--", b"-->");

/// Elements whose content is no text.
const NO_TEXT: [&[u8]; 2] = [b"script", b"style"];

/// Elements that only change how letters look.
const STYLES: [&[u8]; 12] = [
    b"b", b"i", b"em", b"strong", b"u", b"s", b"small", b"sub", b"sup", b"span", b"code", b"mark",
];

/// Shows the text of HTML, and what its comments allow.
pub(super) fn show(veil: &mut Veil<'_>, range: Range<usize>, tags: Tags) {
    let text = veil.text();
    let text = text.get(..range.end).unwrap_or(text);
    let mut at = range.start;
    let mut hidden: Option<&[u8]> = None;
    if tags == Tags::Block {
        veil.part();
    }
    while at < text.len() {
        let rest = &text[at..];
        let Some(length) = memchr::memchr(b'<', rest) else {
            break;
        };
        if hidden.is_none() {
            veil.keep(at, at + length);
        }
        at += length;
        let rest = &text[at..];
        if rest.starts_with(COMMENT.0) {
            let end = memchr::memmem::find(rest, COMMENT.1);
            let end = end.map_or(text.len(), |end| at + end + COMMENT.1.len());
            comment(veil, at..end);
            at = end;
            continue;
        }
        let name = rest.get(1..).unwrap_or_default();
        let closing = name.starts_with(b"/");
        let name = name.strip_prefix(b"/").unwrap_or(name);
        let letters = name.iter().take_while(|byte| byte.is_ascii_alphanumeric());
        let name = name.get(..letters.count()).unwrap_or_default();
        let is = |known: &&[u8]| name.eq_ignore_ascii_case(known);
        match (NO_TEXT.into_iter().find(|known| is(known)), closing) {
            (Some(known), false) => hidden = Some(known),
            (Some(known), true) if hidden == Some(known) => hidden = None,
            _ => {}
        }
        if !STYLES.iter().any(is) {
            veil.part();
        }
        at += memchr::memchr(b'>', rest).map_or(rest.len(), |end| end + 1);
    }
    if hidden.is_none() && at < text.len() {
        veil.keep(at, text.len());
    }
    if tags == Tags::Block {
        veil.part();
    }
}

/// A comment is shown where it allows something.
fn comment(veil: &mut Veil<'_>, range: Range<usize>) {
    let whole = veil.text().get(range.clone()).unwrap_or_default();
    let inside = whole.strip_prefix(COMMENT.0).unwrap_or(whole);
    let inside = inside.strip_suffix(COMMENT.1).unwrap_or(inside);
    veil.part();
    if inside.trim_ascii_start().starts_with(b"[%allow") {
        veil.keep(range.start, range.end);
    } else {
        let start = range.start + COMMENT.0.len();
        show_allowance(veil, start..start + inside.len(), range);
    }
    veil.part();
}
