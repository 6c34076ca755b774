//! Single moves as people write them.

mod base;
mod behind;
mod descriptive;
mod letters;
mod old;
mod written;

pub(crate) use base::read_base;
use behind::may_be_en_passant;
pub(crate) use behind::read_signs;
pub(crate) use descriptive::read_old_move;
pub use descriptive::{may_be_descriptive, read_descriptive};
pub(crate) use letters::dash;
use letters::{file_of, rank_of};
pub use old::{Descriptive, Files, Man};
use shakmaty::{Role, Square};
pub use written::{Oddities, Signs, WrittenMove, WrittenShape};

use crate::bytes::{byte, byte_ends_word, ends_word};
use crate::language::Language;

/// Reads all of `bytes` as one move in the piece letters of `language`.
///
/// Figurines are read in every language, descriptive notation (`P-K4`) in English. `None` where it
/// has not the shape of a move, or where bytes are left over (annotation glyphs are not part of
/// it).
#[must_use]
pub fn parse_move(bytes: &[u8], language: Language) -> Option<WrittenMove> {
    let read = read_base(bytes, 0, language)
        .map(|(base, behind)| read_signs(bytes, behind, base))
        .filter(|&(_, end)| end == bytes.len());
    let old = || read_old_move(bytes, 0).filter(|_| language.is_english());
    let (written, end) = read.or_else(old)?;
    (end == bytes.len()).then_some(written)
}

/// Reads a move with its signs from `at` on; returns it and the offset behind it.
#[inline]
pub(crate) fn read_move(
    text: &[u8],
    at: usize,
    language: Language,
) -> Option<(WrittenMove, usize)> {
    let Some((base, behind)) = read_base(text, at, language) else {
        return read_old_move(text, at).filter(|_| language.is_english());
    };
    if ends_word(text, behind) && !may_be_en_passant(&base) {
        return Some((base, behind));
    }
    Some(read_signs(text, behind, base))
}

/// Reads the commonest forms of moves in English letters, where a word ends
/// behind them: `e4`, `Nf3`, `exd5`, `Nxd5`, with `+` or `#`.
///
/// `None` says nothing: the move may have any other form.
#[inline]
pub(crate) fn read_common(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    let bytes: &[u8; 8] = text.get(at..)?.first_chunk()?;
    let role = match bytes[0] {
        b'N' => Some(Role::Knight),
        b'B' => Some(Role::Bishop),
        b'R' => Some(Role::Rook),
        b'Q' => Some(Role::Queen),
        b'K' => Some(Role::King),
        _ => None,
    };
    let first = usize::from(role.is_some());
    let (mut file, mut capture) = (None, false);
    let mut target = first;
    if bytes[first + usize::from(role.is_none())] == b'x' {
        capture = true;
        target = 2;
        if role.is_none() {
            file = Some(file_of(bytes[0])?);
        }
    }
    let to = Square::from_coords(file_of(bytes[target])?, rank_of(bytes[target + 1])?);
    let mut end = target + 2;
    let signs = match bytes[end] {
        b'+' => Signs::Check,
        b'#' => Signs::Mate,
        _ => Signs::None,
    };
    end += usize::from(signs != Signs::None);
    let behind = bytes[end];
    // A parenthesis may hold a promotion, and an `e.p.` may stand behind a capture.
    let more =
        behind == b'(' || (file.is_some() && behind == b' ' && byte(text, at + end + 1) == b'e');
    if more || !byte_ends_word(behind) {
        return None;
    }
    let shape = WrittenShape::To {
        role: role.unwrap_or(Role::Pawn),
        file,
        rank: None,
        capture,
        to,
        promotion: None,
    };
    let written = WrittenMove {
        shape,
        signs,
        oddities: Oddities::default(),
    };
    Some((written, at + end))
}

#[cfg(test)]
mod tests;
