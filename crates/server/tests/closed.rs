//! Files of the workspace that are not open.

mod client;

use std::{
    fs,
    path::PathBuf,
    time::{Duration, Instant},
};

use client::{Client, Dice, Folder, outline};
use serde_json::{Value, json};

const SLIP: &str = "1. e4 Nh4 *\n";
/// The rook has the back rank to itself, so that this mate is none.
const NO_MATE: &str = "6k1/5pp1/7p/8/8/8/8/R3K3 w - - dm 1;\n";

/// A folder with files of every kind, some of which are not to be looked at.
fn book() -> Folder {
    let folder = Folder::new("closed");
    for sub in [".git", "left", "part"] {
        fs::create_dir(folder.0.join(sub)).expect("a folder");
    }
    let chapter = format!("Über den König.\n\n```pgn\n{SLIP}```\n");
    for (name, text) in [
        ("a.pgn", "\u{feff}{naïve 😀} 1. e4 Nh4 *\n"),
        ("b.epd", NO_MATE),
        ("part/c.md", chapter.as_str()),
        ("fine.pgn", "[Event \"?\"]\n\n1. e4 e5 *\n"),
        ("notes.txt", SLIP),
        ("list.txt", "4. eggs\n5. tea\n"),
        (".hidden.pgn", SLIP),
        ("left/out.pgn", SLIP),
        (".gitignore", "left/\n"),
    ] {
        fs::write(folder.0.join(name), text).expect("written");
    }
    folder
}

async fn start(folder: &Folder, capabilities: Value, options: Value) -> Client {
    let mut client = Client::connect();
    client
        .request(
            "initialize",
            json!({"processId": null, "rootUri": null, "capabilities": capabilities,
                   "initializationOptions": options,
                   "workspaceFolders": [{"uri": folder.uri(), "name": "book"}]}),
        )
        .await;
    client.notify("initialized", json!({})).await;
    client
}

/// A client that asks for diagnostics, and watches files.
fn pulling() -> Value {
    json!({"workspace": {"diagnostics": {"refreshSupport": true},
                         "didChangeWatchedFiles": {"dynamicRegistration": true}},
           "textDocument": {"diagnostic": {}}})
}

fn uri(folder: &Folder, name: &str) -> String {
    format!("{}/{name}", folder.uri())
}

/// The reports of an answer that came in parts, by address, the last of each.
async fn pull(client: &mut Client, known: &Value) -> Vec<Value> {
    client.log.clear();
    let asked = json!({"previousResultIds": known, "partialResultToken": "part"});
    let last = client.request("workspace/diagnostic", asked).await;
    assert_eq!(last, json!({"items": []}));
    let parts = client
        .log
        .iter()
        .filter(|message| message["method"] == "$/progress" && message["params"]["token"] == "part")
        .flat_map(|message| {
            message["params"]["value"]["items"]
                .as_array()
                .expect("a list")
        });
    let mut reports: Vec<Value> = Vec::new();
    for part in parts {
        reports.retain(|known| known["uri"] != part["uri"]);
        reports.push(part.clone());
    }
    reports
}

fn of<'r>(reports: &'r [Value], folder: &Folder, name: &str) -> Option<&'r Value> {
    let uri = uri(folder, name);
    reports.iter().find(|report| report["uri"] == uri)
}

fn codes(report: Option<&Value>) -> Vec<&str> {
    let items = report.and_then(|report| report["items"].as_array());
    let items = items.expect("a full report").iter();
    items
        .filter_map(|item| item["code"].as_str())
        .filter(|code| *code != "missing-roster-tag")
        .collect()
}

fn ids(reports: &[Value]) -> Value {
    let ids = reports
        .iter()
        .map(|report| json!({"uri": report["uri"], "value": report["resultId"]}));
    ids.collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_client_gets_the_findings_of_files_that_are_not_open() {
    let folder = book();
    let mut client = start(&folder, pulling(), Value::Null).await;
    let reports = pull(&mut client, &json!([])).await;
    let mut names: Vec<&str> = reports
        .iter()
        .filter_map(|report| report["uri"].as_str()?.strip_prefix(&folder.uri()))
        .collect();
    names.sort_unstable();
    assert_eq!(
        names,
        ["/a.pgn", "/b.epd", "/fine.pgn", "/notes.txt", "/part/c.md"]
    );
    assert!(reports.iter().all(|report| report["version"].is_null()));
    assert_eq!(codes(of(&reports, &folder, "a.pgn")), ["illegal-move"]);
    assert_eq!(codes(of(&reports, &folder, "b.epd")), ["false-mate"]);
    assert_eq!(codes(of(&reports, &folder, "part/c.md")), ["illegal-move"]);
    // The same as when it is open, to the letter and the column.
    for name in ["a.pgn", "b.epd", "part/c.md", "fine.pgn"] {
        let text = fs::read_to_string(folder.0.join(name)).expect("text");
        let text = text.trim_start_matches('\u{feff}');
        let mut other = Client::start().await;
        let uri = uri(&folder, name);
        other.open_as(&uri, "", 1, text).await;
        other.all_settled(&uri).await;
        other.published(&uri, 1).await;
        other.settle(Duration::from_millis(300)).await;
        let closed = of(&reports, &folder, name).expect("a report")["items"].clone();
        let closed = closed.as_array().expect("a list");
        assert_eq!(outline(closed), outline(&other.published[&uri].1), "{name}");
        other.stop().await;
    }
    // What has not changed is not sent again, in parts or at once.
    let again = pull(&mut client, &ids(&reports)).await;
    assert_eq!(again.len(), reports.len());
    assert!(again.iter().all(|report| report["kind"] == "unchanged"));
    let asked = json!({"previousResultIds": ids(&reports)});
    let at_once = client.request("workspace/diagnostic", asked).await;
    let at_once = at_once["items"].as_array().expect("a list");
    assert_eq!(at_once.len(), reports.len());
    assert!(at_once.iter().all(|report| report["kind"] == "unchanged"));
    client.stop().await;
}

/// Tells the server what happened to files (1 made, 2 written, 3 deleted), and waits until
/// it wants to be asked again.
async fn changed(client: &mut Client, folder: &Folder, changes: &[(&str, u8)]) {
    client.log.clear();
    let changes = changes.iter();
    client
        .watched(changes.map(|(name, what)| (uri(folder, name), *what)))
        .await;
    let refreshes = |message: &Value| message["method"] == "workspace/diagnostic/refresh";
    client
        .until(|client| client.log.iter().any(refreshes))
        .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn files_that_change_are_checked_again() {
    let folder = book();
    let mut client = start(&folder, pulling(), Value::Null).await;
    let watched = |message: &Value| {
        message["params"]["registrations"][0]["method"] == "workspace/didChangeWatchedFiles"
    };
    client.until(|client| client.log.iter().any(watched)).await;
    let first = pull(&mut client, &json!([])).await;
    fs::write(folder.0.join("fine.pgn"), "1. e4 e5 2. Ke3 *\n").expect("written");
    changed(&mut client, &folder, &[("fine.pgn", 2)]).await;
    let second = pull(&mut client, &ids(&first)).await;
    assert_eq!(codes(of(&second, &folder, "fine.pgn")), ["illegal-move"]);
    let unchanged = of(&second, &folder, "a.pgn").expect("a report");
    assert_eq!(unchanged["kind"], "unchanged");
    // One is deleted, one is new, one is ignored no longer.
    fs::remove_file(folder.0.join("fine.pgn")).expect("deleted");
    fs::write(folder.0.join("part/new.pgn"), SLIP).expect("written");
    fs::write(folder.0.join(".gitignore"), "").expect("written");
    let all = [("fine.pgn", 3), ("part/new.pgn", 1), (".gitignore", 2)];
    changed(&mut client, &folder, &all).await;
    let third = pull(&mut client, &ids(&second)).await;
    assert_eq!(codes(of(&third, &folder, "fine.pgn")), Vec::<&str>::new());
    assert_eq!(codes(of(&third, &folder, "part/new.pgn")), ["illegal-move"]);
    assert_eq!(codes(of(&third, &folder, "left/out.pgn")), ["illegal-move"]);
    // A settings file of a folder holds for its files.
    fs::write(
        folder.0.join("part/gainsay.toml"),
        "[rules]\nillegal-move = \"off\"\n",
    )
    .expect("written");
    changed(&mut client, &folder, &[("part/gainsay.toml", 1)]).await;
    let fourth = pull(&mut client, &ids(&third)).await;
    assert_eq!(codes(of(&fourth, &folder, "part/c.md")), Vec::<&str>::new());
    assert_eq!(
        of(&fourth, &folder, "a.pgn").expect("told")["kind"],
        "unchanged"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_file_that_is_open_counts_as_it_is_in_the_editor() {
    let folder = book();
    let mut client = start(&folder, pulling(), Value::Null).await;
    let first = pull(&mut client, &json!([])).await;
    // Another way to write the same address.
    let open = uri(&folder, "%61.pgn");
    client.open(&open, 7, "1. e4 e5 *\n").await;
    let second = pull(&mut client, &ids(&first)).await;
    assert!(of(&second, &folder, "a.pgn").is_none());
    let report = of(&second, &folder, "%61.pgn");
    assert_eq!(codes(report), Vec::<&str>::new());
    assert_eq!(report.expect("told")["version"], 7);
    client
        .notify(
            "textDocument/didClose",
            json!({"textDocument": {"uri": open}}),
        )
        .await;
    let third = pull(&mut client, &ids(&second)).await;
    assert_eq!(codes(of(&third, &folder, "a.pgn")), ["illegal-move"]);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn findings_of_files_that_are_not_open_are_pushed_only_if_asked_for() {
    let folder = book();
    let mut client = start(&folder, json!({}), Value::Null).await;
    client.settle(Duration::from_millis(500)).await;
    assert!(client.published.is_empty(), "{:?}", client.published);
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": {"gainsay": {"closedFiles": "pushed"}}}),
        )
        .await;
    let a = uri(&folder, "a.pgn");
    client
        .until(|client| client.published.contains_key(&a))
        .await;
    let (version, found) = &client.published[&a];
    assert_eq!(*version, None);
    assert!(found.iter().any(|found| found["code"] == "illegal-move"));
    client.until(|client| client.published.len() == 5).await;
    // Manuscripts can be left out.
    let chapter = uri(&folder, "part/c.md");
    assert_ne!(client.published[&chapter].1, Vec::<Value>::new());
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": {"gainsay": {"closedFiles": "pushed", "manuscripts": "none"}}}),
        )
        .await;
    client
        .until(|client| client.published[&chapter].1.is_empty())
        .await;
    assert_ne!(client.published[&a].1, Vec::<Value>::new());
    client
        .notify(
            "workspace/didChangeConfiguration",
            json!({"settings": {"gainsay": {"closedFiles": "off"}}}),
        )
        .await;
    client
        .until(|client| client.published.values().all(|(_, found)| found.is_empty()))
        .await;
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_command_gives_the_findings_of_the_whole_workspace() {
    let folder = book();
    let mut client = start(&folder, json!({}), Value::Null).await;
    let open = uri(&folder, "part/open.pgn");
    client.open(&open, 3, "1. e4 e5 2. Ke3 *\n").await;
    let found = client.command("gainsay.findings", json!([])).await;
    let found = found.as_array().expect("a list");
    let mut all: Vec<(&str, Vec<&str>)> = found
        .iter()
        .map(|file| {
            let codes = file["diagnostics"].as_array().expect("a list").iter();
            let codes = codes.filter_map(|found| found["code"].as_str());
            let codes = codes.filter(|code| *code != "missing-roster-tag");
            let name = file["uri"].as_str().expect("an address");
            (
                name.strip_prefix(&folder.uri()).expect("of the folder"),
                codes.collect(),
            )
        })
        .collect();
    all.sort_unstable();
    assert_eq!(
        all,
        [
            ("/a.pgn", vec!["illegal-move"]),
            ("/b.epd", vec!["false-mate"]),
            ("/fine.pgn", vec![]),
            ("/notes.txt", vec!["illegal-move"]),
            ("/part/c.md", vec!["illegal-move"]),
            ("/part/open.pgn", vec!["illegal-move"]),
        ]
    );
    // Nothing of it was pushed.
    assert!(client.published.keys().all(|uri| *uri == open));
    // This client watches nothing: whoever asks again gets what is there now.
    fs::write(folder.0.join("a.pgn"), "1. e4 e5 *\n").expect("written");
    let found = client.command("gainsay.findings", json!([])).await;
    let a = uri(&folder, "a.pgn");
    let found = found.as_array().expect("a list").iter();
    let file = found.into_iter().find(|file| file["uri"] == a);
    let codes = file.expect("told")["diagnostics"].to_string();
    assert!(!codes.contains("illegal-move"), "{codes}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_not_checked_and_what_is_not_shown_is_told() {
    let folder = Folder::new("odd");
    fs::write(folder.0.join("binary.pgn"), [0_u8; 4096]).expect("written");
    fs::write(folder.0.join("huge.pgn"), vec![b' '; (16 << 20) + 1]).expect("written");
    fs::write(folder.0.join("many.pgn"), "1. Ke3 *\n\n".repeat(1_500)).expect("written");
    fs::write(folder.0.join("more.pgn"), "1. Ke3 *\n\n".repeat(900)).expect("written");
    let options = json!({"rules": {"missing-roster-tag": "off"}});
    let mut client = start(&folder, pulling(), options).await;
    let reports = pull(&mut client, &json!([])).await;
    let last = |name: &str| {
        let report = of(&reports, &folder, name).expect("told");
        let items = report["items"].as_array().expect("a list");
        let message = items.last().expect("a finding")["message"].to_string();
        (items.len(), message)
    };
    let (count, message) = last("binary.pgn");
    assert!(count == 1 && message.contains("binary data"), "{message}");
    let (count, message) = last("huge.pgn");
    assert!(count == 1 && message.contains("16 MB"), "{message}");
    let (count, message) = last("many.pgn");
    assert_eq!(count, 1_001);
    assert!(message.contains("more findings are not shown"), "{message}");
    assert_eq!(last("more.pgn").0, 900);
    client.stop().await;
}

/// Whether somebody waits for a claim when a long file is being checked: not longer than
/// without it. The file is checked to its end all the same.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_open_document_goes_before_files_that_are_not_open() {
    let folder = Folder::new("busy");
    // Claims that take a worker a while each; a question that is asked again costs nothing, so
    // that the clock of the fifty-move rule tells them apart.
    let game = |clock: u32| {
        format!(
            "[FEN \"r2q1rk1/pp2bppp/2n1bn2/3p4/3P4/2N1BN2/PP2BPPP/R2Q1RK1 w - - {clock} 30\"]\n\n\
             30. Re1 {{White mates in nine.}} Rc8 {{Black is winning.}} *\n\n"
        )
    };
    let games: String = (0..58).map(game).collect();
    fs::write(folder.0.join("long.pgn"), games).expect("written");
    let mut client = start(&folder, pulling(), json!({"nodes": 30_000})).await;
    let id = client
        .post(
            "workspace/diagnostic",
            json!({"previousResultIds": [], "partialResultToken": "part"}),
        )
        .await;
    client.settle(Duration::from_millis(300)).await;
    let open = uri(&folder, "open.pgn");
    let mut text = String::from("1. f3 e5 2. g4 Qh4# {This is mate.} 0-1\n");
    client.open(&open, 1, &text).await;
    for version in 2..10 {
        let begun = Instant::now();
        client
            .edit(&open, version, [0, 20, 0, 20], "{Black mates.} ")
            .await;
        text.insert_str(20, "{Black mates.} ");
        client.all_settled(&open).await;
        let waited = begun.elapsed();
        assert!(waited < Duration::from_secs(5), "{waited:?}");
    }
    let answer = client.answer(id).await;
    assert_eq!(answer["result"], json!({"items": []}));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn names_are_found_and_changed_in_files_that_are_not_open() {
    let folder = book();
    let named = "[White \"Ödön, A\"]\n[Black \"Brück, B\"]\n\n1. e4 e5 *\n";
    let files: [(&str, String); 4] = [
        ("one.pgn", named.to_owned()),
        ("part/two.md", format!("Prose.\n\n```pgn\n{named}```\n")),
        ("left/three.pgn", named.to_owned()),
        ("bom.pgn", format!("\u{feff}{named}")),
    ];
    for (name, text) in &files {
        fs::write(folder.0.join(name), text).expect("written");
    }
    let versioned = json!({"workspace": {"workspaceEdit": {"documentChanges": true}}});
    let mut client = start(&folder, versioned, Value::Null).await;
    let open = uri(&folder, "one.pgn");
    client.open(&open, 4, named).await;
    let found = client
        .request("workspace/symbol", json!({"query": "ödön"}))
        .await;
    let mut places: Vec<String> = found
        .as_array()
        .expect("a list")
        .iter()
        .map(|symbol| {
            let location = &symbol["location"];
            let uri = location["uri"].as_str().expect("an address");
            let name = uri.strip_prefix(&folder.uri()).expect("of the folder");
            format!("{name}:{}", location["range"]["start"]["line"])
        })
        .collect();
    places.sort_unstable();
    assert_eq!(places, ["/bom.pgn:0", "/one.pgn:0", "/part/two.md:3"]);
    let edit = client
        .request(
            "textDocument/rename",
            json!({"textDocument": {"uri": open}, "position": {"line": 0, "character": 10},
                   "newName": "Ödön, Anna"}),
        )
        .await;
    let changes = edit["documentChanges"].as_array().expect("a list");
    let mut versions: Vec<(String, Value)> = Vec::new();
    for change in changes {
        let document = &change["textDocument"];
        let uri = document["uri"].as_str().expect("an address");
        let name = uri.strip_prefix(&folder.uri()).expect("of the folder");
        let path: PathBuf = folder.0.join(&name[1..]);
        let text = fs::read_to_string(path).expect("text");
        // Editors leave out the mark.
        let text = text.trim_start_matches('\u{feff}');
        assert_eq!(
            client::applied(text, &change["edits"]),
            text.replace("Ödön, A", "Ödön, Anna"),
            "{name}"
        );
        versions.push((name.to_owned(), document["version"].clone()));
    }
    versions.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(
        versions,
        [
            ("/bom.pgn".to_owned(), Value::Null),
            ("/one.pgn".to_owned(), json!(4)),
            ("/part/two.md".to_owned(), Value::Null),
        ]
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_author_need_not_wait_for_files() {
    let folder = Folder::new("long");
    // A quiet middlegame, where a mate in six is not settled soon.
    let game = "[SetUp \"1\"]\n[FEN \"r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/1PN1PN2/PB3PPP/R2QKB1R w KQ - 0 9\"]\n\n9. Bd3 {White has a forced mate in six.} *\n";
    fs::write(folder.0.join("a.pgn"), game).expect("written");
    fs::write(folder.0.join("b.pgn"), SLIP).expect("written");
    let mut capabilities = pulling();
    capabilities["window"] = json!({"workDoneProgress": true});
    let options = json!({"nodes": 2_000_000_000_u64});
    let mut client = start(&folder, capabilities, options).await;
    let asked = json!({"previousResultIds": [], "partialResultToken": "part"});
    let id = client.post("workspace/diagnostic", asked).await;
    let kind = |message: &Value, kind: &str| {
        message["method"] == "$/progress" && message["params"]["value"]["kind"] == kind
    };
    let token = loop {
        let message = client.read().await;
        if kind(&message, "begin") {
            let value = &message["params"]["value"];
            assert_eq!(value["title"], "Checking the workspace");
            assert_eq!(value["cancellable"], true);
            break message["params"]["token"].clone();
        }
    };
    client
        .notify("window/workDoneProgress/cancel", json!({"token": token}))
        .await;
    // The request ends, too, without the file that was not waited for.
    let answer = client.answer(id).await;
    assert_eq!(answer["result"], json!({"items": []}));
    client
        .until(|client| client.log.iter().any(|message| kind(message, "end")))
        .await;
    let reports = pull(&mut client, &json!([])).await;
    assert!(of(&reports, &folder, "a.pgn").is_none(), "{reports:?}");
    client.stop().await;
}

/// Files are written, deleted, opened, edited and closed in any order, and settings change
/// meanwhile: in the end the client knows what a new one is told.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn whatever_happens_to_files_the_end_is_that_of_a_fresh_check() {
    const TEXTS: [&str; 4] = [
        SLIP,
        "1. f3 e5 2. g4 {Black mates in one.} Qh4# 0-1\n",
        "1. f3 e5 2. g4 {White mates in one.} Qh4# 0-1\n",
        "[Event \"é\"]\n\n1. e4 {2.Ke3 is mate.} e5 *\n",
    ];
    let folder = Folder::new("storm");
    fs::create_dir(folder.0.join("part")).expect("a folder");
    let names = ["a.pgn", "b.pgn", "part/c.pgn", "part/d.pgn", "é ü.pgn"];
    let mut client = start(&folder, pulling(), json!({"nodes": 2_000})).await;
    let mut open: Vec<Option<i64>> = vec![None; names.len()];
    let mut dice = Dice(0x5_7041);
    let mut known = json!([]);
    for _ in 0..400 {
        let at = dice.below(names.len());
        let (name, path) = (names[at], folder.0.join(names[at]));
        let uri = uri(&folder, name).replace("é ü", "%C3%A9%20%C3%BC");
        let document = json!({"textDocument": {"uri": uri}});
        match dice.below(10) {
            0..=3 => {
                fs::write(&path, TEXTS[dice.below(TEXTS.len())]).expect("written");
                client.watched([(uri, 2)]).await;
            }
            4 => {
                let _ = fs::remove_file(&path);
                client.watched([(uri, 3)]).await;
            }
            5 | 6 => match open[at].take() {
                Some(_) => client.notify("textDocument/didClose", document).await,
                None => {
                    open[at] = Some(1);
                    client.open(&uri, 1, TEXTS[dice.below(TEXTS.len())]).await;
                }
            },
            7 => {
                if let Some(version) = &mut open[at] {
                    *version += 1;
                    client.edit(&uri, *version, [0, 0, 0, 1], "1").await;
                }
            }
            8 => {
                let file = folder.0.join("part/gainsay.toml");
                let level = ["off", "hint", "error"][dice.below(3)];
                fs::write(&file, format!("[rules]\nillegal-move = \"{level}\"\n"))
                    .expect("written");
                let uri = format!("{}/part/gainsay.toml", folder.uri());
                client.watched([(uri, 2)]).await;
            }
            _ => {
                let asked = json!({"previousResultIds": known});
                let answer = client.request("workspace/diagnostic", asked).await;
                known = ids(answer["items"].as_array().expect("a list"));
            }
        }
    }
    for (name, open) in names.iter().zip(open) {
        if open.is_some() {
            let uri = uri(&folder, name).replace("é ü", "%C3%A9%20%C3%BC");
            let document = json!({"textDocument": {"uri": uri}});
            client.notify("textDocument/didClose", document).await;
        }
    }
    // What was noticed is looked at after a moment.
    tokio::time::sleep(Duration::from_millis(500)).await;
    let sorted = |reports: Vec<Value>| {
        let mut all: Vec<(String, Vec<String>)> = reports
            .iter()
            .map(|report| {
                let items = report["items"].as_array().expect("a full report");
                (report["uri"].to_string(), outline(items))
            })
            .collect();
        all.sort();
        all
    };
    let ours = sorted(pull(&mut client, &json!([])).await);
    let mut fresh = start(&folder, pulling(), json!({"nodes": 2_000})).await;
    assert_eq!(ours, sorted(pull(&mut fresh, &json!([])).await));
    assert!(!ours.is_empty());
    fresh.stop().await;
    client.stop().await;
}
