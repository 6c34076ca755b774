//! Where allowances stand, and what they cover there.

use std::ops::Range;

use gainsay_notation::{
    CommentPart, ElementKind, EpdRecord, Span, comment_parts, decode, paragraphs, parse_epd_line,
};

use crate::replay::{CommentSite, View};

/// A finding of this rule is accepted within these bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Allowance {
    /// The name of the rule.
    pub(crate) rule: String,
    /// The author's reason.
    pub(crate) reason: String,
    /// The command itself, from bracket to bracket.
    pub(crate) span: Range<usize>,
    /// The name of the rule in it; empty where there is none.
    pub(crate) named: Range<usize>,
    /// What to take out with it: more than the command where nothing else stands beside it.
    pub(crate) whole: Range<usize>,
    /// The bytes it covers: in a game its move up to the next one, or the whole game where it
    /// stands before the first move; a line of EPD; a paragraph of prose.
    pub(crate) covers: Range<usize>,
    /// The game that it stands in, as findings count them.
    pub(crate) game: Option<u32>,
}

/// What every allowance begins with.
const MARK: &[u8] = b"[%allow";

/// The allowances of a game.
#[must_use]
pub(crate) fn of_game(view: &View<'_>) -> Vec<Allowance> {
    let mut found = Vec::new();
    for site in &view.replay.comments {
        let Some(element) = view.element(site.element) else {
            continue;
        };
        let ElementKind::Comment { body, .. } = element.kind else {
            continue;
        };
        if memchr::memmem::find(body.of(view.text), MARK).is_none() {
            continue;
        }
        let own = element.span.range();
        let covers = covers(view, site);
        read(view.text, body, &own, |_| covers.clone(), &mut found);
    }
    in_game(found, view.index)
}

/// The allowances of a line of EPD, which stand in its comments `c0` to `c9` (PGN standard,
/// 16.2.5.6).
pub(crate) fn of_line(line: &[u8]) -> Vec<Allowance> {
    let mut found = Vec::new();
    if memchr::memmem::find(line, MARK).is_none() {
        return found;
    }
    let Some(EpdRecord { operations, .. }) = parse_epd_line(line) else {
        return found;
    };
    for operation in &operations {
        if !matches!(operation.opcode.of(line), [b'c', b'0'..=b'9']) {
            continue;
        }
        for operand in operation.operands.iter().filter(|operand| operand.quoted) {
            // With the semicolon, if the comment holds nothing else.
            let end = operand.span.range().end;
            let rest = line.get(end..).unwrap_or_default();
            let semicolon = memchr::memchr(b';', rest).map_or(end, |at| end + at + 1);
            let own = operation.opcode.range().start..semicolon;
            read(line, operand.span, &own, |_| 0..line.len(), &mut found);
        }
    }
    in_game(found, 1)
}

/// The allowances in prose. One in a paragraph of its own covers the next paragraph too.
pub(crate) fn of_prose(text: &[u8]) -> Vec<Allowance> {
    let mut found = Vec::new();
    if memchr::memmem::find(text, MARK).is_none() {
        return found;
    }
    let paragraphs: Vec<Range<usize>> = paragraphs(text).collect();
    let mut nth = 0;
    for (at, paragraph) in paragraphs.iter().enumerate() {
        let body = Span::new(paragraph.start as u32, paragraph.end as u32);
        let next = paragraphs
            .get(at + 1)
            .map_or(paragraph.end, |next| next.end);
        read(
            text,
            body,
            paragraph,
            |alone| paragraph.start..if alone { next } else { paragraph.end },
            &mut found,
        );
        for allowance in found.iter_mut().skip(nth) {
            // A Markdown comment that holds nothing else goes with it.
            allowance.whole = with_space(text, in_markup(text, &allowance.span));
        }
        nth = found.len();
    }
    found
}

/// Reads the allowances in `body`, which is what `own` has inside. What one covers depends on
/// whether it stands there alone.
fn read(
    text: &[u8],
    body: Span,
    own: &Range<usize>,
    covers: impl Fn(bool) -> Range<usize>,
    found: &mut Vec<Allowance>,
) {
    let parts: Vec<CommentPart> = comment_parts(text, body).collect();
    let says_nothing = |part: &CommentPart| match part {
        CommentPart::Prose(words) => matches!(words.of(text), b"<!--" | b"-->"),
        CommentPart::Command { .. } => true,
    };
    let bare = parts.iter().all(says_nothing);
    let commands = parts
        .iter()
        .filter(|part| matches!(part, CommentPart::Command { .. }));
    let alone = bare && commands.count() == 1;
    for part in &parts {
        let CommentPart::Command {
            span,
            name,
            arguments,
        } = *part
        else {
            continue;
        };
        if name.of(text) != b"allow" {
            continue;
        }
        let words = decode(arguments.of(text));
        let (rule, reason) = words
            .split_once(char::is_whitespace)
            .unwrap_or((&words, ""));
        let named = arguments.range().start;
        found.push(Allowance {
            rule: rule.to_owned(),
            reason: reason.trim().trim_matches('"').to_owned(),
            span: span.range(),
            named: named..named + rule.len(),
            whole: with_space(text, if alone { own.clone() } else { span.range() }),
            covers: covers(bare),
            game: None,
        });
    }
}

fn in_game(mut found: Vec<Allowance>, game: u32) -> Vec<Allowance> {
    for allowance in &mut found {
        allowance.game = Some(game);
    }
    found
}

/// With one of the spaces that stand around it.
fn with_space(text: &[u8], span: Range<usize>) -> Range<usize> {
    let before = span
        .start
        .checked_sub(1)
        .filter(|&at| text.get(at) == Some(&b' '));
    before.unwrap_or(span.start)..span.end
}

/// What an allowance in a comment of a game covers.
fn covers(view: &View<'_>, site: &CommentSite) -> Range<usize> {
    let game = view.game.span.range();
    let elements = &view.game.elements;
    let next = elements
        .iter()
        .skip(site.element as usize + 1)
        .find(|element| {
            matches!(
                element.kind,
                ElementKind::Move(_) | ElementKind::Word { .. } | ElementKind::Number(_)
            )
        })
        .map_or(game.end, |element| element.span.start as usize);
    let Some(ply) = site.after.and_then(|at| view.replay.ply(at)) else {
        return game;
    };
    let start = if site.opens {
        view.span(site.element).start
    } else {
        view.span(ply.number.unwrap_or(ply.element)).start
    };
    start as usize..next
}

/// A command with the Markdown comment that holds nothing else.
fn in_markup(text: &[u8], span: &Range<usize>) -> Range<usize> {
    let before = text.get(..span.start).unwrap_or_default().trim_ascii_end();
    let behind = text.get(span.end..).unwrap_or_default();
    let space = behind.len() - behind.trim_ascii_start().len();
    match (before.strip_suffix(b"<!--"), behind.trim_ascii_start()) {
        (Some(before), behind) if behind.starts_with(b"-->") => {
            before.len()..span.end + space + b"-->".len()
        }
        _ => span.clone(),
    }
}
