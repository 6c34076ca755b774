//! The patterns that can match in a sentence, found by their rarest elements.

use crate::presence::Presence;

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

/// A few candidates, dropped together where none of them has beside it what it needs.
#[derive(Debug)]
pub(super) struct Block {
    before: Presence,
    behind: Presence,
    candidates: Vec<Candidate>,
}

impl Block {
    /// Candidates in one block, at most.
    const MOST: usize = 8;

    fn new(candidates: &[Candidate]) -> Self {
        let any = |of: fn(&Candidate) -> &Presence| {
            let needs = candidates.iter().map(of);
            needs.fold(Presence::NONE, Presence::or)
        };
        Self {
            before: any(|candidate| &candidate.before),
            behind: any(|candidate| &candidate.behind),
            candidates: candidates.to_vec(),
        }
    }
}

/// The candidates of every word, one list behind the other.
#[derive(Debug, Default)]
pub(super) struct Lists {
    /// Where the blocks of each end.
    ends: Vec<u32>,
    blocks: Vec<Block>,
}

impl Lists {
    pub(super) fn new(mut lists: Vec<Vec<Candidate>>) -> Self {
        let mut out = Self::default();
        out.ends.push(0);
        for list in &mut lists {
            // Those that need the same come into one block.
            list.sort_by_key(|candidate| (candidate.behind, candidate.before));
            out.blocks.extend(list.chunks(Block::MOST).map(Block::new));
            out.ends
                .push(u32::try_from(out.blocks.len()).unwrap_or(u32::MAX));
        }
        out
    }

    /// The candidates of a word.
    #[inline]
    pub(super) fn get(&self, index: usize) -> &[Block] {
        match self.ends.get(index..index + 2) {
            Some(&[start, end]) => self
                .blocks
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
        blocks: &[Block],
        before: &Presence,
        behind: &Presence,
        there: &Presence,
    ) {
        for block in blocks {
            if !(before.has_any(&block.before) & behind.has_any(&block.behind)) {
                continue;
            }
            // Few have it beside them, and none foretells the next: only those cost a jump.
            let mut met = 0_u32;
            for (candidate, bit) in block.candidates.iter().zip(0..) {
                let fits = before.has_any(&candidate.before) & behind.has_any(&candidate.behind);
                met |= u32::from(fits) << bit;
            }
            while met != 0 {
                let candidate = block.candidates.get(met.trailing_zeros() as usize);
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

    /// Keeps only these patterns.
    pub(super) fn retain(&mut self, keep: impl Fn(u16) -> bool) {
        self.patterns.retain(|&index| keep(index));
    }
}
