//! Files that are one line, up to 8 MB, with and without accents: time per byte against
//! that of the smallest, for the command, and for the findings and the semantic tokens of
//! the language server. Everything is read once, so that the ratios stay near 1:
//! `cargo bench -p gainsay-cli --bench one_line` (`-- 1` for files up to 1 MB).

use std::{
    fmt::Write as _,
    fs,
    io::{BufRead as _, BufReader, Read as _, Write as _},
    path::Path,
    process::{ChildStdin, ChildStdout, Command, Stdio},
    time::{Duration, Instant},
};

use serde_json::{Value, json};

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
    let mut command = Command::new(env!("CARGO_BIN_EXE_gainsay"));
    command
        .current_dir(folder)
        .env("XDG_CACHE_HOME", folder)
        .stdin(Stdio::null())
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

struct Editor {
    to: ChildStdin,
    from: BufReader<ChildStdout>,
}

impl Editor {
    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.to, "Content-Length: {}\r\n\r\n{body}", body.len()).expect("it reads");
        self.to.flush().expect("it reads");
    }

    /// Reads until `wanted` has come; other requests of the server's are left alone.
    fn until(&mut self, wanted: impl Fn(&str) -> bool) {
        loop {
            let mut length = 0;
            loop {
                let mut line = String::new();
                assert!(self.from.read_line(&mut line).expect("a header") > 0);
                match line.trim_end().strip_prefix("Content-Length: ") {
                    Some(value) => length = value.parse().expect("a length"),
                    None if line.trim_end().is_empty() => break,
                    None => {}
                }
            }
            let mut body = vec![0; length];
            self.from.read_exact(&mut body).expect("a body");
            // The first words tell what it is.
            let head = String::from_utf8_lossy(&body[..body.len().min(60)]).into_owned();
            let tail = String::from_utf8_lossy(&body[body.len().saturating_sub(20)..]).into_owned();
            if wanted(&(head + &tail)) {
                return;
            }
        }
    }
}

/// How long the server takes to the first findings, and for the semantic tokens.
fn served(folder: &Path, text: &str) -> [Duration; 2] {
    let mut server = gainsay(folder)
        .arg("serve")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it runs");
    let (to, from) = (server.stdin.take(), server.stdout.take());
    let mut editor = Editor {
        to: to.expect("a pipe"),
        from: BufReader::new(from.expect("a pipe")),
    };
    editor.send(&json!({"jsonrpc": "2.0", "id": 1, "method": "initialize",
        "params": {"processId": null, "rootUri": null, "capabilities": {},
                   "initializationOptions": {"claims": false}}}));
    editor.until(|message| message.contains("\"id\":1"));
    editor.send(&json!({"jsonrpc": "2.0", "method": "initialized", "params": {}}));
    let uri = "file:///line/line.pgn";
    let open = json!({"jsonrpc": "2.0", "method": "textDocument/didOpen",
        "params": {"textDocument": {"uri": uri, "languageId": "pgn", "version": 1, "text": text}}});
    let tokens = json!({"jsonrpc": "2.0", "id": 2, "method": "textDocument/semanticTokens/full",
        "params": {"textDocument": {"uri": uri}}});
    let since = Instant::now();
    editor.send(&open);
    editor.until(|message| message.contains("publishDiagnostics"));
    let found = since.elapsed();
    let since = Instant::now();
    editor.send(&tokens);
    editor.until(|message| message.contains("\"id\":2"));
    let coloured = since.elapsed();
    drop(editor);
    server.wait().expect("it ends");
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
