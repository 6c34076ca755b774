//! The text format: the author's proof sheet.

use std::{
    borrow::Cow,
    io::{self, IsTerminal, Write},
    path::Path,
};

use annotate_snippets::{
    AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet, renderer::DecorStyle,
};
use gainsay::{
    Finding, Report, SettledClaim, Severity, UnreadSentence,
    show::{counted, verdicts},
};

use super::{
    alike::{Alike, Rest},
    form::{Block, Output, Place},
};
use crate::{
    args::CheckArgs,
    board,
    print::{self, acts, line},
    totals::Totals,
};

/// How many lines of the source a finding shows at most.
const MOST_LINES: usize = 4;
/// How many bytes of the source a finding shows at most on either side.
const MOST_BYTES: usize = 400;
/// How many lines of evidence and how many remedies a finding shows at most.
const MOST_NOTES: usize = 4;

pub(crate) struct Text<W> {
    out: W,
    renderer: Renderer,
    boards: bool,
    claims: bool,
    alike: Alike,
    path: String,
    files: u64,
    least: Severity,
}

impl<W: Write> Text<W> {
    pub(crate) fn new(out: W, args: &CheckArgs, least: Severity) -> Self {
        // https://no-color.org: any value that is not empty switches colours off.
        let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let renderer = if io::stdout().is_terminal() && !plain {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        Self {
            out,
            renderer: renderer.decor_style(DecorStyle::Unicode),
            boards: args.boards,
            claims: args.claims,
            alike: Alike::default(),
            path: String::new(),
            files: 0,
            least,
        }
    }

    fn finding(&mut self, finding: &Finding, block: &Block<'_>) -> io::Result<()> {
        let level = match finding.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
            Severity::Information => Level::INFO.with_name("information"),
            Severity::Hint => Level::NOTE.with_name("hint"),
        };
        let place = block.place(finding.span.start);
        let excerpt = Excerpt::of(finding, block);
        let mut snippet = Snippet::source(excerpt.text.as_str())
            .line_start(place.line as usize)
            .annotation(AnnotationKind::Primary.span(excerpt.span.clone()));
        let mut group = Group::with_title(
            level
                .primary_title(line(&finding.message))
                .id(finding.rule.name),
        );
        if excerpt.whole_lines {
            snippet = snippet.path(self.path.as_str());
        } else {
            // The column within the excerpt is not the column within the line.
            group = group.element(
                Origin::path(self.path.as_str())
                    .line(place.line as usize)
                    .char_column(place.column as usize),
            );
        }
        group = group.element(snippet);
        for moves in finding.evidence.iter().take(MOST_NOTES) {
            group = group.element(note("shown by", moves));
        }
        if let Some(words) = &finding.note {
            group = group.element(note("note", words));
        }
        for related in finding.related.iter().take(MOST_NOTES) {
            let there = block.place(related.span.start);
            group = group.element(note(
                "see",
                &format!("{}:{}: {}", there.line, there.column, related.message),
            ));
        }
        for remedy in finding.remedies.iter().take(MOST_NOTES) {
            group = group.element(note("remedy", &remedy.title));
        }
        let text = self.renderer.render(&[group]);
        writeln!(self.out, "{text}")?;
        if self.boards
            && let Some(position) = &finding.position
            && let Some(drawing) = board::draw(position)
        {
            writeln!(self.out, "\n{drawing}")?;
        }
        writeln!(self.out)
    }

    /// Findings that are like others that were shown.
    fn more(&mut self, group: &Rest) -> io::Result<()> {
        let of_file = |(file, places): &(String, Vec<Place>)| {
            let places = places.iter().map(|at| format!("{}:{}", at.line, at.column));
            format!("{file}:{}", places.collect::<Vec<_>>().join(", "))
        };
        let places: Vec<String> = group.places.iter().map(of_file).collect();
        write!(
            self.out,
            "{}[{}]: {} more of this kind, at {}",
            group.severity.as_str(),
            group.rule,
            group.more,
            places.join("; ")
        )?;
        let others = group.more - group.named() as u64;
        if others > 0 {
            write!(
                self.out,
                " and {} (--format lines has them all)",
                counted(others, "other place")
            )?;
        }
        writeln!(self.out, "\n")
    }

    /// What became of some words, their place, and the words in one line.
    fn quoted(&mut self, what: &str, quoted: &Quoted<'_>, block: &Block<'_>) -> io::Result<()> {
        let place = block.place(quoted.start);
        let words: Vec<&str> = quoted.text.split_whitespace().collect();
        let mv = quoted.mv.map(|mv| format!("{}  ", line(mv)));
        write!(
            self.out,
            "{what:9}  {}:{}:{}  {}\"{}\"",
            self.path,
            place.line,
            place.column,
            mv.unwrap_or_default(),
            line(&words.join(" "))
        )
    }

    fn unread(&mut self, sentence: &UnreadSentence, block: &Block<'_>) -> io::Result<()> {
        let quoted = Quoted {
            start: sentence.span.start,
            mv: sentence.mv.as_deref(),
            text: &sentence.text,
        };
        self.quoted("unread", &quoted, block)?;
        let words = sentence.words.join(", ");
        writeln!(self.out, "  not understood: {}", line(&words))
    }

    fn claim(&mut self, claim: &SettledClaim, block: &Block<'_>) -> io::Result<()> {
        let quoted = Quoted {
            start: claim.span.start,
            mv: claim.mv.as_deref(),
            text: &claim.text,
        };
        self.quoted(claim.verdict.as_str(), &quoted, block)?;
        if let Some(moves) = claim.evidence.first() {
            write!(self.out, "  {}", line(moves))?;
        }
        if let Some(words) = &claim.note {
            write!(self.out, " ({})", line(words))?;
        }
        if !claim.unread.is_empty() {
            write!(
                self.out,
                "  not understood: {}",
                line(&claim.unread.join(", "))
            )?;
        }
        writeln!(self.out)
    }
}

/// Words of the author with their place.
struct Quoted<'a> {
    start: usize,
    mv: Option<&'a str>,
    text: &'a str,
}

/// A note under a finding, with a word of ours for what it is.
fn note<'a>(name: &'a str, text: &str) -> Element<'a> {
    let text = Cow::Owned(line(text).into_owned());
    Level::NOTE.with_name(name).message(text).into()
}

/// The lines of the source that a finding stands in, cut where they are too long.
struct Excerpt {
    text: String,
    span: std::ops::Range<usize>,
    /// Whether it begins where its first line begins.
    whole_lines: bool,
}

impl Excerpt {
    fn of(finding: &Finding, block: &Block<'_>) -> Self {
        let wanted = block.range(&finding.span);
        let first = block.lines.line_of(wanted.start);
        let start = block
            .lines
            .line(block.bytes, first)
            .map_or(wanted.start, |line| line.start);
        let last = block
            .lines
            .line_of(wanted.end.max(wanted.start))
            .min(first + MOST_LINES - 1);
        let end = block
            .lines
            .line(block.bytes, last)
            .map_or(wanted.end, |line| line.end);
        let line_start = start;
        let start = start.max(wanted.start.saturating_sub(MOST_BYTES));
        let end = end
            .min(wanted.end.min(wanted.start + MOST_BYTES) + MOST_BYTES)
            .max(start);
        let part = |range: std::ops::Range<usize>| {
            let bytes = block.bytes.get(range).unwrap_or_default();
            // Tabs and control characters would tear the underline from its words.
            String::from_utf8_lossy(bytes)
                .chars()
                .map(|c| if acts(c) && c != '\n' { ' ' } else { c })
                .collect::<String>()
        };
        let marked_end = wanted.end.clamp(wanted.start, end);
        let before = part(start..wanted.start);
        let marked = part(wanted.start..marked_end);
        let after = part(marked_end..end);
        let span = before.len()..before.len() + marked.len();
        Self {
            text: format!("{before}{marked}{after}"),
            span,
            whole_lines: start == line_start,
        }
    }
}

impl<W: Write> Output for Text<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = print::name(path);
        self.files += 1;
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            if !self
                .alike
                .take(finding, &self.path, block.place(finding.span.start))
            {
                self.finding(finding, block)?;
            }
        }
        if self.claims {
            let mut unread = report.unread.iter().peekable();
            for claim in &report.claims {
                let start = claim.span.start;
                while let Some(sentence) = unread.next_if(|next| next.span.start < start) {
                    self.unread(sentence, block)?;
                }
                self.claim(claim, block)?;
            }
            for sentence in unread {
                self.unread(sentence, block)?;
            }
        }
        self.out.flush()
    }

    fn end_file(&mut self, games: u64, _plies: u64) -> io::Result<()> {
        if games == 0 {
            print::complain(&format!("{} holds no game", self.path));
        }
        Ok(())
    }

    fn finish(&mut self, totals: &Totals) -> io::Result<()> {
        let groups: Vec<Rest> = self.alike.drain().collect();
        for group in &groups {
            self.more(group)?;
        }
        if self.files == 0 {
            // There is nothing to count.
            return self.out.flush();
        }
        let counts: Vec<String> = Severity::ALL
            .into_iter()
            .filter(|&severity| totals.count(severity) > 0)
            .map(|severity| {
                let count = totals.count(severity);
                match severity {
                    Severity::Information => format!("{count} information"),
                    _ => counted(count, severity.as_str()),
                }
            })
            .collect();
        let accepted: Vec<String> = [(totals.known, "known"), (totals.allowed, "allowed")]
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, how)| format!("{count} {how}"))
            .collect();
        if !counts.is_empty() || !accepted.is_empty() {
            let counts = match counts.as_slice() {
                [] if totals.known > 0 => "nothing new".to_owned(),
                [] => "no findings".to_owned(),
                counts => counts.join(", "),
            };
            write!(self.out, "{counts}")?;
            if !accepted.is_empty() {
                write!(self.out, "; {}", accepted.join(", "))?;
            }
            let below = Severity::ALL.into_iter().filter(|&it| it < self.least);
            let below = below.filter(|&it| totals.count(it) > 0);
            if let Some(last) = below.clone().min() {
                let hidden: u64 = below.map(|it| totals.count(it)).sum();
                write!(self.out, " ({hidden} not shown: --show {})", last.as_str())?;
            }
            writeln!(self.out)?;
        }
        let mut read = Vec::new();
        if totals.games > 0 || totals.positions == 0 {
            read.push(counted(totals.games, "game"));
            read.push(counted(totals.plies, "move"));
        }
        if totals.positions > 0 {
            read.push(counted(totals.positions, "position"));
        }
        write!(self.out, "{}", read.join(", "))?;
        if totals.holds + totals.fails + totals.unsettled > 0 {
            let verdicts = verdicts(totals.holds, totals.fails, totals.unsettled);
            write!(self.out, ", {verdicts}")?;
            if totals.short > 0 {
                write!(self.out, " ({} for want of nodes: --nodes)", totals.short)?;
            }
        }
        if totals.unread > 0 {
            let sentences = counted(totals.unread, "sentence");
            write!(self.out, "; {sentences} for your own eyes")?;
        }
        writeln!(self.out)?;
        self.out.flush()
    }
}
