//! Glyphs that praise or blame a move: `!!`, `??`.

use gainsay_commentary::Quality;
use shakmaty::{Chess, Move};

use super::margins::JUDGEMENT;
use super::{
    answer::{Answer, Court},
    contradicted::contradiction,
    judgements::judge_move,
};
use crate::question::Question;

/// Settles `!`, `!!`, `?` and `??`. A glyph is confirmed by the tables of endings or a search, and
/// false only where nobody could argue: a move that is blamed mates, forces mate, or is
/// the only legal one; a move that is praised allows a short mate that another avoids.
pub(super) fn settle_glyph(question: &Question, quality: Quality, court: &mut Court<'_>) -> Answer {
    let Some((before, m, after)) = question
        .comment
        .scene
        .played
        .as_ref()
        .and_then(|step| Some((&step.before, step.mv?, &step.after)))
    else {
        return Answer::unsettled();
    };
    match contradiction(quality, before, m, after, court) {
        Some(answer) => answer,
        None => confirmed(question, quality, before, m, court),
    }
}

/// Whether a search agrees with the glyph.
fn confirmed(
    question: &Question,
    quality: Quality,
    before: &Chess,
    m: Move,
    court: &mut Court<'_>,
) -> Answer {
    judge_move(question, quality, before, m, JUDGEMENT / 2, court).unwrap_or_else(Answer::unsettled)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict::{self, Fails, Holds};

    use std::sync::Arc;

    use gainsay_notation::SectionKind;
    use gainsay_proof::endings::Tables;

    use crate::{Settings, Solver, apply, check, check_piece};

    /// The verdict on the last glyph of a game, and the game with the first remedy.
    fn judged(text: &str) -> (Option<Verdict>, Option<String>) {
        let report = check(text.as_bytes(), &Settings::default());
        let verdict = report.claims.last().map(|claim| claim.verdict);
        let remedy = report.findings.iter().find_map(|finding| {
            let remedy = finding
                .remedies
                .first()
                .filter(|_| finding.rule.name == "false-verdict");
            let mended = apply(text.as_bytes(), &remedy?.edits);
            Some(String::from_utf8_lossy(&mended).into_owned())
        });
        (verdict, remedy)
    }

    #[test]
    fn verdicts_by_glyph_are_confirmed_before_they_fail() {
        for (text, verdict, mended) in [
            ("1. e4 e5 2. Nf3 Nc6 $19 *", Fails, Some("2. Nf3 Nc6 $10")),
            ("1. e4 e5 2. Nf3 Nc6 -+ *", Fails, Some("2. Nf3 Nc6 =")),
            (
                "1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 $18 *",
                Fails,
                Some("Kxf7 $19"),
            ),
            ("1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 $19 *", Holds, None),
            ("1. e4 e5 2. Nf3 Nc6 3. Bb5 $10 *", Holds, None),
        ] {
            let (found, remedy) = judged(text);
            assert_eq!(found, Some(verdict), "{text}");
            let fits = match (&remedy, mended) {
                (Some(remedy), Some(mended)) => remedy.contains(mended),
                (None, None) => true,
                _ => false,
            };
            assert!(fits, "{text}: {remedy:?}");
        }
    }

    #[test]
    fn the_tables_of_endings_are_evidence_for_glyphs() {
        for (fen, moves) in [
            ("8/8/8/4k3/4P3/4K3/8/8 w - - 0 1", "1. Kd3 $11 *"),
            ("k7/8/1K6/8/8/8/8/2Q5 w - - 0 1", "1. Qc7 $2 1/2-1/2"),
            ("k7/8/1K6/8/8/8/8/2Q5 w - - 0 1", "1. Qc7 $4 1/2-1/2"),
            ("7k/8/6K1/8/8/8/8/R7 b - - 0 1", "1... Kg8 $7 *"),
        ] {
            let tables = Arc::new(Tables::new(16 << 20));
            let mut solver = Solver::new(1 << 20).with_tables(tables);
            let text = format!("[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n{moves}\n");
            let report = check_piece(
                text.as_bytes(),
                SectionKind::Games,
                &Settings::default(),
                &mut solver,
            );
            let verdict = report.claims.last().map(|claim| claim.verdict);
            assert_eq!(verdict, Some(Holds), "{text}");
        }
    }
}
