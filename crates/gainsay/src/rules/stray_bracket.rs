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
    /// A brace or parenthesis is closed that was never opened.
    ///
    /// ```pgn before
    /// 1. e4 e5) 2. Nf3 a good move} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 {a good move} Nc6 *
    /// ```
    RULE = "stray-bracket", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for (kind, what) in [
        (FaultKind::StrayBrace, "comment"),
        (FaultKind::StrayParenthesis, "side-line"),
    ] {
        for span in faults(view, kind) {
            sink.push(
                Finding::new(
                    &RULE,
                    span,
                    format!("No {what} is open here, so there is nothing to close."),
                )
                .in_game(view)
                .perhaps("Remove it", span, apart(view, span.range(), "")),
            );
        }
    }
}
