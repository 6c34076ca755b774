//! The claims of a game's comments, as questions.

use std::{ops::Range, sync::Arc};

use gainsay_commentary::{Context, Names, Prose, Reader};
use gainsay_notation::{CommentKind, ElementKind, Span};

use super::{
    asked::{Comment, Heard, LONGEST_COMMENT, MOST_CLAIMS, Trust},
    lines::{Resolved, resolve_lines},
    lookout::Lookout,
    of_glyphs::{glyphs, kind_of},
    shares::share_out,
};
use crate::{
    book::Within,
    memory::Digest,
    replay::View,
    rules::binary_data,
    scene::{Scene, Tree},
    settings::Settings,
};

/// Whether a game has anything in which a claim can stand, at next to no cost.
pub(crate) fn may_claim(view: &View<'_>) -> bool {
    let replay = view.replay;
    replay.start.position.is_some()
        && (!replay.comments.is_empty()
            || replay
                .glyphs
                .iter()
                .any(|glyph| kind_of(glyph.glyph).is_some()))
}

/// What the comments of a game are read with.
fn context(view: &View<'_>) -> Context {
    let tag = |name| {
        view.game
            .tag(view.text, name)
            .map(|tag| tag.value(view.text).into_owned())
            .unwrap_or_default()
    };
    Context {
        names: Names::new(&tag("White"), &tag("Black")).annotated_by(&tag("Annotator")),
        letters: view.replay.language,
        tongue: None,
    }
}

/// The text of a comment, if it is read.
fn passage_of(view: &View<'_>, site: &crate::replay::CommentSite) -> Option<Span> {
    let ElementKind::Comment { body, kind } = view.element(site.element)?.kind else {
        return None;
    };
    (kind != CommentKind::Escape && body.len() <= LONGEST_COMMENT).then_some(body)
}

/// A move that is cited in a comment. Places are byte offsets in the text.
///
/// ```
/// use gainsay::{Reading, Settings, cited_moves};
/// let text = b"1. e4 {Better is 1. d4.} e5 *";
/// let reading = Reading::of(text, &Settings::default());
/// let cited = &cited_moves(&reading.views(text).next().unwrap())[0];
/// assert_eq!(&text[cited.span.clone()], b"d4");
/// assert_eq!(&text[cited.whole.clone()], b"1. d4");
/// assert_eq!(cited.count, Some(2));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cited {
    /// The move with its sign.
    pub span: Range<usize>,
    /// The same with the number in front, if one is written.
    pub whole: Range<usize>,
    /// Its place by the numbers of its line, as in [`Ply::count`](crate::Ply::count).
    pub count: Option<u32>,
}

/// The moves that are cited in the comments of a game, in order.
///
/// ```
/// use gainsay::{Reading, Settings, cited_moves};
/// let text = b"1. e4 {Better is 1. d4 d5 2. c4.} e5 *";
/// let reading = Reading::of(text, &Settings::default());
/// let cited = cited_moves(&reading.views(text).next().unwrap());
/// assert_eq!(cited.iter().map(|cited| cited.count).collect::<Vec<_>>(), [Some(2), Some(3), Some(4)]);
/// ```
#[must_use]
pub fn cited_moves(view: &View<'_>) -> Vec<Cited> {
    let context = context(view);
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut cited = Vec::new();
    for site in &view.replay.comments {
        let Some(body) = passage_of(view, site) else {
            continue;
        };
        reader.read(body.of(view.text), &context, &mut prose);
        let base = body.start as usize;
        for line in &prose.lines {
            let mut count = None;
            for cited_move in prose.moves_of(line) {
                let written = cited_move.number;
                let black = written.is_some_and(|number| number.dots > 1);
                let told = written.and_then(|number| number.value?.checked_mul(2));
                count = match told {
                    Some(told) => told.checked_add(u32::from(black)),
                    None => count.and_then(|before: u32| before.checked_add(1)),
                };
                let span = cited_move.span.range();
                let first = cited_move
                    .number_span
                    .map_or(span.start, |number| span.start.min(number.start as usize));
                cited.push(Cited {
                    span: span.start + base..span.end + base,
                    whole: first + base..span.end + base,
                    count,
                });
            }
        }
    }
    cited.sort_by_key(|cited| cited.span.start);
    cited
}

/// How many lines cannot be played.
fn unplayable(lines: &[Resolved]) -> usize {
    let lost = |line: &&Resolved| line.readings.is_empty();
    lines.iter().filter(lost).count()
}

/// Reads the claims of a game's comments, and what was not understood in them. Other games that they point at are looked up in
/// the book that the game stands `within`.
pub(crate) fn claims(view: &View<'_>, within: Option<Within<'_>>, settings: &Settings) -> Heard {
    let replay = view.replay;
    if !may_claim(view) || binary_data::is_no_text(view) {
        return Heard::default();
    }
    let context = context(view);
    let lookout = Lookout::of(view, within);
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut tree = None;
    let mut asked = Heard::default();
    let mut pending = Vec::new();
    for site in &replay.comments {
        if pending.len() >= MOST_CLAIMS {
            break;
        }
        let Some(body) = passage_of(view, site) else {
            continue;
        };
        let passage = body.of(view.text);
        reader.read(passage, &context, &mut prose);
        let mv = site.after.and_then(|at| replay.ply(at));
        let mv = mv.map(|ply| view.name(ply));
        asked.list(&prose, passage, body.start as usize, mv.as_deref());
        if prose.claims.is_empty() {
            continue;
        }
        let pointed = lookout.map_or_else(Vec::new, |lookout| {
            lookout.look_up(&mut reader, passage, &context, &mut prose, settings)
        });
        let tree = tree.get_or_insert_with(|| Arc::new(Tree::of(view)));
        let Some(scene) = Scene::of(view, site, tree) else {
            continue;
        };
        let mut lines = resolve_lines(&prose, &scene, None);
        if let Some(letters) = prose.or_letters.filter(|_| pointed.is_empty())
            && let lost = unplayable(&lines)
            && lost > 0
        {
            let context = Context {
                letters,
                ..context.clone()
            };
            let mut other = Prose::default();
            reader.read(passage, &context, &mut other);
            let others = resolve_lines(&other, &scene, None);
            if unplayable(&others) < lost {
                (prose, lines) = (other, others);
            }
        }
        let comment = Comment {
            given: None,
            genre: None,
            solutions: None,
            lines,
            scene,
            game: Some(view.index),
            mv,
            words: Vec::new(),
            base: body.start as usize,
            prose: Prose::default(),
            trust: Trust::Words,
            pointed: Arc::new(pointed),
            print: Digest::default(),
        };
        pending.extend(comment.pending(passage, &context, std::mem::take(&mut prose)));
    }
    pending.extend(glyphs(view, &mut tree));
    pending.sort_by_key(|pending| pending.span.start);
    pending.truncate(MOST_CLAIMS);
    share_out(pending.iter_mut(), settings);
    asked.questions = pending;
    asked
}
