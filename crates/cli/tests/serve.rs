//! The language server as the command starts it: tables of endings and the author's
//! engine, through the protocol's frames on standard input and output.

#[allow(dead_code, reason = "not all of it is needed here")]
mod common;

use std::{fs, path::Path};

use common::frames::Server;
use serde_json::{Value, json};
use wait4::Wait4 as _;

struct Editor {
    server: Server,
    /// The texts of `window/showMessage`.
    told: Vec<String>,
}

impl Editor {
    /// An editor with one folder and these settings of its own.
    fn start(folder: &Path, options: Value) -> Self {
        let mut command = common::command(folder);
        command.env("XDG_CACHE_HOME", folder.join("cache"));
        let mut editor = Self {
            server: Server::start(&mut command),
            told: Vec::new(),
        };
        let root = format!("file://{}", folder.display());
        editor.request(
            "initialize",
            json!({"processId": null, "rootUri": root, "capabilities": {},
                   "initializationOptions": options}),
        );
        editor.notify("initialized", json!({}));
        editor
    }

    fn notify(&mut self, method: &str, params: Value) {
        self.server.notify(method, params);
    }

    fn request(&mut self, method: &str, params: Value) -> Value {
        let id = self.server.ask(method, params);
        loop {
            let message: Value = serde_json::from_slice(&self.server.read()).expect("JSON");
            if message["method"] == "window/showMessage" {
                let text = message["params"]["message"].as_str();
                self.told.push(text.expect("a text").to_owned());
            }
            if message.get("method").is_none() && message["id"] == id {
                return message["result"].clone();
            }
        }
    }

    fn open(&mut self, uri: &str, text: &str) {
        self.notify(
            "textDocument/didOpen",
            json!({"textDocument": {"uri": uri, "languageId": "pgn", "version": 1, "text": text}}),
        );
    }

    fn counts(&mut self, uri: &str) -> Value {
        self.request(
            "workspace/executeCommand",
            json!({"command": "gainsay.counts", "arguments": [uri]}),
        )
    }

    /// The verdicts of a document, once all are there.
    fn settled(&mut self, uri: &str) -> Value {
        loop {
            let counts = self.counts(uri);
            if counts["settling"] == false {
                return counts["claims"].clone();
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
    }

    /// What is said of the claims of a document: the texts over the hints behind them.
    fn verdicts(&mut self, uri: &str) -> String {
        self.request(
            "textDocument/inlayHint",
            json!({"textDocument": {"uri": uri}, "range": {
                "start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}}),
        )
        .to_string()
    }

    fn stop(self) -> Vec<String> {
        self.end().0
    }

    /// Ends the session, and gives what was told and the most memory that was ever taken,
    /// in bytes.
    fn end(mut self) -> (Vec<String>, u64) {
        self.request("shutdown", Value::Null);
        self.notify("exit", Value::Null);
        let used = self.server.close().wait4().expect("an end");
        assert_eq!(used.status.code(), Some(0));
        (self.told, used.rusage.maxrss)
    }

    /// The findings of all files of the workspace, once all are checked.
    fn findings(&mut self) -> Value {
        self.request(
            "workspace/executeCommand",
            json!({"command": "gainsay.findings", "arguments": []}),
        )
    }
}

fn game(fen: &str, comment: &str) -> String {
    format!(
        "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n{{{comment}}} *\n"
    )
}

/// King and pawn: a draw, by the rule of the opposition.
const DRAWN: &str = "4k3/4P3/3K4/8/8/8/8/8 w - - 0 1";
/// A rook up, which is a matter of judgement.
const UP: &str = "r3k3/ppp2ppp/8/8/8/8/PPP2PPP/R2QK3 w - - 0 1";

#[test]
fn endings_are_known_exactly_and_their_tables_are_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut editor = Editor::start(folder.path(), Value::Null);
    let uri = "untitled:Ending";
    editor.open(uri, &game(DRAWN, "White is winning."));
    assert_eq!(
        editor.settled(uri),
        json!({"holds": 0, "fails": 1, "unsettled": 0})
    );
    editor.stop();
    let kept = folder.path().join("cache/gainsay/endings/KPK.table");
    assert!(kept.is_file());
}

#[test]
fn an_edit_does_not_wait_for_a_table_and_the_table_is_made_all_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut editor = Editor::start(folder.path(), Value::Null);
    let uri = "file:///book/ending.pgn";
    // Pawns on both sides: the table that takes longest.
    let text = game("8/4k3/4p3/8/4P3/4K3/8/8 w - - 0 1", "White is winning.");
    editor.open(uri, &text);
    // The smaller tables that it needs are made and kept one after the other.
    let kept = folder.path().join("cache/gainsay/endings");
    let tables = || fs::read_dir(&kept).map_or(0, Iterator::count);
    while tables() == 0 {
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    assert_eq!(editor.counts(uri)["settling"], true);
    // The claim is taken back. What comes instead is settled at once, which it could not
    // be if the worker were still at the table.
    editor.notify(
        "textDocument/didChange",
        json!({"textDocument": {"uri": uri, "version": 2},
               "contentChanges": [{"text": game("6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 1",
                                                "White mates in one.")}]}),
    );
    assert_eq!(
        editor.settled(uri),
        json!({"holds": 1, "fails": 0, "unsettled": 0})
    );
    assert!(!kept.join("KPKP.table").exists());
    let then = tables();
    while tables() == then {
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    editor.stop();
}

#[test]
fn only_the_editors_own_settings_start_an_engine() {
    let folder = tempfile::tempdir().expect("a folder");
    let program = env!("CARGO_BIN_EXE_gainsay");
    // The engine is gainsay's own search; a shell notes that it was started.
    let started = folder.path().join("started");
    let script = format!("touch {}; exec {program} uci", started.display());
    let engine = ["sh", "-c", script.as_str()];
    let settings = format!("engine = {engine:?}\n");
    fs::write(folder.path().join("gainsay.toml"), settings).expect("written");
    let uri = format!("file://{}/a.pgn", folder.path().display());

    let mut editor = Editor::start(folder.path(), json!({"hints": true}));
    editor.open(&uri, &game(UP, "White is winning."));
    assert_eq!(editor.settled(&uri)["holds"], 1);
    assert!(!editor.verdicts(&uri).contains("judged by"));
    let told = editor.stop();
    assert!(
        told.iter().any(|told| told.contains("is not started")),
        "{told:?}"
    );
    assert!(!started.exists(), "a found file started a program");

    let mut editor = Editor::start(folder.path(), json!({"engine": engine, "hints": true}));
    editor.open(&uri, &game(UP, "White is winning."));
    assert_eq!(editor.settled(&uri)["holds"], 1);
    assert!(editor.verdicts(&uri).contains("judged by sh"));
    editor.stop();
    assert!(started.exists());
}

#[test]
fn a_syzygy_folder_that_is_not_there_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("gainsay.toml");
    fs::write(&file, "syzygy = \"no-such-folder\"\n").expect("written");
    let mut editor = Editor::start(folder.path(), Value::Null);
    editor.open("untitled:a", &game(UP, "White is winning."));
    assert_eq!(editor.settled("untitled:a")["holds"], 1);
    let told = editor.stop();
    assert!(
        told.iter().any(|told| told.contains("no-such-folder")),
        "{told:?}"
    );
}

#[test]
fn the_command_and_the_server_judge_a_settings_file_alike() {
    let folder = tempfile::tempdir().expect("a folder");
    let game = "[Event \"A\"]\n[Site \"B\"]\n[Date \"1999.01.01\"]\n[Round \"1\"]\n\
                [White \"C\"]\n[Black \"D\"]\n[Result \"*\"]\n\n1. e4 e5 *\n";
    fs::write(folder.path().join("a.pgn"), game).expect("written");
    for (settings, wrong) in [
        ("closed-files = \"off\"\npictures = true\n", None),
        ("language = \"\"\nengine = []\nsyzygy = \"\"\n", None),
        ("hints = false\nmanuscripts = \"none\"\n", None),
        (
            "claims = true\nfail-on = \"nonsense\"\n",
            Some("2:11: the setting \"fail-on\" must be hint, information, warning or error"),
        ),
        (
            "noeds = 5\n",
            Some("1:1: there is no setting \"noeds\": did you mean \"nodes\"?"),
        ),
        (
            "[rules]\nilegal-move = \"off\"\n",
            Some("2:1: there is no rule \"ilegal-move\": did you mean \"illegal-move\"?"),
        ),
        (
            "memory = 10\n",
            Some("1:10: the setting \"memory\" must be"),
        ),
        ("nodes = [\n", Some("this is no TOML")),
    ] {
        fs::write(folder.path().join("gainsay.toml"), settings).expect("written");
        let run = common::check(folder.path(), &["a.pgn"]);
        let mut editor = Editor::start(folder.path(), Value::Null);
        // What is wrong with the settings is told before the files are looked at.
        editor.findings();
        let told = editor.stop();
        match wrong {
            None => {
                assert_eq!((run.code, run.err.as_str()), (Some(0), ""), "{settings}");
                assert!(told.is_empty(), "{told:?}");
            }
            Some(wrong) => {
                assert_eq!(run.code, Some(2), "{settings}");
                for told in [&run.err, &told.join("\n")] {
                    assert!(told.contains("gainsay.toml:"), "{told}");
                    assert!(told.contains(wrong), "{told}");
                    assert_eq!(told.trim_end().lines().count(), 1, "{told}");
                }
            }
        }
    }
}

#[test]
fn the_memory_that_is_named_is_kept_to() {
    // Invented middlegames, none of them soon settled.
    let games: String = [
        "r2q1rk1/1b2bppp/p1nppn2/1p6/3NPP2/1BN1B3/PPP3PP/R2Q1R1K w - - 0 13",
        "2r2rk1/pp1bqpp1/2n1pn1p/3p4/3P4/2PBPN2/PP1N1PPP/R2QR1K1 w - - 0 14",
    ]
    .map(|fen| game(fen, "White mates in eight. White mates in nine."))
    .concat();
    let folder = tempfile::tempdir().expect("a folder");
    let uri = format!("file://{}/part/a.pgn", folder.path().display());
    let part = folder.path().join("part");
    fs::create_dir(&part).expect("a folder");
    let peak = |settings: &str| {
        // The settings file of a folder in the workspace holds for the process too.
        fs::write(part.join("gainsay.toml"), settings).expect("written");
        let mut editor = Editor::start(folder.path(), json!({"nodes": 3_000_000}));
        editor.open(&uri, &games);
        // That the file was found can be told only afterwards.
        std::thread::sleep(std::time::Duration::from_millis(300));
        editor.settled(&uri);
        editor.end()
    };
    let (_, usual) = peak("");
    assert!(usual < 256 << 20, "{usual}");
    let (told, little) = peak("memory = 64\n");
    assert!(told.is_empty(), "{told:?}");
    assert!(little < 64 << 20, "{little}");
    assert!(little < usual, "{little} {usual}");
    let (told, _) = peak("memory = 10\n");
    assert!(
        told.iter()
            .any(|told| told.contains("gainsay.toml:1:10: the setting \"memory\" must be")),
        "{told:?}"
    );
}

#[test]
fn verdicts_of_files_that_are_not_open_are_remembered() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("a.pgn"),
        game(UP, "White is winning. White mates in one."),
    )
    .expect("written");
    let kept = folder.path().join("cache/gainsay/verdicts");
    let count = || {
        let shards = fs::read_dir(&kept).into_iter().flatten().flatten();
        let files = shards.filter_map(|shard| fs::read_dir(shard.path()).ok());
        files.map(Iterator::count).sum::<usize>()
    };
    let mut editor = Editor::start(folder.path(), json!({"cache": false}));
    let found = editor.findings();
    editor.stop();
    assert_eq!(count(), 0);
    for _ in 0..2 {
        let mut editor = Editor::start(folder.path(), Value::Null);
        assert_eq!(editor.findings(), found);
        editor.stop();
        assert_eq!(count(), 1);
    }
    // The command remembers what the server settled.
    let mut check = common::command(folder.path());
    let run = check
        .env("XDG_CACHE_HOME", folder.path().join("cache"))
        .args(["check", "--verbose", "a.pgn"])
        .output()
        .expect("the command runs");
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(said.contains("1 remembered, 0 settled"), "{said}");
}
