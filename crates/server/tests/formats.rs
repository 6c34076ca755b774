//! The server finds in a document what the library finds in the same text, whatever its
//! format: games, positions, manuscripts.

mod client;

use std::{
    fs,
    path::{Path, PathBuf},
};

use client::{Buffer, Client, Dice};
use gainsay::{Format, Settings, check_as};
use gainsay_notation::decode;
use serde_json::{Value, json};

/// Small, so that the slowest machine settles all fixtures; both sides have the same.
const NODES: u64 = 3_000;

/// A manuscript with a game, positions and lines of EPD in blocks.
const MANUSCRIPT: &str = "# Naïve lessons 😀

```pgn
[White \"Ödön\"]
[Black \"Brück\"]

1. e4 e5 2. Bc4 Nc6 3. Qh5 {White threatens mate in one.} Nf6 {White mates in two.} 4. Qxf7# *
```

White mates in one:

```fen
6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
```

```epd
6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2;
6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra8; am Ra9 Rb7;
```
";

/// The same in plain paragraphs.
const PARAGRAPHS: &str = "A lesson.

1. e4 e5 2. Bc4 Nc6 3. Qh5 {White threatens mate in one.} Nf6 $18
4. Qxf7+ {This is mate.} 1-0

The end.
";

const POSITIONS: &str = "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;

6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2; id \"zwei – two\";
6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra7; am Ra8+;
6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Qh5;
8/8 w - - dm 1;
";

/// The fixtures of the repository that are text of games, positions or manuscripts.
fn fixtures() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures");
    let mut found = Vec::new();
    let mut folders = vec![root];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if Format::from_path(&path).is_some() {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// A finding: where it is, in the client's terms, its rule and all that is told of it. Or a
/// claim: its words, what shows it, its verdict and its kind.
type Told = (Value, Value, String, String);

/// What the library finds.
fn checked(text: &str, format: Format) -> (Vec<Told>, Vec<Told>) {
    let settings = Settings {
        nodes: NODES,
        ..Settings::default()
    };
    let report = check_as(text.as_bytes(), format, &settings);
    let buffer = Buffer::new(text);
    let place = |offset: usize| {
        let head = decode(&text.as_bytes()[..offset]);
        let (line, character) = buffer.place(head.encode_utf16().count());
        json!({"line": line, "character": character})
    };
    let findings = report.findings.iter().map(|finding| {
        let lines: Vec<&str> = [finding.message.as_str()]
            .into_iter()
            .chain(finding.evidence.iter().map(String::as_str))
            .collect();
        (
            place(finding.span.start),
            place(finding.span.end),
            finding.rule.name.to_owned(),
            lines.join("\n"),
        )
    });
    let claims = report.claims.iter().map(|claim| {
        let lines: Vec<&str> = claim
            .evidence
            .iter()
            .chain(&claim.note)
            .map(String::as_str)
            .collect();
        (
            json!(claim.text.split_whitespace().collect::<Vec<_>>().join(" ")),
            json!(lines.join("\n")),
            format!("{:?}", claim.verdict),
            claim.kind.to_string(),
        )
    });
    (sorted(findings.collect()), sorted(claims.collect()))
}

fn sorted(mut told: Vec<Told>) -> Vec<Told> {
    told.sort_by_key(|told| format!("{} {} {} {}", told.0, told.2, told.3, told.1));
    told
}

/// What the server tells.
async fn served(client: &mut Client, uri: &str) -> (Vec<Told>, Vec<Told>) {
    client.all_settled(uri).await;
    let all = client.command("gainsay.findings", json!([uri])).await;
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let findings = all[0]["diagnostics"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|found| {
            (
                found["range"]["start"].clone(),
                found["range"]["end"].clone(),
                text(&found["code"]),
                text(&found["message"]),
            )
        });
    let hints = client
        .request(
            "textDocument/inlayHint",
            json!({"textDocument": {"uri": uri}, "range": {
                "start": {"line": 0, "character": 0}, "end": {"line": 100_000, "character": 0}}}),
        )
        .await;
    // Where several claims end in one place, all are told there.
    let told = hints.as_array().expect("a list").iter().flat_map(|hint| {
        let tooltip = text(&hint["tooltip"]["value"]);
        let claims: Vec<String> = tooltip.split("\n\n---\n\n").map(str::to_owned).collect();
        claims
    });
    let claims = told.map(|told| {
        let verdict = told.split("**").nth(1).expect("a verdict");
        let words = told.split(['“', '”']).nth(1).expect("the author's words");
        let (_, kind) = told.rsplit_once("Read as *").expect("a kind");
        let kind = kind.split('*').next().expect("a kind");
        // What shows it stands in sentences or in lines of its own.
        let shown: Vec<&str> = told.split("\n\n").skip(1).collect();
        let verdict = match verdict {
            "holds" => "Holds",
            "fails" => "Fails",
            _ => "Unsettled",
        };
        (
            json!(words),
            json!(shown.join("\n")),
            verdict.to_owned(),
            kind.to_owned(),
        )
    });
    (sorted(findings.collect()), sorted(claims.collect()))
}

/// Whether the same claims are told with the same verdicts, each with all that shows it.
fn same_claims(told: &[Told], expected: &[Told], place: &str) {
    let heads = |claims: &[Told]| -> Vec<(Value, String, String)> {
        let heads = claims.iter();
        heads
            .map(|claim| (claim.0.clone(), claim.2.clone(), claim.3.clone()))
            .collect()
    };
    assert_eq!(heads(told), heads(expected), "{place}");
    for claim in expected {
        let same = |other: &&Told| (&other.0, &other.2, &other.3) == (&claim.0, &claim.2, &claim.3);
        for line in claim.1.as_str().expect("lines").lines() {
            let mut words = line.split_whitespace();
            let single = words.next_back().filter(|_| words.count() < 2);
            let line = single.unwrap_or(line);
            let shown = |other: &Told| other.1.as_str().is_some_and(|shown| shown.contains(line));
            assert!(
                told.iter().filter(same).any(shown),
                "{place}: {line} in {claim:?}"
            );
        }
    }
}

async fn compare(client: &mut Client, uri: &str, format: Format, text: &str) -> (usize, usize) {
    client.open_as(uri, format.name(), 1, text).await;
    let (findings, claims) = served(client, uri).await;
    let (expected_findings, expected_claims) = checked(text, format);
    assert_eq!(findings, expected_findings, "{uri}");
    same_claims(&claims, &expected_claims, uri);
    client
        .notify(
            "textDocument/didClose",
            json!({"textDocument": {"uri": uri}}),
        )
        .await;
    (findings.len(), claims.len())
}

async fn client() -> Client {
    Client::start_with(
        json!({"textDocument": {"inlayHint": {}}}),
        json!({"nodes": NODES, "hints": {"numbers": false, "verdicts": "all"}}),
    )
    .await
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_format_is_checked_as_the_command_does() {
    let mut client = client().await;
    for (format, text, claims) in [
        (Format::Epd, POSITIONS, 4),
        (Format::Markdown, MANUSCRIPT, 5),
        (Format::Text, PARAGRAPHS, 3),
        (Format::Pgn, PARAGRAPHS, 3),
    ] {
        let uri = format!("file:///book/one.{}", format.name());
        let found = compare(&mut client, &uri, format, text).await;
        assert!(found.0 > 0, "{format:?} has no finding");
        assert_eq!(found.1, claims, "{format:?}");
    }
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_fixture_is_checked_as_the_command_does() {
    let mut client = client().await;
    let mut all = (0, 0);
    for path in fixtures() {
        let bytes = fs::read(&path).expect("a fixture");
        // Editors know Unicode only.
        let text = decode(&bytes);
        let format = Format::from_path(&path).expect("a format");
        let uri = format!("file://{}", path.canonicalize().expect("a path").display());
        let found = compare(&mut client, &uri, format, &text).await;
        all = (all.0 + found.0, all.1 + found.1);
    }
    assert!(all.0 > 80 && all.1 > 80, "{all:?}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_edited_position_is_settled_again() {
    let mut client = client().await;
    let uri = "file:///book/positions.epd";
    client.open_as(uri, "epd", 1, POSITIONS).await;
    let before = client.all_settled(uri).await;
    assert_eq!(
        before["claims"],
        json!({"holds": 1, "fails": 3, "unsettled": 0})
    );
    // "dm 2" of the third line becomes "dm 1", and a line is put in front.
    client.edit(uri, 2, [2, 33, 2, 34], "1").await;
    client
        .edit(uri, 3, [0, 0, 0, 0], "8/8/8/8/8/8/8/8 w - -\n")
        .await;
    let after = client.all_settled(uri).await;
    assert_eq!(
        after["claims"],
        json!({"holds": 2, "fails": 2, "unsettled": 0})
    );
    client.stop().await;
}

/// Prose speaks of the blocks around it, so it is settled again when one of them changes.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn prose_follows_the_positions_that_it_speaks_of() {
    let mut client = client().await;
    let uri = "file:///book/exercise.md";
    let text = "# Exercises\n\nWhite to play: mate in one.\n\n```fen\n6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1\n```\n\nThe end.\n";
    client.open_as(uri, "markdown", 1, text).await;
    let verdict_of = |claims: &[Told]| {
        let mate = claims.iter().find(|told| told.3.starts_with("mate-in"));
        mate.map(|told| told.2.clone())
    };
    let (_, claims) = served(&mut client, uri).await;
    assert_eq!(verdict_of(&claims).as_deref(), Some("Holds"));
    // The rook moves: on another open file it mates too, behind its own pawn it does not.
    for (version, place, holds) in [(2, "1R4K1", true), (3, "R5K1", true), (4, "5RK1", false)] {
        let buffer = text.replace("R5K1", place);
        client
            .notify(
                "textDocument/didChange",
                json!({"textDocument": {"uri": uri, "version": version},
                       "contentChanges": [{"text": buffer}]}),
            )
            .await;
        let (findings, claims) = served(&mut client, uri).await;
        let (expected_findings, expected_claims) = checked(&buffer, Format::Markdown);
        assert_eq!(findings, expected_findings, "{place}");
        same_claims(&claims, &expected_claims, place);
        assert_eq!(verdict_of(&claims).as_deref() == Some("Holds"), holds);
    }
    client.stop().await;
}

/// What is typed into a manuscript.
const TYPED: &[&str] = &[
    "e4",
    " ",
    "",
    "",
    "\n",
    "\n\n",
    "```\n",
    "```pgn\n",
    "```fen\n",
    "é😀",
    "{",
    "}",
    "1. e4 e5 *\n",
    "White mates in one. ",
    "8/8/8/8/8/8/8/8 w - -\n",
];

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn edited_manuscripts_end_as_a_fresh_check() {
    let mut client = client().await;
    let mut dice = Dice(0x0b00c);
    for (format, text) in [(Format::Markdown, MANUSCRIPT), (Format::Text, PARAGRAPHS)] {
        let uri = format!("file:///book/edited.{}", format.name());
        let mut buffer = Buffer::new(&text.repeat(3));
        client.open_as(&uri, format.name(), 0, &buffer.text()).await;
        for version in 1..=150 {
            let start = buffer.anywhere(&mut dice);
            let end = buffer.whole((start + dice.below(4)).min(buffer.units.len()));
            let end = end.max(start);
            let typed = *dice.pick(TYPED);
            let (from, to) = (buffer.place(start), buffer.place(end));
            client
                .edit(&uri, version, [from.0, from.1, to.0, to.1], typed)
                .await;
            buffer.replace(start..end, typed);
            if version % 15 == 0 {
                let text = buffer.text();
                let (findings, claims) = served(&mut client, &uri).await;
                let (expected_findings, expected_claims) = checked(&text, format);
                assert_eq!(findings, expected_findings, "{version}: {text}");
                same_claims(&claims, &expected_claims, &text);
            }
        }
    }
    client.stop().await;
}
