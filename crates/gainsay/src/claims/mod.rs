//! Claims: from prose to verdicts.
//!
//! A comment is read into claims ([`gainsay_commentary`]); its cited lines are played
//! from wherever they can start; every claim then has a few readings, each a position
//! and a statement. A claim holds if one plausible reading holds, and fails only if all
//! of them fail.

mod answer;
mod board;
mod castling;
mod checks;
mod denied;
mod draws;
mod endings;
mod facts;
mod features;
mod forced;
mod gains;
mod games;
mod glyphs;
mod judge;
mod lines;
mod mate_names;
mod mated;
mod material;
mod mates;
mod named;
mod not_gained;
mod only;
mod only_square;
mod only_wins;
pub(crate) mod passage;
pub(crate) use games::Other;
mod patterns;
mod places;
mod plight;
mod promotes;
mod references;
mod refutations;
mod relations;
mod scene;
mod shares;
mod signs;
mod structure;
mod takes;
mod threats;
mod told;
mod told_games;

use std::{ops::Range, sync::Arc};

use gainsay_commentary::{
    At, Claim, ClaimKind, Context, Extent, Feature, Mood, Names, Polarity, Prose, Reader, Reference,
};
use gainsay_notation::{CommentKind, ElementKind, Span};

use self::{
    answer::{Answer, Court},
    games::{Lookout, Pointed},
    lines::Resolved,
    passage::Trust,
    scene::{Scene, Tree},
};
use crate::{
    Digest, Rule, Settings, Solver, View, Within, outcome::Judged, rules as catalogue,
    words::Claimed,
};

/// The rules about claims.
pub(crate) static RULES: &[&Rule] = catalogue::CLAIM_RULES;

/// The rules about claims, in the order of their names.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    RULES.iter().copied()
}

/// A claim that was read and waits for its verdict. It owns all it needs, so that it
/// can be settled on another thread.
#[derive(Clone, Debug)]
pub(crate) struct Pending {
    claim: Claim,
    comment: Arc<Comment>,
    /// The author's words.
    text: String,
    /// The author's words near it that were not understood.
    unread: Vec<String>,
    /// Byte offsets in the checked text.
    span: Range<usize>,
    /// The most it may cost, whatever the settings allow.
    nodes: u64,
}

/// A comment that was read.
#[derive(Debug)]
struct Comment {
    prose: Prose,
    scene: Scene,
    lines: Vec<Resolved>,
    /// The game it stands in; `None` for prose beside it.
    game: Option<u32>,
    mv: Option<String>,
    /// The words of every cited move.
    words: Vec<String>,
    /// Where the comment's text begins.
    base: usize,
    /// How far its claims can be called false.
    trust: Trust,
    /// What its pointers at other games lead to.
    pointed: Arc<Vec<Pointed>>,
    /// A fingerprint of its words, of how they are read, and of all that they can speak of.
    print: Digest,
}

impl Comment {
    /// The claims of `prose`, which is what `passage` says here.
    fn pending(mut self, passage: &[u8], context: &Context, prose: Prose) -> Vec<Pending> {
        let mut pointed = Vec::new();
        games::print(&self.pointed, &mut pointed);
        self.print = Digest::of(&[
            passage,
            format!("{context:?} {:?}", self.trust).as_bytes(),
            self.scene.print.bytes(),
            &pointed,
        ]);
        let words = |span: Span| gainsay_notation::decode(span.of(passage)).into_owned();
        self.words = prose.moves.iter().map(|cited| words(cited.span)).collect();
        self.prose = prose;
        let comment = Arc::new(self);
        comment
            .prose
            .claims
            .iter()
            .map(|claim| Pending {
                text: words(claim.span),
                unread: (comment.prose.unread_of(claim).iter())
                    .map(|&span| words(span))
                    .collect(),
                span: comment.base + claim.span.start as usize
                    ..comment.base + claim.span.end as usize,
                claim: claim.clone(),
                comment: Arc::clone(&comment),
                nodes: u64::MAX,
            })
            .collect()
    }
}

/// Bytes of the longest comment that is read for claims: more than any author writes
/// on one move, so that what is longer is a file gone wrong, which must not cost
/// memory in proportion.
const LONGEST_COMMENT: u32 = 4 << 20;

/// So many claims of one game are read, the first ones. No author makes as many, and each
/// takes some kilobytes until all are settled.
pub const MOST_CLAIMS: usize = 2000;

/// Whether a game has anything in which a claim can stand, at next to no cost.
pub(crate) fn may_claim(view: &View<'_>) -> bool {
    let replay = view.replay;
    replay.start.position.is_some()
        && (!replay.comments.is_empty()
            || replay
                .glyphs
                .iter()
                .any(|glyph| ClaimKind::of_glyph(glyph.glyph).is_some()))
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
fn passage_of(view: &View<'_>, site: &crate::CommentSite) -> Option<Span> {
    let ElementKind::Comment { body, kind } = view.element(site.element)?.kind else {
        return None;
    };
    (kind != CommentKind::Escape && body.len() <= LONGEST_COMMENT).then_some(body)
}

/// A move that is cited in a comment. Places are byte offsets in the text.
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

/// Reads the claims of a game's comments. Other games that they point at are looked up in
/// the book that the game stands `within`.
pub(crate) fn claims(
    view: &View<'_>,
    within: Option<Within<'_>>,
    settings: &Settings,
) -> Vec<Pending> {
    let replay = view.replay;
    if !may_claim(view) || catalogue::binary_data::is_no_text(view) {
        return Vec::new();
    }
    let context = context(view);
    let lookout = Lookout::of(view, within);
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut tree = None;
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
        let lines = lines::resolve_lines(&prose, &scene);
        let mv = site.after.and_then(|at| replay.ply(at));
        let comment = Comment {
            lines,
            scene,
            game: Some(view.index),
            mv: mv.map(|ply| view.name(ply)),
            words: Vec::new(),
            base: body.start as usize,
            prose: Prose::default(),
            trust: Trust::Words,
            pointed: Arc::new(pointed),
            print: Digest::default(),
        };
        pending.extend(comment.pending(passage, &context, std::mem::take(&mut prose)));
    }
    pending.extend(glyphs::glyphs(view, &mut tree));
    pending.sort_by_key(|pending| pending.span.start);
    pending.truncate(MOST_CLAIMS);
    shares::share_out(pending.iter_mut(), settings);
    pending
}

impl Pending {
    /// All that the verdict depends on: the comment with all that it can speak of, which of its
    /// claims this is, and the budget.
    pub(crate) fn depends(&self, settings: &Settings, tables: bool) -> Digest {
        let place = |offset: u32| offset.to_le_bytes();
        Digest::of(&[
            b"claim",
            self.comment.print.bytes(),
            &place(self.claim.span.start),
            &place(self.claim.span.end),
            format!("{:?}", self.claim.kind).as_bytes(),
            &settings.nodes.min(self.nodes).to_le_bytes(),
            &[u8::from(tables)],
        ])
    }

    /// The sections of the book with the other games that the claim's comment points at.
    pub(crate) fn looks_at(&self) -> impl Iterator<Item = Range<usize>> {
        let found = self
            .comment
            .pointed
            .iter()
            .flat_map(|pointed| &pointed.found.games);
        found.map(|game| game.section.clone())
    }

    /// Whether the claim's comment points at other games.
    pub(crate) fn points(&self) -> bool {
        !self.comment.pointed.is_empty()
    }

    /// Settles the claim within the settings' budget.
    ///
    /// `None` when the solver was stopped.
    pub(crate) fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        let proofs = solver.proofs();
        let mut court = Court::new(solver, settings.nodes.min(self.nodes));
        if !self.unread.is_empty() {
            return Some(Judged::not_understood(self.unread.clone()));
        }
        let answer = self.answer(&mut court);
        if court.is_stopped() {
            return None;
        }
        Some(answer.judged(&court, self.may_fail(), proofs))
    }

    /// The claim as it stands in the text.
    pub(crate) fn claimed(&self) -> Claimed<'_> {
        Claimed {
            kind: self.claim.kind.name(),
            text: &self.text,
            span: &self.span,
            base: self.comment.base,
            game: self.comment.game,
            mv: self.comment.mv.as_deref(),
            here: &self.comment.scene.here,
        }
    }

    fn answer(&self, court: &mut Court<'_>) -> Answer {
        if let Some(told) = self.claim.told {
            return self.settle_told(told);
        }
        match &self.claim.kind {
            ClaimKind::Line | ClaimKind::Mention => self.settle_line(),
            ClaimKind::Mate(mate) => self.settle_mate(*mate, court),
            ClaimKind::Threat(threat) => self.settle_threat(threat, court),
            ClaimKind::Pieces(noun) => self.settle_pieces(noun),
            ClaimKind::OnlyMove(only) => self.settle_only(*only, court),
            ClaimKind::Refutation(refutation) => self.settle_refutation(*refutation, court),
            ClaimKind::Relation {
                relation,
                actor,
                targets,
            } => {
                let answer = self.settle_relation(*relation, actor.as_ref(), targets);
                self.settle_plight(*relation, targets, answer, court)
            }
            ClaimKind::Material(material) => self.settle_material(*material, court),
            ClaimKind::Gain { what, how } => self.settle_gain(*what, *how, court),
            ClaimKind::Standing(standing) => self.settle_standing(*standing, court),
            ClaimKind::Quality(quality) if self.is_glyph() => self.settle_glyph(*quality, court),
            ClaimKind::Quality(quality) => self.settle_quality(*quality, court),
            ClaimKind::Draw(draw) => self.settle_draw(*draw, court),
            ClaimKind::Structure(said) if said.feature == Feature::Promotes => {
                self.settle_promotes(said, court)
            }
            ClaimKind::Structure(said) => self.settle_structure(said),
            ClaimKind::Pattern(named) => self.settle_pattern(named, court),
            ClaimKind::Stipulation(stipulation) => self.settle_stipulation(*stipulation, court),
            ClaimKind::Reference(Reference::Game(game)) => self.settle_other_game(game),
            ClaimKind::Reference(reference) => self.settle_reference(*reference),
            ClaimKind::GameEnd(_) => Answer::unsettled(),
        }
    }

    /// The words of a span of the comment, if it lies within the claim's.
    fn words(&self, span: Span) -> String {
        let from = span.start.saturating_sub(self.claim.span.start) as usize;
        let to = span.end.saturating_sub(self.claim.span.start) as usize;
        self.text.get(from..to).unwrap_or_default().to_owned()
    }

    /// Whether the sentence means the claim so plainly that it can be called false.
    fn may_fail(&self) -> bool {
        if self.claim.told.is_some()
            || matches!(self.claim.kind, ClaimKind::Reference(Reference::Game(_)))
        {
            return self.claim.mood == Mood::Stated;
        }
        if !self.comment.trust.lets_fail(&self.claim) {
            return false;
        }
        let prose = &self.comment.prose;
        let line = self.claim.at.line();
        let line = line.and_then(|line| prose.lines.get(line as usize));
        if line.is_some_and(|line| line.imagined) {
            return false;
        }
        if !matches!(self.claim.kind, ClaimKind::Reference(_)) && self.is_told_of_nowhere() {
            return false;
        }
        match self.claim.mood {
            Mood::Stated => true,
            // "If 24...Kh8 25.Qg7 is mate": the line is the condition.
            Mood::Conditional | Mood::Counterfactual => {
                matches!(self.claim.kind, ClaimKind::Line)
                    || matches!(self.claim.at, At::End(_) | At::Subject(_) | At::Shown(_))
                        && self.claim.mood == Mood::Conditional
            }
            Mood::Hedged => matches!(self.claim.kind, ClaimKind::Line),
            _ => false,
        }
    }

    /// Whether the claim is denied.
    fn denied(&self) -> bool {
        self.claim.polarity == Polarity::Denied
    }

    /// Whether the claim is all that a comment in a game says.
    fn is_all(&self) -> bool {
        self.claim.extent <= Extent::Whole && self.comment.trust == Trust::Words
    }

    /// Whether it is the one word of a comment in a game.
    fn is_one_word(&self) -> bool {
        self.is_all() && self.claim.extent == Extent::Word
    }

    /// The line that the claim leans on, with the ways to play it.
    fn line(&self) -> Option<&Resolved> {
        self.comment.lines.get(self.claim.at.line()? as usize)
    }
}
