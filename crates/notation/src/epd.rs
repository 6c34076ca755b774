//! Extended position descriptions: a position and operations on one line.

use crate::bytes::{BOM, byte, is_line_end, is_space, skip_space};
use crate::span::Span;

/// A line of EPD or FEN as written. All spans are offsets into the line.
///
/// Source: PGN Specification and Implementation Guide (1994), sections 16.1
/// (FEN) and 16.2 (EPD).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EpdRecord {
    /// The record without the white space around it.
    pub span: Span,
    /// The position: board, side to move, castling and en passant field, from
    /// the first to the last that is there.
    pub position: Span,
    /// FEN's two counters, where they follow the position.
    pub counters: Option<Span>,
    /// The operations in the order of the text.
    pub operations: Vec<EpdOperation>,
    /// What could not be read, in the order of the text.
    pub faults: Vec<EpdFault>,
}

impl EpdRecord {
    /// The first operation of this opcode.
    #[must_use]
    pub fn operation(&self, line: &[u8], opcode: &str) -> Option<&EpdOperation> {
        self.operations
            .iter()
            .find(|operation| operation.opcode.of(line) == opcode.as_bytes())
    }
}

/// An operation: an opcode and its operands, ended by a semicolon.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EpdOperation {
    /// From the opcode to the semicolon, or to the last operand if there is none.
    pub span: Span,
    /// The opcode, such as `bm` or `dm`.
    pub opcode: Span,
    /// The operands.
    pub operands: Vec<EpdOperand>,
}

/// An operand of an operation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct EpdOperand {
    /// The operand without its quotes.
    pub span: Span,
    /// Whether it stands in quotes.
    pub quoted: bool,
}

/// Something wrong with a line of EPD.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EpdFault {
    /// Where to point.
    pub span: Span,
    /// What is wrong.
    pub kind: EpdFaultKind,
}

/// The kinds of fault in a line of EPD.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EpdFaultKind {
    /// Fewer than the four fields of a position.
    MissingFields,
    /// An opcode that does not begin with a letter; the standard also allows
    /// letters, digits and the underscore only.
    BadOpcode,
    /// A quote without its closing quote.
    UnclosedString,
    /// An operation without its semicolon: the operation at the line's end, or the opcode
    /// that follows it too soon.
    MissingSemicolon,
}

/// Reads one line of EPD or FEN; `None` for a blank line and for one that
/// begins with `#`, which common practice uses for remarks.
///
/// Reading stops at the first line end that follows the record's first byte.
#[must_use]
pub fn parse_epd_line(line: &[u8]) -> Option<EpdRecord> {
    let line = line.get(..u32::MAX as usize).unwrap_or(line);
    let mut start = skip_space(line, 0);
    if line.get(start..)?.starts_with(BOM) {
        start = skip_space(line, start + BOM.len());
    }
    if start >= line.len() || byte(line, start) == b'#' {
        return None;
    }
    let mut end = start;
    while end < line.len() && !is_line_end(byte(line, end)) {
        end += 1;
    }
    while end > start && is_space(byte(line, end - 1)) {
        end -= 1;
    }
    let mut reader = Reader {
        line: line.get(..end).unwrap_or_default(),
        at: start,
        record: EpdRecord {
            span: span(start, end),
            ..EpdRecord::default()
        },
    };
    reader.position();
    reader.operations();
    Some(reader.record)
}

const fn span(start: usize, end: usize) -> Span {
    Span::new(start as u32, end as u32)
}

/// Whether an operand is really the opcode of the next operation. The standard's opcodes
/// (16.2.5) that can also be a pawn's move, such as `c4`, are not told so.
fn begins_operation(word: &[u8]) -> bool {
    const OPCODES: [&[u8]; 14] = [
        b"acd", b"acn", b"acs", b"am", b"bm", b"ce", b"dm", b"eco", b"fmvn", b"hmvc", b"id", b"pm",
        b"pv", b"sm",
    ];
    OPCODES.contains(&word)
}

struct Reader<'a> {
    /// The line up to the end of the record.
    line: &'a [u8],
    at: usize,
    record: EpdRecord,
}

impl Reader<'_> {
    /// The word at the reader's place, which ends at white space or a semicolon.
    fn word(&self) -> Span {
        let mut end = self.at;
        while end < self.line.len()
            && !is_space(byte(self.line, end))
            && byte(self.line, end) != b';'
        {
            end += 1;
        }
        span(self.at, end)
    }

    fn fault(&mut self, kind: EpdFaultKind, span: Span) {
        self.record.faults.push(EpdFault { span, kind });
    }

    fn position(&mut self) {
        let start = self.at;
        let mut end = start;
        for _ in 0..4 {
            let word = self.word();
            if word.is_empty() {
                self.record.position = span(start, end);
                self.fault(EpdFaultKind::MissingFields, span(start, end));
                return;
            }
            end = word.range().end;
            self.at = skip_space(self.line, end);
        }
        self.record.position = span(start, end);

        let is_number =
            |word: Span| !word.is_empty() && word.of(self.line).iter().all(u8::is_ascii_digit);
        let first = self.word();
        let before = self.at;
        if is_number(first) {
            let first_end = first.range().end;
            self.at = skip_space(self.line, first_end);
            let second = self.word();
            if self.at > first_end && is_number(second) {
                self.record.counters = Some(first.to(second));
                self.at = skip_space(self.line, second.range().end);
            } else {
                self.at = before;
            }
        }
    }

    fn operations(&mut self) {
        while self.at < self.line.len() {
            if byte(self.line, self.at) == b';' {
                // An empty operation says nothing.
                self.at = skip_space(self.line, self.at + 1);
                continue;
            }
            let opcode = self.word();
            let valid = matches!(opcode.of(self.line), [first, tail @ ..]
                if first.is_ascii_alphabetic()
                    && tail.iter().all(|byte| byte.is_ascii_alphanumeric() || *byte == b'_'));
            if !valid {
                self.fault(EpdFaultKind::BadOpcode, opcode);
            }
            self.at = skip_space(self.line, opcode.range().end);
            let mut operation = EpdOperation {
                span: opcode,
                opcode,
                operands: Vec::new(),
            };
            loop {
                match byte(self.line, self.at) {
                    _ if self.at >= self.line.len() => {
                        self.fault(EpdFaultKind::MissingSemicolon, operation.span);
                        break;
                    }
                    b';' => {
                        operation.span = operation.span.to(span(self.at, self.at + 1));
                        self.at = skip_space(self.line, self.at + 1);
                        break;
                    }
                    _ if begins_operation(self.word().of(self.line)) => {
                        let opcode = self.word();
                        self.fault(EpdFaultKind::MissingSemicolon, opcode);
                        break;
                    }
                    _ => {
                        let operand = self.operand();
                        operation.operands.push(operand);
                        operation.span = operation.span.to(span(opcode.start as usize, self.at));
                        self.at = skip_space(self.line, self.at);
                    }
                }
            }
            self.record.operations.push(operation);
        }
    }

    fn operand(&mut self) -> EpdOperand {
        if byte(self.line, self.at) != b'"' {
            let word = self.word();
            self.at = word.range().end;
            return EpdOperand {
                span: word,
                quoted: false,
            };
        }
        let start = self.at + 1;
        let behind = self.line.get(start..).unwrap_or_default();
        let end = match memchr::memchr(b'"', behind) {
            Some(found) => {
                self.at = start + found + 1;
                start + found
            }
            None => {
                self.fault(
                    EpdFaultKind::UnclosedString,
                    span(start - 1, self.line.len()),
                );
                self.at = self.line.len();
                self.at
            }
        };
        EpdOperand {
            span: span(start, end),
            quoted: true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn show(line: &str) -> (String, Vec<String>, Vec<EpdFaultKind>) {
        let record = parse_epd_line(line.as_bytes()).expect("a record");
        let of = |span: Span| String::from_utf8_lossy(span.of(line.as_bytes())).into_owned();
        let operations = record
            .operations
            .iter()
            .map(|operation| {
                let operands: Vec<_> = operation
                    .operands
                    .iter()
                    .map(|operand| of(operand.span))
                    .collect();
                format!("{}({})", of(operation.opcode), operands.join("|"))
            })
            .collect();
        let faults = record.faults.iter().map(|fault| fault.kind).collect();
        (of(record.position), operations, faults)
    }

    #[test]
    fn position_and_operations() {
        assert_eq!(
            show("7k/8/8/8/8/8/5PPP/R5K1 w - - bm Ra8#; dm 1; id \"a; b\";\r\n"),
            (
                "7k/8/8/8/8/8/5PPP/R5K1 w - -".to_string(),
                vec!["bm(Ra8#)".into(), "dm(1)".into(), "id(a; b)".into()],
                vec![]
            )
        );
    }

    #[test]
    fn counters_of_a_fen_are_no_opcode() {
        let line = b"7k/8/8/8/8/8/8/K7 w - - 12 34 dm 3;";
        let record = parse_epd_line(line).expect("a record");
        assert_eq!(
            record.counters.map(|span| span.of(line)),
            Some(b"12 34".as_slice())
        );
        assert!(record.operation(line, "dm").is_some());
        assert_eq!(record.faults, []);
    }

    #[test]
    fn faults_are_named_and_reading_goes_on() {
        use EpdFaultKind::*;
        assert_eq!(show("7k/8/8/8/8/8/8/K7 w -").2, [MissingFields]);
        assert_eq!(show("k/8 w - - 00:00; dm 3;").2, [BadOpcode]);
        assert_eq!(show("k/8 w - - dm 3").2, [MissingSemicolon]);
        assert_eq!(
            show("k/8 w - - id \"x; dm 3;").2,
            [UnclosedString, MissingSemicolon]
        );
        assert_eq!(show("k/8 w - - ep;; dm 3;").1, ["ep()", "dm(3)"]);
        // A pawn's move is no opcode.
        let glued = show("k/8 w - - id \"x\" bm Ra8 c4; dm 3");
        assert_eq!(glued.1, ["id(x)", "bm(Ra8|c4)", "dm(3)"]);
        assert_eq!(glued.2, [MissingSemicolon, MissingSemicolon]);
    }

    #[test]
    fn blank_lines_and_remarks_are_no_records() {
        assert_eq!(parse_epd_line(b" \r\n"), None);
        assert_eq!(parse_epd_line(b""), None);
        assert_eq!(parse_epd_line(b"# problems"), None);
        assert_eq!(parse_epd_line(BOM), None);
    }
}
