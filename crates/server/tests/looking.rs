//! What an author sees and where it leads: hovers, completions, hints, lenses, places.

mod client;

use std::{fs, time::Duration};

use client::{Client, Folder, applied, range_of};
use serde_json::{Value, json};

const URI: &str = "file:///book/lesson.pgn";

/// An invented game; the third move transposes to the position of the second game.
const LESSON: &str = "[White \"Ödön\"]
[Black \"Brück\"]
[Date \"1921.03.01\"]

1. e4 e5 2. Nf3 Nc6 3. Bc4 {The square f7 is weak, and White threatens mate in one.} *

[White \"Brück\"]
[Black \"Ödön\"]

1. e4 e5 2. Bc4 Nc6 3. Nf3 *
";

async fn open(text: &str, options: Value) -> Client {
    let mut client = Client::start_with(json!({}), options).await;
    client.open(URI, 1, text).await;
    client.published(URI, 1).await;
    client.all_settled(URI).await;
    client
}

async fn at(client: &mut Client, method: &str, text: &str, words: &str) -> Value {
    let place = &range_of(text, words)["start"];
    let number = |key: &str| place[key].as_u64().expect("a number") as usize;
    client
        .at(method, URI, number("line"), number("character"))
        .await
}

async fn hints(client: &mut Client) -> Vec<String> {
    let hints = client
        .request(
            "textDocument/inlayHint",
            json!({"textDocument": {"uri": URI}, "range": {
                "start": {"line": 0, "character": 0}, "end": {"line": 50, "character": 0}}}),
        )
        .await;
    hints
        .as_array()
        .expect("a list")
        .iter()
        .map(|hint| hint["label"].as_str().expect("a label").to_owned())
        .collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hovers_tell_of_squares_claims_findings_and_show_pictures() {
    let mut client = open(LESSON, json!({"pictures": true})).await;
    let told = |hover: &Value| {
        hover["contents"]["value"]
            .as_str()
            .expect("text")
            .to_owned()
    };
    let square = told(&at(&mut client, "textDocument/hover", LESSON, "f7 is").await);
    assert!(square.contains("**f7**: a black pawn"), "{square}");
    // Worked out by hand: only the bishop looks at f7, only the king covers it.
    assert!(
        square.contains("f7 is defended by Ke8, attacked by Bc4"),
        "{square}"
    );
    assert!(square.contains("](data:image/svg+xml,"), "{square}");
    let moved = told(&at(&mut client, "textDocument/hover", LESSON, "Bc4 {").await);
    assert!(moved.contains("![board](data:image/svg+xml,") && moved.contains("Black to move"));
    let claim = told(&at(&mut client, "textDocument/hover", LESSON, "mate in one").await);
    assert!(
        claim.contains("fails") || claim.contains("unsettled"),
        "{claim}"
    );
    client.stop().await;

    let text = "1. e4 Nh4 *\n";
    let mut client = open(text, Value::Null).await;
    let rule = told(&at(&mut client, "textDocument/hover", text, "Nh4").await);
    assert!(rule.contains("The rule *illegal-move*"), "{rule}");
    assert!(!rule.contains("data:image"), "{rule}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn completion_knows_numbers_squares_names_and_dates() {
    let mut client = open(LESSON, Value::Null).await;
    let labels = |offered: &Value| -> Vec<(String, u64)> {
        let items = offered.as_array().expect("a list");
        items
            .iter()
            .map(|item| {
                let label = item["label"].as_str().expect("a label").to_owned();
                (label, item["kind"].as_u64().expect("a kind"))
            })
            .collect()
    };
    // A letter of a file in a comment: its squares (kind 21, constant).
    client.edit(URI, 2, [4, 32, 4, 32], "e ").await;
    let squares = client.at("textDocument/completion", URI, 4, 33).await;
    assert_eq!(labels(&squares).len(), 8, "{squares}");
    assert_eq!(labels(&squares)[3], ("e4".to_owned(), 21));
    client.edit(URI, 3, [4, 32, 4, 34], "").await;
    // Names that the file knows, behind the quote of a tag; dates in the same way.
    let names = client.at("textDocument/completion", URI, 6, 8).await;
    assert!(
        labels(&names).iter().any(|(label, _)| label == "Brück"),
        "{names}"
    );
    client.edit(URI, 4, [6, 0, 6, 0], "[Date \"\n").await;
    let dates = client.at("textDocument/completion", URI, 6, 7).await;
    let dates: Vec<String> = labels(&dates).into_iter().map(|(label, _)| label).collect();
    assert_eq!(dates, ["????.??.??", "1921.03.01"]);
    client.edit(URI, 5, [6, 0, 7, 0], "").await;
    // Behind Black's move the number comes first (kind 11, unit), then moves (2, method).
    let line = LESSON
        .lines()
        .position(|line| line.ends_with("3. Nf3 *"))
        .expect("a line");
    client.edit(URI, 6, [line, 27, line, 28], "").await;
    client.edit(URI, 7, [line, 26, line, 26], " Nf6 ").await;
    let moves = client.at("textDocument/completion", URI, line, 31).await;
    let moves = labels(&moves);
    assert_eq!(moves[0], ("4.".to_owned(), 11), "{moves:?}");
    assert!(moves.contains(&("O-O".to_owned(), 2)), "{moves:?}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn completion_in_comments_offers_what_can_be_cited() {
    let labels = |offered: &Value| -> Vec<String> {
        let items = offered.as_array().expect("a list").iter();
        let labels = items.map(|item| item["label"].as_str().expect("a label").to_owned());
        labels.collect()
    };
    let text = "1. e4 e5 2. Nf3 Nc6 {Better is 2...N and 2...d6 3. and 1. and move 7. here} 3. Bb5 \
                {[%allow ille} a6 {the bi} *\n";
    let mut client = open(text, Value::Null).await;
    let mut offered = async |words: &str, behind: usize| {
        let start = range_of(text, words)["start"]["character"]
            .as_u64()
            .expect("a number");
        let column = start as usize + behind;
        labels(&client.at("textDocument/completion", URI, 0, column).await)
    };
    // What the game goes on with comes first, and all can be played there.
    let black = offered("2...N and", 5).await;
    assert_eq!(black[0], "Nc6");
    assert!(
        black.contains(&"Nf6".to_owned()) && !black.contains(&"Nf3".to_owned()),
        "{black:?}"
    );
    // Behind a cited move it is the position that move leads to.
    let white = offered("3. and", 2).await;
    assert!(white.contains(&"Bb5+".to_owned()), "{white:?}");
    assert_eq!(offered("1. and", 2).await[0], "e4");
    // A number that the game does not have offers nothing; nor does a blank among words.
    assert_eq!(offered("7. here", 2).await, Vec::<String>::new());
    assert_eq!(offered("is 2...N", 0).await, Vec::<String>::new());
    assert!(
        offered("ille}", 4)
            .await
            .contains(&"illegal-move".to_owned())
    );
    let words = offered("bi}", 2).await;
    assert!(words.contains(&"bishop".to_owned()) && !words.contains(&"Bb5".to_owned()));
    client.stop().await;

    // In the prose of a manuscript no tags are offered, and moves behind those that it cites.
    let text = "```pgn\n1. e4 e5 *\n```\n\nAfter 1.e4 c5 2. he won.\n";
    let mut client = Client::start().await;
    client.open_as(URI, "markdown", 1, text).await;
    let moves = labels(&client.at("textDocument/completion", URI, 4, 16).await);
    assert!(moves.contains(&"Nf3".to_owned()), "{moves:?}");
    let word = labels(&client.at("textDocument/completion", URI, 4, 0).await);
    assert_eq!(word, Vec::<String>::new());
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn columns_are_scalars_for_who_likes_them_best() {
    for (offered, agreed, column) in [
        (json!(["utf-32", "utf-16"]), "utf-32", 9),
        (json!(["utf-16", "utf-32"]), "utf-16", 10),
        (json!(["utf-32", "utf-8"]), "utf-8", 12),
    ] {
        let mut client = Client::connect();
        let capabilities = json!({"general": {"positionEncodings": offered}});
        let told = client
            .request(
                "initialize",
                json!({"processId": null, "rootUri": null, "capabilities": capabilities}),
            )
            .await;
        assert_eq!(told["capabilities"]["positionEncoding"], agreed);
        client.notify("initialized", json!({})).await;
        client.open(URI, 1, "{an 😀} 1. e4 Ke5 *\n").await;
        let board = client
            .command("gainsay.board", json!([URI, {"line": 0, "character": 0}]))
            .await;
        assert_eq!(board["move"], Value::Null);
        let place = json!({"line": 0, "character": column - 2});
        let step = client
            .command("gainsay.step", json!([URI, place, "next"]))
            .await;
        assert_eq!(step["position"]["character"], column + 1, "{offered}");
        client.stop().await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_name_cannot_become_empty() {
    let mut client = open(LESSON, Value::Null).await;
    for name in ["", " ", "\n"] {
        let params = json!({"textDocument": {"uri": URI}, "newName": name,
                            "position": range_of(LESSON, "Ödön")["start"]});
        let id = client.post("textDocument/rename", params).await;
        let answer = client.answer(id).await;
        let complaint = answer["error"]["message"].as_str().expect("an error");
        assert!(complaint.contains("cannot be empty"), "{answer}");
    }
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hints_can_be_switched_off_one_by_one() {
    let text = "1. f3 e5 g4 Qh4# {This is mate.} *\n\n1. e4 {This is mate.} *\n";
    for (options, expected) in [
        // What holds is shown only to who asks for it.
        (Value::Null, vec!["2.", "✗ fails"]),
        (
            json!({"hints": {"verdicts": "failures"}}),
            vec!["2.", "✗ fails"],
        ),
        (
            json!({"hints": {"verdicts": "all"}}),
            vec!["2.", "✓", "✗ fails"],
        ),
        (json!({"hints": {"numbers": false}}), vec!["✗ fails"]),
        (json!({"hints": {"verdicts": "none"}}), vec!["2."]),
        (json!({"hints": {"verdicts": false}}), vec!["2."]),
        (
            json!({"hints": {"verdicts": true}}),
            vec!["2.", "✓", "✗ fails"],
        ),
        (json!({"hints": false}), vec![]),
    ] {
        let mut client = open(text, options).await;
        assert_eq!(hints(&mut client).await, expected);
        // Switching them later reads nothing again, and is seen at once.
        client
            .notify(
                "workspace/didChangeConfiguration",
                json!({"settings": {"gainsay": {"hints": true}}}),
            )
            .await;
        assert_eq!(hints(&mut client).await, ["2.", "✓", "✗ fails"]);
        client.stop().await;
    }
}

/// Where the hints stand, as the text with them in it.
async fn with_hints(text: &str) -> String {
    let options = json!({"hints": {"verdicts": "all", "numbers": text.contains("e4e5")}});
    let mut client = open(text, options).await;
    let shown = client
        .request(
            "textDocument/inlayHint",
            json!({"textDocument": {"uri": URI}, "range": {
                "start": {"line": 0, "character": 0}, "end": {"line": 50, "character": 0}}}),
        )
        .await;
    client.stop().await;
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for hint in shown.as_array().expect("a list").iter().rev() {
        let place = |key: &str| hint["position"][key].as_u64().expect("a number") as usize;
        let label = hint["label"].as_str().expect("a label");
        // The text is in ASCII.
        lines[place("line")].insert_str(place("character"), &format!("<{label}>"));
    }
    lines.join("\n")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hints_stand_behind_whole_words_and_lines() {
    // Claims within a cited line are shown behind it; several that end there as one.
    let text = "1. f3 e5 2. g4 {Now 2...Qh4# is mate.} Qh4# 0-1\n";
    assert_eq!(
        with_hints(text).await,
        "1. f3 e5 2. g4 {Now 2...Qh4#<✓> is mate<✓>.} Qh4# 0-1"
    );
    // A glyph behind the move belongs to it, and moves without a blank between them are one word.
    let text = "1. f3 e5 2. g4 {After 2...Qh4#! White is mated.} Qh4# 0-1\n\n1.e4e5Nf3 *\n";
    let shown = with_hints(text).await;
    assert!(shown.contains("2...Qh4#!<✓>"), "{shown}");
    assert!(shown.contains("1.e4e5Nf3"), "{shown}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hovers_on_claims_say_things_once() {
    let text = "1. e4 e5 2. Qh5? {Threatens mate in one.} Nc6 3. Bc4 g6?? {White mates in one.} *\n\n\
                1. f3 $6 e5 2. g4?? {The only\nlegal move.} Qh4# 0-1\n";
    let mut client = open(text, Value::Null).await;
    let told = |hover: &Value| {
        hover["contents"]["value"]
            .as_str()
            .expect("text")
            .to_owned()
    };
    // A glyph that is a claim keeps its meaning.
    let glyph = told(&at(&mut client, "textDocument/hover", text, "?? {The").await);
    assert!(
        glyph.starts_with("**holds** “??”: a very poor move"),
        "{glyph}"
    );
    // What fails says why, the moves once, its cost last and never called "nodes" before.
    let only = told(&at(&mut client, "textDocument/hover", text, "only").await);
    assert!(
        only.starts_with("**fails** “only legal move”\n\n"),
        "{only}"
    );
    let (verdict, rule) = only.split_once("\n\n---\n\n").expect("a rule");
    assert!(rule.starts_with("The rule *not-the-only-move*"), "{rule}");
    let last = verdict.split("\n\n").last().expect("a detail");
    assert!(last.starts_with("Read as *only-move*"), "{verdict}");
    assert!(!verdict.contains("`2. "), "{verdict}");
    assert!(!verdict.replace(last, "").contains("node"), "{verdict}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn ten_times_the_budget_changes_a_verdict() {
    // With so few nodes the mate is not found, with ten times as many it is.
    let text =
        "[SetUp \"1\"]\n[FEN \"7k/8/R7/1R6/8/8/8/K7 w - - 0 1\"]\n\n{White mates in two.} *\n";
    let mut client = open(text, json!({"nodes": 10, "hints": {"verdicts": "all"}})).await;
    let ask = json!({"textDocument": {"uri": URI}});
    let lenses = client.request("textDocument/codeLens", ask.clone()).await;
    let more = &lenses[1]["command"];
    assert_eq!(
        more["title"], "settle with ten times the budget",
        "{lenses}"
    );
    assert_eq!(hints(&mut client).await, ["? unsettled"]);
    let (command, arguments) = (more["command"].clone(), more["arguments"].clone());
    let mut rounds = 0;
    while hints(&mut client).await == ["? unsettled"] {
        rounds += 1;
        assert!(rounds < 4, "never settled");
        client
            .command(command.as_str().expect("a name"), arguments.clone())
            .await;
        client.all_settled(URI).await;
    }
    assert_eq!(hints(&mut client).await, ["✓"]);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_transposition_leads_to_where_the_position_came_first() {
    let mut client = open(LESSON, Value::Null).await;
    let target = at(&mut client, "textDocument/definition", LESSON, "Nf3 *").await;
    let first = range_of(LESSON, "Bc4 {");
    assert_eq!(target["range"]["start"], first["start"]);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_name_is_changed_in_files_that_are_not_open() {
    let folder = Folder::new("names");
    let other = "[White \"Brück\"]\n[Black \"Ödön\"]\n\n1. d4 *\n";
    fs::write(folder.0.join("other.pgn"), other).expect("written");
    fs::write(folder.0.join("none.pgn"), "[White \"Nobody\"]\n\n1. d4 *\n").expect("written");
    let mut client = Client::connect();
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": folder.uri(),
                   "capabilities": {"workspace": {"workspaceEdit": {"documentChanges": true}}}}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    client.open(URI, 7, LESSON).await;
    let place = range_of(LESSON, "Ödön")["start"].clone();
    let edit = client
        .request(
            "textDocument/rename",
            json!({"textDocument": {"uri": URI}, "position": place, "newName": "Odo"}),
        )
        .await;
    let changes = edit["documentChanges"].as_array().expect("a list");
    assert_eq!(changes.len(), 2, "{changes:#?}");
    assert_eq!(
        changes[0]["textDocument"],
        json!({"uri": URI, "version": 7})
    );
    let closed = &changes[1];
    assert_eq!(
        closed["textDocument"],
        json!({"uri": format!("{}/other.pgn", folder.uri()), "version": null})
    );
    assert_eq!(
        applied(other, &closed["edits"]),
        other.replace("Ödön", "Odo")
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn progress_is_shown_and_can_be_cancelled() {
    let mut client = Client::start_with(
        json!({"window": {"workDoneProgress": true}}),
        json!({"nodes": 2_000_000_000_u64}),
    )
    .await;
    // A quiet middlegame, where a mate in six is not settled soon.
    let text = "[SetUp \"1\"]\n[FEN \"r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/1PN1PN2/PB3PPP/R2QKB1R w KQ - 0 9\"]\n\n9. Bd3 {White has a forced mate in six.} *\n";
    client.open(URI, 1, text).await;
    let token = loop {
        let message = client.read().await;
        if message["method"] == "$/progress" {
            assert_eq!(message["params"]["value"]["kind"], "begin");
            assert_eq!(message["params"]["value"]["cancellable"], true);
            break message["params"]["token"].clone();
        }
    };
    assert_eq!(
        client.command("gainsay.counts", json!([URI])).await["settling"],
        true
    );
    client
        .notify("window/workDoneProgress/cancel", json!({"token": token}))
        .await;
    let counts = client.all_settled(URI).await;
    assert_eq!(counts["claims"]["holds"], 0);
    loop {
        let message = client.read().await;
        if message["method"] == "$/progress" && message["params"]["value"]["kind"] == "end" {
            break;
        }
    }
    client.settle(Duration::from_millis(50)).await;
    client.stop().await;
}

/// The words that semantic tokens tell, with the names of their types.
fn words(text: &str, legend: &Value, tokens: &Value) -> Vec<(String, String)> {
    let numbers = tokens["data"].as_array().expect("numbers");
    let (mut line, mut column, mut end) = (0, 0, (0, 0));
    let mut words = Vec::new();
    for token in numbers.chunks(5) {
        let [down, right, length, kind] =
            [0, 1, 2, 3].map(|at| token[at].as_u64().expect("a number") as usize);
        line += down;
        column = if down == 0 { column + right } else { right };
        assert!((line, column) >= end, "tokens overlap in line {line}");
        end = (line, column + length);
        let written: Vec<u16> = text
            .lines()
            .nth(line)
            .expect("a line")
            .encode_utf16()
            .collect();
        let word = String::from_utf16(&written[column..column + length]).expect("characters");
        words.push((word, legend[kind].as_str().expect("a name").to_owned()));
    }
    words
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn cited_moves_have_a_type_of_their_own() {
    let text = "1. f3 e5 2. g4 {😀 Now 2...Qh4# is mate, and\n2...d5 is none. Mate with 2...Qh4# \
                ends it.} (2. e4 {Über 2...Nf6}) Qh4# 0-1\n";
    let mut client = Client::start().await;
    let legend =
        client.log[0]["result"]["capabilities"]["semanticTokensProvider"]["legend"]["tokenTypes"]
            .clone();
    client.open(URI, 1, text).await;
    client.all_settled(URI).await;
    let asked = json!({"textDocument": {"uri": URI}});
    let tokens = client
        .request("textDocument/semanticTokens/full", asked)
        .await;
    let words = words(text, &legend, &tokens);
    let of = |kind: &str| -> Vec<&str> {
        let of = words.iter().filter(|(_, known)| known == kind);
        of.map(|(word, _)| word.as_str()).collect()
    };
    assert_eq!(of("citedMove"), ["Qh4#", "d5", "Qh4#", "Nf6"]);
    assert_eq!(of("function"), ["f3", "e5", "g4", "Qh4#"]);
    assert_eq!(of("variable"), ["e4"]);
    // A claim around a move is told in pieces, and not as a comment.
    let claims = of("macro").concat();
    assert!(claims.contains("is mate"), "{claims}");
    assert!(!claims.contains("Qh4"), "{claims}");
    assert!(of("comment").iter().any(|word| word.contains("Über")));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_cited_move_leads_to_where_it_is_played() {
    let text = "1. e4 e5 2. Bc4 Nc6 3. Qh5 Nf6 {Über: better was 3...g6 4.Qf3 Nd4, but not 4.Qxf7+.} \
                (3... g6 4. Qf3 Nf6) 4. Qxf7# 1-0\n";
    let mut client = Client::start().await;
    client.open(URI, 1, text).await;
    client.published(URI, 1).await;
    for (words, within, target) in [
        ("3...g6 4.Qf3", 0, "g6 4. Qf3 Nf6"),
        ("3...g6 4.Qf3", 5, "g6 4. Qf3 Nf6"),
        ("4.Qf3 Nd4", 2, "Qf3 Nf6"),
        // It is not played anywhere: what is played instead at that move. The game ends
        // with White's fourth move, so that there is nothing.
        ("Nd4, but", 0, ""),
        ("4.Qxf7+", 3, "Qxf7# 1-0"),
    ] {
        let start = range_of(text, words)["start"].clone();
        let column = start["character"].as_u64().expect("a number") as usize + within;
        let found = client.at("textDocument/definition", URI, 0, column).await;
        if target.is_empty() {
            assert_eq!(found, Value::Null, "{words}: {found}");
        } else {
            let wanted = range_of(text, target)["start"].clone();
            assert_eq!(found["range"]["start"], wanted, "{words} + {within}");
        }
    }
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn moves_are_offered_in_the_letters_of_the_game() {
    let text = "[Event \"?\"]\n\n1. e4 e5 2. Sf3 Sc6 3. Lb5 a6 4. La4 Sf6 5. O-O Le7 6. Te1 b5 *\n";
    let mut client = Client::start().await;
    client.open(URI, 1, text).await;
    client.published(URI, 1).await;
    let start = range_of(text, "Te1 b5")["start"].clone();
    let column = start["character"].as_u64().expect("a number") as usize;
    let offered = client.at("textDocument/completion", URI, 2, column).await;
    let labels: Vec<&str> = offered
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|item| item["label"].as_str())
        .collect();
    // The knight is S, the bishop L, the rook T and the queen D; what the game goes
    // on with comes first, then captures.
    for wanted in ["Sxe5", "Lxc6", "Te1", "De2"] {
        assert!(labels.contains(&wanted), "{labels:?}");
    }
    assert_eq!(labels[0], "Te1");
    assert!(labels[1..3].contains(&"Sxe5"), "{labels:?}");
    assert!(
        !labels
            .iter()
            .any(|label| label.starts_with(['N', 'B', 'R', 'Q']))
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn formatting_says_why_it_does_nothing() {
    let options = json!({"tabSize": 4, "insertSpaces": true});
    for (text, told) in [
        (
            "[Event \"A\"]\n\n1.e2-e4 e7-e5 *\n\n\n[Event \"B\"]\n\n1. e4 Ke4 *\n",
            false,
        ),
        ("\n[Event \"B\"]\n\n1. e4 Ke4 *\n", true),
        ("1. e4 e5 *\n", false),
    ] {
        let mut client = open(text, Value::Null).await;
        let ask = json!({"textDocument": {"uri": URI}, "options": options});
        let edits = client.request("textDocument/formatting", ask).await;
        client.settle(Duration::from_millis(200)).await;
        let messages: Vec<&str> = client
            .log
            .iter()
            .filter(|message| message["method"] == "window/showMessage")
            .map(|message| message["params"]["message"].as_str().expect("words"))
            .collect();
        if told {
            assert_eq!(edits, json!([]));
            assert!(
                messages[0].contains("on line 2 a move cannot be read"),
                "{messages:?}"
            );
        } else {
            assert_eq!(messages, Vec::<&str>::new(), "{text}");
        }
        client.stop().await;
    }
}

/// A move and the comments that cite it lead to each other.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn cited_moves_are_references() {
    let mut client = Client::start().await;
    let text =
        "{Soon 2.Qh5 comes.} 1. e4 e5 2. Qh5 Nc6 {After 2. Qh5? Black holds, or 2...g6?} *\n";
    client.open(URI, 1, text).await;
    client.published(URI, 1).await;
    let expected: Vec<usize> = text.match_indices("Qh5").map(|(at, _)| at).collect();
    for at in &expected {
        let found = client
            .request(
                "textDocument/references",
                json!({"textDocument": {"uri": URI}, "context": {"includeDeclaration": true},
                       "position": {"line": 0, "character": at}}),
            )
            .await;
        let found: Vec<usize> = (found.as_array().unwrap().iter())
            .map(|place| place["range"]["start"]["character"].as_u64().unwrap() as usize)
            .collect();
        assert_eq!(found, expected, "at {at}");
    }
    client.stop().await;
}
