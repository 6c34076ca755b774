//! The book that claims are measured on is a book: legal, commented, always the same.

use gainsay::{Settings, Severity, check};
use gainsay_tests::book::book;

#[test]
fn the_book_is_legal_and_full_of_claims() {
    let text = book(4);
    assert_eq!(text, book(4));
    let settings = Settings {
        nodes: 1_000,
        ..Settings::default()
    };
    let report = check(text.as_bytes(), &settings);
    assert_eq!(report.games, 4);
    // Nothing is wrong but claims.
    let about_claims: Vec<&str> = gainsay::claim_rules().map(|rule| rule.name).collect();
    for finding in &report.findings {
        let of_claim = about_claims.contains(&finding.rule.name);
        assert!(
            of_claim || finding.severity < Severity::Error,
            "{finding:?}"
        );
    }
    assert!(report.claims.len() > 40, "{} claims", report.claims.len());
}
