//! What only a whole text tells: its references, its numbers and what it prints twice.
//!
//! Each file looks for one kind of thing and says what it found as a [`Remark`], at a place of the
//! text; the rules give it words. A text that is read in part says nothing here.

mod games;
mod headings;
mod mention;
mod names;
mod remark;
mod target;
mod text;
mod twins;

use std::collections::BTreeMap;

use crate::pieces::Piece;
pub(crate) use remark::{Against, How, Numbers, Remark, What};
pub(crate) use text::Whole;

/// What was found, by the place of its piece; spans are those of the piece.
pub(crate) type Remarks = BTreeMap<usize, Vec<Remark>>;

/// Looks for everything.
pub(crate) fn remarks(whole: &Whole<'_>) -> Remarks {
    let mut found = Vec::new();
    let mentions = mention::mentions(whole.text, whole.view);
    let extent = target::Extent::of(whole.text, whole.view, whole.outline);
    found.extend(target::remarks(
        &mentions,
        whole.outline,
        extent,
        whole.text,
    ));
    found.extend(twins::remarks(whole, &mentions));
    found.extend(games::remarks(whole));
    found.extend(headings::remarks(whole));
    found.extend(names::remarks(whole));
    placed(found, whole.pieces)
}

fn placed(mut found: Vec<Remark>, pieces: &[Piece]) -> Remarks {
    found.sort_by_key(|remark| (remark.span.start, remark.span.end));
    let mut remarks = Remarks::new();
    for mut remark in found {
        let behind = pieces.partition_point(|piece| piece.range.start <= remark.span.start);
        let at = behind.checked_sub(1);
        let Some((at, piece)) = at.and_then(|at| Some((at, pieces.get(at)?))) else {
            continue;
        };
        if remark.span.end <= piece.range.end {
            remark.move_back(piece.range.start);
            remarks.entry(at).or_default().push(remark);
        }
    }
    remarks
}
