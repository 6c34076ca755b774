//! The command's contract (DESIGN.md, section 5): options, exit codes and formats.

mod common;

use std::{
    io::Read,
    path::Path,
    process::{Command, Stdio},
};

use common::{check, check_input, column, command};
use serde_json::Value;
use shakmaty::{CastlingMode, Chess, fen::Fen};
use tempfile::TempDir;

const RIGHT: &str = "1. e4 e5 2. Nf3 *\n";
const WRONG: &str = "1. e4 e5 2. Ke3 *\n";
/// One warning, nothing graver.
const ODD: &str = "1. e4 e5 3. Nf3 *\n";

fn folder() -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    for (name, text) in [("right.pgn", RIGHT), ("wrong.pgn", WRONG), ("odd.pgn", ODD)] {
        std::fs::write(folder.path().join(name), text).expect("a file");
    }
    folder
}

#[test]
fn exit_codes_tell_what_was_found() {
    let folder = folder();
    let code = |arguments: &[&str]| check(folder.path(), arguments).code;
    assert_eq!(code(&["right.pgn"]), Some(0));
    assert_eq!(code(&["wrong.pgn"]), Some(1));
    assert_eq!(code(&["odd.pgn"]), Some(0));
    assert_eq!(code(&["--fail-on", "warning", "odd.pgn"]), Some(1));
    assert_eq!(code(&["--fail-on", "hint", "odd.pgn"]), Some(1));
    assert_eq!(code(&["--fail-on", "hint", "right.pgn"]), Some(0));
    assert_eq!(code(&["."]), Some(1));
    assert_eq!(code(&["missing.pgn"]), Some(2));
    assert_eq!(code(&["wrong.pgn", "missing.pgn"]), Some(2));
    assert_eq!(code(&["--format", "tea", "right.pgn"]), Some(2));
    assert_eq!(code(&["--nodes", "0", "right.pgn"]), Some(2));
    assert_eq!(code(&[]), Some(2));
}

#[test]
fn rules_can_be_chosen() {
    let folder = folder();
    let code = |arguments: &[&str]| check(folder.path(), arguments).code;
    assert_eq!(code(&["--without", "illegal-move", "wrong.pgn"]), Some(0));
    assert_eq!(code(&["--only", "illegal-move", "wrong.pgn"]), Some(1));
    assert_eq!(code(&["--only", "false-check-sign", "wrong.pgn"]), Some(0));
    let unknown = check(folder.path(), &["--only", "ilegal-move", "wrong.pgn"]);
    assert_eq!(unknown.code, Some(2));
    assert_eq!(unknown.out, "");
    assert!(
        unknown.err.contains("ilegal-move") && unknown.err.contains("illegal-move"),
        "names the rule that was meant: {}",
        unknown.err
    );
}

#[test]
fn settings_are_read_from_the_nearest_file() {
    let folder = folder();
    let file = folder.path().join("gainsay.toml");
    std::fs::write(
        &file,
        "fail-on = \"warning\"\n[rules]\nillegal-move = \"off\"\n",
    )
    .unwrap();
    assert_eq!(check(folder.path(), &["odd.pgn"]).code, Some(1));
    assert_eq!(check(folder.path(), &["wrong.pgn"]).code, Some(0));
    // An option goes before the file.
    assert_eq!(
        check(folder.path(), &["--fail-on", "error", "odd.pgn"]).code,
        Some(0)
    );
    for broken in [
        "nodes = \"many\"",
        "colour = 1",
        "[rules]\nno-such-rule = \"off\"",
        "]",
    ] {
        std::fs::write(&file, broken).unwrap();
        let run = check(folder.path(), &["right.pgn"]);
        assert_eq!(run.code, Some(2), "{broken}");
        assert_eq!(run.out, "", "{broken}");
        assert!(run.err.starts_with("gainsay: "), "{broken}: {}", run.err);
    }
}

#[test]
fn standard_input_is_read_as_told() {
    let folder = folder();
    let run = |kind: &str, text: &str| {
        let run = check_input(
            folder.path(),
            &["--format", "json", "--as", kind, "-"],
            text.as_bytes(),
        );
        let json: Value = serde_json::from_str(&run.out).expect("JSON");
        (run.code, json)
    };
    let (code, json) = run("pgn", WRONG);
    assert_eq!(code, Some(1));
    assert_eq!(json["files"][0]["path"], "-");
    assert_eq!(json["files"][0]["findings"][0]["rule"], "illegal-move");
    let (code, json) = run("epd", "7k/8/5K2/6R1/8/8/8/8 w - - dm 2; id \"rook\";\n");
    assert_eq!(
        (code, &json["files"][0]["games"]),
        (Some(0), &Value::from(1))
    );
    let (code, _) = run("markdown", "# A chapter\n\nNothing about moves here.\n");
    assert_eq!(code, Some(0));
    let (code, _) = run("text", "Nothing about moves here.\n");
    assert_eq!(code, Some(0));
}

fn number(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a number")).expect("a small number")
}

/// Checks a span against its places: the place of a byte is its line, and its column
/// in characters, both from 1.
fn is_place(text: &str, offset: usize, place: &Value) {
    let before = &text[..offset];
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .unwrap_or_default()
        .chars()
        .count()
        + 1;
    assert_eq!(
        (number(&place["line"]), number(&place["column"])),
        (line, column)
    );
}

#[test]
fn json_has_the_fixed_fields() {
    let run = check(
        &column(),
        &[
            "--format",
            "json",
            "1-evenings.pgn",
            "2-league.pgn",
            "5-exercises.pgn",
        ],
    );
    let json: Value = serde_json::from_str(&run.out).expect("one JSON object");
    assert_eq!(json["schema"], 2);
    let mut findings = [0; 4];
    let mut verdicts = [0; 3];
    let mut unread = 0;
    let severities = ["error", "warning", "information", "hint"];
    let files = json["files"].as_array().expect("files");
    assert_eq!(files.len(), 3);
    for file in files {
        let path = file["path"].as_str().expect("a path");
        let text = std::fs::read_to_string(column().join(path)).expect("the same file");
        assert!(number(&file["games"]) >= 5 && number(&file["plies"]) > 10);
        let spanned = |object: &Value| {
            let (start, end) = (
                number(&object["span"]["start"]),
                number(&object["span"]["end"]),
            );
            assert!(start <= end && text.get(start..end).is_some());
            (start, end)
        };
        let common = |object: &Value| {
            assert!(object["game"].is_null() || number(&object["game"]) >= 1);
            assert!(object["move"].is_null() || object["move"].is_string());
            if let Some(fen) = object["position"].as_str() {
                // Exercise 4 is the illegal position.
                let fen: Fen = fen.parse().expect("a FEN");
                let _: Result<Chess, _> = fen.into_position(CastlingMode::Chess960);
            }
            for line in object["evidence"].as_array().expect("evidence") {
                assert!(line.is_string());
            }
        };
        for finding in file["findings"].as_array().expect("findings") {
            let (start, end) = spanned(finding);
            common(finding);
            is_place(&text, start, &finding["from"]);
            is_place(&text, end, &finding["to"]);
            let severity = finding["severity"].as_str().expect("a severity");
            let at = severities
                .iter()
                .position(|&name| name == severity)
                .expect("one of four");
            findings[at] += 1;
            assert!(
                finding["message"]
                    .as_str()
                    .expect("a message")
                    .ends_with('.')
            );
            assert!(
                gainsay::rule(finding["rule"].as_str().expect("a rule")).is_some(),
                "{finding}"
            );
            for remedy in finding["remedies"].as_array().expect("remedies") {
                assert!(remedy["title"].is_string() && remedy["safe"].is_boolean());
                for edit in remedy["edits"].as_array().expect("edits") {
                    assert!(
                        text.get(number(&edit["start"])..number(&edit["end"]))
                            .is_some()
                    );
                    assert!(edit["text"].is_string());
                }
            }
        }
        for claim in file["claims"].as_array().expect("claims") {
            let (start, end) = spanned(claim);
            common(claim);
            assert_eq!(
                claim["text"].as_str().expect("its words"),
                &text[start..end]
            );
            assert!(claim["kind"].is_string() && claim["nodes"].is_u64());
            let verdict = claim["verdict"].as_str().expect("a verdict");
            let at = ["holds", "fails", "unsettled"]
                .iter()
                .position(|&v| v == verdict);
            verdicts[at.expect("one of three")] += 1;
        }
        for sentence in file["unread"].as_array().expect("unread") {
            let (start, end) = spanned(sentence);
            let words = sentence["words"].as_array().expect("words");
            assert_eq!(sentence["text"], text[start..end]);
            assert!(!words.is_empty(), "{sentence}");
            for word in words {
                let word = word.as_str().expect("a word");
                assert!(text[start..end].contains(word), "{sentence}");
            }
            unread += 1;
        }
    }
    assert_eq!(number(&json["totals"]["unread"]), unread);
    assert!(
        unread > 0,
        "the column has sentences that nobody understands"
    );
    for (name, count) in severities.iter().zip(findings) {
        assert_eq!(number(&json["totals"]["findings"][name]), count, "{name}");
    }
    for (name, count) in ["holds", "fails", "unsettled"].iter().zip(verdicts) {
        assert_eq!(number(&json["totals"]["claims"][name]), count, "{name}");
    }
    assert!(
        findings[0] > 5 && verdicts[0] > 5,
        "the column has errors and claims"
    );
}

/// The required properties of the published schema of SARIF 2.1.0 (OASIS, 2020) for
/// the objects that we write.
#[test]
fn sarif_has_what_its_schema_requires() {
    let run = check(&column(), &["--format", "sarif", "."]);
    let log: Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(log["version"], "2.1.0");
    assert!(log["$schema"].as_str().expect("a schema").contains("2.1.0"));
    let runs = log["runs"].as_array().expect("runs");
    assert_eq!(runs.len(), 1);
    let driver = &runs[0]["tool"]["driver"];
    assert_eq!(driver["name"], "gainsay");
    let rules: Vec<&str> = driver["rules"]
        .as_array()
        .expect("rules")
        .iter()
        .map(|rule| rule["id"].as_str().expect("an id"))
        .collect();
    let results = runs[0]["results"].as_array().expect("results");
    assert!(results.len() > 30);
    for result in results {
        assert!(
            result["message"]["text"]
                .as_str()
                .is_some_and(|text| !text.is_empty())
        );
        let rule = result["ruleId"].as_str().expect("a rule");
        assert!(rules.contains(&rule), "{rule}");
        if let Some(index) = result["ruleIndex"].as_u64() {
            assert_eq!(rules[index as usize], rule);
        }
        let level = result["level"].as_str().expect("a level");
        assert!(["none", "note", "warning", "error"].contains(&level));
        for location in result["locations"].as_array().expect("locations") {
            let place = &location["physicalLocation"];
            assert!(place["artifactLocation"]["uri"].is_string());
            let region = &place["region"];
            // All of these have minimum 1 in the schema.
            for property in ["startLine", "startColumn", "endLine", "endColumn"] {
                assert!(number(&region[property]) >= 1, "{property}");
            }
        }
        for fix in result["fixes"].as_array().into_iter().flatten() {
            for change in fix["artifactChanges"].as_array().expect("required") {
                assert!(change["artifactLocation"].is_object());
                let replacements = change["replacements"].as_array().expect("required");
                assert!(!replacements.is_empty(), "minItems 1");
                for replacement in replacements {
                    assert!(replacement["deletedRegion"].is_object(), "required");
                }
            }
        }
    }
}

#[test]
fn junit_is_well_formed() {
    let run = check(&column(), &["--format", "junit", "."]);
    let mut reader = quick_xml::Reader::from_str(&run.out);
    reader.config_mut().check_end_names = true;
    let (mut suites, mut cases, mut failures, mut depth) = (0, 0, 0, 0);
    loop {
        use quick_xml::events::Event;
        match reader.read_event().expect("well-formed XML") {
            Event::Start(element) | Event::Empty(element)
                if element.name().as_ref() == b"testsuite" && depth == 1 =>
            {
                suites += 1;
                depth += 1;
            }
            Event::Start(element) => {
                cases += usize::from(element.name().as_ref() == b"testcase");
                failures += usize::from(element.name().as_ref() == b"failure");
                for attribute in element.attributes() {
                    attribute.expect("well-formed attributes");
                }
                depth += 1;
            }
            Event::Empty(element) => {
                cases += usize::from(element.name().as_ref() == b"testcase");
                failures += usize::from(element.name().as_ref() == b"failure");
            }
            Event::End(_) => depth -= 1,
            Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!((suites, depth), (5, 0));
    assert!(
        cases > 30 && failures > 15 && failures < cases,
        "{cases} {failures}"
    );
}

#[test]
fn github_commands_are_one_line_each() {
    let run = check(&column(), &["--format", "github", "."]);
    assert!(run.out.lines().count() > 30);
    for line in run.out.lines() {
        let rest = ["::error ", "::warning ", "::notice "]
            .iter()
            .find_map(|start| line.strip_prefix(start))
            .unwrap_or_else(|| panic!("no command: {line}"));
        let (properties, message) = rest.split_once("::").expect("a message");
        assert!(properties.starts_with("file=") && !message.is_empty());
    }
}

#[test]
fn lines_name_place_severity_and_rule() {
    let run = check(&column(), &["--format", "lines", "2-league.pgn"]);
    let wrong = "2-league.pgn:24:30: error: 3.Qxf7+ is not mate: Black is in check but not mated: \
                 3... Kxf7 is legal. [false-mate]";
    assert!(run.out.lines().any(|line| line == wrong), "{}", run.out);
}

#[test]
fn every_format_agrees_on_the_findings() {
    let count = |format: &str| check(&column(), &["--show", "hint", "--format", format, "."]);
    let json: Value = serde_json::from_str(&count("json").out).expect("JSON");
    let total: usize = json["totals"]["findings"]
        .as_object()
        .expect("four numbers")
        .values()
        .map(number)
        .sum();
    let sarif: Value = serde_json::from_str(&count("sarif").out).expect("JSON");
    assert_eq!(
        sarif["runs"][0]["results"].as_array().map(Vec::len),
        Some(total)
    );
    assert_eq!(count("github").out.lines().count(), total);
    assert_eq!(count("lines").out.lines().count(), total);
    assert_eq!(count("ndjson").out.lines().count(), total);
    let text = count("text");
    let shown = text.out.lines().filter(|line| line.contains("]: ")).count();
    assert_eq!(shown, total, "{}", text.out);
    for format in [
        "json", "lines", "ndjson", "sarif", "github", "junit", "text",
    ] {
        assert_eq!(count(format).code, Some(1), "{format}");
    }
}

#[test]
fn results_go_to_standard_output_and_nothing_else_does() {
    let folder = folder();
    let run = check(
        folder.path(),
        &["--format", "json", "wrong.pgn", "missing.pgn"],
    );
    let json: Value = serde_json::from_str(&run.out).expect("whole JSON in spite of the trouble");
    assert_eq!(json["files"].as_array().map(Vec::len), Some(1));
    assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    let run = check(folder.path(), &["wrong.pgn"]);
    assert_eq!(run.err, "");
}

#[test]
fn a_closed_pipe_is_no_error() {
    let folder = folder();
    let many = "1. e4 e5 2. Ke3 *\n\n".repeat(20_000);
    std::fs::write(folder.path().join("many.pgn"), many).expect("a file");
    for format in [
        "text", "lines", "json", "ndjson", "github", "sarif", "junit",
    ] {
        let mut child = command(folder.path())
            .args(["check", "--format", format, "many.pgn"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it runs");
        let mut first = [0; 16];
        let mut stdout = child.stdout.take().expect("a pipe");
        stdout.read_exact(&mut first).expect("some output");
        drop(stdout);
        let output = child.wait_with_output().expect("it ends");
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{format}: {:?}",
            output.status
        );
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{format}");
    }
}

/// `script` (bsdutils, part of every Debian system) gives the command a terminal.
fn on_a_terminal(folder: &Path, no_color: Option<&str>) -> String {
    let mut command = Command::new("script");
    command
        .args(["--quiet", "--return", "--command"])
        .arg(format!(
            "'{}' check wrong.pgn",
            env!("CARGO_BIN_EXE_gainsay")
        ))
        .arg("/dev/null")
        .current_dir(folder)
        .env("TERM", "xterm-256color")
        .env_remove("NO_COLOR")
        .stdin(Stdio::null());
    if let Some(value) = no_color {
        command.env("NO_COLOR", value);
    }
    let output = command.output().expect("script is there");
    assert_eq!(output.status.code(), Some(1));
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[cfg(target_os = "linux")]
#[test]
fn colours_are_for_terminals_that_want_them() {
    let folder = folder();
    assert!(on_a_terminal(folder.path(), None).contains("\u{1b}["));
    // https://no-color.org: an empty value does not count.
    assert!(on_a_terminal(folder.path(), Some("")).contains("\u{1b}["));
    assert!(!on_a_terminal(folder.path(), Some("1")).contains("\u{1b}["));
    assert!(!check(folder.path(), &["wrong.pgn"]).out.contains('\u{1b}'));
}

#[test]
fn every_rule_is_explained() {
    let folder = folder();
    let list = command(folder.path())
        .arg("rules")
        .output()
        .expect("it runs");
    let list = String::from_utf8(list.stdout).expect("UTF-8");
    for rule in gainsay::rules() {
        assert!(list.contains(rule.name), "{} is not listed", rule.name);
        let page = command(folder.path())
            .args(["explain", rule.name])
            .output()
            .expect("it runs");
        assert!(page.status.success());
        let page = String::from_utf8(page.stdout).expect("UTF-8");
        assert!(page.contains(rule.name) && page.len() > 100, "{page}");
    }
    let unknown = command(folder.path())
        .args(["explain", "no-such"])
        .output()
        .expect("it runs");
    assert_eq!(unknown.status.code(), Some(2));
}
