//! The language server: what it is told, and in which order.

use std::{
    ops::Range,
    sync::{
        Arc, LazyLock, Once,
        atomic::{AtomicUsize, Ordering},
    },
    time::Duration,
};

use gainsay_notation::{Cuts, LineIndex};
use gainsay_server::{OwnSearch, serve_on};
use serde_json::{Value, json};
use tokio::{
    io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, BufReader, DuplexStream},
    runtime::Runtime,
    sync::mpsc::{UnboundedReceiver, unbounded_channel},
    task::JoinHandle,
    time::timeout,
};

/// No answer takes longer, on the slowest machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// Larger than any input, so that a write never waits for the server.
const BUFFER: usize = 4 << 20;

static RUNTIME: LazyLock<Runtime> = LazyLock::new(|| {
    let mut builder = tokio::runtime::Builder::new_multi_thread();
    let built = builder.worker_threads(2).enable_all().build();
    built.expect("threads can be started")
});

/// Panics in any thread since the start: a task's panic is caught by the runtime, which
/// would hide it.
static PANICS: AtomicUsize = AtomicUsize::new(0);

fn count_panics() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            PANICS.fetch_add(1, Ordering::SeqCst);
            usual(info);
        }));
    });
}

/// A server and its only client.
struct Session {
    to: DuplexStream,
    from: UnboundedReceiver<Value>,
    server: JoinHandle<()>,
    requests: usize,
    panics: usize,
}

impl Session {
    /// A session in which hands are shaken.
    async fn start(options: Value) -> Self {
        count_panics();
        let (to, input) = tokio::io::duplex(BUFFER);
        let (output, from) = tokio::io::duplex(BUFFER);
        let server = tokio::spawn(async move {
            serve_on(input, output, Arc::new(OwnSearch)).await;
        });
        let (send, receive) = unbounded_channel();
        tokio::spawn(async move {
            let mut from = BufReader::new(from);
            while let Some(message) = frame(&mut from).await {
                if send.send(message).is_err() {
                    break;
                }
            }
        });
        let mut session = Self {
            to,
            from: receive,
            server,
            requests: 0,
            panics: PANICS.load(Ordering::SeqCst),
        };
        let hello = json!({"processId": null, "rootUri": null, "capabilities": {},
                           "initializationOptions": options});
        session.request("initialize", hello).await;
        session.notify("initialized", json!({})).await;
        session
    }

    async fn raw(&mut self, bytes: &[u8]) {
        // A server that has ended reads no more.
        let _ = self.to.write_all(bytes).await;
    }

    async fn body(&mut self, body: &[u8]) {
        let header = format!("Content-Length: {}\r\n\r\n", body.len());
        self.raw(header.as_bytes()).await;
        self.raw(body).await;
    }

    async fn notify(&mut self, method: &str, params: Value) {
        let message = json!({"jsonrpc": "2.0", "method": method, "params": params});
        self.body(message.to_string().as_bytes()).await;
    }

    async fn open(&mut self, uri: &str, text: &str) {
        let document = json!({"uri": uri, "languageId": "pgn", "version": 1, "text": text});
        self.notify("textDocument/didOpen", json!({ "textDocument": document }))
            .await;
    }

    /// The answer to a request, be it an error; `None` if the server has ended.
    async fn request(&mut self, method: &str, params: Value) -> Option<Value> {
        self.requests += 1;
        let id = format!("request {} of the client", self.requests);
        let message = json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params});
        self.body(message.to_string().as_bytes()).await;
        loop {
            let next = timeout(PATIENCE, self.from.recv()).await;
            let message = next.unwrap_or_else(|_| panic!("{method} is not answered"))?;
            if message["id"] == id.as_str() && message.get("method").is_none() {
                return Some(message);
            }
        }
    }

    /// Waits until no claim of a document waits for its verdict, and gives what was found.
    async fn findings(&mut self, uri: &str) -> Option<Vec<String>> {
        let command = |name: &str| json!({"command": name, "arguments": [uri]});
        loop {
            let counts = self
                .request("workspace/executeCommand", command("gainsay.counts"))
                .await?;
            if counts["result"]["settling"] != true {
                break;
            }
            tokio::time::sleep(Duration::from_millis(1)).await;
        }
        let all = self
            .request("workspace/executeCommand", command("gainsay.findings"))
            .await?;
        let files = all["result"].as_array().expect("a list");
        let own = files.iter().find(|file| file["uri"] == uri);
        let found = own.expect("the open document")["diagnostics"].as_array();
        let told = found.expect("a list").iter().map(|finding| {
            let told = (&finding["code"], &finding["range"], &finding["message"]);
            format!("{told:?}")
        });
        Some(told.collect())
    }

    /// Ends the input; the server must end then, and no task may have panicked.
    async fn end(mut self) {
        let _ = self.to.shutdown().await;
        drop(self.to);
        let ended = timeout(PATIENCE, self.server).await;
        ended
            .expect("the server ends with its input")
            .expect("the server does not panic");
        assert_eq!(
            PANICS.load(Ordering::SeqCst),
            self.panics,
            "a task panicked"
        );
    }
}

/// The next message of the server; `None` at the end.
async fn frame(from: &mut BufReader<DuplexStream>) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if from.read_line(&mut line).await.ok()? == 0 {
            return None;
        }
        match line.trim_end().strip_prefix("Content-Length: ") {
            Some(number) => length = number.parse().expect("a length"),
            None if line.trim_end().is_empty() => break,
            None => {}
        }
    }
    let mut body = vec![0; length];
    from.read_exact(&mut body).await.ok()?;
    Some(serde_json::from_slice(&body).expect("the server writes JSON"))
}

/// Small budgets, and nothing is looked for on the disk.
fn small() -> Value {
    json!({"nodes": 100, "gameNodes": 1000, "closedFiles": "off"})
}

/// Messages, one a line, or behind "!" bytes that need not be frames: the server answers the
/// next request whatever came before, and ends with its input.
pub fn messages(data: &[u8]) {
    RUNTIME.block_on(async {
        let mut session = Session::start(small()).await;
        if let Some(raw) = data.strip_prefix(b"!") {
            session.raw(raw).await;
            return session.end().await;
        }
        let mut exits = false;
        for body in data.split(|&byte| byte == b'\n') {
            let message = serde_json::from_str::<Value>(&String::from_utf8_lossy(body));
            exits |= message.is_ok_and(|message| message["method"] == "exit");
            session.body(body).await;
        }
        let answer = session.request("shutdown", Value::Null).await;
        assert!(answer.is_some() || exits, "the server answers");
        session.end().await;
    });
}

/// One edit: which bytes are replaced, and by what.
struct Change<'d> {
    range: Range<usize>,
    new: &'d [u8],
}

/// An edit of a text of `length` bytes: a byte for the place, one for how many bytes are
/// replaced, and what comes there.
fn change(data: &[u8], length: usize) -> Option<Change<'_>> {
    let [place, replaced, new @ ..] = data else {
        return None;
    };
    let start = usize::from(*place) * length / 255;
    let end = (start + usize::from(*replaced)).min(length);
    Some(Change {
        range: start..end,
        new,
    })
}

/// A text and edits of it, with zero bytes between: after each edit the line index and the
/// cuts are those of a fresh text, and in the end the server's findings are.
pub fn edits(data: &[u8]) {
    let mut parts = data.split(|&byte| byte == 0);
    let start = parts.next().unwrap_or_default();
    let changes: Vec<&[u8]> = parts.collect();

    let mut text = start.to_vec();
    let mut lines = LineIndex::new(&text);
    let mut cuts = Cuts::new(&text);
    for data in &changes {
        let Some(Change { range, new }) = change(data, text.len()) else {
            continue;
        };
        text.splice(range.clone(), new.iter().copied());
        lines.replace(&text, range.clone(), new.len());
        cuts.replace(&text, range, new.len());
        let fresh = LineIndex::new(&text);
        assert_eq!(lines.len(), fresh.len());
        for line in 0..=fresh.len() {
            assert_eq!(lines.line(&text, line), fresh.line(&text, line));
        }
        assert_eq!(cuts, Cuts::new(&text));
    }

    let mut text = String::from_utf8_lossy(start).into_owned();
    RUNTIME.block_on(async {
        const EDITED: &str = "file:///nowhere/edited.pgn";
        const FRESH: &str = "file:///nowhere/fresh.pgn";
        let mut session = Session::start(small()).await;
        session.open(EDITED, &text).await;
        for (count, data) in changes.iter().enumerate() {
            let Some(Change { range, new }) = change(data, text.len()) else {
                continue;
            };
            let range = whole(&text, range.start)..whole(&text, range.end);
            let new = String::from_utf8_lossy(new);
            let told = json!({
                "textDocument": {"uri": EDITED, "version": count + 2},
                "contentChanges": [{
                    "range": {"start": place(&text, range.start), "end": place(&text, range.end)},
                    "text": new}]});
            session.notify("textDocument/didChange", told).await;
            text.replace_range(range, &new);
        }
        session.open(FRESH, &text).await;
        let edited = session.findings(EDITED).await;
        assert!(edited.is_some(), "the server answers");
        assert_eq!(edited, session.findings(FRESH).await, "{text:?}");
        session.end().await;
    });
}

/// The last offset up to `at` that splits neither a character nor CRLF, which no client can
/// point into.
fn whole(text: &str, mut at: usize) -> usize {
    let bytes = text.as_bytes();
    while !text.is_char_boundary(at)
        || (at > 0 && bytes.get(at) == Some(&b'\n') && bytes[at - 1] == b'\r')
    {
        at -= 1;
    }
    at
}

/// Line and column in UTF-16, as a client counts them: by code that shares nothing with the
/// server's.
fn place(text: &str, offset: usize) -> Value {
    let (mut line, mut column) = (0, 0);
    let mut before = '\0';
    for letter in text[..offset].chars() {
        match letter {
            '\n' if before == '\r' => {}
            '\n' | '\r' => {
                line += 1;
                column = 0;
            }
            _ => column += letter.len_utf16(),
        }
        before = letter;
    }
    json!({"line": line, "character": column})
}

/// A settings file, or behind "!" the settings of an editor in JSON: whatever they say, a
/// document is read and the next request is answered.
pub fn settings(data: &[u8]) {
    RUNTIME.block_on(async {
        let folder = tempfile::tempdir().expect("a folder");
        let options = match data.strip_prefix(b"!") {
            Some(json) => serde_json::from_slice(json).unwrap_or(Value::Null),
            None => {
                let file = folder.path().join("gainsay.toml");
                std::fs::write(file, data).expect("a file can be written");
                // What the editor says may be told in the file's own way too.
                toml::from_str(&String::from_utf8_lossy(data)).unwrap_or(Value::Null)
            }
        };
        let mut session = Session::start(options.clone()).await;
        let uri = format!("file://{}/lesson.pgn", folder.path().display());
        session
            .open(&uri, "1. e4 e5 2. Ke3 {White mates in two.} *\n")
            .await;
        let counts = json!({"command": "gainsay.counts", "arguments": [uri]});
        let answer = session.request("workspace/executeCommand", counts).await;
        assert!(answer.is_some(), "the server answers");
        let told = json!({ "settings": options });
        session
            .notify("workspace/didChangeConfiguration", told)
            .await;
        let answer = session.request("shutdown", Value::Null).await;
        assert!(answer.is_some(), "the server answers");
        session.end().await;
    });
}
