//! What is told about a place, in Markdown.

use std::fmt::Write as _;

use gainsay::{Rule, SettledClaim, Verdict};
use gainsay_notation::Glyph;
use shakmaty::{Piece, Square};

use super::meanings;

/// What stands on a square.
pub(crate) fn square(square: Square, piece: Option<Piece>) -> String {
    match piece {
        None => format!("**{square}** is empty"),
        Some(piece) => {
            let role = format!("{:?}", piece.role).to_lowercase();
            format!("**{square}**: a {} {role}", piece.color)
        }
    }
}

/// A claim with its verdict and the moves that show it.
pub(crate) fn verdict(claim: &SettledClaim) -> String {
    let mut text = format!("**{}** “{}”", said(claim.verdict), claim.text.trim());
    if claim.exact == Some(false) {
        text.push_str("  \nNot proved to be the shortest.");
    }
    for line in &claim.evidence {
        let _ = write!(text, "\n\n`{line}`");
    }
    if let Some(note) = &claim.note {
        let _ = write!(text, "\n\n{note}");
    }
    let _ = write!(text, "\n\n{} · {} nodes", claim.kind, claim.nodes);
    text
}

/// A verdict as the author reads it.
const fn said(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "fails",
        Verdict::Unsettled => "unsettled",
    }
}

/// A verdict in the text, behind its claim.
pub(crate) const fn hint(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "✓",
        Verdict::Fails => "✗ fails",
        Verdict::Unsettled => "? unsettled",
    }
}

/// A move that can be played.
pub(crate) fn played(name: &str) -> String {
    format!("**{name}**\n")
}

/// A move that cannot be played, above the position that it stands in.
pub(crate) fn unplayable(name: &str) -> String {
    format!("**{name}**\ncannot be played here:\n")
}

/// A move without a position.
pub(crate) fn behind_unplayable(name: &str) -> String {
    format!("**{name}**\nAn earlier move of this line cannot be played.")
}

/// The position before a move.
pub(crate) fn before(name: &str) -> String {
    format!("Before **{name}**\n")
}

/// A result, with the last move.
pub(crate) fn result(result: &str, last: Option<&str>) -> String {
    match last {
        Some(last) => format!("**{result}** after {last}\n"),
        None => format!("**{result}**\n"),
    }
}

/// What a glyph means.
pub(crate) fn glyph(glyph: Glyph) -> String {
    let meaning = meanings::glyph(glyph);
    let meaning = meaning.unwrap_or_else(|| "has no meaning in the standard".into());
    format!("`${}` {meaning}", glyph.number())
}

/// What a tag holds; `None` for a tag that is not known.
pub(crate) fn tag(name: &str) -> Option<String> {
    let meaning = meanings::tag(name)?;
    Some(format!("**{name}**: {meaning}"))
}

/// The rule of a finding.
pub(crate) fn rule(rule: &Rule) -> String {
    format!("The rule *{}*: {}", rule.name, rule.summary())
}
