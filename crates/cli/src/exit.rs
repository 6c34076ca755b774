//! The exit codes.

/// Nothing at or above the failing severity.
pub(crate) const CLEAN: u8 = 0;
/// Something at or above the failing severity.
pub(crate) const FOUND: u8 = 1;
/// The work could not be done; standard error says why.
pub(crate) const TROUBLE: u8 = 2;
