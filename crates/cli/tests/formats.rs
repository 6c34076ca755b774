//! What each format shows and leaves out, and what a newcomer is told.

mod common;

use std::fs;

use common::{Run, check, column, command};
use serde_json::Value;
use tempfile::TempDir;

const FORMATS: [&str; 7] = [
    "text", "lines", "json", "ndjson", "sarif", "junit", "github",
];

/// An error, a warning and a hint.
const MIXED: &str = "[Event \"A\"]\n\n1. e4 e5 3. Nf3 Nc6 3. Bb5 (3. Ke3) 3... a6 1-0\n";

fn mixed() -> TempDir {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("mixed.pgn"), MIXED).expect("written");
    folder
}

#[test]
fn what_is_below_show_is_in_no_format() {
    let folder = mixed();
    let json = check(folder.path(), &["--format", "json", "mixed.pgn"]);
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    let findings = json["files"][0]["findings"].as_array().expect("a list");
    let rules = |severities: &[&str]| -> Vec<&str> {
        let of = |found: &&Value| severities.contains(&found["severity"].as_str().expect("one"));
        let of = findings.iter().filter(of);
        of.map(|found| found["rule"].as_str().expect("a rule"))
            .collect()
    };
    let (graver, lighter) = (
        rules(&["error"]),
        rules(&["warning", "information", "hint"]),
    );
    assert!(graver.contains(&"illegal-move") && lighter.contains(&"wrong-move-number"));
    assert!(!rules(&["hint"]).is_empty() || !rules(&["information"]).is_empty());
    for format in FORMATS {
        let run = check(
            folder.path(),
            &["--show", "error", "--format", format, "mixed.pgn"],
        );
        // SARIF lists all rules.
        let shown = run.out.rsplit("\"results\":").next().unwrap_or_default();
        for rule in &lighter {
            assert!(!shown.contains(rule), "{format} {rule}: {shown}");
        }
        for rule in &graver {
            assert!(shown.contains(rule), "{format} {rule}: {shown}");
        }
    }
}

#[test]
fn people_see_no_hints_and_programs_all() {
    for format in FORMATS {
        let show = |show: &[&str]| {
            let options = [&["--format", format, "2-league.pgn"], show].concat();
            check(&column(), &options).out
        };
        let usual = show(&[]);
        let everything = matches!(format, "json" | "ndjson" | "sarif");
        let least = if everything { "hint" } else { "information" };
        assert_eq!(usual, show(&["--show", least]), "{format}");
        let other = if everything { "information" } else { "hint" };
        assert_ne!(usual, show(&["--show", other]), "{format}");
    }
    // What makes the exit code 1 is shown.
    let lines = |options: &[&str]| {
        let options = [&["--format", "lines", "2-league.pgn"], options].concat();
        check(&column(), &options).out
    };
    assert_eq!(lines(&["--fail-on", "hint"]), lines(&["--show", "hint"]));
}

#[test]
fn a_junit_failure_is_what_makes_the_exit_code_one() {
    let folder = mixed();
    let run = |options: &[&str]| {
        let options = [&["--format", "junit", "mixed.pgn"], options].concat();
        check(folder.path(), &options)
    };
    let failures = |run: &Run| run.out.matches("<failure").count();
    let only = ["--only", "wrong-move-number"];
    let passing = run(&only);
    assert_eq!((passing.code, failures(&passing)), (Some(0), 0));
    assert!(passing.out.contains("wrong-move-number"), "{}", passing.out);
    let failing = run(&[&only[..], &["--fail-on", "warning"]].concat());
    assert_eq!((failing.code, failures(&failing)), (Some(1), 1));
    // The settings say the same.
    fs::write(
        folder.path().join("gainsay.toml"),
        "fail-on = \"warning\"\n",
    )
    .expect("written");
    let settled = run(&only);
    assert_eq!((settled.code, failures(&settled)), (Some(1), 1));
    let lighter = run(&["--fail-on", "error", "--only", "wrong-move-number"]);
    assert_eq!((lighter.code, failures(&lighter)), (Some(0), 0));
}

#[test]
fn lines_of_json_are_the_findings_with_their_path() {
    let run = |format: &str| check(&column(), &["--format", format, "."]).out;
    let report: Value = serde_json::from_str(&run("json")).expect("JSON");
    let mut all = Vec::new();
    for file in report["files"].as_array().expect("files") {
        for finding in file["findings"].as_array().expect("findings") {
            let mut finding = finding.clone();
            finding["path"] = file["path"].clone();
            all.push(finding);
        }
    }
    let lines: Vec<Value> = (run("ndjson").lines())
        .map(|line| serde_json::from_str(line).expect("an object a line"))
        .collect();
    assert!(lines.len() > 30);
    assert_eq!(lines, all);
}

/// Undoes the escapes of GitHub's workflow commands, as its runner does: percent last.
fn unescaped(text: &str) -> String {
    text.replace("%0D", "\r")
        .replace("%0A", "\n")
        .replace("%3A", ":")
        .replace("%2C", ",")
        .replace("%25", "%")
}

/// Source: "Workflow commands for GitHub Actions" in GitHub's documentation, and the package
/// `@actions/core`, which writes them: `%`, line breaks, and in properties `:` and `,`.
#[cfg(unix)]
#[test]
fn github_reads_the_names_of_files_again() {
    for name in ["a,line=9.pgn", "a%0Ab::c.pgn", "50%.pgn", "é;[x] y.pgn"] {
        let folder = TempDir::new().expect("a folder");
        fs::write(folder.path().join(name), "1. e4 e5 2. Ke3 *\n").expect("written");
        let run = check(folder.path(), &["--format", "github", "."]);
        let line = run.out.lines().next().expect("a command");
        let (properties, message) = (line.strip_prefix("::error "))
            .and_then(|rest| rest.split_once("::"))
            .expect("an error");
        assert!(message.contains("Ke3"));
        let (key, value) = (properties.split(',').next())
            .and_then(|first| first.split_once('='))
            .expect("a property");
        assert_eq!((key, unescaped(value).as_str()), ("file", name));
    }
}

#[cfg(unix)]
#[test]
fn github_gets_columns_on_one_line_only() {
    let folder = TempDir::new().expect("a folder");
    let text = "1. e4 e5 2. Ke3 {White mates\nin two.} *\n";
    fs::write(folder.path().join("a.pgn"), text).expect("written");
    let run = check(folder.path(), &["--format", "github", "."]);
    let mut both = [false; 2];
    for line in run.out.lines() {
        let value = |key: &str| {
            let start = line.find(key)? + key.len();
            line[start..].split(',').next()
        };
        let one = value("line=") == value("endLine=");
        assert_eq!(one, value("endColumn=").is_some(), "{line}");
        both[usize::from(one)] = true;
    }
    assert!(both[1], "{}", run.out);
}

#[test]
fn a_wrong_path_is_told_and_nothing_is_counted() {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("data.pgn"), [0; 100]).expect("written");
    for format in FORMATS {
        for name in ["missing.pgn", "data.pgn"] {
            let run = check(folder.path(), &["--format", format, name]);
            assert_eq!(run.code, Some(2), "{format} {name}");
            assert!(run.err.contains(name), "{format}: {}", run.err);
            assert!(!run.out.contains("0 games"), "{format} {name}: {}", run.out);
        }
    }
}

#[test]
fn what_other_tools_call_otherwise_is_named() {
    let folder = TempDir::new().expect("a folder");
    for (arguments, tip) in [
        (&["check", "--fix", "a.pgn"][..], "--mend"),
        (&["check", "-o", "report", "a.pgn"], "> FILE"),
        (&["check", "--config=x.toml", "a.pgn"], "--settings"),
        (&["lint", "a.pgn"], "gainsay check"),
        (&["lsp"], "gainsay serve"),
        (&["explain", "ilegal"], "illegal-move"),
    ] {
        let run: Run = (command(folder.path()).args(arguments).output())
            .expect("it runs")
            .into();
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(run.err.contains(tip), "{arguments:?}: {}", run.err);
    }
    let run = |arguments: &[&str]| -> Run {
        let output = command(folder.path()).args(arguments).output();
        output.expect("it runs").into()
    };
    assert_eq!(run(&["explain"]), run(&["rules"]));
    let page = run(&["manual"]).out;
    for shown in ["completions", "manual", "schema", "hook"] {
        assert!(run(&["help"]).out.contains(shown));
        assert!(page.contains(&format!(".SH GAINSAY {}", shown.to_uppercase())));
    }
    assert!(
        page.contains("\\-\\-fail\\-on"),
        "options of subcommands: {page}"
    );
}
