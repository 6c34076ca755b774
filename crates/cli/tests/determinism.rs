//! The same input gives the same output, byte for byte, with any number of threads.

mod common;

use common::{check, column};
use tempfile::TempDir;

#[test]
fn threads_do_not_show() {
    let folder = TempDir::new().expect("a temporary folder");
    let mut text = Vec::new();
    for name in [
        "1-evenings.pgn",
        "3-endings.pgn",
        "5-exercises.pgn",
        "4-old-disk.pgn",
    ] {
        text.extend(std::fs::read(column().join(name)).expect("a file of the column"));
        text.extend(b"\n");
    }
    // Many times what one piece of work holds.
    let many: Vec<u8> = text.repeat(12);
    assert!(many.len() > 5 * (16 << 10));
    std::fs::write(folder.path().join("many.pgn"), many).expect("a file");
    for format in ["json", "text", "sarif"] {
        let run = |threads: &str| {
            check(
                folder.path(),
                &[
                    "--format",
                    format,
                    "--nodes",
                    "5000",
                    "--no-cache",
                    "--threads",
                    threads,
                    "many.pgn",
                ],
            )
        };
        let one = run("1");
        assert_eq!(one.code, Some(1));
        assert!(one.out.len() > 10_000);
        for threads in ["2", "5"] {
            assert!(
                one == run(threads),
                "{format} differs with {threads} threads"
            );
        }
    }
}
