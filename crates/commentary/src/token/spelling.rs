//! Moves as hands in a hurry and old books write them.

use gainsay_notation::{Descriptive, Language, Man, Signs, WrittenMove, WrittenShape};
use shakmaty::Role;

use super::lexer::is_letter;
use crate::key::eight_at;

/// The first bytes of a capture with its files in small letters, where one of them is a capital:
/// `NxB5`, `Gxh6`. Without the sign `B5` may be anything.
pub(super) fn in_right_case(bytes: &[u8], letters: Language) -> Option<[u8; 8]> {
    let mut right = eight_at(bytes, 0).to_le_bytes();
    let [first, second, target, rank, ..] = right;
    if second != b'x' || !matches!(rank, b'1'..=b'8') {
        return None;
    }
    // Only to the next file can a pawn be meant: in other languages `D` is a queen.
    let pawn = matches!(first, b'A'..=b'H')
        && letters.role(char::from(first)).is_none()
        && first.abs_diff(target.to_ascii_uppercase()) == 1;
    let capital = matches!(target, b'A'..=b'H');
    if !pawn && !capital {
        return None;
    }
    right[2] = target.to_ascii_lowercase();
    if pawn {
        right[0] = first.to_ascii_lowercase();
    }
    Some(right)
}

/// The sign that words and abbreviations at the start of `bytes` give a move, and their length
/// without a last dot; none for `e.p.` behind a pawn's capture.
pub(super) fn sign_in_words(bytes: &[u8], written: &WrittenMove) -> Option<(Signs, usize)> {
    const WORDS: [(&[u8], Signs); 9] = [
        (b"ch", Signs::Check),
        (b"dis. ch", Signs::Check),
        (b"dis.ch", Signs::Check),
        (b"dis ch", Signs::Check),
        (b"disch", Signs::Check),
        (b"dbl. ch", Signs::DoubleCheck),
        (b"dbl.ch", Signs::DoubleCheck),
        (b"dbl ch", Signs::DoubleCheck),
        (b"dblch", Signs::DoubleCheck),
    ];
    const IN_PASSING: [(&[u8], Signs); 2] = [(b"e.p", Signs::None), (b"ep", Signs::None)];
    let captures = matches!(
        written.shape,
        WrittenShape::PawnCapture { .. }
            | WrittenShape::To {
                role: Role::Pawn,
                file: Some(_),
                ..
            }
            | WrittenShape::Descriptive(Descriptive {
                mover: Man {
                    role: Role::Pawn,
                    ..
                },
                captured: Some(_),
                ..
            })
    );
    let in_passing = IN_PASSING.iter().filter(|_| captures);
    let mut forms = WORDS.iter().chain(in_passing);
    let stands = |(word, _): &&(&[u8], Signs)| {
        bytes.starts_with(word) && !bytes.get(word.len()).is_some_and(|&next| is_letter(next))
    };
    let (word, signs) = forms.find(stands)?;
    Some((*signs, word.len()))
}
