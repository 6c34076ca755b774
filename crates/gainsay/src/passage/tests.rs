//! Tests.

use gainsay_notation::Format;

use super::*;
use crate::{Report, check_as};

fn check(text: &str) -> Report {
    check_as(text.as_bytes(), Format::Markdown, &Settings::default())
}

/// The words of the findings of rules about claims.
fn told(text: &str) -> Vec<String> {
    let report = check(text);
    let about_claims: Vec<&str> = crate::claim_rules().map(|rule| rule.name).collect();
    report
        .findings
        .iter()
        .filter(|finding| about_claims.contains(&finding.rule.name))
        .map(|finding| format!("{} {}", finding.rule.name, &text[finding.span.clone()]))
        .collect()
}

const GAME: &str = "```pgn\n[White \"Carrera, Ana\"]\n[Black \"Olsen, Bo\"]\n\n\
    1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0\n```\n\n";

const DIAGRAM: &str = "```fen\n6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1\n```\n\n";

#[test]
fn a_move_that_was_not_possible_is_told_beside_its_game() {
    let good = format!("{GAME}After 3.Bc4 Nf6?? 4.Qxf7# it was all over.\n");
    assert_eq!(told(&good), Vec::<String>::new());
    assert!(
        check(&good)
            .claims
            .iter()
            .any(|claim| claim.kind == "line" && claim.verdict == Verdict::Holds)
    );
    let bad = format!("{GAME}After 3.Bc4 Qg5 4.Qxg7 Black resigned.\n");
    assert_eq!(told(&bad), ["unplayable-line Qxg7"]);
}

#[test]
fn prose_that_names_no_move_of_the_game_is_left_alone() {
    for text in [
        "In the main line 5.Bg5 e6 6.f4 White attacks.",
        "The rook on d7 decided the match.",
        "White is winning, and mates in four.",
        "The opening 1.d4 d5 2.c4 is sounder.",
    ] {
        assert_eq!(
            told(&format!("{GAME}{text}\n")),
            Vec::<String>::new(),
            "{text}"
        );
    }
}

#[test]
fn exercises_are_checked_on_either_side() {
    assert_eq!(
        told(&format!("White mates in one.\n\n{DIAGRAM}")),
        Vec::<String>::new()
    );
    assert_eq!(
        told(&format!("Black mates in two.\n\n{DIAGRAM}")),
        ["false-mate mates in two"]
    );
    assert_eq!(
        told(&format!("{DIAGRAM}The answer is 1.Ra8#, the back rank.\n")),
        Vec::<String>::new()
    );
    // What fails here holds beside the diagram that follows.
    let other = "```fen\nr5k1/5ppp/8/8/8/8/5PPP/6K1 b - - 0 1\n```\n";
    assert_eq!(
        told(&format!("{DIAGRAM}Black mates in one.\n\n{other}")),
        Vec::<String>::new()
    );
}

#[test]
fn a_heading_parts_two_exercises() {
    let other = DIAGRAM.replace("5ppp", "5pp1").replace("8/5PPP", "7p/5PPP");
    let text = format!("{DIAGRAM}## Second\n\nWhite mates in one.\n\n{other}");
    assert_eq!(told(&text), ["false-mate mates in one"]);
    // A solution stands behind another diagram than its own.
    let text = format!("{text}The first: 1.Ra8#.\n");
    assert_eq!(told(&text), ["false-mate mates in one"]);
    let text = format!("{text}\nThe first: 1.Ra7#.\n");
    assert_eq!(told(&text).len(), 2);
}

#[test]
fn a_diagram_is_meant_by_its_number() {
    let safe = DIAGRAM.replace("5ppp", "5pp1").replace("8/5PPP", "7p/5PPP");
    let text =
        |number| format!("{DIAGRAM}Text.\n\n{safe}In diagram {number} White mates in one.\n");
    assert_eq!(told(&text(1)), Vec::<String>::new());
    assert_eq!(told(&text(2)), ["false-mate mates in one"]);
    let verdicts = |text: &str| -> Vec<Verdict> {
        let claims = check(text).claims;
        let of = claims.iter().filter(|claim| claim.kind == "reference");
        of.map(|claim| claim.verdict).collect()
    };
    assert_eq!(verdicts(&text(2)), [Verdict::Holds]);
    assert_eq!(verdicts(&text(3)), [Verdict::Unsettled]);
}

#[test]
fn a_paragraph_next_to_a_position_speaks_of_it() {
    for (text, found) in [
        (
            "White to play and mate in two.",
            "shorter-mate White to play and mate in two",
        ),
        ("White is a rook down.", "false-material a rook down"),
        (
            "White has a passed pawn.",
            "false-structure White has a passed pawn",
        ),
        ("Black is winning.", "false-verdict is winning"),
    ] {
        assert_eq!(told(&format!("{DIAGRAM}{text}\n")), [found], "{text}");
        assert_eq!(told(&format!("{text}\n\n{DIAGRAM}")), [found], "{text}");
        // With another paragraph between nobody knows.
        let far = told(&format!("{DIAGRAM}Look closely.\n\n{text}\n\nThere.\n"));
        let asked = text.contains("to play");
        assert_eq!(far.len(), usize::from(asked), "{text}");
    }
    for text in [
        "White was a rook down a move ago.",
        "Now put a rook on e8. White is a rook down and Black is winning.",
        "In the next exercise Black is a rook up.",
        "Last week Black was winning.",
        "Black is winning, says the old manual.",
        "If White had no rook, Black would be winning.",
        "The e-file is open and White is a rook up.",
    ] {
        assert_eq!(
            told(&format!("{DIAGRAM}{text}\n")),
            Vec::<String>::new(),
            "{text}"
        );
    }
}

#[test]
fn headings_and_quoted_code_are_no_prose() {
    let text = format!("{DIAGRAM}# Black mates in two\n\n```text\nBlack mates in two.\n```\n");
    assert_eq!(told(&text), Vec::<String>::new());
}

/// A position in which White mates in one, in which he does so in two, and in which Black is to move.
const ONE: &str = "```fen\n6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1\n```\n\n";
const TWO: &str = "```fen\n6k1/5ppp/8/8/8/8/R4PPP/1R4K1 w - - 0 1\n```\n\n";
const BLACK: &str = "```fen\nr5k1/5ppp/8/8/8/8/5PPP/6K1 b - - 0 1\n```\n\n";

fn verdicts(text: &str, kind: &str) -> Vec<Verdict> {
    let claims = check(text).claims;
    let of_kind = claims.iter().filter(|claim| claim.kind == kind);
    of_kind.map(|claim| claim.verdict).collect()
}

#[test]
fn the_layout_tells_of_two_neighbours_which_is_meant() {
    // Texts follow their diagrams.
    let text = format!("{ONE}Black is to move.\n\n{BLACK}Black is to move.\n");
    assert_eq!(
        verdicts(&text, "stipulation"),
        [Verdict::Fails, Verdict::Holds]
    );
    // Texts introduce them.
    let text = format!("Black is to move.\n\n{ONE}Black is to move.\n\n{BLACK}");
    assert_eq!(
        verdicts(&text, "stipulation"),
        [Verdict::Fails, Verdict::Holds]
    );
    // Another chapter shows it.
    let text = format!("{ONE}White to move.\n\n# Two\n\n{ONE}Black is to move.\n\n{BLACK}");
    assert_eq!(verdicts(&text, "stipulation")[1], Verdict::Fails);
    // Nothing shows it.
    let text = format!("Two ideas.\n\n{ONE}Black is to move.\n\n{BLACK}Both are simple.\n");
    assert_eq!(verdicts(&text, "stipulation"), [Verdict::Unsettled]);
    let same = format!("Two ideas.\n\n{BLACK}Black is to move.\n\n{BLACK}Both are simple.\n");
    assert_eq!(verdicts(&same, "stipulation"), [Verdict::Holds]);
}

#[test]
fn a_line_tells_where_its_paragraph_belongs() {
    let text =
        format!("Two ideas.\n\n{ONE}1.Ra8 is mate. White to move.\n\n{BLACK}Both are simple.\n");
    assert_eq!(verdicts(&text, "stipulation"), [Verdict::Holds]);
    // A line of the diagram above does not hold beside the one that is meant.
    let text = format!("{ONE}White mates.\n\n{BLACK}The answer is 1.Ra8#.\n");
    assert_eq!(verdicts(&text, "line"), [Verdict::Unsettled]);
}

#[test]
fn a_solution_speaks_of_the_exercise_of_its_number() {
    let text = |first: &str, second: &str| {
        format!(
            "# Exercises\n\n1. White to move.\n\n{ONE}2. White to move.\n\n{TWO}# Solutions\n\n{first}\n\n{second}\n"
        )
    };
    let good = text("1. 1.Ra8#", "2. Black mates in one.");
    assert_eq!(told(&good), ["false-mate mates in one"]);
    assert_eq!(verdicts(&good, "line"), [Verdict::Holds]);
}

#[test]
fn a_bad_position_is_one_finding_and_silences_nobody() {
    let bad = "```fen\n6k1/5ppp/8/8/8/8/5PPP/R5 w - - 0 1\n```\n\n";
    let text = format!(
        "{ONE}Black mates in two.\n\n## Next\n\n{bad}White mates in three.\n\n## Last\n\n{ONE}Black is to move.\n"
    );
    let report = check(&text);
    let rules: Vec<&str> = report
        .findings
        .iter()
        .map(|found| found.rule.name)
        .collect();
    assert_eq!(
        rules,
        ["false-mate", "illegal-position", "false-stipulation"]
    );
}

#[test]
fn a_board_that_is_drawn_does_not_tell_whose_turn_it_is() {
    let board = "8 . . . . . . k .\n7 . . . . . p p p\n6 . . . . . . . .\n5 . . . . . . . .\n4 . . . . . . . .\n\
                 3 . . . . . . . .\n2 . . . . . P P P\n1 R . . . . . K .\n  a b c d e f g h\n\n";
    let verdicts = |text: &str| -> Vec<(String, Verdict)> {
        let report = check_as(
            format!("{board}{text}\n").as_bytes(),
            Format::Text,
            &Settings::default(),
        );
        let claims = report.claims.iter();
        claims
            .map(|claim| (claim.kind.to_string(), claim.verdict))
            .collect()
    };
    let of = |text: &str| verdicts(text).pop().map(|(_, verdict)| verdict);
    assert_eq!(of("Black is to move."), Some(Verdict::Unsettled));
    assert_eq!(of("White mates in one."), Some(Verdict::Holds));
    assert_eq!(of("Black is a rook up."), Some(Verdict::Fails));
    assert_eq!(of("White to play and mate in one."), Some(Verdict::Holds));
    assert_eq!(of("Black to play and mate in one."), Some(Verdict::Fails));
    assert_eq!(of("1.Ra8# ends it."), Some(Verdict::Holds));
}

#[test]
fn a_position_by_itself_has_the_number_that_its_lines_have() {
    let verdicts = |fen: &str, words: &str| -> Vec<Verdict> {
        let claims = check(&format!("```fen\n{fen}\n```\n\n{words}\n")).claims;
        let lines = claims.iter().filter(|claim| claim.kind == "line");
        lines.map(|claim| claim.verdict).collect()
    };
    let [numbered, plain] =
        ["23", "1"].map(|number| format!("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 {number}"));
    use Verdict::{Fails, Holds, Unsettled};
    // Solutions are numbered from 1.
    assert_eq!(verdicts(&numbered, "White mates with 1.Ra8#."), [Holds]);
    assert_eq!(verdicts(&numbered, "White mates with 1.Rb8#."), [Fails]);
    // A diagram does not tell which move it stands in front of.
    assert_eq!(verdicts(&plain, "It ended with 23.Ra8#."), [Holds]);
    assert_eq!(verdicts(&plain, "It ended with 23.Rb8#."), [Unsettled]);
    // But one with a number does.
    assert_eq!(verdicts(&numbered, "It ended with 24.Ra8#."), [Unsettled]);
}

#[test]
fn what_is_said_of_a_diagram_is_not_confirmed_by_what_comes() {
    let fen = "rn1qkbnr/ppp2p1p/3p2p1/4p3/2B1P1b1/2N2N2/PPPP1PPP/R1BQK2R w KQkq - 0 5";
    let verdict = |words: &str, kind: &str| {
        let claims = check(&format!("```fen\n{fen}\n```\n\n{words}\n")).claims;
        let mut claims = claims.iter().filter(|claim| claim.kind == kind);
        claims.next_back().map(|claim| claim.verdict)
    };
    // It is defended by the pawn on d6, which takes on e5 only later.
    let words = "The pawn on e5 is undefended. Now 5. Nxe5! dxe5 6. Qxg4.";
    assert_ne!(verdict(words, "relation"), Some(Verdict::Holds));
    // A move that the line in front has made impossible is not one behind a pass.
    let words = "White plays 5. Bxf7+ Kxf7. The alternative 5... Nf6 6. Bb3 changes nothing.";
    assert_ne!(verdict(words, "line"), Some(Verdict::Holds));
}
