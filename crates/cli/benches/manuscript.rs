//! Manuscripts of 500 to 8,000 sections, each a heading, a game and words about it: the
//! processor time that the language server takes from opening one to its last verdict, and
//! after one more word in the middle, against that of the command:
//! `cargo bench -p gainsay-cli --bench manuscript` (`-- 2000` for up to 2,000 sections).
//!
//! The time a section must not grow with their number, and the server's must stay near the
//! command's.

#[allow(dead_code, reason = "not all of it is needed here")]
#[path = "../tests/common/mod.rs"]
mod common;

use std::{
    fs,
    path::Path,
    process::{Child, Command, Stdio},
    time::Duration,
};

use common::frames::Server;
use serde_json::{Value, json};
use wait4::Wait4 as _;

/// What a section says of its game; one in three is false, and one in four looks elsewhere.
const WORDS: [&str; 4] = [
    "White mates in one. The rook on a1 attacks a8 and b1.",
    "Black had no defence. The rook on a1 pins the pawn on f7.",
    "The final position is mate. White has an extra rook. The rook on a1 attacks b6.",
    "As in the game before, 1.Ra8 is mate, and Black could play 1...Kh8.",
];

/// An exercise of its own for each number up to 6,561: pawns stand on the files b to e, or do
/// not, so that hardly any verdict is known from another section.
fn position(mut number: usize) -> String {
    let mut files = [["1"; 8]; 4];
    for file in &mut files {
        for (colour, places) in [("p", [2, 3]), ("P", [5, 6])] {
            if let Some(&rank) = places.get(number % 3) {
                file[rank] = colour;
            }
            number /= 3;
        }
    }
    let rank = |rank: usize| files.map(|file| file[rank]).concat();
    format!(
        "6k1/5ppp/1{}3/1{}3/8/1{}3/1{}3/R5K1 w - - 0 1",
        rank(2),
        rank(3),
        rank(5),
        rank(6)
    )
}

fn manuscript(sections: usize) -> String {
    let mut text = String::from("# A book of short games\n");
    for (number, words) in (1..=sections).zip(WORDS.iter().cycle()) {
        text.push_str(&format!(
            "\n## Game {number}\n\n```pgn\n[White \"Ödön\"]\n[Black \"Brück\"]\n[SetUp \"1\"]\n\
             [FEN \"{}\"]\n\n1. Ra8# 1-0\n```\n\n{words}\n",
            position(number)
        ));
    }
    text
}

fn gainsay(folder: &Path) -> Command {
    let mut command = common::command(folder);
    command
        .env("XDG_CACHE_HOME", folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// The processor time of a process that ends by itself.
fn time_of(process: Child) -> Duration {
    let used = process.wait4().expect("it ends").rusage;
    used.utime + used.stime
}

/// What the command takes.
fn checked(folder: &Path) -> Duration {
    let process = gainsay(folder)
        .args(["check", "--no-cache", "--threads", "1", "book.md"])
        .spawn();
    time_of(process.expect("it runs"))
}

struct Editor(Server);

impl Editor {
    fn start(folder: &Path) -> Self {
        let mut editor = Self(Server::start(&mut gainsay(folder)));
        let settings = json!({"processId": null, "rootUri": null, "capabilities": {},
            "initializationOptions": {"cache": false, "closedFiles": "off"}});
        editor.request("initialize", settings);
        editor.0.notify("initialized", json!({}));
        editor
    }

    fn request(&mut self, method: &str, params: Value) -> Value {
        let head = format!("\"id\":{}", self.0.ask(method, params));
        loop {
            let body = self.0.read();
            // Findings are long, and nobody looks at them here.
            if body.len() >= 4_096 {
                continue;
            }
            let body = String::from_utf8_lossy(&body);
            if body.contains(&head) && body.contains("\"result\"") {
                return serde_json::from_str(&body).expect("JSON");
            }
        }
    }

    /// Waits for the last verdict, and gives the number of verdicts.
    fn settled(&mut self, uri: &str) -> u64 {
        loop {
            let counts = self.request(
                "workspace/executeCommand",
                json!({"command": "gainsay.counts", "arguments": [uri]}),
            );
            let counts = &counts["result"];
            if counts["settling"] == false {
                let claims = counts["claims"].as_object().expect("verdicts");
                return claims.values().filter_map(Value::as_u64).sum();
            }
            std::thread::sleep(Duration::from_millis(200));
        }
    }

    fn end(mut self) -> Duration {
        self.request("shutdown", Value::Null);
        self.0.notify("exit", Value::Null);
        time_of(self.0.close())
    }
}

/// What the server takes to settle a text, and then to settle it again after `edits` words.
fn served(folder: &Path, text: &str, edits: usize) -> Duration {
    let uri = "file:///book/book.md";
    let mut editor = Editor::start(folder);
    editor.0.notify(
        "textDocument/didOpen",
        json!({"textDocument": {"uri": uri, "languageId": "markdown", "version": 1, "text": text}}),
    );
    assert!(editor.settled(uri) > 0, "nothing was settled");
    let lines: Vec<&str> = text.lines().collect();
    let middle = (lines.len() / 2..)
        .find(|&line| lines[line].starts_with("Black had"))
        .expect("a section of that kind");
    for version in 2..2 + edits {
        let at = json!({"line": middle, "character": 0});
        editor.0.notify(
            "textDocument/didChange",
            json!({"textDocument": {"uri": uri, "version": version},
                   "contentChanges": [{"range": {"start": at, "end": at}, "text": "Well: "}]}),
        );
        editor.settled(uri);
    }
    editor.end()
}

fn main() {
    const EDITS: usize = 10;
    let most = std::env::args().filter_map(|word| word.parse().ok()).next();
    let most: usize = most.unwrap_or(8_000);
    let folder = tempfile::tempdir().expect("a folder");
    println!("processor time: of the server against the command, and a section against 500");
    println!(
        "{:>8} {:>9} {:>9} {:>9} {:>9} {:>9}",
        "sections", "bytes", "server", "command", "section", "edit"
    );
    let mut first: Option<[f64; 2]> = None;
    let mut sections = 500;
    while sections <= most {
        let text = manuscript(sections);
        fs::write(folder.path().join("book.md"), &text).expect("written");
        let best = |measure: &dyn Fn() -> Duration| {
            let times = (0..3).map(|_| measure());
            times.min().unwrap_or_default().as_secs_f64()
        };
        let command = best(&|| checked(folder.path()));
        let server = best(&|| served(folder.path(), &text, 0));
        let edited = best(&|| served(folder.path(), &text, EDITS));
        let each = [server, command].map(|time| time / sections as f64);
        let one = *first.get_or_insert(each);
        println!(
            "{sections:8} {:9} {:9.2} {:9.2} {:9.2} {:9.3}",
            text.len(),
            server / command,
            each[1] / one[1],
            each[0] / one[0],
            (edited - server).max(0.0) / EDITS as f64 / server,
        );
        sections *= 2;
    }
}
