//! The text of a manuscript, a paragraph a line.

use std::path::Path;

use quick_xml::{
    escape::resolve_predefined_entity,
    events::{BytesStart, Event},
};

use super::parts::{DOCUMENT, DocxError, document, events, open, prefix, wrong};

/// Where a paragraph stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paragraph {
    /// Offset in the text, in bytes.
    pub start: usize,
    /// Its number among all paragraphs of the document, from 0: empty ones and those in tables
    /// count.
    pub number: u32,
    /// So many characters at the start are not the author's: the mark of a heading.
    pub lead: usize,
}

/// The paragraphs that hold text, in its order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Paragraphs(Vec<Paragraph>);

impl Paragraphs {
    /// The paragraph that an offset in the text is in.
    #[must_use]
    pub fn at(&self, offset: usize) -> Option<Paragraph> {
        let behind = self.0.partition_point(|it| it.start <= offset);
        self.0.get(behind.checked_sub(1)?).copied()
    }
}

/// Reads a manuscript as text in Markdown: a paragraph a line, with an empty line between; a
/// row of a table a line, with tabs between the cells.
///
/// # Errors
///
/// [`DocxError`] says why it cannot be read.
pub fn read_docx(path: &Path) -> Result<(String, Paragraphs), DocxError> {
    text(&document(&mut open(path)?)?)
}

/// The text of the main part.
fn text(xml: &str) -> Result<(String, Paragraphs), DocxError> {
    let mut writer = Writer::default();
    let mut w = None;
    // How deep we are in something that is left out, in a run, and in its text.
    let (mut left_out, mut runs, mut texts) = (0_usize, 0_usize, 0_usize);
    for event in events(DOCUMENT, xml) {
        let (event, ..) = event?;
        match event {
            Event::Start(element) => {
                let w = w.get_or_insert_with(|| prefix(&element));
                let name = local(&element, w);
                if left_out > 0 || is_left_out(name) {
                    left_out += 1;
                    writer.count += u32::from(name == b"p");
                    continue;
                }
                match name {
                    b"p" => writer.begin(),
                    b"r" => runs += 1,
                    b"t" => texts += 1,
                    b"tbl" => writer.table(),
                    b"tr" => writer.begin_row(),
                    b"tc" => writer.begin_cell(),
                    _ => writer.sign(&element, name, w, runs > 0),
                }
            }
            Event::Empty(element) => {
                let w = w.get_or_insert_with(|| prefix(&element));
                let name = local(&element, w);
                if name == b"p" {
                    writer.count += 1;
                } else if left_out == 0 {
                    writer.sign(&element, name, w, runs > 0);
                }
            }
            Event::End(_) if left_out > 0 => left_out -= 1,
            Event::End(element) => {
                let name = element.name().into_inner();
                let w = w.as_deref().unwrap_or_default();
                match name.strip_prefix(w.as_bytes()).unwrap_or_default() {
                    b"p" => writer.open = None,
                    b"r" => runs = runs.saturating_sub(1),
                    b"t" => texts = texts.saturating_sub(1),
                    b"tbl" => writer.table(),
                    b"tr" => writer.rows = writer.rows.saturating_sub(1),
                    _ => {}
                }
            }
            _ if left_out > 0 || texts == 0 || runs == 0 => {}
            Event::Text(text) => {
                let text = text.decode().map_err(|error| wrong(DOCUMENT, error))?;
                writer.words(&text);
            }
            Event::CData(text) => {
                let text = text.decode().map_err(|error| wrong(DOCUMENT, error))?;
                writer.words(&text);
            }
            Event::GeneralRef(entity) => {
                let named = entity.decode().map_err(|error| wrong(DOCUMENT, error))?;
                match entity.resolve_char_ref() {
                    Ok(Some(c)) => writer.letter(c),
                    _ => writer.words(resolve_predefined_entity(&named).unwrap_or_default()),
                }
            }
            _ => {}
        }
    }
    if !writer.text.is_empty() {
        writer.text.push('\n');
    }
    Ok((writer.text, Paragraphs(writer.paragraphs)))
}

/// The name of an element of the kind of the root; empty for others.
fn local<'e>(element: &'e BytesStart<'_>, prefix: &str) -> &'e [u8] {
    let name = element.name().into_inner();
    match name {
        b"mc:Fallback" => name,
        _ => name.strip_prefix(prefix.as_bytes()).unwrap_or_default(),
    }
}

/// What is no part of the running text: boxes, what another place has too, and what was moved away.
fn is_left_out(name: &[u8]) -> bool {
    matches!(name, b"mc:Fallback" | b"txbxContent" | b"moveFrom" | b"del")
}

#[derive(Default)]
struct Writer {
    text: String,
    paragraphs: Vec<Paragraph>,
    /// Paragraphs so far.
    count: u32,
    /// The paragraph we are in: its number, and whether it is a heading.
    open: Option<(u32, bool)>,
    /// How deep we are in rows of tables.
    rows: usize,
    /// What stands before the next letter: the greatest that was asked for.
    gap: Gap,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Gap {
    #[default]
    None,
    Space,
    Cell,
    Line,
    Paragraph,
}

impl Writer {
    fn begin(&mut self) {
        self.open = Some((self.count, false));
        self.count += 1;
        let gap = match self.rows {
            0 => Gap::Paragraph,
            _ => Gap::Space,
        };
        self.gap = self.gap.max(gap);
    }

    /// A table begins or ends.
    fn table(&mut self) {
        if self.rows == 0 {
            self.gap = Gap::Paragraph;
        }
    }

    fn begin_row(&mut self) {
        self.rows += 1;
        if self.rows == 1 {
            self.gap = self.gap.max(Gap::Line);
        }
    }

    fn begin_cell(&mut self) {
        self.gap = self.gap.max(Gap::Cell);
    }

    /// Something in a paragraph that is no text: its style, a tab, a line break.
    fn sign(&mut self, element: &BytesStart<'_>, name: &[u8], prefix: &str, in_run: bool) {
        match name {
            b"pStyle" => {
                let style = super::parts::attribute(element, &format!("{prefix}val"));
                if let (Some((_, heading)), Some(style)) = (&mut self.open, style) {
                    *heading = is_heading(&style);
                }
            }
            // Where tabs stop is told by elements of the same name, outside of runs.
            b"tab" if in_run => self.letter('\t'),
            b"br" | b"cr" if in_run => self.letter('\n'),
            b"noBreakHyphen" if in_run => self.letter('-'),
            _ => {}
        }
    }

    fn words(&mut self, text: &str) {
        for c in text.chars() {
            self.letter(c);
        }
    }

    fn letter(&mut self, c: char) {
        let Some((number, heading)) = self.open else {
            return;
        };
        let c = match c {
            '\n' | '\r' if self.rows > 0 || heading => ' ',
            '\r' => '\n',
            c => c,
        };
        let known = self.paragraphs.last().map(|last| last.number) == Some(number);
        if !known {
            if c.is_whitespace() {
                return;
            }
            self.space(c);
            let heading = heading && self.rows == 0;
            self.paragraphs.push(Paragraph {
                start: self.text.len(),
                number,
                lead: if heading { 2 } else { 0 },
            });
            if heading {
                self.text.push_str("# ");
            }
        } else if c.is_whitespace() && self.text.ends_with('\n') {
            // An indented line would be code, and an empty one the end of the paragraph.
            return;
        }
        self.text.push(c);
    }

    /// What stands between this paragraph, which begins with `first`, and the one before.
    fn space(&mut self, first: char) {
        let gap = std::mem::take(&mut self.gap);
        if self.text.is_empty() {
            return;
        }
        let kept = self.text.trim_end().len();
        self.text.truncate(kept);
        self.text.push_str(match gap {
            Gap::None | Gap::Space => " ",
            Gap::Cell => "\t",
            Gap::Line => "\n",
            // The tags of a game, each in a paragraph of its own, are those of one game.
            Gap::Paragraph if first == '[' && self.ends_with_tag() => "\n",
            Gap::Paragraph => "\n\n",
        });
    }

    fn ends_with_tag(&self) -> bool {
        let line = self.text.rsplit('\n').next().unwrap_or_default();
        line.starts_with('[') && line.ends_with("\"]")
    }
}

/// Whether a style is that of headings: `Heading1` to `Heading9`, `Title`.
fn is_heading(style: &str) -> bool {
    let level = style.strip_prefix("Heading");
    style == "Title" || level.is_some_and(|level| matches!(level.as_bytes(), [b'1'..=b'9']))
}
