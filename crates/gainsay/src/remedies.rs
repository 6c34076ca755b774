//! Taking all safe remedies of a text at once.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::{Edit, Finding};

/// The edits of the first safe remedy of every finding, in the order of the text and
/// without overlap: a remedy that touches an earlier one is left for another time.
#[must_use]
pub fn safe_edits<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> Vec<Edit> {
    // By where they begin and end. Since they do not overlap, an edit can touch only
    // its neighbours.
    let mut taken: BTreeMap<(usize, usize), &str> = BTreeMap::new();
    for finding in findings {
        let Some(remedy) = finding.remedies.iter().find(|remedy| remedy.safe) else {
            continue;
        };
        let key = |edit: &Edit| (edit.span.start, edit.span.end);
        let free = remedy.edits.iter().all(|edit| {
            let key = key(edit);
            let before = taken.range(..=key).next_back();
            let behind = taken.range(key..).next();
            let touches = |(&(start, end), _): (&_, _)| touch(&edit.span, &(start..end));
            !before.is_some_and(touches) && !behind.is_some_and(touches)
        });
        if free {
            let edits = remedy.edits.iter();
            taken.extend(edits.map(|edit| (key(edit), edit.text.as_str())));
        }
    }
    taken
        .into_iter()
        .map(|((start, end), text)| Edit {
            span: start..end,
            text: text.to_owned(),
        })
        .collect()
}

/// Whether two edits share bytes, or one inserts where the other begins or ends.
fn touch(one: &Range<usize>, other: &Range<usize>) -> bool {
    let adjacent = one.end == other.start || other.end == one.start;
    let empty = one.is_empty() || other.is_empty();
    (one.start < other.end && other.start < one.end) || (adjacent && empty)
}

/// `text` with `edits` made, which are in its order and do not overlap. What lies
/// outside of `text` is passed over.
#[must_use]
pub fn apply(text: &[u8], edits: &[Edit]) -> Vec<u8> {
    let mut mended = Vec::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        if let Some(kept) = text.get(at..edit.span.start) {
            mended.extend_from_slice(kept);
            mended.extend_from_slice(edit.text.as_bytes());
            at = edit.span.end;
        }
    }
    mended.extend_from_slice(text.get(at..).unwrap_or_default());
    mended
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, check};

    /// The text after its safe remedies, and after those of what came out.
    fn mended(text: &str) -> [String; 2] {
        let once = |text: &str| {
            let edits = safe_edits(&check(text.as_bytes(), &Settings::default()).findings);
            String::from_utf8(apply(text.as_bytes(), &edits)).expect("UTF-8")
        };
        let first = once(text);
        let second = once(&first);
        [first, second]
    }

    #[test]
    fn signs_numbers_and_spellings_are_mended_at_once() {
        let text = "1. e4 e5 2. Qh5 Ke7 4. Qe5 *\n";
        let [first, second] = mended(text);
        assert_eq!(second, "1. e4 e5 2. Qh5 Ke7 3. Qxe5# 1-0\n");
        // The missing capture sign and mate sign touch each other, so one waits.
        assert_ne!(first, text);
    }

    #[test]
    fn a_sound_text_stays_as_it_is() {
        let text = "1. e4 e5 2. Nf3 Nc6 *\n";
        assert_eq!(mended(text), [text, text]);
    }

    #[test]
    fn edits_touch_where_they_share_bytes_or_an_insertion_has_no_clear_place() {
        assert!(touch(&(3..5), &(4..6)));
        assert!(touch(&(3..5), &(5..5)));
        assert!(touch(&(4..4), &(4..4)));
        assert!(!touch(&(3..5), &(5..6)));
        assert!(!touch(&(3..4), &(5..6)));
    }

    #[test]
    fn edits_beyond_the_text_are_passed_over() {
        let edit = |start, end| Edit {
            span: start..end,
            text: "x".to_owned(),
        };
        assert_eq!(apply(b"abc", &[edit(1, 2), edit(7, 9)]), b"axc");
    }
}
