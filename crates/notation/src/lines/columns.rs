//! The units of columns.

/// The unit in which columns are counted.
///
/// ```
/// use gainsay_notation::{Columns, LineIndex};
/// let text = "{Réti} e4".as_bytes();
/// let column = |columns| LineIndex::new(text).position(text, 8, columns).column;
/// assert_eq!((column(Columns::Utf8), column(Columns::Scalars)), (8, 7));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Columns {
    /// Unicode scalar values: what the terminal shows.
    Scalars,
    /// UTF-8 code units: bytes.
    Utf8,
    /// UTF-16 code units: the language server protocol's default.
    Utf16,
}
