//! The invented column (`fixtures/column`): its deliberate errors are found, and
//! nothing else.

use std::collections::BTreeSet;

use gainsay::{Report, Settings, check, rule};
use gainsay_tests::{File, claims, findings, fixtures, games_in};

fn column() -> Vec<(File, Report)> {
    games_in(&fixtures().join("column"))
        .into_iter()
        .map(|file| {
            let report = check(&file.bytes, &Settings::default());
            (file, report)
        })
        .collect()
}

/// A row of the table of errors: file, game, move, rule.
type Row = (String, String, String, String);

fn expected() -> Vec<Row> {
    let page = std::fs::read_to_string(fixtures().join("column-errors.md")).expect("the list");
    page.lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| file"))
        .map(|line| {
            let cells: Vec<String> = line
                .split('|')
                .map(|cell| cell.trim().to_owned())
                .filter(|cell| !cell.is_empty())
                .collect();
            let [file, game, mv, rule, _] = <[String; 5]>::try_from(cells).expect("five cells");
            (file, game, mv, rule)
        })
        .collect()
}

#[test]
fn the_deliberate_errors_are_found_and_no_others() {
    let mut found: Vec<Row> = Vec::new();
    for (file, report) in column() {
        for finding in report.findings {
            found.push((
                file.name(),
                finding.game.map_or("-".to_owned(), |game| game.to_string()),
                finding.mv.unwrap_or_else(|| "-".to_owned()),
                finding.rule.name.to_owned(),
            ));
        }
    }
    let mut expected = expected();
    found.sort();
    expected.sort();
    assert_eq!(found, expected);
}

#[test]
fn every_rule_of_the_notation_has_its_error() {
    let listed: BTreeSet<String> = expected().into_iter().map(|row| row.3).collect();
    for name in NOTATION {
        assert!(rule(name).is_some(), "{name} is no rule");
        assert!(listed.contains(name), "the column has no error for {name}");
    }
}

/// The rules of the notation; those about claims have fixtures of their own.
const NOTATION: [&str; 33] = [
    "ambiguous-move",
    "bad-date",
    "bad-glyph",
    "binary-data",
    "broken-tag",
    "byte-order-mark",
    "capture-sign",
    "duplicate-tag",
    "false-check-sign",
    "false-mate-sign",
    "illegal-move",
    "illegal-position",
    "loose-words",
    "missing-check-sign",
    "missing-mate-sign",
    "missing-promotion",
    "missing-result",
    "missing-roster-tag",
    "move-spelling",
    "moves-after-end",
    "needless-origin",
    "nested-comment",
    "result-against-position",
    "result-disagreement",
    "result-spelling",
    "setup-without-fen",
    "stray-bracket",
    "unclosed-comment",
    "unclosed-side-line",
    "unknown-variant",
    "unreadable-move",
    "wrong-move-number",
    "wrong-side-dots",
];

#[test]
fn the_findings_read_well() {
    for (file, report) in column() {
        insta::assert_snapshot!(
            format!("findings-{}", file.stem()),
            findings(&file, &report)
        );
    }
}

#[test]
fn the_claims_are_settled() {
    for (file, report) in column() {
        insta::assert_snapshot!(format!("claims-{}", file.stem()), claims(&file, &report));
    }
}
