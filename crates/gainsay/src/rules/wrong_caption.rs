//! Diagrams in a game whose caption names another moment.

use std::ops::Range;

use gainsay_notation::ElementKind;
use shakmaty::Position;

use crate::{
    boards::diagrams_of,
    replay::{Ply, View},
    report::{Edit, Finding, Remedy},
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// The caption of a diagram names another move than the one that leads to its position.
    ///
    /// "Position after 16.Qxf6" or "After White's 16th move" below a diagram among the moves of a game is
    /// compared with the game. Told only where the diagram is another position of that game's main line.
    ///
    /// ```text before
    /// 1. e4 e5 2. Nf3
    ///
    /// 8 r n b q k b n r
    /// 7 p p p p . p p p
    /// 6 . . . . . . . .
    /// 5 . . . . p . . .
    /// 4 . . . . P . . .
    /// 3 . . . . . N . .
    /// 2 P P P P . P P P
    /// 1 R N B Q K B . R
    ///
    /// Position after 1...e5.
    ///
    /// 2... Nc6 *
    /// ```
    ///
    /// ```text after
    /// 1. e4 e5 2. Nf3
    ///
    /// 8 r n b q k b n r
    /// 7 p p p p . p p p
    /// 6 . . . . . . . .
    /// 5 . . . . p . . .
    /// 4 . . . . P . . .
    /// 3 . . . . . N . .
    /// 2 P P P P . P P P
    /// 1 R N B Q K B . R
    ///
    /// Position after 2.Nf3.
    ///
    /// 2... Nc6 *
    /// ```
    RULE = "wrong-caption", Severity::Warning
}

/// A longer paragraph is no caption.
const LONGEST: usize = 120;

/// The moment that a caption names.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Named {
    /// Half-moves, as [`Ply::count`] counts them.
    count: u32,
    /// The move without signs, if it is told.
    written: Option<Vec<u8>>,
    /// Its bytes in the caption.
    span: Range<usize>,
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for site in &view.replay.comments {
        let Some(ElementKind::Comment { body, .. }) =
            view.element(site.element).map(|element| element.kind)
        else {
            continue;
        };
        for (span, board) in diagrams_of(view.text, body) {
            let Some((at, named)) = caption(view.text, body.range(), &span.range()) else {
                continue;
            };
            let plies = view.replay.plies.iter();
            let shown = plies.filter(|ply| {
                let after = ply.after.as_ref();
                after.is_some_and(|position| *position.board() == board)
            });
            let shown: Vec<&Ply> = shown.collect();
            if let Some(finding) = wrong(view, &shown, &named, at) {
                sink.push(finding);
            }
        }
    }
}

/// What is wrong with a caption at this offset, where the plies lead to its diagram.
fn wrong(view: &View<'_>, shown: &[&Ply], named: &Named, at: usize) -> Option<Finding> {
    let bare_of = |ply: &Ply| bare(view.span(ply.element).of(view.text));
    let is_named = |ply: &Ply| {
        let written = named.written.as_ref();
        ply.count == named.count && written.is_none_or(|written| *written == bare_of(ply))
    };
    let [ply] = shown else { return None };
    if ply.depth > 0 || is_named(ply) {
        return None;
    }
    // Another number, of a move that was made: else who knows what is meant.
    let known = view
        .replay
        .plies
        .iter()
        .any(|ply| ply.depth == 0 && is_named(ply));
    if ply.count != named.count && !known {
        return None;
    }
    let name = view.name(ply);
    let span = at + named.span.start..at + named.span.end;
    let words = view.text.get(span.clone())?;
    let mut finding = Finding::new(
        &RULE,
        &span,
        format!("This diagram is the position after {name}."),
    );
    if named.written.is_some() && !words.contains(&b' ') {
        finding.remedies.push(Remedy {
            title: format!("Write {name}"),
            safe: false,
            edits: vec![Edit { span, text: name }],
        });
    }
    Some(finding)
}

/// The caption of a board that is printed in a comment: the paragraph behind it or before it, and
/// where that begins.
fn caption(text: &[u8], body: Range<usize>, board: &Range<usize>) -> Option<(usize, Named)> {
    let behind = text.get(board.end..body.end)?;
    let start = board.end + (behind.len() - behind.trim_ascii_start().len());
    // One byte more than a caption has tells that it is none.
    let rest = text.get(start..body.end.min(start + LONGEST + 1))?;
    let end = rest.windows(2).position(|pair| pair == b"\n\n");
    let below = rest.get(..end.unwrap_or(rest.len()))?;
    if let Some(named) = named(below) {
        return Some((start, named));
    }
    let before = text.get(body.start..board.start)?.trim_ascii_end();
    let from = before.len().saturating_sub(LONGEST + 1);
    let near = before.get(from..)?;
    let start = near.windows(2).rposition(|pair| pair == b"\n\n");
    let start = start.map_or(0, |at| at + 2);
    Some((body.start + from + start, named(near.get(start..)?)?))
}

/// The moment that a paragraph names, if that is all that it does.
fn named(paragraph: &[u8]) -> Option<Named> {
    const BEFORE: [&[u8]; 14] = [
        b"diagram",
        b"board",
        b"the",
        b"position",
        b"stellung",
        b"no",
        b"first",
        b"second",
        b"third",
        b"fourth",
        b"fifth",
        b"sixth",
        b"seventh",
        b"eighth",
    ];
    if paragraph.len() > LONGEST {
        return None;
    }
    let mut at = 0;
    loop {
        let (word, next) = word(paragraph, at)?;
        let lower = trimmed(word).to_ascii_lowercase();
        let number = lower.iter().all(u8::is_ascii_digit);
        at = next;
        if matches!(lower.as_slice(), b"after" | b"nach") {
            break;
        }
        (number || BEFORE.contains(&lower.as_slice())).then_some(())?;
    }
    let (first, next) = word(paragraph, at)?;
    let start = next - first.len();
    let digits = first
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let (count, written, end) = if digits > 0 {
        let number: u32 = std::str::from_utf8(first.get(..digits)?)
            .ok()?
            .parse()
            .ok()?;
        let dots = first.get(digits..)?;
        let length = dots.iter().take_while(|&&byte| byte == b'.').count();
        let black = match length {
            1 => 0,
            2 | 3 => 1,
            _ => return None,
        };
        let (written, end) = match dots.get(length..)? {
            [] => word(paragraph, next)?,
            joined => (joined, next),
        };
        let count = number.checked_mul(2)?.checked_add(black)?;
        (count, Some(bare(trimmed(written))), end)
    } else {
        // "After White's 14th move"
        let black = match first.to_ascii_lowercase().as_slice() {
            b"white's" | b"white\xe2\x80\x99s" => 0,
            b"black's" | b"black\xe2\x80\x99s" => 1,
            _ => return None,
        };
        let (ordinal, next) = word(paragraph, next)?;
        let (noun, end) = word(paragraph, next)?;
        let digits = ordinal
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        let (number, ending) = ordinal.split_at_checked(digits)?;
        let right = matches!(ending, b"th" | b"st" | b"nd" | b"rd") && trimmed(noun) == b"move";
        let number: u32 = std::str::from_utf8(number).ok()?.parse().ok()?;
        let count = number.checked_mul(2)?.checked_add(black)?;
        (right.then_some(count)?, None, end)
    };
    // Nothing else may be said of the move: "after 16.Qxf6 and 17.Nxe4".
    let last = paragraph.get(end.checked_sub(1)?)?;
    let rest = paragraph.get(end..)?;
    let line = rest.split(|&byte| byte == b'\n').next().unwrap_or_default();
    let ends = line.trim_ascii().is_empty() || matches!(last, b'.' | b':' | b';');
    let told = paragraph.get(start..end)?;
    let length = trimmed_end(told).len();
    ends.then_some(Named {
        count,
        written,
        span: start..start + length,
    })
}

/// The next word from `at`, and where it ends.
fn word(text: &[u8], at: usize) -> Option<(&[u8], usize)> {
    let rest = text.get(at..)?;
    let start = rest.iter().position(|byte| !byte.is_ascii_whitespace())?;
    let rest = rest.get(start..)?;
    let length = rest.iter().position(u8::is_ascii_whitespace);
    let word = rest.get(..length.unwrap_or(rest.len()))?;
    Some((word, at + start + word.len()))
}

fn trimmed_end(word: &[u8]) -> &[u8] {
    let sign = |byte: &u8| b".:;,*_)".contains(byte);
    let end = word
        .iter()
        .rposition(|byte| !sign(byte))
        .map_or(0, |at| at + 1);
    word.get(..end).unwrap_or_default()
}

fn trimmed(word: &[u8]) -> &[u8] {
    let word = trimmed_end(word);
    let start = word.iter().position(|byte| !b"*_(".contains(byte));
    word.get(start.unwrap_or(0)..).unwrap_or_default()
}

/// A move without the signs that may be left out.
fn bare(written: &[u8]) -> Vec<u8> {
    let sign = |byte: &u8| b"+#!?x=-".contains(byte);
    written.iter().copied().filter(|byte| !sign(byte)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Format, Settings, check, check_as};

    #[test]
    fn captions_name_a_move_and_nothing_else() {
        for (words, found) in [
            (
                "Diagram 3. Position after 16.Qxf6",
                Some((32, Some("Qf6"), "16.Qxf6")),
            ),
            (
                "Diagram 5. Position after 22...Qg7#.  # to move.",
                Some((45, Some("Qg7"), "22...Qg7#")),
            ),
            (
                "*Position after 16. Qxf6!*",
                Some((32, Some("Qf6"), "16. Qxf6!")),
            ),
            (
                "Board the Second. After White's 14th move.\n   Black to play.",
                Some((28, None, "White's 14th move")),
            ),
            ("After 16.Qxf6 and 17.Nxe4 all is well.", None),
            ("After 16.Qxf6 Bxf6", None),
            ("After 16.Qxf6 Black resigned.", None),
            ("White is better after 16.Qxf6.", None),
            ("After the war", None),
            ("Diagram 3", None),
        ] {
            let told = named(words.as_bytes());
            let told = told.map(|named| {
                let written = named
                    .written
                    .map(|own| String::from_utf8_lossy(&own).into_owned());
                (named.count, written, words[named.span].to_owned())
            });
            let found = found
                .map(|(count, written, span)| (count, written.map(str::to_owned), span.to_owned()));
            assert_eq!(told, found, "{words}");
        }
    }

    const AFTER_NF3: &str = "rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R";

    #[test]
    fn a_caption_is_compared_with_the_game() {
        for (caption, right) in [
            ("Position after 2.Nf3", None),
            ("Position after 2. Nf3", None),
            ("After White's 2nd move.", None),
            ("Position after 1...e5", Some("2.Nf3")),
            ("After Black's 1st move.", Some("2.Nf3")),
            ("Position after 2.Nc3", Some("2.Nf3")),
            // No such move was made, or it is made in a side-line.
            ("Position after 9...e5", None),
            ("Position after 1...c5", None),
        ] {
            let text = format!("1. e4 e5 2. Nf3 {{[%printed {AFTER_NF3}]\n\n{caption}}} Nc6 *");
            let report = check(text.as_bytes(), &Settings::default());
            let mut found = report.findings.iter();
            let found = found.find(|found| found.rule.name == "wrong-caption");
            let wanted = right.map(|name| format!("This diagram is the position after {name}."));
            assert_eq!(
                found.map(|found| found.message.clone()),
                wanted,
                "{caption}"
            );
        }
        // In a side-line, and of no position of the game.
        for game in [
            format!(
                "1. e4 e5 (1... c5) 2. Nc3 (2. Nf3) {{[%printed {AFTER_NF3}]\n\nAfter 1...e5}} *"
            ),
            format!("1. d4 d5 2. Nf3 {{[%printed {AFTER_NF3}]\n\nAfter 1...d5}} *"),
        ] {
            let report = check(game.as_bytes(), &Settings::default());
            assert!(
                report
                    .findings
                    .iter()
                    .all(|found| found.rule.name != "wrong-caption")
            );
        }
    }

    #[test]
    fn every_format_has_captions() {
        let fen = format!("{AFTER_NF3} b KQkq - 1 2");
        for (format, board) in [
            (Format::Markdown, format!("```fen\n{fen}\n```")),
            (Format::AsciiDoc, format!("[fen]\n----\n{fen}\n----")),
            (Format::Latex, format!("\\board{{{fen}}}")),
            (Format::Text, fen.clone()),
        ] {
            for (caption, count) in [("1...e5", 1), ("2.Nf3", 0)] {
                let text = format!(
                    "1. e4 e5 2. Nf3\n\n{board}\n\nDiagram 1. Position after {caption}\n\n\
                     The knight is out.\n\n2... Nc6 3. Bc4 Bc5\n"
                );
                let report = check_as(text.as_bytes(), format, &Settings::default());
                let found = report.findings.iter();
                let found = found.filter(|found| found.rule.name == "wrong-caption");
                assert_eq!(found.count(), count, "{format:?} {text}");
            }
        }
    }
}
