use gainsay_notation::{CommentKind, ElementKind, FaultKind, GameResult, PRINTED, Span};

use super::{noticed::faults, result_against_position::on_the_board, result_spelling::meant};
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// A game does not end with a result.
    ///
    /// The movetext of a game ends with `1-0`, `0-1`, `1/2-1/2` or `*` (PGN standard,
    /// 8.2.6). A fragment without any tags is not asked for it.
    ///
    /// ```pgn before
    /// [Event "Club evening"]
    /// [Result "1-0"]
    ///
    /// 1. e4 e5
    /// ```
    ///
    /// ```pgn after
    /// [Event "Club evening"]
    /// [Result "1-0"]
    ///
    /// 1. e4 e5 1-0
    /// ```
    RULE = "missing-result", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    if view.replay.result.is_some() || view.game.tags.is_empty() {
        return;
    }
    // Nobody wrote these tags: a book goes on from a board.
    if view.game.tag(view.text, PRINTED).is_some() {
        return;
    }
    let Some(last) = view.game.elements.last() else {
        return;
    };
    // A comment that is never closed has swallowed it.
    if faults(view, FaultKind::UnclosedComment).next().is_some() {
        return;
    }
    let tagged = view
        .game
        .tag(view.text, "Result")
        .and_then(|tag| meant(&view.words(tag.value)))
        .filter(|&said| said != "*");
    let board = on_the_board(view).map(GameResult::as_str);
    let result = board.or(tagged).unwrap_or("*");
    // Where the tag contradicts the board, the author must say which is right.
    let agreed = tagged.is_none_or(|said| said == result);
    // Behind tags that follow comments, or with a result in a side-line, the place is not
    // clear.
    let elements = &view.game.elements;
    let tags = view.game.tags.iter();
    let clear = tags
        .last()
        .is_none_or(|tag| tag.span.end <= last.span.start)
        && !elements
            .iter()
            .any(|element| matches!(element.kind, ElementKind::Result(_)));
    // A comment up to the end of its line would swallow the result.
    let rest_of_line = matches!(
        last.kind,
        ElementKind::Comment {
            kind: CommentKind::Line | CommentKind::Escape,
            ..
        }
    );
    let before = if rest_of_line { view.line_end() } else { " " };
    sink.push(
        Finding::new(
            &RULE,
            last.span,
            format!("The game does not end with a result: {result} belongs behind its last move."),
        )
        .in_game(view)
        .offer(
            format!("Add {result}"),
            agreed && clear,
            Span::new(last.span.end, last.span.end),
            format!("{before}{result}"),
        ),
    );
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    #[test]
    fn a_book_that_goes_on_from_a_board_owes_no_result() {
        let board = "r . b q k b . r\n. p p p . p p p\np . n . . . . .\n. . . . p . . .\n\
                     B . . P n . . .\n. . . . . N . .\nP P P . . P P P\nR N B Q . R K .\n\n";
        let moves = "6... exd4 7. Re1 d5 8. Nxd4 Bd6 9. Nxc6\n\nA blow:\n\n9... Bxh2+ 10. Kh1 Qh4 11. Rxe4+ dxe4 12. Qd8+\n";
        let rules = |text: &str, format| {
            let report = check_as(text.as_bytes(), format, &Settings::default());
            assert_eq!(report.games, 1);
            let found = report.findings.iter();
            found.map(|finding| finding.rule.name).collect::<Vec<_>>()
        };
        assert_eq!(rules(&format!("{board}{moves}"), Format::Text), [""; 0]);
        let tag = "[FEN \"r1bqkb1r/1ppp1ppp/p1n5/4p3/B2Pn3/5N2/PPP2PPP/RNBQ1RK1 b kq - 0 6\"]\n\n";
        let moves = moves.replace("A blow:", "{A blow:}");
        assert!(rules(&format!("{tag}{moves}"), Format::Pgn).contains(&"missing-result"));
    }
}
