//! Characters from bytes.

use std::borrow::Cow;

/// The text of `bytes`: UTF-8 where it is valid UTF-8, Latin-1 otherwise.
///
/// Latin-1 gives every byte the character of the same number, so decoding never
/// fails. In that case byte offsets of the result and of `bytes` differ behind
/// the first byte above 127.
#[must_use]
pub fn decode(bytes: &[u8]) -> Cow<'_, str> {
    match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => Cow::Owned(bytes.iter().map(|&byte| char::from(byte)).collect()),
    }
}
