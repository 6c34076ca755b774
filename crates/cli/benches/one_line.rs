//! Files that are one line, up to 8 MB, with and without accents: time per byte against
//! that of the smallest, for the command, and for the findings and the semantic tokens of
//! the language server. Everything is read once, so that the ratios stay near 1:
//! `cargo bench -p gainsay-cli --bench one_line` (`-- 1` for files up to 1 MB).

#[allow(dead_code, reason = "not all of it is needed here")]
#[path = "../tests/common/mod.rs"]
mod common;

use std::{
    fmt::Write as _,
    fs,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use common::frames::Server;
use serde_json::json;

/// Kinds of file: what is repeated on the line, after its number.
const KINDS: [(&str, Kind); 4] = [
    ("knights to and fro", Kind::Shuffle),
    ("wrong numbers", Kind::Numbers),
    ("one tag again and again", Kind::Tags),
    ("claims of repetition", Kind::Claims),
];

#[derive(Clone, Copy)]
enum Kind {
    Shuffle,
    Numbers,
    Tags,
    Claims,
}

fn text(kind: Kind, size: usize, letter: char) -> String {
    let mut text = String::with_capacity(size + 100);
    let mut number = 1;
    while text.len() < size {
        let next = number + 1;
        let written = match kind {
            Kind::Shuffle => {
                write!(text, "{{{letter}}} {number}. Nf3 Nf6 {next}. Ng1 Ng8 ")
            }
            Kind::Numbers => write!(text, "{{{letter}}} 7. Nf3 Nf6 9. Ng1 Ng8 "),
            Kind::Tags => write!(text, "[Event \"{letter}\"] "),
            Kind::Claims => write!(
                text,
                "{number}. Nf3 Nf6 {next}. Ng1 Ng8 {{Draw by repetition, {letter}.}} "
            ),
        };
        written.expect("text grows");
        number += 2;
    }
    text.push_str("*\n");
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

/// How long the command takes.
fn checked(folder: &Path) -> Duration {
    let since = Instant::now();
    let status = gainsay(folder)
        // So that no part of the game is left out.
        .args(["check", "--no-cache", "--memory", "8192", "--show", "hint"])
        .arg("line.pgn")
        .status();
    // More claims than are checked are trouble, too.
    assert!(status.expect("it runs").code().is_some());
    since.elapsed()
}

/// Reads until `wanted` has come; other messages of the server's are left alone.
fn until(server: &mut Server, wanted: &str) {
    loop {
        let body = server.read();
        // The first and the last words tell what it is.
        let head = String::from_utf8_lossy(&body[..body.len().min(60)]);
        let tail = String::from_utf8_lossy(&body[body.len().saturating_sub(20)..]);
        if head.contains(wanted) || tail.contains(wanted) {
            return;
        }
    }
}

/// How long the server takes to the first findings, and for the semantic tokens.
fn served(folder: &Path, text: &str) -> [Duration; 2] {
    let mut server = Server::start(&mut gainsay(folder));
    let answered = |server: &mut Server, method, params| {
        let id = server.ask(method, params);
        until(server, &format!("\"id\":{id}"));
    };
    let settings = json!({"processId": null, "rootUri": null, "capabilities": {},
        "initializationOptions": {"claims": false}});
    answered(&mut server, "initialize", settings);
    server.notify("initialized", json!({}));
    let uri = "file:///line/line.pgn";
    let open =
        json!({"textDocument": {"uri": uri, "languageId": "pgn", "version": 1, "text": text}});
    let since = Instant::now();
    server.notify("textDocument/didOpen", open);
    until(&mut server, "publishDiagnostics");
    let found = since.elapsed();
    let since = Instant::now();
    let tokens = json!({"textDocument": {"uri": uri}});
    answered(&mut server, "textDocument/semanticTokens/full", tokens);
    let coloured = since.elapsed();
    server.close().wait().expect("it ends");
    [found, coloured]
}

fn main() {
    let most = std::env::args().filter_map(|word| word.parse().ok()).next();
    let most = most.unwrap_or(8) << 20;
    let folder = tempfile::tempdir().expect("a folder");
    println!("time per byte, the smallest file of each kind being 1");
    println!(
        "{:24} {:>9} {:>9} {:>9} {:>9}",
        "", "bytes", "check", "findings", "tokens"
    );
    for (name, kind) in KINDS {
        for letter in ['e', 'é'] {
            let mut smallest: Option<[f64; 3]> = None;
            let mut size = 256 << 10;
            while size <= most {
                let text = text(kind, size, letter);
                fs::write(folder.path().join("line.pgn"), &text).expect("written");
                let best = |measure: &dyn Fn() -> Duration| {
                    (0..2).map(|_| measure()).min().unwrap_or_default()
                };
                let check = best(&|| checked(folder.path()));
                let [found, coloured] = served(folder.path(), &text);
                let each =
                    [check, found, coloured].map(|time| time.as_secs_f64() / text.len() as f64);
                let one = smallest.get_or_insert(each);
                println!(
                    "{name:22} {letter} {:9} {:9.2} {:9.2} {:9.2}",
                    text.len(),
                    each[0] / one[0],
                    each[1] / one[1],
                    each[2] / one[2]
                );
                // One step up and then to the end.
                size *= if size < 1 << 20 { 4 } else { 8 };
            }
        }
    }
}
