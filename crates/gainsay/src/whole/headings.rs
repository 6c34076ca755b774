//! Headings against the games below them.

use std::ops::Range;

use gainsay_commentary::Names;
use gainsay_notation::{GameResult, SectionKind};
use shakmaty::Color;

use super::{
    remark::{Against, Remark, What},
    text::Whole,
};
use crate::{game_facts::Ending, pieces::Piece, prose::parts};

/// What stands between the names of two players in a heading.
const BETWEEN: [&str; 10] = [
    " \u{2013} ",
    " \u{2014} ",
    " - ",
    " -- ",
    "\u{2013}",
    " vs. ",
    " vs ",
    " v. ",
    " v ",
    " against ",
];

/// How results are written.
const RESULTS: [(&str, GameResult); 8] = [
    ("1-0", GameResult::Win(Color::White)),
    ("1\u{2013}0", GameResult::Win(Color::White)),
    ("0-1", GameResult::Win(Color::Black)),
    ("0\u{2013}1", GameResult::Win(Color::Black)),
    ("1/2-1/2", GameResult::Draw),
    ("1/2\u{2013}1/2", GameResult::Draw),
    ("\u{bd}-\u{bd}", GameResult::Draw),
    ("\u{bd}\u{2013}\u{bd}", GameResult::Draw),
];

/// Headings that say something else than the first game below them.
pub(super) fn remarks(whole: &Whole<'_>) -> Vec<Remark> {
    let mut found = Vec::new();
    for pair in whole.pieces.windows(2) {
        let [prose, games] = pair else { continue };
        if prose.kind == SectionKind::Prose && games.kind == SectionKind::Games {
            found.extend(compared(whole, prose, games));
        }
    }
    found
}

fn compared(whole: &Whole<'_>, prose: &Piece, games: &Piece) -> Vec<Remark> {
    let of = |piece: &Piece| whole.view.get(piece.range.clone()).unwrap_or_default();
    let parts = parts(of(prose), true);
    let Some(heading) = parts.headings.last() else {
        return Vec::new();
    };
    let Ok(words) = std::str::from_utf8(heading.words) else {
        return Vec::new();
    };
    let (result, year) = (result(words), year(words));
    if result.is_none() && year.is_none() {
        return Vec::new();
    }
    let base = prose.range.start + heading.start;
    let remark = |span: Range<usize>, against: Against| Remark {
        span: base + span.start..base + span.end,
        what: What::OtherHeading(against),
    };
    let ending = games.games.ending(of(games));
    let same = names_players(words, ending);
    let mut found = Vec::new();
    if let Some((span, told)) = result {
        match (ending.mated, ending.result) {
            (Some(loser), _) if told != GameResult::Win(!loser) => {
                // The result as it is tagged may be wrong too, which is told there.
                found.push(remark(span, Against::Mate { winner: !loser }));
            }
            (None, Some(result)) if same && told != result => {
                found.push(remark(span, Against::Result(result)));
            }
            _ => {}
        }
    }
    if let Some((span, told)) = year
        && same
        && !ending.years.is_empty()
        && !ending.years.contains(&told)
        && let Some(&known) = ending.years.first()
    {
        found.push(remark(span, Against::Year(known)));
    }
    found
}

/// Whether a heading names the players of a game as its tags do, White first.
fn names_players(words: &str, ending: &Ending) -> bool {
    let [white, black] = &ending.players;
    if white.is_empty() || black.is_empty() {
        return false;
    }
    let names = Names::new(white, black);
    let sides = BETWEEN.iter().find_map(|sign| words.split_once(sign));
    let Some((left, right)) = sides else {
        return false;
    };
    let side = |words: &str| {
        let mut called = words.split(|letter: char| !letter.is_alphanumeric());
        called.find_map(|word| names.calls(word.as_bytes()))
    };
    side(left) == Some(Color::White) && side(right) == Some(Color::Black)
}

/// The one result in a heading.
fn result(words: &str) -> Option<(Range<usize>, GameResult)> {
    let mut found = RESULTS.iter().flat_map(|&(written, result)| {
        let places = words.match_indices(written);
        places.filter_map(move |(at, _)| {
            let span = at..at + written.len();
            stands_alone(words, &span).then_some((span, result))
        })
    });
    let first = found.next()?;
    found.next().is_none().then_some(first)
}

/// The one year in a heading.
fn year(words: &str) -> Option<(Range<usize>, u32)> {
    let bytes = words.as_bytes();
    let mut found = (0..bytes.len().saturating_sub(3)).filter_map(|at| {
        let span = at..at + 4;
        let digits = words.get(span.clone())?;
        let number: u32 = digits.parse().ok()?;
        let right = (1450..2100).contains(&number) && stands_alone(words, &span);
        right.then_some((span, number))
    });
    let first = found.next()?;
    found.next().is_none().then_some(first)
}

/// Whether what stands here is no part of something longer.
fn stands_alone(words: &str, span: &Range<usize>) -> bool {
    let joins = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '/' | '\u{2013}');
    let before = words
        .get(..span.start)
        .and_then(|words| words.chars().next_back());
    let behind = words.get(span.end..).and_then(|words| words.chars().next());
    !before.is_some_and(joins) && !behind.is_some_and(joins)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_have_one_result_and_one_year() {
        let read = |words: &str| {
            (
                result(words).map(|(_, result)| result),
                year(words).map(|(_, year)| year),
            )
        };
        let white = Some(GameResult::Win(Color::White));
        assert_eq!(
            read("Lind \u{2013} Haas, Harwich 1911, 1-0"),
            (white, Some(1911))
        );
        assert_eq!(read("(1\u{2013}0)"), (white, None));
        assert_eq!(read("1911-12, 11-0, 1-0-2"), (None, None));
        assert_eq!(read("1911 and 1912; 1-0 and 0-1"), (None, None));
    }
}
