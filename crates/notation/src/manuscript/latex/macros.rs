//! The author's own commands, as the text defines them.

use std::collections::BTreeMap;

use super::commands::{Command, command};
use super::groups::Groups;
use crate::bytes::{byte, line_end, rest};

/// What a command of the author prints.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Macro {
    /// The words before its first argument, between arguments and behind the last one.
    pub(super) words: Vec<String>,
    /// Whether it stands apart from the words around it.
    pub(super) apart: bool,
    /// The rank of the heading that it makes.
    pub(super) heading: Option<usize>,
}

impl Macro {
    /// How many arguments it takes.
    pub(super) const fn arguments(&self) -> usize {
        self.words.len().saturating_sub(1)
    }

    /// The words before argument `nth` from 0, or behind the last one, as they have room in so many
    /// bytes.
    pub(super) fn fitting(&self, nth: usize, room: usize) -> String {
        const SHORT: [(&str, &str); 4] = [
            ("Diagram", "Diag."),
            ("Exercise", "No."),
            ("Problem", "No."),
            ("Position", "Diag."),
        ];
        let words = self.words.get(nth).map_or("", String::as_str);
        let short = SHORT.iter().fold(words.to_owned(), |words, (long, short)| {
            words.replace(long, short)
        });
        let fits = [words, words.trim_start(), short.trim_start(), words.trim()]
            .into_iter()
            .find(|words| words.len() <= room);
        fits.unwrap_or_default().to_owned()
    }
}

/// The commands that a text defines, by their names.
pub(super) fn defined<'t>(text: &'t [u8], groups: &Groups) -> BTreeMap<&'t [u8], Macro> {
    const WORDS: [&[u8]; 6] = [
        b"newcommand",
        b"renewcommand",
        b"providecommand",
        b"DeclareRobustCommand",
        b"def",
        b"gdef",
    ];
    let mut found = BTreeMap::new();
    for at in memchr::memchr_iter(b'\\', text) {
        let name = name_at(text, at + 1);
        if WORDS.contains(&name) {
            found.extend(definition(text, groups, at + 1 + name.len()));
        }
    }
    found
}

/// A longer body prints more than a word.
const LONGEST: usize = 1000;

/// The letters at a place.
fn name_at(text: &[u8], at: usize) -> &[u8] {
    let letters = rest(text, at).iter();
    let length = letters
        .take_while(|byte| byte.is_ascii_alphabetic() || **byte == b'@')
        .count();
    rest(text, at).get(..length).unwrap_or_default()
}

/// The name of what is defined behind the command that defines it, and what it prints; `None` where
/// arguments are optional or change places.
fn definition<'t>(text: &'t [u8], groups: &Groups, at: usize) -> Option<(&'t [u8], Macro)> {
    let mut at = at + usize::from(byte(text, at) == b'*');
    let braced = byte(text, at) == b'{';
    at += usize::from(braced);
    if byte(text, at) != b'\\' {
        return None;
    }
    let name = name_at(text, at + 1);
    at += 1 + name.len() + usize::from(braced);
    let mut arguments = 0;
    while !matches!(byte(text, at), b'{' | b'\n' | 0) {
        let digit = byte(text, at + 1);
        match byte(text, at) {
            b'[' if arguments == 0 && digit.is_ascii_digit() && byte(text, at + 2) == b']' => {
                arguments = usize::from(digit - b'0');
                at += 3;
            }
            b'#' if digit.is_ascii_digit() => {
                arguments = usize::from(digit - b'0');
                at += 2;
            }
            b' ' => at += 1,
            _ => return None,
        }
    }
    let end = groups.end(at)?;
    let body = text.get(at + 1..end).filter(|body| body.len() <= LONGEST)?;
    let found = body_of(body)?;
    (!name.is_empty() && found.arguments() == arguments).then_some((name, found))
}

/// What a body prints.
fn body_of(body: &[u8]) -> Option<Macro> {
    let mut found = Macro::default();
    let mut words: Vec<u8> = Vec::new();
    let mut at = 0;
    let done = |words: &mut Vec<u8>| String::from_utf8(std::mem::take(words)).ok();
    while at < body.len() {
        let sign = byte(body, at);
        at += 1;
        match sign {
            b'\\' => {
                let name = name_at(body, at);
                at += name.len().max(1);
                match command(name) {
                    None if name.is_empty() => match byte(body, at - 1) {
                        sign @ (b'#' | b'&' | b'%' | b'_' | b'$') => words.push(sign),
                        b',' | b' ' | b';' | b'\\' => words.push(b' '),
                        _ => {}
                    },
                    Some(Command::Sign(sign)) => words.extend_from_slice(sign.as_bytes()),
                    Some(Command::Style) => {}
                    Some(Command::Heading(level)) => found.heading = Some(level),
                    Some(Command::Begin | Command::End | Command::Hidden(_)) => {
                        let group = rest(body, at).starts_with(b"{");
                        let end = group
                            .then(|| memchr::memchr(b'}', rest(body, at)))
                            .flatten();
                        at += end.map_or(0, |end| end + 1);
                        found.apart = true;
                    }
                    _ => found.apart = true,
                }
                if !name.is_empty() {
                    at += rest(body, at)
                        .iter()
                        .take_while(|&&byte| byte == b' ')
                        .count();
                }
            }
            b'#' => {
                let digit = byte(body, at).wrapping_sub(b'0');
                at += 1;
                found.words.push(done(&mut words)?);
                if usize::from(digit) != found.words.len() {
                    return None;
                }
            }
            b'%' => at = line_end(body, at),
            b'{' | b'}' | b'$' => {}
            b'~' | b'\n' | b'\r' => words.push(b' '),
            sign => words.push(sign),
        }
    }
    found.words.push(done(&mut words)?);
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn definitions_tell_what_is_printed() {
        let text = br"\newcommand{\legend}[2]{\begin{center}\small Diagram~#1. #2\end{center}}
\renewcommand*{\N}{N}
\def\answer#1#2{\par\noindent\textbf{#1.}~#2\par}
\newcommand{\mv}[1]{\textbf{#1}}
\newcommand{\turned}[2]{#2 #1}
\newcommand{\maybe}[1][x]{#1}
\newcommand{\chap}[1]{\section{#1}}";
        let found = defined(text, &Groups::of(text));
        let words = |name: &str| {
            found
                .get(name.as_bytes())
                .map(|found| found.words.join("|"))
        };
        assert_eq!(words("legend").as_deref(), Some("Diagram |. |"));
        assert_eq!(words("N").as_deref(), Some("N"));
        assert_eq!(words("answer").as_deref(), Some("|. |"));
        assert_eq!(words("mv").as_deref(), Some("|"));
        assert_eq!(words("turned"), None);
        assert_eq!(words("maybe"), None);
        assert_eq!(found[&b"chap"[..]].heading, Some(2));
        assert!(found[&b"legend"[..]].apart && !found[&b"mv"[..]].apart);
        assert_eq!(found[&b"legend"[..]].fitting(0, 8), "Diagram ");
        assert_eq!(found[&b"legend"[..]].fitting(0, 7), "Diag. ");
    }
}
