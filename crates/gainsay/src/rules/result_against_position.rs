use gainsay_notation::{GameResult, Span};
use shakmaty::{KnownOutcome, Outcome, Position};

use super::result_spelling::meant;
use crate::{
    replay::{Ply, View},
    report::{Edit, Finding},
    rule::{Rule, Severity, rule},
    show::side,
    sink::Sink,
    spelling::apart,
};

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
    if let Some(contradiction) = Contradiction::of(view)
        && !contradiction.left_open()
    {
        sink.push(contradiction.finding(&RULE, view));
    }
}

/// A result that is not the one on the board.
pub(super) struct Contradiction<'a> {
    /// The ply that ended the game.
    last: &'a Ply,
    right: GameResult,
    /// What ended the game, in words.
    what: String,
    /// Where another result is given, and which: behind the moves, in the tag. The two
    /// together are one mistake.
    places: Vec<(Span, &'static str)>,
}

impl<'a> Contradiction<'a> {
    /// `None` where the board does not decide, or the results say what it does.
    pub(super) fn of(view: &View<'a>) -> Option<Self> {
        let (outcome, last) = decided(view)?;
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
        (!places.is_empty()).then_some(Self {
            last,
            right,
            what,
            places,
        })
    }

    /// Whether no result is given at all, which is not false.
    pub(super) fn left_open(&self) -> bool {
        self.places.iter().all(|&(_, said)| said == "*")
    }

    /// The finding, with the edits of all places as one remedy.
    pub(super) fn finding(&self, rule: &'static Rule, view: &View<'_>) -> Finding {
        let right = self.right.as_str();
        let (span, said) = self.places.first().copied().unwrap_or_default();
        let message = if self.left_open() {
            format!("The result is left open, but {}: {right}.", self.what)
        } else {
            format!("The result is given as {said}, but {}: {right}.", self.what)
        };
        let mut finding = Finding::new(rule, span, message)
            .after(view, self.last)
            .shown_by(view.name(self.last));
        for &(other, said) in self.places.iter().skip(1) {
            finding = finding.related(other, format!("the tag Result says {said}"));
        }
        let elements = &view.game.elements;
        let moves = elements.first().map_or(u32::MAX, |first| first.span.start);
        let mut edits: Vec<Edit> = self
            .places
            .iter()
            .map(|(span, _)| Edit {
                span: span.range(),
                text: if span.start >= moves {
                    apart(view, span.range(), right)
                } else {
                    right.to_owned()
                },
            })
            .collect();
        edits.sort_by_key(|edit| edit.span.start);
        // Nothing but the result can be wrong where none was given; but what a tag says is
        // the author's.
        let tagged = self.places.iter().any(|(span, _)| span.start < moves);
        let safe = self.left_open() && !tagged && view.is_sure(self.last);
        finding.remedy(format!("Write {right}"), safe, edits)
    }
}

/// The result that the final position leaves no doubt about, if no move was guessed.
pub(super) fn on_the_board(view: &View<'_>) -> Option<GameResult> {
    let (outcome, _) = decided(view).filter(|(_, last)| view.is_sure(last))?;
    Some(match outcome {
        KnownOutcome::Decisive { winner } => GameResult::Win(winner),
        KnownOutcome::Draw => GameResult::Draw,
    })
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
