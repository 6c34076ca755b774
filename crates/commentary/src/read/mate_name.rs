//! Mates that are called by a name, and how they are said to come.

use super::maker::Maker;
use crate::chunks::{ChunkKind, Sentence};
use crate::claim::{Claim, Prose};
use crate::key::WordKey;
use crate::kind::{ClaimKind, Coming, Mate, NamedMate, Threat};
use crate::set::Set;

impl Maker<'_> {
    /// The claim of a mate's name at chunk `at`, unless it is made already.
    pub(super) fn mate_called(&mut self, prose: &mut Prose, at: usize, asked: bool, sentence: u32) {
        let Some(found) = self.longest(at) else {
            return;
        };
        let start = self.span(at, at + 1).start;
        let made = prose.claims.last().is_some_and(|claim| {
            matches!(claim.kind, ClaimKind::Pattern(_)) && claim.span.end > start
        });
        if !made && found.phrase.named {
            self.claim(prose, at, &found, asked, sentence);
        }
    }

    /// The name in the chunks `start..end` of a phrase that calls a mate by one.
    pub(super) fn name_of_mate(&self, start: usize, end: usize) -> Option<ClaimKind> {
        // The name is all in front of the word for mate, or all but the last word.
        let mate = (start..end).rfind(|&at| self.sense(at).is(Set::Mate));
        let last = mate.unwrap_or(end.saturating_sub(1));
        // "mates on the back rank"
        let behind = end > start + 3 && mate.is_none_or(|mate| mate == start);
        let span = if behind {
            self.span(end - 2, end)
        } else {
            self.span(start, last)
        };
        let words = span.of(self.text);
        let mut names = self.tongue.data().mate_names.iter();
        let &(name, _) = names.find(|(_, names)| {
            let mut names = names.iter();
            names.any(|name| keys(name.as_bytes()).eq(keys(words)))
        })?;
        Some(ClaimKind::Pattern(NamedMate {
            name,
            span,
            comes: None,
        }))
    }

    /// Says of the named mates among the claims from number `first` on, those of a sentence,
    /// how they come: what is said with the name or right in front of it.
    pub(super) fn say_how_mates_come(&self, prose: &mut Prose, first: usize, sentence: &Sentence) {
        /// So many claims on each side are looked at: no more share words with one.
        const NEAR: usize = 8;
        let claims = prose.claims.get_mut(first..).unwrap_or_default();
        for at in 0..claims.len() {
            let named = claims
                .get(at)
                .filter(|claim| matches!(claim.kind, ClaimKind::Pattern(_)));
            let Some(named) = named else {
                continue;
            };
            let near = claims.get(at.saturating_sub(NEAR)..).unwrap_or_default();
            let near = near.iter().take(2 * NEAR);
            let mut leading = near.filter(|claim| self.leads_to(claim, named, sentence));
            let said = leading.find_map(|claim| coming(&claim.kind));
            if let Some(ClaimKind::Pattern(named)) = claims.get_mut(at).map(|claim| &mut claim.kind)
            {
                named.comes = said;
            }
        }
    }

    /// Whether a claim shares words with the name of a mate, or stands in front of it with
    /// nothing but "with a" and the like between.
    fn leads_to(&self, claim: &Claim, named: &Claim, sentence: &Sentence) -> bool {
        const JOINS: u128 = Set::By.bit() | Set::Having.bit() | Set::Det.bit() | Set::Filler.bit();
        if claim.span.start >= named.span.end {
            return false;
        }
        let between = claim.span.end..named.span.start;
        let chunks = self.chunks.get(sentence.chunks.clone()).unwrap_or_default();
        let from = chunks.partition_point(|chunk| chunk.span.start < between.start);
        let chunks = chunks.iter().skip(from);
        let mut chunks = chunks.take_while(|chunk| chunk.span.start < between.end);
        chunks.all(|chunk| match chunk.kind {
            ChunkKind::Word { .. } => self.senses.sense(chunk).is_any(JOINS),
            ChunkKind::Comma | ChunkKind::Colon | ChunkKind::Pause | ChunkKind::Open => true,
            _ => false,
        })
    }
}

/// How a claim says that a mate comes.
const fn coming(kind: &ClaimKind) -> Option<Coming> {
    let (moves, threatened) = match *kind {
        ClaimKind::Mate(Mate::In { moves, .. }) => (Some(moves), false),
        ClaimKind::Mate(Mate::Next) => (Some(1), false),
        ClaimKind::Mate(Mate::Forced | Mate::Now) => (None, false),
        ClaimKind::Threat(Threat::Mate(moves)) => (moves, true),
        _ => return None,
    };
    Some(Coming { moves, threatened })
}

/// The words of a name, without an 's.
fn keys(name: &[u8]) -> impl Iterator<Item = WordKey> {
    let words = WordKey::words(name);
    words.filter(|&(_, length)| length > 1).map(|(key, _)| key)
}

#[cfg(test)]
mod tests {
    use super::keys;
    use crate::kind::{ClaimKind, Coming, NamedMate};
    use crate::mate_name::MateName;
    use crate::read::{Context, read};
    use crate::tongue::Tongue;

    /// The mate that a text calls by a name.
    fn named(text: &str) -> Option<NamedMate> {
        let claims = read(text.as_bytes(), &Context::default()).claims;
        claims.iter().find_map(|claim| match claim.kind {
            ClaimKind::Pattern(named) => Some(named),
            _ => None,
        })
    }

    #[test]
    fn every_name_is_read_in_prose_and_means_one_thing() {
        let mut all = Vec::new();
        for (name, words) in Tongue::English.data().mate_names {
            let reads =
                |words: &str| named(&format!("A pretty {words} mate.")).map(|mate| mate.name);
            let mut words = words.iter().copied();
            let known = words.clone().find(|words| reads(words) == Some(*name));
            assert!(known.is_some(), "{name:?}");
            let other = words.find(|words| reads(words).is_some_and(|read| read != *name));
            assert_eq!(other, None, "{name:?}");
        }
        for (_, words) in Tongue::English.data().mate_names {
            all.extend(
                words
                    .iter()
                    .map(|words| keys(words.as_bytes()).collect::<Vec<_>>()),
            );
        }
        let count = all.len();
        all.sort();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn a_name_is_known_however_it_is_spelt() {
        for (text, name, words) in [
            ("A Back-Rank mate.", MateName::BackRank, "Back-Rank"),
            (
                "24.Re8# mates on the back rank.",
                MateName::BackRank,
                "back rank",
            ),
            (
                "The swallow\u{2019}s tail mate.",
                MateName::SwallowTail,
                "swallow\u{2019}s tail",
            ),
            (
                "It is Anastasia's mate.",
                MateName::Anastasia,
                "Anastasia's",
            ),
            (
                "Philidor's legacy mate!",
                MateName::Smothered,
                "Philidor's legacy",
            ),
            ("A Réti mate.", MateName::Reti, "Réti"),
            ("Two bishops mate.", MateName::DoubleBishop, "Two bishops"),
        ] {
            let mate = named(text).expect(text);
            assert_eq!(mate.name, name, "{text}");
            assert_eq!(mate.span.of(text.as_bytes()), words.as_bytes());
        }
        assert_eq!(named("A beautiful mate."), None);
    }

    #[test]
    fn a_named_mate_comes_as_the_words_around_it_say() {
        let comes = |moves, threatened| Some(Coming { moves, threatened });
        for (text, coming) in [
            (
                "White mates in two with a smothered mate.",
                comes(Some(2), false),
            ),
            (
                "White mates in two by a smothered mate.",
                comes(Some(2), false),
            ),
            (
                "White mates in two: a smothered mate.",
                comes(Some(2), false),
            ),
            (
                "White mates in two, a smothered mate.",
                comes(Some(2), false),
            ),
            (
                "White mates in two (a smothered mate).",
                comes(Some(2), false),
            ),
            (
                "White mates in two with, quite simply, a smothered mate.",
                comes(Some(2), false),
            ),
            ("White forces a smothered mate.", comes(None, false)),
            ("White threatens a smothered mate.", comes(None, true)),
            ("White mates in two and Black saw no smothered mate.", None),
            (
                "White mates in two; later he missed a smothered mate.",
                None,
            ),
            ("A smothered mate.", None),
        ] {
            let mate = named(text).expect(text);
            assert_eq!(mate.name, MateName::Smothered);
            assert_eq!(mate.comes, coming, "{text}");
        }
    }
}
