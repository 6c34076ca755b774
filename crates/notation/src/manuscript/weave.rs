//! Games that prose interrupts.
//!
//! In books the moves of a game stand in lines of their own, and what is said of them stands
//! between. Such a game goes on where lines of moves begin with the number that is due. In the view
//! the prose between is put into braces, for which the blank lines around it give the room, so that
//! it is read as what it is: comments.

use std::collections::BTreeMap;
use std::ops::Range;

use super::printed::Printed;
use crate::braces::braces;
use crate::bytes::{Class, byte, class, is_space, read_tag, rest, skip_space, word_end};
use crate::glyph::Glyph;
use crate::runs::number;
use crate::words::is_movelike;

/// Lines of moves, and which plies they hold, counted from 0 at the start of a game.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Moves {
    pub(super) range: Range<usize>,
    /// Its first ply, and the one that is due behind it.
    pub(super) plies: Range<u32>,
    /// Whether a result stands behind them, so that no game goes on there.
    pub(super) ends: bool,
    /// Full stops between them: `9. Castles Castles.`
    pub(super) stops: Vec<usize>,
}

/// What a stretch of text holds that has moves and nothing else at its surface; `None` where it has
/// more, or no number first.
pub(super) fn measure(
    text: &[u8],
    range: Range<usize>,
    move_end: impl Fn(&[u8], usize) -> Option<usize>,
) -> Option<Moves> {
    let own = text.get(..range.end)?;
    let mut at = range.start;
    let mut first = None;
    let mut next = 0_u32;
    let mut depth = 0_u32;
    let mut ends = false;
    let mut stops = Vec::new();
    // The answer to the move in front of the words above may stand without a number.
    let mut answers = false;
    loop {
        at = skip_space(own, at);
        if at >= own.len() {
            break;
        }
        match class(byte(own, at)) {
            Class::Bracket if first.is_none() && !read_tag(own, at).broken => {
                at = read_tag(own, at).end;
            }
            Class::BraceOpen => at = braces(own, at).end,
            Class::ParenOpen => (at, depth) = (at + 1, depth + 1),
            Class::ParenClose => (at, depth) = (at + 1, depth.checked_sub(1)?),
            Class::Dollar => at = word_end(own, at + 1),
            _ => {
                if let Some((number, dots, end)) = number(own, at) {
                    let ply = number.checked_sub(1)?.checked_mul(2)? + u32::from(dots > 1);
                    if first.is_none() {
                        let start = match answers {
                            true if ply % 2 == 0 => ply.checked_sub(1)?,
                            true => return None,
                            false => ply,
                        };
                        (first, next) = (Some(start), ply);
                    }
                    at = end;
                } else if let Some(end) = move_end(own, at) {
                    if first.is_none() && answers {
                        return None;
                    }
                    answers |= first.is_none();
                    next += u32::from(depth == 0);
                    at = end;
                } else {
                    let end = word_end(own, at).max(at + 1);
                    let word = own.get(at..end).unwrap_or_default();
                    if depth == 0 && first.is_some() && says_the_end(own, at) {
                        return moves(range.start..at, first, next, (true, stops));
                    }
                    let result = matches!(word, b"1-0" | b"0-1" | b"1/2-1/2" | b"*");
                    let dots = word.iter().all(|&sign| sign == b'.');
                    if first.is_some() && !ends && is_slip(word) {
                        next += u32::from(depth == 0);
                        at = end;
                        continue;
                    }
                    if ends || Glyph::of_symbol(word).is_none() && !dots && !result {
                        return None;
                    }
                    if word == b"." {
                        stops.push(at);
                    }
                    ends = result;
                    at = end;
                }
            }
        }
    }
    (depth == 0).then(|| moves(range, first, next, (ends, stops)))?
}

/// What a stretch is that [`measure`] does not understand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// Movetext all the same: its numbers go on, and few of its words are none of moves.
    Movetext,
    /// Moves whose numbers do not go on: columns side by side.
    Columns,
    /// Words that cite moves.
    Words,
}

/// See [`Shape`].
pub(super) fn shape(
    text: &[u8],
    range: Range<usize>,
    move_end: impl Fn(&[u8], usize) -> Option<usize>,
) -> Shape {
    const FEW: usize = 2;
    let own = text.get(..range.end).unwrap_or_default();
    let (mut at, mut last, mut moves, mut words) = (range.start, 0, 0, 0);
    let mut depth = 0_usize;
    let mut in_order = true;
    loop {
        at = skip_space(own, at);
        if at >= own.len() {
            break;
        }
        match class(byte(own, at)) {
            Class::Bracket if !read_tag(own, at).broken => at = read_tag(own, at).end,
            Class::BraceOpen => at = braces(own, at).end,
            Class::Semicolon => at = crate::bytes::line_end(own, at),
            Class::ParenOpen => (at, depth) = (at + 1, depth + 1),
            Class::ParenClose => (at, depth) = (at + 1, depth.saturating_sub(1)),
            _ => {
                if let Some((number, _, end)) = number(own, at) {
                    in_order &= depth > 0 || number + 1 >= last && number <= last + 2;
                    last = if depth == 0 { number } else { last };
                    at = end;
                } else if let Some(end) = move_end(own, at) {
                    (moves, at) = (moves + 1, end);
                } else {
                    let end = word_end(own, at).max(at + 1);
                    let word = own.get(at..end).unwrap_or_default();
                    // "(a)" points at a note.
                    words += usize::from(depth == 0 && word.iter().all(u8::is_ascii_alphabetic));
                    at = end;
                }
            }
        }
    }
    match (words <= FEW.max(moves / 8), in_order) {
        (true, true) => Shape::Movetext,
        (true, false) => Shape::Columns,
        (false, _) => Shape::Words,
    }
}

/// Moves from one ply up to another, if there are any.
fn moves(
    range: Range<usize>,
    first: Option<u32>,
    next: u32,
    (ends, stops): (bool, Vec<usize>),
) -> Option<Moves> {
    let plies = first.filter(|&first| first < next)?..next;
    Some(Moves {
        range,
        plies,
        ends,
        stops,
    })
}

/// Whether a word among moves is one with a slip of the pen: `Kt-P`, `Ng9`.
fn is_slip(word: &[u8]) -> bool {
    let joint = |byte: &u8| matches!(byte, b'-' | b'x' | b'0'..=b'9');
    word.iter().any(joint) && is_movelike(word)
}

/// Whether nothing but a word stands at `at` that says how a game ended: what is said in words is
/// prose.
fn says_the_end(text: &[u8], at: usize) -> bool {
    let words = rest(text, at).trim_ascii_end();
    let words = words.strip_suffix(b".").unwrap_or(words);
    let ends = [
        "resigns",
        "white resigns",
        "black resigns",
        "resigned",
        "mate",
        "drawn",
        "draw",
        "draw agreed",
        "and wins",
        "aufgegeben",
        "gibt auf",
        "remis",
        "matt",
        "abandonne",
        "nulle",
        "abandona",
        "tablas",
    ];
    ends.iter()
        .any(|end| words.eq_ignore_ascii_case(end.as_bytes()))
}

/// Whether a paragraph is the heading of a game: "Game No. 17", or one line in capitals that is no
/// caption.
pub(super) fn is_heading(paragraph: &[u8]) -> bool {
    const LONGEST: usize = 80;
    const GAMES: [&[u8]; 5] = [b"game", b"partie", b"partida", b"partita", b"parti"];
    let line = paragraph.trim_ascii();
    if line.len() > LONGEST || line.contains(&b'\n') {
        return false;
    }
    let words = line.split(|byte| !byte.is_ascii_alphanumeric());
    let mut words = words.filter(|word| !word.is_empty());
    let Some(first) = words.next() else {
        return false;
    };
    let number = |word: &[u8]| word.iter().all(u8::is_ascii_digit);
    let game = GAMES.iter().any(|game| first.eq_ignore_ascii_case(game));
    let mut words = words.skip_while(|word| {
        [&b"no"[..], b"nr"]
            .iter()
            .any(|sign| word.eq_ignore_ascii_case(sign))
    });
    if game && words.next().is_some_and(number) && words.next().is_none() {
        return true;
    }
    let capitals = line.iter().filter(|byte| byte.is_ascii_uppercase()).count();
    let plain = |byte: &u8| !byte.is_ascii_lowercase() && !matches!(byte, b'=' | b'-' | b'{');
    capitals > 3 && line.iter().all(plain) && !first.starts_with(b"DIAG")
}

/// Whether lines hold the same moves twice, side by side: many numbers are those of the ones before.
pub(super) fn is_twofold(text: &[u8], range: Range<usize>) -> bool {
    let own = text.get(..range.end).unwrap_or_default();
    let (mut at, mut last, mut same, mut all) = (range.start, 0, 0, 0);
    while at < own.len() {
        match number(own, at).filter(|_| at == range.start || is_space(byte(own, at - 1))) {
            // "1. ..." goes on with the move of the same number.
            Some((number, dots, end)) if dots < 2 => {
                same += u32::from(number == last);
                (all, last, at) = (all + 1, number, end);
            }
            Some((.., end)) => at = end,
            None => at += 1,
        }
    }
    // "P-Q 4" has a number of its own.
    same > 1 && same * 3 > all
}

/// The lines of moves that make one game: the first of `all`, and those that go on where others end.
/// What else is numbered is a line that the prose tells. A number that is off by one is a slip where the
/// line behind it has the number that is due then.
pub(super) fn chain(all: &[Moves]) -> Vec<usize> {
    /// How a line is reached best: how many plies that makes, and by which line before it.
    type Reached = (u32, Option<usize>);
    let mut reached: Vec<Option<Reached>> = Vec::with_capacity(all.len());
    // By the ply that is due behind it, the line that most plies lead to.
    let mut due: BTreeMap<u32, usize> = BTreeMap::new();
    let count = |reached: &[Option<Reached>], at: usize| {
        let reached = reached.get(at).copied().flatten();
        reached.map_or(0, |(plies, _)| plies)
    };
    for (at, moves) in all.iter().enumerate() {
        let length = moves.plies.end - moves.plies.start;
        let next = all.get(at + 1).map(|next| next.plies.start);
        let slip = |start: Option<u32>| {
            let start = start?;
            let before = due.get(&start).copied()?;
            (next.is_some() && next == start.checked_add(length)).then_some((before, start))
        };
        let Range { start, .. } = moves.plies;
        let exact = due.get(&start).map(|&before| (before, start));
        let slips = [start.checked_add(2), start.checked_sub(2)];
        let before = (slips.into_iter().filter_map(slip))
            .chain(exact)
            .max_by_key(|&(before, start)| (count(&reached, before), start));
        let here = match before {
            _ if at == 0 => Some(((length, None), moves.plies.end)),
            Some((before, start)) => Some((
                (count(&reached, before) + length, Some(before)),
                start + length,
            )),
            None => None,
        };
        reached.push(here.map(|(here, _)| here));
        let Some(((plies, _), end)) = here else {
            continue;
        };
        let known = due.get(&end).map(|&known| count(&reached, known));
        if !moves.ends && known.is_none_or(|known| known <= plies) {
            due.insert(end, at);
        }
    }
    let best = (0..all.len()).max_by_key(|&at| (count(&reached, at), std::cmp::Reverse(at)));
    let mut chain = Vec::new();
    let mut here = best;
    while let Some(at) = here {
        chain.push(at);
        here = reached
            .get(at)
            .copied()
            .flatten()
            .and_then(|(_, before)| before);
    }
    chain.reverse();
    chain
}

/// Puts the prose in a gap between moves into braces. Boards that are drawn there become commands
/// that say what they show.
pub(super) fn enclose(view: &mut [u8], gap: Range<usize>, boards: &[Printed]) {
    let within = |board: &&Printed| gap.start <= board.range.start && board.range.end <= gap.end;
    for board in boards.iter().filter(within) {
        let words = format!("[%printed {}]", board.placement(view));
        write(view, &board.range, words.as_bytes());
    }
    let Some(own) = view.get_mut(gap) else { return };
    for byte in &mut *own {
        *byte = match *byte {
            b'{' => b'(',
            b'}' => b')',
            other => other,
        };
    }
    let first = own.iter().position(|byte| !byte.is_ascii_whitespace());
    let last = own.iter().rposition(|byte| !byte.is_ascii_whitespace());
    let (Some(first), Some(last)) = (first, last) else {
        return;
    };
    let open = first.checked_sub(1).and_then(|at| own.get_mut(at));
    if let Some(open) = open {
        *open = b'{';
        if let Some(close) = own.get_mut(last + 1) {
            *close = b'}';
        }
    }
}

/// Writes `words` at the start of a range and blanks behind them, if they fit.
pub(super) fn write(view: &mut [u8], range: &Range<usize>, words: &[u8]) {
    let Some(own) = view.get_mut(range.clone()) else {
        return;
    };
    own.fill(b' ');
    if let Some(start) = own.get_mut(..words.len()) {
        start.copy_from_slice(words);
    }
    if let Some(end) = own.last_mut() {
        *end = b'\n';
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(plies: &[Range<u32>]) -> Vec<Moves> {
        let line = |plies: &Range<u32>| Moves {
            range: 0..0,
            plies: plies.clone(),
            ends: false,
            stops: Vec::new(),
        };
        plies.iter().map(line).collect()
    }

    #[test]
    fn two_notations_side_by_side_are_no_game() {
        let twofold = |text: &str| is_twofold(text.as_bytes(), 0..text.len());
        assert!(twofold(
            "1. e4 e5   1. P-K4 P-K4\n2. d4 d5   2. P-Q4 P-Q4\n"
        ));
        assert!(!twofold("1. e4 e5 2. d4 d5 3. exd5 Qxd5 4. Nc3"));
        assert!(!twofold("1. e4 1... e5 2. d4 2... d5"));
    }

    #[test]
    fn an_answer_may_have_no_number() {
        let plies = |text: &str| {
            let moves = measure(text.as_bytes(), 0..text.len(), |text, at| {
                crate::movetext::read_move(text, at, crate::Language::English).map(|(_, end)| end)
            });
            moves.map(|moves| moves.plies)
        };
        assert_eq!(plies("   Qg5+\n16. Qe3 Qd5\n"), Some(29..32));
        assert_eq!(plies("16. Qe3 Qd5\nResigns.\n"), Some(30..32));
        assert_eq!(plies("16. Kt-P Qd5\n"), Some(30..32));
        for text in [
            "Qg5+",
            "Qg5+ Qe3 16. Kf1",
            "Qg5+ 16... Kf8",
            "Qg5+ is 16. better",
        ] {
            assert_eq!(plies(text), None, "{text}");
        }
    }

    #[test]
    fn a_game_goes_on_where_the_number_is_due() {
        for (plies, wanted) in [
            (&[0..5, 5..8, 8..10][..], &[0, 1, 2][..]),
            // A line that the prose tells begins where the game goes on too.
            (&[0..5, 5..7, 5..8, 8..20], &[0, 2, 3]),
            (&[0..5, 5..9, 5..6, 9..20], &[0, 1, 3]),
            (&[0..5, 20..22, 5..6], &[0, 2]),
            (&[0..5, 6..9], &[0]),
            // A number that is off by one between numbers that are right.
            (&[0..36, 34..35, 37..40], &[0, 1, 2]),
            (&[0..36, 38..39, 37..40], &[0, 1, 2]),
            (&[0..34, 34..36, 34..35, 37..40], &[0, 1, 2, 3]),
            (&[0..34, 34..36, 34..35, 36..40], &[0, 1, 3]),
        ] {
            assert_eq!(chain(&lines(plies)), wanted, "{plies:?}");
        }
        assert_eq!(chain(&[]), Vec::<usize>::new());
    }
}
