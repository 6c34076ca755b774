//! Semantic tokens: what changed since the last answer makes the same as asking for all, and lines
//! of positions have theirs.

mod client;

use client::{Buffer, Client, Dice};
use serde_json::{Value, json};

const URI: &str = "file:///book/lesson.pgn";

async fn full(client: &mut Client, uri: &str) -> Value {
    client
        .request(
            "textDocument/semanticTokens/full",
            json!({"textDocument": {"uri": uri}}),
        )
        .await
}

fn numbers(data: &Value) -> Vec<u64> {
    let data = data.as_array().expect("a list").iter();
    data.map(|number| number.as_u64().expect("a number"))
        .collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn changes_make_the_same_as_all() {
    let mut client = Client::start().await;
    let mut buffer = Buffer::new(
        "[White \"Osk\"]\n\n1. e4 {White has a pawn on e4.} e5 (1... c5 2. Nf3!) 2. Nf3 Nc6 *\n",
    );
    client.open(URI, 1, &buffer.text()).await;
    let first = full(&mut client, URI).await;
    let mut id = first["resultId"].as_str().expect("a name").to_owned();
    let mut known = numbers(&first["data"]);
    let mut dice = Dice(7);
    for version in 2..40 {
        let at = buffer.anywhere(&mut dice);
        let text = *dice.pick(&["{so}", " 3. Bb5", "\n", "(", "e4", ""]);
        let end = buffer.whole((at + dice.below(4)).min(buffer.units.len()));
        let [start, end] = [at, end.max(at)];
        let [from, to] = [start, end].map(|at| buffer.place(at));
        client
            .edit(URI, version, [from.0, from.1, to.0, to.1], text)
            .await;
        buffer.replace(start..end, text);
        client.all_settled(URI).await;
        let delta = client
            .request(
                "textDocument/semanticTokens/full/delta",
                json!({"textDocument": {"uri": URI}, "previousResultId": id}),
            )
            .await;
        let edits = delta["edits"].as_array().expect("edits, not all");
        assert!(edits.len() <= 1);
        for edit in edits {
            let start = edit["start"].as_u64().expect("a number") as usize;
            let count = edit["deleteCount"].as_u64().expect("a number") as usize;
            let data = edit.get("data").map(numbers).unwrap_or_default();
            known.splice(start..start + count, data);
        }
        delta["resultId"]
            .as_str()
            .expect("a name")
            .clone_into(&mut id);
        let all = full(&mut client, URI).await;
        assert_eq!(known, numbers(&all["data"]), "{}", buffer.text());
        all["resultId"]
            .as_str()
            .expect("a name")
            .clone_into(&mut id);
    }
    // A name that is not known any more gets all.
    let all = client
        .request(
            "textDocument/semanticTokens/full/delta",
            json!({"textDocument": {"uri": URI}, "previousResultId": "no"}),
        )
        .await;
    assert_eq!(numbers(&all["data"]), known);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn lines_of_positions_are_coloured() {
    let mut client = Client::start().await;
    let uri = "file:///book/a.epd";
    let text =
        "# Mates\n6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra8#; dm 1; c0 \"White mates in one.\";\n";
    client.open_as(uri, "epd", 1, text).await;
    client.published(uri, 1).await;
    client.all_settled(uri).await;
    let data = numbers(&full(&mut client, uri).await["data"]);
    let line = text.lines().nth(1).expect("a line");
    let mut at = 0;
    let words: Vec<(&str, u64)> = data
        .chunks(5)
        .map(|token| {
            at += token[1] as usize;
            (&line[at..at + token[2] as usize], token[3])
        })
        .collect();
    let of = |word: &str| {
        words
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, kind)| *kind)
    };
    assert_eq!(of("6k1/5ppp/8/8/8/8/8/R3K3 w - -"), Some(1), "{words:?}");
    assert_eq!(
        (of("bm"), of("Ra8#"), of("1")),
        (Some(0), Some(3), Some(2)),
        "{words:?}"
    );
    // The claim, and the words around it.
    assert_eq!(
        (of("mates in one"), of("White ")),
        (Some(7), Some(6)),
        "{words:?}"
    );
    client.stop().await;
}
