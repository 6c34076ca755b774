//! What the other side of the conversation is told.

use std::io::{self, Write};

/// Writes lines that no other thread may come between.
pub(super) fn say(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.write_all(b"\n")?;
    out.flush()
}
