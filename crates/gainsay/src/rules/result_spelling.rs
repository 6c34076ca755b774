use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// The tag Result holds something other than the four results.
    ///
    /// They are `1-0`, `0-1`, `1/2-1/2` and `*` (PGN standard, 8.1.1.7).
    ///
    /// ```pgn before
    /// [Result "1/2"]
    ///
    /// 1. e4 e5 1/2-1/2
    /// ```
    ///
    /// ```pgn after
    /// [Result "1/2-1/2"]
    ///
    /// 1. e4 e5 1/2-1/2
    /// ```
    RULE = "result-spelling", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let Some(tag) = view.game.tag(view.text, "Result") else {
        return;
    };
    let value = tag.value.of(view.text);
    if matches!(value, b"1-0" | b"0-1" | b"1/2-1/2" | b"*") {
        return;
    }
    let mut finding = Finding::new(
        &RULE,
        tag.value,
        format!(
            "\"{}\" is no result: write 1-0, 0-1, 1/2-1/2 or *.",
            view.words(tag.value)
        ),
    )
    .in_game(view);
    if let Some(meant) = meant(&view.words(tag.value)) {
        finding = finding.perhaps(format!("Write {meant}"), tag.value, meant);
    }
    sink.push(finding);
}

/// The result that a loose spelling means.
pub(super) fn meant(words: &str) -> Option<&'static str> {
    let plain: String = words
        .chars()
        .filter(|c| !c.is_whitespace())
        .map(|c| match c {
            ':' | '–' | '—' | '−' => '-',
            other => other.to_ascii_lowercase(),
        })
        .collect();
    match plain.as_str() {
        "1-0" | "+--" => Some("1-0"),
        "0-1" | "--+" => Some("0-1"),
        "1/2" | "½" | "½-½" | "1/2-1/2" | "draw" | "0.5-0.5" | "=" => Some("1/2-1/2"),
        "*" | "?" | "" => Some("*"),
        _ => None,
    }
}
