//! The position of a line.

use gainsay_notation::{EpdRecord, Span, parse_epd_line};
use shakmaty::Chess;

use crate::replay::read_fen;

/// The position of a line.
pub(crate) fn position(line: &[u8]) -> Option<Chess> {
    let record = parse_epd_line(line)?;
    read_fen(&fen(line, &record), false).0
}

pub(super) fn words(line: &[u8], span: Span) -> String {
    gainsay_notation::decode(span.of(line)).into_owned()
}

/// The position of a line with its counters, as FEN.
pub(super) fn fen(line: &[u8], record: &EpdRecord) -> String {
    let mut fen = words(line, record.position);
    if let Some(counters) = record.counters {
        fen.push(' ');
        fen.push_str(&words(line, counters));
    }
    fen
}
