//! Tests.

use gainsay_proof::Verdict;

use super::*;
use crate::check_as;

const MATE: &str = "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7#";

/// A game with these tags and a comment before its result.
fn game(tags: &[(&str, &str)], comment: &str, result: &str) -> String {
    let tags = tags
        .iter()
        .map(|(name, value)| format!("[{name} \"{value}\"]\n"));
    let comment = if comment.is_empty() {
        String::new()
    } else {
        format!("{{{comment}}} ")
    };
    let moves = if result == "1-0" { MATE } else { "1. d4 d5" };
    format!(
        "{}\n{moves} {comment}{result}\n\n",
        tags.collect::<String>()
    )
}

/// The verdicts on the claims about other games of a text, and what is wrong with them.
fn told(text: &str, format: Format) -> (Vec<Verdict>, Vec<String>) {
    let report = check_as(text.as_bytes(), format, &Settings::default());
    let about = |kind: &str| matches!(kind, "reference" | "outcome");
    let claims = report.claims.iter().filter(|claim| about(&claim.kind));
    let rules = ["lost-reference", "false-reference"];
    let findings = report.findings.into_iter();
    (
        claims.map(|claim| claim.verdict).collect(),
        findings
            .filter(|finding| rules.contains(&finding.rule.name))
            .map(|finding| finding.message)
            .collect(),
    )
}

#[test]
fn games_are_numbered_by_their_authors() {
    use Verdict::{Fails, Holds, Unsettled};
    let said = "In game 1 White mated on move 9.";
    for (first, second, verdicts) in [
        // Titles, wherever they stand.
        ([("Event", "Game 1")], [("Event", "Game 2")], [Holds, Fails]),
        (
            [("White", "Chapter 3, game 1")],
            [("White", "Chapter 3, game 2")],
            [Holds, Fails],
        ),
        // The number is another one.
        (
            [("Event", "Game 4")],
            [("Event", "Game 5")],
            [Unsettled, Unsettled],
        ),
        // Two games have it.
        (
            [("Event", "Game 1")],
            [("Event", "Game 1")],
            [Holds, Unsettled],
        ),
        // One has none.
        (
            [("Event", "Game 1")],
            [("Event", "An evening")],
            [Holds, Unsettled],
        ),
        ([("Event", "A")], [("Event", "B")], [Holds, Unsettled]),
        // The rounds say what the order says.
        ([("Round", "1")], [("Round", "2")], [Holds, Fails]),
        // Rounds of a tournament.
        ([("Round", "3")], [("Round", "3")], [Holds, Unsettled]),
    ] {
        let text = game(&first, "", "1-0") + &game(&second, said, "*");
        assert_eq!(told(&text, Format::Pgn).0, verdicts, "{text}");
    }
    // In the comment before the first move.
    let text = "[Event \"A\"]\n\n{Game 7: a trap} 1. e4 1-0\n\n[Event \"B\"]\n\n{Game 8.} 1. d4 \
        {Game 7 was won by Black.} *\n";
    let (verdicts, messages) = told(text, Format::Pgn);
    assert_eq!(verdicts, [Holds, Holds, Holds, Fails]);
    assert_eq!(messages, ["In game 7 White won."]);
}

#[test]
fn a_match_is_numbered_by_its_rounds() {
    let tags = |round, white, black| [("Round", round), ("White", white), ("Black", black)];
    let said = "Game 3 was won by Black.";
    let text = |black| {
        game(&tags("3", "Lind", "Moreau"), "", "1-0") + &game(&tags("4", black, "Lind"), said, "*")
    };
    assert_eq!(
        told(&text("Moreau"), Format::Pgn).1,
        ["In game 3 (Lind\u{2013}Moreau) White won."]
    );
    assert_eq!(told(&text("Haas"), Format::Pgn).1, [""; 0]);
}

#[test]
fn numbers_that_are_left_out_are_told() {
    let numbered = |number: &str, said: &str| game(&[("Event", number)], said, "*");
    let text = numbered("Game 2", "") + &numbered("Game 4", "See game 3. See game 5.");
    let (verdicts, messages) = told(&text, Format::Pgn);
    assert_eq!(verdicts, [Verdict::Fails, Verdict::Unsettled]);
    assert_eq!(
        messages,
        ["There is no game 3: behind game 2 comes game 4."]
    );
}

#[test]
fn the_games_of_a_manuscript_stand_under_their_headings() {
    let block = |moves: &str| {
        format!("```pgn\n[White \"Lind, Eva\"]\n[Black \"Haas\"]\n\n{moves}\n```\n\n")
    };
    let text = format!(
        "# Traps\n\n## Game 1\n\n{}White won at once.\n\n## Game 2\n\n{}In game 1 White mated on move 4. \
         In game 1 Lind mated on move 5. See game 7.\n\n",
        block(&format!("{MATE} 1-0")),
        block("1. d4 {In game 1 White mated on move 3.} d5 *"),
    );
    let (verdicts, messages) = told(&text, Format::Markdown);
    use Verdict::{Fails, Holds, Unsettled};
    assert_eq!(
        verdicts,
        [Holds, Fails, Holds, Holds, Holds, Fails, Unsettled]
    );
    assert_eq!(messages.len(), 2);
    // Two blocks under one heading may both be the game.
    let twice = text.replace("White won at once.", &block("1. d4 d5 *"));
    assert_eq!(told(&twice, Format::Markdown).1, [""; 0]);
    // In plain text the heading stands alone.
    let plain = "Game 1\n\n1. e4 e5 2. Qh5 Nc6 1-0\n\nGame 2\n\n1. d4 d5 2. c4 e6 {Game 1 was drawn in 9 moves.} *\n";
    assert_eq!(told(plain, Format::Text).1, ["In game 1 White won."]);
}

#[test]
fn an_archive_is_no_book() {
    let mut text = game(&[("Event", "Game 1")], "", "1-0")
        + &game(&[("Event", "Game 2")], "Game 1 was won by Black.", "*");
    assert_eq!(told(&text, Format::Pgn).1.len(), 1);
    text.push_str(&" ".repeat(LARGEST_BOOK));
    assert_eq!(told(&text, Format::Pgn).1, [""; 0]);
}
