//! What questions came to, to be remembered from one time to the next.

use std::{fmt, fmt::Debug};

use crate::outcome::Judged;

/// Remembers outcomes. What it gives back must be what it was given for the same digest, or
/// nothing; it may forget at any time.
///
/// Whoever remembers must add what else verdicts depend on: the program, and the tables or
/// engines that were named to it.
///
/// ```
/// use std::{collections::HashMap, sync::{Arc, Mutex}};
/// use gainsay::{Digest, Document, Format, Memory, Settings, Solver, outcome::Judged};
///
/// #[derive(Debug, Default)]
/// struct Notes(Mutex<HashMap<Digest, Judged>>);
/// impl Memory for Notes {
///     fn recall(&self, questions: &[Digest]) -> Vec<Option<Judged>> {
///         let notes = self.0.lock().unwrap();
///         questions.iter().map(|question| notes.get(question).cloned()).collect()
///     }
///     fn keep(&self, questions: &[Digest], judged: &[Judged]) {
///         self.0.lock().unwrap().extend(questions.iter().copied().zip(judged.iter().cloned()));
///     }
/// }
/// let notes = Arc::new(Notes::default());
/// let text = Document::open(b"1. e4 e5 2. Ke2 {White mates in one.} *\n", Format::Pgn);
/// let mut solver = Solver::new(1 << 20).with_memory(notes.clone());
/// let report = text.check(0, &Settings::default(), &mut solver);
/// let judged = notes.0.lock().unwrap().values().next().cloned().unwrap();
/// assert_eq!(judged.outcome, report.claims[0].outcome);
/// ```
pub trait Memory: Debug + Send + Sync {
    /// What is remembered of the questions of one game, or of one passage, in their order.
    fn recall(&self, questions: &[Digest]) -> Vec<Option<Judged>>;

    /// Remembers what they came to.
    fn keep(&self, questions: &[Digest], judged: &[Judged]);

    /// Whether it may hold what a [`Judge`](crate::Judge) had a part in: nobody knows whether
    /// that one still judges alike another time.
    fn holds_judgements(&self) -> bool {
        false
    }
}

/// What the verdict on a question depends on, as a fingerprint: the claim with its comment, the
/// positions it can speak of, and the budget; nothing of how the verdict is shown.
///
/// ```
/// use gainsay::Digest;
/// let none = Digest::of_all(&[]);
/// assert_eq!(Digest::of_all(&[]).bytes(), none.bytes());
/// assert_ne!(Digest::of_all(&[none]), none);
/// ```
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(blake3::Hash::from_bytes(self.0).to_hex().as_str())
    }
}

impl Digest {
    /// The digest of some parts, each with its length, so that no two lists are the same text.
    pub(crate) fn of(parts: &[&[u8]]) -> Self {
        let mut hasher = blake3::Hasher::new();
        for part in parts {
            hasher.update(&(part.len() as u64).to_le_bytes());
            hasher.update(part);
        }
        Self(hasher.finalize().into())
    }

    /// The digest of several questions.
    #[must_use]
    pub fn of_all(questions: &[Self]) -> Self {
        let parts: Vec<&[u8]> = (questions.iter())
            .map(|digest| digest.0.as_slice())
            .collect();
        Self::of(&parts)
    }

    /// The fingerprint.
    #[must_use]
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use std::{
        collections::HashMap,
        sync::{Arc, Mutex, PoisonError},
    };

    use super::*;
    use crate::{Document, Format, Judge, Level, Report, Settings, Solver, Verdict};

    /// Remembers everything, and counts.
    #[derive(Debug, Default)]
    struct Notes(Mutex<(HashMap<[u8; 32], String>, u32)>);

    impl Notes {
        fn kept(&self) -> usize {
            let notes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            notes.0.len()
        }

        fn recalled(&self) -> u32 {
            self.0.lock().unwrap_or_else(PoisonError::into_inner).1
        }
    }

    impl Memory for Notes {
        fn recall(&self, questions: &[Digest]) -> Vec<Option<Judged>> {
            let mut notes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let known: Vec<Option<Judged>> = (questions.iter())
                .map(|digest| serde_json::from_str(notes.0.get(digest.bytes())?).ok())
                .collect();
            notes.1 += known.iter().flatten().count() as u32;
            known
        }

        fn keep(&self, questions: &[Digest], judged: &[Judged]) {
            let mut notes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            for (digest, judged) in questions.iter().zip(judged) {
                let text = serde_json::to_string(judged).expect("it can be written");
                notes.0.insert(*digest.bytes(), text);
            }
        }
    }

    fn check(text: &str, format: Format, settings: &Settings, solver: &mut Solver) -> Report {
        let mut report = Report::default();
        let document = Document::in_pieces(text.as_bytes(), format, 1 << 14);
        for (at, piece) in document.pieces().iter().enumerate() {
            let part = document.check(at, settings, solver);
            report.append(part, piece.range.start);
        }
        report
    }

    fn solver(notes: &Arc<Notes>) -> Solver {
        Solver::new(1 << 20).with_memory(Arc::<Notes>::clone(notes))
    }

    const BOOK: &str = "[Event \"A\"]\n\n1. f3 e5 2. g4 {Black mates in two.} Qh4# 0-1\n\n\
        [Event \"B\"]\n\n1. e4 e5 2. Ke3 {White mates in one.} *\n\n\
        [Event \"C\"]\n\n1. e4 {[%allow false-mate so it was printed] White mates in one.} *\n\n\
        [Event \"D\"]\n\n1. e4 {A good move.} e5 *\n\n1. e4 {White has mated.} *\n";

    #[test]
    fn what_is_recalled_is_what_was_settled() {
        let settings = Settings::default();
        for (text, format) in [
            (BOOK, Format::Pgn),
            (
                "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2; am Qh5;\n\n\
                 6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n8/8/8/8/8/8/8/8 w - - dm 1;\n",
                Format::Epd,
            ),
            (
                "# A chapter\n\n```epd\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n\
                 White mates in one by 1.Ra8#, not in two. 1.Rh9 is nothing.\n",
                Format::Markdown,
            ),
        ] {
            let plain = check(text, format, &settings, &mut Solver::new(1 << 20));
            let kept = plain.claims.len();
            assert!(kept >= 2);
            let notes = Arc::new(Notes::default());
            let first = check(text, format, &settings, &mut solver(&notes));
            assert_eq!((notes.kept(), notes.recalled()), (kept, 0));
            let second = check(text, format, &settings, &mut solver(&notes));
            assert_eq!((notes.kept(), notes.recalled()), (kept, kept as u32));
            assert_eq!(format!("{plain:?}"), format!("{first:?}"));
            assert_eq!(format!("{plain:?}"), format!("{second:?}"));
        }
    }

    #[test]
    fn a_change_settles_its_claims_again() {
        let notes = Arc::new(Notes::default());
        let settings = Settings::default();
        let claims = check(BOOK, Format::Pgn, &settings, &mut solver(&notes)).claims;
        let all = claims.len();
        let changed = BOOK.replace("Black mates in two", "Black mates in one");
        let again = check(&changed, Format::Pgn, &settings, &mut solver(&notes));
        assert_eq!((notes.kept(), notes.recalled()), (all + 1, all as u32 - 1));
        let plain = check(&changed, Format::Pgn, &settings, &mut Solver::new(1 << 20));
        assert_eq!(format!("{plain:?}"), format!("{again:?}"));
        // Another budget is another question.
        let budget = Settings {
            nodes: settings.nodes - 1,
            ..Settings::default()
        };
        check(BOOK, Format::Pgn, &budget, &mut solver(&notes));
        assert_eq!(notes.recalled(), all as u32 - 1);
    }

    /// Which findings are wanted, and how grave they are, is no part of any verdict.
    #[test]
    fn what_is_shown_changes_no_question() {
        let notes = Arc::new(Notes::default());
        let settings = Settings::default();
        let whole = check(BOOK, Format::Pgn, &settings, &mut solver(&notes));
        let all = whole.claims.len();
        let mut shown = 0;
        for (only, level) in [("false-mate", Level::Error), ("false-draw", Level::Hint)] {
            let settings = Settings {
                only: vec![only.to_owned()],
                levels: [("false-mate".to_owned(), level)].into(),
                most_findings: 1,
                ..Settings::default()
            };
            let report = check(BOOK, Format::Pgn, &settings, &mut solver(&notes));
            shown += 1;
            assert_eq!(notes.recalled(), all as u32 * shown);
            assert!(report.findings.len() < whole.findings.len());
        }
        assert_eq!(notes.kept(), all);
    }

    #[test]
    fn a_change_in_a_game_that_is_pointed_at_settles_the_claim_again() {
        let book = "[Event \"Game 1\"]\n\n1. f3 e5 2. g4 {A word.} Qh4# 0-1\n\n\
            [Event \"Game 2\"]\n\n1. e4 {Game 1 was won by Black.} e5 *\n\n\
            [Event \"Game 3\"]\n\n1. e4 {A good move.} e5 *\n";
        let notes = Arc::new(Notes::default());
        let settings = Settings::default();
        let run = |text: &str| {
            let mut solver = solver(&notes);
            let document = Document::open(text.as_bytes(), Format::Pgn);
            let mut report = Report::default();
            for (at, piece) in document.pieces().iter().enumerate() {
                let part = document.check(at, &settings, &mut solver);
                report.append(part, piece.range.start);
            }
            let told = report.claims.iter().find(|claim| claim.kind == "outcome");
            (told.map(|claim| claim.verdict), notes.recalled())
        };
        assert_eq!(run(book), (Some(Verdict::Holds), 0));
        // The pointer, what is told of that game, and the praise in game 3.
        assert_eq!(run(book), (Some(Verdict::Holds), 3));
        // The words of its comments do not matter, its result does.
        assert_eq!(
            run(&book.replace("A word", "Some words")),
            (Some(Verdict::Holds), 6)
        );
        let other = book.replace("e5 2. g4 {A word.} Qh4# 0-1", "e5 1-0");
        assert_eq!(run(&other), (Some(Verdict::Fails), 7));
    }

    #[test]
    fn what_was_stopped_or_judged_by_others_is_not_remembered() {
        #[derive(Debug)]
        struct Nobody;
        impl Judge for Nobody {
            fn name(&self) -> &str {
                "nobody"
            }
            fn best(
                &mut self,
                _: &shakmaty::Chess,
                _: usize,
                _: u64,
                _: &std::sync::atomic::AtomicBool,
            ) -> Option<Vec<gainsay_proof::search::Variation>> {
                None
            }
        }
        let notes = Arc::new(Notes::default());
        let settings = Settings::default();
        let mut stopped = solver(&notes);
        stopped
            .stop_flag()
            .store(true, std::sync::atomic::Ordering::Relaxed);
        check(BOOK, Format::Pgn, &settings, &mut stopped);
        let mut judged = solver(&notes).with_judge(Box::new(Nobody));
        check(BOOK, Format::Pgn, &settings, &mut judged);
        assert_eq!((notes.kept(), notes.recalled()), (0, 0));
        // Nor is anything recalled for a judge.
        check(BOOK, Format::Pgn, &settings, &mut solver(&notes));
        check(BOOK, Format::Pgn, &settings, &mut judged);
        assert_eq!(notes.recalled(), 0);
    }
}
