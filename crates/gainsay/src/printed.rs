//! The places of a game that are printed as diagrams.

use gainsay_notation::{ElementKind, GlyphMeaning};

use crate::replay::{CommentSite, View};

/// The number of the glyph for a diagram from Black's side.
const FROM_BLACK: u8 = 221;

/// A place of a game that is printed as a diagram.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Printed {
    /// The element that says so.
    pub(crate) element: u32,
    /// The ply behind which it stands.
    pub(crate) after: Option<u32>,
    /// Whether it shows the board from Black's side.
    pub(crate) from_black: bool,
}

/// The places of a game that are printed, in the order of the text: at the glyphs `$220` and
/// `$221`, which programs write for a diagram from White's and from Black's side (common
/// practice, no source: the PGN standard ends at 139), and at comments with the mark `[diagram]`.
pub(crate) fn printed(view: &View<'_>) -> Vec<Printed> {
    const MARK: &[u8] = b"[diagram]";
    let replay = view.replay;
    let marked = |site: &&CommentSite| match view.element(site.element).map(|found| found.kind) {
        Some(ElementKind::Comment { body, .. }) => {
            let mut words = body.of(view.text).windows(MARK.len());
            words.any(|word| word.eq_ignore_ascii_case(MARK))
        }
        _ => false,
    };
    let glyphs = (replay.glyphs.iter())
        .filter(|site| site.glyph.meaning() == Some(GlyphMeaning::Diagram))
        .map(|site| Printed {
            element: site.element,
            after: site.after,
            from_black: site.glyph.number() == FROM_BLACK,
        });
    let comments = replay.comments.iter().filter(marked).map(|site| Printed {
        element: site.element,
        after: site.after,
        from_black: false,
    });
    let mut places: Vec<Printed> = glyphs.chain(comments).collect();
    places.sort_unstable();
    places
}
