//! The reader of game text.

mod numbers;
mod words;

use crate::braces::braces;
use crate::bytes::{
    BOM, Class, byte, class, is_event_start, is_game_start, is_line_end, is_space, line_end,
    read_tag, rest, skip_space,
};
use crate::glyph::Glyph;
use crate::movetext::WrittenMove;
use crate::movetext::read_common;
use crate::span::Span;
use crate::tree::{CommentKind, Element, ElementKind, Fault, FaultKind, Game, GameResult, Tag};

/// Reads the game that begins at or after `from` in `text` into `game`, and
/// returns where reading of the next one must begin; `None` when nothing but
/// white space is left.
///
/// A game ends where the tags of the next begin; without tags, where move
/// number 1 or an unnumbered move follows the termination marker in a new
/// paragraph, or where a paragraph begins with move number 1 though the game is
/// well under way. Comments behind the marker belong to the game.
///
/// The spans of `game` are offsets into `text`. At most 4 GiB of `text` are
/// read; cut longer texts into [`sections`](crate::sections()).
pub fn read_game(text: &[u8], from: usize, game: &mut Game) -> Option<usize> {
    game.clear();
    let text = text.get(..u32::MAX as usize).unwrap_or(text);
    let mut start = from;
    if start == 0 && text.starts_with(BOM) {
        start = BOM.len();
    }
    start = skip_space(text, start);
    if start >= text.len() {
        return None;
    }
    let mut reader = Reader {
        text,
        game,
        at: start,
        depth: 0,
        moves: 0,
        begun: false,
        over: false,
        loose: false,
        has_event: false,
        paren_numbers: false,
    };
    reader.run();
    let next = reader.at;
    reader.close(start);
    Some(next)
}

struct Reader<'a> {
    text: &'a [u8],
    game: &'a mut Game,
    /// Where reading goes on.
    at: usize,
    /// Side-lines that are open.
    depth: u32,
    /// Moves read outside side-lines.
    moves: u32,
    /// Whether anything but tags and comments has been read.
    begun: bool,
    /// Whether a termination marker has been read outside side-lines.
    over: bool,
    /// Whether the last element is a loose word.
    loose: bool,
    /// Whether an Event tag has been read.
    has_event: bool,
    /// Whether the game writes its numbers like `5)`.
    paren_numbers: bool,
}

/// What follows is only called with offsets within the text, which has less
/// than 4 GiB.
#[inline]
const fn span(start: usize, end: usize) -> Span {
    Span::new(start as u32, end as u32)
}

impl Reader<'_> {
    fn run(&mut self) {
        while let Some(&first) = self.text.get(self.at) {
            let at = self.at;
            match class(first) {
                Class::Space => {
                    self.at += 1;
                    continue;
                }
                Class::MoveLetter => match read_common(self.text, at) {
                    Some((written, end)) if !self.over => self.push_move(written, at, end),
                    _ => {
                        if !self.word() {
                            return;
                        }
                    }
                },
                Class::Digit => {
                    if !self.digits() {
                        return;
                    }
                }
                Class::Dot => self.dots(),
                Class::BraceOpen => self.brace_comment(),
                Class::BraceClose => {
                    self.fault(FaultKind::StrayBrace, at, at + 1);
                    self.at = at + 1;
                }
                Class::ParenOpen => {
                    self.depth += 1;
                    self.push(ElementKind::Open, at, at + 1);
                }
                Class::ParenClose => {
                    if self.depth == 0 {
                        self.begun = true;
                        self.fault(FaultKind::StrayParenthesis, at, at + 1);
                        self.at = at + 1;
                    } else {
                        self.depth -= 1;
                        self.push(ElementKind::Close, at, at + 1);
                    }
                }
                Class::Semicolon => {
                    let end = line_end(self.text, at);
                    self.comment(CommentKind::Line, at, end, (at + 1, end));
                }
                Class::Percent if at == 0 || is_line_end(byte(self.text, at - 1)) => {
                    let end = line_end(self.text, at);
                    self.comment(CommentKind::Escape, at, end, (at + 1, end));
                }
                Class::Dollar => self.glyph_by_number(),
                Class::Glyph => {
                    let found = Glyph::at_start(rest(self.text, at));
                    let (glyph, length) = found.unwrap_or((Glyph::new(0), 1));
                    self.push(
                        ElementKind::Glyph {
                            glyph,
                            symbol: true,
                        },
                        at,
                        at + length,
                    );
                }
                Class::Star => self.result(GameResult::Unknown, at + 1),
                Class::Bracket => {
                    if self.begun {
                        if is_game_start(self.text, at) {
                            return;
                        }
                        if !self.word() {
                            return;
                        }
                    } else if self.has_event && is_event_start(self.text, at) {
                        return;
                    } else {
                        self.tag();
                    }
                }
                Class::High | Class::Other | Class::Percent => {
                    if !self.word() {
                        return;
                    }
                }
                Class::Control => self.binary(),
            }
        }
    }

    #[inline]
    fn push(&mut self, kind: ElementKind, start: usize, end: usize) {
        self.begun = true;
        self.loose = false;
        self.game.elements.push(Element {
            span: span(start, end),
            kind,
        });
        // One blank behind a token is the rule; it need not go round the loop.
        self.at = end + usize::from(byte(self.text, end) == b' ');
    }

    #[inline]
    fn push_move(&mut self, written: WrittenMove, start: usize, end: usize) {
        self.moves += u32::from(self.depth == 0);
        self.push(ElementKind::Move(written), start, end);
    }

    /// Notes a fault; neighbours of the same kind become one.
    fn fault(&mut self, kind: FaultKind, start: usize, end: usize) {
        self.begun = true;
        push_fault(self.text, &mut self.game.faults, kind, span(start, end));
    }

    fn comment(&mut self, kind: CommentKind, start: usize, end: usize, body: (usize, usize)) {
        self.loose = false;
        self.game.elements.push(Element {
            span: span(start, end),
            kind: ElementKind::Comment {
                body: span(body.0, body.1),
                kind,
            },
        });
        self.at = end;
    }

    fn brace_comment(&mut self) {
        let at = self.at;
        let found = braces(self.text, at);
        let faults = &mut self.game.faults;
        let kind = if found.closed {
            CommentKind::Brace
        } else {
            push_fault(
                self.text,
                faults,
                FaultKind::UnclosedComment,
                span(at, at + 1),
            );
            CommentKind::Unclosed
        };
        if let Some(nested) = found.nested {
            push_fault(
                self.text,
                faults,
                FaultKind::NestedComment,
                span(nested, nested + 1),
            );
        }
        self.comment(kind, at, found.end, (at + 1, found.body_end));
    }

    fn tag(&mut self) {
        let raw = read_tag(self.text, self.at);
        let tag = Tag {
            span: span(self.at, raw.end),
            name: span(raw.name.0, raw.name.1),
            value: span(raw.value.0, raw.value.1),
            escaped: raw.escaped,
        };
        if raw.broken {
            let faults = &mut self.game.faults;
            if tag.name.is_empty() {
                push_fault(self.text, faults, FaultKind::BrokenTag, tag.span);
            } else {
                // Each tag with a name is a mistake of its own.
                faults.push(Fault {
                    span: tag.span,
                    kind: FaultKind::BrokenTag,
                });
            }
        }
        if !tag.name.is_empty() {
            self.has_event |= tag.name.of(self.text) == b"Event";
            self.game.tags.push(tag);
        }
        self.at = raw.end;
    }

    /// Notes the side-lines that stayed open and puts the faults in order.
    fn close(&mut self, start: usize) {
        let mut end = self.at;
        while end > start && is_space(byte(self.text, end - 1)) {
            end -= 1;
        }
        self.game.span = span(start, end);
        // An unclosed comment or a broken tag may reach over the white space.
        let last_element = self.game.elements.last().map(|element| element.span.end);
        let last_tag = self.game.tags.last().map(|tag| tag.span.end);
        self.game.span.end = self
            .game
            .span
            .end
            .max(last_element.max(last_tag).unwrap_or(0));
        if self.depth > 0 {
            let mut closes = 0u32;
            let mut last: Option<Span> = None;
            for element in self.game.elements.iter().rev() {
                match element.kind {
                    ElementKind::Close => closes += 1,
                    ElementKind::Open if closes > 0 => closes -= 1,
                    ElementKind::Open => {
                        // Parentheses in a row are one fault.
                        match (&mut last, self.game.faults.last_mut()) {
                            (Some(behind), Some(fault))
                                if Span::new(element.span.end, behind.start)
                                    .of(self.text)
                                    .iter()
                                    .all(|&byte| is_space(byte)) =>
                            {
                                fault.span = fault.span.to(element.span);
                            }
                            _ => self.game.faults.push(Fault {
                                span: element.span,
                                kind: FaultKind::UnclosedSideLine,
                            }),
                        }
                        last = Some(element.span);
                    }
                    _ => {}
                }
            }
        }
        if self.game.faults.len() > 1 {
            self.game.faults.sort_by_key(|fault| fault.span.start);
        }
    }
}

fn push_fault(text: &[u8], faults: &mut Vec<Fault>, kind: FaultKind, span: Span) {
    if let Some(last) = faults.last_mut()
        && last.kind == kind
        && let Some(gap) = text.get(last.span.end as usize..span.start as usize)
        && gap.iter().all(|&byte| is_space(byte))
    {
        last.span = last.span.to(span);
        return;
    }
    faults.push(Fault { span, kind });
}

#[cfg(test)]
mod tests;
