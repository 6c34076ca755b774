//! Broken messages: each is answered or survived, and the server's text stays the
//! client's.

mod client;

use client::{Client, outline};
use serde_json::{Value, json};

const URI: &str = "file:///frames/lesson.pgn";
const WRONG: &str = "1. e4 e5 2. Ke3 *\n";

fn frame(body: &[u8]) -> Vec<u8> {
    let mut frame = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    frame.extend(body);
    frame
}

/// The error of the next answer with this number.
async fn error(client: &mut Client, id: Value) -> i64 {
    loop {
        let message = client.read().await;
        if message.get("method").is_none() && message["id"] == id {
            return message["error"]["code"].as_i64().expect("an error");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_kind_of_broken_frame_is_survived() {
    let mut client = Client::start().await;
    client.open(URI, 1, WRONG).await;
    assert_eq!(client.published(URI, 1).await.len(), 1);
    let long = "x".repeat(10_000);
    let deep = format!("{}{}", "[".repeat(20_000), "]".repeat(20_000));
    let silent: [Vec<u8>; 9] = [
        b"nonsense\r\n\r\n".to_vec(),
        b"\r\n\r\n\r\n".to_vec(),
        b"Content-Length: many\r\n\r\n".to_vec(),
        b"Content-Length: -7\r\n\r\n".to_vec(),
        b"Content-Length: 99999999999999999999999\r\n\r\n".to_vec(),
        b"Content-Type: application/vscode-jsonrpc; charset=latin-1\r\n\r\n".to_vec(),
        b"\xff\xfe\x00 Content: \xe9\r\n\r\n".to_vec(),
        format!("X-Long: {long}\r\n\r\n").into_bytes(),
        // Notifications and answers that nobody knows.
        frame(br#"{"jsonrpc":"2.0","id":77,"result":{"a":[]}}"#),
    ];
    for bytes in &silent {
        client.raw(bytes).await;
    }
    let null = Value::Null;
    let answered: [(Vec<u8>, Value, i64); 14] = [
        (b"{\"a\": [".to_vec(), null.clone(), -32700),
        (b"".to_vec(), null.clone(), -32700),
        (b"\xff\xfe{}".to_vec(), null.clone(), -32700),
        (b"[]".to_vec(), null.clone(), -32600),
        (b"null".to_vec(), null.clone(), -32600),
        (b"17".to_vec(), null.clone(), -32600),
        (
            br#"[{"jsonrpc":"2.0","id":5,"method":"x"}]"#.to_vec(),
            null.clone(),
            -32600,
        ),
        (
            br#"{"jsonrpc":"1.0","id":601,"method":"a"}"#.to_vec(),
            json!(601),
            -32600,
        ),
        (br#"{"id":602,"method":"a"}"#.to_vec(), json!(602), -32600),
        (
            br#"{"jsonrpc":"2.0","id":[],"method":"a"}"#.to_vec(),
            null,
            -32600,
        ),
        (
            br#"{"jsonrpc":"2.0","id":603}"#.to_vec(),
            json!(603),
            -32600,
        ),
        (
            br#"{"jsonrpc":"2.0","id":604,"method":{"a":1}}"#.to_vec(),
            json!(604),
            -32600,
        ),
        (
            format!(r#"{{"jsonrpc":"2.0","id":605,"method":"a","params":{deep}}}"#).into_bytes(),
            json!(605),
            -32700,
        ),
        (
            br#"{"jsonrpc":"2.0","id":606,"method":"textDocument/hover","params":{"a":1}}"#
                .to_vec(),
            json!(606),
            -32602,
        ),
    ];
    for (body, id, code) in answered {
        client.raw(&frame(&body)).await;
        let told = error(&mut client, id).await;
        assert_eq!(
            told,
            code,
            "{}",
            String::from_utf8_lossy(&body[..body.len().min(80)])
        );
    }
    // A body that is longer than its header says, and the message behind it.
    client.raw(b"Content-Length: 2\r\n\r\n{}rest").await;
    assert_eq!(error(&mut client, Value::Null).await, -32600);
    client.edit(URI, 2, [0, 12, 0, 15], "Ke2").await;
    assert_eq!(client.published(URI, 2).await, [Value::Null; 0]);
    // A frame that the end of the input cuts.
    client.raw(b"Content-Length: 500\r\n\r\n{\"jsonrpc\"").await;
    client.vanish().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn requests_of_the_protocol_that_are_not_known_are_answered() {
    let mut client = Client::start().await;
    client.notify("$/unknown", json!({})).await;
    client.notify("unknown", json!({})).await;
    for method in ["$/unknown", "$/setTrace", "unknown"] {
        let id = client.post(method, json!({})).await;
        assert_eq!(error(&mut client, json!(id)).await, -32601, "{method}");
    }
    client.stop().await;
}

/// What the server finds in `text`, opened afresh under another name.
async fn afresh(client: &mut Client, text: &str) -> Vec<String> {
    let uri = "file:///frames/afresh.pgn";
    client.open(uri, 1, text).await;
    outline(&client.published(uri, 1).await)
}

#[tokio::test(flavor = "multi_thread")]
async fn halves_of_characters_and_bad_bytes_leave_the_text_the_clients() {
    let mut client = Client::start().await;
    let open = |uri: &str, text: &str| {
        format!(
            r#"{{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{{"textDocument":{{"uri":"{uri}","languageId":"pgn","version":1,"text":"{text}"}}}}}}"#
        )
    };
    // Half a character counts one column, as it does at the client's.
    let body = open(URI, r"{\ud83d\ud83d\ude00\ude00} 1. e4 e5 2. Ke3 *\n");
    client.raw(&frame(body.as_bytes())).await;
    let found = outline(&client.published(URI, 1).await);
    let wanted = "{\u{fffd}\u{1f600}\u{fffd}} 1. e4 e5 2. Ke3 *\n";
    assert!(!found.is_empty());
    assert_eq!(found, afresh(&mut client, wanted).await);

    let change = r#"{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"textDocument":{"uri":"file:///frames/lesson.pgn","version":2},"contentChanges":[{"range":{"start":{"line":0,"character":1},"end":{"line":0,"character":1}},"text":"\udfff 2. Ke3"}]}}"#;
    client.raw(&frame(change.as_bytes())).await;
    let found = outline(&client.published(URI, 2).await);
    let wanted = wanted.replacen('{', "{\u{fffd} 2. Ke3", 1);
    client
        .notify(
            "textDocument/didChange",
            json!({"textDocument": {"uri": "file:///frames/afresh.pgn", "version": 2},
                   "contentChanges": [{"text": wanted}]}),
        )
        .await;
    let fresh = client.published("file:///frames/afresh.pgn", 2).await;
    assert_eq!(found, outline(&fresh));

    // A file in Latin-1, sent as it lies on disk.
    let mut body = open("file:///frames/latin.pgn", "{caf@} 1. e4 e5 2. Ke3 *").into_bytes();
    let at = body.iter().position(|&byte| byte == b'@').expect("there");
    body[at] = 0xe9;
    client.raw(&frame(&body)).await;
    assert!(
        !client
            .published("file:///frames/latin.pgn", 1)
            .await
            .is_empty()
    );

    for body in [
        r#"{"jsonrpc":"2.0","id":701,"method":"textDocument/rename","params":{"textDocument":{"uri":"file:///frames/lesson.pgn"},"position":{"line":0,"character":30},"newName":"\ud800"}}"#.as_bytes(),
        b"{\"jsonrpc\":\"2.0\",\"id\":702,\"method\":\"textDocument/hover\",\"params\":{\"textDocument\":{\"uri\":\"file:///frames/lesson\xff.pgn\"},\"position\":{\"line\":0,\"character\":3}}}",
    ] {
        client.raw(&frame(body)).await;
    }
    let mut open = vec![701, 702];
    while !open.is_empty() {
        let message = client.read().await;
        open.retain(|id| message["id"] != *id || message.get("method").is_some());
    }
    client.stop().await;
}
