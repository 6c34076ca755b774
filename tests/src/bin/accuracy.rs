//! Prints recall and precision of the claims on a corpus, kind by kind, every miss, and the stage
//! that lost it (no known words, no phrase, another kind, the gate, the mood, the position, the proof):
//! `cargo run -p gainsay-tests --bin accuracy [FOLDER]`. The folder is `fixtures/claims`
//! unless it is named.
//!
//! Exits with 1 where the precision is below 0.99 or the recall below 0.9.

use std::{path::PathBuf, process::ExitCode};

use gainsay_tests::accuracy::{corpus, run};

fn main() -> std::io::Result<ExitCode> {
    let folder = std::env::args().nth(1).map_or_else(corpus, PathBuf::from);
    let accuracy = run(&folder)?;
    print!(
        "{}\n{}\n{}",
        accuracy.misses,
        accuracy.losses.table(),
        accuracy.table()
    );
    let sum = accuracy.sum();
    Ok(if sum.recall() < 0.9 || sum.precision() < 0.99 {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    })
}
