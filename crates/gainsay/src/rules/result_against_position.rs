use gainsay_notation::GameResult;
use shakmaty::{KnownOutcome, Outcome, Position};

use super::result_spelling::meant;
use crate::{Finding, Severity, Sink, View, rule::rule, show::side};

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
    let Some(last) = view.replay.last.and_then(|at| view.replay.ply(at)) else {
        return;
    };
    let Some(position) = &last.after else {
        return;
    };
    // Only check or a bare lack of moves can end a game, and nearly all games end
    // otherwise.
    if !position.legal_moves().is_empty() {
        return;
    }
    let Outcome::Known(outcome) = position.outcome() else {
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
    for (span, said) in places {
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
        // Nothing but the result can be wrong where none was given.
        finding = if said == "*" {
            finding.mended(format!("Write {}", right.as_str()), span, right.as_str())
        } else {
            finding.perhaps(format!("Write {}", right.as_str()), span, right.as_str())
        };
        sink.push(finding);
    }
}
