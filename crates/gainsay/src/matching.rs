//! Which solution belongs to which exercise, by their numbers.

use std::{collections::BTreeMap, ops::Range};

/// A number with what stands before it, and the place of the piece where it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Key {
    pub(crate) series: u16,
    pub(crate) number: u32,
    pub(crate) piece: usize,
}

/// For each solution the exercise that it plainly belongs to, as an index. Where chapters number
/// anew, solutions that do so as often belong to chapters in their order, and others to the chapter
/// that they follow.
pub(crate) fn matched(exercises: &[Key], solutions: &[Key]) -> Vec<Option<usize>> {
    let mut found = vec![None; solutions.len()];
    let all = 0..exercises.len();
    let (chapters, pages) = (runs(exercises), runs(solutions));
    let mut within = |chapter: &Range<usize>, page: &Range<usize>, whole: bool| {
        let numbers = names(exercises, chapter);
        let own = names(solutions, page);
        if !whole && own.keys().any(|key| !numbers.contains_key(key)) {
            return;
        }
        for (key, solution) in own {
            if let (Some(solution), Some(&exercise)) = (solution, numbers.get(&key))
                && let Some(slot) = found.get_mut(solution)
            {
                *slot = exercise;
            }
        }
    };
    let distinct = names(exercises, &all).len() == names_in_runs(exercises, &chapters);
    if chapters.len() < 2 || distinct {
        within(&all, &(0..solutions.len()), true);
    } else if chapters.len() == pages.len() {
        for (chapter, page) in chapters.iter().zip(&pages) {
            within(chapter, page, false);
        }
    } else {
        for page in &pages {
            let piece = |keys: &[Key], at: usize| keys.get(at).map(|key| key.piece);
            let (first, last) = (piece(solutions, page.start), piece(solutions, page.end - 1));
            let mut before = chapters
                .iter()
                .filter(|chapter| piece(exercises, chapter.end - 1) <= first);
            let own = before.next_back().filter(|chapter| {
                let next = piece(exercises, chapter.end);
                next.is_none() || next >= last
            });
            if let Some(chapter) = own {
                within(chapter, page, false);
            }
        }
    }
    found
}

/// Where numbers begin anew.
fn runs(keys: &[Key]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (at, key) in keys.iter().enumerate() {
        match runs.last_mut() {
            Some(run)
                if keys
                    .get(run.start)
                    .is_some_and(|first| goes_on(first, key, run.len())) =>
            {
                run.end = at + 1;
            }
            _ => runs.push(at..at + 1),
        }
    }
    runs
}

fn goes_on(first: &Key, key: &Key, length: usize) -> bool {
    first.series == key.series
        && (key.number > first.number || key.number == first.number && length < 2)
}

/// Where each number stands; `None` for one that stands twice.
fn names(keys: &[Key], range: &Range<usize>) -> BTreeMap<(u16, u32), Option<usize>> {
    let mut names = BTreeMap::new();
    let own = keys.get(range.clone()).unwrap_or_default();
    for (at, key) in (range.start..).zip(own) {
        let entry = names.entry((key.series, key.number));
        entry.and_modify(|known| *known = None).or_insert(Some(at));
    }
    names
}

fn names_in_runs(keys: &[Key], runs: &[Range<usize>]) -> usize {
    runs.iter().map(|run| names(keys, run).len()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(numbers: &[u32], piece: usize) -> Vec<Key> {
        let key = |(at, &number): (usize, &u32)| Key {
            series: 0,
            number,
            piece: piece + at,
        };
        numbers.iter().enumerate().map(key).collect()
    }

    #[test]
    fn solutions_belong_to_exercises_by_number() {
        let of = |exercises: &[u32], solutions: &[u32]| {
            matched(&keys(exercises, 0), &keys(solutions, 100))
        };
        assert_eq!(of(&[7, 8], &[8, 7, 9]), [Some(1), Some(0), None]);
        // Who knows which of them is meant?
        assert_eq!(of(&[7, 8, 8], &[7, 8]), [Some(0), None]);
        assert_eq!(of(&[7, 8], &[7, 7, 8]), [None, None, Some(1)]);
        // Chapters with numbers of their own, and their solutions in the same order.
        assert_eq!(
            of(&[1, 2, 1, 2, 3], &[1, 2, 1, 3]),
            [Some(0), Some(1), Some(2), Some(4)]
        );
        // Only one list: the last chapter is the one that it follows.
        assert_eq!(
            of(&[1, 2, 1, 2, 3], &[1, 2, 3]),
            [Some(2), Some(3), Some(4)]
        );
        assert_eq!(of(&[1, 2, 1, 2], &[1, 2, 3]), [None, None, None]);
    }

    #[test]
    fn solutions_behind_each_chapter_are_its_own() {
        let mut exercises = keys(&[1, 2], 0);
        exercises.extend(keys(&[1, 2], 20));
        exercises.extend(keys(&[1, 2], 40));
        let mut solutions = keys(&[1, 2], 10);
        solutions.extend(keys(&[1, 2], 50));
        assert_eq!(
            matched(&exercises, &solutions),
            [Some(0), Some(1), Some(4), Some(5)]
        );
    }

    #[test]
    fn letters_part_numbers() {
        let key = |series, number, piece| Key {
            series,
            number,
            piece,
        };
        let exercises = [key(65, 1, 0), key(65, 2, 1), key(66, 1, 2)];
        let solutions = [key(66, 1, 9), key(65, 2, 9)];
        assert_eq!(matched(&exercises, &solutions), [Some(2), Some(1)]);
    }
}
