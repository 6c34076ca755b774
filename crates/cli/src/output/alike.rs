//! Findings that are alike: of those that one habit makes, the first of a run are shown, and the
//! rest are told together with their places.

use gainsay::{Finding, Severity};

use super::form::Place;

/// The findings that are not shown one by one.
#[derive(Debug, Default)]
pub(crate) struct Alike {
    groups: Vec<Rest>,
}

/// Findings of one rule that say the same, numbers and moves apart.
#[derive(Debug)]
pub(crate) struct Rest {
    pub(crate) rule: &'static str,
    pub(crate) severity: Severity,
    said: String,
    shown: usize,
    /// How many are not shown.
    pub(crate) more: u64,
    /// Where the first of these are, by file.
    pub(crate) places: Vec<(String, Vec<Place>)>,
}

impl Rest {
    /// How many places are named.
    pub(crate) fn named(&self) -> usize {
        self.places.iter().map(|(_, places)| places.len()).sum()
    }
}

/// So many places are named.
const MOST_PLACES: usize = 12;

/// More kinds no habit makes, and looking through them takes time.
const MOST_KINDS: usize = 200;

/// How many that are alike are shown. What is proved wrong is always shown.
const fn shown(severity: Severity) -> usize {
    match severity {
        Severity::Error => usize::MAX,
        Severity::Warning => 3,
        Severity::Information | Severity::Hint => 1,
    }
}

impl Alike {
    /// Whether a finding is like enough others that were shown; then it is kept here.
    pub(crate) fn take(&mut self, finding: &Finding, file: &str, place: Place) -> bool {
        let most = shown(finding.severity);
        // Every claim is a sentence of its own.
        if most == usize::MAX || gainsay::claim_rules().any(|rule| rule == finding.rule) {
            return false;
        }
        let said = bare(&finding.message);
        let (rule, severity) = (finding.rule.name, finding.severity);
        let mut groups = self.groups.iter_mut();
        let known = groups
            .find(|group| group.rule == rule && group.severity == severity && group.said == said);
        let Some(group) = known else {
            if self.groups.len() >= MOST_KINDS {
                return false;
            }
            self.groups.push(Rest {
                rule,
                severity,
                said,
                shown: 1,
                more: 0,
                places: Vec::new(),
            });
            return false;
        };
        if group.shown < most {
            group.shown += 1;
            return false;
        }
        group.more += 1;
        if group.named() < MOST_PLACES {
            match group.places.last_mut().filter(|(known, _)| known == file) {
                Some((_, places)) => places.push(place),
                None => group.places.push((file.to_owned(), vec![place])),
            }
        }
        true
    }

    /// What was kept, in the order of the text, and forgets it.
    pub(crate) fn drain(&mut self) -> impl Iterator<Item = Rest> {
        let groups = std::mem::take(&mut self.groups);
        groups.into_iter().filter(|group| group.more > 0)
    }
}

/// A message without the words that hold a digit or a sign of moves, which differ from place to
/// place, and without what is quoted.
fn bare(message: &str) -> String {
    let mut bare = String::with_capacity(message.len());
    for (nth, part) in message.split('"').enumerate() {
        if nth % 2 == 1 {
            continue;
        }
        let words = part.split_whitespace();
        for word in words.filter(|word| !word.chars().any(|c| c.is_ascii_digit() || c == '.')) {
            bare.push_str(word);
            bare.push(' ');
        }
        // What stands at the end of a sentence tells apart.
        if let Some(last) = part.trim_end().strip_suffix('.')
            && let Some(word) = last.split_whitespace().next_back()
            && !word.contains(|c: char| c.is_ascii_digit())
        {
            bare.push_str(word);
        }
    }
    bare
}

#[cfg(test)]
mod tests {
    use gainsay::{Settings, check};

    use super::*;

    #[test]
    fn numbers_and_moves_make_no_difference_and_names_do() {
        assert_eq!(
            bare("This is move 2 of White, not move 3."),
            bare("This is move 12 of White, not move 13.")
        );
        assert_ne!(
            bare("The game has no tag Round."),
            bare("The game has no tag White.")
        );
        assert_ne!(
            bare("The game has no tag Round."),
            bare("The game has no tag Round or White.")
        );
        assert_eq!(
            bare("55.Rxb3 is check: write Rxb3+."),
            bare("7.Bb5 is check: write Bb5+.")
        );
    }

    #[test]
    fn errors_are_all_shown_and_hints_once() {
        let place = |column| Place { line: 1, column };
        let game = "[White \"Osk\"]\n\n1. e4 e5 2. Ke3 *\n\n";
        let found = check(game.repeat(4).as_bytes(), &Settings::default()).findings;
        let mut alike = Alike::default();
        let shown = |name: &str, alike: &mut Alike| {
            let of = found.iter().filter(|finding| finding.rule.name == name);
            of.filter(|finding| !alike.take(finding, "a.pgn", place(1)))
                .count()
        };
        assert_eq!(shown("illegal-move", &mut alike), 4);
        assert_eq!(shown("missing-roster-tag", &mut alike), 1);
        let rest: Vec<u64> = alike.drain().map(|group| group.more).collect();
        assert_eq!(rest, [3]);
        assert_eq!(alike.drain().count(), 0);
    }
}
