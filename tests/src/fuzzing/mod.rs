//! What must be true of any input whatever, a function a part of the programs. `tests/fuzz`
//! looks for inputs of which it is not true, and the test `fuzzing` tries the kept corpora
//! and mutations of them.
//!
//! Each function takes bytes and panics where a promise is broken.

mod reading;
mod server;

#[path = "../../../crates/notation/tests/held/mod.rs"]
mod held;

pub use reading::{check, commentary, epd, manuscripts, notation, remedies, verifier};
pub use server::{edits, messages, settings};

/// A part of the programs, and what must be true of it.
pub type Target = (&'static str, fn(&[u8]));

/// All of them, by the names of their corpora.
pub const TARGETS: &[Target] = &[
    ("notation", notation),
    ("epd", epd),
    ("manuscripts", manuscripts),
    ("commentary", commentary),
    ("check", check),
    ("remedies", remedies),
    ("edits", edits),
    ("messages", messages),
    ("verifier", verifier),
    ("settings", settings),
];
