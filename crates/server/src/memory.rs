//! What was settled before: verdicts by what they depend on.

use std::{
    collections::{HashMap, VecDeque},
    hash::{DefaultHasher, Hash, Hasher},
    ops::Range,
    sync::{Arc, Mutex, PoisonError},
};

use gainsay::{View, claims::Settled};
use gainsay_notation::{ElementKind, Span};

use crate::pool::Terms;

/// So many claims are remembered; the oldest are forgotten first.
const MOST: usize = 10_000;

/// What a verdict depends on, as a fingerprint of 128 bits: two different ones with the
/// same fingerprint do not occur by chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Key(u64, u64);

impl Key {
    fn of(hash: impl Fn(&mut DefaultHasher)) -> Self {
        let half = |salt: u8| {
            let mut hasher = DefaultHasher::new();
            salt.hash(&mut hasher);
            hash(&mut hasher);
            hasher.finish()
        };
        Self(half(0), half(1))
    }

    /// What all claims of a game depend on: its tags, its moves and the settings, but
    /// neither its comments nor its white space.
    pub(crate) fn game(view: &View<'_>, terms: &Terms) -> Self {
        Self::of(|hasher| {
            view.index.hash(hasher);
            for tag in &view.game.tags {
                tag.name.of(view.text).hash(hasher);
                tag.value.of(view.text).hash(hasher);
            }
            for element in &view.game.elements {
                if !matches!(element.kind, ElementKind::Comment { .. }) {
                    element.span.of(view.text).hash(hasher);
                }
            }
            terms.hash(hasher);
        })
    }

    /// What the `nth` glyph of a game that makes a claim depends on: its game.
    pub(crate) fn glyph(self, nth: usize, share: u64) -> Self {
        Self::of(|hasher| {
            self.hash(hasher);
            share.hash(hasher);
            "glyph".hash(hasher);
            nth.hash(hasher);
        })
    }

    /// What the `nth` claim of a line of EPD depends on: the line and the settings.
    pub(crate) fn line(line: &[u8], nth: usize, terms: &Terms) -> Self {
        Self::of(|hasher| {
            line.hash(hasher);
            nth.hash(hasher);
            terms.hash(hasher);
        })
    }

    /// What one claim depends on: its game, the place and the words of its comment, and
    /// which of the comment's claims it is, its share of the game's budget, and what it depends on in other games.
    pub(crate) fn claim(
        self,
        view: &View<'_>,
        comment: &CommentAt,
        nth: usize,
        share: u64,
        elsewhere: &[u8],
    ) -> Self {
        Self::of(|hasher| {
            self.hash(hasher);
            comment.after.hash(hasher);
            comment.opens.hash(hasher);
            comment.body.of(view.text).hash(hasher);
            nth.hash(hasher);
            share.hash(hasher);
            elsewhere.hash(hasher);
        })
    }
}

impl Hash for Terms {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        let settings = &self.settings;
        settings.nodes.hash(hasher);
        settings.game_nodes.hash(hasher);
        settings.language.hash(hasher);
        settings.only.hash(hasher);
        for (name, level) in &settings.levels {
            name.hash(hasher);
            (*level as u8).hash(hasher);
        }
        self.wanted.hash(hasher);
    }
}

/// A comment and where it stands.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CommentAt {
    pub(crate) body: Span,
    after: Option<u32>,
    opens: bool,
}

impl CommentAt {
    /// The comment of a game whose body holds an offset.
    pub(crate) fn holding(view: &View<'_>, offset: usize) -> Option<Self> {
        let comments = &view.replay.comments;
        let behind =
            comments.partition_point(|site| view.span(site.element).start as usize <= offset);
        let site = comments.get(behind.checked_sub(1)?)?;
        let ElementKind::Comment { body, .. } = view.element(site.element)?.kind else {
            return None;
        };
        body.range().contains(&offset).then_some(Self {
            body,
            after: site.after,
            opens: site.opens,
        })
    }
}

/// Settled claims, shared by the workers: an edit elsewhere in a game, or an edit that is
/// undone, settles nothing twice. Their offsets are relative to the comment.
#[derive(Debug, Default)]
pub(crate) struct Memory(Mutex<Kept>);

#[derive(Debug, Default)]
struct Kept {
    known: HashMap<Key, Arc<Settled>>,
    order: VecDeque<Key>,
}

impl Memory {
    /// A settled claim, in a comment whose body begins at `base`.
    pub(crate) fn get(&self, key: Key, base: usize) -> Option<Settled> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = kept.known.get(&key).map(Arc::clone);
        drop(kept);
        let mut settled = known?.as_ref().clone();
        each_span(&mut settled, |span| {
            *span = span.start + base..span.end + base;
        });
        Some(settled)
    }

    /// Remembers a claim of the comment with this body, unless it speaks of places
    /// outside, which may move while the comment stays.
    pub(crate) fn keep(&self, key: Key, settled: &Settled, body: Range<usize>) {
        let mut settled = settled.clone();
        let mut inside = true;
        each_span(&mut settled, |span| {
            inside &= body.start <= span.start && span.end <= body.end;
            *span = span.start.saturating_sub(body.start)..span.end.saturating_sub(body.start);
        });
        if !inside {
            return;
        }
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.known.insert(key, Arc::new(settled)).is_none() {
            kept.order.push_back(key);
        }
        while kept.order.len() > MOST {
            if let Some(oldest) = kept.order.pop_front() {
                kept.known.remove(&oldest);
            }
        }
    }
}

/// Visits every place that a settled claim speaks of.
fn each_span(settled: &mut Settled, mut visit: impl FnMut(&mut Range<usize>)) {
    visit(&mut settled.claim.span);
    for finding in &mut settled.findings {
        visit(&mut finding.span);
        for related in &mut finding.related {
            visit(&mut related.span);
        }
        for remedy in &mut finding.remedies {
            for edit in &mut remedy.edits {
                visit(&mut edit.span);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use gainsay::{Reading, Settings, Solver, claims::claims};

    use super::*;

    /// Key, verdict and span of the first claim of a text, settled anew.
    fn first(text: &str, memory: &Memory) -> (Key, Settled, usize) {
        let settings = Settings::default();
        let reading = Reading::of(text.as_bytes(), &settings);
        let view = reading.views(text.as_bytes()).next().expect("a game");
        let pending = claims(&view, None, &settings);
        let comment = CommentAt::holding(&view, pending[0].span().start).expect("a comment");
        let key =
            Key::game(&view, &Terms::default()).claim(&view, &comment, 0, pending[0].share(), &[]);
        let mut solver = Solver::new(1 << 20);
        let settled = pending[0]
            .settle(&mut solver, &settings)
            .expect("a verdict");
        memory.keep(key, &settled, comment.body.range());
        (key, settled, comment.body.start as usize)
    }

    #[test]
    fn an_edit_elsewhere_changes_no_key_and_moves_the_spans() {
        let memory = Memory::default();
        let (key, before, _) = first("1. f3 e5 2. g4 Qh4# {This is mate.} *", &memory);
        let (again, after, base) = first(
            "1. f3   {a word more} e5 2. g4 Qh4# {This is mate.} *",
            &memory,
        );
        assert_eq!(key, again);
        let known = memory.get(key, base).expect("it is remembered");
        assert_eq!(known.claim.span, after.claim.span);
        assert_ne!(known.claim.span, before.claim.span);
        assert_eq!(known.claim.verdict, after.claim.verdict);
    }

    #[test]
    fn another_move_another_tag_and_another_word_change_the_key() {
        let memory = Memory::default();
        let (key, ..) = first("1. f3 e5 2. g4 Qh4# {This is mate.} *", &memory);
        for text in [
            "1. f4 e5 2. g4 Qh4# {This is mate.} *",
            "[White \"A\"]\n1. f3 e5 2. g4 Qh4# {This is mate.} *",
            "1. f3 e5 2. g4 Qh4# {This is mate!} *",
            "1. f3 e5 2. g4 {This is mate.} Qh4# *",
        ] {
            assert_ne!(first(text, &memory).0, key, "{text}");
        }
    }
}
