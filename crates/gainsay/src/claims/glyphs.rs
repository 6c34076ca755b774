//! What glyphs in the movetext claim: `+-`, `!!`, `??`, `$16`.

use std::sync::Arc;

use gainsay_commentary::{
    At, Claim, ClaimKind, Extent, Mood, Polarity, Prose, Quality, Subject, Tense, Wording,
};
use gainsay_notation::Span;
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

use super::{
    Comment, MOST_CLAIMS, Pending,
    answer::{Answer, Court, evidence, single},
    passage::Trust,
    scene::{Scene, Tree},
};
use crate::{CommentSite, Digest, View, outcome::MoveWhy, played};

/// A glyph is judged at the cost of so many nodes: books have thousands of them, and only
/// a plain contradiction is told.
const GLYPH: u64 = 20_000;

/// The claims that glyphs in the movetext make.
pub(super) fn glyphs(view: &View<'_>, tree: &mut Option<Arc<Tree>>) -> Vec<Pending> {
    let replay = view.replay;
    let mut pending = Vec::new();
    for glyph in &replay.glyphs {
        if pending.len() >= MOST_CLAIMS {
            break;
        }
        let (Some(kind), Some(ply)) = (
            ClaimKind::of_glyph(glyph.glyph),
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
        pending.push(Pending {
            claim: Claim {
                span: Span::new(0, span.len()),
                kind,
                polarity: Polarity::Affirmed,
                mood: Mood::Stated,
                told: None,
                subject: (glyph.glyph.side()).map_or(Subject::Nobody, Subject::Side),
                at: At::Here,
                tense: Tense::Present,
                sentence: 0,
                wording: Wording::SIGN,
                number: None,
                closed: true,
                joined: false,
                attached: false,
                extent: Extent::Whole,
                unread: 0..0,
            },
            comment: Arc::new(Comment {
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
            nodes: GLYPH,
        });
    }
    pending
}

impl Pending {
    /// Whether the claim is a glyph of the movetext, not words.
    pub(super) fn is_glyph(&self) -> bool {
        self.comment.prose.claims.is_empty()
    }

    /// Settles `!`, `!!`, `?` and `??`. A glyph is confirmed by a search of few nodes, and
    /// false only where nobody could argue: a move that is blamed mates, forces mate, or is
    /// the only legal one; a move that is praised allows a short mate that another avoids.
    pub(super) fn settle_glyph(&self, quality: Quality, court: &mut Court<'_>) -> Answer {
        let Some((before, m, after)) = self
            .comment
            .scene
            .played
            .as_ref()
            .and_then(|step| Some((&step.before, step.mv?, &step.after)))
        else {
            return Answer::unsettled();
        };
        match self.contradiction(quality, before, m, after, court) {
            Some(answer) => answer,
            None => self.confirmed(quality, before, m, court),
        }
    }

    /// What nobody can argue with: praise of a move that allows a short mate which another
    /// avoids, blame of one that mates, forces mate or is the only legal one.
    pub(super) fn contradiction(
        &self,
        quality: Quality,
        before: &Chess,
        m: Move,
        after: &Chess,
        court: &mut Court<'_>,
    ) -> Option<Answer> {
        /// Mates of so many moves are looked for.
        const SHORT: u32 = 2;
        const NODES: u64 = 3_000;
        let cited = single(before, m);
        if matches!(quality, Quality::Missed | Quality::Better | Quality::Wins) {
            return None;
        }
        if matches!(quality, Quality::Good | Quality::Best) {
            let mated = court.mates_within(after, SHORT, NODES);
            if mated.verdict != Verdict::Holds {
                return None;
            }
            let mut safe: Vec<Move> = Vec::new();
            for m in before.legal_moves() {
                let other = played(before, m);
                if court.mates_within(&other, SHORT, NODES).verdict == Verdict::Fails {
                    safe.push(m);
                    break;
                }
            }
            let Some(&safe) = safe.first() else {
                return Some(Answer::unsettled());
            };
            let line = evidence(after, &mated.line);
            let shown = line.clone();
            let safe = single(before, safe);
            let why = MoveWhy::AllowsMate { cited, line, safe };
            return Some(Answer::refuted(why, before, shown));
        }
        let shown = cited.clone();
        if after.is_checkmate() {
            let why = MoveWhy::BlamedMates { cited };
            return Some(Answer::refuted(why, before, shown));
        }
        if before.legal_moves().len() == 1 {
            let why = MoveWhy::BlamedIsOnlyMove { cited };
            return Some(Answer::refuted(why, before, shown));
        }
        let forced = court.is_mated_within(after, SHORT, NODES);
        if forced.verdict == Verdict::Holds {
            let line = evidence(after, &forced.line);
            let shown = line.clone();
            let why = MoveWhy::BlamedForcesMate { cited, line };
            return Some(Answer::refuted(why, before, shown));
        }
        None
    }

    /// Whether a search agrees with the glyph.
    fn confirmed(
        &self,
        quality: Quality,
        before: &Chess,
        m: Move,
        court: &mut Court<'_>,
    ) -> Answer {
        self.judge_move(quality, before, m, GLYPH / 2, court)
            .unwrap_or_else(Answer::unsettled)
    }
}
