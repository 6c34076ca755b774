//! Questions: the claims of a piece of text, each with all that its verdict depends on.

use std::{
    collections::{BTreeMap, HashSet},
    ops::Range,
    sync::Arc,
};

use crate::{
    allowance::{self, Allowance},
    book::Within,
    claims, epd,
    memory::Digest,
    outcome::{Claimed, Judged, Open, Outcome},
    passage::{self, Passage},
    question::{self, Comment, Question},
    recognise,
    replay::View,
    report::{Settlement, UnreadSentence},
    settings::Settings,
    sink::Sink,
    solver::Solver,
    spoken::{self, CitedStep, SpokenOf},
};

/// A claim that waits for its verdict.
#[derive(Debug)]
pub(crate) enum Posed<'t> {
    /// A claim of a comment, or of a glyph.
    Claim(Box<Question>),
    /// An operation of a line of EPD.
    Operation(Box<epd::Operation>),
    /// A claim of prose beside games and positions.
    Beside(Box<passage::ProseQuestion<'t>>),
}

impl Posed<'_> {
    /// All that the verdict depends on, within this budget and with these tables: the only key
    /// under which it is remembered.
    pub(crate) fn depends(&self, settings: &Settings, tables: bool) -> Digest {
        match self {
            Self::Claim(claim) => claim.depends(settings, tables),
            Self::Operation(operation) => operation.depends(settings, tables),
            Self::Beside(claim) => claim.depends(settings, tables),
        }
    }

    /// Settles it; `None` when the solver was stopped.
    fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        match self {
            Self::Claim(claim) => claims::settle(claim, solver, settings),
            Self::Operation(operation) => operation.settle(solver, settings),
            Self::Beside(claim) => claim.settle(solver, settings),
        }
    }

    /// The claim as it stands in the text.
    fn claimed(&self) -> Claimed<'_> {
        match self {
            Self::Claim(claim) => claim.claimed(),
            Self::Operation(operation) => operation.claimed(),
            Self::Beside(claim) => claim.claimed(),
        }
    }

    /// Where its words stand.
    pub(crate) fn span(&self) -> &Range<usize> {
        self.claimed().span
    }

    /// The claim of the comment that tells what it points at.
    fn pointing(&self) -> Option<&Question> {
        match self {
            Self::Claim(claim) => Some(claim),
            Self::Operation(_) => None,
            Self::Beside(claim) => Some(claim.pointing()),
        }
    }
}

/// The questions of a game, of a line of EPD or of a passage, in the order of the text.
///
/// ```
/// use gainsay::{Document, Format, Settings, Solver, Verdict};
/// let (settings, mut solver) = (Settings::default(), Solver::new(1 << 20));
/// let text = Document::open(b"1. f3 e5 2. g4 {Black mates in one.} Qh4# 0-1\n", Format::Pgn);
/// let questions = text.questions(0, &settings);
/// assert_eq!((questions.len(), questions.point()), (1, false));
/// let settled = questions.settle(&mut solver, &settings, |_| {});
/// assert_eq!(settled.claims[0].verdict, Verdict::Holds);
/// ```
#[derive(Debug, Default)]
pub struct Questions<'t> {
    all: Vec<Posed<'t>>,
    /// The last part of the fingerprints of findings in a game, by its number.
    games: BTreeMap<u32, u64>,
    allowances: Vec<Allowance>,
    /// Whether nobody else looks at the names in the allowances.
    names: bool,
    unread: Vec<UnreadSentence>,
}

impl<'t> Questions<'t> {
    fn new(all: Vec<Posed<'t>>, unread: Vec<UnreadSentence>) -> Self {
        Self {
            all,
            unread,
            ..Self::default()
        }
    }

    /// The questions of a game.
    pub(crate) fn of_game(
        view: &View<'_>,
        within: Option<Within<'_>>,
        settings: &Settings,
    ) -> Self {
        let asked = question::claims(view, within, settings);
        let claims = asked.questions.into_iter();
        let all: Vec<Posed<'t>> = claims.map(|claim| Posed::Claim(Box::new(claim))).collect();
        let games = match all.as_slice() {
            [] => BTreeMap::new(),
            _ => BTreeMap::from([(view.index, recognise::of_game(view))]),
        };
        Self {
            all,
            games,
            allowances: allowance::of_game(view),
            names: false,
            unread: asked.unread,
        }
    }

    /// The questions of a line of EPD.
    pub(crate) fn of_line(line: &[u8], settings: &Settings) -> Self {
        let (operations, prose) = epd::claims(line, settings);
        let operations = operations.into_iter().map(Box::new).map(Posed::Operation);
        let unread = prose.unread;
        let prose = prose.questions.into_iter().map(Box::new).map(Posed::Claim);
        let mut all: Vec<Posed<'t>> = operations.chain(prose).collect();
        all.sort_by_key(|posed| posed.span().start);
        Self {
            allowances: allowance::of_line(line),
            ..Self::new(all, unread)
        }
    }

    /// The questions of claims that were read.
    pub(crate) fn of_claims(claims: Vec<Question>) -> Self {
        let all = claims.into_iter().map(Box::new).map(Posed::Claim);
        Self::new(all.collect(), Vec::new())
    }

    /// The questions of a passage of prose.
    pub(crate) fn of_passage(passage: &Passage<'_, 't>, settings: &Settings) -> Self {
        let (questions, unread) = passage::questions(passage, settings);
        let all = questions.into_iter().map(Box::new).map(Posed::Beside);
        Self {
            allowances: allowance::of_prose(passage.text),
            names: true,
            ..Self::new(all.collect(), unread)
        }
    }

    /// Adds those of a later part of the same text.
    pub(crate) fn append(&mut self, mut later: Self) {
        self.all.append(&mut later.all);
        self.games.append(&mut later.games);
        self.allowances.append(&mut later.allowances);
        self.names |= later.names;
        self.unread.append(&mut later.unread);
    }

    /// How many there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Whether one of them points at other games.
    #[must_use]
    pub fn point(&self) -> bool {
        let mut pointing = self.all.iter().filter_map(Posed::pointing);
        pointing.any(Question::points)
    }

    /// The sections of the book with the games that they point at.
    pub fn look_at(&self) -> impl Iterator<Item = Range<usize>> {
        let pointing = self.all.iter().filter_map(Posed::pointing);
        pointing.flat_map(Question::looks_at)
    }

    /// The comments and paragraphs that they are asked of, each once and as it is read beside
    /// all that it can speak of.
    fn comments(&self) -> Vec<Vec<&Arc<Comment>>> {
        let mut all: Vec<Vec<&Arc<Comment>>> = Vec::new();
        let mut known = HashSet::new();
        for posed in &self.all {
            let beside = match posed {
                Posed::Claim(claim) => vec![&claim.comment],
                Posed::Operation(_) => continue,
                Posed::Beside(claim) => claim.comments(),
            };
            if known.insert(beside.first().map(|comment| Arc::as_ptr(comment))) {
                all.push(beside);
            }
        }
        all
    }

    /// The moves that are cited, each as it is played, in the order of the text.
    #[must_use]
    pub fn cited(&self) -> Vec<CitedStep> {
        let mut cited = Vec::new();
        for beside in self.comments() {
            spoken::steps(&beside, &mut cited);
        }
        cited.sort_by_key(|step| step.span.start);
        cited
    }

    /// What each paragraph of prose speaks of first.
    #[must_use]
    pub fn spoken_of(&self) -> Vec<SpokenOf> {
        let beside = self.all.iter().filter_map(|posed| match posed {
            Posed::Beside(claim) => claim.comments().first().copied(),
            _ => None,
        });
        let mut spoken: Vec<SpokenOf> = beside
            .map(|comment| SpokenOf {
                start: comment.base,
                position: comment.scene.here.clone(),
                mv: comment.mv.clone(),
            })
            .collect();
        spoken.dedup_by_key(|spoken| spoken.start);
        spoken
    }

    /// Settles them, each from the solver's memory or by the solver, until all are settled or
    /// it is stopped. `heard` is told what there is after each.
    pub fn settle(
        &self,
        solver: &mut Solver,
        settings: &Settings,
        mut heard: impl FnMut(&Settlement),
    ) -> Settlement {
        let mut settlement = Settlement {
            unread: self.unread.clone(),
            ..Settlement::default()
        };
        if self.all.is_empty() && self.allowances.is_empty() {
            return settlement;
        }
        let memory = solver.memory();
        let digests: Vec<Digest> = match &memory {
            Some(_) => {
                let tables = solver.has_tables();
                let questions = self.all.iter();
                questions
                    .map(|question| question.depends(settings, tables))
                    .collect()
            }
            None => Vec::new(),
        };
        let mut known = memory
            .as_ref()
            .map_or_else(Vec::new, |memory| memory.recall(&digests))
            .into_iter();
        let mut judged: Vec<Judged> = Vec::new();
        let mut anew = false;
        for question in &self.all {
            let one = match known.next().flatten() {
                Some(known) => known,
                None => {
                    anew = true;
                    let Some(settled) = question.settle(solver, settings) else {
                        break;
                    };
                    settled
                }
            };
            let claimed = question.claimed();
            if one.outcome == Outcome::Unsettled(Open::OfNothing) {
                judged.push(one);
                continue;
            }
            settlement.claims.push(claimed.settled(&one));
            let mut sink = Sink::new(settings);
            claimed.tell(&one, &mut sink);
            let mut found = sink.into_findings();
            let game = claimed.game.and_then(|game| self.games.get(&game));
            let game = game.copied().unwrap_or_default();
            let said = question.pointing().map(Question::said);
            let said = said.as_deref().unwrap_or(claimed.text);
            recognise::mark(&mut found, game, |_| said.as_bytes());
            allowance::apply(&self.allowances, &mut found, &mut settlement.accepted);
            settlement.findings.append(&mut found);
            judged.push(one);
            heard(&settlement);
        }
        if judged.len() == self.all.len() && !self.allowances.is_empty() {
            allowance::tell_claims(&self.allowances, self.names, &mut settlement, settings);
        }
        if let Some(memory) = memory.filter(|_| anew && !judged.is_empty()) {
            let digests = digests.get(..judged.len()).unwrap_or_default();
            memory.keep(digests, &judged);
        }
        settlement
    }
}
