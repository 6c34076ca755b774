//! Cutting a text into sections: the unit of reading, of checking again after
//! an edit, and of working in parallel.
//!
//! # What makes a cut independent
//!
//! Cutting begins afresh at every cut: where the next cut stands depends only
//! on the bytes from the last cut up to the name and quote of the tag pair at
//! the next one. Nothing looks back over a cut, and nothing looks ahead over
//! one. Three things follow:
//!
//! - A section can be read by itself, and gives the same games as the whole text.
//! - The cuts in the first bytes of a text are cuts of the whole text, so that a
//!   long file can be read in blocks: see [`last_cut`].
//! - After an edit, cutting starts two sections before it at most and ends at
//!   the first old cut behind it that is met again: see [`Cuts::replace`].
//!
//! An open brace hides brackets, except where a game surely begins: an Event
//! tag at the start of a line, or any tag pair behind a blank line. A stray
//! brace therefore spoils one game and not the rest of the file.

use std::borrow::Cow;
use std::ops::Range;
use std::path::Path;

use memchr::memrchr2;

use crate::section::{next_cut, sections};

/// The formats of files.
///
/// ```
/// use std::path::Path;
/// use gainsay_notation::Format;
/// assert_eq!(Format::from_path(Path::new("Book.PGN")), Some(Format::Pgn));
/// assert_eq!(Format::from_name("markdown").map(Format::name), Some("markdown"));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Format {
    /// Games in portable game notation.
    #[default]
    Pgn,
    /// Positions, one a line, in EPD or FEN.
    Epd,
    /// A manuscript with games and positions in fenced blocks (```` ```pgn ````,
    /// ```` ```epd ````, ```` ```fen ````).
    Markdown,
    /// A manuscript with games in paragraphs of their own.
    Text,
    /// A manuscript in LaTeX: commands are left out and their arguments read, positions stand
    /// anywhere.
    Latex,
    /// A manuscript in AsciiDoc, with games and positions in blocks (`[source,pgn]`) as in Markdown.
    AsciiDoc,
}

impl Format {
    /// Every format.
    pub const ALL: [Self; 6] = [
        Self::Pgn,
        Self::Epd,
        Self::Markdown,
        Self::Text,
        Self::Latex,
        Self::AsciiDoc,
    ];

    /// The format's name as the command line writes it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pgn => "pgn",
            Self::Epd => "epd",
            Self::Markdown => "markdown",
            Self::Text => "text",
            Self::Latex => "latex",
            Self::AsciiDoc => "asciidoc",
        }
    }

    /// The format of this [name](Self::name).
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|format| format.name() == name)
    }

    /// The format that a file's extension tells, in letters of any case.
    #[must_use]
    pub fn from_path(path: &Path) -> Option<Self> {
        let extension = path.extension()?.to_str()?.to_ascii_lowercase();
        match extension.as_str() {
            "pgn" => Some(Self::Pgn),
            "epd" | "fen" => Some(Self::Epd),
            "md" | "markdown" => Some(Self::Markdown),
            "txt" | "text" => Some(Self::Text),
            "tex" | "latex" => Some(Self::Latex),
            "adoc" | "asciidoc" => Some(Self::AsciiDoc),
            _ => None,
        }
    }

    /// A comment of this format that is not printed and says `words`; `None` where it has none.
    ///
    /// ```
    /// use gainsay_notation::Format;
    /// assert_eq!(Format::Markdown.remark("so"), Some("<!-- so -->".to_owned()));
    /// assert_eq!(Format::Text.remark("so"), None);
    /// ```
    #[must_use]
    pub fn remark(self, words: &str) -> Option<String> {
        match self {
            Self::Markdown => Some(format!("<!-- {words} -->")),
            Self::Latex => Some(format!("% {words}")),
            Self::AsciiDoc => Some(format!("// {words}")),
            Self::Pgn | Self::Epd | Self::Text => None,
        }
    }

    /// The comment of this format around a place of a text, without its line end.
    ///
    /// ```
    /// use gainsay_notation::Format;
    /// assert_eq!(Format::Latex.remark_at(b"a % b\nc", 4), Some(2..5));
    /// assert_eq!(Format::Markdown.remark_at(b"a <!-- b --> c", 7), Some(2..12));
    /// ```
    #[must_use]
    pub fn remark_at(self, text: &[u8], at: usize) -> Option<Range<usize>> {
        let (open, close): (&[u8], &[u8]) = match self {
            Self::Markdown => (b"<!--", b"-->"),
            Self::Latex => (b"%", b"\n"),
            Self::AsciiDoc => (b"//", b"\n"),
            Self::Pgn | Self::Epd | Self::Text => return None,
        };
        // A place may be the first byte of the comment.
        let before = text.get(..(at + open.len()).min(text.len()))?;
        let start = memchr::memmem::rfind(before, open)?;
        let rest = text.get(start..)?;
        let length = memchr::memmem::find(rest, close);
        let end = match (length, close) {
            (Some(length), b"\n") => start + rest.get(..length)?.trim_ascii_end().len(),
            (Some(length), _) => start + length + close.len(),
            (None, b"\n") => text.len(),
            (None, _) => return None,
        };
        (at < end).then_some(start..end)
    }

    /// How text is written in a file of this format, in the middle of a line; `None` where that is
    /// not known.
    #[must_use]
    pub fn written(self, text: &str) -> Option<Cow<'_, str>> {
        match self {
            Self::Pgn | Self::Epd | Self::Markdown | Self::Text | Self::AsciiDoc => {
                Some(Cow::Borrowed(text))
            }
            Self::Latex if text.contains(['\\', '~', '^', '{', '}']) => None,
            Self::Latex if text.contains(['#', '$', '%', '&', '_']) => {
                let signs = text.chars().flat_map(|sign| {
                    let escaped = matches!(sign, '#' | '$' | '%' | '&' | '_');
                    escaped.then_some('\\').into_iter().chain([sign])
                });
                Some(Cow::Owned(signs.collect()))
            }
            Self::Latex => Some(Cow::Borrowed(text)),
        }
    }
}

/// Where the last section of `block` begins, if it is not the only one.
///
/// To read a long file in blocks: fill a buffer from a section's start on, take
/// the sections before `last_cut` as final, keep the rest, and fill up behind
/// it. `None` asks for a longer block (or says that the end is near). A
/// manuscript is read as a whole: the answer for it is always `None`.
#[must_use]
pub fn last_cut(block: &[u8], format: Format) -> Option<usize> {
    match format {
        Format::Pgn => {
            let mut last = 0;
            while let Some(cut) = next_cut(block, last) {
                last = cut;
            }
            (last > 0).then_some(last)
        }
        Format::Epd => {
            // A CR at the end of the block may be half of a CRLF.
            let whole = block.strip_suffix(b"\r").unwrap_or(block);
            memrchr2(b'\n', b'\r', whole).map(|end| end + 1)
        }
        Format::Markdown | Format::Text | Format::Latex | Format::AsciiDoc => None,
    }
}

/// The cuts of a game text (PGN) that is being edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cuts {
    /// Where the sections begin; the first at 0.
    starts: Vec<usize>,
    /// The length of the text.
    length: usize,
}

/// What an edit did to the sections.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recut {
    /// The sections, by number before the edit, that are no more.
    pub old: Range<usize>,
    /// The sections, by number after the edit, that stand in their place.
    pub new: Range<usize>,
}

impl Cuts {
    /// Cuts `text`.
    #[must_use]
    pub fn new(text: &[u8]) -> Self {
        Self {
            starts: sections(text).map(|section| section.range.start).collect(),
            length: text.len(),
        }
    }

    /// The number of sections; 0 for an empty text.
    #[must_use]
    pub fn len(&self) -> usize {
        self.starts.len()
    }

    /// Whether the text is empty.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.starts.is_empty()
    }

    /// The bytes of section `number`, from 0.
    #[must_use]
    pub fn get(&self, number: usize) -> Option<Range<usize>> {
        let start = *self.starts.get(number)?;
        let end = self.starts.get(number + 1).copied();
        Some(start..end.unwrap_or(self.length))
    }

    /// The number of the section that the byte at `offset` lies in; the last
    /// one for an offset behind the text, 0 for an empty text.
    #[must_use]
    pub fn at(&self, offset: usize) -> usize {
        self.starts
            .partition_point(|&start| start <= offset)
            .saturating_sub(1)
    }

    /// Follows an edit: `replaced` (offsets before the edit) became `inserted`
    /// bytes, which gave `text`. Returns which sections must be read again; all
    /// others hold the same bytes as before.
    pub fn replace(&mut self, text: &[u8], replaced: Range<usize>, inserted: usize) -> Recut {
        let edit_end = replaced.start + inserted;
        let moved = |old: usize| (old + inserted).saturating_sub(replaced.len());
        // The cut before the edit may rest on a tag that the edit touches.
        let mut first = self.at(replaced.start).saturating_sub(1);
        let mut fresh = Vec::new();
        let mut cut = (!text.is_empty()).then(|| self.starts.get(first).copied().unwrap_or(0));
        let mut last = self.starts.len();
        while let Some(start) = cut {
            if start >= edit_end && start > 0 {
                let known = self
                    .starts
                    .partition_point(|&old| old < replaced.end || moved(old) < start);
                if self
                    .starts
                    .get(known)
                    .is_some_and(|&old| moved(old) == start)
                {
                    last = known;
                    break;
                }
            }
            fresh.push(start);
            cut = next_cut(text, start);
        }
        // Where the section before the edit ends as it did, it stays as it is.
        let before = self.starts.get(first + 1).copied();
        if fresh.len() > 1
            && first + 1 < last
            && before.is_some_and(|end| end <= replaced.start && fresh.get(1) == Some(&end))
        {
            first += 1;
            fresh.remove(0);
        }
        let new = first..first + fresh.len();
        let old = first..last.max(first);
        for start in self.starts.iter_mut().skip(old.end) {
            *start = moved(*start);
        }
        self.starts.splice(old.clone(), fresh);
        self.length = text.len();
        Recut { old, new }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<&str> {
        sections(text.as_bytes())
            .map(|section| &text[section.range])
            .collect()
    }

    #[test]
    fn cuts_stand_where_tags_follow_movetext() {
        assert_eq!(
            cut("[A \"1\"]\n[B \"2\"]\n\n[C \"3\"]\n\n1. e4 *\n\n[A \"1\"]\n*\n[A \"2\"]\n"),
            [
                "[A \"1\"]\n[B \"2\"]\n\n[C \"3\"]\n\n1. e4 *\n\n",
                "[A \"1\"]\n*\n",
                "[A \"2\"]\n"
            ]
        );
        assert_eq!(cut("1. e4 *\n\n1. d4 *\n").len(), 1);
        assert_eq!(cut(""), Vec::<&str>::new());
    }

    #[test]
    fn brackets_in_comments_and_lines_are_no_cuts() {
        for text in [
            "1. e4 {\n[White \"x\"]\n} *",
            "1. e4 ; c\n;\n[%clk] *",
            "1. e4\n%[White \"x\"]\n*",
            "1. e4 [White \"x\"] *",
            "1. e4\n[see below]\n*",
            "% { [\n[White \"x\"]\n*",
        ] {
            assert_eq!(cut(text), [text]);
        }
        assert_eq!(cut("1. e4\n% {\n[White \"x\"]\n*").len(), 2);
        assert_eq!(cut("1. e4 ; {\n[White \"x\"]\n*").len(), 2);
    }

    #[test]
    fn an_open_brace_spoils_one_game() {
        let text =
            "[Event \"a\"]\n\n1. e4 { oh\n\n[Event \"b\"]\n\n1. e4 {x} *\n\n[Event \"c\"]\n*";
        assert_eq!(cut(text).len(), 3);
    }

    #[test]
    fn a_letter_typed_recuts_one_section() {
        let one = "[Event \"a\"]\n[White \"b\"]\n\n1. e4 {c} e5 *\n\n";
        let mut text = one.repeat(100).into_bytes();
        let mut cuts = Cuts::new(&text);
        let place = 50 * one.len() + 30;
        text.insert(place, b'x');
        let recut = cuts.replace(&text, place..place, 1);
        assert_eq!(
            recut,
            Recut {
                old: 50..51,
                new: 50..51
            }
        );
        assert_eq!(cuts, Cuts::new(&text));
        assert_eq!(cuts.at(place), 50);

        // A brace reaches up to the next game, which begins with an Event tag.
        text[place] = b'{';
        let recut = cuts.replace(&text, place..place + 1, 1);
        assert_eq!(
            recut,
            Recut {
                old: 50..51,
                new: 50..51
            }
        );
        // Losing the tag's bracket joins two sections.
        let tag = cuts.get(60).map(|range| range.start).unwrap_or_default();
        text.remove(tag);
        let recut = cuts.replace(&text, tag..tag + 1, 0);
        assert_eq!(recut.old.end, 61);
        assert_eq!(cuts, Cuts::new(&text));
    }

    #[test]
    fn lines_of_positions_are_sections() {
        let text = "a\r\n\nb\rc";
        let found: Vec<_> = crate::manuscript(text.as_bytes(), Format::Epd)
            .sections
            .into_iter()
            .map(|section| &text[section.range])
            .collect();
        assert_eq!(found, ["a\r\n", "\n", "b\r", "c"]);
        assert_eq!(last_cut(b"a\nb\r", Format::Epd), Some(2));
        assert_eq!(last_cut(b"ab", Format::Epd), None);
    }

    #[test]
    fn formats_come_from_names_and_paths() {
        for format in Format::ALL {
            assert_eq!(Format::from_name(format.name()), Some(format));
        }
        assert_eq!(Format::from_name("PGN"), None);
        for (path, format) in [
            ("a/b.pgn", Some(Format::Pgn)),
            ("B.PGN", Some(Format::Pgn)),
            ("c.epd", Some(Format::Epd)),
            ("d.fen", Some(Format::Epd)),
            ("e.md", Some(Format::Markdown)),
            ("f.txt", Some(Format::Text)),
            ("h.TeX", Some(Format::Latex)),
            ("i.adoc", Some(Format::AsciiDoc)),
            ("pgn", None),
            ("g.rs", None),
        ] {
            assert_eq!(Format::from_path(Path::new(path)), format, "{path}");
        }
    }
}
