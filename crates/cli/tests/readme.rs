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
