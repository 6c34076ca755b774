//! Cited lines.

use gainsay_notation::{MoveNumber, Oddities, Signs, WrittenMove, parse_move, read_descriptive};

use super::chunker::Chunker;
use crate::chunks::ChunkKind;
use crate::claim::{CitedLine, CitedMove, Joint, LineRole, Mood, Tense};
use crate::entry::Entry;
use crate::set::Set;
use crate::token::{TokenKind, is_plain_move};

impl Chunker<'_> {
    /// A square behind a number of the line, or with a glyph behind it, is a pawn's move.
    pub(super) fn pawn_move_line(&mut self) -> bool {
        let glyph = matches!(self.token(self.at + 1), Some(TokenKind::Glyph(glyph)) if glyph.is_mark())
            && self.span(self.at).end == self.span(self.at + 1).start;
        let starts_line = matches!(self.token(self.at + 1), Some(TokenKind::MoveNumber(number)) if number.value.is_some());
        let before = self.at.wrapping_sub(1);
        // "e.g. c6; 7. dxc6"
        let starts_line =
            starts_line || self.parts_from_a_number(self.at + 1) && self.begins_something(before);
        // "g4 was mate", but not "control of g4 was".
        let verb = self.is(self.at + 1, Set::MoveVerb)
            || self.is(before, Set::Plays)
            || self.is(self.at + 2, Set::MoveTrait)
                && matches!(self.token(self.at + 1), Some(TokenKind::Word { .. }));
        // "the f5 break", "the threat is f5"
        let step = self.is(self.at + 1, Set::PawnStep);
        let is = self.is(before, Set::Question)
            && (self.is(before.wrapping_sub(1), Set::Threat)
                || self.is(before.wrapping_sub(1), Set::PawnStep));
        // "the best move: f3", "the usual move, f3."
        let told = matches!(
            self.token(before),
            Some(TokenKind::Colon | TokenKind::Comma)
        ) && self.is(before.wrapping_sub(1), Set::PawnStep)
            && matches!(
                self.token(self.at + 1),
                None | Some(TokenKind::Stop | TokenKind::Comma | TokenKind::Close)
            );
        let is = is || told;
        let placed = self.is(before, Set::Prep) && !(step && self.is(before, Set::Det));
        (glyph || starts_line || verb || step || is) && !placed && self.line()
    }

    /// Whether a sign at `at` parts what stands in front from a move with White's number.
    fn parts_from_a_number(&self, at: usize) -> bool {
        matches!(self.token(at), Some(TokenKind::Comma | TokenKind::Pause))
            && matches!(self.token(at + 1),
                Some(TokenKind::MoveNumber(number)) if number.value.is_some() && number.dots < 2)
    }

    /// Whether something may begin behind the token at `before`.
    fn begins_something(&self, before: usize) -> bool {
        match self.token(before) {
            Some(TokenKind::Word { .. }) => self.is(before, Set::If) || self.is(before, Set::And),
            Some(TokenKind::Stop | TokenKind::Colon | TokenKind::Open | TokenKind::Pause)
            | None => true,
            _ => false,
        }
    }

    /// The move at a token and the token behind it: a move, a square that stands for a pawn's
    /// move; `within` a line also what is a move only there.
    fn move_at(&self, at: usize, numbered: bool, within: bool) -> Option<(WrittenMove, usize)> {
        let parsed = || parse_move(self.span(at).of(self.text), self.letters);
        match self.token(at)? {
            TokenKind::Move(written) => Some((written, at + 1)),
            TokenKind::Square(_) => Some((parsed()?, at + 1)),
            // "b1d2" is a way by itself.
            TokenKind::Route if (numbered || within) && self.span(at).len() == 4 => {
                Some((parsed()?, at + 1))
            }
            TokenKind::Word { .. } if numbered || within => self
                .short_capture(at, numbered)
                .or_else(|| self.castles(at)),
            _ => None,
        }
    }

    /// "Castles" in a line of old notation, with the side that is named behind it.
    fn castles(&self, at: usize) -> Option<(WrittenMove, usize)> {
        let span = self.span(at);
        if span.of(self.text) != b"Castles" || !self.letters.is_english() {
            return None;
        }
        let (written, end) = read_descriptive(self.text, span.start as usize)?;
        let mut behind = at + 1;
        while self.token(behind).is_some() && (self.span(behind).start as usize) < end {
            behind += 1;
        }
        Some((written, behind))
    }

    /// Whether the last move that was read stands in descriptive notation.
    fn is_old_line(&self) -> bool {
        let last = self.prose.moves.last();
        last.is_some_and(|cited| cited.written.oddities.contains(Oddities::DESCRIPTIVE))
    }

    /// Whether a move without a number at `at` answers the one in front of the comma, which has
    /// one: "1. P-K4, P-K4; 2. Kt-KB3, Kt-QB3". Elsewhere a comma makes a list of moves.
    fn answers(&self, at: usize) -> bool {
        let numbered = (self.prose.moves.last())
            .and_then(|cited| cited.number)
            .is_some_and(|number| number.value.is_some() && number.dots < 2);
        numbered
            && self
                .move_at(at, false, true)
                .is_some_and(|(written, _)| is_plain_move(&written))
    }

    /// Whether the number of this move stands at `at`, with a dot or without.
    fn is_number(&self, at: usize, (value, black): (u32, bool)) -> bool {
        match self.token(at) {
            Some(TokenKind::MoveNumber(number)) => {
                number.value == Some(value) && (number.dots >= 2) == black
            }
            Some(TokenKind::Number(number)) => {
                number == value && !black && self.move_at(at + 1, true, true).is_some()
            }
            _ => false,
        }
    }

    /// Whether a line goes on behind a comma or semicolon at `at`, where this move is due: with its
    /// number, or with an answer behind which the next number or "mate" stands ("7. bxc3, d4; 8. Qg3").
    fn goes_on_behind(&self, at: usize, due: (u32, bool)) -> bool {
        if self.is_number(at + 1, due) {
            return true;
        }
        let (value, black) = due;
        let Some((_, mut next)) = self.move_at(at + 1, false, true).filter(|_| black) else {
            return false;
        };
        while matches!(self.token(next), Some(TokenKind::Glyph(_))) {
            next += 1;
        }
        let parted = matches!(self.token(next), Some(TokenKind::Comma | TokenKind::Pause));
        let behind = next + usize::from(parted);
        let mates = self.is(behind, Set::Mate) && self.mate_word_ends(behind + 1);
        mates || self.is_number(behind, (value + 1, false))
    }

    /// A pawn's capture by two files, "12.Nxe6 fe 13.Qh5", with its sign.
    fn short_capture(&self, at: usize, numbered: bool) -> Option<(WrittenMove, usize)> {
        let span = self.span(at);
        if span.len() != 2 {
            return None;
        }
        let mut written = parse_move(span.of(self.text), self.letters)?;
        let mut next = at + 1;
        while matches!(self.token(next), Some(TokenKind::Other))
            && self.span(next).start == self.span(next - 1).end
        {
            written.signs = match (self.span(next).of(self.text), written.signs) {
                (b"+", Signs::None) => Signs::Check,
                (b"+", Signs::Check) => Signs::DoubleCheck,
                (b"#", Signs::None) => Signs::Mate,
                _ => return None,
            };
            next += 1;
        }
        let passing = self.in_passing(next);
        let certain = numbered || next > at + 1 || passing > next;
        next = passing;
        let goes_on = match self.token(next) {
            Some(TokenKind::MoveNumber(_) | TokenKind::Move(_) | TokenKind::Glyph(_)) => true,
            Some(TokenKind::Stop | TokenKind::Comma | TokenKind::Pause | TokenKind::Close)
            | None => !self.sense(at).known,
            _ => false,
        };
        (certain || goes_on).then_some((written, next))
    }

    /// The token behind an "e.p." or "ep" at `at`; `at` where there is none.
    fn in_passing(&self, at: usize) -> usize {
        let dotted = |at: usize| {
            matches!(self.token(at), Some(TokenKind::Stop))
                && self.span(at).start == self.span(at - 1).end
        };
        match self.span(at).of(self.text) {
            b"ep" => at + 1,
            b"e" if dotted(at + 1) && self.span(at + 2).of(self.text) == b"p" => {
                at + 3 + usize::from(dotted(at + 3))
            }
            _ => at,
        }
    }

    /// Reads a cited line at the current token.
    pub(super) fn line(&mut self) -> bool {
        let first = self.at;
        let first_move = u32::try_from(self.prose.moves.len()).unwrap_or(u32::MAX);
        let mut at = first;
        let mut end = first;
        // The number of the next move, and whether it is Black's.
        let mut due: Option<(u32, bool)> = None;
        loop {
            // Number.
            let mut next = at;
            let mut number: Option<MoveNumber> = None;
            let mut number_span = None;
            if end > first
                && matches!(
                    self.token(next),
                    Some(TokenKind::Comma | TokenKind::Pause | TokenKind::Colon)
                )
            {
                let comma = matches!(self.token(next), Some(TokenKind::Comma));
                // A comma inside a numbered line: "24.Qh6+ Kg8, 25.Qg7#".
                let numbered = matches!(self.token(next + 1), Some(TokenKind::MoveNumber(n)) if n.value.is_some());
                let old = self.is_old_line();
                let goes_on = due.is_some_and(|due| self.goes_on_behind(next, due));
                // "c6; 7. dxc6"
                let second = due.is_none()
                    && at == first + 1
                    && matches!(self.token(first), Some(TokenKind::Square(_)))
                    && self.parts_from_a_number(next);
                let known = numbered && (comma || old) || comma && old && self.answers(next + 1);
                if !(known || goes_on || second) {
                    break;
                }
                next += 1;
            }
            if let Some(TokenKind::MoveNumber(written)) = self.token(next) {
                number = Some(written);
                number_span = Some(self.span(next));
                next += 1;
                // "5)Qa4"
                if matches!(self.token(next), Some(TokenKind::Close)) {
                    next += 1;
                }
            }
            if let (Some(TokenKind::Number(value)), Some(due)) = (self.token(next), due)
                && self.is_number(next, due)
            {
                number = Some(MoveNumber {
                    value: Some(value),
                    dots: 0,
                });
                number_span = Some(self.span(next));
                next += 1;
            }
            let Some((written, behind)) = self.move_at(next, number.is_some(), end > first) else {
                break;
            };
            if let Some(MoveNumber {
                value: Some(value),
                dots,
            }) = number
            {
                due = Some((value, dots >= 2));
            }
            due = due.map(|(value, black)| (value + u32::from(black), !black));
            let loose = matches!(self.token(next), Some(TokenKind::Word { .. }));
            let pawn = !is_plain_move(&written) && written.signs == Signs::None;
            if number.is_none() && pawn && matches!(self.token(next), Some(TokenKind::Square(_))) {
                // A bare square goes on with a line of moves; that it begins one
                // [`Self::pawn_move_line`] has asked. No piece may be named behind it.
                if self.sense(next + 1).piece.is_some() {
                    break;
                }
            }
            let mut cited = CitedMove {
                span: self.span(next).to(self.span(behind - 1)),
                number,
                number_span,
                written,
                glyph: None,
                mate_word: false,
                loose,
            };
            next = behind;
            while let Some(TokenKind::Glyph(glyph)) = self.token(next) {
                cited.glyph.get_or_insert(glyph);
                next += 1;
            }
            // "24.Qg7 mate" and "24.Qg7, mate."
            let comma = matches!(self.token(next), Some(TokenKind::Comma));
            let word = next + usize::from(comma);
            let closes = !comma || !matches!(self.token(word + 1), Some(TokenKind::Word { .. }));
            if self.is(word, Set::Mate) && self.mate_word_ends(word + 1) && closes {
                cited.mate_word = true;
                next = word + 1;
            }
            self.prose.moves.push(cited);
            end = next;
            at = next;
            if cited.mate_word {
                break;
            }
        }
        if end == first {
            return false;
        }
        let index = u32::try_from(self.prose.lines.len()).unwrap_or(u32::MAX);
        let line = CitedLine {
            span: self.span(first).to(self.span(end - 1)),
            moves: first_move..u32::try_from(self.prose.moves.len()).unwrap_or(u32::MAX),
            role: LineRole::Stated,
            mood: Mood::Stated,
            tense: Tense::Present,
            depth: self.depth,
            sentence: self.sentence,
            joint: self.joint(),
            doubted: false,
            barred: false,
            premise: false,
            follows: false,
            imagined: false,
            apposed: false,
            cut: self.skip_unread(end).is_some(),
            severed: self.is_severed(first),
        };
        self.line_end = end;
        self.prose.lines.push(line);
        self.push(end, ChunkKind::Line(index));
        true
    }

    /// The token behind what stands at `at` in the place of a move but could not be read as one;
    /// `None` where words or signs stand that are no part of a line.
    fn skip_unread(&self, at: usize) -> Option<usize> {
        const LETTERS: usize = 3;
        let glued = |at: usize| self.span(at).start == self.span(at - 1).end;
        let mut end = at + 1;
        while matches!(
            self.token(end),
            Some(
                TokenKind::Word { .. }
                    | TokenKind::Number(_)
                    | TokenKind::Move(_)
                    | TokenKind::Square(_)
                    | TokenKind::Route
                    | TokenKind::Other
            )
        ) && glued(end)
        {
            end += 1;
        }
        let word = self.span(at).of(self.text);
        let unread = match self.token(at)? {
            TokenKind::Route => true,
            TokenKind::Other => word.first().is_some_and(u8::is_ascii_alphanumeric),
            TokenKind::Word { .. } => {
                let unknown = self.tokens.get(at).map(|token| token.entry) == Some(Entry::UNKNOWN);
                end > at + 1 || word == b"etc" || unknown && word.len() <= LETTERS
            }
            _ => false,
        };
        unread.then_some(end)
    }

    /// Whether what could not be read as a move stands between token `first` and the line in
    /// front, or behind a number of its own: "24...fgh 25.Qh5".
    fn is_severed(&self, first: usize) -> bool {
        const TOKENS: usize = 6;
        let is_sign = |at: usize| {
            matches!(
                self.token(at),
                Some(TokenKind::Comma | TokenKind::Stop | TokenKind::Ellipsis)
            )
        };
        let unread = (first.saturating_sub(TOKENS)..first).find(|&at| {
            let end = self.skip_unread(at).filter(|&end| end <= first);
            end.is_some_and(|end| (end..first).all(is_sign))
        });
        // "White's c6; 7. dxc6": nobody read the move in front.
        let square = first >= 3
            && self.parts_from_a_number(first - 1)
            && matches!(self.token(first - 2), Some(TokenKind::Square(_)))
            && self.line_end < first - 1
            && !self.is(first - 3, Set::Prep);
        let Some(unread) = unread else {
            return square;
        };
        let from = (0..unread).rev().find(|&at| !is_sign(at));
        let behind_line = self.line_end > 0 && from == Some(self.line_end - 1);
        let numbered = matches!(
            from.and_then(|at| self.token(at)),
            Some(TokenKind::Number(_) | TokenKind::MoveNumber(_))
        ) && from.is_some_and(|from| from + 1 < unread);
        behind_line || numbered || square
    }

    /// Whether the word "mate" in front of token `at` closes a line.
    fn mate_word_ends(&self, at: usize) -> bool {
        match self.token(at) {
            None => true,
            Some(TokenKind::Word { .. }) => self.is(at, Set::And),
            Some(TokenKind::Number(_)) => false,
            Some(_) => true,
        }
    }

    /// What stands between the line before and here.
    fn joint(&self) -> Joint {
        for chunk in self.chunks.iter().rev().take(40) {
            match chunk.kind {
                ChunkKind::Line(line) => {
                    return match self.prose.lines.get(line as usize) {
                        Some(before) if before.sentence != self.sentence => Joint::Sentence,
                        Some(_) if self.only_a_list_since() => Joint::List,
                        _ => Joint::Words,
                    };
                }
                ChunkKind::End => return self.after_sentence(),
                _ => {}
            }
        }
        self.after_sentence()
    }

    fn after_sentence(&self) -> Joint {
        if self.prose.lines.is_empty() {
            Joint::First
        } else {
            Joint::Sentence
        }
    }

    fn only_a_list_since(&self) -> bool {
        self.chunks
            .iter()
            .rev()
            .take_while(|chunk| !matches!(chunk.kind, ChunkKind::Line(_)))
            .all(|chunk| match chunk.kind {
                ChunkKind::Comma | ChunkKind::Pause => true,
                ChunkKind::Word { .. } => {
                    let sense = self.senses.sense(chunk);
                    sense.is(Set::Or) || sense.is(Set::And)
                }
                _ => false,
            })
    }
}
