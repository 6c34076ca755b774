//! The README shows what the command really prints.

mod common;

use std::path::Path;

/// How much is searched changes whenever the prover is made better.
fn without_counts(text: &str) -> String {
    let parts = text.split(" positions searched");
    let parts: Vec<&str> = parts
        .map(|part| part.trim_end_matches(|c: char| c.is_ascii_digit()))
        .collect();
    parts.join("N positions searched")
}

#[test]
fn the_sample_output_is_real() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let readme = std::fs::read_to_string(root.join("README.md")).expect("the README");
    let (_, sample) = readme.split_once("```text\n").expect("a sample");
    let (sample, _) = sample.split_once("```").expect("its end");
    let run = common::check(&root, &["fixtures/column"]);
    let parts: Vec<&str> = sample.trim().split("\n\n").collect();
    assert!(parts.len() > 3, "a sample of several findings and the end");
    let printed = without_counts(&run.out);
    for part in parts {
        assert!(
            printed.contains(without_counts(part).trim_end()),
            "the command does not print this any more:\n{part}"
        );
    }
}
