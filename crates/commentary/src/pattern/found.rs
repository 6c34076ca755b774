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

/// The candidates of every word, one list behind the other.
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

    /// The candidates of a word.
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
    /// What one of them can begin with.
    pub(crate) first: Presence,
}

impl Alive {
    /// So many patterns can be looked at twice; among more each is kept once.
    const FEW: usize = 16;

    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        self.patterns.is_empty()
    }

    /// Empties it.
    pub(super) fn clear(&mut self) {
        self.patterns.clear();
        self.first = Presence::NONE;
    }

    /// Adds the patterns of the candidates that have beside them, and in their sentence, what
    /// they need.
    #[inline]
    pub(super) fn add(
        &mut self,
        candidates: &[Candidate],
        before: &Presence,
        behind: &Presence,
        there: &Presence,
    ) {
        for candidates in candidates.chunks(u64::BITS as usize) {
            // Few have it beside them, and none foretells the next: only those cost a jump.
            let mut met = 0_u64;
            for (candidate, bit) in candidates.iter().zip(0..) {
                let fits = before.has_any(&candidate.before) & behind.has_any(&candidate.behind);
                met |= u64::from(fits) << bit;
            }
            while met != 0 {
                let candidate = candidates.get(met.trailing_zeros() as usize);
                let candidate = candidate.filter(|one| there.has_any(&one.somewhere));
                self.patterns.extend(candidate.map(|one| one.pattern));
                met &= met - 1;
            }
        }
    }

    /// Keeps of many patterns each once.
    pub(super) fn thin_out(&mut self) {
        if self.patterns.len() > Self::FEW {
            self.patterns.sort_unstable();
            self.patterns.dedup();
        }
    }
}
