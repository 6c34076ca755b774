//! The claims that glyphs in the movetext make, as questions.

use std::sync::Arc;

use gainsay_commentary::{Claim, ClaimKind, OnlyMove, Prose, Standing, Subject, Wording};
use gainsay_notation::{Glyph, GlyphMeaning, Span};

use super::asked::{Comment, MOST_CLAIMS, Question, Trust};
use crate::{
    memory::Digest,
    replay::{CommentSite, View},
    scene::{Scene, Tree},
};

/// A first look at a glyph costs so many nodes: books have thousands of them.
pub(crate) const GLYPH: u64 = 20_000;

/// What a glyph may cost where the first look does not decide: praise and blame are weighed, and a
/// verdict that looks false is searched again.
const MOST: u64 = 600_000;

/// What a glyph of the movetext claims: as in prose, and that a position is equal or a move is
/// the only one, which signs say more firmly than words.
pub(super) fn kind_of(glyph: Glyph) -> Option<ClaimKind> {
    match glyph.meaning() {
        Some(GlyphMeaning::EqualQuiet) => Some(ClaimKind::Standing(Standing::Equal)),
        Some(GlyphMeaning::ForcedMove) => Some(ClaimKind::OnlyMove(OnlyMove::Sensible)),
        _ => ClaimKind::of_glyph(glyph),
    }
}

/// The claims that glyphs in the movetext make.
pub(super) fn glyphs(view: &View<'_>, tree: &mut Option<Arc<Tree>>) -> Vec<Question> {
    let replay = view.replay;
    let mut pending = Vec::new();
    for glyph in &replay.glyphs {
        if pending.len() >= MOST_CLAIMS {
            break;
        }
        let (Some(kind), Some(ply)) = (
            kind_of(glyph.glyph),
            glyph.after.and_then(|at| replay.ply(at)),
        ) else {
            continue;
        };
        let site = CommentSite {
            element: glyph.element,
            after: glyph.after,
            opens: false,
            depth: ply.depth,
        };
        let tree = tree.get_or_insert_with(|| Arc::new(Tree::of(view)));
        let Some(scene) = Scene::of(view, &site, tree) else {
            continue;
        };
        let span = view.span(glyph.element);
        let print = Digest::of(&[b"glyph", &[glyph.glyph.number()], scene.print.bytes()]);
        pending.push(Question {
            claim: Claim {
                subject: (glyph.glyph.side()).map_or(Subject::Nobody, Subject::Side),
                ..Claim::alone(Span::new(0, span.len()), kind, Wording::SIGN)
            },
            comment: Arc::new(Comment {
                given: None,
                genre: None,
                solutions: None,
                prose: Prose::default(),
                scene,
                lines: Vec::new(),
                game: Some(view.index),
                mv: Some(view.name(ply)),
                words: Vec::new(),
                base: span.start as usize,
                trust: Trust::Words,
                pointed: Arc::default(),
                print,
            }),
            text: view.words(span).into_owned(),
            unread: Vec::new(),
            span: span.range(),
            nodes: MOST,
        });
    }
    pending
}
