//! `gainsay prove`, `gainsay check --proof` and `gainsay verify`.

mod common;

use std::path::Path;

use common::{Run, command};
use serde_json::Value;

fn run(folder: &Path, arguments: &[&str]) -> Run {
    command(folder)
        .args(arguments)
        .output()
        .expect("the command runs")
        .into()
}

/// Invented positions: two rooks drive the king, White to move and Black; one in which
/// neither side mates soon; a king that is mated already.
const TO_MOVE: &str = "7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1";
const MATED: &str = "6k1/R7/1R6/8/8/8/8/K5n1 b - - 0 1";
const NEITHER: &str = "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 b - - 0 1";
const OVER: &str = "R5k1/5ppp/8/8/8/8/8/K7 b - - 0 1";

#[test]
fn it_says_which_side_mates_and_how_the_other_defences_compare() {
    let folder = tempfile::tempdir().expect("a folder");
    let prove = |arguments: &[&str]| {
        let run = run(folder.path(), &[&["prove"], arguments].concat());
        (run.code, run.out)
    };
    let (code, out) = prove(&[TO_MOVE]);
    assert_eq!(code, Some(0), "{out}");
    assert!(out.starts_with("White mates in 2, not sooner ("), "{out}");
    assert!(out.ends_with("\n  no defence lasts longer\n"), "{out}");
    let (code, out) = prove(&[MATED]);
    assert_eq!(code, Some(0), "{out}");
    assert!(
        out.starts_with("Black, to move, is mated in 1, not sooner ("),
        "{out}"
    );
    let (code, out) = prove(&[OVER]);
    assert_eq!(code, Some(0), "{out}");
    assert!(out.starts_with("Black is mated ("), "{out}");
    let (code, out) = prove(&["--within", "2", NEITHER]);
    assert_eq!(code, Some(1), "{out}");
    assert!(out.starts_with("Black has no mate in 2 ("), "{out}");
    assert!(out.contains(" positions searched)\n"), "{out}");
    // One side only.
    let (code, out) = prove(&["--within", "2", "--side", "white", NEITHER]);
    assert_eq!(code, Some(1), "{out}");
    assert!(
        out.starts_with("Black, to move, is not mated in 2 ("),
        "{out}"
    );
    let (code, out) = prove(&["--within", "1", "--side", "black", MATED]);
    assert_eq!(code, Some(1), "{out}");
    assert!(out.starts_with("Black has no mate in 1 ("), "{out}");
    let (code, out) = prove(&["--side", "white", TO_MOVE]);
    assert_eq!(code, Some(0), "{out}");
    // Not enough to settle anything.
    let (code, out) = prove(&["--nodes", "3", NEITHER]);
    assert_eq!(code, Some(1), "{out}");
    assert!(out.starts_with("unsettled: "), "{out}");
}

#[test]
fn json_keeps_its_fields() {
    let folder = tempfile::tempdir().expect("a folder");
    let positions = format!("{TO_MOVE}\n{MATED}\n{NEITHER}\n{OVER}\n");
    std::fs::write(folder.path().join("a.epd"), &positions).expect("written");
    let run = run(
        folder.path(),
        &["prove", "--format", "json", "--within", "2", "a.epd"],
    );
    assert_eq!(run.code, Some(1), "{}", run.err);
    let json: Value = serde_json::from_str(&run.out).expect("one JSON object");
    assert_eq!(json["schema"], 1);
    let answers = json["positions"].as_array().expect("positions");
    let told: Vec<_> = answers
        .iter()
        .map(|answer| {
            assert!(answer["nodes"].is_u64() && answer["evidence"].is_array());
            (
                answer["position"].as_str().expect("a FEN"),
                answer["verdict"].as_str().expect("a verdict"),
                answer["moves"].as_u64(),
                answer["exact"].as_bool().expect("a boolean"),
                answer["side"].as_str(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            (TO_MOVE, "holds", Some(2), true, Some("White")),
            (MATED, "holds", Some(1), true, Some("White")),
            (NEITHER, "fails", None, false, None),
            (OVER, "holds", Some(0), true, Some("White")),
        ]
    );
    assert_eq!(answers[0]["note"], "no defence lasts longer");
    assert_eq!(
        answers[2]["note"],
        format!("{} positions searched", answers[2]["nodes"])
    );
}

/// Published problems have one key each (tests/python/test_mates.py); here
/// are an invented position with two, and one with none.
#[test]
fn every_first_move_is_judged() {
    let folder = tempfile::tempdir().expect("a folder");
    let prove =
        |arguments: &[&str]| run(folder.path(), &[&["prove", "--moves"], arguments].concat());
    let told = |run: &Run| run.out.lines().last().expect("a line").trim().to_owned();
    let both = prove(&[TO_MOVE]);
    assert_eq!(both.code, Some(0), "{}", both.out);
    assert_eq!(told(&both), "Ra7 and Rb7 mate within 2 moves");
    let alone = prove(&["7k/p7/1R6/R7/8/8/8/K5n1 w - - 0 1"]);
    assert_eq!(told(&alone), "only Rxa7 mates within 2 moves");
    let none = prove(&["--within", "1", TO_MOVE]);
    assert_eq!(none.code, Some(1), "{}", none.out);
    assert_eq!(told(&none), "no first move mates within 1 move");
    // The side that is mated has no first move that mates.
    assert!(!prove(&[MATED]).out.contains("within"));
    let open = prove(&["--nodes", "20", "--within", "2", NEITHER]);
    assert!(told(&open).starts_with("no first move is known to mate within 2 moves; unsettled: "));

    let json: Value =
        serde_json::from_str(&prove(&["--format", "json", TO_MOVE]).out).expect("JSON");
    let answer = &json["positions"][0];
    assert_eq!(answer["first_moves"]["within"], 2);
    let moves = answer["first_moves"]["moves"].as_array().expect("moves");
    // By hand: 14 and 13 of the rooks, 3 of the king.
    assert_eq!(moves.len(), 30);
    for told in moves {
        let mates = ["Ra7", "Rb7"].contains(&told["move"].as_str().expect("a move"));
        let expected = if mates { "holds" } else { "fails" };
        assert_eq!(told["verdict"], expected, "{told}");
        assert_eq!(told["moves"].as_u64(), mates.then_some(2), "{told}");
        assert_eq!(told["escape"].is_null(), mates, "{told}");
    }
    let json: Value =
        serde_json::from_str(&run(folder.path(), &["prove", "--format", "json", TO_MOVE]).out)
            .expect("JSON");
    assert_eq!(json["positions"][0].get("first_moves"), None);
}

#[test]
fn games_are_written_for_all_answers_and_hold() {
    let folder = tempfile::tempdir().expect("a folder");
    let positions = format!("{TO_MOVE}\n{MATED}\n{NEITHER}\n{OVER}\n");
    std::fs::write(folder.path().join("a.epd"), &positions).expect("written");
    for more in [&["--within", "2"][..], &["--nodes", "2000"]] {
        let arguments = [&["prove", "--format", "pgn", "a.epd"], more].concat();
        let games = run(folder.path(), &arguments).out;
        assert_eq!(games.matches("[Event ").count(), 4);
        assert!(games.contains("1... Kf8 2. Rb8# 1-0") || games.contains("(1... Kf8 2. Rb8#)"));
        std::fs::write(folder.path().join("a.pgn"), &games).expect("written");
        let checked = run(folder.path(), &["check", "--show", "hint", "a.pgn"]);
        assert_eq!(checked.code, Some(0), "{}{games}", checked.out);
        assert!(checked.out.starts_with("4 games, "), "{}", checked.out);
    }
}

/// Claims of mate of every kind, all true.
fn claims() -> String {
    let game = |fen: &str, text: &str| {
        format!(
            "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n{text} *\n\n"
        )
    };
    [
        game(TO_MOVE, "{White mates in two.}"),
        game(TO_MOVE, "1. Ra7 {White mates next move.}"),
        game(MATED, "{Black is mated in one.}"),
        game(TO_MOVE, "{White forces mate.}"),
        game(
            TO_MOVE,
            "1. Ra7 {threatens mate in one.} Kg8 2. Rb8# {Mate!}",
        ),
        // A small ending, which a table tells.
        game("8/8/8/8/8/1K6/2Q5/k7 w - - 0 1", "{White mates in one.}"),
        game(
            "8/8/8/2k5/8/8/8/K6R w - - 0 1",
            "{White mates in thirteen.}",
        ),
    ]
    .concat()
}

#[test]
fn every_mate_that_holds_carries_a_proof() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("a.pgn"), claims()).expect("written");
    std::fs::write(
        folder.path().join("b.epd"),
        "7k/8/1R6/R7/8/8/8/K5n1 w - - dm 2;\n6k1/R7/1R6/8/8/8/8/K5n1 b - - dm -1;\n",
    )
    .expect("written");
    let arguments = ["check", "--format", "json", "a.pgn", "b.epd"];
    let checked = run(
        folder.path(),
        &[&arguments[..], &["--proof", "proofs.txt"]].concat(),
    );
    assert_eq!(checked.code, Some(0), "{}{}", checked.err, checked.out);
    let json: Value = serde_json::from_str(&checked.out).expect("JSON");
    let mut mates = Vec::new();
    for file in json["files"].as_array().expect("files") {
        for claim in file["claims"].as_array().expect("claims") {
            let kind = claim["kind"].as_str().expect("a kind");
            if kind.contains("mate") {
                assert_eq!(claim["verdict"], "holds", "{claim}");
                mates.push(claim["position"].as_str().expect("a FEN").to_owned());
            }
        }
    }
    assert!(mates.len() >= 9, "{mates:?}");
    let verified = run(folder.path(), &["verify", "proofs.txt"]);
    assert_eq!(verified.code, Some(0), "{}", verified.out);
    let sound: Vec<&str> = verified
        .out
        .lines()
        .map(|line| {
            assert!(
                line.starts_with("sound: White mates in ")
                    || line.starts_with("sound: Black is mated ("),
                "{line}"
            );
            line.rsplit_once(": ").expect("a position").1
        })
        .collect();
    assert_eq!(sound, mates, "a proof for each, in the order of the text");

    // The verdicts are the same without, and proofs do not come from the cache.
    assert_eq!(run(folder.path(), &arguments).out, checked.out);
    let again = run(
        folder.path(),
        &[&arguments[..], &["--proof", "again.txt"]].concat(),
    );
    assert_eq!(again, checked);
    let read = |name| std::fs::read(folder.path().join(name)).expect("a file");
    assert_eq!(read("again.txt"), read("proofs.txt"));
    // A folder that is not there is told.
    let trouble = run(
        folder.path(),
        &["check", "--proof", "no/where.txt", "a.pgn"],
    );
    assert_eq!((trouble.code, trouble.out.as_str()), (Some(2), ""));
}

#[test]
fn what_is_searched_is_told_where_there_is_no_mate() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n\
                [FEN \"6k1/5ppp/8/8/8/8/r4PPP/1R4K1 b - - 0 1\"]\n\n{Black mates in two.} *\n";
    std::fs::write(folder.path().join("a.pgn"), text).expect("written");
    std::fs::write(
        folder.path().join("a.epd"),
        "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 b - - dm 2;\n",
    )
    .expect("written");
    for name in ["a.pgn", "a.epd"] {
        let found = run(folder.path(), &["check", "--claims", name]);
        assert_eq!(found.code, Some(1));
        // Under the finding, and behind the claim.
        let count = found.out.matches(" positions searched").count();
        assert_eq!(count, 2, "{}", found.out);
        let found = run(folder.path(), &["check", "--format", "json", name]);
        let json: Value = serde_json::from_str(&found.out).expect("JSON");
        for list in ["findings", "claims"] {
            let note = json["files"][0][list][0]["note"].as_str().expect("a note");
            let (count, rest) = note.split_once(' ').expect("a count");
            assert!(count.parse::<u64>().is_ok_and(|count| count > 0), "{note}");
            assert_eq!(rest, "positions searched");
        }
    }
}

#[test]
fn what_the_rules_tell_is_told_in_their_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let prove = |arguments: &[&str]| {
        let run = run(folder.path(), &[&["prove"], arguments].concat());
        (run.code, run.out)
    };
    let stalemate = "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1";
    let told = format!("Black is stalemated: the game is drawn\n  {stalemate}\n");
    assert_eq!(prove(&[stalemate]), (Some(1), told));
    let bare = "8/8/8/2k5/8/8/8/K7 w - - 0 1";
    let told = format!("White has no mate: its pieces cannot mate\n  {bare}\n");
    assert_eq!(prove(&[bare]), (Some(1), told));
    let (code, out) = prove(&["--side", "black", OVER]);
    assert_eq!(code, Some(1));
    assert!(out.starts_with("Black is mated already\n"), "{out}");

    // A mate in two that comes in time, and two that do not (FIDE Laws of Chess, 9.3).
    let at = |clock: u32| TO_MOVE.replace(" 0 1", &format!(" {clock} 70"));
    let (code, out) = prove(&[&at(97)]);
    assert_eq!(code, Some(0), "{out}");
    for (clock, words) in [
        (98, "whose limit is 2 half-moves away"),
        (100, "whose limit has been reached"),
    ] {
        let (code, out) = prove(&[&at(clock)]);
        assert_eq!(code, Some(1), "{out}");
        let start = "unsettled: White mates in at most 2, but too late for the fifty-move rule, ";
        assert!(out.starts_with(start) && out.contains(words), "{out}");
        assert!(out.contains(" of 1000000 nodes)"), "{out}");
        let (_, out) = prove(&["--format", "json", &at(clock)]);
        let json: Value = serde_json::from_str(&out).expect("JSON");
        assert!(
            json["positions"][0]["note"]
                .as_str()
                .is_some_and(|note| note.contains(words))
        );
    }
    // One that is open for want of nodes says nothing of the rule.
    let (_, out) = prove(&["--nodes", "3", &NEITHER.replace(" 0 1", " 60 90")]);
    assert!(out.contains("the budget did not suffice"), "{out}");
}

#[test]
fn games_with_a_position_are_asked_about() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("a.pgn"), claims()).expect("written");
    let run = |arguments: &[&str]| run(folder.path(), arguments);
    let proved = run(&[
        "prove",
        "--proof",
        "proofs.txt",
        "--nodes",
        "3000000",
        "a.pgn",
    ]);
    assert_eq!(proved.code, Some(0), "{}{}", proved.err, proved.out);
    let place = format!("  {TO_MOVE} (game 1, \"Exercise\")\n");
    assert!(proved.out.contains(&place), "{}", proved.out);
    let json = run(&["prove", "--format", "json", "a.pgn"]).out;
    let json: Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["positions"][6]["place"], "game 7, \"Exercise\"");
    let verified = run(&["verify", "proofs.txt"]);
    assert_eq!(verified.code, Some(0), "{}", verified.out);
    for (number, line) in verified.out.lines().enumerate() {
        let of = format!(" (a.pgn, game {}, \"Exercise\"): ", number + 1);
        assert!(line.starts_with("sound: ") && line.contains(&of), "{line}");
    }
    std::fs::write(folder.path().join("b.pgn"), "1. e4 e5 *\n").expect("written");
    let none = run(&["prove", "b.pgn"]);
    assert_eq!((none.code, none.out.as_str()), (Some(2), ""));
    assert!(none.err.contains("no position in it"), "{}", none.err);
}

#[test]
fn a_proof_that_is_damaged_anywhere_is_rejected_and_named() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("a.pgn"), claims()).expect("written");
    let run = |arguments: &[&str]| run(folder.path(), arguments);
    run(&["check", "--proof", "proofs.txt", "a.pgn"]);
    let whole = std::fs::read_to_string(folder.path().join("proofs.txt")).expect("a file");
    let first: Vec<&str> = whole
        .lines()
        .take_while(|line| !line.starts_with("end "))
        .filter(|line| !line.starts_with("# "))
        .collect();
    assert!(first.len() > 3);
    let sound = run(&["verify", "proofs.txt"]);
    assert_eq!(sound.code, Some(0));
    let count = sound.out.lines().count();
    assert!(sound.out.starts_with("sound: White mates in 2, "));
    let label = "(a.pgn, game 1, \"mates in two\")";
    assert!(sound.out.contains(label), "{}", sound.out);
    // Each of its lines is taken away in its turn.
    for line in first {
        let damaged = whole.replacen(&format!("{line}\n"), "", 1);
        std::fs::write(folder.path().join("damaged.txt"), damaged).expect("written");
        let run = run(&["verify", "damaged.txt"]);
        assert_eq!(run.code, Some(1), "{line}: {}", run.out);
        let told: Vec<&str> = run.out.lines().collect();
        assert_eq!(told.len(), count, "{line}");
        let start = format!("rejected: proof 1 {label}, ");
        assert!(told[0].starts_with(&start), "{line}: {}", told[0]);
        assert!(told[1..].iter().all(|line| line.starts_with("sound: ")));
    }
}

#[test]
fn proofs_are_not_written_over_games() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.pgn");
    std::fs::write(&path, "1. e4 *\n").expect("written");
    let run = run(folder.path(), &["prove", TO_MOVE, "--proof", "a.pgn"]);
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("is there already"), "{}", run.err);
    assert_eq!(std::fs::read_to_string(&path).expect("a text"), "1. e4 *\n");
}
