//! Positions in FEN (PGN standard, 16.1) that stand anywhere in a text.

use std::ops::Range;

use crate::bytes::byte;

/// The positions in a text, in its order: the four fields that EPD has, with the two counts of FEN
/// where they are there.
///
/// A text means a position where it has seven slashes between ranks, a side to move and the rights
/// to castle, be it right or wrong. What has one slash more or less does so too.
pub(super) fn fens(text: &[u8]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(slash) = text
        .get(from..)
        .and_then(|rest| memchr::memchr(b'/', rest))
        .map(|at| from + at)
    {
        let before = text.get(from..slash).unwrap_or_default();
        let length = before
            .iter()
            .rev()
            .take_while(|&&byte| is_rank(byte))
            .count();
        let start = slash - length;
        let board = text.get(start..).unwrap_or_default();
        let board = board
            .iter()
            .take_while(|&&byte| is_rank(byte) || byte == b'/');
        let end = start + board.count();
        let free = start == 0
            || !matches!(byte(text, start - 1), b'/' | b'_' | b'.')
                && !byte(text, start - 1).is_ascii_alphanumeric();
        from = end.max(slash + 1);
        if !free || !is_board(text.get(start..end).unwrap_or_default()) {
            continue;
        }
        if let Some(end) = fields_end(text, end) {
            found.push(start..end);
            from = end;
        }
    }
    found
}

/// The length of the name that is given to a position at `start`, as in `fen=8/8/…`, with its sign.
pub(super) fn key_length(text: &[u8], start: usize) -> usize {
    let before = text.get(..start).unwrap_or_default();
    let quotes = usize::from(matches!(before.last(), Some(b'"' | b'\'')));
    let named = before.get(..start - quotes).unwrap_or_default();
    let Some(named) = named.strip_suffix(b"=") else {
        return 0;
    };
    let letters = named.iter().rev();
    let letters = letters.take_while(|byte| byte.is_ascii_alphanumeric() || **byte == b'-');
    letters.count() + 1 + quotes
}

const fn is_rank(byte: u8) -> bool {
    matches!(
        byte.to_ascii_lowercase(),
        b'p' | b'n' | b'b' | b'r' | b'q' | b'k' | b'1'..=b'9'
    )
}

fn is_board(board: &[u8]) -> bool {
    let ranks = board.split(|&byte| byte == b'/');
    (7..=9).contains(&ranks.clone().count()) && ranks.into_iter().all(|rank| !rank.is_empty())
}

/// The end of the fields behind a board.
fn fields_end(text: &[u8], board: usize) -> Option<usize> {
    let (side, at) = field(text, board)?;
    let (castling, at) = field(text, at)?;
    let (passant, end) = field(text, at)?;
    let rights = |right: &u8| matches!(right.to_ascii_lowercase(), b'k' | b'q' | b'a'..=b'h');
    let told = matches!(side, b"w" | b"b")
        && (castling == b"-" || castling.len() <= 4 && castling.iter().all(rights))
        && (passant == b"-" || matches!(passant, [b'a'..=b'h', b'1'..=b'8']));
    if !told {
        return None;
    }
    let number = |at| field(text, at).filter(|(word, _)| word.iter().all(u8::is_ascii_digit));
    let counts = number(end).and_then(|(_, at)| number(at));
    Some(counts.map_or(end, |(_, end)| end))
}

/// The next word of the line, and its end.
fn field(text: &[u8], at: usize) -> Option<(&[u8], usize)> {
    let blanks = text.get(at..)?.iter().take_while(|&&byte| byte == b' ');
    let start = at + blanks.count();
    let word = text.get(start..)?;
    let length = word.iter().take_while(|byte| byte.is_ascii_alphanumeric());
    // "--" ends the comments of some formats.
    let length = match word.first() {
        Some(b'-') => 1,
        _ => length.count(),
    };
    let end = start + length;
    let word = text.get(start..end)?;
    (start > at && end > start).then_some((word, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<&str> {
        let ranges = fens(text.as_bytes()).into_iter();
        ranges.map(|range| &text[range]).collect()
    }

    #[test]
    fn positions_stand_anywhere() {
        let fen = "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1";
        for around in [
            ("\\position{", "}"),
            ("\\board[fen=", ",small]"),
            ("<!-- ", " -->"),
            ("<!--", "-->"),
            ("![", "](one.png)"),
            ("", ""),
            ("In \"", "\" White mates."),
        ] {
            assert_eq!(found(&format!("{}{fen}{}", around.0, around.1)), [fen]);
        }
        assert_eq!(
            found("8/8/8/8/8/4k3/4p3/4K3 b KQ e3, k7/8/8/8/8/8/8/K7 b - - bm x"),
            ["8/8/8/8/8/4k3/4p3/4K3 b KQ e3", "k7/8/8/8/8/8/8/K7 b - -"]
        );
    }

    #[test]
    fn a_name_belongs_to_its_position() {
        for (text, length) in [("a, fen=", 4), ("x data-fen=\"", 10), ("{", 0), ("is =", 1)] {
            assert_eq!(key_length(text.as_bytes(), text.len()), length, "{text}");
        }
    }

    #[test]
    fn what_means_a_position_and_is_none_is_found_too() {
        let broken = "6k1/5ppp/9/8/8/8/R3K3 w - - 0 1";
        assert_eq!(found(broken), [broken]);
        for text in [
            "1/2 1/2/3",
            "https://a.b/1/2/3/4/5/6/7/8 w - -",
            "8/8/8/8/8/8/8/8",
            "6k1/5ppp/8/8/8/8/8/R3K3 wins",
            "//////// w - -",
        ] {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }
}
