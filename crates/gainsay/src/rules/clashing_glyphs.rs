use gainsay_notation::{Degree, Glyph, GlyphMeaning};
use shakmaty::Color;

use crate::{
    replay::{GlyphSite, View},
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// Two glyphs behind one move contradict each other.
    ///
    /// Praise and blame of the same move, an advantage of both sides, or an advantage where the
    /// chances are equal: mostly a glyph of another move that was left behind. A slight
    /// advantage is near enough to equal chances, and the signs `!?` and `?!` are neither praise
    /// nor blame. Sources: the table of glyphs of the PGN standard (section 10) for what they say;
    /// common practice, no source, for what clashes.
    ///
    /// ```pgn before
    /// 1. f3 $3 $2 e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 $2 e5 $17 *
    /// ```
    RULE = "clashing-glyphs", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    // What the glyphs of the last move say, each kind once, so that many cost no more than few.
    let mut said: Vec<(Says, &GlyphSite)> = Vec::new();
    for later in &view.replay.glyphs {
        said.retain(|(_, earlier)| earlier.after == later.after);
        let Some(says) = says(later.glyph) else {
            continue;
        };
        let clash = said.iter().find(|(known, _)| clash(*known, says)).copied();
        if !said.iter().any(|(known, _)| *known == says) {
            said.push((says, later));
        }
        let Some((_, earlier)) = clash else {
            continue;
        };
        let span = view.span(later.element);
        let [one, other] = [earlier, later].map(|site| view.words(view.span(site.element)));
        let message = format!("{other} contradicts {one}, which stands behind the same move.");
        let finding = Finding::new(&RULE, span, message)
            .related(view.span(earlier.element), format!("Here stands {one}."));
        sink.push(match later.after.and_then(|at| view.replay.ply(at)) {
            Some(ply) => finding.after(view, ply),
            None => finding.in_game(view),
        });
    }
}

/// What a glyph says of a move or a position, as far as another can contradict it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Says {
    Praise,
    Blame,
    Equal,
    Better(Color),
}

fn says(glyph: Glyph) -> Option<Says> {
    use GlyphMeaning as M;
    match glyph.meaning()? {
        M::GoodMove | M::VeryGoodMove => Some(Says::Praise),
        M::PoorMove | M::VeryPoorMove => Some(Says::Blame),
        M::Drawish | M::EqualQuiet | M::EqualActive => Some(Says::Equal),
        M::Advantage(Degree::Moderate | Degree::Decisive | Degree::Crushing) => {
            glyph.side().map(Says::Better)
        }
        _ => None,
    }
}

fn clash(one: Says, other: Says) -> bool {
    use Says::{Better, Blame, Equal, Praise};
    match (one, other) {
        (Praise, Blame) | (Blame, Praise) | (Better(_), Equal) | (Equal, Better(_)) => true,
        (Better(one), Better(other)) => one != other,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn what_clashes_is_told_at_the_later_glyph() {
        for (moves, told) in [
            ("1. e4! $2 e5", 1),
            ("1. e4 $16 $17 e5", 1),
            ("1. e4 $11 $18 e5", 1),
            ("1. e4! $16 e5? $16", 0),
            ("1. e4 $14 $15 e5", 0),
            ("1. e4 $5 $6 $1 e5", 0),
            ("1. e4! (1. d4?) e5", 0),
            ("$1 1. e4 $2 e5", 0),
        ] {
            let text = format!("{moves} *");
            let report = check(text.as_bytes(), &Settings::default());
            let found = report.findings.iter();
            let count = found.filter(|found| found.rule.name == "clashing-glyphs");
            assert_eq!(count.count(), told, "{moves}");
        }
    }
}
