//! Tables of endings, their cache, and an engine of the author's for judgements.

#[allow(dead_code, reason = "not all of it is needed here")]
mod common;

use std::{fs, path::Path};

use common::Run;

/// Queen against king, in the middle of the board.
const QUEEN: &str = "8/8/8/3k4/8/8/8/KQ6 w - - 0 1";

/// Runs the command in a folder whose cache is its own.
fn run(folder: &Path, arguments: &[&str]) -> Run {
    common::command(folder)
        .env("XDG_CACHE_HOME", folder.join("cache"))
        .args(arguments)
        .output()
        .expect("the command runs")
        .into()
}

fn game(fen: &str, comment: &str) -> String {
    format!(
        "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n{{{comment}}} *\n"
    )
}

#[test]
fn small_endings_are_known_exactly_and_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let prove = || run(folder.path(), &["prove", "--format", "json", QUEEN]);
    let first = prove();
    assert_eq!(first.code, Some(0), "{}", first.err);
    assert!(first.out.contains("\"exact\":true,"), "{}", first.out);
    let kept = folder.path().join("cache/gainsay/endings/KQK.table");
    let bytes = fs::read(&kept).expect("the table is kept");

    // From the cache, from a damaged cache, without one: the same.
    assert_eq!(prove(), first);
    fs::write(&kept, &bytes[..bytes.len() / 2]).expect("written");
    assert_eq!(prove(), first);
    assert_eq!(fs::read(&kept).expect("kept again"), bytes);
    fs::remove_dir_all(folder.path().join("cache")).expect("deleted");
    fs::write(folder.path().join("cache"), "no folder").expect("written");
    assert_eq!(prove(), first);

    // A small budget builds no table.
    let small = run(
        folder.path(),
        &["prove", "--format", "json", "--nodes", "50", QUEEN],
    );
    assert!(small.out.contains("\"unsettled\""), "{}", small.out);
}

#[test]
fn proofs_are_written_for_small_endings_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let mate = "8/8/8/8/8/1K6/2Q5/k7 w - - 0 1";
    let proved = run(folder.path(), &["prove", "--proof", "proof.txt", mate]);
    assert_eq!(proved.code, Some(0), "{}", proved.err);
    let verified = run(folder.path(), &["verify", "proof.txt"]);
    assert_eq!(verified.code, Some(0), "{}", verified.out);
    assert!(verified.out.starts_with("sound: White mates in 1"));
}

#[test]
fn claims_about_endings_are_settled_exactly() {
    let folder = tempfile::tempdir().expect("a folder");
    // Queen against king: the distance is the one that "prove" tells.
    let told = run(folder.path(), &["prove", "--format", "json", QUEEN]).out;
    let moves: u32 = told
        .split("\"moves\":")
        .nth(1)
        .and_then(|rest| rest.split(',').next()?.parse().ok())
        .expect("a number");
    let line = |moves: u32| format!("8/8/8/3k4/8/8/8/KQ6 w - - dm {moves};\n");
    let text = format!("{}{}{}", line(moves), line(moves + 1), line(moves - 1));
    fs::write(folder.path().join("a.epd"), text).expect("written");
    let report = run(folder.path(), &["check", "--format", "json", "a.epd"]).out;
    let verdicts: Vec<&str> = report
        .split("\"verdict\":")
        .skip(1)
        .map(|rest| &rest[..8])
        .collect();
    assert_eq!(verdicts, ["\"holds\",", "\"fails\",", "\"fails\","]);

    for (fen, comment, message) in [
        (
            "4k3/4P3/3K4/8/8/8/8/8 w - - 0 1",
            "White is winning.",
            "This ending is drawn with best play",
        ),
        (
            "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1",
            "The position is drawn.",
            "White wins this ending",
        ),
        // A pawn with the enemy king in front of it: a search alone would call it won.
        (
            "8/8/8/8/4k3/8/4P3/4K3 w - - 0 1",
            "1.Kf2 wins.",
            "This ending is drawn with best play",
        ),
    ] {
        fs::write(folder.path().join("b.pgn"), game(fen, comment)).expect("written");
        let report = run(folder.path(), &["check", "--format", "json", "b.pgn"]).out;
        assert!(report.contains("\"verdict\":\"fails\""), "{report}");
        assert!(report.contains(message), "{report}");
    }
}

/// What the tables of king and pawn say of the first moves was looked up in the Syzygy
/// tables of python-chess's source package.
#[test]
fn the_only_winning_move_of_a_small_ending_is_known() {
    let folder = tempfile::tempdir().expect("a folder");
    for (fen, m, alone) in [
        ("5k2/8/8/8/4K3/8/P7/8 w - - 0 1", "Kd5", true),
        ("4k3/8/5K2/3P4/8/8/8/8 w - - 0 1", "Ke6", true),
        // Kd6 wins as well.
        ("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1", "Kf6", false),
    ] {
        let text = game(fen, "The only winning move.").replace(
            "{The only winning move.}",
            &format!("1. {m} {{The only winning move.}}"),
        );
        fs::write(folder.path().join("a.pgn"), text).expect("written");
        let report = run(folder.path(), &["check", "--format", "json", "a.pgn"]).out;
        let json: serde_json::Value = serde_json::from_str(&report).expect("JSON");
        let claim = &json["files"][0]["claims"][0];
        assert_eq!(claim["kind"], "only-move", "{report}");
        assert_eq!(claim["verdict"] == "holds", alone, "{report}");
        if alone {
            let line = claim["evidence"][0].as_str().expect("a line");
            assert!(line.starts_with(&format!("1. {m} ")), "{line}");
        }
    }
}

/// A game whose verdict is a judgement, and the same with a mate that is proved.
fn column() -> String {
    let up = "r3k3/ppp2ppp/8/8/8/8/PPP2PPP/R2QK3 w - - 0 1";
    let mate = "6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1";
    game(up, "White is winning.") + "\n" + &game(mate, "White mates in one.")
}

/// The author's engine is gainsay's own search here.
#[test]
fn an_engine_judges_and_evidence_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.pgn"), column()).expect("written");
    let check = || run(folder.path(), &["check", "--format", "json", "a.pgn"]);
    let own = check();
    assert!(!own.out.contains("judged by"));
    assert_eq!(
        own.out.matches("\"verdict\":\"holds\"").count(),
        2,
        "{}",
        own.out
    );

    let program = env!("CARGO_BIN_EXE_gainsay");
    let settings = format!("engine = {:?}\n", [program, "uci"]);
    fs::write(folder.path().join("gainsay.toml"), settings).expect("written");

    // A file that is only found starts nothing.
    let found = check();
    assert_eq!(found.out, own.out);
    assert!(
        found.err.contains("the engine is not started"),
        "{}",
        found.err
    );

    let named = || {
        let options = [
            "check",
            "--format",
            "json",
            "--settings",
            "gainsay.toml",
            "a.pgn",
        ];
        run(folder.path(), &options)
    };
    let judged = named();
    assert_eq!(judged.err, own.err);
    assert_eq!(
        judged.out.matches("\"verdict\":\"holds\"").count(),
        2,
        "{}",
        judged.out
    );
    let words = format!("judged by {program} uci");
    // The judgement says who judged; the mate was proved.
    assert_eq!(judged.out.matches(&words).count(), 1, "{}", judged.out);
    assert_eq!(named(), judged);
}

#[test]
fn a_broken_engine_is_told_once_and_replaced() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.pgn"), column().repeat(4)).expect("written");
    let check = || run(folder.path(), &["check", "--format", "json", "a.pgn"]);
    let own = check();
    let settings = "engine = \"'/no/such engine' --fast\"\n";
    fs::write(folder.path().join("gainsay.toml"), settings).expect("written");
    let options = [
        "check",
        "--format",
        "json",
        "--settings",
        "gainsay.toml",
        "a.pgn",
    ];
    let replaced = run(folder.path(), &options);
    assert_eq!((replaced.code, &replaced.out), (own.code, &own.out));
    let told: Vec<&str> = replaced.err.lines().collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("/no/such engine") && told[0].contains("gainsay judges itself"));
}

#[test]
fn settings_that_cannot_be_used_are_trouble() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("a.pgn"), column()).expect("written");
    for (settings, word) in [
        ("syzygy = \"no-such-folder\"\n", "no-such-folder"),
        (
            "engine = \"'unclosed\"\n",
            "gainsay.toml:1:10: the setting \"engine\" must be a command",
        ),
        ("engine = 3\n", "engine"),
    ] {
        fs::write(folder.path().join("gainsay.toml"), settings).expect("written");
        let run = run(folder.path(), &["check", "a.pgn"]);
        assert_eq!(run.code, Some(2), "{settings}");
        assert!(run.err.contains(word), "{}", run.err);
        assert_eq!(run.out, "");
    }
}
