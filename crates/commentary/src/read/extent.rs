//! How much of their passage claims take up.

use gainsay_notation::Span;

use super::maker::Maker;
use crate::chunks::{Chunk, ChunkKind};
use crate::claim::{Extent, Prose};
use crate::frame::Frame;
use crate::kind::{ClaimKind, Standing};
use crate::set::Set;

/// The sets of the words in front of a claim that leave it all that is said: "and this is
/// really a".
const LEADS: u128 = Set::Filler.bit()
    | Set::Det.bit()
    | Set::This.bit()
    | Set::Is.bit()
    | Set::Whole.bit()
    | Set::And.bit()
    | Set::By.bit()
    | Set::Having.bit();

impl Maker<'_> {
    /// Tells every claim of the passage how much of it it takes up.
    pub(super) fn measure(&self, prose: &mut Prose) {
        if prose.claims.is_empty() {
            return;
        }
        let says = |chunk: &&Chunk| !is_sign(chunk.kind);
        let mut said = self.chunks.iter().filter(says);
        // Between these all is said.
        let first = said.clone().find(|chunk| !self.may_lead(chunk));
        let last = said.clone().rfind(|chunk| !self.may_trail(chunk));
        let end = said.clone().next_back();
        let word = matches!(
            said.next().map(|chunk| chunk.kind),
            Some(ChunkKind::Word { .. })
        );
        let single = word && said.next().is_none();
        let drawn = drawn(prose);
        for claim in &mut prose.claims {
            let span = match (&claim.kind, drawn) {
                // "The game is drawn by repetition" says one thing.
                (ClaimKind::Draw(_), Some(drawn)) => drawn,
                _ => claim.span,
            };
            let reaches =
                |chunk: Option<&Chunk>| chunk.is_none_or(|chunk| chunk.span.start < span.end);
            let whole = first.is_none_or(|first| span.start < first.span.end) && reaches(last);
            claim.extent = match (whole, single) {
                (true, true) => Extent::Word,
                (true, false) => Extent::Whole,
                (false, _) if reaches(end) => Extent::End,
                (false, _) => Extent::Part,
            };
        }
    }

    /// Whether a chunk can stand in front of all that is said.
    fn may_lead(&self, chunk: &Chunk) -> bool {
        match chunk.kind {
            ChunkKind::Side(_) | ChunkKind::He(_) => true,
            ChunkKind::Word { .. } => {
                let sense = self.senses.sense(chunk);
                sense.is_any(LEADS) || sense.frame == Frame::Plain
            }
            _ => false,
        }
    }

    /// Whether a chunk can stand behind all that is said.
    fn may_trail(&self, chunk: &Chunk) -> bool {
        matches!(chunk.kind, ChunkKind::Word { .. })
            && self
                .senses
                .sense(chunk)
                .is_any(Set::Filler.bit() | Set::GoesOn.bit())
    }
}

/// From the first to the last word by which a passage says that the game is drawn.
fn drawn(prose: &Prose) -> Option<Span> {
    let drawn = prose.claims.iter().filter(|claim| {
        matches!(
            claim.kind,
            ClaimKind::Draw(_) | ClaimKind::Standing(Standing::Drawn)
        )
    });
    drawn.map(|claim| claim.span).reduce(Span::to)
}

/// Whether nothing is said by a chunk.
const fn is_sign(kind: ChunkKind) -> bool {
    matches!(
        kind,
        ChunkKind::Comma
            | ChunkKind::Pause
            | ChunkKind::Colon
            | ChunkKind::Open
            | ChunkKind::Close
            | ChunkKind::Quote
            | ChunkKind::End
    )
}
