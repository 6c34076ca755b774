//! AsciiDoc: games and positions in blocks, and prose without the signs of the format.
//!
//! Read by lines, as the language is defined (AsciiDoc Language Documentation, Eclipse Foundation);
//! what stands in a line is read by `inline`.

mod inline;

use std::ops::Range;

use super::printed::{Printed, What};
use super::remark::show_allowance;
use super::veil::Veil;
use crate::bytes::{is_line_end, read_tag, rest};

/// What is shown of a text, and its blocks of games and positions.
pub(super) fn view_of(text: &[u8]) -> (Vec<u8>, Vec<Printed>) {
    let mut reader = Reader {
        text,
        veil: Veil::new(text),
        blocks: Vec::new(),
        at: 0,
        holds: Holds::Words,
        numbered: 0,
        in_table: false,
    };
    while reader.at < text.len() {
        let line = reader.line(reader.at);
        reader.take(line);
    }
    (reader.veil.finish(), reader.blocks)
}

/// What the attributes above a block say that it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holds {
    Words,
    Games,
    Positions,
    /// Text in a language that is not read.
    Code,
}

struct Reader<'t> {
    text: &'t [u8],
    veil: Veil<'t>,
    blocks: Vec<Printed>,
    at: usize,
    holds: Holds,
    /// The number of the last item of a numbered list.
    numbered: u32,
    in_table: bool,
}

impl<'t> Reader<'t> {
    /// The line at `start`, without its line end.
    fn line(&self, start: usize) -> Range<usize> {
        let end = memchr::memchr2(b'\n', b'\r', rest(self.text, start));
        start..end.map_or(self.text.len(), |length| start + length)
    }

    /// Where the line behind `line` begins.
    fn behind(&self, line: &Range<usize>) -> usize {
        let end = if rest(self.text, line.end).starts_with(b"\r\n") {
            2
        } else {
            1
        };
        (line.end + end).min(self.text.len())
    }

    fn take(&mut self, line: Range<usize>) {
        let own = self.text.get(line.clone()).unwrap_or_default();
        let words = own.trim_ascii_end();
        let next = self.behind(&line);
        self.at = next;
        self.veil.part();
        match words {
            [] => {}
            b"////" | b"++++" => self.hide(words, next),
            b"----" | b"...." => self.listing(line.start, words, next),
            b"|===" => self.in_table = !self.in_table,
            b"====" | b"****" | b"____" | b"--" | b"'''" | b"<<<" | b"+" => {}
            [b'/', b'/', rest @ ..] if !rest.starts_with(b"/") => self.comment(&line, next),
            [b'[', .., b']'] if !is_tag(words) => self.attributes(words),
            [b':', ..] if is_attribute(words) => {}
            [b'=', ..] => self.heading(&line, words),
            [b'.', first, ..] if !matches!(first, b'.' | b' ') => {
                inline::show(&mut self.veil, line.start + 1..line.end, self.in_table);
            }
            _ => self.words(&line),
        }
        if !matches!(words, [] | [b'[', ..] | [b'.', ..] | [b'/', b'/', ..]) {
            self.holds = Holds::Words;
        }
    }

    fn words(&mut self, line: &Range<usize>) {
        let own = self.text.get(line.clone()).unwrap_or_default();
        let lead = own
            .iter()
            .take_while(|byte| matches!(byte, b' ' | b'\t'))
            .count();
        let item = own.get(lead..).unwrap_or_default();
        let signs = |sign: u8| item.iter().take_while(|&&byte| byte == sign).count();
        let start = line.start + lead;
        for sign in [b'*', b'-', b'.'] {
            let count = signs(sign);
            if (1..=5).contains(&count) && item.get(count) == Some(&b' ') {
                match sign {
                    b'.' => self.number(start + count - 1),
                    _ => self.veil.write(start + count - 1, b"-"),
                }
                return inline::show(&mut self.veil, start + count..line.end, self.in_table);
            }
        }
        inline::show(&mut self.veil, line.clone(), self.in_table);
    }

    /// An item that is numbered when it is printed; its number is shown on the blank line above, as
    /// far as there is room.
    fn number(&mut self, dot: usize) {
        self.numbered = self.numbered.saturating_add(1);
        let number = format!("{}.", self.numbered);
        let start = (dot + 1).saturating_sub(number.len());
        let before = self.veil.shown(start.saturating_sub(1), dot);
        if before.len() < number.len() || !before.iter().all(u8::is_ascii_whitespace) {
            return self.veil.write(dot, b"-");
        }
        let blank = self.veil.shown(start.saturating_sub(2), start - 1);
        if blank.first().is_some_and(u8::is_ascii_whitespace) {
            self.veil.write(start - 2, b"\n");
        }
        self.veil.write(start - 1, b"\n");
        self.veil.write(start, number.as_bytes());
    }

    fn heading(&mut self, line: &Range<usize>, words: &[u8]) {
        let count = words.iter().take_while(|&&byte| byte == b'=').count();
        if count > 6 || words.get(count) != Some(&b' ') {
            return inline::show(&mut self.veil, line.clone(), self.in_table);
        }
        self.veil.write(line.start, &b"######"[..count]);
        inline::show(&mut self.veil, line.start + count..line.end, false);
    }

    /// A comment of one line, which parts no paragraph.
    fn comment(&mut self, line: &Range<usize>, next: usize) {
        let goes_on = self.text.get(next).is_some_and(|&byte| !is_line_end(byte));
        if goes_on {
            (line.end..next).for_each(|at| self.veil.blank(at));
        }
        let most = if goes_on { next } else { line.end };
        show_allowance(&mut self.veil, line.start + 2..line.end, line.start..most);
    }

    fn attributes(&mut self, words: &[u8]) {
        let inside = words.get(1..words.len() - 1).unwrap_or_default();
        let mut parts = inside.split(|&byte| byte == b',').map(<[u8]>::trim_ascii);
        let style = parts.next().unwrap_or_default();
        let language = parts.next().unwrap_or_default();
        let known = |name: &[u8]| match name.to_ascii_lowercase().as_slice() {
            b"pgn" => Some(Holds::Games),
            b"fen" | b"epd" => Some(Holds::Positions),
            _ => None,
        };
        let is_source = matches!(style, b"" | b"source");
        let told = known(style).or_else(|| known(language).filter(|_| is_source));
        match told {
            Some(holds) => self.holds = holds,
            None if is_source && !language.is_empty() => self.holds = Holds::Code,
            None => {}
        }
        if let Some(start) = words.strip_prefix(b"[start=") {
            let digits = start
                .iter()
                .take_while(|byte| byte.is_ascii_digit())
                .count();
            let number = std::str::from_utf8(&start[..digits]).unwrap_or_default();
            self.numbered = number
                .parse::<u32>()
                .map_or(0, |number| number.saturating_sub(1));
        }
    }

    /// The line that closes a block which `fence` opened, or the end of the text.
    fn closing(&self, fence: &[u8], from: usize) -> Range<usize> {
        let mut line = self.line(from);
        while line.start < self.text.len() {
            if self
                .text
                .get(line.clone())
                .unwrap_or_default()
                .trim_ascii_end()
                == fence
            {
                return line;
            }
            line = self.line(self.behind(&line));
        }
        line
    }

    fn hide(&mut self, fence: &[u8], next: usize) {
        let closing = self.closing(fence, next);
        self.at = self.behind(&closing);
    }

    fn listing(&mut self, start: usize, fence: &[u8], next: usize) {
        let closing = self.closing(fence, next);
        self.at = self.behind(&closing);
        let content = next..closing.start;
        if self.holds == Holds::Code || content.is_empty() {
            return;
        }
        self.veil.keep(content.start, content.end);
        self.veil.part();
        let what = match self.holds {
            Holds::Games => What::Games(content),
            Holds::Positions => What::Lines(content),
            Holds::Words | Holds::Code => return,
        };
        self.blocks.push(Printed {
            range: start..closing.end,
            what,
        });
    }
}

/// Whether a line in brackets is a tag pair of a game, or allows something, and no attribute.
fn is_tag(line: &[u8]) -> bool {
    line.starts_with(b"[%allow")
        || line.get(1).is_some_and(u8::is_ascii_uppercase) && !read_tag(line, 0).broken
}

/// Whether a line sets an attribute of the document: `:name: value`.
fn is_attribute(line: &[u8]) -> bool {
    let name = line.get(1..).unwrap_or_default();
    let is_name = |byte: &&u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'!');
    let length = name.iter().take_while(is_name).count();
    length > 0 && name.get(length) == Some(&b':')
}

#[cfg(test)]
mod tests;
