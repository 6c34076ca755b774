//! LaTeX: commands are left out and their arguments read.
//!
//! Only commands of the language itself and of its common classes are known, by what is done with
//! their arguments (L. Lamport, LaTeX: A Document Preparation System). Any other is left out, and
//! what its arguments say is read as text.

use std::collections::BTreeMap;
use std::ops::Range;

mod commands;
mod groups;
mod macros;

use commands::{Command, command};
use groups::Groups;
use macros::{Macro, defined};

use super::remark::show_allowance;
use super::veil::Veil;
use crate::bytes::{byte, is_line_end, line_end, rest};

/// The view of a text in LaTeX.
pub(super) fn view_of(text: &[u8]) -> Vec<u8> {
    let groups = Groups::of(text);
    let mut reader = Reader {
        text,
        macros: defined(text, &groups),
        groups,
        veil: Veil::new(text),
        at: 0,
        closing: Vec::new(),
        lists: Vec::new(),
        open: false,
    };
    reader.read();
    reader.veil.finish()
}

/// Reads a text from its start to its end.
struct Reader<'t> {
    text: &'t [u8],
    groups: Groups,
    /// The author's own commands.
    macros: BTreeMap<&'t [u8], Macro>,
    veil: Veil<'t>,
    at: usize,
    /// What is to be done where groups end, the next one last.
    closing: Vec<(usize, Closing)>,
    /// The lists that are open: how many items each has if they have numbers.
    lists: Vec<Option<u32>>,
    /// Whether an environment that holds no commands was left open, so that no other is looked for.
    open: bool,
}

/// What the end of a group means.
#[derive(Clone)]
enum Closing {
    /// The end of a heading.
    Line,
    /// The end of a footnote.
    Paren,
    /// The end of an argument of the author's own command, counted from 1.
    Argument(Macro, usize),
}

impl Reader<'_> {
    fn read(&mut self) {
        if let Some(start) = memchr::memmem::find(self.text, b"\\begin{document}") {
            self.preamble(start);
        }
        while self.at < self.text.len() {
            let run = rest(self.text, self.at);
            let length = run.iter().position(|&byte| is_special(byte));
            let end = self.at + length.unwrap_or(run.len());
            if end > self.at {
                self.veil.keep(self.at, end);
                self.at = end;
                continue;
            }
            self.special();
        }
    }

    /// Reads past what stands before the document, but for what the author allows there.
    fn preamble(&mut self, document: usize) {
        let before = self.text.get(..document).unwrap_or_default();
        while let Some(found) = memchr::memchr(b'%', before.get(self.at..).unwrap_or_default()) {
            let at = self.at + found;
            let end = line_end(before, at);
            if at == 0 || byte(before, at - 1) != b'\\' {
                self.remark(at..end, end);
            }
            self.at = end.max(at + 1);
        }
        self.at = document;
    }

    fn special(&mut self) {
        let at = self.at;
        self.at += 1;
        match byte(self.text, at) {
            b'%' => self.comment(at),
            b'\\' => self.command(at),
            b'~' => {
                self.veil.write(at, b" ");
            }
            b'&' => self.veil.part(),
            b'}' => self.close(at),
            // Another argument of the same command.
            b'{' if at > 0 && byte(self.text, at - 1) == b'}' => self.veil.part(),
            _ => {}
        }
    }

    /// A comment, which takes its line end along where it has the line for itself.
    fn comment(&mut self, at: usize) {
        let end = line_end(self.text, at);
        let line = self.text.get(..at).unwrap_or_default();
        let start = memchr::memrchr2(b'\n', b'\r', line).map_or(0, |before| before + 1);
        let alone = line
            .get(start..)
            .unwrap_or_default()
            .trim_ascii()
            .is_empty();
        let behind = end
            + if rest(self.text, end).starts_with(b"\r\n") {
                2
            } else {
                1
            };
        let mut next = rest(self.text, behind)
            .iter()
            .skip_while(|&&byte| is_blank(byte));
        self.at = end;
        if alone && next.next().is_some_and(|&byte| !is_line_end(byte)) {
            (end..behind).for_each(|at| self.veil.blank(at));
            self.veil.part();
            self.at = behind;
        }
        self.remark(at..end, self.at);
    }

    /// Shows what the author allows in a comment, for which there is room up to `most`.
    fn remark(&mut self, comment: Range<usize>, most: usize) {
        let signs = rest(self.text, comment.start).iter();
        let start = comment.start + signs.take_while(|&&byte| byte == b'%').count();
        show_allowance(&mut self.veil, start..comment.end, comment.start..most);
    }

    fn close(&mut self, at: usize) {
        if self.closing.last().is_none_or(|&(end, _)| end != at) {
            return;
        }
        match self.closing.pop() {
            Some((_, Closing::Paren)) => self.veil.put(at, at + 1, b")"),
            Some((_, Closing::Argument(own, nth))) => self.argument_end(own, nth, at),
            Some((_, Closing::Line)) => {
                let mut behind = rest(self.text, at + 1).iter();
                if behind
                    .find(|byte| !is_blank(**byte))
                    .is_some_and(|&byte| !is_line_end(byte))
                {
                    self.veil.write(at, b"\n");
                }
                self.veil.part();
            }
            None => {}
        }
    }

    fn command(&mut self, at: usize) {
        let letters = rest(self.text, self.at).iter();
        let length = letters
            .take_while(|byte| byte.is_ascii_alphabetic() || **byte == b'@')
            .count();
        if length == 0 {
            return self.symbol(at);
        }
        let end = self.at + length;
        let name = self.text.get(self.at..end).unwrap_or_default();
        self.at = end + usize::from(byte(self.text, end) == b'*');
        if let Some(own) = self.macros.get(name).cloned() {
            return self.own(at, own);
        }
        match command(name) {
            Some(Command::Sign(sign)) => {
                self.skip_blanks();
                self.veil.put(at, self.at, sign.as_bytes());
            }
            Some(Command::Style) => self.skip_blanks(),
            Some(Command::Hidden(groups)) => {
                self.options();
                if name == b"setcounter" {
                    self.set_counter();
                }
                for _ in 0..groups {
                    self.skip_group();
                    self.options();
                }
            }
            Some(Command::Definition) => self.definition(),
            Some(Command::Heading(level)) => self.heading(at, level),
            Some(Command::Footnote) => {
                self.options();
                if let Some(end) = self.group() {
                    self.veil.write(at, b" ");
                    self.veil.put(at, self.at + 1, b"(");
                    self.at += 1;
                    self.closing.push((end, Closing::Paren));
                }
            }
            Some(Command::Item) => self.item(at),
            Some(Command::Verb) => self.verb(),
            Some(Command::Begin) => self.begin(),
            Some(Command::End) => {
                if matches!(self.environment(), b"enumerate" | b"itemize") {
                    self.lists.pop();
                }
                self.veil.part();
            }
            None => {
                self.veil.part();
                self.options();
            }
        }
    }

    /// A command of the author, which is shown as what it prints.
    fn own(&mut self, at: usize, own: Macro) {
        if let (Some(level), 1) = (own.heading, own.arguments()) {
            return self.heading(at, level);
        }
        if own.apart {
            self.veil.part();
        }
        if own.arguments() == 0 {
            self.skip_blanks();
            let words = own.fitting(0, self.at - at);
            if !words.is_empty() {
                self.veil.put(at, self.at, words.as_bytes());
            }
            return;
        }
        self.argument(own, 0, at);
    }

    /// Shows what stands before an argument, which is read on; without one the command ends.
    fn argument(&mut self, own: Macro, nth: usize, from: usize) {
        let blanks = rest(self.text, self.at)
            .iter()
            .take_while(|&&byte| is_blank(byte));
        let open = self.at + blanks.count();
        let end = (byte(self.text, open) == b'{')
            .then(|| self.groups.end(open))
            .flatten();
        let Some(end) = end else {
            return;
        };
        let words = own.fitting(nth, open + 1 - from);
        if !words.is_empty() {
            self.veil.put(from, open + 1, words.as_bytes());
        }
        self.at = open + 1;
        self.closing.push((end, Closing::Argument(own, nth + 1)));
    }

    fn argument_end(&mut self, own: Macro, nth: usize, at: usize) {
        if nth < own.arguments() {
            return self.argument(own, nth, at);
        }
        let words = own.fitting(nth, 1);
        if !words.is_empty() {
            self.veil.put(at, at + 1, words.as_bytes());
        }
        if own.apart {
            self.veil.part();
        }
    }

    /// Takes note of the number that the next item of a list follows.
    fn set_counter(&mut self) {
        let text = rest(self.text, self.at);
        let Some(number) = text.strip_prefix(b"{enumi}{") else {
            return;
        };
        let digits = number
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        let number = std::str::from_utf8(&number[..digits]).unwrap_or_default();
        if let (Some(Some(count)), Ok(number)) = (self.lists.last_mut(), number.parse()) {
            *count = number;
        }
    }

    /// A backslash before something that is no letter.
    fn symbol(&mut self, at: usize) {
        let sign = byte(self.text, self.at);
        self.at += 1;
        match sign {
            b'#' | b'&' | b'%' | b'_' | b'$' | b'{' | b'}' => {
                self.veil.put(at, self.at, &[sign]);
            }
            b'\\' => {
                self.at += usize::from(byte(self.text, self.at) == b'*');
                self.options();
                self.veil.part();
            }
            // Accents, whose letter follows, and what stands between two letters.
            b'"' | b'\'' | b'`' | b'^' | b'=' | b'.' | b'-' | b'/' | b'!' => {}
            b'~' if byte(self.text, self.at).is_ascii_alphabetic()
                || byte(self.text, self.at) == b'{' => {}
            b'(' | b')' | b'[' | b']' => {}
            _ if is_line_end(sign) || sign >= 0x80 => self.at -= 1,
            _ => self.veil.part(),
        }
    }

    fn heading(&mut self, at: usize, level: usize) {
        self.options();
        let Some(end) = self.group() else {
            return self.veil.part();
        };
        // What stands before it on its line; farther off, something surely does.
        const NEAR: usize = 200;
        let near = at.saturating_sub(NEAR);
        let line = self.text.get(near..at).unwrap_or_default();
        let start = match memchr::memrchr2(b'\n', b'\r', line) {
            Some(before) => Some(near + before + 1),
            None => (near == 0).then_some(0),
        };
        let blank = |start| self.veil.shown(start, at).trim_ascii().is_empty();
        let alone = start.is_some_and(blank);
        let signs = &b"\n####"[usize::from(alone)..level + 1];
        self.veil.write(at, signs);
        self.at += 1;
        self.closing.push((end, Closing::Line));
    }

    /// An item is written as other formats do it.
    fn item(&mut self, at: usize) {
        self.options();
        let end = self.at;
        match self.lists.last_mut() {
            Some(Some(count)) => {
                *count = count.saturating_add(1);
                let number = format!("{count}.");
                self.veil.put(at, end, number.as_bytes());
            }
            _ => self.veil.put(at, end, b"-"),
        }
        self.veil.part();
    }

    fn verb(&mut self) {
        const LONGEST: usize = 500;
        let sign = byte(self.text, self.at);
        let start = self.at + 1;
        let line = rest(self.text, start);
        let line = line.get(..LONGEST).unwrap_or(line);
        if let Some(length) = memchr::memchr(sign, line) {
            self.veil.keep(start, start + length);
            self.at = start + length + 1;
        }
    }

    /// The name of an environment, with everything that is set behind it.
    fn environment(&mut self) -> &'static [u8] {
        const KNOWN: [&[u8]; 5] = [
            b"enumerate",
            b"itemize",
            b"verbatim",
            b"lstlisting",
            b"comment",
        ];
        let Some(end) = self.group() else {
            return b"";
        };
        let name = self.text.get(self.at + 1..end).unwrap_or_default();
        let known = KNOWN.into_iter().find(|known| *known == name);
        self.at = end + 1;
        known.unwrap_or_default()
    }

    fn begin(&mut self) {
        self.veil.part();
        let name = self.environment();
        match name {
            b"enumerate" => self.lists.push(Some(0)),
            b"itemize" => self.lists.push(None),
            b"verbatim" | b"lstlisting" | b"comment" => {
                let mut closed = b"\\end{".to_vec();
                closed.extend_from_slice(name);
                closed.push(b'}');
                self.options();
                let length = match self.open {
                    true => None,
                    false => memchr::memmem::find(rest(self.text, self.at), &closed),
                };
                self.open |= length.is_none();
                if let Some(length) = length {
                    if name != b"comment" {
                        self.veil.keep(self.at, self.at + length);
                    }
                    self.at += length + closed.len();
                }
                self.veil.part();
                return;
            }
            _ => {}
        }
        self.options();
        while byte(self.text, self.at) == b'{' && self.skip_group() {
            self.options();
        }
    }

    /// Skips what a definition defines.
    fn definition(&mut self) {
        // The name may be a command, or a group; arguments and options stand before the body.
        while self.at < self.text.len() {
            match byte(self.text, self.at) {
                end if is_line_end(end) => return,
                b'{' => {
                    let Some(end) = self.groups.end(self.at) else {
                        return;
                    };
                    self.at = end + 1;
                    if !matches!(byte(self.text, self.at), b'{' | b'[') {
                        return;
                    }
                }
                _ => self.at += 1,
            }
        }
    }

    /// Options in brackets that stand right here.
    fn options(&mut self) {
        const LONGEST: usize = 400;
        while byte(self.text, self.at) == b'[' {
            let inside = rest(self.text, self.at);
            let inside = inside.get(..LONGEST).unwrap_or(inside);
            let mut depth = 0_u32;
            let mut line = false;
            let end = inside.iter().position(|&byte| {
                let ends = byte == b']' && depth == 0 || byte == b'\n' && line;
                line = byte == b'\n' || line && is_blank(byte);
                match byte {
                    b'{' => depth += 1,
                    b'}' => depth = depth.saturating_sub(1),
                    _ => {}
                }
                ends
            });
            match end {
                Some(end) if inside[end] == b']' => self.at += end + 1,
                _ => return,
            }
        }
    }

    /// The end of the group that begins here, if there is one.
    fn group(&self) -> Option<usize> {
        (byte(self.text, self.at) == b'{').then(|| self.groups.end(self.at))?
    }

    /// Skips the group that begins here; `false` where there is none or it does not end in its
    /// paragraph.
    fn skip_group(&mut self) -> bool {
        let Some(end) = self.group() else {
            return false;
        };
        // No author hides as much in an argument.
        const LONGEST: usize = 1000;
        let inside = self.text.get(self.at..end).unwrap_or_default();
        if inside.len() > LONGEST || crate::paragraphs(inside).nth(1).is_some() {
            return false;
        }
        self.at = end + 1;
        true
    }

    /// Blanks behind the name of a command, which belong to it.
    fn skip_blanks(&mut self) {
        while is_blank(byte(self.text, self.at)) {
            self.at += 1;
        }
        if rest(self.text, self.at).starts_with(b"{}") {
            self.at += 2;
        }
    }
}

const fn is_blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t')
}

const fn is_special(byte: u8) -> bool {
    matches!(byte, b'\\' | b'%' | b'{' | b'}' | b'$' | b'~' | b'&')
}

#[cfg(test)]
mod tests;
