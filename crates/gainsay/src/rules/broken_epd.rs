use gainsay_notation::{EpdFaultKind, Span};

use crate::{
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// A line of EPD is not written as the standard asks.
    ///
    /// A record is four fields of a position, then operations, each an opcode with its
    /// operands and a semicolon (PGN standard, 16.2). `bm`, `am`, `pm`, `sm` and `pv` ask for
    /// moves, `dm` for a number.
    ///
    /// ```epd before
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1; id "back rank;
    /// ```
    ///
    /// ```epd after
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1; id "back rank";
    /// ```
    RULE = "broken-epd", Severity::Warning
}

/// The finding for a fault of the reader.
pub(crate) fn finding(span: Span, kind: EpdFaultKind) -> Finding {
    let message = match kind {
        EpdFaultKind::MissingFields => {
            "A position has four fields: the board, the side to move, castling, en passant."
        }
        EpdFaultKind::BadOpcode => {
            "This is no operation: one begins with a letter and has letters, digits and \"_\" only."
        }
        EpdFaultKind::UnclosedString => "The quote that opens here is never closed.",
        EpdFaultKind::MissingSemicolon => "An operation ends with a semicolon.",
    };
    Finding::new(&RULE, span, message)
}

/// The finding for an operation whose operands are not what it asks for.
pub(crate) fn of_operands(span: Span, message: impl Into<String>) -> Finding {
    Finding::new(&RULE, span, message.into())
}
