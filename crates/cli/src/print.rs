//! The one way to print: it never panics, whatever became of the other end, and nothing
//! that stands in a file or in its name can act on a terminal or a log.

use std::{
    borrow::Cow,
    fmt::Display,
    io::{self, Write},
    path::Path,
};

use serde::Serialize;

use crate::exit::{CLEAN, TROUBLE};

/// Says in one line on standard error why the work could not be done. Where nobody hears it
/// there is nothing more to do: the exit code still tells.
pub(crate) fn complain(message: &str) {
    let _ = io::stderr()
        .lock()
        .write_all(format!("gainsay: {}\n", line(message)).as_bytes());
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
    if !text.contains(acts) {
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

/// Whether a character does something instead of being shown: control characters, the
/// separators of lines and paragraphs, and those that turn the direction of writing
/// (Unicode Standard Annex 9).
pub(crate) fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Writes a value as JSON in which characters that act stand as escapes only.
pub(crate) fn json(out: &mut impl Write, value: &impl Serialize) -> io::Result<()> {
    let mut to = serde_json::Serializer::with_formatter(out, Inert);
    Ok(value.serialize(&mut to)?)
}

struct Inert;

impl serde_json::ser::Formatter for Inert {
    fn write_string_fragment<W: ?Sized + Write>(
        &mut self,
        out: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        let mut rest = fragment;
        while let Some((at, c)) = rest.char_indices().find(|&(_, c)| acts(c)) {
            let (before, behind) = rest.split_at(at);
            // All of them are one unit of UTF-16.
            write!(out, "{before}\\u{:04x}", u32::from(c))?;
            rest = behind.get(c.len_utf8()..).unwrap_or_default();
        }
        out.write_all(rest.as_bytes())
    }
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
    }

    #[test]
    fn json_keeps_what_it_escapes() {
        let text = "\u{9b}31m \u{202e}Réti\n\"\u{1b}";
        let mut out = Vec::new();
        json(&mut out, &text).expect("written");
        assert!(!String::from_utf8_lossy(&out).contains(acts));
        let back: String = serde_json::from_slice(&out).expect("JSON");
        assert_eq!(back, text);
    }
}
