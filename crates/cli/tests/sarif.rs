//! What SARIF logs say beside what their schema asks (`tests/python/test_schemas.py`).

mod common;

use std::{fs, path::Path};

use common::{check, check_input, column};
use serde_json::Value;
use tempfile::TempDir;

const WRONG: &str = "1. e4 e5 2. Ke3 *\n";

fn log(folder: &Path, arguments: &[&str]) -> Value {
    let run = check(folder, &[&["--format", "sarif"], arguments].concat());
    serde_json::from_str(&run.out).expect("JSON")
}

fn results(log: &Value) -> &[Value] {
    log["runs"][0]["results"].as_array().expect("results")
}

fn place(result: &Value) -> (&str, Option<&str>) {
    let file = &result["locations"][0]["physicalLocation"]["artifactLocation"];
    let uri = file["uri"].as_str().expect("a URI");
    (uri, file["uriBaseId"].as_str())
}

#[cfg(unix)]
#[test]
fn files_within_the_folder_have_relative_addresses_and_others_whole_ones() {
    let folder = TempDir::new().expect("a folder");
    let root = folder.path().canonicalize().expect("it is there");
    for path in ["work/sub", "other"] {
        fs::create_dir_all(root.join(path)).expect("a folder");
    }
    for path in ["work/a b.pgn", "work/sub/é%.pgn", "other/c d.pgn"] {
        fs::write(root.join(path), WRONG).expect("written");
    }
    std::os::unix::fs::symlink(root.join("other"), root.join("work/link")).expect("a link");
    let here = root.join("work");
    let whole = |path: &str| format!("{}/{path}", root.display());
    let url = |path: &str| format!("file://{}/{path}", root.display());
    let base = Some("%SRCROOT%");
    for (named, uri, within) in [
        ("a b.pgn", "a%20b.pgn".to_owned(), base),
        ("./sub/é%.pgn", "sub/%C3%A9%25.pgn".to_owned(), base),
        ("sub/../a b.pgn", "a%20b.pgn".to_owned(), base),
        ("../work/a b.pgn", "a%20b.pgn".to_owned(), base),
        ("../other/c d.pgn", url("other/c%20d.pgn"), None),
        (&whole("work/a b.pgn"), "a%20b.pgn".to_owned(), base),
        (&whole("other/c d.pgn"), url("other/c%20d.pgn"), None),
        // Up from where the link leads, not from where it stands.
        ("link/../work/a b.pgn", "a%20b.pgn".to_owned(), base),
        ("link/c d.pgn", "link/c%20d.pgn".to_owned(), base),
    ] {
        let log = log(&here, &[named]);
        assert_eq!(place(&results(&log)[0]), (uri.as_str(), within), "{named}");
        // Whose machine it was does not matter.
        let root = &log["runs"][0]["originalUriBaseIds"]["%SRCROOT%"];
        assert!(root.is_object() && root["uri"].is_null());
    }
    let run = check_input(&here, &["--format", "sarif", "-"], WRONG.as_bytes());
    let log: Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(place(&results(&log)[0]), ("-", None));
}

#[test]
fn lines_that_refute_are_flows_of_moves() {
    let log = log(&column(), &["5-exercises.pgn"]);
    let mates = |result: &&Value| result["ruleId"] == "false-mate";
    let false_mate = results(&log).iter().find(mates).expect("one");
    let flows = false_mate["codeFlows"].as_array().expect("a flow");
    assert_eq!(flows.len(), 1);
    assert_eq!(flows[0]["message"]["text"], "1. Rd8+ Kh7");
    let locations = flows[0]["threadFlows"][0]["locations"].as_array();
    let steps: Vec<&str> = (locations.expect("locations").iter())
        .map(|step| {
            let location = &step["location"];
            assert_eq!(
                location["physicalLocation"], false_mate["locations"][0]["physicalLocation"],
                "where the claim stands"
            );
            location["message"]["text"].as_str().expect("a move")
        })
        .collect();
    assert_eq!(steps, ["1. Rd8+", "1... Kh7"]);
}

#[test]
fn what_is_accepted_is_suppressed() {
    let folder = TempDir::new().expect("a folder");
    let text = "1. e4+ {[%allow false-check-sign printed so]} e5 2. Ke3 *\n";
    fs::write(folder.path().join("a.pgn"), text).expect("written");
    let log = log(folder.path(), &["a.pgn"]);
    let of = |rule: &str| {
        let mut same = results(&log)
            .iter()
            .filter(|result| result["ruleId"] == rule);
        same.next().expect("a result")
    };
    let allowed = of("false-check-sign")["suppressions"].as_array();
    let [allowed] = allowed.expect("a list").as_slice() else {
        panic!("one reason")
    };
    assert_eq!(allowed["kind"], "inSource");
    assert_eq!(allowed["justification"], "printed so");
    // Said of all results or of none.
    assert_eq!(of("illegal-move")["suppressions"], Value::Array(Vec::new()));
}

#[test]
fn results_are_recognised_and_ranked() {
    let log = log(&column(), &["."]);
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array();
    let rules = rules.expect("rules");
    let mut ranks = Vec::new();
    for result in results(&log) {
        let index = result["ruleIndex"].as_u64().expect("an index");
        assert_eq!(rules[index as usize]["id"], result["ruleId"]);
        let print = result["partialFingerprints"]["gainsay/v1"].as_str();
        let print: Result<gainsay::Fingerprint, _> = print.expect("one").parse();
        assert!(print.is_ok());
        ranks.push(result["rank"].as_f64().expect("a rank"));
    }
    ranks.sort_by(f64::total_cmp);
    ranks.dedup();
    assert_eq!(ranks, [25.0, 50.0, 75.0, 100.0]);
}

#[test]
fn braces_and_links_in_messages_stand_for_themselves() {
    let folder = TempDir::new().expect("a folder");
    let text = "[Event \"A\"]\n\n1. e4 e5 {a {0} b} 2. Nf3 [x](y) Nc6 *\n";
    fs::write(folder.path().join("a.pgn"), text).expect("written");
    let log = log(folder.path(), &["a.pgn"]);
    let mut seen = 0;
    for result in results(&log) {
        // OASIS, SARIF 2.1.0, section 3.11.5: single braces are placeholders.
        let text = result["message"]["text"].as_str().expect("a text");
        let rest = text.replace("{{", "").replace("}}", "");
        assert!(!rest.contains(['{', '}']), "{text}");
        seen += usize::from(rest != text);
    }
    assert!(seen > 0, "no message has braces: {log}");
}
