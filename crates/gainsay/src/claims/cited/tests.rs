//! Tests.

use gainsay_proof::Verdict::{Fails, Holds, Unsettled};

use crate::{Finding, Settings, apply, check, marked::all};

#[test]
fn a_cited_line_must_be_playable() {
    all(
        "1. e4 e5 2. Nf3",
        &[
            ("Better was [2.Bc4].", Holds),
            ("Better was [2.Bd4].", Fails),
        ],
    );
}

fn found(text: &str, rule: &str) -> Finding {
    let report = check(text.as_bytes(), &Settings::default());
    let mut findings = report.findings.into_iter();
    let found = findings.find(|finding| finding.rule.name == rule);
    found.unwrap_or_else(|| panic!("{rule} in {text}"))
}

#[test]
fn what_is_offered_for_a_cited_move_can_be_played() {
    let text = "[FEN \"6r1/6pP/8/8/8/8/k7/3K4 w - - 0 8\"]\n\n\
                8. Kc1 {Better is 8.hxg8 Kb2 9.Qd5 Kc3.} *\n";
    let finding = found(text, "unsigned-citation");
    // A comment is the author's.
    assert!(finding.remedies.iter().all(|remedy| !remedy.safe));
    assert_eq!(finding.remedies[0].title, "Write hxg8=Q+");
}

#[test]
fn of_the_numbers_of_a_line_the_wrong_one_is_corrected() {
    let text = "1. e4 e5 2. Bc4 Nc6 3. Qh5 {Compare 1. e4 e5 3. Bc4 Nc6.} *\n";
    let finding = found(text, "misnumbered-line");
    let mended = apply(text.as_bytes(), &finding.remedies[0].edits);
    let mended = String::from_utf8_lossy(&mended);
    assert!(mended.contains("Compare 1. e4 e5 2. Bc4 Nc6."), "{mended}");
    let report = check(mended.as_bytes(), &Settings::default());
    assert!(report.findings.is_empty(), "{:?}", report.findings);
}

#[test]
fn near_moves_are_offered_in_the_letters_of_the_comment() {
    let text = "1. e4 e5 2. Sf3 {Schlecht ist 2.Sf3 Sd6 3.Lb5.} Sc6 3. Lb5 a6 *\n";
    let finding = found(text, "unplayable-line");
    let titles: Vec<&str> = finding
        .remedies
        .iter()
        .map(|remedy| remedy.title.as_str())
        .collect();
    assert_eq!(titles, ["Write Ld6", "Write Sa6", "Write Sc6"]);
}

/// Behind the third moves of a Spanish game, with White to move.
const SPANISH: &str = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6";

#[test]
fn moves_are_read_however_they_are_spelt() {
    all(
        SPANISH,
        &[
            ("Possible is [4.Bxc6 dc 5.Nxe5 Qd4 6.Nf3].", Holds),
            ("Possible is [4.Bxc6 bc 5.Nxe5].", Holds),
            ("A gift: [4.d3 ab] and the bishop is gone.", Holds),
            ("Or [4.Ba4 nf6 5.0-0 nxe4 6.d4].", Holds),
            ("Or [4.BxC6 DxC6 5.NxE5].", Holds),
            ("Or [4.b5a4 g8f6 5.e1g1 f8e7].", Holds),
            ("Or [4.Bb5-a4 Ng8-f6 5.O-O].", Holds),
            (
                "Or [4. Bxc6 dxc6 5. O-O f5 6. exf5 e4 7. Re1 Bxf5 8. d3].",
                Holds,
            ),
            (
                "Or [4.\u{a0}Ba4\u{2009}Nf6 5.\u{200b}O-O\u{202f}Be7].",
                Holds,
            ),
        ],
    );
    all(
        "1. e4 e5 2. Nf3 d6 3. d4 f5 4. dxe5 fxe4",
        &[
            ("Then [5.Ng5 d5 6.e6 Nh6].", Holds),
            ("Now [5.Bb5 ch Bd7 6.Bxd7 ch. Qxd7] is calm.", Holds),
            ("Now [5.Bb5 dbl.ch. Bd7].", Unsettled),
            ("Now [5.Ng5 d5 6.ed e.p.].", Unsettled),
        ],
    );
    all(
        "1. e4 e6 2. e5",
        &[
            ("Then [2...d5 3.ed e.p. cd 4.d4].", Holds),
            ("Then [2...d5 3.exd6 ep Bxd6].", Holds),
        ],
    );
}

/// Behind what is no move the position is not known: nothing is ticked, and nothing fails.
#[test]
fn a_line_ends_where_it_cannot_be_read() {
    all(
        SPANISH,
        &[
            ("If 4.Ba4 Nxg9 [5.Rxe5] is bad.", Unsettled),
            ("If 4.Ba4 Nf6 etc. [5.Rxe5] is bad.", Unsettled),
            ("If 4.Ba4 Nf6 etc. [5.O-O] is played.", Unsettled),
            ("If 4.Ba4 fgh [5.Qh5] is bad.", Unsettled),
            ("If 4.Ba4 fgh [5.O-O] is good.", Unsettled),
            ("Not 4...fgh [5.Rxe5].", Unsettled),
            // No pawn of Black's takes so.
            ("Possible is [4.Bxc6 ef 5.Nxe5].", Unsettled),
            ("Possible is [4.Ba4] Nf6 etc.", Holds),
            // What can be read in front of it is judged.
            ("Possible is [4.Bd4] fgh 5.Qh5.", Fails),
            // It may be said of what cannot be played that it cannot.
            ("Not [4.Bd4] fgh 5.Qh5.", Unsettled),
            ("[4.Bd4] is off the menu.", Unsettled),
            ("The rule book forbids [4.Bd4].", Unsettled),
        ],
    );
}

#[test]
fn every_sign_is_verified_before_a_line_is_ticked() {
    all(
        "4k3/6p1/8/5N2/5B2/8/8/6K1 w - - 0 21 | 21. Kg2 Kf7",
        &[
            ("Better was [21.Nxg7+ Kd8 22.Bc7#].", Fails),
            ("Better was [21.Nh4+ Kd8].", Fails),
            ("He dreamt of [21.Nxg7+ Kd8 22.Bc7#].", Unsettled),
            ("With the idea of [21.Nxg7+ Kd8 22.Bc7 mate].", Unsettled),
            ("Better was [21.Nxg7+ Kd8 22.Bc7+].", Holds),
            ("Better was [21.Nxg7++ Kd8].", Unsettled),
            ("Better was [21.Nxd6+ Kd8].", Unsettled),
            ("Better was [21.Nd6+ Kd8].", Holds),
        ],
    );
    all(
        "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6",
        &[
            ("Now [4.Qxf7++] ends it.", Holds),
            ("Now [4.Qxf7#] ends it.", Holds),
            ("Now [4.Bxf7++ Ke7] is nothing.", Unsettled),
            ("Now [4.Qxg6] is nothing.", Unsettled),
            ("Now [4.Qxh6] is nothing.", Unsettled),
            ("Now [4.Qxe5+] is a pawn.", Holds),
        ],
    );
    all(
        "4k3/8/8/8/4N3/8/8/4R1K1 w - - 0 30 | 30. Kf2 Kf8",
        &[
            ("Better was [30.Nf6++ Kf7].", Holds),
            ("Better was [30.Nd6++ Kd7].", Holds),
            ("Better was [30.Nc5++ Kf7].", Unsettled),
        ],
    );
}

#[test]
fn a_threat_is_played_before_it_is_answered() {
    all(
        "1. e4 e5 2. Bc4 Nc6 3. Qh5",
        &[
            ("Threatening [4.Qxf7 mate].", Holds),
            ("The threat is [4.Qxf7#].", Holds),
            ("Threatening [4.Bxf7#].", Fails),
        ],
    );
    // It is told behind the answer as well.
    all(
        "1. e4 e5 2. Bc4 Nc6 3. Qh5 Nh6",
        &[("White was threatening [4.Qxf7#].", Holds)],
    );
    // Only Black's answer lets the pawn take.
    let text = "1. e4 Nf6 2. d3 {Threatening 3.exd5.} d5 3. exd5 *";
    let report = check(text.as_bytes(), &Settings::default());
    assert!(report.claims.iter().all(|claim| claim.verdict != Holds));
    let text = "1. e4 d5 2. d3 {Threatening 3.exd5.} Nf6 3. exd5 *";
    let report = check(text.as_bytes(), &Settings::default());
    assert!(report.claims.iter().any(|claim| claim.verdict == Holds));
}

#[test]
fn numbers_and_colours_are_tried_before_squares() {
    for (line, mended) in [
        ("3.Ba4 Nf6 4.O-O", "4.Ba4 Nf6 5.O-O"),
        ("4...Ba4 Nf6", "4.Ba4 Nf6"),
        ("3...Ba4", "4.Ba4"),
        ("4.Nf6", "4...Nf6"),
    ] {
        let text = format!("{SPANISH} {{Better is {line}.}} 4. Bxc6 *\n");
        let finding = found(&text, "misnumbered-line");
        let mended_text = apply(text.as_bytes(), &finding.remedies[0].edits);
        let mended_text = String::from_utf8_lossy(&mended_text);
        assert!(mended_text.contains(mended), "{line}: {mended_text}");
        let report = check(text.as_bytes(), &Settings::default());
        let other = report
            .findings
            .iter()
            .find(|one| one.rule.name == "unplayable-line");
        assert!(other.is_none(), "{line}");
    }
}

#[test]
fn a_line_may_go_on_from_a_move_that_words_tell() {
    crate::marked::all(
        "1. e4 e5 2. Qh5 Nc6 3. Nf3",
        &[
            (
                "If then [3...Nxe5], all is lost.",
                gainsay_proof::Verdict::Fails,
            ),
            (
                "White should have taken the pawn. If then [3...Nxe5], all is lost.",
                gainsay_proof::Verdict::Unsettled,
            ),
        ],
    );
}
