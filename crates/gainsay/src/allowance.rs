//! The author's written word that a finding is accepted: `[%allow rule reason]` in a
//! comment.

use std::ops::Range;

use gainsay_notation::{CommentPart, ElementKind, comment_parts};

use crate::{replay::View, report::Finding};

/// A finding of this rule is accepted within these bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Allowance {
    /// The name of the rule.
    pub(crate) rule: String,
    /// The author's reason.
    pub(crate) reason: String,
    /// The bytes it covers: its move up to the next one, or the whole game where it
    /// stands before the first move.
    pub(crate) covers: Range<usize>,
}

/// The allowances of a game.
#[must_use]
pub(crate) fn allowances(view: &View<'_>) -> Vec<Allowance> {
    let mut found = Vec::new();
    for site in &view.replay.comments {
        let Some(ElementKind::Comment { body, .. }) =
            view.element(site.element).map(|element| element.kind)
        else {
            continue;
        };
        if memchr::memmem::find(body.of(view.text), b"[%allow").is_none() {
            continue;
        }
        for part in comment_parts(view.text, body) {
            let CommentPart::Command {
                name, arguments, ..
            } = part
            else {
                continue;
            };
            if name.of(view.text) != b"allow" {
                continue;
            }
            let words = view.words(arguments);
            let words = words.trim();
            let (rule, reason) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
            found.push(Allowance {
                rule: rule.to_owned(),
                reason: reason.trim().trim_matches('"').to_owned(),
                covers: covers(view, site),
            });
        }
    }
    found
}

fn covers(view: &View<'_>, site: &crate::replay::CommentSite) -> Range<usize> {
    let game = view.game.span.range();
    let elements = &view.game.elements;
    let next = elements
        .iter()
        .skip(site.element as usize + 1)
        .find(|element| {
            matches!(
                element.kind,
                ElementKind::Move(_) | ElementKind::Word { .. } | ElementKind::Number(_)
            )
        })
        .map_or(game.end, |element| element.span.start as usize);
    let Some(ply) = site.after.and_then(|at| view.replay.ply(at)) else {
        return game;
    };
    let start = if site.opens {
        view.span(site.element).start
    } else {
        view.span(ply.number.unwrap_or(ply.element)).start
    };
    start as usize..next
}

/// Takes out the findings that an allowance covers.
pub(crate) fn apply(allowances: &[Allowance], findings: &mut Vec<Finding>) {
    if allowances.is_empty() {
        return;
    }
    findings.retain(|finding| {
        !allowances.iter().any(|allowance| {
            allowance.rule == finding.rule.name
                && allowance.covers.start <= finding.span.start
                && finding.span.end <= allowance.covers.end
        })
    });
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    fn rules(text: &str) -> Vec<&'static str> {
        check(text.as_bytes(), &Settings::default())
            .findings
            .iter()
            .map(|finding| finding.rule.name)
            .collect()
    }

    #[test]
    fn an_allowance_covers_its_move_only() {
        let told = rules("1. e4+ {[%allow false-check-sign a joke]} e5+ *");
        assert_eq!(told, ["false-check-sign"]);
        assert_eq!(
            rules("1. e4+ {[%allow illegal-move no]} e5 *"),
            ["false-check-sign"]
        );
    }

    #[test]
    fn before_the_first_move_it_covers_the_game() {
        assert!(rules("{[%allow false-check-sign old file]} 1. e4+ e5+ *").is_empty());
    }
}
