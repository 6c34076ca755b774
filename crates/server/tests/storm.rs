//! Ten thousand random edits of two documents at once, with everything that editors do
//! in between; the end state must be that of a fresh check.

mod client;

use std::time::Duration;

use client::{Buffer, Client, Dice, outline};
use gainsay_server::Ended;
use serde_json::{Value, json};

const EDITS: usize = 10_000;

const START: &str = "[Event \"Café 😀\"]\r\n[White \"Ödön\"]\r\n[Black \"Brück\"]\r\n[Result \"*\"]\r\n\r\n1. e4 e5 2. Bc4 {naïve; White mates in two} Nc6 3. Qh5 Nf6 (3... g6 4. Qf3 Nf6) 4. Qxf7# *\r\n\r\n";

const TYPED: &[&str] = &[
    "é",
    "😀",
    "♞f6",
    "a",
    " ",
    "\n",
    "\r\n",
    "\r",
    " e4",
    " Nf3",
    "Ke3",
    "#",
    "+",
    "{",
    "}",
    "(",
    ")",
    "1.",
    "$4",
    "\n[Event \"ß\"]\n\n",
    "1-0",
    "*",
    "; naïve\n",
    "{mate in two}",
    "{is mate}",
    "[%allow illegal-move x]",
    "",
    "",
    "",
    "",
];

/// Resident memory of this process in KB. Source: proc(5).
fn memory() -> usize {
    std::fs::read_to_string("/proc/self/status")
        .unwrap_or_default()
        .lines()
        .find_map(|line| line.strip_prefix("VmRSS:"))
        .and_then(|line| line.split_whitespace().next())
        .and_then(|number| number.parse().ok())
        .unwrap_or(0)
}

struct Open {
    uri: String,
    version: i64,
    buffer: Buffer,
    undo: Vec<Buffer>,
}

impl Open {
    async fn edit(&mut self, client: &mut Client, dice: &mut Dice) {
        self.version += 1;
        if dice.below(60) == 0
            && let Some(old) = self.undo.pop()
        {
            // Undo by replacing everything.
            self.buffer = old;
            let change = json!({"text": self.buffer.text()});
            self.notify(client, json!([change])).await;
            return;
        }
        if dice.below(40) == 0 {
            self.undo.push(self.buffer.clone());
            if self.undo.len() > 20 {
                self.undo.remove(0);
            }
        }
        // One message with one to three changes, each on the text the last one made.
        let mut changes = Vec::new();
        for _ in 0..=dice.below(3) {
            let start = self.buffer.anywhere(dice);
            let mut end = start;
            let long = self.buffer.units.len() > 3_000;
            let most = if long { 400 } else { 6 };
            let wanted = (start + dice.below(most)).min(self.buffer.units.len());
            while end < wanted {
                end += 1;
            }
            end = self.buffer.whole(end).max(start);
            let new = if long { "" } else { *dice.pick::<&str>(TYPED) };
            let (from, to) = (self.buffer.place(start), self.buffer.place(end));
            changes.push(json!({
                "range": {"start": {"line": from.0, "character": from.1},
                          "end": {"line": to.0, "character": to.1}},
                "text": new}));
            self.buffer.replace(start..end, new);
        }
        self.notify(client, json!(changes)).await;
    }

    async fn notify(&self, client: &mut Client, changes: Value) {
        client
            .notify(
                "textDocument/didChange",
                json!({"textDocument": {"uri": self.uri, "version": self.version},
                       "contentChanges": changes}),
            )
            .await;
    }

    async fn open(&self, client: &mut Client) {
        client
            .open(&self.uri, self.version, &self.buffer.text())
            .await;
    }
}

async fn fresh(text: &str) -> Vec<String> {
    let uri = "file:///fresh.pgn";
    let mut client = Client::start_with(json!({}), json!({"nodes": 2_000})).await;
    client.open(uri, 1, text).await;
    client.published(uri, 1).await;
    client.settle(Duration::from_millis(500)).await;
    let found = outline(&client.published[uri].1);
    client.stop().await;
    found
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn ten_thousand_edits_end_as_a_fresh_check() {
    let mut client = Client::start_with(json!({}), json!({"nodes": 2_000})).await;
    let mut dice = Dice(0x57_0a_12);
    let mut open: Vec<Open> = (0..2)
        .map(|at| Open {
            uri: format!("file:///book/{at}.pgn"),
            version: 0,
            buffer: Buffer::new(&START.repeat(4)),
            undo: Vec::new(),
        })
        .collect();
    for document in &open {
        document.open(&mut client).await;
    }
    let mut early = 0;
    for count in 0..EDITS {
        let at = dice.below(2);
        open[at].edit(&mut client, &mut dice).await;
        match dice.below(100) {
            // Closing while claims settle, and opening again.
            0 => {
                let uri = open[at].uri.clone();
                client
                    .notify(
                        "textDocument/didClose",
                        json!({"textDocument": {"uri": uri}}),
                    )
                    .await;
                open[at].version += 1;
                open[at].open(&mut client).await;
            }
            // A question that is called off.
            1 => {
                let place = json!({"textDocument": {"uri": open[at].uri},
                                   "position": {"line": dice.below(30), "character": 4}});
                let id = client.post("textDocument/completion", place).await;
                client.notify("$/cancelRequest", json!({"id": id})).await;
            }
            2 => {
                let (line, column) = (dice.below(60), dice.below(60));
                let uri = open[at].uri.clone();
                client.at("textDocument/hover", &uri, line, column).await;
            }
            3 => client.raw(b"Content-Length: 9\r\n\r\n{\"id\":[[[").await,
            4 => {
                let uri = open[at].uri.clone();
                client
                    .request(
                        "textDocument/formatting",
                        json!({
                        "textDocument": {"uri": uri},
                        "options": {"tabSize": 4, "insertSpaces": true}}),
                    )
                    .await;
            }
            _ => {}
        }
        if count % 8 == 0 {
            while client.read_within(Duration::from_micros(1)).await.is_some() {}
        }
        client.log.clear();
        if count == EDITS / 4 {
            early = memory();
        }
    }
    // Memory stays flat: what three quarters of the edits add is less than the solver's
    // own tables.
    let late = memory();
    assert!(late < early + 60_000, "{early} KB, then {late} KB");
    for document in &mut open {
        document.version += 1;
        let line = "1. e4 Nh4 {last} *\n";
        let change = json!({"range": {"start": {"line": 0, "character": 0},
                                      "end": {"line": 0, "character": 0}}, "text": line});
        document.buffer.replace(0..0, line);
        document.notify(&mut client, json!([change])).await;
        client.published(&document.uri, document.version).await;
    }
    client.settle(Duration::from_millis(500)).await;
    for document in &open {
        let ours = outline(&client.published[&document.uri].1);
        assert!(!ours.is_empty());
        assert_eq!(ours, fresh(&document.buffer.text()).await);
    }
    assert_eq!(client.stop().await, Ended::Properly);
}

/// An editor that replays a macro: a thousand edits a second for ten seconds, faster than
/// claims settle.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_thousand_edits_a_second_end_as_a_fresh_check() {
    let mut client = Client::start_with(json!({}), json!({"nodes": 2_000})).await;
    let mut dice = Dice(0x10_0010);
    let mut document = Open {
        uri: "file:///book/macro.pgn".to_owned(),
        version: 0,
        buffer: Buffer::new(&START.repeat(4)),
        undo: Vec::new(),
    };
    document.open(&mut client).await;
    let mut beat = tokio::time::interval(Duration::from_millis(1));
    // On a machine that is too slow for the pace the missed beats are made up for.
    beat.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Burst);
    for count in 0..10_000 {
        beat.tick().await;
        document.edit(&mut client, &mut dice).await;
        if count % 8 == 0 {
            while client.read_within(Duration::from_micros(1)).await.is_some() {}
            client.log.clear();
        }
    }
    document.version += 1;
    let line = "1. e4 Nh4 {last} *\n";
    let change = json!({"range": {"start": {"line": 0, "character": 0},
                                  "end": {"line": 0, "character": 0}}, "text": line});
    document.buffer.replace(0..0, line);
    document.notify(&mut client, json!([change])).await;
    client.published(&document.uri, document.version).await;
    client.settle(Duration::from_millis(500)).await;
    let ours = outline(&client.published[&document.uri].1);
    assert!(!ours.is_empty());
    assert_eq!(ours, fresh(&document.buffer.text()).await);
    assert_eq!(client.stop().await, Ended::Properly);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn shutting_down_in_the_middle_of_work_ends_at_once() {
    let mut client = Client::start_with(json!({}), json!({"nodes": 1_000_000_000})).await;
    // A quiet middlegame, where a mate in six is not settled soon.
    let text = "[SetUp \"1\"]\n[FEN \"r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/1PN1PN2/PB3PPP/R2QKB1R w KQ - 0 9\"]\n\n9. Bd3 {White has a forced mate in six.} *\n";
    client.open("file:///a.pgn", 1, text).await;
    client.published("file:///a.pgn", 1).await;
    tokio::time::sleep(Duration::from_millis(100)).await;
    let start = std::time::Instant::now();
    assert_eq!(client.stop().await, Ended::Properly);
    assert!(start.elapsed() < Duration::from_secs(2));
}
