//! Findings are accepted where they stand, in every format.

mod client;

use client::Client;
use serde_json::{Value, json};

/// What is found in a version once every claim has its verdict.
async fn found_in(client: &mut Client, uri: &str, version: i64) -> Vec<Value> {
    client.published(uri, version).await;
    client.all_settled(uri).await;
    client.settle(std::time::Duration::from_millis(100)).await;
    client.published(uri, version).await
}

async fn change(client: &mut Client, uri: &str, version: i64, text: &str) {
    client
        .notify(
            "textDocument/didChange",
            json!({"textDocument": {"uri": uri, "version": version},
                   "contentChanges": [{"text": text}]}),
        )
        .await;
}

/// Accepting a finding takes it away, in every format, and leaves the others.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn findings_are_accepted_in_every_format() {
    let text = "A lesson.\n\n```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n\
                Black mates in one,\nas a pupil said.\n\nThe rook stands on a2.\n";
    for (name, text) in [
        ("chapter.md", text.to_owned()),
        (
            "chapter.txt",
            "A lesson.\n\n1. f3 e5 2. g4 Qh4# 0-1\n\nAfter 2.g4 White mates\nin one, he said.\n\n\
             Worse is 2.g4 Qg5#.\n"
                .to_owned(),
        ),
        (
            "a.epd",
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2 ;\n6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 3;\n"
                .to_owned(),
        ),
        (
            "b.epd",
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - c0 \"Black mates in one.\"; bm Kd2;\n".to_owned(),
        ),
        (
            "c.epd",
            "8/8 w - -\n6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2;\n".to_owned(),
        ),
        (
            "a.tex",
            "\\board{6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1}\n\nBlack \\emph{mates in one.}\n\nMore.\n".to_owned(),
        ),
        (
            "a.adoc",
            "[fen]\n----\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n----\n\nBlack *mates in one.*\n\nMore.\n"
                .to_owned(),
        ),
        (
            "a.pgn",
            "{Odd} 1. e4+ e5 (1... c5 2. Ke3) 2. Ke2 {Black mates in one.} *\n".to_owned(),
        ),
    ] {
        let mut client = Client::start().await;
        let uri = format!("file:///allow/{name}");
        let language = match name.rsplit('.').next() {
            Some("md") => "markdown",
            Some("txt") => "plaintext",
            Some("tex") => "latex",
            Some("adoc") => "asciidoc",
            Some(other) => other,
            None => "",
        };
        client.open_as(&uri, language, 1, &text).await;
        let found = found_in(&mut client, &uri, 1).await;
        assert!(!found.is_empty(), "{name} has findings");
        for (at, finding) in found.iter().enumerate() {
            let version = at as i64 + 2;
            let code = finding["code"].as_str().unwrap();
            let offered = client.actions(&uri, &finding["range"]).await;
            let title = format!("Accept this finding here ({code})");
            let accept = offered
                .iter()
                .find(|action| action["title"] == title.as_str());
            if code == "broken-epd" {
                assert_eq!(accept, None, "{name}");
                continue;
            }
            let accept = accept.unwrap_or_else(|| panic!("{name}: {title} in {offered:#?}"));
            let edits = &accept["edit"]["changes"][&uri];
            let accepted = client::applied(&text, edits);
            change(&mut client, &uri, 2 * version, &accepted).await;
            let rest = found_in(&mut client, &uri, 2 * version).await;
            let codes = |found: &[Value]| {
                let codes = found
                    .iter()
                    .map(|found| found["code"].as_str().unwrap().to_owned());
                let mut codes: Vec<String> = codes.collect();
                codes.sort();
                codes
            };
            let mut expected = codes(&found);
            expected.remove(expected.iter().position(|known| known == code).unwrap());
            assert_eq!(codes(&rest), expected, "{name}: {accepted}");
            change(&mut client, &uri, 2 * version + 1, &text).await;
            found_in(&mut client, &uri, 2 * version + 1).await;
        }
        client.stop().await;
    }
}
