//! Claims about other games of the book, while these are edited.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod client;

use client::Client;
use gainsay::{Format, Settings, check_as};
use serde_json::Value;

/// The findings that the server publishes, and those of the library, by their messages.
async fn messages(
    client: &mut Client,
    uri: &str,
    version: i64,
    text: &str,
    format: Format,
) -> [Vec<String>; 2] {
    client.all_settled(uri).await;
    client.settle(std::time::Duration::from_millis(200)).await;
    let published = client.published(uri, version).await;
    let about = |rule: &str| matches!(rule, "false-reference" | "lost-reference");
    let told = |found: &Value| {
        // The evidence comes behind the message.
        let message = found["message"].as_str().unwrap_or_default();
        message.lines().next().unwrap_or_default().to_owned()
    };
    let mut server: Vec<String> = (published.iter())
        .filter(|found| found["code"].as_str().is_some_and(about))
        .map(told)
        .collect();
    let report = check_as(text.as_bytes(), format, &Settings::default());
    let mut library: Vec<String> = (report.findings.into_iter())
        .filter(|finding| about(finding.rule.name))
        .map(|finding| finding.message)
        .collect();
    server.sort();
    library.sort();
    [server, library]
}

const BOOK: &str = "[Event \"Game 1\"]\n\n1. f3 e5 2. g4 Qh4# 0-1\n\n\
    [Event \"Game 2\"]\n\n1. e4 {In game 1 Black mated on move 2. See game 3 below.} e5 *\n\n\
    [Event \"Game 3\"]\n\n1. d4 d5 *\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_edit_settles_what_points_at_the_edited_game() {
    let mut client = Client::start().await;
    let uri = "file:///book/traps.pgn";
    client.open(uri, 1, BOOK).await;
    let [server, library] = messages(&mut client, uri, 1, BOOK, Format::Pgn).await;
    assert_eq!((server, library), (vec![], vec![]));
    // Another move in game 1: Black mates on move 3.
    client
        .edit(uri, 2, [2, 0, 2, 14], "1. f3 e5 2. a3 d6 3. g4")
        .await;
    let text = BOOK.replace("1. f3 e5 2. g4", "1. f3 e5 2. a3 d6 3. g4");
    let [server, library] = messages(&mut client, uri, 2, &text, Format::Pgn).await;
    assert_eq!(library, ["In game 1 Black mated by 3... Qh4#."]);
    assert_eq!(server, library);
    // Game 3 gets another number: nothing points at it any more.
    client.edit(uri, 3, [8, 13, 8, 14], "4").await;
    let text = text.replace("Game 3", "Game 4");
    let [server, library] = messages(&mut client, uri, 3, &text, Format::Pgn).await;
    assert_eq!(library.len(), 2);
    assert_eq!(server, library);
    // And back.
    client.edit(uri, 4, [8, 13, 8, 14], "3").await;
    client.edit(uri, 5, [2, 0, 2, 23], "1. f3 e5 2. g4").await;
    let [server, library] = messages(&mut client, uri, 5, BOOK, Format::Pgn).await;
    assert_eq!((server, library), (vec![], vec![]));
    client.stop().await;
}

const CHAPTER: &str = "## Game 1\n\n```pgn\n1. f3 e5 2. g4 Qh4# 0-1\n```\n\n## Game 2\n\n\
    ```pgn\n1. e4 {In game 1 Black mated on move 2.} e5 *\n```\n\nIn game 1 Black mated on move 2.\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_edit_of_a_heading_settles_what_points_at_its_game() {
    let mut client = Client::start().await;
    let uri = "file:///book/traps.md";
    client.open_as(uri, "markdown", 1, CHAPTER).await;
    let [server, library] = messages(&mut client, uri, 1, CHAPTER, Format::Markdown).await;
    assert_eq!((server, library), (vec![], vec![]));
    client.edit(uri, 2, [3, 9, 3, 9], "2. a3 d6 ").await;
    let text = CHAPTER.replace("e5 2. g4", "e5 2. a3 d6 2. g4");
    let [server, library] = messages(&mut client, uri, 2, &text, Format::Markdown).await;
    assert_eq!(library.len(), 2);
    assert_eq!(server, library);
    client.edit(uri, 3, [0, 8, 0, 9], "7").await;
    let text = text.replace("## Game 1", "## Game 7");
    let [server, library] = messages(&mut client, uri, 3, &text, Format::Markdown).await;
    assert_eq!((server, library), (vec![], vec![]));
    client.stop().await;
}

/// Which position a diagram's number means depends on the marks in other comments: the server
/// says after every edit what a fresh check says.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_mark_that_moves_settles_the_claim_about_its_diagram_again() {
    let text = |first: &str, second: &str| {
        format!(
            "1. e4 {{{first}}} e5 2. Qh5 Nc6 3. Bc4 Nf6 {{{second}}} 4. d3 d6 5. a3 a6 6. b3 b6 \
             7. Nf3 Nxh5 8. c3 h6 9. b4 g6 {{In diagram 1 White mates in one.}} *\n"
        )
    };
    let (late, early) = (text("-", "[diagram]"), text("[diagram]", "-"));
    let mut client = Client::start().await;
    let uri = "file:///marks.pgn";
    client.open(uri, 1, &late).await;
    let line = late.trim_end().len();
    let mut version = 1;
    for text in [&late, &early, &late, &early] {
        version += 1;
        client
            .edit(uri, version, [0, 0, 0, line], text.trim_end())
            .await;
        client.all_settled(uri).await;
        let report = check_as(text.as_bytes(), Format::Pgn, &Settings::default());
        let library = (report.findings.iter()).any(|found| found.rule.name == "false-mate");
        // What has not changed need not be published again, so that the last word counts.
        let mut server = None;
        for _ in 0..50 {
            client.settle(std::time::Duration::from_millis(100)).await;
            let published = client.published.get(uri).map(|(_, found)| found.iter());
            server = published.map(|mut found| found.any(|found| found["code"] == "false-mate"));
            if server == Some(library) {
                break;
            }
        }
        assert_eq!(server, Some(library), "version {version}");
        assert_eq!(library, *text == early, "version {version}");
    }
    client.stop().await;
}
