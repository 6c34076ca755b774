//! Diagrams in a game that show another position.

use gainsay_notation::ElementKind;
use shakmaty::{Board, Position, Square};

use crate::{
    boards::diagrams_of,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show,
    sink::Sink,
};

rule! {
    /// A diagram among the moves of a game shows a position that is not reached.
    ///
    /// It is compared with the position behind the move before it, and told only where no position of the
    /// game is the one that is printed and few squares differ: what differs more shows something else.
    ///
    /// ```text before
    /// 1. e4 e5 2. Nf3
    ///
    /// 8 r n b q k b n r
    /// 7 p p p p . p p p
    /// 6 . . . . . . . .
    /// 5 . . . . p . . .
    /// 4 . . . . P . . .
    /// 3 . . . . . . . N
    /// 2 P P P P . P P P
    /// 1 R N B Q K B . R
    ///
    /// The king's knight is out.
    ///
    /// 2... Nc6 *
    /// ```
    ///
    /// ```text after
    /// 1. e4 e5 2. Nf3
    ///
    /// 8 r n b q k b n r
    /// 7 p p p p . p p p
    /// 6 . . . . . . . .
    /// 5 . . . . p . . .
    /// 4 . . . . P . . .
    /// 3 . . . . . N . .
    /// 2 P P P P . P P P
    /// 1 R N B Q K B . R
    ///
    /// The king's knight is out.
    ///
    /// 2... Nc6 *
    /// ```
    RULE = "wrong-diagram", Severity::Error
}

/// Where more squares differ, another position is meant.
const MOST: usize = 4;

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for site in &view.replay.comments {
        let Some(ElementKind::Comment { body, .. }) =
            view.element(site.element).map(|element| element.kind)
        else {
            continue;
        };
        for (span, board) in diagrams_of(view.text, body) {
            if let Some(finding) = wrong(view, site.after, &board) {
                sink.push(Finding::new(&RULE, span, finding));
            }
        }
    }
}

/// What is wrong with a board that is printed behind a ply.
fn wrong(view: &View<'_>, after: Option<u32>, board: &Board) -> Option<String> {
    let here = view.replay.at(after)?;
    let plies = view
        .replay
        .plies
        .iter()
        .filter_map(|ply| ply.after.as_ref());
    let start = view.replay.start.position.iter();
    if plies.chain(start).any(|position| position.board() == board) {
        return None;
    }
    let differs = |square: &Square| board.piece_at(*square) != here.board().piece_at(*square);
    let squares: Vec<Square> = Square::ALL.into_iter().filter(differs).collect();
    if squares.len() > MOST {
        return None;
    }
    let ply = after.and_then(|at| view.replay.ply(at));
    let place = ply.map_or_else(
        || "at the start".to_owned(),
        |ply| format!("after {}", view.name(ply)),
    );
    let told: Vec<String> = squares
        .iter()
        .map(|&square| on(square, board, here.board()))
        .collect();
    Some(format!(
        "This diagram is not the position {place}: {}.",
        told.join("; ")
    ))
}

/// What stands on a square in the diagram and in the game.
fn on(square: Square, printed: &Board, game: &Board) -> String {
    let man = |board: &Board| match board.piece_at(square) {
        Some(piece) => format!(
            "a {} {}",
            show::colour(piece.color),
            show::piece(piece.role)
        ),
        None => "nothing".to_owned(),
    };
    format!(
        "{square} has {} in the diagram and {} in the game",
        man(printed),
        man(game)
    )
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn a_diagram_may_show_another_moment_of_the_game() {
        let told = |board: &str| -> Vec<String> {
            let text = format!("1. e4 e5 2. Nf3 {{[%printed {board}]}} Nc6 *");
            let report = check(text.as_bytes(), &Settings::default());
            let found = report.findings.into_iter();
            found
                .filter(|found| found.rule.name == "wrong-diagram")
                .map(|found| found.message)
                .collect()
        };
        // Before White's second move.
        assert!(told("rnbqkbnr/pppp1ppp/8/4p3/4P3/8/PPPP1PPP/RNBQKBNR").is_empty());
        assert!(told("rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R w 3").is_empty());
        // Something else altogether.
        assert!(told("4k3/8/8/8/8/8/8/4K3").is_empty());
        assert_eq!(
            told("rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPP2PPP/RNBQKB1R"),
            [
                "This diagram is not the position after 2.Nf3: d2 has nothing in the diagram and a white pawn in the game."
            ]
        );
    }
}
