use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
use gainsay_notation::FaultKind;

rule! {
    /// The file holds bytes that are no text.
    ///
    /// Either it is no game file at all, or it was damaged.
    ///
    /// ```pgn before
    /// 1. e4  e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 *
    /// ```
    RULE = "binary-data", Severity::Error
}

/// From so many places on, a text is taken for a file of another kind, and nothing
/// else is said of it.
const NO_TEXT: usize = 4;

/// Whether a game is no text at all.
pub(crate) fn is_no_text(view: &View<'_>) -> bool {
    faults(view, FaultKind::Binary).nth(NO_TEXT - 1).is_some()
}

pub(crate) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let mut places = faults(view, FaultKind::Binary);
    let Some(span) = places.next() else {
        return;
    };
    let others = places.count();
    let what = match span.len() {
        1 => "A byte here is no text".to_owned(),
        many => format!("{many} bytes here are no text"),
    };
    let message = match others {
        0 => format!("{what}: was the file damaged?"),
        1 => format!("{what}, nor is one other place: was the file damaged?"),
        _ => format!("{what}, nor are {others} other places: is this a game file?"),
    };
    sink.push(Finding::new(&RULE, span, message).in_game(view));
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn a_file_of_another_kind_is_one_finding() {
        let bytes: Vec<u8> = (0..4000_u32)
            .map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8)
            .collect();
        let report = check(&bytes, &Settings::default());
        assert_eq!(report.findings.len(), 1, "{:#?}", report.findings);
        assert!(report.findings[0].message.ends_with("is this a game file?"));
        assert!(report.claims.is_empty());
    }
}
