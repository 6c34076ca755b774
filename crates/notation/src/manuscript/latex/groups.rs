//! Where groups in braces end.

use crate::bytes::{byte, line_end};

/// The groups of a text, found in one pass.
pub(super) struct Groups {
    /// Where each begins and ends, in the order of their beginnings.
    pairs: Vec<(usize, usize)>,
}

impl Groups {
    pub(super) fn of(text: &[u8]) -> Self {
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        let mut open = Vec::new();
        let mut at = 0;
        while at < text.len() {
            match byte(text, at) {
                b'\\' => at += 1,
                b'%' => {
                    at = line_end(text, at);
                    continue;
                }
                b'{' => open.push(at),
                b'}' => pairs.extend(open.pop().map(|start| (start, at))),
                _ => {}
            }
            at += 1;
        }
        pairs.sort_unstable();
        Self { pairs }
    }

    /// Where the group that begins at `start` ends.
    pub(super) fn end(&self, start: usize) -> Option<usize> {
        let nth = self.pairs.binary_search_by_key(&start, |&(start, _)| start);
        Some(self.pairs.get(nth.ok()?)?.1)
    }
}
