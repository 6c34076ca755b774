//! Loose words: which of them look like moves.

use crate::language::Language;
use crate::movetext::parse_move;

/// Whether a word that is no move in English letters has the shape of one: in
/// another language, on squares that do not exist, or with a slip of the pen.
pub(crate) fn is_movelike(word: &[u8]) -> bool {
    // The longest move, `Ng1xf3+` with an `e.p.` and a sign in words, is far shorter.
    if word.len() > 16 || word.len() < 2 {
        return false;
    }
    Language::ALL
        .iter()
        .any(|&language| parse_move(word, language).is_some())
        || slip(word)
        || old_slip(word)
}

/// `BxKtQ`, `Kt-P`, `B-KT9`: a slip in descriptive notation.
fn old_slip(word: &[u8]) -> bool {
    let joints = word.iter().filter(|&&byte| matches!(byte, b'x' | b'-'));
    matches!(
        word,
        [
            b'K' | b'Q' | b'R' | b'B' | b'N' | b'P',
            ..,
            b'K' | b'Q' | b'R' | b'B' | b'N' | b'P' | b't' | b'T' | b'0'..=b'9'
        ]
    ) && joints.count() == 1
        && word
            .iter()
            .all(|byte| b"KQRBNPtTx-0123456789".contains(byte))
}

/// The letters of pieces other than pawns in all languages.
const PIECES: &[u8] = b"KQRBNDVSJTLOPCFHGWA";

/// `Ng9`, `Ni3`, `Nxx5`, `Nf`, `Qxg`, `e9`, `exd9`, `NF3`.
fn slip(word: &[u8]) -> bool {
    let mut bytes = word;
    while let [head @ .., b'+' | b'#' | b',' | b'-' | b'='] = bytes {
        bytes = head;
    }
    let (piece, squares) = match bytes {
        [first, tail @ ..] if PIECES.contains(first) => (true, tail),
        all => (false, all),
    };
    let mut letters = 0;
    let mut digits = 0;
    let mut captures = 0;
    let mut on_board = 0;
    for &byte in squares {
        match byte {
            b'x' | b':' | b'-' => captures += 1,
            b'a'..=b'h' | b'A'..=b'H' => {
                letters += 1;
                on_board += 1;
            }
            b'i'..=b'z' | b'I'..=b'Z' => letters += 1,
            b'1'..=b'8' => {
                digits += 1;
                on_board += 1;
            }
            b'0' | b'9' => digits += 1,
            _ => return false,
        }
    }
    let ends_in_square = matches!(squares, [.., letter, digit]
        if letter.is_ascii_alphabetic() && digit.is_ascii_digit());
    let small = letters <= 2 && digits <= 2 && captures <= 2 && on_board > 0;
    if piece {
        // `Nf`, but not `Be` and other short words.
        let bare = matches!(squares, [b'b'..=b'd' | b'f'..=b'h']);
        let capture_alone = captures > 0 && letters <= 2 && on_board > 0;
        small && (ends_in_square || bare || capture_alone)
    } else {
        small && ends_in_square && matches!(squares.first(), Some(b'a'..=b'h' | b'A'..=b'H'))
    }
}
