use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::{Ply, View},
    report::{Edit, Finding},
    rule::{Severity, rule},
    sink::Sink,
    spelling,
};
use gainsay_notation::{Language, Oddities};

rule! {
    /// A move is written otherwise than in SAN.
    ///
    /// Long forms, castling with zeros, promotion without `=`, `e.p.`, figurines and piece
    /// letters of other languages are all read; other programs may not read them. A game
    /// that is written so throughout gets one finding, at its first such move.
    ///
    /// The language is the one whose letters most of the moves are written in, even where
    /// some are wrong. Such a game is rewritten as a whole, if every move can be read, no
    /// other language can be meant, and no comment cites moves in those letters; else it
    /// stays as it is. Where the setting `language` names the letters, they are not odd.
    ///
    /// ```pgn before
    /// 1. e2-e4 e7-e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 *
    /// ```
    RULE = "move-spelling", Severity::Hint
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    const MANY: usize = 4;
    let replay = view.replay;
    if !replay.language.is_english() && !replay.told {
        foreign(view, sink);
        return;
    }
    let odd: Vec<_> = marked(view, Marks::ODD_SPELLING).collect();
    let many = odd.len() > MANY;
    let mut first: Option<(&Ply, String)> = None;
    let mut edits = Vec::new();
    for &ply in &odd {
        if ply.played.is_none() || ply.marks.intersects(Marks::AMBIGUOUS | Marks::NO_PROMOTION) {
            continue;
        }
        if ply.marks.contains(Marks::PAWN_OR_PIECE) {
            pawn_or_piece(view, ply, sink);
            continue;
        }
        let Some(text) = spelling::standard(view, ply, replay.language) else {
            continue;
        };
        let span = view.span(ply.element);
        let edit = Edit {
            span: span.range(),
            text: text.clone(),
        };
        if many {
            // What hangs on a guess waits until the author has said what is meant.
            if view.is_sure(ply) {
                first.get_or_insert((ply, text));
                edits.push(edit);
            }
            continue;
        }
        let message = format!("{} is {text} in SAN.", view.name(ply));
        let finding = Finding::new(&RULE, span, message).before(view, ply);
        sink.push(finding.remedy(format!("Write {text}"), view.is_sure(ply), vec![edit]));
    }
    let Some((ply, text)) = first else { return };
    let message = format!(
        "{} is {text} in SAN; {} moves of this game are written otherwise.",
        view.name(ply),
        odd.len()
    );
    let title = format!("Write {} moves in SAN", edits.len());
    let finding = Finding::new(&RULE, view.span(ply.element), message).before(view, ply);
    sink.push(finding.remedy(title, true, edits));
}

/// A game in the letters of another language: it is rewritten as a whole or not at all.
fn foreign(view: &View<'_>, sink: &mut Sink<'_>) {
    let letter = |ply: &&Ply| {
        view.written(ply)
            .is_some_and(|written| written.oddities.contains(Oddities::FOREIGN))
    };
    let Some(ply) = view.replay.plies.iter().find(letter) else {
        return;
    };
    let text = spelling::standard(view, ply, Language::English).unwrap_or_default();
    let message = format!(
        "{} is {text} in SAN: this game is written in the piece letters of another language.",
        view.name(ply)
    );
    let mut finding = Finding::new(&RULE, view.span(ply.element), message).before(view, ply);
    if let Some(edits) = spelling::in_english(view) {
        finding = finding.remedy(
            "Write all moves of the game in English letters",
            view.replay.sure
                && !view
                    .replay
                    .plies
                    .iter()
                    .any(|ply| view.is_behind_result(ply)),
            edits,
        );
    }
    sink.push(finding);
}

/// A letter that is a pawn's here and a piece's in another language, where both could go.
fn pawn_or_piece(view: &View<'_>, ply: &Ply, sink: &mut Sink<'_>) {
    let span = view.span(ply.element);
    let Some(pawn) = view.san(ply) else { return };
    let message = format!(
        "{} may be a pawn's move, {pawn} in SAN, or that of a piece in the letters of another \
         language.",
        view.name(ply)
    );
    let finding = Finding::new(&RULE, span, message).before(view, ply);
    sink.push(finding.perhaps(format!("Write {pawn}"), span, pawn));
}
