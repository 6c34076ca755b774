//! What is told about a place, in Markdown.

use std::fmt::Write as _;

use gainsay::{Rule, SettledClaim, Verdict, show::counted};
use gainsay_notation::Glyph;
use shakmaty::{Piece, Square};

use super::{counts, meanings};

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

/// A claim with its verdict and the moves that show it. `message` is what its finding says;
/// moves that stand there are not told again.
pub(crate) fn verdict(claim: &SettledClaim, message: Option<&str>) -> String {
    let words: Vec<&str> = claim.text.split_whitespace().collect();
    let mut text = format!("**{}** “{}”", said(claim.verdict), words.join(" "));
    if let Some(glyph) = sign(&claim.text) {
        let _ = write!(text, ": {}", meaning(glyph));
    }
    if claim.exact == Some(false) {
        text.push_str("  \nNot proved to be the shortest.");
    }
    if let Some(message) = message {
        let _ = write!(text, "\n\n{message}");
    }
    let told = |line: &str| {
        // A single move may be told without its number.
        let mut words = line.split_whitespace();
        let single = words.next_back().filter(|_| words.count() < 2);
        message.is_some_and(|message| message.contains(single.unwrap_or(line)))
    };
    for line in claim.evidence.iter().filter(|line| !told(line)) {
        let _ = write!(text, "\n\n`{line}`");
    }
    if let Some(note) = &claim.note {
        let _ = write!(text, "\n\n{note}");
    }
    if claim.verdict == Verdict::Unsettled {
        text.push_str(&open(claim));
    }
    let _ = write!(text, "\n\nRead as *{}*", claim.kind);
    if claim.nodes > 0 {
        let _ = write!(text, "; settling it cost {}", counted(claim.nodes, "node"));
    }
    text
}

/// Why a claim is not settled, as far as the author can do something about it.
fn open(claim: &SettledClaim) -> String {
    if !claim.unread.is_empty() {
        let unread = counts::on_one_line(&claim.unread);
        return format!("\n\nNot judged, since these words were not understood: {unread}.");
    }
    if claim.short {
        return "\n\nIts budget did not suffice.".to_owned();
    }
    String::new()
}

/// The glyph that is all of a text.
fn sign(text: &str) -> Option<Glyph> {
    let text = text.trim();
    if let Some(number) = text.strip_prefix('$') {
        return number.parse().ok().map(Glyph::new);
    }
    let (glyph, length) = Glyph::at_start(text.as_bytes())?;
    (length == text.len()).then_some(glyph)
}

/// A verdict as the author reads it.
const fn said(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "fails",
        Verdict::Unsettled => "unsettled",
    }
}

/// Stands between what is told about one place for different reasons.
pub(crate) const PARTING: &str = "\n\n---\n\n";

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
    format!("`${}` {}", glyph.number(), meaning(glyph))
}

fn meaning(glyph: Glyph) -> String {
    meanings::glyph(glyph).unwrap_or_else(|| "has no meaning in the standard".into())
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
