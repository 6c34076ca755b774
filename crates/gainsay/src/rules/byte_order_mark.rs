use super::faults;
use crate::{Finding, Severity, Sink, View, rule::rule, spelling::apart};
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
        sink.push(
            Finding::new(&RULE, span, "An invisible byte order mark stands here.")
                .in_game(view)
                .mended("Remove it", span, apart(view, span.range(), "")),
        );
    }
}
