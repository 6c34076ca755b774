//! Plain words for what a sheet shows: the kinds of claims, what a line of moves is, and why a
//! claim is not settled.

use gainsay::{
    SettledClaim, Verdict,
    outcome::{Line, Open},
    show,
};
use gainsay_notation::{Glyph, GlyphMeaning};

/// The kinds of claims as reports name them, each in plain words.
const KINDS: &[(&str, &str)] = &[
    ("attack-count", "number of attackers"),
    ("count", "number of pieces or pawns"),
    ("deed", "what a move does"),
    ("draw", "draw or stalemate"),
    ("exchange", "exchange of pieces"),
    ("forced-mate", "forced mate"),
    ("gain", "win of material"),
    ("line", "cited line"),
    ("mate", "checkmate on the board"),
    ("mate-in", "mate in N moves"),
    ("mate-next-move", "mate with the next move"),
    ("mate-threat", "threat of mate"),
    ("material", "material"),
    ("move", "cited move"),
    ("no-mate", "no mate"),
    ("only-move", "only move"),
    ("outcome", "how the game ended"),
    ("pattern", "named mate"),
    ("piece", "where a piece stands"),
    ("quality", "good or bad move"),
    ("recapture", "recapture"),
    ("reference", "reference to another place"),
    ("refutation", "refutation"),
    ("relation", "attack, defence, pin"),
    ("square-colour", "colour of a square"),
    ("standing", "who is better"),
    ("stipulation", "what the exercise asks for"),
    ("structure", "pawn structure"),
    ("threat", "threat"),
];

/// A kind of claim in plain words, or a rule without its hyphens.
pub(super) fn kind(name: &str) -> String {
    let found = KINDS.iter().find(|(known, _)| *known == name);
    found.map_or_else(|| name.replace('-', " "), |(_, told)| (*told).to_owned())
}

/// What a claim is, for its heading: a sign is called by itself.
pub(super) fn heading(claim: &SettledClaim) -> String {
    let text = claim.text.trim();
    if sign(text).is_some() {
        format!("the sign {text}")
    } else {
        kind(&claim.kind)
    }
}

/// What the moves are that show a claim's verdict.
pub(super) fn by(claim: &SettledClaim, line: Option<&Line>) -> &'static str {
    const SHOWN: &str = "Shown by";
    const PLAY: &str = "The play goes on:";
    let (Some(line), Verdict::Holds) = (line, claim.verdict) else {
        return SHOWN;
    };
    let first = line
        .moves()
        .first()
        .map(|&first| show::san(line.start(), first));
    let (Some(first), "quality" | "standing") = (first, &*claim.kind) else {
        return SHOWN;
    };
    if claim.kind == "standing" {
        return "The best play for both sides:";
    }
    let number = show::number(line.start());
    let own = claim.mv.as_deref().and_then(|mv| {
        // "1." is a number of "11.Kf1" in no way, and "1..." none of "1.Kf1".
        let san = mv.strip_prefix(&number)?;
        san.starts_with(|c: char| c != '.').then_some(san)
    });
    let praised = sign(claim.text.trim()).map(is_praise);
    match (own, praised) {
        // The sign stands at another move of the line, or at a move of the line before.
        (None, Some(true)) => PLAY,
        (None, Some(false)) => "What answers it:",
        (Some(own), _) if own == first => PLAY,
        (_, None) if claim.text.contains(&first) => PLAY,
        (Some(_), Some(true)) => "No other move is clearly better. The best other move:",
        (Some(_), Some(false)) => "Better was:",
        (_, None) => "The best move that the search finds there:",
    }
}

/// The sign that is all of a text.
fn sign(text: &str) -> Option<Glyph> {
    match text.strip_prefix('$') {
        Some(number) => number.parse().ok().map(Glyph::new),
        None => Glyph::of_symbol(text.as_bytes()),
    }
}

fn is_praise(sign: Glyph) -> bool {
    matches!(
        sign.meaning(),
        Some(GlyphMeaning::GoodMove | GlyphMeaning::VeryGoodMove)
    )
}

/// Why a claim is not settled, in a sentence.
pub(super) fn reason(claim: &SettledClaim, open: &Open) -> String {
    match open {
        Open::Spent => "The search came to the end of its budget; a larger one may settle it \
                        (--nodes)."
            .to_owned(),
        Open::NotUnderstood { unread } => {
            let words: Vec<String> = unread
                .iter()
                .map(|word| format!("\u{201c}{word}\u{201d}"))
                .collect();
            format!(
                "It is not judged, since these words near it were not understood: {}.",
                words.join(", ")
            )
        }
        Open::NotAsserted => "The sentence does not say that it is so: it asks, wishes, supposes \
                              or denies it, or tells it of something else."
            .to_owned(),
        Open::NotProved { .. } => {
            let note = claim.note.as_deref().unwrap_or_default();
            format!("It is not judged ({note}).")
        }
        Open::OfNothing => "Nothing near it is what these words speak of.".to_owned(),
        Open::Undecided if sign(claim.text.trim()).is_some() => {
            "A search neither bears the sign out nor shows it to be wrong: authors may differ \
             here."
                .to_owned()
        }
        Open::Undecided => "Several readings are possible, or the sentence may not say that it is \
                            so, or nothing that was computed decides it."
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use gainsay::{Settings, check, outcome::Evidence};

    use super::*;

    #[test]
    fn every_kind_has_plain_words() {
        // The kinds are named in one function, an arm each.
        let source = include_str!("../../../commentary/src/kind.rs");
        let names = source
            .split("pub const fn name(")
            .nth(1)
            .expect("the names");
        let names = names.split("\n    }\n").next().expect("the function");
        let named: BTreeSet<&str> = (names.lines())
            .filter_map(|line| line.split_once("=> \"")?.1.split('"').next())
            .collect();
        let known: BTreeSet<&str> = KINDS.iter().map(|(name, _)| *name).collect();
        assert!(named.len() > 20, "{named:?}");
        assert_eq!(named, known);
        let told: BTreeSet<String> = known.iter().map(|name| kind(name)).collect();
        assert_eq!(told.len(), known.len(), "no two kinds have the same words");
    }

    #[test]
    fn what_shows_a_sign_is_called_what_it_is() {
        for (text, heading_of, told) in [
            (
                "1. e4 e5 2. Qh5 Nc6 3. Qxf7+?? *",
                "the sign ??",
                "Better was:",
            ),
            (
                "1. f3 e5 2. g4 Qh4# $3 *",
                "the sign $3",
                "The play goes on:",
            ),
            (
                "1. e4 e5 2. Nf3 Nc6 3. Nc3! *",
                "the sign !",
                "No other move is clearly better. The best other move:",
            ),
        ] {
            let report = check(text.as_bytes(), &Settings::default());
            let claim = report.claims.last().expect("a claim");
            assert_eq!(claim.verdict, Verdict::Holds, "{text}");
            let grounds = claim.outcome.grounds().expect("it holds");
            let Some(Evidence::Line(line)) = grounds.evidence.first() else {
                panic!("no line shows {text}");
            };
            assert_eq!(heading(claim), heading_of);
            assert_eq!(by(claim, Some(line)), told, "{text}: {line:?}");
        }
    }

    #[test]
    fn what_is_open_has_a_reason() {
        for (text, told) in [
            ("1. e4 e5 {White mates in nine.} *", "budget"),
            ("1. e4 e5 2. Nf3 Nc6 3. Bb5 $14 *", "authors may differ"),
        ] {
            let settings = Settings {
                nodes: 1,
                ..Settings::default()
            };
            let report = check(text.as_bytes(), &settings);
            let claim = report.claims.last().expect("a claim");
            let gainsay::outcome::Outcome::Unsettled(open) = &claim.outcome else {
                panic!("{text}: {:?}", claim.outcome);
            };
            let reason = reason(claim, open);
            assert!(reason.contains(told), "{reason}");
        }
    }
}
