//! The one way to print: it never panics, whatever became of the other end, and nothing
//! that stands in a file or in its name can act on a terminal or a log.

use std::{
    borrow::Cow,
    fmt::Display,
    io::{self, Write},
    path::Path,
};

use crate::{CLEAN, TROUBLE};

/// Says on standard error why the work could not be done. Where nobody hears it there is
/// nothing more to do: the exit code still tells.
pub(crate) fn complain(message: &str) {
    let text = format!("gainsay: {}\n", lines(message));
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Prints a whole text on standard output and gives the exit code.
pub(crate) fn all(text: &[u8]) -> u8 {
    let mut out = io::stdout().lock();
    done(
        out.write_all(text).and_then(|()| out.flush()),
        "the results",
        CLEAN,
    )
}

/// The exit code once `what` was written, which is `code` where nothing went wrong. A
/// closed pipe is no error: its reader has seen enough.
pub(crate) fn done(written: io::Result<()>, what: impl Display, code: u8) -> u8 {
    match written {
        Ok(()) => code,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => CLEAN,
        Err(error) => {
            complain(&format!("cannot write {what}: {error}"));
            TROUBLE
        }
    }
}

/// A file's name for people: on one line, without anything that a terminal would obey.
pub(crate) fn name(path: &Path) -> String {
    line(&path.to_string_lossy()).into_owned()
}

/// A text on one line, with line breaks and control characters written as escapes.
pub(crate) fn line(text: &str) -> Cow<'_, str> {
    escaped(text, acts)
}

/// The same of a text of ours that may have several lines.
fn lines(text: &str) -> Cow<'_, str> {
    escaped(text, |c| c != '\n' && acts(c))
}

/// Whether a character does something instead of being shown: control characters, the
/// separators of lines and paragraphs, and those that turn the direction of writing
/// (Unicode Standard Annex 9).
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn escaped(text: &str, acts: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !text.contains(&acts) {
        return Cow::Borrowed(text);
    }
    let mut clean = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if acts(c) {
            clean.extend(c.escape_default());
        } else {
            clean.push(c);
        }
    }
    Cow::Owned(clean)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_name_acts() {
        assert_eq!(
            name(Path::new("a\n::error ::x\u{1b}[31m\u{202e}.pgn")),
            "a\\n::error ::x\\u{1b}[31m\\u{202e}.pgn"
        );
        assert_eq!(name(Path::new("Réti – Löwe.pgn")), "Réti – Löwe.pgn");
        assert_eq!(lines("one\n two\r"), "one\n two\\r");
    }
}
