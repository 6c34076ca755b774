//! The units of columns.

/// The unit in which columns are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Columns {
    /// Unicode scalar values: what the terminal shows.
    Scalars,
    /// UTF-8 code units: bytes.
    Utf8,
    /// UTF-16 code units: the language server protocol's default.
    Utf16,
}
