//! The language server: what gainsay finds, in an editor, while the author types.
//!
//! ```text
//! client ─▶ lsp ─▶ events ─▶ state ─▶ snapshots ─▶ features ─▶ lsp ─▶ client
//!                              │ ▲
//!                              ▼ │
//!                              pool
//! ```
//!
//! Files of the workspace that are not open are found by walks ([`lsp`](crate)), known to the
//! state, and checked in the pool while no open document needs it.
//!
//! One task owns all state ([`state`](crate)); it takes events in the order in which
//! they came in and waits for nobody. Everything else looks at snapshots. Types of the
//! Language Server Protocol stay in the module `lsp`; the features know bytes only.
//! What people read is worded in the module `words`.

mod address;
mod aids;
mod closed;
mod document;
mod features;
mod gravest;
mod lsp;
mod options;
mod pool;
mod remembered;
mod state;
mod text;
mod words;

pub use aids::{Aids, OwnSearch, Share, Wanted};
pub use lsp::{Ended, ServeError, serve, serve_on};
