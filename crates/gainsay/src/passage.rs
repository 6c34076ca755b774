//! Claims in the prose of a manuscript.
//!
//! A passage speaks of the games and positions beside it: of the block it follows, and,
//! as the text of an exercise does, of the one that comes behind it. Of which position of
//! a game it speaks is told by the moves it cites: a paragraph that names a move that was
//! played, with its number, speaks of that game, and stands where the move was played.
//!
//! Of two blocks, the author's layout tells which is meant (`outline.rs`), or the lines that can be
//! played beside one of them only; a paragraph of a solutions page names its exercise by its number.
//! Where both are possible a claim holds only if it holds beside both, but for a line, which tells
//! by itself where it belongs. It fails only if it fails
//! beside all that the paragraph can speak of, and a line only if it can be played from no
//! other block of the chapter: solutions stand far from their exercises. A board that is drawn does not
//! tell who is to move: the words or the moves do, or both are possible. A paragraph that
//! names no move of a game may speak of any of its positions, so that nothing in it fails
//! beside a game. What stands next to a position speaks of it as a comment does; farther off
//! only lines, pieces, mates and what an exercise asks for can fail. A heading parts what it
//! stands between.

use std::{collections::BTreeMap, sync::Arc};

use gainsay_commentary::{
    CitedMove, Claim, ClaimKind, Context, Names, Prose, Reader, Stipulation, Subject,
};
use gainsay_notation::{Language, SectionKind, Span};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

use crate::{
    book::{Book, Within},
    claims, drawn,
    label::without_number_behind,
    memory::Digest,
    outcome::{Claimed, Fault, Judged, Outcome, Placed, Why},
    pieces::Layout,
    prose::{Parts, parts},
    question::{
        Comment, Given, Heard, LONGEST_COMMENT, Lookout, Pointed, Question, Reached, Thread, Trust,
        expected, pointer, resolve_lines, share_out,
    },
    replay::{CommentSite, View},
    report::UnreadSentence,
    resolve::{Resolution, resolve},
    scene::{Scene, Tree},
    settings::Settings,
    solver::Solver,
    tasks::{Genre, task_of_all},
};

mod short;
mod told;

use short::{gives_task, unsaid};
use told::{Told, agreed};

/// What stands beside a passage.
#[derive(Debug)]
pub(crate) enum Near<'a> {
    /// A game.
    Game(View<'a>),
    /// A position by itself.
    Position(Box<Chess>),
}

impl Near<'_> {
    /// The positions of a block that stands by itself.
    pub(crate) fn positions(kind: SectionKind, text: &[u8]) -> Vec<Self> {
        let positions = drawn::positions(kind, text).into_iter();
        positions
            .map(|position| Self::Position(Box::new(position)))
            .collect()
    }
}

/// What a text says of a position elsewhere, for an exercise.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Posed<'t> {
    pub(crate) number: Option<u32>,
    pub(crate) solution: Option<&'t [u8]>,
    /// What it asks for that is not proved.
    pub(crate) genre: Option<Genre>,
    /// How many solutions its words say that it has.
    pub(crate) solutions: Option<u32>,
}

impl Posed<'_> {
    /// Whether the text says that the position is an exercise.
    const fn is_exercise(&self) -> bool {
        self.number.is_some() || self.solution.is_some()
    }
}

/// What stands on one side of a passage.
#[derive(Debug)]
pub(crate) struct Stand<'a, 't> {
    pub(crate) near: Vec<Near<'a>>,
    pub(crate) posed: Posed<'t>,
}

/// Where a neighbour stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Where {
    Before,
    Behind,
    /// It is named by its number.
    Named,
    /// It is the start of every game.
    Opening,
}

/// A passage and what stands around it.
#[derive(Debug)]
pub(crate) struct Passage<'a, 't> {
    /// Its bytes.
    pub(crate) text: &'t [u8],
    /// The text from some way before it to its end.
    pub(crate) context: &'t [u8],
    /// What it follows: a game, a position, or both positions that a board can be.
    pub(crate) before: Stand<'a, 't>,
    /// What comes behind it.
    pub(crate) behind: Stand<'a, 't>,
    /// Which of them its paragraphs speak of.
    pub(crate) layout: Layout,
    /// What paragraphs speak of that name it by its number, by where they begin.
    pub(crate) named: Vec<(usize, Stand<'a, 't>)>,
    /// The paragraphs that give a task to several positions, each of which tells it by itself.
    pub(crate) shared: Vec<usize>,
    /// Other blocks of the chapter.
    pub(crate) others: &'a [Beside<'t>],
    /// The positions within reach that have a number in the text, which prose calls diagrams.
    pub(crate) diagrams: &'a [(u32, Chess)],
    /// The book, if the passage may point at its games.
    pub(crate) book: Option<&'a Book<'a>>,
}

/// The bytes of a block, what it holds, and its number among the positions of the text.
pub(crate) type Beside<'a> = (&'a [u8], SectionKind, u32);

impl<'a> Passage<'a, '_> {
    fn lookout(&self) -> Option<Lookout<'a>> {
        let within = Within {
            book: self.book?,
            base: 0,
        };
        Some(Lookout { within, here: None })
    }
}

/// A claim of a passage, with what it can be said of.
#[derive(Debug)]
pub(crate) struct ProseQuestion<'t> {
    /// As it is beside the first neighbour, and beside the others.
    first: BesideReading,
    rest: Vec<BesideReading>,
    /// Whether it is told of another game, so that it depends on no neighbour.
    told: bool,
    said: Arc<Said<'t>>,
    /// Which of the paragraph's claims it is.
    nth: usize,
    others: Arc<Others<'t>>,
}

/// A claim as it is beside one neighbour.
#[derive(Debug)]
struct BesideReading {
    spot: Spot,
    claim: Question,
}

/// What is known of a neighbour.
#[derive(Clone, Copy, Debug)]
struct Spot {
    place: Where,
    /// Whether it is one of the two positions that a board can be.
    drawn: bool,
    /// Whether the paragraph can speak of it.
    plausible: bool,
}

/// The other blocks of the chapter.
#[derive(Debug)]
struct Others<'t> {
    blocks: Vec<Beside<'t>>,
    print: Digest,
}

impl<'t> Others<'t> {
    fn of(blocks: &[Beside<'t>]) -> Self {
        let mut parts = Vec::new();
        for (text, kind, _) in blocks {
            parts.extend_from_slice(format!("{kind:?} {} ", text.len()).as_bytes());
            parts.extend_from_slice(text);
        }
        Self {
            blocks: blocks.to_vec(),
            print: Digest::of(&[&parts]),
        }
    }
}

/// The claims of a passage. Offsets are relative to it, and no claim has the number of a game,
/// since the game stands in another section.
pub(crate) fn questions<'t>(
    passage: &Passage<'_, 't>,
    settings: &Settings,
) -> (Vec<ProseQuestion<'t>>, Vec<UnreadSentence>) {
    let near = passage.before.near.iter().chain(&passage.behind.near);
    let context = context(near, settings);
    let lookout = passage.lookout();
    let mut reader = Reader::new();
    let parts = parts(passage.text, !passage.before.near.is_empty());
    let mut thread: Option<Arc<Thread>> = None;
    let before = passage.context.len().saturating_sub(passage.text.len());
    let mut heard = Vec::new();
    let mut asked = Heard::default();
    let headings = parts
        .headings
        .iter()
        .filter(|heading| passage.names(heading.start));
    let headings = headings.map(|heading| (None, heading.start, heading.words));
    let paragraphs = (parts.paragraphs.iter().enumerate())
        .map(|(nth, paragraph)| (Some(nth), paragraph.start, paragraph.text));
    let mut all: Vec<_> = headings.chain(paragraphs).collect();
    all.sort_by_key(|&(_, start, _)| start);
    for (nth, base, paragraph) in all {
        let paragraph = without_number_behind(paragraph);
        let mut prose = Prose::default();
        reader.read(paragraph, &context, &mut prose);
        if nth.is_some() {
            asked.list(&prose, paragraph, base, None);
        } else {
            // A heading may name anything; as a caption it gives the task.
            prose.claims.retain(|claim| gives_task(&claim.kind));
        }
        if nth.is_none() || passage.is_of_exercise(base) {
            prose.claims.extend(unsaid(paragraph, &prose));
        }
        if prose.claims.is_empty() {
            continue;
        }
        let pointed = lookout.map_or_else(Vec::new, |lookout| {
            lookout.look_up(&mut reader, paragraph, &context, &mut prose, settings)
        });
        let said = Arc::new(Said {
            paragraph,
            base,
            context: context.clone(),
            prose,
            pointed: Arc::new(pointed),
        });
        let mut places = passage.around(&parts, nth, base, &said.prose);
        // A paragraph that names moves of one game speaks of no other neighbour.
        if places.iter().any(|(_, place)| place.trust == Trust::Cited) {
            for (spot, place) in &mut places {
                spot.plausible &= place.trust == Trust::Cited;
            }
        }
        let mut readings: Vec<(Spot, Vec<Question>)> = Vec::new();
        for (spot, mut place) in places {
            if spot.place == Where::Opening && loses_a_line(&readings, &said.prose) {
                let thread = thread
                    .get_or_insert_with(|| Arc::new(Thread::of(passage.context, context.letters)));
                place.thread = Some(thread.at(before + base));
            }
            readings.push((spot, place.pending(&said)));
        }
        tell_apart(&mut readings);
        heard.push((said, readings));
    }
    let all = heard.iter_mut().flat_map(|(_, readings)| readings);
    share_out(all.flat_map(|(_, claims)| claims), settings);
    let others = Arc::new(Others::of(passage.others));
    let mut all = Vec::new();
    for (said, readings) in heard {
        let mut columns: Vec<Vec<BesideReading>> = Vec::new();
        columns.resize_with(said.prose.claims.len(), Vec::new);
        for (spot, claims) in readings {
            for (column, claim) in columns.iter_mut().zip(claims) {
                column.push(BesideReading { spot, claim });
            }
        }
        let claims = said.prose.claims.iter().zip(columns).enumerate();
        for (nth, (claim, beside)) in claims {
            let mut beside = beside.into_iter();
            let Some(first) = beside.next() else {
                continue;
            };
            all.push(ProseQuestion {
                first,
                rest: beside.collect(),
                told: claim.told.is_some() || pointer(claim).is_some(),
                said: Arc::clone(&said),
                nth,
                others: Arc::clone(&others),
            });
        }
    }
    (all, asked.unread)
}

impl ProseQuestion<'_> {
    /// All that the verdict depends on: the claim beside each neighbour, and for what may stand
    /// far from its exercise the other blocks.
    pub(crate) fn depends(&self, settings: &Settings, tables: bool) -> Digest {
        let mut parts: Vec<u8> = vec![u8::from(self.told)];
        for reading in self.readings() {
            let Spot {
                place,
                drawn,
                plausible,
            } = reading.spot;
            parts.extend([place as u8, u8::from(drawn), u8::from(plausible)]);
            parts.extend_from_slice(reading.claim.depends(settings, tables).bytes());
        }
        let far = is_cheap(&self.first.claim);
        let others = if far {
            self.others.print
        } else {
            Digest::default()
        };
        let language = format!("{:?}", settings.language);
        Digest::of(&[b"beside", &parts, others.bytes(), language.as_bytes()])
    }

    /// As it is beside all that it can be said of.
    fn readings(&self) -> impl Iterator<Item = &BesideReading> {
        let rest = self.rest.iter().filter(|_| !self.told);
        std::iter::once(&self.first).chain(rest)
    }

    /// The paragraph as it is read beside all that it can speak of, what is meant first.
    pub(crate) fn comments(&self) -> Vec<&Arc<Comment>> {
        let all = || std::iter::once(&self.first).chain(&self.rest);
        let meant = all().filter(|reading| reading.spot.plausible);
        let others = all().filter(|reading| !reading.spot.plausible);
        let readings = meant.chain(others);
        readings.map(|reading| &reading.claim.comment).collect()
    }

    /// The claim as it stands beside the neighbour that is meant first.
    pub(crate) fn claimed(&self) -> Claimed<'_> {
        let meant = self.readings().find(|reading| reading.spot.plausible);
        meant.unwrap_or(&self.first).claim.claimed()
    }

    /// The claim that tells what it points at.
    pub(crate) const fn pointing(&self) -> &Question {
        &self.first.claim
    }

    /// Settles it beside all neighbours. `None` when the solver was stopped.
    pub(crate) fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        if self.told {
            return claims::settle(&self.first.claim, solver, settings);
        }
        let judged = self.settle_beside(solver, settings)?;
        if judged.outcome.verdict() == Verdict::Fails && self.holds_elsewhere(solver, settings) {
            return Some(judged.left_open());
        }
        Some(judged)
    }

    fn settle_beside(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        let mut told: BTreeMap<Where, Told> = BTreeMap::new();
        let mut nodes = 0;
        for BesideReading { spot, claim } in self.readings() {
            // Beside what is not meant, only what costs nothing is looked at.
            if !spot.plausible && !is_cheap(claim) {
                continue;
            }
            let mut here = claims::settle(claim, solver, settings)?;
            nodes += here.nodes;
            // Nobody says whose turn it is on a board that is drawn.
            if spot.drawn && tells_turn(claim) {
                here = here.left_open();
            }
            // A line with another number may begin somewhere behind.
            let renamed = claim.line().is_some_and(|line| line.renamed);
            if renamed && here.outcome.verdict() == Verdict::Fails {
                here = here.left_open();
            }
            let holds = here.outcome.verdict() == Verdict::Holds;
            if !spot.plausible {
                if holds && spot.place == Where::Opening {
                    here.nodes = nodes;
                    let threaded = claim.line().is_some_and(|line| line.threaded);
                    // What stands nearer may be meant, and then it is wrong.
                    let open = threaded && told.values().any(Told::is_refuted);
                    let here = if open { here.left_open() } else { here };
                    return Some(claim.placed(here));
                }
                // It may be told of that one, which the text does not say.
                if holds {
                    told.entry(spot.place).or_default().loose = true;
                }
                continue;
            }
            let here = claim.placed(here);
            let told = told.entry(spot.place).or_default();
            told.all_fail &= here.outcome.verdict() == Verdict::Fails;
            told.of_game = is_game(claim);
            match holds {
                true => drop(told.holds.get_or_insert(here)),
                false => drop(told.other.get_or_insert(here)),
            }
        }
        let mut judged = agreed(told.into_values(), is_cheap(&self.first.claim));
        judged.nodes = nodes;
        Some(judged)
    }

    /// Whether it holds beside another block, if it costs nothing to look: it may be told of that
    /// one.
    fn holds_elsewhere(&self, solver: &mut Solver, settings: &Settings) -> bool {
        if !is_cheap(&self.first.claim) {
            return false;
        }
        let mut held = |near: &Near<'_>| {
            let mut held = || {
                let mut place = Neighbour::of(near, &Prose::default())?;
                let claims = place.pending(&self.said);
                let judged = claims::settle(claims.get(self.nth)?, solver, settings)?;
                Some(judged.outcome.verdict() == Verdict::Holds)
            };
            held().unwrap_or_default()
        };
        let mut blocks = self.others.blocks.iter();
        blocks.any(|&(block, kind, _)| match kind {
            SectionKind::Games => crate::reading::Reading::of(block, settings)
                .views(block)
                .any(|view| held(&Near::Game(view))),
            _ => Near::positions(kind, block).iter().any(&mut held),
        })
    }
}

/// Whether a line with moves can be played beside nothing that was looked at.
fn loses_a_line(readings: &[(Spot, Vec<Question>)], prose: &Prose) -> bool {
    let comments = || {
        let claims = readings.iter().filter_map(|(_, claims)| claims.first());
        claims.map(|claim| &claim.comment)
    };
    let played = |at: usize| {
        let mut lines = comments().filter_map(|comment| comment.lines.get(at));
        lines.any(|line| !line.readings.is_empty())
    };
    (0..prose.lines.len()).any(|at| !played(at))
}

/// Whether a claim says whose turn it is.
const fn tells_turn(claim: &Question) -> bool {
    matches!(
        claim.claim.kind,
        ClaimKind::Stipulation(Stipulation::Turn | Stipulation::ToPlay)
    )
}

/// Whether a question is asked beside a game.
fn is_game(claim: &Question) -> bool {
    claim.comment.mv.is_some() || matches!(claim.comment.trust, Trust::Cited | Trust::Nothing)
}

/// Finds out which of several positions a paragraph speaks of: the one whose side to move it names,
/// and the one from which all its lines can be played. The others are not plausible any more.
fn tell_apart(readings: &mut [(Spot, Vec<Question>)]) {
    let played = |claims: &[Question]| {
        let lines = claims.first().map(|claim| &claim.comment.lines);
        lines.map_or((0, 0), |lines| {
            let playable = lines.iter().filter(|line| !line.readings.is_empty());
            (playable.count(), lines.len())
        })
    };
    let turn = |claims: &[Question]| claims.first().map(|claim| claim.comment.scene.here.turn());
    // Who is to move, by the words of what an exercise asks for.
    for (spot, claims) in readings.iter_mut().filter(|(spot, _)| spot.drawn) {
        let named =
            claims
                .iter()
                .find_map(|claim| match (&claim.claim.kind, claim.claim.subject) {
                    (ClaimKind::Stipulation(_), Subject::Side(side)) => Some(side),
                    _ => None,
                });
        spot.plausible &= named.is_none_or(|named| turn(claims) == Some(named));
    }
    let plausible = |spot: &Spot| spot.plausible && spot.place != Where::Opening;
    let fits = |(spot, claims): &(Spot, Vec<Question>)| {
        let (playable, all) = played(claims);
        plausible(spot) && all > 0 && playable == all
    };
    if readings.iter().any(fits) {
        for reading in readings.iter_mut() {
            let fits = fits(reading);
            let (spot, claims) = reading;
            // Beside a game a line may stand at any of its moves.
            spot.plausible &= fits || claims.first().is_some_and(is_game);
        }
    }
}

impl<'t> Passage<'_, 't> {
    /// Whether the paragraph or heading that begins there speaks of a block that the outline found.
    fn names(&self, start: usize) -> bool {
        self.named.iter().any(|(named, _)| *named == start)
    }

    /// Whether the paragraph that begins there is plainly the text of an exercise.
    fn is_of_exercise(&self, start: usize) -> bool {
        let near = [&self.before, &self.behind].into_iter();
        let posed =
            |stand: &Stand<'_, '_>| stand.posed.is_exercise() || stand.posed.genre.is_some();
        self.names(start) || near.into_iter().any(posed)
    }

    /// What a paragraph or heading that begins at `base` can speak of, and the start of every game, since prose
    /// tells of openings anywhere.
    fn around(
        &self,
        parts: &Parts<'_>,
        nth: Option<usize>,
        base: usize,
        prose: &Prose,
    ) -> Vec<(Spot, Neighbour<'t>)> {
        let mut all = Vec::new();
        let paragraphs = &parts.paragraphs;
        let paragraph = nth.and_then(|nth| paragraphs.get(nth));
        let (first, last) = (
            nth == Some(0),
            nth.map(|nth| nth + 1) == Some(paragraphs.len()),
        );
        let above = paragraph.map(|paragraph| paragraph.headings as usize);
        let shared = self.shared.contains(&base);
        let mut follows = above == Some(0) && !shared;
        let mut leads = above == Some(parts.headings.len()) && (follows || last) && !shared;
        if follows && leads && !self.before.near.is_empty() && !self.behind.near.is_empty() {
            match self.layout {
                Layout::Below if first => leads = false,
                Layout::Above if last => follows = false,
                _ => {}
            }
        }
        let mut named = self.named.iter().filter(|(start, _)| *start == base);
        let named = named.next().map(|(_, stand)| stand);
        let own = named.is_none_or(|stand| stand.near.is_empty());
        let mut add = |stand: &Stand<'_, 't>, place, plausible, next| {
            for one in &stand.near {
                let Some(mut neighbour) = Neighbour::of(one, prose) else {
                    continue;
                };
                if next && neighbour.trust == Trust::Position {
                    neighbour.trust = Trust::Beside;
                }
                neighbour.see(self.diagrams);
                neighbour.posed = stand.posed;
                let spot = Spot {
                    place,
                    drawn: stand.near.len() > 1,
                    plausible,
                };
                all.push((spot, neighbour));
            }
        };
        add(&self.before, Where::Before, own && follows, first);
        add(&self.behind, Where::Behind, own && leads, last);
        if let Some(named) = named {
            add(named, Where::Named, true, true);
        }
        let opening = Spot {
            place: Where::Opening,
            drawn: false,
            plausible: false,
        };
        all.push((opening, Neighbour::opening()));
        all
    }
}

impl Question {
    /// What it came to, with the place that it was found at, and without what is wrong beside it:
    /// another neighbour may be meant.
    fn placed(&self, mut judged: Judged) -> Judged {
        judged.stands_at.clone_from(&self.comment.mv);
        let grounds = match &mut judged.outcome {
            Outcome::Holds(grounds) => {
                // What is wrong with an exercise belongs to its own position.
                let of_exercise = |fault: &Fault| matches!(fault.why, Why::Exercise(_));
                judged.remarks.retain(of_exercise);
                grounds
            }
            Outcome::Fails(refuted) => &mut refuted.grounds,
            Outcome::Unsettled(_) => return judged,
        };
        let here = || Placed(self.comment.scene.here.clone());
        grounds.position.get_or_insert_with(here);
        judged
    }
}

/// The claims of a text that speaks of one position and stands at `base`, as a comment in the
/// `game` with that number would.
pub(crate) fn of_position(
    text: &[u8],
    base: usize,
    (position, game): (&Chess, Option<u32>),
    posed: Posed<'_>,
    settings: &Settings,
    asked: &mut Heard,
) {
    if text.len() > LONGEST_COMMENT as usize {
        return;
    }
    let near = Near::Position(Box::new(position.clone()));
    let context = context(std::iter::once(&near), settings);
    let mut prose = Prose::default();
    Reader::new().read(text, &context, &mut prose);
    asked.list(&prose, text, base, None);
    if posed.is_exercise() {
        prose.claims.extend(unsaid(text, &prose));
    }
    let Some(mut place) = Neighbour::of(&near, &prose) else {
        return;
    };
    place.trust = Trust::Beside;
    place.game = game;
    place.posed = posed;
    let mut pending = place.pending(&Said {
        paragraph: text,
        base,
        context,
        prose,
        pointed: Arc::default(),
    });
    share_out(pending.iter_mut(), settings);
    asked.questions.append(&mut pending);
}

/// The task that several positions share, asked of one of them, whose bytes are `block`. Where nobody
/// knows who is to move, the words must say so.
pub(crate) fn of_group(
    text: &[u8],
    positions: &[Chess],
    posed: Posed<'_>,
    block: &[u8],
    settings: &Settings,
) -> Vec<Question> {
    let mut asked = Heard::default();
    let text = task_of_all(text);
    for position in positions {
        of_position(text, 0, (position, None), posed, settings, &mut asked);
    }
    let blank = block.len() - block.trim_ascii_start().len();
    let span = blank..blank + block.trim_ascii().len();
    let mut questions = asked.questions;
    questions.retain_mut(|question| {
        let turn = question.comment.scene.here.turn();
        let own = match question.claim.subject {
            Subject::Side(side) => side == turn || positions.len() == 1,
            _ => positions.len() == 1,
        };
        // Its words stand elsewhere, where nothing may be written for the sake of one position.
        question.claim.number = None;
        question.span = span.clone();
        own && gives_task(&question.claim.kind)
    });
    questions
}

/// Whether looking at a claim beside another neighbour costs next to nothing.
fn is_cheap(pending: &Question) -> bool {
    matches!(
        pending.claim.kind,
        ClaimKind::Line | ClaimKind::Mention | ClaimKind::Pieces(_)
    )
}

/// The names of the players and the letters of the pieces: those of the nearest game.
fn context<'n>(mut near: impl Iterator<Item = &'n Near<'n>>, settings: &Settings) -> Context {
    let game = near.find_map(|near| match near {
        Near::Game(view) => Some(view),
        Near::Position(_) => None,
    });
    let mut context = Context {
        letters: settings.language.unwrap_or(Language::English),
        ..Context::default()
    };
    if let Some(view) = game {
        let tag = |name| {
            let tag = view.game.tag(view.text, name);
            tag.map_or_else(String::new, |tag| tag.value(view.text).into_owned())
        };
        context.names = Names::new(&tag("White"), &tag("Black")).annotated_by(&tag("Annotator"));
        context.letters = view.replay.language;
    }
    context
}

/// What a paragraph says.
#[derive(Debug)]
struct Said<'a> {
    paragraph: &'a [u8],
    base: usize,
    /// What it is read with.
    context: Context,
    prose: Prose,
    pointed: Arc<Vec<Pointed>>,
}

/// A neighbour, as a paragraph sees it.
struct Neighbour<'t> {
    /// Taken by the claims that are read there.
    scene: Option<Scene>,
    mv: Option<String>,
    /// The number of the game, where the text stands in it.
    game: Option<u32>,
    trust: Trust,
    posed: Posed<'t>,
    /// What earlier text leads to, for lines that go on from there.
    thread: Option<Reached>,
}

impl Neighbour<'_> {
    fn of(near: &Near<'_>, prose: &Prose) -> Option<Self> {
        match near {
            Near::Position(position) => Some(Self {
                scene: Some(Scene::alone(position)),
                mv: None,
                game: None,
                trust: Trust::Position,
                posed: Posed::default(),
                thread: None,
            }),
            Near::Game(view) => {
                let cited = cited_ply(view, prose);
                let last = || {
                    let plies = &view.replay.plies;
                    let main = plies
                        .iter()
                        .rposition(|ply| ply.depth == 0 && ply.after.is_some());
                    main.and_then(|at| u32::try_from(at).ok())
                };
                let at = cited.or_else(last);
                let ply = at.and_then(|at| view.replay.ply(at));
                let site = CommentSite {
                    element: ply.map_or(0, |ply| ply.element + 1),
                    after: at,
                    opens: false,
                    depth: ply.map_or(0, |ply| ply.depth),
                };
                let tree = Arc::new(Tree::of(view));
                Some(Self {
                    scene: Some(Scene::of(view, &site, &tree)?),
                    mv: ply.map(|ply| view.name(ply)),
                    game: None,
                    trust: if cited.is_some() {
                        Trust::Cited
                    } else {
                        Trust::Nothing
                    },
                    posed: Posed::default(),
                    thread: None,
                })
            }
        }
    }

    /// Lets the text point at these diagrams, if the game here has none of its own.
    fn see(&mut self, diagrams: &[(u32, Chess)]) {
        if let Some(scene) = &mut self.scene {
            scene.see(diagrams);
        }
    }

    /// The start of every game: prose tells of openings anywhere.
    fn opening() -> Self {
        Self {
            scene: Some(Scene::alone(&Chess::default())),
            mv: None,
            game: None,
            trust: Trust::Nothing,
            posed: Posed::default(),
            thread: None,
        }
    }

    fn pending(&mut self, said: &Said<'_>) -> Vec<Question> {
        let Some(mut scene) = self.scene.take() else {
            return Vec::new();
        };
        let thread = self.thread.take();
        if let Some(thread) = &thread {
            scene.print = Digest::of(&[scene.print.bytes(), thread.print().bytes()]);
        }
        let mut lines = resolve_lines(&said.prose, &scene, thread.as_ref());
        for line in &mut lines {
            // Solutions are numbered from 1 whatever the position says.
            line.renumbered = None;
        }
        let asks =
            |claim: &Claim| matches!(claim.kind, ClaimKind::Stipulation(_) | ClaimKind::Mate(_));
        let Posed {
            number,
            solution,
            genre,
            solutions,
        } = self.posed;
        let posed = self.posed.is_exercise() && said.prose.claims.iter().any(asks);
        let given = posed.then(|| Given {
            number,
            ..Given::of_prose(solution.unwrap_or_default(), &scene.here, &said.context)
        });
        let comment = Comment {
            given: given.map(Arc::new),
            genre,
            solutions,
            prose: Prose::default(),
            scene,
            lines,
            game: self.game,
            mv: self.mv.take(),
            words: Vec::new(),
            base: said.base,
            trust: self.trust,
            pointed: Arc::clone(&said.pointed),
            print: Digest::default(),
        };
        comment.pending(said.paragraph, &said.context, said.prose.clone())
    }
}

/// The first ply of the game that the prose names with its number.
fn cited_ply(view: &View<'_>, prose: &Prose) -> Option<u32> {
    let replay = view.replay;
    let told = |claim: &&Claim| claim.told.is_some();
    let elsewhere: Vec<Span> = (prose.claims.iter().filter(told))
        .filter_map(|claim| Some(prose.lines.get(claim.at.line()? as usize)?.span))
        .collect();
    let of_here = |cited: &&CitedMove| {
        let inside = |line: &Span| line.start <= cited.span.start && cited.span.end <= line.end;
        !elsewhere.iter().any(inside)
    };
    prose.moves.iter().filter(of_here).find_map(|cited| {
        let wanted = cited.number.and_then(expected)?;
        let at = replay.plies.iter().position(|ply| {
            ply.count == wanted
                && ply.played.is_some()
                && replay.before(ply).is_some_and(|before| {
                    matches!(resolve(before, &cited.written),
                        Resolution::Legal(m, _) if Some(m) == ply.played)
                })
        })?;
        u32::try_from(at).ok()
    })
}

#[cfg(test)]
mod tests;
