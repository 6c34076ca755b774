//! Tasks that a caption gives without a sentence: `#2`, `h#3`, "Helpmate in two".

use gainsay_commentary::{Claim, ClaimKind, Mate, Prose, Stipulation, Wording};
use gainsay_notation::Span;

use crate::tasks::{Short, abbreviation, genre};

/// Whether a claim says what is to be done in a position.
pub(super) const fn gives_task(kind: &ClaimKind) -> bool {
    match kind {
        ClaimKind::Stipulation(asked) => !matches!(asked, Stipulation::Turn | Stipulation::ToPlay),
        ClaimKind::Mate(Mate::In { .. }) => true,
        _ => false,
    }
}

/// The task that the words of an exercise give and that was not read as a claim.
pub(super) fn unsaid(text: &[u8], prose: &Prose) -> Option<Claim> {
    /// What asks for something else is quoted up to here.
    const LONGEST: usize = 80;
    if prose.claims.iter().any(|claim| gives_task(&claim.kind)) {
        return None;
    }
    let (span, asked) = match abbreviation(text) {
        Some((span, short)) => (
            span,
            match short {
                Short::Mate(moves) => Stipulation::Mate(moves),
                Short::Other => Stipulation::Other,
            },
        ),
        None => {
            genre(text)?;
            let blank = text.len() - text.trim_ascii_start().len();
            let own = text.trim_ascii();
            let line = own
                .iter()
                .position(|&byte| byte == b'\n')
                .unwrap_or(own.len());
            let whole = line <= LONGEST;
            (
                blank..blank + if whole { line } else { 0 },
                Stipulation::Other,
            )
        }
    };
    let kind = ClaimKind::Stipulation(asked);
    let claim = Claim::alone(Span::from(&span), kind, Wording::default());
    (!claim.span.is_empty()).then_some(claim)
}
