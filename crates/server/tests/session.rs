//! The server through a client: open, change, hover, close, and the ways of ending.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod client;

use std::time::Duration;

use client::{Buffer, Client, Dice, outline};
use gainsay_server::Ended;
use serde_json::{Value, json};

const URI: &str = "file:///book/column.pgn";

/// An invented game with a side-line, non-ASCII prose and one slip.
const COLUMN: &str = "[Event \"Café Zürich 😀\"]\n[Site \"?\"]\n[Date \"1921.03.??\"]\n[Round \"1\"]\n[White \"Ödön, A\"]\n[Black \"Brück, B\"]\n[Result \"1-0\"]\n\n1. e4 e5 2. Bc4 Nc6 {naïve} 3. Qh5 Nf6 (3... g6 4. Qf3 $1 Nf6) 4. Qxf7 1-0\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_missing_mate_sign_is_published_and_goes_when_mended() {
    let mut client = Client::start().await;
    client.open(URI, 1, COLUMN).await;
    let found = client.published(URI, 1).await;
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["code"], "missing-mate-sign");
    assert_eq!(found[0]["source"], "gainsay");
    assert_eq!(found[0]["range"]["start"]["line"], 8);
    client.edit(URI, 2, [8, 70, 8, 70], "#").await;
    assert_eq!(client.published(URI, 2).await, Vec::<Value>::new());
    // A change that changes no finding is not published again.
    let before = client.publications;
    client.edit(URI, 3, [8, 0, 8, 0], " ").await;
    client.at("textDocument/hover", URI, 8, 4).await;
    client.settle(Duration::from_millis(300)).await;
    assert_eq!(client.publications, before);
    assert_eq!(client.stop().await, Ended::Properly);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn closing_takes_the_findings_away() {
    let mut client = Client::start().await;
    client.open(URI, 1, COLUMN).await;
    assert_eq!(client.published(URI, 1).await.len(), 1);
    client
        .notify(
            "textDocument/didClose",
            json!({"textDocument": {"uri": URI}}),
        )
        .await;
    client.settle(Duration::from_millis(300)).await;
    assert_eq!(client.published[URI], (None, Vec::new()));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hover_shows_the_board_of_a_side_line() {
    let mut client = Client::start().await;
    client.open(URI, 1, COLUMN).await;
    let line = COLUMN.lines().nth(8).unwrap();
    let column = line.find("Qf3").unwrap() - "ï".len() + 1;
    let hover = client.at("textDocument/hover", URI, 8, column).await;
    let text = hover["contents"]["value"].as_str().unwrap();
    assert!(text.contains("**4.Qf3**"), "{text}");
    assert!(text.contains("6  · : n : · : p :"), "{text}");
    assert!(text.contains("Black to move · material is even"), "{text}");
    assert_eq!(hover["range"]["start"]["character"], column);
    // The glyph behind it.
    let glyph = client.at("textDocument/hover", URI, 8, column + 5).await;
    assert!(
        glyph["contents"]["value"]
            .as_str()
            .unwrap()
            .contains("a good move"),
        "{glyph}"
    );
    // A tag, and a place with nothing to tell.
    let tag = client.at("textDocument/hover", URI, 3, 3).await;
    assert!(
        tag["contents"]["value"]
            .as_str()
            .unwrap()
            .contains("the round")
    );
    assert_eq!(
        client.at("textDocument/hover", URI, 7, 0).await,
        Value::Null
    );
    // Places outside are clamped, documents that are not open are nothing.
    client
        .at("textDocument/hover", URI, 4_000_000_000, 4_000_000_000)
        .await;
    let other = client
        .at("textDocument/hover", "file:///other.pgn", 0, 0)
        .await;
    assert_eq!(other, Value::Null);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn columns_are_bytes_where_the_client_counts_bytes() {
    let capabilities = json!({"general": {"positionEncodings": ["utf-16", "utf-8"]}});
    let mut client = Client::start_with(capabilities, Value::Null).await;
    let encoding = &client.log[0]["result"]["capabilities"]["positionEncoding"];
    assert_eq!(*encoding, json!("utf-8"));
    let text = "1. e4 {naïve 😀} e5 2. Ke3 *\n";
    client.open(URI, 1, text).await;
    let found = client.published(URI, 1).await;
    let illegal = found
        .iter()
        .find(|found| found["code"] == "illegal-move")
        .unwrap();
    assert_eq!(
        illegal["range"]["start"]["character"],
        json!(text.find("Ke3").unwrap())
    );
    client.edit(URI, 2, [0, 27, 0, 30], "Nf3").await;
    let found = client.published(URI, 2).await;
    assert!(
        found.iter().all(|found| found["code"] != "illegal-move"),
        "{found:?}"
    );
    client.stop().await;
}

/// What an author types, with characters of one to four bytes.
const TYPED: &[&str] = &[
    "é",
    "😀",
    "♞",
    "a",
    " ",
    "\n",
    "\r\n",
    "e4",
    "Nf3",
    "Ke3",
    "Qh5#",
    "{",
    "}",
    "(",
    ")",
    "1.",
    "$4",
    "[Event \"ß\"]\n",
    "1-0",
    "*",
    "; naïve\n",
    "Bc4 {mate in two} ",
    "0-0",
    "\r",
    "",
    "",
];

/// The findings of a text through a server that never saw another one.
async fn fresh(text: &str) -> Vec<String> {
    let mut client = Client::start().await;
    client.open(URI, 1, text).await;
    client.published(URI, 1).await;
    client.settle(Duration::from_millis(400)).await;
    let found = outline(&client.published[URI].1);
    client.stop().await;
    found
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_thousand_rapid_edits_end_as_a_fresh_check() {
    let mut client = Client::start().await;
    let mut buffer = Buffer::new(&COLUMN.repeat(4));
    client.open(URI, 0, &buffer.text()).await;
    let mut dice = Dice(0x5eed);
    let mut undo: Vec<Buffer> = Vec::new();
    for version in 1..=2_000 {
        if version % 97 == 0 && !undo.is_empty() {
            // Everything back as it was some edits ago.
            buffer = undo.swap_remove(dice.below(undo.len()));
            client
                .notify(
                    "textDocument/didChange",
                    json!({"textDocument": {"uri": URI, "version": version},
                           "contentChanges": [{"text": buffer.text()}]}),
                )
                .await;
            continue;
        }
        let start = buffer.anywhere(&mut dice);
        let mut end = start;
        for _ in 0..dice.below(4) {
            end = (end + 1).min(buffer.units.len());
        }
        // Whole characters only.
        while end > start
            && end < buffer.units.len()
            && ((0xdc00..0xe000).contains(&buffer.units[end])
                || (buffer.units[end] == 0x0a && buffer.units[end - 1] == 0x0d))
        {
            end -= 1;
        }
        let new = if buffer.units.len() > 4_000 {
            ""
        } else {
            *dice.pick(TYPED)
        };
        // A line end must not come together from two edits: the columns of what
        // stands between CR and LF belong to no line.
        let (from, to) = (buffer.place(start), buffer.place(end));
        client
            .edit(URI, version, [from.0, from.1, to.0, to.1], new)
            .await;
        if version % 50 == 0 {
            undo.push(buffer.clone());
        }
        buffer.replace(start..end, new);
        // A client reads now and then; the server must not need it to.
        if version % 10 == 0 {
            while client.read_within(Duration::from_micros(1)).await.is_some() {}
        }
    }
    // The last edit makes a finding that no text before had.
    let version = 2_001;
    client
        .edit(URI, version, [0, 0, 0, 0], "1. e4 Nh4 {last} *\n")
        .await;
    buffer.replace(0..0, "1. e4 Nh4 {last} *\n");
    client.published(URI, version).await;
    client.settle(Duration::from_millis(400)).await;
    let ours = outline(&client.published[URI].1);
    assert!(!ours.is_empty());
    assert_eq!(ours, fresh(&buffer.text()).await);
    // The same as the core library says of the same text, by count.
    let report = gainsay::check(buffer.text().as_bytes(), &gainsay::Settings::default());
    assert_eq!(ours.len(), report.findings.len());
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn garbage_does_not_end_the_session() {
    let mut client = Client::start().await;
    client.raw(b"Content-Length: 7\r\n\r\n{\"a\": [").await;
    client.raw(b"Content-Length: 2\r\n\r\n\xff\xfe").await;
    client.notify("no/such/notification", json!({"x": 1})).await;
    client
        .notify("textDocument/didChange", json!({"nonsense": true}))
        .await;
    let id = client.post("no/such/request", json!(null)).await;
    let answer = client.answer(id).await;
    assert_eq!(answer["error"]["code"], -32601);
    client.open(URI, 1, COLUMN).await;
    assert_eq!(client.published(URI, 1).await.len(), 1);
    assert_eq!(client.stop().await, Ended::Properly);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_client_that_vanishes_ends_the_server() {
    let mut client = Client::start().await;
    client.open(URI, 1, COLUMN).await;
    assert_eq!(client.vanish().await, Ended::Abruptly);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn wrong_settings_are_told_and_right_ones_taken() {
    let mut client = Client::start_with(
        json!({}),
        json!({"nodes": -1, "rules": {"missing-mate-sign": "error"}}),
    )
    .await;
    client.open(URI, 1, COLUMN).await;
    let found = client.published(URI, 1).await;
    assert_eq!(found[0]["severity"], 1);
    let told = client
        .log
        .iter()
        .find(|message| message["method"] == "window/showMessage")
        .expect("a complaint");
    assert!(
        told["params"]["message"]
            .as_str()
            .unwrap()
            .contains("nodes")
    );
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": {"gainsay": {"rules": {"missing-mate-sign": "off"}}}}),
        )
        .await;
    client.settle(Duration::from_millis(400)).await;
    assert_eq!(client.published[URI].1, Vec::<Value>::new());
    client.stop().await;
}
