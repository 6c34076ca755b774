use gainsay_notation::GameResult;
use shakmaty::{KnownOutcome, Outcome, Position};

use super::result_spelling::meant;
use crate::{Edit, Finding, Ply, Remedy, Severity, Sink, View, rule::rule, show::side};

rule! {
    /// The result contradicts the final position.
    ///
    /// A game that ends in mate is won, one that ends in stalemate is drawn (FIDE Laws of
    /// Chess, 5.1.1 and 5.2.1).
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4 Qh4# 1-0
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4 Qh4# 0-1
    /// ```
    RULE = "result-against-position", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let Some((outcome, last)) = decided(view) else {
        return;
    };
    let (right, what) = match outcome {
        KnownOutcome::Decisive { winner } => (
            GameResult::Win(winner),
            format!("{} has mated", side(winner)),
        ),
        KnownOutcome::Draw => (
            GameResult::Draw,
            "the final position is stalemate".to_owned(),
        ),
    };
    // The tag and the marker together are one mistake.
    let mut places = Vec::new();
    if let Some((element, result)) = view.replay.result
        && result != right
    {
        places.push((view.span(element), result.as_str()));
    }
    if let Some(tag) = view.game.tag(view.text, "Result")
        && let Some(said) = meant(&view.words(tag.value))
        && said != right.as_str()
    {
        places.push((tag.value, said));
    }
    let Some(&(span, said)) = places.first() else {
        return;
    };
    let mut finding = Finding::new(
        &RULE,
        span,
        format!(
            "The result is given as {said}, but {what}: {}.",
            right.as_str()
        ),
    )
    .after(view, last)
    .shown_by(view.name(last));
    for &(other, said) in places.iter().skip(1) {
        finding = finding.related(other, format!("the tag Result says {said}"));
    }
    let mut edits: Vec<Edit> = places
        .iter()
        .map(|(span, _)| Edit {
            span: span.range(),
            text: right.as_str().to_owned(),
        })
        .collect();
    edits.sort_by_key(|edit| edit.span.start);
    finding.remedies.push(Remedy {
        title: format!("Write {}", right.as_str()),
        // Nothing but the result can be wrong where none was given.
        safe: places.iter().all(|&(_, said)| said == "*"),
        edits,
    });
    sink.push(finding);
}

/// The outcome that the final position of the main line leaves no doubt about, and
/// the ply that brought it.
fn decided<'a>(view: &View<'a>) -> Option<(KnownOutcome, &'a Ply)> {
    let last = view.replay.last.and_then(|at| view.replay.ply(at))?;
    let position = last.after.as_ref()?;
    // Only check or a bare lack of moves can end a game, and nearly all games end
    // otherwise.
    if !position.legal_moves().is_empty() {
        return None;
    }
    match position.outcome() {
        Outcome::Known(outcome) => Some((outcome, last)),
        Outcome::Unknown => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn tag_and_marker_together_are_one_finding() {
        for (tag, marker) in [("1-0", "1-0"), ("1-0", "0-1"), ("0-1", "1-0"), ("*", "1-0")] {
            let text = format!("[Result \"{tag}\"]\n\n1. f3 e5 2. g4 Qh4# {marker}\n");
            let settings = Settings {
                only: vec![
                    "result-against-position".to_owned(),
                    "result-disagreement".to_owned(),
                ],
                ..Settings::default()
            };
            let mut report = check(text.as_bytes(), &settings);
            assert_eq!(report.findings.len(), 1, "{text}");
            let finding = report.findings.remove(0);
            assert_eq!(finding.rule.name, "result-against-position", "{text}");
            let mut mended = text.clone();
            for edit in finding.remedies[0].edits.iter().rev() {
                mended.replace_range(edit.span.clone(), &edit.text);
            }
            assert!(
                check(mended.as_bytes(), &settings).findings.is_empty(),
                "{mended}"
            );
        }
    }
}
