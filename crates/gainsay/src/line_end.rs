//! How lines end: LF, CRLF or CR.

use crate::report::Edit;

/// The first line end of a text.
pub(crate) fn first(text: &[u8]) -> Option<&'static str> {
    let at = memchr::memchr2(b'\n', b'\r', text)?;
    Some(kind(text.get(at..)?))
}

/// The last line end of a text.
pub(crate) fn last(text: &[u8]) -> Option<&'static str> {
    let at = memchr::memrchr2(b'\n', b'\r', text)?;
    let crlf = text.get(..=at)?.ends_with(b"\r\n");
    Some(if crlf { "\r\n" } else { kind(text.get(at..)?) })
}

fn kind(text: &[u8]) -> &'static str {
    match text {
        [b'\r', b'\n', ..] => "\r\n",
        [b'\r', ..] => "\r",
        _ => "\n",
    }
}

/// Edits with the line ends of the text `before` the part that they are for, where the part
/// has none of its own to show them.
///
/// ```
/// use gainsay::{Edit, fitted};
/// let edits = vec![Edit { span: 0..0, text: "[Event \"?\"]\n".to_owned() }];
/// let edits = fitted(edits, b"1. e4 *", b"1. d4 *\r\n\r\n");
/// assert_eq!(edits[0].text, "[Event \"?\"]\r\n");
/// ```
#[must_use]
pub fn fitted(mut edits: Vec<Edit>, part: &[u8], before: &[u8]) -> Vec<Edit> {
    let breaks = |edit: &Edit| edit.text.contains('\n');
    if edits.iter().any(breaks)
        && first(part).is_none()
        && let Some(newline) = last(before)
    {
        for edit in edits.iter_mut().filter(|edit| breaks(edit)) {
            edit.text = edit.text.replace('\n', newline);
        }
    }
    edits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_told_from_both_ends() {
        for newline in ["\n", "\r\n", "\r"] {
            let text = format!("a{newline}b");
            assert_eq!(first(text.as_bytes()), Some(newline));
            assert_eq!(last(text.as_bytes()), Some(newline));
        }
        assert_eq!(first(b"a\r\nb\nc"), Some("\r\n"));
        assert_eq!(last(b"a\r\nb\nc"), Some("\n"));
        assert_eq!((first(b"a"), last(b"a")), (None, None));
    }
}
