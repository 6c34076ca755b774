//! How much of a file is in work at once. Of games that are longer than the memory allows the
//! beginnings are checked, and the rest is read past.

use std::ops::Range;

use gainsay::{Document, Format, LARGEST_BOOK, Piece, Report, Settings, Solver};
use gainsay_notation::{SectionKind, sections};
use memchr::memmem;

/// How much of a file is held at once, unless a single game is longer: a whole book, in which
/// games are looked up that others point at.
pub(crate) const BLOCK: usize = LARGEST_BOOK;

/// How many bytes of games make one piece of work. Small, so that the cores share a book
/// of few long games and the first findings do not wait for more than one annotated game;
/// not tiny, so that handing out work costs nothing.
pub(crate) const PIECE: usize = 2 << 10;

/// Where a text is cut its end tells nothing of the game: findings so near to it are left
/// out.
const NEAR: usize = 4 << 10;

/// A comment that was opened so far before the cut and not closed is told as unclosed.
const FAR: usize = 64 << 10;

/// Rules that speak of the end of a game, which is not there.
const OF_THE_END: [&str; 5] = [
    "missing-result",
    "result-disagreement",
    "result-left-open",
    "result-against-position",
    "unclosed-side-line",
];

/// A piece of work, cut where it was too long.
#[derive(Debug)]
pub(crate) struct Part {
    /// Which piece it is.
    at: usize,
    pub(crate) kind: SectionKind,
    /// Its bytes.
    pub(crate) range: Range<usize>,
    /// Where the game, line or passage begins that is cut, among the bytes of the block.
    pub(crate) cut: Option<usize>,
    /// No block around it is looked at beyond so many bytes.
    most: usize,
}

/// The pieces of a document, or the first `most` bytes of each.
pub(crate) fn parts(document: &Document<'_>, most: usize) -> Vec<Part> {
    let pieces = document.pieces().iter().enumerate();
    pieces
        .map(|(at, piece)| Part::of(at, piece, document.view(), most))
        .collect()
}

impl Part {
    fn of(at: usize, piece: &Piece, bytes: &[u8], most: usize) -> Self {
        let mut range = piece.range.clone();
        shorten(&mut range, bytes, most);
        let cut = (piece.range.len() > most).then(|| {
            // Games that are whole may stand before it.
            let kept = bytes.get(range.clone()).unwrap_or_default();
            let last = match piece.kind {
                SectionKind::Games => sections(kept).last().map(|last| last.range.start),
                SectionKind::Epd | SectionKind::Board | SectionKind::Prose => None,
            };
            range.start + last.unwrap_or(0)
        });
        Self {
            at,
            kind: piece.kind,
            range,
            cut,
            most,
        }
    }

    /// Checks it; offsets are its own.
    pub(crate) fn check(
        &self,
        document: &Document<'_>,
        settings: &Settings,
        solver: &mut Solver,
    ) -> Report {
        let Some(mut excerpt) = document.excerpt(self.at) else {
            return Report::default();
        };
        let bytes = document.view();
        excerpt.range = self.range.clone();
        for block in excerpt.near.iter_mut().flatten() {
            shorten(&mut block.range, bytes, self.most);
        }
        excerpt
            .others
            .retain(|block| block.range.len() <= self.most);
        let mut report = excerpt.check(bytes, &document.book(), settings, solver);
        document.complete(self.at, settings, &mut report);
        self.sound(report)
    }

    /// What the check of the piece found that the cut did not make; offsets are those of the
    /// piece.
    fn sound(&self, mut report: Report) -> Report {
        if self.cut.is_some() {
            let length = self.range.len();
            let sound = length.saturating_sub(NEAR);
            report.findings.retain(|finding| {
                let name = finding.rule.name;
                let open = name == "unclosed-comment" && finding.span.start + FAR < length;
                open || finding.span.end <= sound && !OF_THE_END.contains(&name)
            });
            report.claims.retain(|claim| claim.span.end <= sound);
        }
        report
    }
}

/// Cuts a range at white space, if there is any near.
fn shorten(range: &mut Range<usize>, bytes: &[u8], most: usize) {
    if range.len() <= most {
        return;
    }
    let end = range.start + most;
    let near = end.saturating_sub(NEAR).max(range.start);
    let words = bytes.get(near..end).unwrap_or_default();
    let space = words.iter().rposition(u8::is_ascii_whitespace);
    range.end = space.map_or(end, |at| near + at + 1);
}

/// Where something new begins in `bytes`, which begin inside of something that is read past.
pub(crate) fn next_start(bytes: &[u8], format: Format) -> Option<usize> {
    match format {
        Format::Pgn => memmem::find_iter(bytes, b"[Event ").find(|&at| {
            // Behind a blank line, with whatever line ends.
            let before = bytes.get(..at).unwrap_or_default();
            [&b"\n\n"[..], b"\n\r\n", b"\r\r"]
                .iter()
                .any(|blank| before.ends_with(blank))
        }),
        Format::Epd => memchr::memchr2(b'\n', b'\r', bytes).map(|at| at + 1),
        Format::Markdown | Format::Text | Format::Latex | Format::AsciiDoc => {
            let blanks = [&b"\n\n"[..], b"\n\r\n", b"\r\r"].into_iter();
            let behind = |blank: &[u8]| Some(memmem::find(bytes, blank)? + blank.len());
            blanks.filter_map(behind).min()
        }
    }
}

/// How many bytes at the end of what is read past may belong to the next beginning.
pub(crate) const OVERLAP: usize = 16;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_game_is_found_behind_a_blank_line() {
        let text = b"x [Event \"no\"]\n[Event \"no\"]\n \n1. e4\r\n\r\n[Event \"yes\"]";
        let at = next_start(text, Format::Pgn).expect("there");
        assert_eq!(text.get(at..), Some(&b"[Event \"yes\"]"[..]));
        assert_eq!(next_start(b"1 2\r3", Format::Epd), Some(4));
        assert_eq!(next_start(b"a\nb\r\n\r\nc", Format::Markdown), Some(7));
        assert_eq!(next_start(b"[Event \"no\"]", Format::Pgn), None);
    }

    #[test]
    fn a_range_is_cut_at_white_space() {
        let cut = |text: &str, most| {
            let mut range = 0..text.len();
            shorten(&mut range, text.as_bytes(), most);
            range.end
        };
        assert_eq!(cut("1. e4 e5", 7), 6);
        assert_eq!(cut("1. e4 e5", 8), 8);
        assert_eq!(cut("abcdefgh", 7), 7);
    }
}
