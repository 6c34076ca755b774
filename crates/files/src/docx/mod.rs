//! Manuscripts of word processors (`.docx`: ECMA-376, WordprocessingML): their text, and copies
//! with comments. Text boxes, notes and what was deleted are left out.

mod comments;
mod parts;
mod text;

use std::path::Path;

pub use comments::{Remark, is_ours, with_comments};
pub use parts::DocxError;
pub use text::{Paragraph, Paragraphs, read_docx};

/// Whether a file is such a manuscript, by its name.
#[must_use]
pub fn is_docx(path: &Path) -> bool {
    let extension = path.extension().and_then(|extension| extension.to_str());
    extension.is_some_and(|extension| extension.eq_ignore_ascii_case("docx"))
}

#[cfg(test)]
mod tests;
