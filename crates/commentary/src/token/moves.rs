//! Moves, squares and routes by their shape.

use gainsay_notation::{Glyph, Language, Oddities, Signs, WrittenMove, WrittenShape, parse_move};
use shakmaty::{File, Rank, Role, Square};

use super::lexer::{Lexer, blank_length, is_letter};
use super::spelling::{in_right_case, sign_in_words};
use super::tokens::TokenKind;
use crate::key::eight_at;

impl Lexer<'_> {
    /// Whether a move with a piece letter, a capture or castling stands at `at`.
    pub(super) fn has_piece_move(&mut self, at: usize) -> bool {
        self.move_length(at).is_some_and(|length| {
            self.text.get(at..at + length).is_some_and(|bytes| {
                length > 2 && !bytes.contains(&b'-')
                    || bytes.contains(&b'O')
                    || self.descriptive_length(at).is_some()
            })
        })
    }

    /// Reads a move at the current place, if there is one.
    pub(super) fn try_move(&mut self) -> bool {
        let at = self.at;
        let Some(length) = self.move_length(at) else {
            return false;
        };
        let bytes = self.text.get(at..at + length).unwrap_or_default();
        // `Nb8-a6-b4`, `d1/e1`
        let glued = is_route(self.rest(at + length)) || self.glued_square_before();
        if glued && !self.lists_pawns(at) {
            let mut end = at + length;
            while self.byte(end).is_ascii_alphanumeric() || matches!(self.byte(end), b'-' | b'/') {
                end += 1;
            }
            self.push(end, TokenKind::Route);
            return true;
        }
        if let [file, rank] = bytes
            && let Some(square) = square(*file, *rank)
        {
            self.push(at + length, TokenKind::Square(square));
            // "e5-pawn"
            self.at += usize::from(self.byte(self.at) == b'-' && is_letter(self.byte(self.at + 1)));
            return true;
        }
        let read = parse_move(bytes, self.letters).or_else(|| {
            let right = in_right_case(bytes, self.letters)?;
            let written = parse_move(right.get(..length)?, self.letters)?;
            Some(WrittenMove {
                oddities: written.oddities.with(Oddities::CASE),
                ..written
            })
        });
        let Some(mut written) = read else {
            return false;
        };
        let mut end = at + length;
        // `a1-h8` is a diagonal, `Bc8-g7` a plan.
        if !is_one_step(&written) {
            self.push(end, TokenKind::Route);
            return true;
        }
        // "Qh6 ch", "Qh6 dbl. ch.", "exd6 e.p."
        let blank = self.blanks(end);
        if let Some((signs, length)) = sign_in_words(self.rest(blank), &written) {
            end = blank + length;
            if self.byte(blank) == b'e' {
                written.oddities = written.oddities.with(Oddities::EN_PASSANT);
            }
            if written.signs == Signs::None {
                written.signs = signs;
            }
            // The dot of the abbreviation, unless it ends the sentence as well.
            if self.byte(end) == b'.' && self.goes_on(end + 1) {
                end += 1;
            }
        }
        self.push(end, TokenKind::Move(written));
        true
    }

    /// Whether the sentence goes on at `at`: with a small letter, a number, a move or a sign.
    fn goes_on(&mut self, at: usize) -> bool {
        let at = self.blanks(at);
        matches!(self.byte(at), b'a'..=b'z' | b'0'..=b'9' | b'.' | b',' | b';' | b':' | b')')
            || self.move_length(at).is_some()
    }

    /// Whether a pawn's capture by its two files stands at `at`, as in "12...fg".
    pub(super) fn is_short_capture(&self, at: usize) -> bool {
        let &[from, to, ref behind @ ..] = self.rest(at) else {
            return false;
        };
        let next = behind.first().copied().unwrap_or(0);
        matches!((from, to), (b'a'..=b'h', b'a'..=b'h'))
            && from.abs_diff(to) == 1
            && (!is_letter(next) || blank_length(behind) > 0)
            && !next.is_ascii_digit()
    }

    /// Whether the token before is a square that this one is glued to by `/` or `-`.
    fn glued_square_before(&self) -> bool {
        let [.., before, joint] = self.tokens.tokens.as_slice() else {
            return false;
        };
        matches!(joint.kind, TokenKind::Slash)
            && joint.span.end as usize == self.at
            && before.span.end == joint.span.start
            && matches!(before.kind, TokenKind::Square(_))
    }

    /// Whether squares or files with slashes between stand at `at`, and the word for pawns
    /// behind them: `e6/f7 pawns`, `e/f-pawns`.
    pub(super) fn lists_pawns(&self, mut at: usize) -> bool {
        // There are no more files.
        for _ in 0..8 {
            if !matches!(self.byte(at), b'a'..=b'h') {
                return false;
            }
            at += 1 + usize::from(matches!(self.byte(at + 1), b'1'..=b'8'));
            match self.byte(at) {
                b'/' => at += 1,
                b' ' | b'-' => return self.rest(at + 1).starts_with(b"pawn"),
                _ => return false,
            }
        }
        false
    }

    /// The length of what has the shape of a move at `at`.
    ///
    /// This is a cheap test on bytes; [`parse_move`] has the last word. A number in front
    /// of a move has asked already when the move is read, so the last answer is kept.
    pub(super) fn move_length(&mut self, at: usize) -> Option<usize> {
        if self.asked.0 != at {
            self.asked = (at, self.shape_at(at));
        }
        self.asked.1
    }

    fn shape_at(&self, at: usize) -> Option<usize> {
        let rest = self.rest(at);
        let head = shape_length(rest, self.letters).or_else(|| {
            let right = in_right_case(rest, self.letters)?;
            shape_length(&right, self.letters)
        });
        let Some(mut head) = head else {
            return self.descriptive_length(at);
        };
        // Promotions and signs.
        let tail = rest.get(head..).unwrap_or_default();
        head += promotion_length(tail, self.letters);
        let tail = rest.get(head..).unwrap_or_default();
        head += match tail {
            [b'+', b'+', ..] => 2,
            // "+-" and "+=" are judgements, not checks; "Bb5+—a pin" is a check and a pause.
            [b'+', ..] if glyph_at(tail) => 0,
            [b'+' | b'#', ..] => 1,
            _ => 0,
        };
        let behind = rest.get(head..)?;
        let next = behind.first().copied().unwrap_or(0);
        (!is_letter(next) && !next.is_ascii_digit()
            || behind.starts_with("…".as_bytes())
            || blank_length(behind) > 0
            || glyph_at(behind)
            || parse_move(rest.get(..head)?, self.letters)
                .is_some_and(|written| sign_in_words(behind, &written).is_some()))
        .then_some(head)
    }
}

/// Whether a glyph's symbol stands at the start of `bytes` and no letter behind it.
fn glyph_at(bytes: &[u8]) -> bool {
    Glyph::at_start(bytes).is_some_and(|(_, length)| {
        let behind = bytes.get(length).copied();
        behind.is_none_or(|behind| !is_letter(behind))
    })
}

fn square(file: u8, rank: u8) -> Option<Square> {
    Some(Square::from_coords(
        File::from_char(char::from(file))?,
        Rank::from_char(char::from(rank))?,
    ))
}

/// Whether `-e5` or `/e5` goes on.
fn is_route(bytes: &[u8]) -> bool {
    matches!(bytes, [b'-' | b'/', file, rank, ..] if square(*file, *rank).is_some())
        || matches!(bytes, [b'-', b'a'..=b'h', b'-', ..])
}

/// Whether a move whose origin is written in full can be made in one step on some board.
fn is_one_step(written: &WrittenMove) -> bool {
    let WrittenShape::To {
        role,
        file: Some(file),
        rank: Some(rank),
        to,
        ..
    } = written.shape
    else {
        return true;
    };
    let across = file.distance(to.file());
    let along = rank.distance(to.rank());
    match role {
        Role::Pawn => across <= 1 && (1..=2).contains(&along),
        Role::Knight => (across.min(along), across.max(along)) == (1, 2),
        Role::Bishop => across == along,
        Role::Rook => across == 0 || along == 0,
        Role::Queen => across == along || across == 0 || along == 0,
        // Castling may be written so.
        Role::King => across <= 2 && along <= 1,
    }
}

pub(super) fn is_figurine(bytes: &[u8]) -> bool {
    matches!(bytes, [0xe2, 0x99, 0x94..=0x9f, ..])
}

/// Whether a move can begin with these three bytes: what most words fail.
pub(super) const fn may_be_move(first: u8, second: u8, third: u8) -> bool {
    match (first, second) {
        // "ed4", but not "edge".
        (b'a'..=b'h', b'a'..=b'h') => matches!(third, b'1'..=b'8'),
        // "kh2", "nxd4"
        (b'i'..=b'z', b'a'..=b'h') => matches!(third, b'1'..=b'8'),
        (b'i'..=b'z', b'x') => matches!(third, b'a'..=b'h'),
        // "Bd4", "Bcd4", "Bcxd4", but not "Be".
        (b'A'..=b'Z', b'a'..=b'h') => {
            matches!(third, b'a'..=b'h' | b'1'..=b'8' | b'x' | b':' | b'-')
        }
        (b'a'..=b'h' | b'A'..=b'Z', _) => matches!(second, b'1'..=b'8' | b'x' | b':' | b'-'),
        (b'o', _) => second == b'-',
        (b'i'..=b'z', _) => false,
        _ => true,
    }
}

/// The length of a move's body: piece, origin, capture sign, target.
fn shape_length(bytes: &[u8], letters: Language) -> Option<usize> {
    let first = *bytes.first()?;
    if matches!(first, b'O' | b'0' | b'o') {
        let castle: &[&[u8]] = &[b"O-O-O", b"O-O", b"0-0-0", b"0-0", b"o-o-o", b"o-o"];
        return castle
            .iter()
            .find(|shape| bytes.starts_with(shape))
            .map(|shape| shape.len());
    }
    let mut at = 0;
    if is_figurine(bytes) {
        at = 3;
    } else if first >= 0x80 && letters.is_cyrillic() {
        (_, at) = letters.piece(bytes)?;
    } else if !matches!(first, b'a'..=b'h' | b'x') && first.is_ascii_alphabetic() {
        // A small letter is a piece where it is no file.
        letters.role(char::from(first.to_ascii_uppercase()))?;
        at = 1;
    }
    let body = body_length(eight_at(bytes, at).to_le_bytes(), at > 0)?;
    Some(at + body)
}

/// The length of what stands behind the piece of a move: origin, capture sign, target. Only
/// the first five bytes are looked at; zeros stand behind the end of the text.
fn body_length(bytes: [u8; 8], piece: bool) -> Option<usize> {
    let [first, second, third, fourth, ..] = bytes;
    let is_square = |at: usize| matches!(bytes.get(at..), Some([b'a'..=b'h', b'1'..=b'8', ..]));
    let takes = |sign: u8| matches!(sign, b'x' | b':' | b'-');
    // "e4", "e2e4", "e2-e4"
    if is_square(0) {
        let sign = usize::from(takes(third));
        return Some(if is_square(2 + sign) { 4 + sign } else { 2 });
    }
    // "hxg", "exd"
    if !piece
        && second == b'x'
        && matches!((first, third), (b'a'..=b'h', b'a'..=b'h'))
        && first.abs_diff(third) == 1
        && !fourth.is_ascii_alphanumeric()
    {
        return Some(3);
    }
    // "xe4"
    if (first == b'x' || piece && first == b':') && is_square(1) {
        return Some(3);
    }
    // "exd5", "ed5", and behind a piece "bd7", "1e2"
    let origin = matches!(first, b'a'..=b'h') || piece && matches!(first, b'1'..=b'8');
    let sign = usize::from(takes(second));
    (origin && is_square(1 + sign)).then_some(3 + sign)
}

/// The length of a promotion behind a move.
fn promotion_length(bytes: &[u8], letters: Language) -> usize {
    let is_piece = |byte: &u8| {
        byte.is_ascii_uppercase()
            && letters
                .role(char::from(*byte))
                .is_some_and(|role| !matches!(role, Role::Pawn | Role::King))
    };
    if letters.is_cyrillic() {
        let sign = usize::from(matches!(bytes.first(), Some(b'=' | b'/')));
        let piece = letters.piece(bytes.get(sign..).unwrap_or_default());
        let piece = piece.filter(|(role, _)| !matches!(role, Role::Pawn | Role::King));
        return piece.map_or(0, |(_, length)| sign + length);
    }
    match bytes {
        [b'=' | b'/', piece, ..] if is_piece(piece) => 2,
        [b'(', piece, b')', ..] if is_piece(piece) => 3,
        [piece, next, ..] if is_piece(piece) && !next.is_ascii_alphanumeric() => 1,
        [piece] if is_piece(piece) => 1,
        _ => 0,
    }
}

/// Whether a move is written with a piece letter, a capture sign or castling, so that
/// it cannot be the name of a square.
pub(crate) fn is_plain_move(written: &WrittenMove) -> bool {
    !matches!(
        written.shape,
        WrittenShape::To {
            role: Role::Pawn,
            file: None,
            capture: false,
            promotion: None,
            ..
        }
    )
}
