//! Games that are longer than the memory allows: what is left out is told, and nothing
//! behind them is lost.

mod common;

use std::fs;

use common::check;
use serde_json::Value;
use tempfile::TempDir;

const LITTLE: [&str; 6] = ["--memory", "64", "--nodes", "1000", "--format", "json"];

#[test]
fn what_follows_a_game_that_is_too_long_is_checked_in_its_place() {
    let folder = TempDir::new().expect("a folder");
    let wrong = "[Event \"Wrong\"]\n\n1. e4 e5 2. Ke3 *\n\n";
    // Short enough for a block, longer than one, and a comment that is never closed.
    for (size, open) in [
        (300_000, ""),
        (6_000_000, ""),
        (300_000, "{"),
        (6_000_000, "{"),
    ] {
        for line_end in ["\n", "\r\n"] {
            let words = "7. Nf3 Nf6\n9. Ng1 Ng8\n";
            let mut text = format!("{wrong}[Event \"Long\"]\n\n1. e4 Ke3 {open}");
            text.push_str(&words.repeat(size / words.len()));
            text.push_str("*\n\n");
            text.push_str(wrong);
            let text = text.replace('\n', line_end);
            fs::write(folder.path().join("long.pgn"), &text).expect("written");
            let run = check(folder.path(), &[&LITTLE[..], &["long.pgn"]].concat());
            let what = format!("{size} {open:?} {line_end:?}");
            assert_eq!(run.code, Some(2), "{what}");
            let told = "long.pgn:5: this game is longer than 102 KB, and only its beginning was \
                        checked";
            assert_eq!(run.err.lines().count(), 1, "{what} {}", run.err);
            assert!(run.err.contains(told), "{what} {}", run.err);
            let json: Value = serde_json::from_str(&run.out).expect("JSON");
            assert_eq!(json["files"][0]["games"], 3, "{what}");
            let findings = json["files"][0]["findings"].as_array().expect("a list");
            let of = |rule: &str| -> Vec<&Value> {
                let same = findings.iter().filter(|found| found["rule"] == rule);
                same.collect()
            };
            let illegal = of("illegal-move");
            let games: Vec<u64> = (illegal.iter())
                .map(|found| found["game"].as_u64().expect("a number"))
                .collect();
            assert_eq!(games, [1, 2, 3], "{what}");
            for found in &illegal {
                let number = |name: &str| found["span"][name].as_u64().expect("one") as usize;
                assert_eq!(&text[number("start")..number("end")], "Ke3", "{what}");
                let line = 1 + text[..number("start")].matches('\n').count() as u64;
                assert_eq!(found["from"]["line"], line, "{what}");
            }
            // The end that was cut off is not missed, the brace that is open is.
            assert_eq!(of("missing-result").len(), 0, "{what}");
            assert_eq!(of("unclosed-comment").len(), open.len(), "{what}");
        }
    }
}

#[test]
fn findings_beyond_a_thousand_are_counted() {
    let folder = TempDir::new().expect("a folder");
    let text = format!("{}*\n", "7. Nf3 Nf6 9. Ng1 Ng8 ".repeat(1200));
    fs::write(folder.path().join("many.pgn"), &text).expect("written");
    for format in [
        "text", "lines", "json", "ndjson", "sarif", "junit", "github",
    ] {
        let run = check(folder.path(), &["--format", format, "many.pgn"]);
        assert_eq!(run.code, Some(0), "{format} {}", run.err);
        let told = "1399 more warnings in this game are not listed: mend these first.";
        assert!(
            run.out.contains(told),
            "{format} {}",
            &run.out[run.out.len() - 900..]
        );
    }
}

#[test]
fn claims_beyond_all_measure_are_told() {
    let folder = TempDir::new().expect("a folder");
    let text = format!("1. e4 {}*\n", "{The knight on e5 is pinned.} ".repeat(2500));
    fs::write(folder.path().join("many.pgn"), &text).expect("written");
    let run = check(
        folder.path(),
        &["--nodes", "1000", "--format", "json", "many.pgn"],
    );
    assert_eq!(run.code, Some(2), "{}", run.err);
    assert!(
        run.err.contains("only the first 2000 were checked"),
        "{}",
        run.err
    );
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    let claims = json["files"][0]["claims"].as_array().expect("a list");
    assert_eq!(claims.len(), 2000);
}

#[test]
fn a_game_that_is_too_long_is_left_as_it_is_and_the_others_are_mended() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("long.pgn");
    let small = |number: u32| {
        format!("[Event \"Small\"]\n\n{number}. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7 *\n\n")
    };
    for size in [300_000, 6_000_000] {
        let words = "7. Nf3 Nf6\n9. Ng1 Ng8\n";
        let long = format!(
            "[Event \"Long\"]\n\n1. e4 {{{}\n\n",
            words.repeat(size / words.len())
        );
        let text = [&small(1), &long, &small(1)].map(String::as_str).concat();
        fs::write(&path, &text).expect("written");
        let run = check(
            folder.path(),
            &["--mend", "--no-claims", "--memory", "64", "long.pgn"],
        );
        assert_eq!(run.code, Some(2), "{}", run.err);
        let mended = fs::read_to_string(&path).expect("a file");
        assert!(mended.contains(&long), "{size}");
        let [before, behind] = mended.split(long.as_str()).collect::<Vec<_>>()[..] else {
            panic!("{size}");
        };
        for small in [before, behind] {
            assert!(small.contains("4. Qxf7#"), "{size}: {small}");
        }
    }
}
