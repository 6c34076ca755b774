//! The patterns that can match in a sentence, found by their rarest elements.

use super::Presence;

/// A pattern where it is found by its rarest element.
///
/// Small, for a sentence with "mate" looks at many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// What its next rarest elements ask for, as places in [`Needs`].
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
    /// The place of a need.
    pub(super) fn place(&mut self, need: Presence) -> u16 {
        let known = self.0.iter().position(|&known| known == need);
        let place = known.unwrap_or_else(|| {
            self.0.push(need);
            self.0.len() - 1
        });
        u16::try_from(place).unwrap_or(0)
    }

    /// Whether all that a candidate needs is there.
    #[inline]
    pub(super) fn are_met(&self, candidate: &Candidate, there: &Presence) -> bool {
        candidate.needs.iter().all(|&need| {
            let need = self.0.get(usize::from(need));
            need.is_none_or(|need| there.has_any(need))
        })
    }
}

/// Lists of candidates, one behind the other.
#[derive(Debug, Default)]
pub(super) struct Lists {
    ends: Vec<u32>,
    candidates: Vec<Candidate>,
}

impl Lists {
    pub(super) fn new(lists: &[Vec<Candidate>]) -> Self {
        let mut out = Self::default();
        out.ends.push(0);
        for list in lists {
            out.candidates.extend(list);
            out.ends
                .push(u32::try_from(out.candidates.len()).unwrap_or(u32::MAX));
        }
        out
    }

    #[inline]
    pub(super) fn get(&self, index: usize) -> &[Candidate] {
        match self.ends.get(index..index + 2) {
            Some(&[start, end]) => self
                .candidates
                .get(start as usize..end as usize)
                .unwrap_or_default(),
            _ => &[],
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
