//! Where an allowance is written, with a place for the author's reason.

use gainsay::{Edit, Finding, Format, View};
use gainsay_notation::{CommentKind, ElementKind, SectionKind, parse_epd_line};

use super::place::Place;
use crate::words::actions as words;

/// The insertion of an allowance where it covers the finding; offsets are the section's. `None`
/// where none can stand.
pub(crate) fn allowance(place: &Place<'_>, finding: &Finding) -> Option<Edit> {
    let name = finding.rule.name;
    let command = format!("[%allow {name} {}]", words::REASON);
    let edition = &place.snapshot.text.edition;
    match place.section.kind {
        // What would be a command in braces is a comment there, which breaks the text.
        SectionKind::Games if edition.format() == Format::Latex => None,
        SectionKind::Games => in_game(&place.view_of(&finding.span)?, finding, &command),
        // A line that cannot be read as a whole cannot speak for itself.
        SectionKind::Epd if name == "broken-epd" => None,
        SectionKind::Board => None,
        SectionKind::Epd => in_line(place.text(), &command),
        SectionKind::Prose => {
            let text = place.text();
            let start = place.section.start;
            let file = edition.text().get(start..start + text.len());
            let file = file.unwrap_or(text);
            Some(in_prose(text, file, edition.format(), finding, &command))
        }
    }
}

pub(super) fn insertion(offset: u32, text: String) -> Edit {
    let at = offset as usize;
    Edit { span: at..at, text }
}

/// In a comment behind the move, or before the first one.
fn in_game(view: &View<'_>, finding: &Finding, command: &str) -> Option<Edit> {
    let elements = &view.game.elements;
    let start = finding.span.start as u32;
    let at = elements
        .partition_point(|element| element.span.start <= start)
        .checked_sub(1);
    let edit = match at {
        // A finding about tags: an allowance before the first move covers the game.
        None => {
            let first = elements.first()?;
            insertion(first.span.start, format!("{{{command}}} "))
        }
        Some(at) => {
            let element = elements.get(at)?;
            match element.kind {
                ElementKind::Comment {
                    body,
                    kind: CommentKind::Brace | CommentKind::Line,
                } => insertion(body.start, format!("{command} ")),
                ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
                    // Behind the move's glyphs, or in the comment that follows them.
                    let mut last = element.span.end;
                    let mut inside = None;
                    for later in elements.iter().skip(at + 1) {
                        match later.kind {
                            ElementKind::Glyph { .. } => last = later.span.end,
                            ElementKind::Comment {
                                body,
                                kind: CommentKind::Brace,
                            } => {
                                inside = Some(body.start);
                                break;
                            }
                            _ => break,
                        }
                    }
                    match inside {
                        Some(inside) => insertion(inside, format!("{command} ")),
                        None => insertion(last, format!(" {{{command}}}")),
                    }
                }
                _ => insertion(element.span.end, format!(" {{{command}}}")),
            }
        }
    };
    Some(edit)
}

/// In a comment operation of a line of EPD that the line has not yet (PGN standard, 16.2.5.6).
fn in_line(line: &[u8], command: &str) -> Option<Edit> {
    let record = parse_epd_line(line)?;
    let opcodes = record
        .operations
        .iter()
        .map(|operation| operation.opcode.of(line));
    let opcodes: Vec<&[u8]> = opcodes.collect();
    let free = (0..=9).map(|digit| format!("c{digit}"));
    let free = free
        .into_iter()
        .find(|free| !opcodes.contains(&free.as_bytes()))?;
    // Behind the last operation and its semicolon.
    let mut end = record.operations.iter().flat_map(|operation| {
        let operands = operation.operands.iter().map(|operand| operand.span.end);
        operands.chain([operation.opcode.end])
    });
    let end = end
        .by_ref()
        .max()
        .unwrap_or(record.span.end)
        .max(record.position.end);
    let rest = line.get(end as usize..).unwrap_or_default();
    let space = rest.iter().take_while(|&&byte| byte == b' ').count();
    let (at, before) = match rest.get(space) {
        Some(b';') => (end + space as u32 + 1, ""),
        _ if record.operations.is_empty() => (record.span.end, ""),
        _ => (end, ";"),
    };
    Some(insertion(at, format!("{before} {free} \"{command}\";")))
}

/// At the end of the paragraph, where the format has comments as one that is not printed. `text` is
/// the section as it is read, `file` as its file has it.
fn in_prose(text: &[u8], file: &[u8], format: Format, finding: &Finding, command: &str) -> Edit {
    // From the first blank line behind it on, another one begins.
    let behind = text.get(finding.span.end..).unwrap_or_default();
    let mut end = finding.span.end;
    for (at, line) in behind.split_inclusive(|&byte| byte == b'\n').enumerate() {
        if at > 0 && line.trim_ascii().is_empty() {
            break;
        }
        end += line.len();
    }
    let paragraph = text.get(..end).unwrap_or_default().trim_ascii_end().len();
    let words = format!("allow {}: {}", finding.rule.name, words::REASON);
    let Some(remark) = format.remark(&words) else {
        return insertion(paragraph as u32, format!(" {command}"));
    };
    // Behind what the format itself has at the end of the line.
    let rest = file.get(paragraph..).unwrap_or_default();
    let line = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
    let line = rest.get(..line.unwrap_or(rest.len())).unwrap_or_default();
    let at = paragraph + line.trim_ascii_end().len();
    let before = if format == Format::AsciiDoc {
        "\n"
    } else {
        " "
    };
    insertion(at as u32, format!("{before}{remark}"))
}
