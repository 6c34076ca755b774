//! The patterns that can match in a sentence, found by their rarest elements.

use super::Presence;

/// A pattern where it is found by its rarest element.
///
/// Small, for a sentence with "mate" looks at many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// What its next rarest elements ask for, as places in [`Needs`], the rarest first.
    pub(super) needs: [u16; 3],
    pub(super) pattern: u16,
}

/// What elements ask for, each once. The first is there everywhere.
#[derive(Debug)]
pub(super) struct Needs(Vec<Presence>);

impl Default for Needs {
    fn default() -> Self {
        Self(vec![Presence::EVERYWHERE])
    }
}

impl Needs {
    /// The need at a place.
    fn get(&self, place: u16) -> Presence {
        let need = self.0.get(usize::from(place));
        need.copied().unwrap_or(Presence::EVERYWHERE)
    }

    /// The place of a need.
    pub(super) fn place(&mut self, need: Presence) -> u16 {
        let known = self.0.iter().position(|&known| known == need);
        let place = known.unwrap_or_else(|| {
            self.0.push(need);
            self.0.len() - 1
        });
        u16::try_from(place).unwrap_or(0)
    }

    /// Whether all is there that a candidate needs besides what its group does.
    #[inline]
    fn are_met(&self, candidate: &Candidate, there: &Presence) -> bool {
        candidate.needs.iter().skip(1).all(|&place| {
            let need = self.0.get(usize::from(place));
            need.is_none_or(|need| there.has_any(need))
        })
    }
}

/// Candidates that need the same thing first, so that they are dropped together where it is
/// missing.
#[derive(Debug)]
struct Group {
    need: Presence,
    candidates: Vec<Candidate>,
}

/// The candidates of every word or slot.
#[derive(Debug, Default)]
pub(super) struct Lists {
    /// Where the groups of each end.
    ends: Vec<u32>,
    groups: Vec<Group>,
}

impl Lists {
    pub(super) fn new(mut lists: Vec<Vec<Candidate>>, needs: &Needs) -> Self {
        let mut out = Self::default();
        out.ends.push(0);
        for list in &mut lists {
            list.sort_by_key(|candidate| candidate.needs);
            for candidates in list.chunk_by(|one, other| one.needs[0] == other.needs[0]) {
                let first = candidates.first().map_or(0, |candidate| candidate.needs[0]);
                out.groups.push(Group {
                    need: needs.get(first),
                    candidates: candidates.to_vec(),
                });
            }
            out.ends
                .push(u32::try_from(out.groups.len()).unwrap_or(u32::MAX));
        }
        out
    }

    /// Whether a word or slot has no candidates.
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

    /// Calls `found` with the patterns of a word or slot of which all is there that they need.
    #[inline]
    pub(super) fn each_met(
        &self,
        index: usize,
        needs: &Needs,
        there: &Presence,
        mut found: impl FnMut(u16),
    ) {
        for group in self.groups(index) {
            if !there.has_any(&group.need) {
                continue;
            }
            for candidate in &group.candidates {
                if needs.are_met(candidate, there) {
                    found(candidate.pattern);
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
    pub(super) first: Presence,
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
