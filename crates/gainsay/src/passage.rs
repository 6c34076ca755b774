//! Claims in the prose of a manuscript.
//!
//! A passage speaks of the games and positions beside it: of the block it follows, and,
//! as the text of an exercise does, of the one that comes behind it. Of which position of
//! a game it speaks is told by the moves it cites: a paragraph that names a move that was
//! played, with its number, speaks of that game, and stands where the move was played.
//!
//! A claim holds if it holds beside one of the neighbours. It fails only if it fails
//! beside all that the paragraph can speak of, and a line only if it can be played from no
//! other block of the chapter: solutions stand far from their exercises. A paragraph that
//! names no move of a game may speak of any of its positions, so that nothing in it fails
//! beside a game. What stands next to a position speaks of it as a comment does; farther off
//! only lines, pieces, mates and what an exercise asks for can fail. A heading parts what it
//! stands between.

use std::sync::Arc;

use gainsay_commentary::{CitedMove, Claim, ClaimKind, Context, Names, Prose, Reader};
use gainsay_notation::{Language, SectionKind, Span};
use gainsay_proof::Verdict;
use shakmaty::Chess;

use crate::{
    book::{Book, Within},
    claims,
    epd::record,
    memory::Digest,
    outcome::{Claimed, Judged, Open, Outcome, Placed},
    question::{
        Comment, Heard, LONGEST_COMMENT, Lookout, Pointed, Question, Trust, expected, pointer,
        resolve_lines, share_out,
    },
    replay::{CommentSite, View},
    report::UnreadSentence,
    resolve::{Resolution, resolve},
    scene::{Scene, Tree},
    settings::Settings,
    solver::Solver,
};

/// What stands beside a passage.
#[derive(Debug)]
pub(crate) enum Near<'a> {
    /// A game.
    Game(View<'a>),
    /// A position by itself.
    Position(Box<Chess>),
}

impl Near<'_> {
    /// The position of a line of EPD.
    pub(crate) fn position(line: &[u8]) -> Option<Self> {
        record::position(line).map(|position| Self::Position(Box::new(position)))
    }
}

/// A passage and what stands around it.
#[derive(Debug)]
pub(crate) struct Passage<'a, 't> {
    /// Its bytes.
    pub(crate) text: &'t [u8],
    /// What it follows.
    pub(crate) before: Option<Near<'a>>,
    /// What comes behind it.
    pub(crate) behind: Option<Near<'a>>,
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
    /// Whether the paragraph can speak of the neighbour.
    plausible: bool,
    claim: Question,
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
    let near = [&passage.before, &passage.behind];
    let context = context(near.into_iter().flatten(), settings);
    let lookout = passage.lookout();
    let mut reader = Reader::new();
    let paragraphs = paragraphs(passage.text, passage.before.is_some());
    let headings = paragraphs.last().map_or(0, |last| last.headings);
    let first = paragraphs.first().map_or(0, |first| first.start);
    let last = paragraphs.last().map_or(0, |last| last.start);
    let mut heard = Vec::new();
    let mut asked = Heard::default();
    for Paragraph {
        start: base,
        text: paragraph,
        headings: above,
    } in paragraphs
    {
        let mut prose = Prose::default();
        reader.read(paragraph, &context, &mut prose);
        asked.list(&prose, paragraph, base, None);
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
        let follows = above == 0;
        let leads = above == headings && (follows || base == last);
        let mut places: Vec<Neighbour> = near
            .into_iter()
            .zip([(follows, base == first), (leads, base == last)])
            .filter_map(|(near, (plausible, next))| {
                let mut place = Neighbour::of(near.as_ref()?, &said.prose)?;
                place.plausible = plausible;
                if next && place.trust == Trust::Position {
                    place.trust = Trust::Beside;
                }
                place.see(passage.diagrams);
                Some(place)
            })
            .collect();
        // A paragraph that names moves of one game speaks of no other neighbour.
        if places.iter().any(|place| place.trust == Trust::Cited) {
            for place in &mut places {
                place.plausible &= place.trust == Trust::Cited;
            }
        }
        places.push(Neighbour::opening());
        let readings: Vec<(bool, Vec<Question>)> = places
            .into_iter()
            .map(|mut place| (place.plausible, place.pending(&said)))
            .collect();
        heard.push((said, readings));
    }
    let all = heard.iter_mut().flat_map(|(_, readings)| readings);
    share_out(all.flat_map(|(_, claims)| claims), settings);
    let others = Arc::new(Others::of(passage.others));
    let mut all = Vec::new();
    for (said, readings) in heard {
        let mut columns: Vec<Vec<BesideReading>> = Vec::new();
        columns.resize_with(said.prose.claims.len(), Vec::new);
        for (plausible, claims) in readings {
            for (column, claim) in columns.iter_mut().zip(claims) {
                column.push(BesideReading { plausible, claim });
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
            parts.push(u8::from(reading.plausible));
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
        let meant = all().filter(|reading| reading.plausible);
        let others = all().filter(|reading| !reading.plausible);
        let readings = meant.chain(others);
        readings.map(|reading| &reading.claim.comment).collect()
    }

    /// The claim as it stands beside the neighbour that is meant first.
    pub(crate) fn claimed(&self) -> Claimed<'_> {
        let meant = self.readings().find(|reading| reading.plausible);
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
        if judged.outcome.verdict() == Verdict::Fails
            && let Some(elsewhere) = self.holds_elsewhere(solver, settings)
        {
            return Some(elsewhere);
        }
        Some(judged)
    }

    fn settle_beside(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        let mut first: Option<Judged> = None;
        let mut fails_everywhere = true;
        let mut nodes = 0;
        for BesideReading { plausible, claim } in self.readings() {
            // Beside what is not meant, only what costs nothing is looked at.
            if !plausible && !is_cheap(claim) {
                continue;
            }
            let mut here = claims::settle(claim, solver, settings)?;
            nodes += here.nodes;
            if here.outcome.verdict() == Verdict::Holds {
                here.nodes = nodes;
                return Some(claim.placed(here));
            }
            if *plausible {
                fails_everywhere &= here.outcome.verdict() == Verdict::Fails;
                first.get_or_insert_with(|| claim.placed(here));
            }
        }
        let Some(mut judged) = first else {
            return Some(Judged::of_nothing());
        };
        judged.nodes = nodes;
        if !fails_everywhere {
            judged.remarks.clear();
            if judged.outcome.verdict() == Verdict::Fails {
                judged.outcome = Outcome::Unsettled(Open::Undecided);
            }
        }
        Some(judged)
    }

    /// What it comes to beside the first other block where it holds, if it costs nothing to look.
    fn holds_elsewhere(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        if !is_cheap(&self.first.claim) {
            return None;
        }
        let mut held = |near: &Near<'_>| {
            let mut place = Neighbour::of(near, &Prose::default())?;
            let claims = place.pending(&self.said);
            let claim = claims.get(self.nth)?;
            let judged = claims::settle(claim, solver, settings)?;
            (judged.outcome.verdict() == Verdict::Holds).then(|| claim.placed(judged))
        };
        let mut blocks = self.others.blocks.iter();
        blocks.find_map(|&(block, kind, _)| match kind {
            SectionKind::Games => crate::reading::Reading::of(block, settings)
                .views(block)
                .find_map(|view| held(&Near::Game(view))),
            _ => held(&Near::position(block)?),
        })
    }
}

impl Question {
    /// What it came to, with the place that it was found at, and without what is wrong beside it:
    /// another neighbour may be meant.
    fn placed(&self, mut judged: Judged) -> Judged {
        judged.stands_at.clone_from(&self.comment.mv);
        let grounds = match &mut judged.outcome {
            Outcome::Holds(grounds) => {
                judged.remarks.clear();
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
    (position, game): (&Chess, u32),
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
    let Some(mut place) = Neighbour::of(&near, &prose) else {
        return;
    };
    place.trust = Trust::Beside;
    place.game = Some(game);
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
struct Neighbour {
    /// Taken by the claims that are read there.
    scene: Option<Scene>,
    mv: Option<String>,
    /// The number of the game, where the text stands in it.
    game: Option<u32>,
    trust: Trust,
    /// Whether the paragraph can speak of it.
    plausible: bool,
}

impl Neighbour {
    fn of(near: &Near<'_>, prose: &Prose) -> Option<Self> {
        match near {
            Near::Position(position) => Some(Self {
                scene: Some(Scene::alone(position)),
                mv: None,
                game: None,
                trust: Trust::Position,
                plausible: true,
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
                    plausible: true,
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
            plausible: false,
        }
    }

    fn pending(&mut self, said: &Said<'_>) -> Vec<Question> {
        let Some(scene) = self.scene.take() else {
            return Vec::new();
        };
        let mut lines = resolve_lines(&said.prose, &scene);
        for line in &mut lines {
            // Solutions are numbered from 1 whatever the position says.
            line.renumbered = None;
        }
        let comment = Comment {
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

/// A paragraph of a passage.
struct Paragraph<'a> {
    start: usize,
    text: &'a [u8],
    /// How many headings of the passage stand above it.
    headings: u32,
}

/// The paragraphs of a passage. Headings, quotations of code and
/// what is longer than any author writes are left out. Behind a block the first line may
/// be the one that closes it.
fn paragraphs(passage: &[u8], behind: bool) -> Vec<Paragraph<'_>> {
    let mut found = Vec::new();
    let mut start = 0;
    let mut end = 0;
    let mut fenced = false;
    let mut first = behind;
    let mut headings = 0;
    for line in passage.split_inclusive(|&byte| byte == b'\n' || byte == b'\r') {
        let from = end;
        end += line.len();
        let text = line.trim_ascii();
        let fence = text.starts_with(b"```") || text.starts_with(b"~~~");
        let heading = text.starts_with(b"#") && !fenced;
        if text.is_empty() || heading || fence || fenced {
            found.push((start, from, headings));
            start = end;
        }
        headings += u32::from(heading);
        fenced ^= fence && !first;
        first &= text.is_empty();
    }
    found.push((start, end, headings));
    found
        .into_iter()
        .filter_map(|(start, end, headings)| {
            Some(Paragraph {
                start,
                text: passage.get(start..end)?,
                headings,
            })
        })
        .filter(|found| !found.text.is_empty() && found.text.len() <= LONGEST_COMMENT as usize)
        .collect()
}

#[cfg(test)]
mod tests;
