//! The board at a place, and stepping from move to move, in games, comments and prose.

mod client;

use client::{Client, range_of};
use serde_json::{Value, json};

const URI: &str = "file:///book/chapter.md";

/// An invented chapter.
const CHAPTER: &str = "# The Hasty Queen

The queen comes out early.

```pgn
1. e4 e5 2. Bc4 Nc6 {Better is 2...Nf6 3.d3 (or 3.d4 exd4 4.e5) and Black is fine.} 3. Qh5 Nf6 (3... g6 4. Qf3 Nf6) 4. Qxf7# 1-0
```

After 3.Qh5 Black should have played 3...g6 4.Qf3 Nf6, which defends.

Nothing is said here.

```fen
6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
```

Here 1.Ra8# is mate.
";

async fn start() -> Client {
    let mut client = Client::start().await;
    client.open_as(URI, "markdown", 1, CHAPTER).await;
    client
}

/// What is told at the first place of some words.
async fn told(client: &mut Client, command: &str, words: &str, direction: Option<&str>) -> Value {
    let place = range_of(CHAPTER, words)["start"].clone();
    let mut arguments = vec![json!(URI), place];
    arguments.extend(direction.map(|direction| json!(direction)));
    client.command(command, json!(arguments)).await
}

/// The moves that steps lead to, until there is none.
async fn way(client: &mut Client, words: &str, direction: &str) -> Vec<String> {
    let mut step = told(client, "gainsay.step", words, Some(direction)).await;
    let mut moves = Vec::new();
    while !step.is_null() {
        moves.push(step["move"].as_str().unwrap_or("start").to_owned());
        assert!(moves.len() < 20, "{moves:?}");
        let arguments = json!([URI, step["position"], direction]);
        step = client.command("gainsay.step", arguments).await;
    }
    moves
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_board_is_never_blank() {
    let mut client = start().await;
    for (words, expected) in [
        // Before the first block: the game that comes.
        ("# The", "start"),
        ("The queen", "start"),
        ("2...Nf6", "2...Nf6"),
        ("exd4 4", "3...exd4"),
        ("and Black is", "2...Nc6"),
        ("Qf3 Nf6)", "4.Qf3"),
        // What the paragraph speaks of, and the move that is cited.
        ("should have", "3.Qh5"),
        ("3...g6", "3...g6"),
        ("Qf3 Nf6,", "4.Qf3"),
        // A paragraph that speaks of nothing keeps what stands before it.
        ("Nothing", "4.Qxf7#"),
        ("6k1", "start"),
        ("Here", "start"),
        ("Ra8#", "1.Ra8#"),
    ] {
        let board = told(&mut client, "gainsay.board", words, None).await;
        let name = board["move"].as_str().unwrap_or("start");
        assert_eq!(name, expected, "{words}: {board}");
    }
    let here = told(&mut client, "gainsay.board", "Here", None).await;
    assert_eq!(here["fen"], "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1");
    let mate = told(&mut client, "gainsay.board", "Ra8#", None).await;
    assert_eq!(mate["text"][0], "8 [R]: · : · : k :");
    assert_eq!(mate["lastMove"], json!(["a1", "a8"]));
    assert_eq!(mate["check"], "g8");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn steps_follow_the_line_at_the_cursor() {
    let mut client = start().await;
    for (words, direction, expected) in [
        (
            "1. e4",
            "next",
            &[
                "1.e4", "1...e5", "2.Bc4", "2...Nc6", "3.Qh5", "3...Nf6", "4.Qxf7#",
            ][..],
        ),
        (
            "Qxf7",
            "previous",
            &[
                "3...Nf6", "3.Qh5", "2...Nc6", "2.Bc4", "1...e5", "1.e4", "start",
            ],
        ),
        ("Qxf7", "start", &["start"]),
        ("1. e4", "end", &["4.Qxf7#"]),
        // A side-line, and back to where it leaves the game.
        ("3... g6", "next", &["3...g6", "4.Qf3", "4...Nf6"]),
        ("4. Qf3", "end", &["4...Nf6"]),
        // From the words of a comment the game goes on; along a cited line it does not.
        ("Better", "next", &["3.Qh5", "3...Nf6", "4.Qxf7#"]),
        ("2...Nf6", "next", &["3.d3"]),
        ("4.e5", "previous", &["3...exd4", "3.d4"]),
        ("4.e5", "start", &["3.d4"]),
        // In prose too; its words lead to the next move that they cite.
        ("3...g6", "next", &["4.Qf3", "4...Nf6"]),
        ("3...g6", "end", &["4...Nf6"]),
        ("After", "next", &["3.Qh5"]),
        ("6k1", "next", &[]),
    ] {
        assert_eq!(
            way(&mut client, words, direction).await,
            expected,
            "{words}"
        );
    }
    let place = range_of(CHAPTER, "1. e4")["start"].clone();
    let id = client
        .post(
            "workspace/executeCommand",
            json!({"command": "gainsay.step", "arguments": [URI, place, "sideways"]}),
        )
        .await;
    let answer = client.answer(id).await;
    let complaint = answer["error"]["message"].as_str().expect("an error");
    assert!(complaint.contains("\"previous\""), "{answer}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hovers_show_the_board_behind_a_cited_move() {
    let mut client = start().await;
    client.all_settled(URI).await;
    let place = range_of(CHAPTER, "Ra8#")["start"].clone();
    let ask = json!({"textDocument": {"uri": URI}, "position": place});
    let hover = client.request("textDocument/hover", ask).await;
    let told = hover["contents"]["value"].as_str().expect("text");
    assert!(told.starts_with("**1.Ra8#**"), "{told}");
    assert!(told.contains("Black is mated"), "{told}");
    assert!(told.contains("**holds** “1.Ra8#”"), "{told}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn words_lead_to_moves_games_and_diagrams() {
    let text = CHAPTER.replace("Nothing is said here.", "See game 1, Diagram 1 and game 9.");
    let mut client = Client::start().await;
    client.open_as(URI, "markdown", 1, &text).await;
    client.all_settled(URI).await;
    let line_of = |words: &str| {
        range_of(&text, words)["start"]["line"]
            .as_u64()
            .expect("a line")
    };
    let links = client
        .request(
            "textDocument/documentLink",
            json!({"textDocument": {"uri": URI}}),
        )
        .await;
    let led: Vec<(Value, String)> = links
        .as_array()
        .expect("a list")
        .iter()
        .map(|link| {
            (
                link["range"].clone(),
                link["target"].as_str().expect("a place").to_owned(),
            )
        })
        .collect();
    let expected = [("game 1", "1. e4"), ("Diagram 1", "6k1")].map(|(words, target)| {
        (
            range_of(&text, words),
            format!("{URI}#L{}", line_of(target) + 1),
        )
    });
    assert_eq!(led, expected);
    for (words, target) in [
        ("Diagram 1", "6k1"),
        // The move of the side-line, and what is played in the stead of one that is not played.
        ("3...g6", "g6 4. Qf3"),
        ("Qf3 Nf6,", "Qf3 Nf6)"),
        ("3.Qh5 Black", "Qh5 Nf6 (3"),
    ] {
        let ask =
            json!({"textDocument": {"uri": URI}, "position": range_of(&text, words)["start"]});
        let found = client.request("textDocument/definition", ask).await;
        assert_eq!(
            found["range"]["start"],
            range_of(&text, target)["start"],
            "{words}"
        );
    }
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn positions_have_an_outline() {
    let uri = "file:///book/exercises.epd";
    let text = "6k1/5ppp/8/8/8/8/8/R3K3 w - - id \"The back rank\";\n\n8/8/8/8/8/8/8/K1k5 w - -\n";
    let mut client = Client::start().await;
    client.open_as(uri, "epd", 1, text).await;
    let symbols = client
        .request(
            "textDocument/documentSymbol",
            json!({"textDocument": {"uri": uri}}),
        )
        .await;
    let names: Vec<&str> = symbols
        .as_array()
        .expect("a list")
        .iter()
        .map(|symbol| symbol["name"].as_str().expect("a name"))
        .collect();
    assert_eq!(names, ["The back rank", "Position 2"]);
    client.stop().await;
}
