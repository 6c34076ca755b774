//! What the claims of a text came to, to be remembered from one run to the next.

use std::fmt::Debug;

use serde::{Deserialize, Serialize};

use crate::{Finding, Settings, SettledClaim, claims::Settled};

/// What the claims of one game, or of one line of EPD, came to. Offsets are relative to
/// the section it stands in, and it is game 1 of it.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Settlement {
    /// The claims with their verdicts, in the order of the text.
    pub claims: Vec<SettledClaim>,
    /// The findings that settling gave, but for what the author allows.
    pub findings: Vec<Finding>,
}

impl FromIterator<Settled> for Settlement {
    fn from_iter<I: IntoIterator<Item = Settled>>(all: I) -> Self {
        let mut settlement = Self::default();
        for settled in all {
            settlement.claims.push(settled.claim);
            settlement.findings.extend(settled.findings);
        }
        settlement
    }
}

/// Remembers settlements. What it gives back must be what it was given for the same key,
/// or nothing; it may forget at any time.
///
/// The key tells the text and the settings. Whoever remembers must add what else verdicts
/// depend on: the program, and the tables that were named to it.
pub trait Memory: Debug + Send + Sync {
    /// What is remembered for a key.
    fn recall(&self, key: &Key) -> Option<Settlement>;

    /// Remembers a settlement.
    fn keep(&self, key: &Key, settlement: &Settlement);
}

/// What the verdicts of a game depend on, as a fingerprint: its section of the text, its
/// place in it, the other games that it points at, and the settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Key([u8; 32]);

impl Key {
    /// The key of game `number` of a section. `depends` holds the section and what else the
    /// verdicts depend on, `kind` tells apart what is read in another
    /// way, and `tables` whether endings are known exactly.
    pub(crate) fn of(
        kind: &str,
        depends: &[&[u8]],
        number: u32,
        settings: &Settings,
        tables: bool,
    ) -> Self {
        let head = format!("{kind} {number} {tables} {settings:?}");
        let mut hasher = blake3::Hasher::new();
        hasher.update(&(head.len() as u64).to_le_bytes());
        hasher.update(head.as_bytes());
        for text in depends {
            hasher.update(&(text.len() as u64).to_le_bytes());
            hasher.update(text);
        }
        Self(hasher.finalize().into())
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
    use crate::{Book, Format, Judge, Report, Solver, Verdict, check_piece, pieces};

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
        fn recall(&self, key: &Key) -> Option<Settlement> {
            let mut notes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let found = serde_json::from_str(notes.0.get(key.bytes())?).ok()?;
            notes.1 += 1;
            Some(found)
        }

        fn keep(&self, key: &Key, settlement: &Settlement) {
            let text = serde_json::to_string(settlement).expect("it can be written");
            let mut notes = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            notes.0.insert(*key.bytes(), text);
        }
    }

    fn check(text: &str, format: Format, settings: &Settings, solver: &mut Solver) -> Report {
        let mut report = Report::default();
        for piece in pieces(text.as_bytes(), format, 1 << 14) {
            let part = check_piece(
                &text.as_bytes()[piece.range.clone()],
                piece.kind,
                settings,
                solver,
            );
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
        for (text, format, kept) in [
            (BOOK, Format::Pgn, 4),
            (
                "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2; am Qh5;\n\n\
                 6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n8/8/8/8/8/8/8/8 w - - dm 1;\n",
                Format::Epd,
                2,
            ),
        ] {
            let plain = check(text, format, &settings, &mut Solver::new(1 << 20));
            assert!(plain.claims.len() >= kept && !plain.findings.is_empty());
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
    fn a_change_settles_one_game_again() {
        let notes = Arc::new(Notes::default());
        let settings = Settings::default();
        check(BOOK, Format::Pgn, &settings, &mut solver(&notes));
        let changed = BOOK.replace("Black mates in two", "Black mates in one");
        let again = check(&changed, Format::Pgn, &settings, &mut solver(&notes));
        assert_eq!((notes.kept(), notes.recalled()), (5, 3));
        let plain = check(&changed, Format::Pgn, &settings, &mut Solver::new(1 << 20));
        assert_eq!(format!("{plain:?}"), format!("{again:?}"));
        // Another budget, and another rule, are other questions.
        let budget = Settings {
            nodes: settings.nodes - 1,
            ..Settings::default()
        };
        check(BOOK, Format::Pgn, &budget, &mut solver(&notes));
        let rule = Settings {
            only: vec!["false-mate".to_owned()],
            ..Settings::default()
        };
        check(BOOK, Format::Pgn, &rule, &mut solver(&notes));
        assert_eq!((notes.kept(), notes.recalled()), (13, 3));
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
            let whole = Book::of(text.as_bytes(), Format::Pgn);
            let mut report = Report::default();
            for piece in pieces(text.as_bytes(), Format::Pgn, 1) {
                let part = piece.check(text.as_bytes(), &whole, &settings, &mut solver);
                report.append(part, piece.range.start);
            }
            let told = report.claims.iter().find(|claim| claim.kind == "outcome");
            (told.map(|claim| claim.verdict), notes.recalled())
        };
        assert_eq!(run(book), (Some(Verdict::Holds), 0));
        assert_eq!(run(book), (Some(Verdict::Holds), 2));
        // The words of its comments do not matter, its result does.
        assert_eq!(
            run(&book.replace("A word", "Some words")),
            (Some(Verdict::Holds), 4)
        );
        let other = book.replace("e5 2. g4 {A word.} Qh4# 0-1", "e5 1-0");
        assert_eq!(run(&other), (Some(Verdict::Fails), 5));
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
            ) -> Option<Vec<gainsay_proof::search::Line>> {
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
