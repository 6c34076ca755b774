//! The inside of a comment: prose and embedded commands.

use crate::Span;

/// A part of a comment's body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommentPart {
    /// Words for a reader.
    Prose(Span),
    /// An embedded command `[%name arguments]`.
    Command {
        /// From `[` to `]`.
        span: Span,
        /// The name behind the `%`.
        name: Span,
        /// What follows the name.
        arguments: Span,
    },
}

/// Splits `body`, a comment's body within `text`, into prose and commands, in order.
pub fn comment_parts(text: &[u8], body: Span) -> impl Iterator<Item = CommentPart> + '_ {
    let _ = text;
    std::iter::once(CommentPart::Prose(body))
}
