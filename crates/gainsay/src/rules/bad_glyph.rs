use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
    spelling::apart,
};
use gainsay_notation::FaultKind;

rule! {
    /// An annotation glyph is not one of `$0` to `$255`.
    ///
    /// The PGN standard knows no others (8.2.4).
    ///
    /// ```pgn before
    /// 1. e4 $1000 e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 $1 e5 *
    /// ```
    RULE = "bad-glyph", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::BadGlyph) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "\"{}\" is no annotation glyph: they go from $0 to $255.",
                    view.words(span)
                ),
            )
            .in_game(view)
            .perhaps("Remove it", span, apart(view, span.range(), "")),
        );
    }
}
