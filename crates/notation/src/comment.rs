//! The inside of a comment: prose and embedded commands.

use memchr::{memchr, memmem};

use crate::bytes::{byte, is_space};
use crate::span::Span;

/// A part of a comment's body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommentPart {
    /// Words for a reader, without the white space around them.
    Prose(Span),
    /// An embedded command `[%name arguments]`.
    Command {
        /// From `[` to `]`.
        span: Span,
        /// The name behind the `%`.
        name: Span,
        /// What follows the name, without the white space around it.
        arguments: Span,
    },
}

/// Splits `body`, a comment's body within `text`, into prose and commands, in order.
///
/// Parts of white space alone are left out. A command without its closing
/// bracket is prose.
pub fn comment_parts(text: &[u8], body: Span) -> impl Iterator<Item = CommentPart> + '_ {
    let body = body.range();
    let end = body.end.min(text.len());
    Parts {
        text: text.get(..end).unwrap_or_default(),
        at: body.start.min(end),
        command: None,
    }
}

struct Parts<'a> {
    /// The text up to the end of the body.
    text: &'a [u8],
    at: usize,
    /// A command that comes behind the prose just given.
    command: Option<CommentPart>,
}

impl Iterator for Parts<'_> {
    type Item = CommentPart;

    fn next(&mut self) -> Option<CommentPart> {
        if let Some(command) = self.command.take() {
            return Some(command);
        }
        while self.at < self.text.len() {
            let start = self.at;
            let (prose_end, command) = match self.next_command() {
                Some((span, command)) => {
                    self.at = span.range().end;
                    (span.range().start, Some(command))
                }
                None => {
                    self.at = self.text.len();
                    (self.text.len(), None)
                }
            };
            let prose = trimmed(self.text, start, prose_end);
            if !prose.is_empty() {
                self.command = command;
                return Some(CommentPart::Prose(prose));
            }
            if command.is_some() {
                return command;
            }
        }
        None
    }
}

impl Parts<'_> {
    fn next_command(&self) -> Option<(Span, CommentPart)> {
        let from = self.text.get(self.at..)?;
        let open = self.at + memmem::find(from, b"[%")?;
        let close = open + memchr(b']', self.text.get(open..)?)?;
        let name_start = open + 2;
        let mut name_end = name_start;
        while name_end < close && !is_space(byte(self.text, name_end)) {
            name_end += 1;
        }
        let span = Span::new(open as u32, close as u32 + 1);
        let command = CommentPart::Command {
            span,
            name: Span::new(name_start as u32, name_end as u32),
            arguments: trimmed(self.text, name_end, close),
        };
        Some((span, command))
    }
}

/// The span from `start` to `end` without white space at its ends.
fn trimmed(text: &[u8], mut start: usize, mut end: usize) -> Span {
    while start < end && is_space(byte(text, start)) {
        start += 1;
    }
    while end > start && is_space(byte(text, end - 1)) {
        end -= 1;
    }
    Span::new(start as u32, end as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> Vec<String> {
        let bytes = text.as_bytes();
        let show = |span: Span| String::from_utf8_lossy(span.of(bytes)).into_owned();
        comment_parts(bytes, Span::new(0, text.len() as u32))
            .map(|part| match part {
                CommentPart::Prose(span) => show(span),
                CommentPart::Command {
                    span,
                    name,
                    arguments,
                } => format!("<{}|{}|{}>", show(span), show(name), show(arguments)),
            })
            .collect()
    }

    #[test]
    fn commands_stand_apart_from_prose() {
        assert_eq!(
            parts(" [%clk 0:05:00] strong [%cal Ge2e4, Re4e5 ] here "),
            [
                "<[%clk 0:05:00]|clk|0:05:00>",
                "strong",
                "<[%cal Ge2e4, Re4e5 ]|cal|Ge2e4, Re4e5>",
                "here"
            ]
        );
    }

    #[test]
    fn no_parts_of_white_space() {
        assert_eq!(parts("  \n "), Vec::<String>::new());
        assert_eq!(parts(""), Vec::<String>::new());
    }

    #[test]
    fn an_unclosed_command_is_prose() {
        assert_eq!(parts("see [%clk 1"), ["see [%clk 1"]);
        assert_eq!(parts("[%]"), ["<[%]||>"]);
    }
}
