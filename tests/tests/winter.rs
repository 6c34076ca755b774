//! One invented book in four formats, with fifteen deliberate errors (`fixtures/winter/errors.md`).

use gainsay::{Format, Settings, check_as};
use gainsay_tests::fixtures;

/// The rules that tell of something, each as often as it does, in the order of their names.
fn told(name: &str, format: Format) -> Vec<&'static str> {
    let text = std::fs::read(fixtures().join("winter").join(name)).expect("the book");
    let report = check_as(&text, format, &Settings::default());
    let mut rules: Vec<&str> = (report.findings.iter())
        .filter(|found| found.severity > gainsay::Severity::Hint)
        .map(|found| found.rule.name)
        // It needs tables of endings, which the command builds and this test does not.
        .filter(|&rule| rule != "other-moves-hold")
        .collect();
    rules.sort_unstable();
    rules
}

#[test]
fn a_book_gives_the_same_findings_in_every_format() {
    // Each is one of the errors, but for the solution with number 7, which has no exercise since two
    // have number 6.
    let wanted = [
        "false-mate",
        "false-mate",
        "false-stipulation",
        "missing-exercise",
        "missing-exercise",
        "missing-solution",
        "missing-target",
        "repeated-number",
        "second-solution",
        "shorter-mate",
        "unplayable-line",
        "unplayable-line",
        "wrong-diagram",
        "wrong-move-number",
    ];
    for (name, format) in [
        ("book.md", Format::Markdown),
        ("book.tex", Format::Latex),
        ("book.txt", Format::Text),
    ] {
        assert_eq!(told(name, format), wanted, "{name}");
    }
    // There the paragraph about one position is told from the next one.
    let mut more = told("book.adoc", Format::AsciiDoc);
    let eighth = more.iter().position(|&rule| rule == "false-attack-count");
    more.remove(eighth.expect("the eighth error"));
    assert_eq!(more, wanted);
}
