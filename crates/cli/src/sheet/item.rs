//! What stands on a sheet: claims, findings of the notation, sentences left to the author.

use gainsay::{
    Acceptance, Accepted, Finding, Report, SettledClaim, Severity, UnreadSentence, Verdict,
    claim_rules,
    outcome::{Evidence, Line, Outcome},
    read_fen,
};
use shakmaty::{Bitboard, Chess, Square};

use super::{
    lines::{Shown, cited},
    quoted::Quoted,
    titles::Titles,
    which::{Moves, Which},
    words,
};
use crate::output::{Block, Place};

/// What became of something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum State {
    Fails,
    Error,
    Warning,
    Unsettled,
    Information,
    Hint,
    Accepted,
    Holds,
    Unread,
}

impl State {
    /// All of them, in the order in which filters list them.
    pub(crate) const ALL: [Self; 9] = [
        Self::Fails,
        Self::Unsettled,
        Self::Holds,
        Self::Error,
        Self::Warning,
        Self::Information,
        Self::Hint,
        Self::Accepted,
        Self::Unread,
    ];

    /// Its name in the page's code.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Fails => "fails",
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Unsettled => "unsettled",
            Self::Information => "information",
            Self::Hint => "hint",
            Self::Accepted => "accepted",
            Self::Holds => "holds",
            Self::Unread => "unread",
        }
    }

    /// Its name for readers.
    pub(crate) const fn told(self) -> &'static str {
        match self {
            Self::Fails => "Fails",
            Self::Error => "Wrong",
            Self::Warning => "Probably wrong",
            Self::Unsettled => "Not settled",
            Self::Information => "Worth knowing",
            Self::Hint => "Style",
            Self::Accepted => "Accepted",
            Self::Holds => "Holds",
            Self::Unread => "For your own eyes",
        }
    }

    /// Whether the author has something to do.
    pub(crate) const fn is_bad(self) -> bool {
        matches!(self, Self::Fails | Self::Error | Self::Warning)
    }

    /// Whether it is a verdict on a claim that moves can show.
    pub(crate) const fn is_verdict(self) -> bool {
        matches!(self, Self::Fails | Self::Holds)
    }

    /// Whether its board stands open on the page.
    pub(crate) const fn is_open(self) -> bool {
        self.is_bad() || matches!(self, Self::Unsettled)
    }
}

impl From<Severity> for State {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Error => Self::Error,
            Severity::Warning => Self::Warning,
            Severity::Information => Self::Information,
            Severity::Hint => Self::Hint,
        }
    }
}

/// Something on the sheet.
#[derive(Debug)]
pub(crate) struct Item {
    pub(crate) state: State,
    /// The kind of claim, or the rule.
    pub(crate) kind: String,
    /// What it is, for its heading.
    pub(crate) heading: String,
    pub(crate) offset: usize,
    pub(crate) place: Place,
    pub(crate) game: Option<u32>,
    /// Who played that game.
    pub(crate) players: Option<String>,
    /// The move it stands at.
    pub(crate) mv: Option<String>,
    pub(crate) quoted: Quoted,
    /// What is wrong, in sentences.
    pub(crate) messages: Vec<String>,
    /// What more there is to say.
    pub(crate) notes: Vec<String>,
    pub(crate) remedies: Vec<String>,
    /// How what is shown is called.
    pub(crate) by: &'static str,
    /// What shows the verdict.
    pub(crate) shown: Vec<Shown>,
    pub(crate) position: Option<Chess>,
    /// Which position it is.
    pub(crate) which: Which,
    /// The squares that the author's words name.
    pub(crate) named: Bitboard,
}

/// The items of a part of a text, in its order. Findings of less than `least` are left out.
pub(crate) fn items(
    report: &Report,
    block: &Block<'_>,
    titles: &Titles,
    least: Severity,
) -> Vec<Item> {
    let mut claims: Vec<Item> = (report.claims.iter())
        .map(|claim| of_claim(claim, block))
        .collect();
    let mut others = Vec::new();
    for finding in &report.findings {
        match told_with(finding, &report.claims) {
            Some(at) => tell(&mut claims[at], finding, &report.claims[at]),
            None if finding.severity >= least => others.push(of_finding(finding, block)),
            None => {}
        }
    }
    for accepted in &report.accepted {
        let at = told_with(&accepted.finding, &report.claims);
        let item = match at {
            Some(at) => {
                tell(&mut claims[at], &accepted.finding, &report.claims[at]);
                &mut claims[at]
            }
            None => {
                others.push(of_finding(&accepted.finding, block));
                let last = others.len() - 1;
                &mut others[last]
            }
        };
        // What is told all the same goes before what is accepted.
        if at.is_none_or(|_| item.messages.len() < 2) {
            item.state = State::Accepted;
        }
        item.notes.push(accepted_how(accepted));
    }
    others.extend((report.unread.iter()).map(|sentence| of_unread(sentence, block)));
    for (item, claim) in claims.iter_mut().zip(&report.claims) {
        tell_again(item, claim, report);
    }
    claims.append(&mut others);
    for item in claims.iter_mut().filter(|item| item.game.is_some()) {
        item.players = titles.at(item.offset).map(ToOwned::to_owned);
    }
    claims.sort_by_key(|item| item.offset);
    let mut moves = Moves::default();
    for item in &mut claims {
        if item.position.is_none() {
            // Moves are shown where they start, if there is no position that was asked about.
            item.position = item.shown.iter().find_map(Shown::start).cloned();
        }
        if let Some(position) = &item.position {
            let range = titles.range(item.offset);
            let range = range.map(|game| block.range(game));
            item.which = moves.which(block.bytes, range.as_ref(), item.mv.as_deref(), position);
        }
    }
    claims
}

/// The claim whose failing a finding tells.
fn told_with(finding: &Finding, claims: &[SettledClaim]) -> Option<usize> {
    if !claim_rules().any(|rule| rule == finding.rule) {
        return None;
    }
    let at = |claim: &SettledClaim| {
        claim.verdict == Verdict::Fails
            && claim.span.start <= finding.span.start
            && finding.span.end <= claim.span.end
    };
    // Of claims within each other the shortest.
    let found = claims.iter().enumerate().filter(|(_, claim)| at(claim));
    found
        .min_by_key(|(_, claim)| claim.span.len())
        .map(|(at, _)| at)
}

fn of_claim(claim: &SettledClaim, block: &Block<'_>) -> Item {
    let position = claim.position.as_deref().and_then(position);
    let lines = claim.outcome.grounds().map(|grounds| &grounds.evidence);
    let lines: Vec<(String, &Line)> = (lines.into_iter().flatten())
        .filter_map(|evidence| match evidence {
            Evidence::Line(line) => Some((gainsay::show::line(line.start(), line.moves()), line)),
            Evidence::Game(_) | Evidence::LastMove(_) => None,
        })
        .collect();
    let shown = claim.evidence.iter().map(|text| {
        let line = lines.iter().find(|(written, _)| written == text);
        line.map_or_else(
            || Shown::read(text, &position),
            |(_, line)| Shown::line(line.start(), line.moves()),
        )
    });
    let mut shown: Vec<Shown> = shown.collect();
    let mut by = words::by(claim, lines.first().map(|(_, line)| *line));
    if shown.is_empty()
        && claim.kind == "line"
        && let Some(start) = &position
    {
        // A line that can be played shows itself.
        shown.extend(cited(&claim.text, start));
        by = "The line:";
    }
    let notes: Vec<String> = claim.note.iter().cloned().collect();
    Item {
        state: match claim.verdict {
            Verdict::Holds => State::Holds,
            Verdict::Fails => State::Fails,
            Verdict::Unsettled => State::Unsettled,
        },
        kind: claim.kind.clone().into_owned(),
        heading: words::heading(claim),
        offset: claim.span.start,
        place: block.place(claim.span.start),
        game: claim.game,
        players: None,
        mv: claim.mv.clone(),
        quoted: Quoted::of(block.bytes, block.range(&claim.span)),
        messages: match &claim.outcome {
            Outcome::Unsettled(open) => vec![words::reason(claim, open)],
            Outcome::Holds(_) | Outcome::Fails(_) => Vec::new(),
        },
        notes,
        remedies: Vec::new(),
        by,
        shown,
        which: Which::default(),
        named: named(&claim.text),
        position,
    }
}

/// Puts what a finding says into its claim.
fn tell(item: &mut Item, finding: &Finding, claim: &SettledClaim) {
    let there = finding.position.as_deref().and_then(position);
    for text in &finding.evidence {
        if !claim.evidence.contains(text) {
            item.shown
                .push(Shown::read(text, there.iter().chain(&item.position)));
        }
    }
    // The position that shows what is wrong goes before the one that was asked about.
    if item.messages.is_empty() && there.is_some() {
        item.position = there;
    }
    item.messages.push(finding.message.clone());
    item.remedies
        .extend(finding.remedies.iter().map(|remedy| remedy.title.clone()));
}

/// A claim that fails because of what another within it says is told with the other's words.
fn tell_again(item: &mut Item, claim: &SettledClaim, report: &Report) {
    if item.state != State::Fails || !item.messages.is_empty() {
        return;
    }
    let within = |finding: &&Finding| {
        claim.span.start <= finding.span.start
            && finding.span.end <= claim.span.end
            && claim_rules().any(|rule| rule == finding.rule)
    };
    let told = report.findings.iter().filter(within);
    item.messages
        .extend(told.map(|finding| finding.message.clone()));
}

fn of_finding(finding: &Finding, block: &Block<'_>) -> Item {
    let position = finding.position.as_deref().and_then(position);
    let shown = finding.evidence.iter();
    let related = (finding.related.iter()).map(|related| {
        let place = block.place(related.span.start);
        format!("see line {}: {}", place.line, related.message)
    });
    let quoted = Quoted::of(block.bytes, block.range(&finding.span));
    Item {
        state: finding.severity.into(),
        kind: finding.rule.name.to_owned(),
        heading: words::kind(finding.rule.name),
        offset: finding.span.start,
        place: block.place(finding.span.start),
        game: finding.game,
        players: None,
        mv: finding.mv.clone(),
        messages: vec![finding.message.clone()],
        notes: finding.note.iter().cloned().chain(related).collect(),
        remedies: (finding.remedies.iter())
            .map(|remedy| remedy.title.clone())
            .collect(),
        by: "Shown by",
        shown: shown.map(|text| Shown::read(text, &position)).collect(),
        which: Which::default(),
        named: named(&quoted.words),
        quoted,
        position,
    }
}

fn of_unread(sentence: &UnreadSentence, block: &Block<'_>) -> Item {
    Item {
        state: State::Unread,
        kind: String::new(),
        heading: String::new(),
        offset: sentence.span.start,
        place: block.place(sentence.span.start),
        game: None,
        players: None,
        mv: sentence.mv.clone(),
        quoted: Quoted {
            words: sentence
                .text
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" "),
            ..Quoted::default()
        },
        messages: Vec::new(),
        notes: vec![sentence.words.join(", ")],
        remedies: Vec::new(),
        by: "",
        shown: Vec::new(),
        position: None,
        which: Which::default(),
        named: Bitboard::EMPTY,
    }
}

/// How it is accepted.
fn accepted_how(accepted: &Accepted) -> String {
    match &accepted.how {
        Acceptance::Allowed { reason } if reason.is_empty() => "accepted in the text".to_owned(),
        Acceptance::Allowed { reason } => format!("accepted in the text: {reason}"),
        Acceptance::Known => "known and accepted".to_owned(),
    }
}

fn position(fen: &str) -> Option<Chess> {
    read_fen(fen, false).0
}

/// The squares that words name, those that moves go to included.
fn named(words: &str) -> Bitboard {
    let pairs = words.as_bytes().windows(2);
    pairs
        .filter_map(|pair| Square::from_ascii(pair).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_squares() {
        let squares = named("the rook on e8, then Rxa7+ and castles; i9 is none");
        assert_eq!(
            squares,
            Bitboard::from(Square::E8) | Bitboard::from(Square::A7)
        );
    }
}
