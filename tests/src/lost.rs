//! Where entries of a corpus are lost: the first stage that what they say did not pass.

use std::{collections::BTreeMap, fmt::Write as _};

use gainsay::{
    Report, SettledClaim, Verdict,
    outcome::{Open, Outcome},
};

/// Kinds of claims that are only a noun phrase or a cited move.
const NOUNS: [&str; 3] = ["piece", "line", "move"];

/// Whether a claim says more than that a piece stands somewhere or a move can be played.
#[must_use]
pub fn says_more(claim: &SettledClaim) -> bool {
    !NOUNS.contains(&claim.kind.as_ref())
}

/// The first stage that an entry did not pass, from the words to the proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Nothing was read, and some of its words are not known.
    Words,
    /// Nothing was read, though all words are known: no phrase has them.
    Phrase,
    /// Only a claim of another kind was read.
    Kind,
    /// Words around the claim were not understood.
    Gate,
    /// It is not said to be so.
    Mood,
    /// It is not known of which position or piece it is said, or its sense is too loose.
    Position,
    /// The search did not end.
    Proof,
}

/// All stages, in their order.
const STAGES: [(Stage, &str); 7] = [
    (Stage::Words, "words"),
    (Stage::Phrase, "phrase"),
    (Stage::Kind, "kind"),
    (Stage::Gate, "gate"),
    (Stage::Mood, "mood"),
    (Stage::Position, "position"),
    (Stage::Proof, "proof"),
];

/// The stage that lost an entry of a kind, which no claim settled as it should.
#[must_use]
pub fn stage(report: &Report, kind: &str) -> Stage {
    let said = || {
        let claims = report.claims.iter();
        claims.filter(|claim| claim.kind == kind || says_more(claim))
    };
    if said().next().is_none() {
        return if report
            .unread
            .iter()
            .any(|sentence| !sentence.words.is_empty())
        {
            Stage::Words
        } else {
            Stage::Phrase
        };
    }
    let open = |claim: &SettledClaim| match &claim.outcome {
        Outcome::Unsettled(Open::NotUnderstood { .. }) => Some(Stage::Gate),
        Outcome::Unsettled(Open::NotAsserted) => Some(Stage::Mood),
        Outcome::Unsettled(Open::Spent) => Some(Stage::Proof),
        Outcome::Unsettled(_) => Some(Stage::Position),
        Outcome::Holds(_) | Outcome::Fails(_) => None,
    };
    // A claim of the kind tells most, and of several the one that came furthest.
    let own = said().filter(|claim| claim.kind == kind);
    let own = own.filter_map(open).max();
    own.or_else(|| {
        let unsettled = said().filter(|claim| claim.verdict == Verdict::Unsettled);
        unsettled.filter_map(open).max()
    })
    .unwrap_or(Stage::Kind)
}

/// How many entries each stage lost, by kind.
#[derive(Clone, Debug, Default)]
pub struct Losses(BTreeMap<String, BTreeMap<Stage, u32>>);

impl Losses {
    /// Counts one.
    pub fn add(&mut self, kind: &str, stage: Stage) {
        let row = self.0.entry(kind.to_owned()).or_default();
        *row.entry(stage).or_default() += 1;
    }

    /// A table, the kinds that lost most first.
    #[must_use]
    pub fn table(&self) -> String {
        let mut out = format!("{:<16}{:>7}", "lost", "all");
        for (_, name) in STAGES {
            let _ = write!(out, "{name:>10}");
        }
        out.push('\n');
        let mut rows: Vec<_> = self.0.iter().collect();
        let all = |row: &BTreeMap<Stage, u32>| row.values().sum::<u32>();
        rows.sort_by_key(|(_, row)| std::cmp::Reverse(all(row)));
        for (kind, row) in rows {
            let _ = write!(out, "{kind:<16}{:>7}", all(row));
            for (stage, _) in STAGES {
                let _ = write!(out, "{:>10}", row.get(&stage).copied().unwrap_or(0));
            }
            out.push('\n');
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use gainsay::{Settings, check};

    use super::{Losses, Stage, stage};

    #[test]
    fn the_stage_that_loses_a_sentence_is_told() {
        let lost = |words: &str, kind: &str| {
            let text = format!("1. e4 e5 2. Nf3 Nc6 {{{words}}} 3. Bc4 *\n");
            stage(&check(text.as_bytes(), &Settings::default()), kind)
        };
        assert_eq!(
            lost("The knight quaffs the e5-pawn.", "relation"),
            Stage::Words
        );
        assert_eq!(lost("White is a pawn up.", "castling"), Stage::Kind);
        assert_eq!(lost("Is White a pawn up?", "material"), Stage::Mood);
        assert_eq!(lost("White overlooks mate in two.", "mate-in"), Stage::Gate);
        let mut losses = Losses::default();
        losses.add("relation", Stage::Words);
        losses.add("mate", Stage::Gate);
        losses.add("mate", Stage::Gate);
        let table = losses.table();
        let kinds: Vec<&str> = table
            .lines()
            .skip(1)
            .filter_map(|line| line.split(' ').next())
            .collect();
        assert_eq!(kinds, ["mate", "relation"]);
    }
}
