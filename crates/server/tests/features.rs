//! Every feature of the protocol that the server offers, through a client.

mod client;

use std::time::Duration;

use client::{Client, applied};
use serde_json::{Value, json};

const URI: &str = "file:///book/lesson.pgn";

/// Two invented games: a side-line, comments with claims, names to rename.
const LESSON: &str = "[Event \"Café\"]
[Site \"?\"]
[Date \"1921.03.??\"]
[Round \"1\"]
[White \"Ödön, A\"]
[Black \"Brück, B\"]
[Result \"1-0\"]

1. e4 e5 2. Bc4 Nc6 {A plan. See game 2 and
move 3.} 3. Qh5 Nf6 (3... g6 4. Qf3 Nf6
5. Ne2) 4. Qxf7# 1-0

[Event \"Café\"]
[Site \"?\"]
[Date \"1921.03.??\"]
[Round \"2\"]
[White \"Brück, B\"]
[Black \"Ödön, A\"]
[Result \"1/2-1/2\"]

1. e4 e5 Nf3 Nf6 3. Nxe5 Nxe4 4. Qe2 {Wins. Now 4...Nf6 5.Nc6+ and White mates in two.} Qe7 5. Qxe4 d6 1/2-1/2
";

fn document() -> Value {
    json!({"uri": URI})
}

async fn lesson() -> Client {
    let capabilities = json!({
        "workspace": {"workspaceEdit": {"documentChanges": true}},
        "textDocument": {"documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
                         "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}}}}
    });
    let mut client = Client::start_with(capabilities, Value::Null).await;
    client.open(URI, 1, LESSON).await;
    client.published(URI, 1).await;
    client
}

/// Line and column of the first place of `words`, in UTF-16.
fn place(words: &str) -> (usize, usize) {
    let at = LESSON.find(words).unwrap();
    let line = LESSON[..at].matches('\n').count();
    let start = LESSON[..at].rfind('\n').map_or(0, |at| at + 1);
    (line, LESSON[start..at].encode_utf16().count())
}

fn range(words: &str) -> Value {
    let (line, column) = place(words);
    let end = column + words.encode_utf16().count();
    json!({"start": {"line": line, "character": column}, "end": {"line": line, "character": end}})
}

async fn actions(client: &mut Client, range: &Value, only: &[&str]) -> Vec<Value> {
    let mut context = json!({"diagnostics": []});
    if !only.is_empty() {
        context["only"] = json!(only);
    }
    client
        .request(
            "textDocument/codeAction",
            json!({"textDocument": document(), "range": range, "context": context}),
        )
        .await
        .as_array()
        .unwrap()
        .clone()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn remedies_allowances_and_rewrites() {
    let mut client = Client::start_with(
        json!({"workspace": {"workspaceEdit": {"documentChanges": true}}}),
        Value::Null,
    )
    .await;
    let text = "[Event \"?\"]\n[Site \"?\"]\n[Date \"????.??.??\"]\n[Round \"?\"]\n[White \"?\"]\n[Black \"?\"]\n[Result \"*\"]\n\n1. e2-e4+ e5 4. Bc4 Nc6 *\n";
    client.open(URI, 1, text).await;
    let found = client.published(URI, 1).await;
    let check = found
        .iter()
        .find(|found| found["code"] == "false-check-sign")
        .unwrap();
    let offered = client
        .request(
            "textDocument/codeAction",
            json!({"textDocument": document(), "range": check["range"],
                   "context": {"diagnostics": [check]}}),
        )
        .await;
    let offered = offered.as_array().unwrap();
    let titled = |words: &str| {
        offered
            .iter()
            .find(|action| action["title"].as_str().unwrap().contains(words))
            .unwrap_or_else(|| panic!("{words} in {offered:#?}"))
    };
    let after = |action: &Value| applied(text, &action["edit"]["documentChanges"][0]["edits"]);
    assert!(
        after(titled("Accept this finding here (false-check-sign)"))
            .contains("e2-e4+ {[%allow false-check-sign reason]} e5")
    );
    assert!(after(titled("Correct the numbers")).contains("2. Bc4"));
    assert!(after(titled("standard notation")).contains("1. e4 e5"));
    let mended = after(titled("Mend all"));
    assert!(mended.contains("1. e4+ e5 2. Bc4"), "{mended}");
    let fix = offered
        .iter()
        .find(|action| {
            action["kind"] == "quickfix" && action["diagnostics"][0]["code"] == "false-check-sign"
        })
        .unwrap();
    assert!(
        offered.iter().any(|action| action["isPreferred"] == true),
        "{fix}"
    );
    // Only what was asked for.
    let only = actions(&mut client, &check["range"], &["source.fixAll"]).await;
    assert_eq!(only.len(), 1);
    assert_eq!(only[0]["kind"], "source.fixAll");
    // An allowance that was accepted takes the finding away.
    let accepted = after(titled("Accept this finding here (false-check-sign)"));
    client
        .notify(
            "textDocument/didChange",
            json!({"textDocument": {"uri": URI, "version": 2},
                   "contentChanges": [{"text": accepted}]}),
        )
        .await;
    let found = client.published(URI, 2).await;
    assert!(
        found
            .iter()
            .all(|found| found["code"] != "false-check-sign"),
        "{found:?}"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn completion_offers_legal_moves_tags_and_rules() {
    let mut client = lesson().await;
    let (line, column) = place("Qxf7#");
    let offered = client
        .at("textDocument/completion", URI, line, column + 1)
        .await;
    let labels: Vec<&str> = offered
        .as_array()
        .unwrap()
        .iter()
        .map(|item| item["label"].as_str().unwrap())
        .collect();
    assert_eq!(labels[0], "Qxf7#", "mate comes first");
    assert!(labels.contains(&"d3") && !labels.contains(&"Qf3+"));
    let board = offered[0]["documentation"]["value"].as_str().unwrap();
    assert!(board.contains("Black is mated"), "{board}");
    assert_eq!(
        offered[0]["textEdit"]["range"]["start"],
        json!({"line": line, "character": column})
    );
    // Tag names at the start of a line, rules in an allowance.
    client.edit(URI, 2, [7, 0, 7, 0], "[Wh").await;
    let tags = client.at("textDocument/completion", URI, 7, 3).await;
    assert!(
        tags.as_array()
            .unwrap()
            .iter()
            .any(|tag| tag["label"] == "[WhiteElo \"")
    );
    client.edit(URI, 3, [7, 0, 7, 3], "{[%allow fal").await;
    let rules = client.at("textDocument/completion", URI, 7, 12).await;
    assert!(
        rules
            .as_array()
            .unwrap()
            .iter()
            .any(|rule| rule["label"] == "false-mate-sign")
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn outline_folding_and_selection() {
    let mut client = lesson().await;
    let symbols = client
        .request(
            "textDocument/documentSymbol",
            json!({"textDocument": document()}),
        )
        .await;
    assert_eq!(symbols.as_array().unwrap().len(), 2);
    assert_eq!(symbols[0]["name"], "Ödön, A – Brück, B");
    assert_eq!(symbols[0]["children"][0]["name"], "3...g6");
    let folds = client
        .request(
            "textDocument/foldingRange",
            json!({"textDocument": document()}),
        )
        .await;
    let lines: Vec<(u64, u64, &str)> = folds
        .as_array()
        .unwrap()
        .iter()
        .map(|fold| {
            (
                fold["startLine"].as_u64().unwrap(),
                fold["endLine"].as_u64().unwrap(),
                fold["kind"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        lines,
        [
            (0, 10, "region"),
            (8, 9, "comment"),
            (9, 10, "region"),
            (12, 20, "region")
        ]
    );
    let (line, column) = place("Qf3 Nf6");
    let selected = client
        .request(
            "textDocument/selectionRange",
            json!({"textDocument": document(),
                   "positions": [{"line": line, "character": column}]}),
        )
        .await;
    let mut words = Vec::new();
    let mut next = &selected[0];
    while next.is_object() {
        words.push(next["range"].clone());
        next = &next["parent"];
    }
    assert_eq!(words[0], range("Qf3"));
    assert_eq!(words[1], range("4. Qf3"));
    assert!(words.len() >= 5, "{words:?}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn highlights_follow_the_piece_and_references_the_position() {
    let mut client = lesson().await;
    let (line, column) = place("Qxf7#");
    let marks = client
        .at("textDocument/documentHighlight", URI, line, column)
        .await;
    let marked: Vec<Value> = marks
        .as_array()
        .unwrap()
        .iter()
        .map(|mark| mark["range"].clone())
        .collect();
    assert_eq!(marked, [range("Qh5"), range("Qxf7#")]);
    // 1. e4 e5 comes up in both games.
    let (line, column) = place("e5 2. Bc4");
    let same = client
        .request(
            "textDocument/references",
            json!({"textDocument": document(), "context": {"includeDeclaration": true},
                   "position": {"line": line, "character": column}}),
        )
        .await;
    assert_eq!(same.as_array().unwrap().len(), 2);
    let (line, column) = place("game 2");
    let target = client
        .at("textDocument/definition", URI, line, column)
        .await;
    assert_eq!(target["range"]["start"]["line"], 16);
    let (line, column) = place("move 3");
    let target = client
        .at("textDocument/definition", URI, line, column + 5)
        .await;
    assert_eq!(target["range"], range("Qh5"));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn rename_goes_through_the_file() {
    let mut client = lesson().await;
    let (line, column) = place("Ödön");
    let prepared = client
        .at("textDocument/prepareRename", URI, line, column)
        .await;
    assert_eq!(prepared["placeholder"], "Ödön, A");
    let edit = client
        .request(
            "textDocument/rename",
            json!({"textDocument": document(), "newName": "Odo \"Q\"",
                   "position": {"line": line, "character": column}}),
        )
        .await;
    let after = applied(LESSON, &edit["documentChanges"][0]["edits"]);
    assert!(after.contains("[White \"Odo \\\"Q\\\"\"]") && after.contains("[Black \"Odo"));
    assert!(!after.contains("Ödön"));
    let id = client
        .post(
            "textDocument/rename",
            json!({"textDocument": document(), "newName": "x",
                   "position": {"line": 8, "character": 3}}),
        )
        .await;
    assert!(
        client.answer(id).await["error"]["message"]
            .as_str()
            .unwrap()
            .contains("player")
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn formatting_and_hints() {
    let mut client = lesson().await;
    let hints = client
        .request(
            "textDocument/inlayHint",
            json!({"textDocument": document(), "range": {
                "start": {"line": 0, "character": 0}, "end": {"line": 30, "character": 0}}}),
        )
        .await;
    let numbers: Vec<&str> = hints
        .as_array()
        .unwrap()
        .iter()
        .map(|hint| hint["label"].as_str().unwrap())
        .filter(|label| label.ends_with('.'))
        .collect();
    assert_eq!(numbers, ["2.", "4..."]);
    let edits = client
        .request(
            "textDocument/formatting",
            json!({"textDocument": document(), "options": {"tabSize": 4, "insertSpaces": true}}),
        )
        .await;
    let after = applied(LESSON, &edits);
    assert!(after.contains("2. Nf3 Nf6"), "{after}");
    assert!(after.contains("{A plan. See game 2 and\nmove 3.}"));
    let typed = client
        .request(
            "textDocument/onTypeFormatting",
            json!({"textDocument": document(), "ch": " ",
                   "position": {"line": 20, "character": 9},
                   "options": {"tabSize": 4, "insertSpaces": true}}),
        )
        .await;
    // A move follows already, so nothing is inserted.
    assert_eq!(typed, Value::Null);
    client.edit(URI, 2, [20, 8, 20, 200], " ").await;
    let typed = client
        .request(
            "textDocument/onTypeFormatting",
            json!({"textDocument": document(), "ch": " ",
                   "position": {"line": 20, "character": 9},
                   "options": {"tabSize": 4, "insertSpaces": true}}),
        )
        .await;
    assert_eq!(typed[0]["newText"], "2. ");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn lenses_tokens_symbols_and_commands() {
    let mut client = lesson().await;
    client.settle(Duration::from_millis(500)).await;
    let lenses = client
        .request("textDocument/codeLens", json!({"textDocument": document()}))
        .await;
    assert!(
        lenses[0]["command"]["title"]
            .as_str()
            .unwrap()
            .starts_with("11 half-moves"),
        "{lenses}"
    );
    let tokens = client
        .request(
            "textDocument/semanticTokens/full",
            json!({"textDocument": document()}),
        )
        .await;
    let data = tokens["data"].as_array().unwrap();
    assert_eq!(data.len() % 5, 0);
    // The first is the name of the first tag.
    assert_eq!(
        data[..5],
        [json!(0), json!(1), json!(5), json!(0), json!(0)]
    );
    // Moves of side-lines are told from those of the main line, by a type of their own.
    let (mut line, mut column) = (0, 0);
    let mut moves = [Vec::new(), Vec::new()];
    for token in data.chunks(5) {
        let [down, right, length, kind] = [0, 1, 2, 3].map(|at| token[at].as_u64().unwrap());
        line += down;
        column = if down == 0 { column + right } else { right };
        let written = LESSON.lines().nth(line as usize).unwrap();
        let word: String = written
            .chars()
            .skip(column as usize)
            .take(length as usize)
            .collect();
        match kind {
            3 => moves[0].push(word),
            9 => moves[1].push(word),
            _ => {}
        }
    }
    assert_eq!(moves[0][..3], ["e4", "e5", "Bc4"]);
    assert_eq!(moves[1], ["g6", "Qf3", "Nf6", "Ne2"]);
    let found = client
        .request("workspace/symbol", json!({"query": "brück ödön"}))
        .await;
    assert_eq!(found.as_array().unwrap().len(), 2);
    let (line, column) = place("Qxf7#");
    let place = json!({"line": line, "character": column});
    let board = client
        .request(
            "workspace/executeCommand",
            json!({"command": "gainsay.board", "arguments": [URI, place]}),
        )
        .await;
    assert!(board["svg"].as_str().unwrap().starts_with("<svg"));
    assert_eq!(board["move"], "4.Qxf7#");
    assert_eq!(board["check"], "e8");
    assert_eq!(board["lastMove"], json!(["h5", "f7"]));
    let fen = client
        .request(
            "workspace/executeCommand",
            json!({"command": "gainsay.fen", "arguments": [URI, place]}),
        )
        .await;
    // The final position of the four-move mate, from the rules alone.
    assert_eq!(
        fen,
        "r1bqkb1r/pppp1Qpp/2n2n2/4p3/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 0 4"
    );
    let all = client
        .request(
            "workspace/executeCommand",
            json!({"command": "gainsay.findings", "arguments": []}),
        )
        .await;
    assert_eq!(
        all[0]["diagnostics"].as_array().unwrap().len(),
        client.published[URI].1.len()
    );
    let counts = client
        .request(
            "workspace/executeCommand",
            json!({"command": "gainsay.counts", "arguments": [URI]}),
        )
        .await;
    let total: u64 = ["error", "warning", "information", "hint"]
        .iter()
        .map(|severity| counts["findings"][severity].as_u64().unwrap())
        .sum();
    assert_eq!(total, client.published[URI].1.len() as u64);
    assert!(counts["claims"]["holds"].is_u64(), "{counts}");
    client
        .request(
            "workspace/executeCommand",
            json!({"command": "gainsay.settleMore", "arguments": [URI, place]}),
        )
        .await;
    let id = client
        .post(
            "workspace/executeCommand",
            json!({"command": "gainsay.nothing"}),
        )
        .await;
    assert_eq!(client.answer(id).await["error"]["code"], -32602);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn pulled_diagnostics_are_told_unchanged() {
    let capabilities = json!({
        "workspace": {"diagnostics": {"refreshSupport": true}},
        "textDocument": {"diagnostic": {"dynamicRegistration": false}}
    });
    let mut client = Client::start_with(capabilities, Value::Null).await;
    client.open(URI, 1, "1. e4 Nh4 *\n").await;
    let first = client
        .request(
            "textDocument/diagnostic",
            json!({"textDocument": document()}),
        )
        .await;
    assert_eq!(first["kind"], "full");
    assert!(
        first["items"]
            .as_array()
            .unwrap()
            .iter()
            .any(|item| item["code"] == "illegal-move")
    );
    let second = client
        .request(
            "textDocument/diagnostic",
            json!({"textDocument": document(), "previousResultId": first["resultId"]}),
        )
        .await;
    assert_eq!(second["kind"], "unchanged");
    let all = client
        .request("workspace/diagnostic", json!({"previousResultIds": []}))
        .await;
    assert_eq!(all["items"][0]["uri"], URI);
    assert_eq!(client.publications, 0, "nothing is pushed to one who pulls");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_client_that_never_answers_is_served() {
    let capabilities = json!({
        "window": {"workDoneProgress": true},
        "workspace": {"configuration": true, "inlayHint": {"refreshSupport": true},
                      "codeLens": {"refreshSupport": true},
                      "didChangeWatchedFiles": {"dynamicRegistration": true}}
    });
    let mut client = Client::start_with(capabilities, Value::Null).await;
    client.answers = false;
    for version in 1..=200 {
        client
            .open(
                URI,
                version,
                &format!("1. e4 Nh4 {{mate in two}} *\n{version}\n"),
            )
            .await;
    }
    client.open(URI, 201, "1. Nh4 *\n").await;
    client.published(URI, 201).await;
    let questions = client
        .log
        .iter()
        .filter(|message| message.get("id").is_some() && message.get("method").is_some())
        .count();
    assert!(
        questions <= 6,
        "{questions} questions to one who never answers"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hints_are_asked_for_again_when_fewer_are_wanted() {
    let capabilities = json!({"workspace": {"inlayHint": {"refreshSupport": true}}});
    let mut client = Client::start_with(capabilities, Value::Null).await;
    client.open(URI, 1, LESSON).await;
    client.settle(Duration::from_millis(500)).await;
    let told = client.log.len();
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": {"hints": {"verdicts": false}}}),
        )
        .await;
    client.settle(Duration::from_millis(500)).await;
    let asked = client.log[told..]
        .iter()
        .any(|message| message["method"] == "workspace/inlayHint/refresh");
    assert!(asked, "{:?}", &client.log[told..]);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_picture_stands_in_place_of_the_board_of_letters() {
    for pictures in [true, false] {
        let mut client = Client::start_with(json!({}), json!({"pictures": pictures})).await;
        client.open(URI, 1, LESSON).await;
        client.published(URI, 1).await;
        let (line, column) = place("Qxf7#");
        let hover = client.at("textDocument/hover", URI, line, column).await;
        let told = hover["contents"]["value"].as_str().unwrap();
        assert_eq!(told.contains("](data:image/svg+xml,"), pictures, "{told}");
        assert_eq!(told.contains("8  r "), !pictures, "{told}");
        assert!(told.starts_with("**4.Qxf7#**"), "{told}");
        assert!(told.contains("Black is mated"), "{told}");
        client.stop().await;
    }
}
