//! What only a whole text tells: its references, its numbers and what it prints twice.
//!
//! Each file looks for one kind of thing and says what it found as a [`Remark`], at a place of the
//! text; the rules give it words. A text that is read in part says nothing here.

mod mention;
mod remark;
mod target;

use std::collections::BTreeMap;

pub(crate) use remark::{Numbers, Remark, What};

use crate::{outline::Outline, pieces::Piece};

/// A text with what is known of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Whole<'t> {
    /// As its file has it.
    pub(crate) text: &'t [u8],
    /// As it is read; as long as `text`.
    pub(crate) view: &'t [u8],
    pub(crate) pieces: &'t [Piece],
    pub(crate) outline: &'t Outline,
}

/// What was found, by the place of its piece; spans are those of the piece.
pub(crate) type Remarks = BTreeMap<usize, Vec<Remark>>;

impl Whole<'_> {
    /// Looks for everything.
    pub(crate) fn remarks(&self) -> Remarks {
        let mut found = Vec::new();
        let mentions = mention::mentions(self.text, self.view);
        let extent = target::Extent::of(self.text, self.view, self.outline);
        found.extend(target::remarks(&mentions, self.outline, extent, self.text));
        self.placed(found)
    }

    fn placed(&self, mut found: Vec<Remark>) -> Remarks {
        found.sort_by_key(|remark| (remark.span.start, remark.span.end));
        let mut remarks = Remarks::new();
        for mut remark in found {
            let behind = self
                .pieces
                .partition_point(|piece| piece.range.start <= remark.span.start);
            let Some((at, piece)) = behind
                .checked_sub(1)
                .and_then(|at| Some((at, self.pieces.get(at)?)))
            else {
                continue;
            };
            if remark.span.end <= piece.range.end {
                let start = piece.range.start;
                remark.move_back(start);
                remarks.entry(at).or_default().push(remark);
            }
        }
        remarks
    }
}
