//! The prose of a manuscript: true claims, false ones, and traps, in an invented chapter.

use gainsay::{Format, Settings, Verdict, check_as};
use gainsay_tests::fixtures;

#[test]
fn a_chapter_gives_its_findings_and_no_others() {
    let text = std::fs::read(fixtures().join("manuscript/chapter.md")).expect("the chapter");
    let report = check_as(&text, Format::Markdown, &Settings::default());
    let words =
        |span: &std::ops::Range<usize>| String::from_utf8_lossy(&text[span.clone()]).into_owned();
    let about_claims: Vec<&str> = gainsay::claim_rules().map(|rule| rule.name).collect();
    let told: Vec<(&str, String)> = report
        .findings
        .iter()
        .filter(|finding| about_claims.contains(&finding.rule.name))
        .map(|finding| (finding.rule.name, words(&finding.span)))
        .collect();
    // Nothing stands on e6 at move 4 of the game, and the pawn on h6 gives the king of the
    // second exercise its square; both can be seen by hand.
    assert_eq!(
        told,
        [
            ("unplayable-line", "Qxe6+".to_owned()),
            ("false-mate", "mates in one".to_owned()),
        ]
    );
    // "1.Ra8#" stands below the second exercise and is mate in the first: that is no error, and no tick
    // either.
    let holds: Vec<String> = report
        .claims
        .iter()
        .filter(|claim| claim.verdict == Verdict::Holds)
        .map(|claim| {
            words(&claim.span)
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    for line in ["2.Qh5 Nc6", "3.Bc4 Nf6??", "3...g6 4.Qf3 Nf6", "1.Ra8+ Kh7"] {
        assert!(
            holds
                .iter()
                .any(|held| held.starts_with(line.trim_end_matches('?'))),
            "{line} in {holds:?}"
        );
    }
    assert!(!holds.iter().any(|held| held == "1.Ra8#"), "{holds:?}");
}
