//! Comments in braces.

use memchr::{memchr, memchr3};

use crate::bytes::{
    Class, byte, class, ends_word, is_game_start, is_sure_game_start, rest, skip_space,
};
use crate::language::Language;
use crate::movetext::read_move;

/// A comment in braces as far as it reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Braces {
    /// Offset behind the last byte of the body.
    pub(crate) body_end: usize,
    /// Offset behind the comment.
    pub(crate) end: usize,
    /// Whether a closing brace was found.
    pub(crate) closed: bool,
    /// The first brace that opens inside.
    pub(crate) nested: Option<usize>,
}

/// How many bytes of a comment are looked at one by one.
const SHORT_COMMENT: usize = 32;

/// The bytes at which a short comment ends or stops being a simple one.
static ENDS_COMMENT: [bool; 256] = {
    let mut table = [false; 256];
    table[b'}' as usize] = true;
    table[b'{' as usize] = true;
    table[b'\n' as usize] = true;
    table[b'\r' as usize] = true;
    table
};

/// Finds the end of the comment whose brace opens at `open`.
#[inline]
pub(crate) fn braces(text: &[u8], open: usize) -> Braces {
    let mut at = open + 1;
    let mut nested = None;
    let mut inner = 0;

    // Most comments are very short, clock times above all: for them one look at each
    // byte costs less than calling a search.
    let near = rest(text, at);
    let short = near.get(..SHORT_COMMENT).unwrap_or(near);
    if let Some(found) = short
        .iter()
        .position(|&byte| ENDS_COMMENT[usize::from(byte)])
        && short[found] == b'}'
    {
        return Braces {
            body_end: at + found,
            end: at + found + 1,
            closed: true,
            nested,
        };
    }

    // Many others are on one line: nothing inside can matter.
    let near = near.get(..256).unwrap_or(near);
    if let Some(found) = memchr(b'}', near) {
        // A plain slice lets the compiler compare many bytes at once.
        let body = near.get(..found).unwrap_or(near);
        let special = body.iter().fold(false, |special, &byte| {
            special | (byte == b'{') | (byte == b'\n') | (byte == b'\r')
        });
        if !special {
            return Braces {
                body_end: at + found,
                end: at + found + 1,
                closed: true,
                nested,
            };
        }
    }

    while let Some(found) = memchr3(b'}', b'{', b'[', rest(text, at)) {
        let here = at + found;
        match byte(text, here) {
            b'}' => {
                let close = outer_close(text, here, inner);
                return Braces {
                    body_end: close,
                    end: close + 1,
                    closed: true,
                    nested,
                };
            }
            b'{' => {
                nested.get_or_insert(here);
                at = here + 1;
                while byte(text, at) == b'{' {
                    at += 1;
                }
                inner += at - here;
            }
            // An embedded command, far the most frequent.
            _ if byte(text, here + 1) == b'%' => at = here + 1,
            _ => {
                if is_sure_game_start(text, here) {
                    return Braces {
                        body_end: here,
                        end: here,
                        closed: false,
                        nested,
                    };
                }
                at = here + 1;
            }
        }
    }
    Braces {
        body_end: text.len(),
        end: text.len(),
        closed: false,
        nested,
    }
}

/// The closing brace of a comment in which `inner` braces open before the first
/// closing brace at `close`.
///
/// Comments do not nest, so strictly `close` it is. But where only words follow
/// up to another closing brace, the author meant that one; it is then one
/// mistake and not three. The search stops where any game begins, so that it
/// never reaches over a cut between sections.
fn outer_close(text: &[u8], close: usize, inner: usize) -> usize {
    let mut last = close;
    for _ in 0..inner {
        let mut at = last + 1;
        if movetext_follows(text, at) {
            return last;
        }
        loop {
            let Some(found) = memchr3(b'}', b'{', b'[', rest(text, at)) else {
                return last;
            };
            at += found;
            match byte(text, at) {
                b'}' => break,
                b'[' if !is_game_start(text, at) => at += 1,
                _ => return last,
            }
        }
        last = at;
    }
    last
}

/// Whether what follows the white space at `at` looks like movetext.
fn movetext_follows(text: &[u8], at: usize) -> bool {
    let at = skip_space(text, at);
    match class(byte(text, at)) {
        Class::Digit | Class::ParenOpen | Class::ParenClose | Class::Dollar | Class::Star => true,
        Class::Glyph | Class::Semicolon | Class::Dot => true,
        Class::MoveLetter => matches!(
            read_move(text, at, Language::English),
            Some((_, end)) if ends_word(text, end)
        ),
        _ => false,
    }
}
