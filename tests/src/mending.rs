//! What must be true of mending and formatting any text: for tests and fuzzing.

use std::collections::BTreeSet;

use gainsay::{Document, Format, Reading, Settings, apply, difference, export_edits, fitted, mend};
use gainsay_notation::SectionKind;

/// The text with all that is safe mended, piece by piece as the command does it, and what
/// remedies were refused.
#[must_use]
pub fn mended(text: &[u8], format: Format, settings: &Settings) -> (Vec<u8>, Vec<String>) {
    by_pieces(text, format, settings, 2 << 10)
}

fn by_pieces(
    text: &[u8],
    format: Format,
    settings: &Settings,
    least: usize,
) -> (Vec<u8>, Vec<String>) {
    let mut out = Vec::new();
    let mut refused = Vec::new();
    for piece in Document::in_pieces(text, format, least).pieces() {
        let own = &text[piece.range.clone()];
        let mended = mend(own, piece.kind, settings);
        for (rule, difference) in &mended.refused {
            refused.push(format!("{rule}: {difference}"));
        }
        out.extend(apply(
            own,
            &fitted(mended.edits, own, &text[..piece.range.start]),
        ));
    }
    (out, refused)
}

/// The text with every game in export format that can be.
fn formatted(text: &[u8], format: Format, settings: &Settings) -> Vec<u8> {
    let mut out = Vec::new();
    for piece in Document::in_pieces(text, format, 2 << 10).pieces() {
        let own = &text[piece.range.clone()];
        let reading = Reading::of(own, settings);
        let edits: Vec<_> = match piece.kind {
            SectionKind::Games => reading
                .views(own)
                .flat_map(|view| export_edits(&view))
                .collect(),
            _ => Vec::new(),
        };
        out.extend(apply(own, &edits));
    }
    out
}

/// Everything that must be true of mending and formatting a text. Gives the remedies that
/// were refused, since they were not safe.
///
/// # Errors
///
/// What is not as it must be, in words.
pub fn check(text: &[u8], format: Format, settings: &Settings) -> Result<Vec<String>, String> {
    let lines = line_ends(text);
    let (once, refused) = mended(text, format, settings);
    if let Some(difference) = difference(text, &once, format, settings) {
        return Err(format!("mending: {difference}"));
    }
    // Where nothing but a comment stands before an Event tag, cutting at it makes the comment
    // a game of its own.
    let games = |least| -> usize {
        let document = Document::in_pieces(text, format, least);
        let count = |own: &[u8]| Reading::of(own, settings).views(own).count();
        let pieces = document.pieces().iter();
        pieces.map(|piece| count(document.bytes_of(piece))).sum()
    };
    if games(1) == games(2 << 10) && by_pieces(text, format, settings, 1).0 != once {
        return Err("mending game by game gives another text".to_owned());
    }
    if mended(&once, format, settings).0 != once {
        return Err("mending a second time changes something".to_owned());
    }
    let formatted_once = formatted(text, format, settings);
    if let Some(difference) = difference(text, &formatted_once, format, settings) {
        return Err(format!("formatting: {difference}"));
    }
    if formatted(&formatted_once, format, settings) != formatted_once {
        return Err("formatting a second time changes something".to_owned());
    }
    for new in [&once, &formatted_once] {
        if lines.len() == 1 && !line_ends(new).is_subset(&lines) {
            return Err("lines end in another way".to_owned());
        }
    }
    Ok(refused)
}

/// The ways in which lines of a text end.
fn line_ends(text: &[u8]) -> BTreeSet<&'static str> {
    let mut found = BTreeSet::new();
    for (at, byte) in text.iter().enumerate() {
        match byte {
            b'\r' if text.get(at + 1) == Some(&b'\n') => found.insert("CRLF"),
            b'\r' => found.insert("CR"),
            b'\n' if at == 0 || text[at - 1] != b'\r' => found.insert("LF"),
            _ => false,
        };
    }
    found
}
