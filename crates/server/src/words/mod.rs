//! Words at the end: what the server says to people, one file a topic.
//!
//! The only place with sentences. Each function takes what was found out and gives the words
//! for it; nothing here knows the features, the state or the protocol.

pub(crate) mod actions;
pub(crate) mod board;
pub(crate) mod completion;
pub(crate) mod counts;
pub(crate) mod files;
pub(crate) mod hover;
pub(crate) mod meanings;
pub(crate) mod session;
