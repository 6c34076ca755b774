//! Folders, files that come and go, and buffers without a file.

mod client;

use std::{fs, time::Duration};

use client::{Client, Folder};
use serde_json::{Value, json};

const SLIP: &str = "1. e4 Nh4 *\n";

/// The severity of the illegal move that a document has.
fn severity(client: &Client, uri: &str) -> Option<u64> {
    let found = &client.published.get(uri)?.1;
    let illegal = found.iter().find(|found| found["code"] == "illegal-move")?;
    illegal["severity"].as_u64()
}

async fn start(folders: &[&Folder], capabilities: Value, scoped: &[(&Folder, Value)]) -> Client {
    let mut client = Client::connect();
    for (folder, value) in scoped {
        client.scoped.insert(folder.uri(), value.clone());
    }
    let folders: Vec<Value> = folders
        .iter()
        .map(|folder| json!({"uri": folder.uri(), "name": "book"}))
        .collect();
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": null, "capabilities": capabilities,
                   "workspaceFolders": folders}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    client
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_folder_has_its_settings() {
    let (one, two) = (Folder::new("one"), Folder::new("two"));
    let inner = Folder(two.0.join("inner"));
    fs::create_dir_all(&inner.0).expect("a folder");
    fs::write(
        one.0.join("gainsay.toml"),
        "[rules]\nillegal-move = \"hint\"\n",
    )
    .expect("written");
    fs::write(
        two.0.join("gainsay.toml"),
        "[rules]\nillegal-move = \"warning\"\n",
    )
    .expect("written");
    let mut client = start(&[&one, &two], json!({}), &[]).await;
    let uris = [&one, &two, &inner].map(|folder| format!("{}/a.pgn", folder.uri()));
    for uri in &uris {
        client.open(uri, 1, SLIP).await;
        client.published(uri, 1).await;
    }
    let all = |client: &Client| uris.each_ref().map(|uri| severity(client, uri));
    assert_eq!(all(&client), [Some(4), Some(2), Some(2)]);
    // A file that changes concerns its folder alone.
    fs::write(
        two.0.join("gainsay.toml"),
        "[rules]\nillegal-move = \"off\"\n",
    )
    .expect("written");
    let changed = json!({"changes": [{"uri": format!("{}/gainsay.toml", two.uri()), "type": 2}]});
    client
        .notify("workspace/didChangeWatchedFiles", changed)
        .await;
    client
        .until(|client| all(client) == [Some(4), None, None])
        .await;
    // A folder that comes later, inside of another.
    fs::write(
        inner.0.join("gainsay.toml"),
        "[rules]\nillegal-move = \"information\"\n",
    )
    .expect("written");
    client
        .notify(
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": [{"uri": inner.uri(), "name": "inner"}], "removed": []}}),
        )
        .await;
    client
        .until(|client| all(client) == [Some(4), None, Some(3)])
        .await;
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_editor_is_asked_for_the_settings_of_every_folder() {
    let (one, two) = (Folder::new("one"), Folder::new("two"));
    let rules = |level: &str| json!({"rules": {"illegal-move": level}});
    let mut client = start(
        &[&one, &two],
        json!({"workspace": {"configuration": true}}),
        &[(&one, rules("hint")), (&two, rules("warning"))],
    )
    .await;
    let uris = [&one, &two].map(|folder| format!("{}/a.pgn", folder.uri()));
    for uri in &uris {
        client.open(uri, 1, SLIP).await;
    }
    let all = |client: &Client| uris.each_ref().map(|uri| severity(client, uri));
    client
        .until(|client| all(client) == [Some(4), Some(2)])
        .await;
    client.scoped.insert(two.uri(), rules("off"));
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": null}),
        )
        .await;
    client.until(|client| all(client) == [Some(4), None]).await;
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_renamed_document_takes_along_what_is_known() {
    let mut client = Client::start().await;
    let text = "1. e4 Nh4 {White mates in one.} *\n";
    client.open("file:///book/old/a.pgn", 1, text).await;
    client.open("file:///book/older.pgn", 1, SLIP).await;
    client.published("file:///book/old/a.pgn", 1).await;
    client.published("file:///book/older.pgn", 1).await;
    let counts = client.all_settled("file:///book/old/a.pgn").await;
    client
        .notify(
            "workspace/didRenameFiles",
            json!({"files": [{"oldUri": "file:///book/old", "newUri": "file:///book/new"}]}),
        )
        .await;
    let found = |client: &Client, uri: &str| {
        let published = client.published.get(uri);
        published.map(|(_, found)| found.len())
    };
    client
        .until(|client| found(client, "file:///book/old/a.pgn") == Some(0))
        .await;
    client
        .until(|client| found(client, "file:///book/new/a.pgn").is_some())
        .await;
    let moved = found(&client, "file:///book/new/a.pgn");
    assert!(moved > Some(0));
    assert!(found(&client, "file:///book/older.pgn") > Some(0));
    assert_eq!(client.all_settled("file:///book/new/a.pgn").await, counts);
    // Edits of the new address are edits of the same document.
    client
        .edit("file:///book/new/a.pgn", 2, [0, 6, 0, 9], "e5")
        .await;
    client.published("file:///book/new/a.pgn", 2).await;
    client.all_settled("file:///book/new/a.pgn").await;
    client.settle(Duration::from_millis(300)).await;
    // The illegal move has gone, and the claim is told instead.
    let after = client.published["file:///book/new/a.pgn"].1.clone();
    assert!(
        after.iter().all(|found| found["code"] != "illegal-move"),
        "{after:?}"
    );
    // A client that closes and opens instead changes nothing of it.
    client
        .notify(
            "textDocument/didClose",
            json!({"textDocument": {"uri": "file:///book/old/a.pgn"}}),
        )
        .await;
    client.settle(Duration::from_millis(100)).await;
    assert_eq!(found(&client, "file:///book/new/a.pgn"), Some(after.len()));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_deleted_file_has_no_findings() {
    let capabilities = json!({
        "workspace": {"diagnostics": {"refreshSupport": true}},
        "textDocument": {"diagnostic": {}}
    });
    for pulls in [false, true] {
        let capabilities = if pulls {
            capabilities.clone()
        } else {
            json!({})
        };
        let mut client = Client::start_with(capabilities, Value::Null).await;
        let uris = ["file:///book/a.pgn", "file:///book/b.pgn"];
        for uri in uris {
            client.open(uri, 1, SLIP).await;
            client.all_settled(uri).await;
        }
        client.settle(Duration::from_millis(200)).await;
        let ask = |known: Value| json!({"previousResultIds": known});
        let before = client.request("workspace/diagnostic", ask(json!([]))).await;
        let known: Vec<Value> = before["items"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|item| json!({"uri": item["uri"], "value": item["resultId"]}))
            .collect();
        assert_eq!(known.len(), 2);
        client.log.clear();
        client
            .notify(
                "workspace/didDeleteFiles",
                json!({"files": [{"uri": uris[0]}]}),
            )
            .await;
        if pulls {
            // The client is told to ask again.
            let refreshes = |message: &Value| message["method"] == "workspace/diagnostic/refresh";
            client
                .until(|client| client.log.iter().any(refreshes))
                .await;
        } else {
            client
                .until(|client| client.published[uris[0]].1.is_empty())
                .await;
            assert_ne!(client.published[uris[1]].1, Vec::<Value>::new());
        }
        let after = client
            .request("workspace/diagnostic", ask(json!(known)))
            .await;
        let items = after["items"].as_array().expect("a list");
        let of = |uri: &str| items.iter().find(|item| item["uri"] == uri).expect("told");
        assert_eq!(of(uris[0])["items"], json!([]));
        assert_eq!(of(uris[1])["kind"], "unchanged");
        client.stop().await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_language_of_an_unsaved_buffer_says_how_it_is_read() {
    let mut client = Client::start().await;
    let line = "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n";
    let manuscript = format!("Prose.\n\n```epd\n{line}```\n");
    for (language, text, holds) in [
        ("epd", line, 1),
        ("fen", line, 1),
        ("markdown", manuscript.as_str(), 1),
        (
            "plaintext",
            "Prose.\n\n1. f3 e5 2. g4 Qh4# {This is mate.} 0-1\n",
            1,
        ),
        ("pgn", "1. f3 e5 2. g4 Qh4# {This is mate.} 0-1\n", 1),
    ] {
        let uri = format!("untitled:{language}");
        client.open_as(&uri, language, 1, text).await;
        let counts = client.all_settled(&uri).await;
        assert_eq!(counts["claims"]["holds"], holds, "{language}: {counts}");
        assert_eq!(counts["findings"]["error"], 0, "{language}: {counts}");
    }
    client.stop().await;
}
