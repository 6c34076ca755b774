//! Small files with every kind of line end, encoding and damage (`fixtures/files`).

use std::collections::BTreeMap;

use gainsay::{Report, Settings, check};
use gainsay_tests::{findings, fixtures, games_in};

#[test]
fn each_file_gives_its_findings() {
    for file in games_in(&fixtures().join("files")) {
        let report = check(&file.bytes, &Settings::default());
        insta::assert_snapshot!(format!("file-{}", file.stem()), findings(&file, &report));
    }
}

/// The same game however it is encoded: the same findings at the same moves.
#[test]
fn encodings_and_line_ends_make_no_difference() {
    let reports: BTreeMap<String, Report> = games_in(&fixtures().join("files"))
        .into_iter()
        .map(|file| (file.stem(), check(&file.bytes, &Settings::default())))
        .collect();
    let told = |name: &str| {
        let report = &reports[name];
        let findings: Vec<(&str, Option<&str>, &str)> = report
            .findings
            .iter()
            .map(|finding| {
                (
                    finding.rule.name,
                    finding.mv.as_deref(),
                    finding.message.as_str(),
                )
            })
            .collect();
        (report.games, report.plies, findings)
    };
    let plain = told("lf");
    assert_eq!(plain.2.len(), 1);
    for name in [
        "crlf",
        "cr",
        "mixed-line-ends",
        "mark-in-front",
        "latin-1",
        "utf-8",
        "escape-lines",
        "rest-of-line",
    ] {
        assert_eq!(told(name), plain, "{name}");
    }
}
