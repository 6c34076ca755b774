//! How long an author waits, measured through a client on a generated file of 10,000
//! games and about 10 MB: `cargo bench -p gainsay-server --bench latency`. Names of parts
//! behind `--` run those alone: `archive`, `game`, `cancel`, `book`, `workspace`, `memory`.
//!
//! Every number is from a message's first byte to its answer's last one, so it holds
//! the protocol's encoding on both sides.

#[path = "../tests/client/mod.rs"]
mod client;

use std::time::{Duration, Instant};

use client::{Client, Dice, Folder};
use serde_json::json;

const URI: &str = "file:///bench/archive.pgn";
const GAMES: usize = 10_000;
const KEYSTROKES: usize = 300;
const QUESTIONS: usize = 200;

/// Moves of an invented game that ends level, told in pairs.
const MOVES: &str = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Be7 6. Re1 b5 7. Bb3 d6 8. c3 O-O 9. h3 Na5 10. Bc2 c5 11. d4 Qc7 12. Nbd2 cxd4 13. cxd4 Nc6 14. Nb3 a5 15. Be3 a4 16. Nbd2 Bd7 17. Rc1 Qb7 18. Nf1 Rfe8 19. Ng3 h6 20. Bb1 Bf8 21. Rc2 g6 22. Qd2 Rac8 23. Rec1 Kh7 24. dxe5 dxe5 25. Nh2 Be6 26. f4 exf4 27. Bxf4 Bg7 28. Nf3 Nd7 29. Nd4 Nxd4 30. Qxd4 Ne5 31. Bxe5 Bxe5 32. Qxe5 Qb6+ 33. Kh1 f6 34. Qxf6 Rxc2 35. Rxc2 Bxh3 36. gxh3 Qxf6";

/// Comments as authors write them, of one to four bytes a character.
const COMMENTS: &[&str] = &[
    "{The plan à la Zürich: Nd2-f1-g3.}",
    "{Not 12...Bb7, when 13.d5 shuts the bishop out.}",
    "{♘ against ♗ 😀 — a matter of taste.}",
    "{White threatens e5, as anybody can see; the knight on f6 has no good square and the pawn on e5 is attacked twice.}",
    "{[%clk 1:40:23] [%eval 0.3]}",
];

fn archive(dice: &mut Dice) -> String {
    let moves: Vec<&str> = MOVES.split(' ').collect();
    let mut text = String::with_capacity(11 << 20);
    for game in 0..GAMES {
        text.push_str(&format!(
            "[Event \"Café match {}\"]\n[Site \"Zürich\"]\n[Date \"1921.03.{:02}\"]\n[Round \"{}\"]\n[White \"Ödön, {}\"]\n[Black \"Brück, {}\"]\n[Result \"*\"]\n\n",
            game / 50, game % 28 + 1, game % 50 + 1, game % 97, game % 89,
        ));
        let mut column = 0;
        for (at, word) in moves.iter().enumerate() {
            text.push_str(word);
            column += word.len();
            if at % 11 == 10 && dice.below(3) > 0 {
                text.push(' ');
                text.push_str(dice.pick::<&str>(COMMENTS));
                // Black's next move then needs its number.
                if at % 3 == 1 {
                    text.push_str(&format!(" {}...", at / 3 + 1));
                }
                column += 40;
            }
            text.push(if column > 70 { '\n' } else { ' ' });
            column = if column > 70 { 0 } else { column + 1 };
        }
        // Now and then a slip, as in every archive.
        if game % 40 == 7 {
            text.push_str("37. Kh1 ");
        }
        text.push_str("*\n\n");
    }
    text
}

/// A stopwatch that knows how long the threads of this process (server and client) waited
/// for a processor that something else had.
struct Watch {
    start: Instant,
    waited: Duration,
}

impl Watch {
    fn start() -> Self {
        let waited = waited();
        Self {
            start: Instant::now(),
            waited,
        }
    }

    /// The time that went by, and how much of it is left without such waiting.
    fn stop(&self) -> (Duration, Duration) {
        let all = self.start.elapsed();
        (
            all,
            all.saturating_sub(waited().saturating_sub(self.waited)),
        )
    }
}

/// How long the threads of this process have waited for a processor so far, together.
/// Source: the second field of /proc/PID/task/TID/schedstat, in nanoseconds
/// (Documentation/scheduler/sched-stats.rst of Linux).
fn waited() -> Duration {
    let Ok(threads) = std::fs::read_dir("/proc/self/task") else {
        return Duration::ZERO;
    };
    let nanos = threads
        .flatten()
        .filter_map(|thread| std::fs::read_to_string(thread.path().join("schedstat")).ok())
        .filter_map(|line| line.split(' ').nth(1)?.parse::<u64>().ok())
        .sum();
    Duration::from_nanos(nanos)
}

fn percentile(times: &mut [Duration], percent: usize) -> Duration {
    times.sort();
    times[(times.len() * percent / 100).min(times.len() - 1)]
}

fn tell(what: &str, times: &[(Duration, Duration)], target: &str) {
    let mut all: Vec<Duration> = times.iter().map(|&(all, _)| all).collect();
    let mut own: Vec<Duration> = times.iter().map(|&(_, own)| own).collect();
    println!(
        "{what:<42} p50 {:>9.2?}  p99 {:>9.2?}  max {:>9.2?}  target {target}  (p99 without waiting for a processor {:.2?})",
        percentile(&mut all, 50),
        percentile(&mut all, 99),
        percentile(&mut all, 100),
        percentile(&mut own, 99),
    );
}

/// Memory of this process, client included, in MB.
fn memory(field: &str) -> usize {
    memory_in_kb(field) / 1024
}

/// The same in KB. Source: proc(5).
fn memory_in_kb(field: &str) -> usize {
    std::fs::read_to_string("/proc/self/status")
        .unwrap_or_default()
        .lines()
        .find_map(|line| line.strip_prefix(field))
        .and_then(|line| line.split_whitespace().next())
        .and_then(|number| number.parse::<usize>().ok())
        .unwrap_or(0)
}

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() {
    let parts: Vec<String> = std::env::args()
        .skip(1)
        .filter(|part| !part.starts_with('-'))
        .collect();
    let wanted = |part: &str| parts.is_empty() || parts.iter().any(|wanted| wanted == part);
    if wanted("archive") {
        archive_of_games().await;
    }
    if wanted("game") {
        one_long_game().await;
    }
    if wanted("cancel") {
        cancel().await;
    }
    if wanted("book") {
        verdicts().await;
    }
    if wanted("workspace") {
        workspace().await;
    }
    if wanted("memory") {
        flat_memory().await;
    }
}

/// Typing while the files of the workspace that are not open are checked: 200 files of 50
/// games each.
async fn workspace() {
    const FILES: usize = 200;
    let folder = Folder::new("bench");
    let mut dice = Dice(0xf11e);
    let text = archive(&mut dice);
    let games: Vec<&str> = text.split_inclusive("*\n\n").collect();
    for (at, part) in games.chunks(GAMES / FILES).enumerate() {
        std::fs::write(folder.0.join(format!("{at:03}.pgn")), part.concat()).expect("written");
    }
    let mut client = Client::connect();
    let options = json!({"nodes": 20_000, "closedFiles": "pushed"});
    let start = Instant::now();
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": folder.uri(), "capabilities": {},
                   "initializationOptions": options}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    let uri = format!("{}/open.pgn", folder.uri());
    client.open(&uri, 1, &games[..50].concat()).await;
    client.published(&uri, 1).await;
    let line = 8;
    let mut times = Vec::new();
    let mut version = 1;
    // As long as the check goes on, and not for longer.
    let done = client
        .post(
            "workspace/executeCommand",
            json!({"command": "gainsay.findings", "arguments": []}),
        )
        .await;
    let answered = |client: &Client| {
        client
            .log
            .iter()
            .any(|message| message["id"] == done && message.get("method").is_none())
    };
    while !answered(&client) && version < 2_000 {
        for (range, new) in [([line, 4, line, 5], "9"), ([line, 4, line, 5], "4")] {
            version += 1;
            let watch = Watch::start();
            client.edit(&uri, version, range, new).await;
            client.published(&uri, version).await;
            times.push(watch.stop());
        }
        client.settle(Duration::from_millis(20)).await;
    }
    tell(
        "keystroke while the workspace is checked",
        &times,
        "16 ms p99",
    );
    if !answered(&client) {
        client.answer(done).await;
    }
    println!(
        "{:<42} {:>9.2?}  ({FILES} files, {:.1} MB, {} keystrokes meanwhile), memory {} MB",
        "checking the workspace",
        start.elapsed(),
        text.len() as f64 / 1e6,
        times.len(),
        memory("VmRSS:"),
    );
    client.stop().await;
}

/// Opening, typing and asking in the file of 10,000 games.
async fn archive_of_games() {
    let mut dice = Dice(0xbe7c);
    let text = archive(&mut dice);
    let lines: Vec<usize> = text.lines().map(str::len).collect();
    println!(
        "{GAMES} games, {:.1} MB, {} lines",
        text.len() as f64 / 1e6,
        lines.len()
    );
    let utf8 = json!({"general": {"positionEncodings": ["utf-8"]}});
    let mut client = Client::start_with(utf8, json!({"nodes": 20_000})).await;
    let before = memory("VmRSS:");

    let start = Instant::now();
    client.open(URI, 1, &text).await;
    let first = client.published(URI, 1).await.len();
    println!(
        "{:<42} {:>9.2?}  ({first} findings)  target 500 ms",
        "open to first diagnostics",
        start.elapsed()
    );
    // Until the state is idle: the whole text is read, and claims settle or are settled.
    client.settle(Duration::from_secs(2)).await;
    println!(
        "{:<42} {:>9.2?}  ({} findings)",
        "open to the last diagnostics (2 s quiet)",
        start.elapsed() - Duration::from_secs(2),
        client.published[URI].1.len()
    );
    println!(
        "{:<42} {} MB now, {} MB before, text {} MB, peak {} MB  target 300 MB",
        "memory, client and its copy included",
        memory("VmRSS:"),
        before,
        text.len() >> 20,
        memory("VmHWM:")
    );

    // A keystroke that makes a finding, and one that takes it away again.
    let games: Vec<usize> = text
        .lines()
        .enumerate()
        .filter(|(_, line)| line.starts_with("1. e4"))
        .map(|(at, _)| at)
        .collect();
    let mut version = 1;
    let mut keystrokes = Vec::new();
    for _ in 0..KEYSTROKES {
        let line = *dice.pick(&games);
        for (range, new) in [([line, 4, line, 5], "9"), ([line, 4, line, 5], "4")] {
            version += 1;
            let watch = Watch::start();
            client.edit(URI, version, range, new).await;
            client.published(URI, version).await;
            keystrokes.push(watch.stop());
            client.log.clear();
        }
    }
    tell(
        "keystroke to notation diagnostics",
        &keystrokes,
        "16 ms p99",
    );

    for (method, target) in [
        ("textDocument/hover", "10 ms p99"),
        ("textDocument/completion", "10 ms p99"),
    ] {
        let mut times = Vec::new();
        for _ in 0..QUESTIONS {
            let line = *dice.pick(&games);
            let watch = Watch::start();
            let answer = client.at(method, URI, line, 14).await;
            times.push(watch.stop());
            assert!(!answer.is_null(), "{method} answers");
        }
        tell(method, &times, target);
    }

    // A question while typing goes on: it must not wait for what was edited before.
    let mut mixed = Vec::new();
    for _ in 0..QUESTIONS {
        let line = *dice.pick(&games);
        version += 1;
        client.edit(URI, version, [line, 0, line, 0], " ").await;
        version += 1;
        client.edit(URI, version, [line, 0, line, 1], "").await;
        let watch = Watch::start();
        client.at("textDocument/hover", URI, line, 14).await;
        mixed.push(watch.stop());
    }
    tell("hover directly behind two edits", &mixed, "10 ms p99");
    client.stop().await;
}

/// Typing in a single game of 1 MB, with side-lines, which is one section and read again
/// as a whole.
async fn one_long_game() {
    const URI: &str = "file:///bench/game.pgn";
    let mut text = String::from("[Event \"a\"]\n[Result \"*\"]\n\n1. e4\n");
    while text.len() < 1 << 20 {
        text.push_str(
            "(1. d4 d5 2. c4 e6 3. Nc3 Nf6 (3... c5 4. cxd5 exd5)\n4. Bg5 Be7 {à la mode})\n",
        );
    }
    text.push_str("*\n");
    let mut client = Client::start().await;
    client.open(URI, 1, &text).await;
    client.published(URI, 1).await;
    client.all_settled(URI).await;
    let mut times = Vec::new();
    for round in 0..100_i64 {
        for (version, new) in [(2 * round + 2, "9"), (2 * round + 3, "4")] {
            let watch = Watch::start();
            client.edit(URI, version, [3, 4, 3, 5], new).await;
            client.published(URI, version).await;
            times.push(watch.stop());
        }
    }
    tell("keystroke in a single game of 1 MB", &times, "none");
    client.stop().await;
}

/// An hour's worth of edits: the memory at the end of the first quarter and at the end.
async fn flat_memory() {
    const URI: &str = "file:///bench/hour.pgn";
    const EDITS: i64 = 20_000;
    /// In KB; a leak of one small comment an edit would come to more.
    const BOUND: usize = 4_000;
    let game = "[Event \"Lesson\"]\n[Result \"1-0\"]\n\n1. e4 e5 2. Bc4 Nc6\n3. Qh5 {White threatens mate in one.} Nf6 {Now White mates in one.} 4. Qxf7# 1-0\n\n";
    let mut client = Client::start_with(json!({}), json!({"nodes": 2_000})).await;
    client.open(URI, 1, &game.repeat(100)).await;
    client.all_settled(URI).await;
    let mut dice = Dice(11);
    let mut quarters = Vec::new();
    for edit in 0..EDITS {
        let line = 6 * dice.below(100) + 4;
        let version = 2 * edit + 2;
        let typed = format!("{{{edit}, and White mates in two.}} ");
        client.edit(URI, version, [line, 7, line, 7], &typed).await;
        if edit % 8 == 0 {
            // The author reads for a moment, and claims settle.
            client.at("textDocument/hover", URI, line, 4).await;
        }
        let taken = [line, 7, line, 7 + typed.len()];
        client.edit(URI, version + 1, taken, "").await;
        client.log.clear();
        if (edit + 1) % (EDITS / 4) == 0 {
            client.all_settled(URI).await;
            client.log.clear();
            quarters.push(memory_in_kb("VmRSS:"));
        }
    }
    println!("memory after each quarter of {EDITS} edits: {quarters:?} KB");
    assert!(
        quarters[3] < quarters[0] + BOUND,
        "memory grows: {quarters:?} KB"
    );
    client.stop().await;
}

/// From an edit that makes a running claim stale to the verdict of the claim that takes its
/// place: the worker must have stopped, and the new claim takes next to no time.
async fn cancel() {
    const HARD: &str = "{White has a forced mate in six.}";
    const EASY: &str = "{Now 9...Nxd4 is mate.}";
    let text = format!(
        "[Event \"a\"]\n[SetUp \"1\"]\n[FEN \"r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/1PN1PN2/PB3PPP/R2QKB1R w KQ - 0 9\"]\n\n9. Bd3 {HARD} *\n"
    );
    // Every worker is busy: there are as many such documents as workers.
    let workers = std::thread::available_parallelism()
        .map_or(1, std::num::NonZero::get)
        .saturating_sub(1)
        .clamp(1, 8);
    let mut client = Client::start_with(json!({}), json!({"nodes": 2_000_000_000_u64})).await;
    let uris: Vec<String> = (0..workers)
        .map(|at| format!("file:///bench/{at}.pgn"))
        .collect();
    for uri in &uris {
        client.open(uri, 1, &text).await;
        client.published(uri, 1).await;
    }
    let mut times = Vec::new();
    for round in 0..200_i64 {
        // Let the hard claims get going.
        tokio::time::sleep(Duration::from_millis(60)).await;
        let uri = &uris[0];
        let version = 2 * round + 2;
        let watch = Watch::start();
        client
            .edit(uri, version, [4, 7, 4, 7 + HARD.len()], EASY)
            .await;
        while !told(&client, uri, version) {
            client.read().await;
        }
        times.push(watch.stop());
        client
            .edit(uri, version + 1, [4, 7, 4, 7 + EASY.len()], HARD)
            .await;
    }
    tell("cancel: edit to the next claim's verdict", &times, "5 ms");
    client.stop().await;
}

/// Whether a false claim of mate is published for this version or a later one.
fn told(client: &Client, uri: &str, version: i64) -> bool {
    client.published.get(uri).is_some_and(|(known, found)| {
        known.is_some_and(|known| known >= version)
            && found.iter().any(|found| {
                found["message"]
                    .as_str()
                    .is_some_and(|message| message.contains("mate"))
            })
    })
}

/// From an edit of a game to the verdict of a claim in it, in a book of 300 games.
async fn verdicts() {
    const GAME: &str = "[Event \"Lesson\"]\n[White \"Ödön\"]\n[Black \"Brück\"]\n[Result \"1-0\"]\n\n1. e4 e5 2. Bc4 Nc6\n3. Qh5 {White threatens mate in one.} Nf6 {Now White mates in one.} 4. Qxf7# {This is mate.} 1-0\n\n";
    const FALSE: &str = " {Now 3...Qh4 is mate.}";
    const URI: &str = "file:///bench/book.pgn";
    let mut client = Client::start().await;
    client.open(URI, 1, &GAME.repeat(300)).await;
    client.published(URI, 1).await;
    client.settle(Duration::from_secs(1)).await;
    let mut dice = Dice(7);
    let mut times = Vec::new();
    let mut version = 1;
    for _ in 0..40 {
        let line = 9 * dice.below(300) + 6;
        version += 1;
        let watch = Watch::start();
        // Behind 3.Qh5.
        client.edit(URI, version, [line, 6, line, 6], FALSE).await;
        while !told(&client, URI, version) {
            client.read().await;
        }
        times.push(watch.stop());
        version += 1;
        client
            .edit(URI, version, [line, 6, line, 6 + FALSE.len()], "")
            .await;
        client.settle(Duration::from_millis(150)).await;
    }
    tell(
        "edit to a claim's verdict, 300-game book",
        &times,
        "300 ms p50",
    );
    client.stop().await;
}
