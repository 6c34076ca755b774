//! The unit of work: a section of a text, read, played through and judged.

use std::{
    hash::{DefaultHasher, Hasher},
    ops::Range,
};

use gainsay_notation::{Game, SectionKind, read_game};
use shakmaty::Chess;

use crate::{
    allowance,
    book::{self, Book, Within},
    drawn, epd,
    line_end::fitted,
    passage::{self, Beside, Near, Passage, Posed, Stand},
    pieces::{Block, Excerpt, Layout},
    question,
    questions::Questions,
    reading::Reading,
    recognise,
    replay::{Replay, View},
    report::{Accepted, Finding, Report, Settlement},
    rules::{
        binary_data::{self, is_no_text},
        check_notation,
    },
    settings::Settings,
    sink::Sink,
    solver::Solver,
};

/// Findings of the notation in one game, with those that it accepts.
fn judge(view: &View<'_>, settings: &Settings) -> (Vec<Finding>, Vec<Accepted>) {
    let mut sink = Sink::new(settings);
    if is_no_text(view) {
        binary_data::check(view, &mut sink);
    } else {
        check_notation(view, &mut sink);
    }
    let mut findings = sink.into_findings();
    let allowances = allowance::of_game(view);
    allowance::tell_notation(&allowances, &mut findings, settings);
    if !findings.is_empty() {
        recognise::mark(&mut findings, recognise::of_game(view), |span| {
            view.text.get(span.clone()).unwrap_or_default()
        });
    }
    let mut accepted = Vec::new();
    allowance::apply(&allowances, &mut findings, &mut accepted);
    (findings, accepted)
}

impl Excerpt {
    /// Checks it: notation and claims. `text` is the text that it was cut from; offsets
    /// in the report are relative to the piece, and games are counted from 1. Other games are
    /// looked up in `book`, which has the same offsets as `text`.
    #[must_use]
    pub fn check(
        &self,
        text: &[u8],
        book: &Book<'_>,
        settings: &Settings,
        solver: &mut Solver,
    ) -> Report {
        let of = |range: &Range<usize>| text.get(range.clone()).unwrap_or_default();
        let own = of(&self.range);
        if self.kind != SectionKind::Prose {
            let base = self.range.start;
            let within = Some(Within { book, base });
            let mut report = check_within(own, self.kind, within, settings, solver);
            if settings.claims && self.task.is_some() {
                let settled = self
                    .of_group(text, settings)
                    .settle(solver, settings, |_| {});
                report.take(settled);
            }
            let before = of(&(0..base));
            for finding in &mut report.findings {
                for remedy in &mut finding.remedies {
                    remedy.edits = fitted(std::mem::take(&mut remedy.edits), own, before);
                }
            }
            return report;
        }
        let questions = self.questions(text, book, settings);
        let settled = questions.settle(solver, settings, |_| {});
        Report {
            claims: settled.claims,
            findings: settled.findings,
            accepted: settled.accepted,
            unread: settled.unread,
            ..Report::default()
        }
    }

    /// The questions of its claims. `text` is the text that it was cut from; offsets are
    /// relative to the piece. Other games are looked up in `book`.
    #[must_use]
    pub fn questions<'t>(
        &self,
        text: &'t [u8],
        book: &Book<'_>,
        settings: &Settings,
    ) -> Questions<'t> {
        let of = |range: &Range<usize>| text.get(range.clone()).unwrap_or_default();
        let own = of(&self.range);
        if !settings.claims {
            return Questions::default();
        }
        let base = self.range.start;
        let within = Some(Within { book, base });
        match self.kind {
            SectionKind::Games => {
                let mut questions = Questions::default();
                for view in Reading::of(own, settings).views(own) {
                    questions.append(Questions::of_game(&view, within, settings));
                }
                questions
            }
            SectionKind::Epd => {
                let mut questions = Questions::of_line(own, settings);
                questions.append(self.of_group(text, settings));
                questions
            }
            SectionKind::Board => self.of_group(text, settings),
            SectionKind::Prose
                if self.named.is_empty() && self.near.iter().all(Option::is_none) =>
            {
                Questions::default()
            }
            SectionKind::Prose => {
                let text_of = |block: &Block| (of(&block.range), block.kind, block.number);
                let posed = |block: &Block| block.posed(text);
                let near = self.near.each_ref().map(|block| {
                    let block = block.as_ref()?;
                    Some((text_of(block), posed(block)))
                });
                let others: Vec<Beside<'_>> = self.others.iter().map(text_of).collect();
                let book = book::may_point(own).then_some(book);
                let named = self.named.iter().map(|(start, block)| {
                    let near = Near::positions(block.kind, of(&block.range));
                    let posed = posed(block);
                    (*start, Stand { near, posed })
                });
                let named = named.collect();
                let ties = (self.layout, named, self.shared.clone());
                let context = of(&(self.thread..self.range.end));
                let words = (own, context);
                of_prose(words, near, ties, &others, book, settings)
            }
        }
    }
}

impl Excerpt {
    /// The task that the position shares with others.
    fn of_group<'t>(&self, text: &'t [u8], settings: &Settings) -> Questions<'t> {
        let Some((words, block)) = &self.task else {
            return Questions::default();
        };
        let of = |range: &Range<usize>| text.get(range.clone()).unwrap_or_default();
        let own = of(&self.range);
        let positions = drawn::positions(self.kind, own);
        let posed = block.posed(text);
        Questions::of_claims(passage::of_group(
            of(words),
            &positions,
            posed,
            own,
            settings,
        ))
    }
}

impl Block {
    /// What the text says of it as an exercise.
    fn posed<'t>(&self, text: &'t [u8]) -> Posed<'t> {
        let solution = self.solution.clone();
        Posed {
            number: self.exercise,
            solution: solution.map(|range| text.get(range).unwrap_or_default()),
            genre: self.genre,
            solutions: self.solutions,
        }
    }
}

/// A block, its number as an exercise, and its solution if that stands elsewhere.
type Solved<'t> = (Beside<'t>, Posed<'t>);

/// Reads the blocks around prose and gives what is asked of it.
fn of_prose<'t>(
    (text, context): (&'t [u8], &'t [u8]),
    near: [Option<Solved<'t>>; 2],
    (layout, named, shared): (Layout, Vec<(usize, Stand<'_, 't>)>, Vec<usize>),
    others: &[Beside<'t>],
    book: Option<&Book<'_>>,
    settings: &Settings,
) -> Questions<'t> {
    let blocks = near.map(|block| block.map(|(block, _)| block));
    let readings = blocks.map(|block| match block {
        Some((text, SectionKind::Games, _)) => Reading::of(text, settings),
        _ => Reading::default(),
    });
    let [before, behind] = blocks.map(|block| block.map_or(&b""[..], |(text, ..)| text));
    let positions = |block: Option<Beside<'_>>| {
        block.map_or_else(Vec::new, |(text, kind, _)| Near::positions(kind, text))
    };
    let numbered = blocks.iter().flatten().chain(others);
    let diagrams: Vec<(u32, Chess)> = numbered
        .filter(|(.., number)| *number > 0)
        .flat_map(|&(text, kind, number)| {
            let positions = drawn::positions(kind, text).into_iter();
            positions.map(move |position| (number, position))
        })
        .collect();
    let [first, second] = &readings;
    let [before_posed, behind_posed] =
        near.map(|block| block.map_or_else(Posed::default, |(_, posed)| posed));
    // Of several games without tags the nearest.
    let last = first.views(before).last().map(Near::Game).into_iter();
    let next = second.views(behind).next().map(Near::Game).into_iter();
    let passage: Passage<'_, 't> = Passage {
        text,
        context,
        before: Stand {
            near: last.chain(positions(blocks[0])).collect(),
            posed: before_posed,
        },
        behind: Stand {
            near: next.chain(positions(blocks[1])).collect(),
            posed: behind_posed,
        },
        layout,
        named,
        shared,
        others,
        diagrams: &diagrams,
        book,
    };
    Questions::of_passage(&passage, settings)
}

/// Checks a piece of a text, whose bytes are `text`: notation and claims. Prose by itself
/// claims nothing, since nobody knows what it speaks of: see [`Excerpt::check`].
///
/// Offsets in the report are relative to it, and games are counted from 1. Nothing is known
/// of other games that it points at.
///
/// ```
/// use gainsay::{Document, Format, Settings, Solver, Verdict, check_piece};
/// let text = Document::open(b"6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n", Format::Epd);
/// let piece = &text.pieces()[0];
/// let mut solver = Solver::new(1 << 20);
/// let report = check_piece(text.bytes_of(piece), piece.kind, &Settings::default(), &mut solver);
/// assert_eq!(report.claims[0].verdict, Verdict::Holds);
/// ```
#[must_use]
pub fn check_piece(
    text: &[u8],
    kind: SectionKind,
    settings: &Settings,
    solver: &mut Solver,
) -> Report {
    check_within(text, kind, None, settings, solver)
}

fn check_within(
    text: &[u8],
    kind: SectionKind,
    within: Option<Within<'_>>,
    settings: &Settings,
    solver: &mut Solver,
) -> Report {
    match kind {
        SectionKind::Games => check_games(text, within, settings, solver),
        SectionKind::Epd => check_line(text, settings, solver),
        SectionKind::Board | SectionKind::Prose => Report::default(),
    }
}

/// Checks one line. Offsets are relative to the line, whose number is 1.
fn check_line(line: &[u8], settings: &Settings, solver: &mut Solver) -> Report {
    let mut report = epd::notation(line, settings);
    if settings.claims && epd::may_claim(line) {
        let settled = Questions::of_line(line, settings).settle(solver, settings, |_| {});
        report.take(settled);
    }
    report
}

impl Report {
    /// Takes in what became of claims.
    fn take(&mut self, settled: Settlement) {
        self.claims.extend(settled.claims);
        self.findings.extend(settled.findings);
        self.accepted.extend(settled.accepted);
        self.unread.extend(settled.unread);
        self.sort();
    }
}

/// What the notation of a piece gives.
///
/// ```
/// use gainsay::{Document, Format, NotationReader, Settings};
/// let mut text = Document::open(b"1. e4 e5 2. Ke2 {White mates in one.} *\n", Format::Pgn);
/// let notation = text.read(0, &mut NotationReader::default(), &Settings::default());
/// assert!(notation.may_claim && !notation.may_point);
/// assert_eq!((notation.report.games, notation.report.plies), (1, 3));
/// ```
#[derive(Debug, Default)]
pub struct Notation {
    /// Its findings and counts. Offsets as in [`check_piece`].
    pub report: Report,
    /// Whether it may hold claims.
    pub may_claim: bool,
    /// Whether these may point at other games.
    pub may_point: bool,
    /// A fingerprint of the numbers and names under which others point at its games.
    pub entries: u64,
}

/// Reads the notation of one piece after the other. The allocations for a game are kept for
/// the next: a game of a megabyte takes 30 MB, and getting them anew at every keystroke
/// takes as long as reading it.
///
/// ```
/// use gainsay::{Document, Format, NotationReader, Settings};
/// let text = Document::open(b"1. e4 e5 2. Ke3 *\n", Format::Pgn);
/// let kind = text.pieces()[0].kind;
/// let notation = NotationReader::default().read(text.text(), kind, &Settings::default());
/// assert_eq!(notation.report.findings[0].rule.name, "illegal-move");
/// ```
#[derive(Debug, Default)]
pub struct NotationReader {
    game: Game,
    replay: Replay,
}

/// What is kept from a game of more moves is given back when a game of fewer comes.
const LONG_GAME: usize = 10_000;

impl NotationReader {
    /// Reads the notation of a piece, whose bytes are `text`. Claims are not looked at.
    #[must_use]
    pub fn read(&mut self, text: &[u8], kind: SectionKind, settings: &Settings) -> Notation {
        match kind {
            SectionKind::Games => self.games(text, settings),
            SectionKind::Epd => Notation {
                report: epd::notation(text, settings),
                may_claim: epd::may_claim(text),
                ..Notation::default()
            },
            // Whether prose claims anything is for those to find out who know its neighbours.
            SectionKind::Board => Notation::default(),
            SectionKind::Prose => Notation {
                may_claim: !text.trim_ascii().is_empty(),
                may_point: book::may_point(text),
                entries: book::print_headings(text),
                ..Notation::default()
            },
        }
    }

    fn games(&mut self, text: &[u8], settings: &Settings) -> Notation {
        let mut report = Report::default();
        let (mut may_claim, mut may_point) = (false, false);
        let mut hasher = DefaultHasher::new();
        let mut from = 0;
        while let Some(next) = read_game(text, from, &mut self.game) {
            from = next.max(from + 1);
            self.replay.run(text, &self.game, settings.language);
            report.games += 1;
            report.numbers += 1;
            let view = View {
                text,
                game: &self.game,
                replay: &self.replay,
                index: report.games,
            };
            may_claim |= question::may_claim(&view);
            may_point |= book::comments_may_point(&view);
            book::print(&view, &mut hasher);
            let (findings, accepted) = judge(&view, settings);
            report.plies += self.replay.plies.len() as u64;
            report.findings.extend(findings);
            report.accepted.extend(accepted);
        }
        if self.replay.plies.len() < LONG_GAME && self.replay.plies.capacity() > LONG_GAME {
            *self = Self::default();
        }
        Notation {
            report,
            may_claim,
            may_point,
            entries: hasher.finish(),
        }
    }
}

fn check_games(
    text: &[u8],
    within: Option<Within<'_>>,
    settings: &Settings,
    solver: &mut Solver,
) -> Report {
    let mut report = Report::default();
    let mut scratch = solver.take_scratch();
    let (game, replay) = &mut *scratch;
    let mut from = 0;
    while let Some(next) = read_game(text, from, game) {
        from = next.max(from + 1);
        replay.run(text, game, settings.language);
        report.games += 1;
        report.numbers += 1;
        let view = View {
            text,
            game,
            replay,
            index: report.games,
        };
        let (mut findings, accepted) = judge(&view, settings);
        report.accepted.extend(accepted);
        report.plies += replay.plies.len() as u64;
        if settings.claims && !(replay.comments.is_empty() && replay.glyphs.is_empty()) {
            let questions = Questions::of_game(&view, within, settings);
            let settled = questions.settle(solver, settings, |_| {});
            report.claims.extend(settled.claims);
            report.unread.extend(settled.unread);
            report.accepted.extend(settled.accepted);
            if !settled.findings.is_empty() {
                findings.extend(settled.findings);
                findings.sort_by_key(|finding| (finding.span.start, finding.span.end));
            }
        }
        report.findings.extend(findings);
    }
    solver.keep_scratch(scratch);
    report
}
