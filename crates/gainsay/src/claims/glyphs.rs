//! Glyphs that praise or blame a move: `!!`, `??`.

use gainsay_commentary::Quality;
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

use super::{
    answer::{Answer, Court},
    contradicted::contradiction,
    judgements::{given_up, judge_move},
    margins::{BLUNDER, JUDGEMENT},
};
use crate::{outcome::Line, question::Question, resolve::played};

/// Settles `!`, `!!`, `?` and `??`. A glyph is confirmed by the tables of endings, a search or the
/// author's own refutation, and false only where nobody could argue: a move that is blamed mates,
/// forces mate, or is the only legal one; a move that is praised allows a short mate that another
/// avoids.
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
    judge_move(question, quality, before, m, JUDGEMENT / 2, court)
        .or_else(|| refuted_by_the_author(question, quality, (before, m), court))
        .unwrap_or_else(Answer::unsettled)
}

/// Whether a reply that the author gives to a blamed move, in the game or beside it, refutes it:
/// whatever is played against that reply, too much is lost. The search need not find it itself.
/// What is offered may be paid back later than the search sees.
fn refuted_by_the_author(
    question: &Question,
    quality: Quality,
    (before, blamed): (&Chess, Move),
    court: &mut Court<'_>,
) -> Option<Answer> {
    const REPLIES: usize = 3;
    if given_up(before, blamed) > 0 {
        return None;
    }
    let least = match quality {
        Quality::Mistake => BLUNDER / 2,
        Quality::Blunder | Quality::Missed => BLUNDER,
        _ => return None,
    };
    let scene = &question.comment.scene;
    let here = &scene.here;
    let given = scene.steps.first().map(|step| &step.after);
    let given = given.into_iter().chain(&scene.beside);
    let reply = |after: &Chess| {
        let mut moves = here.legal_moves().into_iter();
        moves.find(|&m| played(here, m) == *after)
    };
    let replies: Vec<(Move, &Chess)> = given
        .filter_map(|after| Some((reply(after)?, after)))
        .take(REPLIES)
        .collect();
    if replies.is_empty() {
        return None;
    }
    let best = court.best(before, 1, JUDGEMENT / 4).into_iter().next()?;
    replies.into_iter().find_map(|(m, after)| {
        let (value, line, _) = court.value(after, JUDGEMENT / 4)?;
        let lost = best.value.centipawns() - value.centipawns();
        let moves: Vec<Move> = std::iter::once(m).chain(line).collect();
        (lost >= least).then(|| {
            Answer::new(Verdict::Holds)
                .on(here)
                .shown_by(Line::new(here, &moves))
        })
    })
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

    /// Anderssen against Dufresne, 1852: the search behind 19...Qxf3 needs the reply to see what
    /// it loses. Rotlewi against Rubinstein, 1907: 23...Rd2 is no mistake, though it can be taken.
    #[test]
    fn the_reply_that_is_given_is_evidence_against_a_move() {
        let evergreen = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. b4 Bxb4 5. c3 Ba5 6. d4 exd4 7. O-O d3 \
                         8. Qb3 Qf6 9. e5 Qg6 10. Re1 Nge7 11. Ba3 b5 12. Qxb5 Rb8 13. Qa4 Bb6 \
                         14. Nbd2 Bb7 15. Ne4 Qf5 16. Bxd3 Qh5 17. Nf6+ gxf6 18. exf6 Rg8 \
                         19. Rad1 Qxf3 $4";
        let rubinstein = "1. d4 d5 2. Nf3 e6 3. e3 c5 4. c4 Nc6 5. Nc3 Nf6 6. dxc5 Bxc5 7. a3 a6 \
                          8. b4 Bd6 9. Bb2 O-O 10. Qd2 Qe7 11. Bd3 dxc4 12. Bxc4 b5 13. Bd3 Rd8 \
                          14. Qe2 Bb7 15. O-O Ne5 16. Nxe5 Bxe5 17. f4 Bc7 18. e4 Rac8 19. e5 Bb6+ \
                          20. Kh1 Ng4 21. Be4 Qh4 22. g3 Rxc3 23. gxh4 Rd2 $2";
        for (moves, reply, verdict) in [
            (evergreen, "", Verdict::Unsettled),
            (evergreen, "20. Rxe7+", Holds),
            (evergreen, "(19... Qh3) 20. Rxe7+", Holds),
            (rubinstein, "24. Qxd2", Verdict::Unsettled),
        ] {
            let text = format!("{moves} {reply} *");
            assert_eq!(judged(&text).0, Some(verdict), "{text}");
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
