//! Settings: from the client, from the settings file, and wrong ones.

mod client;

use std::time::Duration;

use client::Client;
use serde_json::{Value, json};

const URI: &str = "file:///book/lesson.pgn";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn settings_come_from_the_client_when_it_is_asked() {
    let mut client = Client::connect();
    client.configuration = json!({"rules": {"illegal-move": "warning"}});
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": null,
                   "capabilities": {"workspace": {"configuration": true}}}),
        )
        .await;
    client.notify("initialized", json!({})).await;
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
    client
        .notify(
            "workspace/didChangeWatchedFiles",
            json!({"changes": [{"uri": format!("{root}/gainsay.toml"), "type": 2}]}),
        )
        .await;
    client.settle(Duration::from_millis(500)).await;
    assert_eq!(illegal(&client.published[URI].1), None);
    std::fs::remove_dir_all(&folder).unwrap();
    client.stop().await;
}
