//! Settings: from the client, from the settings file, and wrong ones.

mod client;

use std::time::Duration;

use client::Client;
use serde_json::{Value, json};

const URI: &str = "file:///book/lesson.pgn";

/// A client that gives these settings when it is asked for them.
async fn asking_for(settings: Value) -> Client {
    let mut client = Client::connect();
    client.configuration = settings;
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": null,
                   "capabilities": {"workspace": {"configuration": true}}}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    client
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn settings_come_from_the_client_when_it_is_asked() {
    let mut client = asking_for(json!({"rules": {"illegal-move": "warning"}})).await;
    client.open(URI, 1, "1. e4 Nh4 *\n").await;
    client.settle(Duration::from_millis(500)).await;
    let severity = |client: &Client| {
        client.published[URI]
            .1
            .iter()
            .find(|found| found["code"] == "illegal-move")
            .map(|found| found["severity"].clone())
    };
    assert_eq!(severity(&client), Some(json!(2)));
    client.configuration = json!({"rules": {"illegal-move": "off"}});
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": null}),
        )
        .await;
    client.settle(Duration::from_millis(500)).await;
    assert_eq!(severity(&client), None);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_settings_file_is_read_and_read_again() {
    let folder = std::env::temp_dir().join(format!("gainsay-settings-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("gainsay.toml");
    std::fs::write(&file, "[rules]\nillegal-move = \"hint\"\n").unwrap();
    let mut client = Client::connect();
    let root = format!("file://{}", folder.display());
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": root, "capabilities": {},
                   "workspaceFolders": [{"uri": root, "name": "book"}]}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    client.open(URI, 1, "1. e4 Nh4 *\n").await;
    let found = client.published(URI, 1).await;
    let illegal = |found: &[Value]| found.iter().find(|f| f["code"] == "illegal-move").cloned();
    assert_eq!(illegal(&found).unwrap()["severity"], 4);
    std::fs::write(&file, "[rules]\nillegal-move = \"off\"\n").unwrap();
    client.watched([(format!("{root}/gainsay.toml"), 2)]).await;
    client.settle(Duration::from_millis(500)).await;
    assert_eq!(illegal(&client.published[URI].1), None);
    std::fs::remove_dir_all(&folder).unwrap();
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_the_author_sets_goes_before_the_file_key_by_key() {
    let folder = client::Folder::new("layers");
    let file = "pictures = false\n[rules]\nillegal-move = \"hint\"\nmissing-result = \"off\"\n";
    std::fs::write(folder.0.join("gainsay.toml"), file).unwrap();
    let uri = format!("{}/lesson.pgn", folder.uri());
    // What an extension takes for granted is weaker than the file.
    let options = json!({"rules": {"missing-roster-tag": "error"},
                         "defaults": {"pictures": true, "rules": {"illegal-move": "off"}}});
    let mut client = Client::start_in(&folder, options).await;
    client.open(&uri, 1, "[Event \"A\"]\n\n1. e4 Nh4\n").await;
    let found = client.published(&uri, 1).await;
    let severity = |rule: &str| {
        let found = found.iter().find(|found| found["code"] == rule);
        found.map(|found| found["severity"].clone())
    };
    assert_eq!(severity("missing-roster-tag"), Some(json!(1)));
    assert_eq!(severity("illegal-move"), Some(json!(4)));
    assert_eq!(severity("missing-result"), None);
    let hover = client.at("textDocument/hover", &uri, 2, 3).await;
    assert!(!hover.to_string().contains("data:image"), "{hover}");
    std::fs::write(folder.0.join("gainsay.toml"), "").unwrap();
    let changed = format!("{}/gainsay.toml", folder.uri());
    client.watched([(changed, 2)]).await;
    client.settle(Duration::from_millis(500)).await;
    let hover = client.at("textDocument/hover", &uri, 2, 3).await;
    assert!(hover.to_string().contains("data:image"), "{hover}");
    client.stop().await;
}

/// Sentences that were not understood are shown faintly to who asks for it, and go with the edit
/// that mends them.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_not_understood_is_shown_on_demand() {
    for wanted in [false, true] {
        let mut client = asking_for(json!({"hints": {"unread": wanted}})).await;
        let faint = |client: &Client| -> Vec<Value> {
            let found = client.published[URI].1.iter();
            found
                .filter(|found| found["code"] == "unread")
                .cloned()
                .collect()
        };
        client
            .open(URI, 1, "1. e4 {The queen sulks on h8.} e5 *\n")
            .await;
        client.settle(Duration::from_millis(500)).await;
        let shown = faint(&client);
        assert_eq!(shown.len(), usize::from(wanted), "{shown:?}");
        if let Some(shown) = shown.first() {
            assert_eq!(
                (&shown["severity"], &shown["tags"]),
                (&json!(4), &json!([1]))
            );
            assert_eq!(shown["range"]["start"]["character"], 7);
            let message = shown["message"].as_str().expect("a message");
            assert!(message.contains("sulks"), "{message}");
        }
        client
            .notify(
                "textDocument/didChange",
                json!({"textDocument": {"uri": URI, "version": 2}, "contentChanges": [{
                    "range": {"start": {"line": 0, "character": 7},
                              "end": {"line": 0, "character": 29}},
                    "text": "Well played"}]}),
            )
            .await;
        client.settle(Duration::from_millis(500)).await;
        assert_eq!(faint(&client), Vec::<Value>::new());
        client.stop().await;
    }
}

/// What a list of known findings knows is shown as a hint, and as what it is once the list is gone.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn known_findings_are_hints() {
    let folder = client::Folder::new("known");
    let text = "1. e4+ e5 2. Ke2 {White mates in one.} *\n";
    let report = gainsay::check(text.as_bytes(), &gainsay::Settings::default());
    let mut list = "{\"known\":1}\n".to_owned();
    for found in &report.findings {
        let line = json!({"file": "lesson.pgn", "rule": found.rule.name, "words": "",
                          "print": found.fingerprint.to_string()});
        list.push_str(&format!("{line}\n"));
    }
    std::fs::write(folder.0.join("known.jsonl"), list).unwrap();
    std::fs::write(folder.0.join("gainsay.toml"), "known = \"known.jsonl\"\n").unwrap();
    let uri = format!("{}/lesson.pgn", folder.uri());
    let mut client = Client::start_in(&folder, Value::Null).await;
    // One that is new, behind those that are known.
    let text = text.replace("*", "Ke7 3. Ke5 *");
    client.open(&uri, 1, &text).await;
    client.published(&uri, 1).await;
    client.all_settled(&uri).await;
    client.settle(Duration::from_millis(300)).await;
    let severities = |client: &Client| -> Vec<(String, i64)> {
        let found = client.published[&uri].1.iter();
        let one = |found: &Value| {
            let code = found["code"].as_str().unwrap().to_owned();
            (code, found["severity"].as_i64().unwrap())
        };
        found.map(one).collect()
    };
    let of = |known: i64| {
        [
            ("false-check-sign", known),
            ("false-mate", known),
            ("illegal-move", 1),
        ]
        .map(|(code, severity)| (code.to_owned(), severity))
        .to_vec()
    };
    assert_eq!(severities(&client), of(4));
    std::fs::write(folder.0.join("known.jsonl"), "{\"known\":1}\n").unwrap();
    let changed = format!("{}/known.jsonl", folder.uri());
    client.watched([(changed, 2)]).await;
    client.settle(Duration::from_millis(500)).await;
    assert_eq!(severities(&client), of(1));
    client.stop().await;
}
