//! The README shows what the command really prints, byte for byte.

mod common;

use std::path::Path;

#[test]
fn the_sample_output_is_real() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let readme = std::fs::read_to_string(root.join("README.md")).expect("the README");
    let (_, sample) = readme.split_once("```text\n").expect("a sample");
    let (sample, _) = sample.split_once("```").expect("its end");
    // Each part is printed whole: a finding up to the blank line behind it.
    let run = common::check(&root, &["fixtures/column"]);
    let parts: Vec<&str> = sample.trim().split("\n\n").collect();
    assert!(parts.len() > 3, "a sample of several findings and the end");
    for part in parts {
        assert!(
            format!("{}\n", run.out).contains(&format!("{part}\n\n")),
            "the command does not print this any more:\n{part}"
        );
    }
}

#[test]
fn the_library_example_is_the_one_that_is_built() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let read = |path: &str| std::fs::read_to_string(root.join(path)).expect("a file");
    let readme = read("README.md");
    let (_, code) = readme.split_once("```rust\n").expect("an example");
    let (code, _) = code.split_once("```").expect("its end");
    assert_eq!(code, read("crates/gainsay/examples/false_mates.rs"));
    // It prints what the command finds.
    let text = read("fixtures/column/2-league.pgn");
    let report = gainsay::check(text.as_bytes(), &gainsay::Settings::default());
    let wrong = (report.findings.iter()).filter(|finding| finding.rule.name == "false-mate");
    assert!(wrong.count() > 0, "the fixture shows nothing");
}
