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
    /// A byte order mark stands inside the file.
    ///
    /// It is invisible and comes from joining files; it is passed over here, but other
    /// programs may not see the tag or move behind it.
    ///
    /// ```pgn before
    /// 1. e4 ﻿e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 *
    /// ```
    RULE = "byte-order-mark", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::ByteOrderMark) {
        // Marks that only white space parts are one finding, and the white space stays.
        let left = view.words(span).replace('\u{feff}', "");
        let left = if left.is_empty() {
            apart(view, span.range(), "")
        } else {
            left
        };
        let alone = view.game.tags.is_empty() && view.game.elements.is_empty();
        sink.push(
            Finding::new(&RULE, span, "An invisible byte order mark stands here.")
                .in_game(view)
                .offer("Remove it", !alone, span, left),
        );
    }
}
