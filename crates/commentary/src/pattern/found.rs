//! The patterns that can match in a sentence, found by their rarest elements.

use super::Presence;

/// A pattern where it is found by its rarest element, with what must stand beside that.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// What stands in front.
    pub(super) before: Presence,
    /// What stands behind.
    pub(super) behind: Presence,
    /// What stands somewhere.
    pub(super) somewhere: Presence,
    pub(super) pattern: u16,
}

/// Candidates that need the same behind them, so that they are dropped together where it is
/// missing.
#[derive(Debug)]
struct Group {
    behind: Presence,
    candidates: Vec<Candidate>,
}

/// The candidates of every word.
#[derive(Debug, Default)]
pub(super) struct Lists {
    /// Where the groups of each end.
    ends: Vec<u32>,
    groups: Vec<Group>,
}

impl Lists {
    pub(super) fn new(mut lists: Vec<Vec<Candidate>>) -> Self {
        let mut out = Self::default();
        out.ends.push(0);
        for list in &mut lists {
            list.sort_by_key(|candidate| (candidate.behind, candidate.before));
            for alike in list.chunk_by(|one, other| one.behind == other.behind) {
                out.groups.push(Group {
                    behind: alike.first().map_or(Presence::NONE, |first| first.behind),
                    candidates: alike.to_vec(),
                });
            }
            out.ends
                .push(u32::try_from(out.groups.len()).unwrap_or(u32::MAX));
        }
        out
    }

    /// Whether a word has no candidates.
    pub(super) fn is_empty(&self, index: usize) -> bool {
        self.groups(index).is_empty()
    }

    #[inline]
    fn groups(&self, index: usize) -> &[Group] {
        match self.ends.get(index..index + 2) {
            Some(&[start, end]) => self
                .groups
                .get(start as usize..end as usize)
                .unwrap_or_default(),
            _ => &[],
        }
    }

    /// Calls `found` with the patterns of a word that has beside it, and in its sentence, what
    /// they need.
    #[inline]
    pub(super) fn each_met(
        &self,
        index: usize,
        before: &Presence,
        behind: &Presence,
        there: &Presence,
        mut found: impl FnMut(u16),
    ) {
        for group in self.groups(index) {
            if behind.has_any(&group.behind) {
                for candidate in &group.candidates {
                    if before.has_any(&candidate.before) & there.has_any(&candidate.somewhere) {
                        found(candidate.pattern);
                    }
                }
            }
        }
    }
}

/// The patterns that can match somewhere in a sentence.
#[derive(Debug, Default)]
pub(crate) struct Alive {
    pub(super) patterns: Vec<u16>,
    /// A bit for each of them.
    pub(super) bits: Vec<u64>,
    /// What one of them can begin with.
    pub(crate) first: Presence,
}

impl Alive {
    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        self.patterns.is_empty()
    }

    /// Empties it.
    pub(super) fn clear(&mut self) {
        for &index in &self.patterns {
            if let Some(bits) = self.bits.get_mut(usize::from(index) / 64) {
                *bits = 0;
            }
        }
        self.patterns.clear();
        self.first = Presence::default();
    }

    /// Adds a pattern; whether it is new.
    pub(super) fn insert(&mut self, index: u16) -> bool {
        let Some(bits) = self.bits.get_mut(usize::from(index) / 64) else {
            return false;
        };
        let new = *bits >> (index % 64) & 1 == 0;
        if new {
            *bits |= 1 << (index % 64);
            self.patterns.push(index);
        }
        new
    }
}
