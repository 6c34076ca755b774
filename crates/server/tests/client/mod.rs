//! A client over in-memory streams: it speaks the protocol's frames itself, so that
//! nothing of the server's own library stands on both sides.
#![allow(dead_code, unreachable_pub, missing_docs)]

use std::{collections::HashMap, sync::Arc, time::Duration};

use gainsay_server::{Aids, Ended, OwnSearch, serve_on};
use serde_json::{Value, json};
use tokio::{
    io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, BufReader, DuplexStream},
    task::JoinHandle,
    time::timeout,
};

/// No answer takes longer, on the slowest machine.
const PATIENCE: Duration = Duration::from_secs(60);

pub struct Client {
    to: DuplexStream,
    from: BufReader<DuplexStream>,
    server: JoinHandle<Ended>,
    next: i64,
    /// Whether requests of the server are answered.
    pub answers: bool,
    /// Answers to `workspace/configuration` without a scope.
    pub configuration: Value,
    /// Answers for a scope.
    pub scoped: HashMap<String, Value>,
    /// The last published set of each document, with its version.
    pub published: HashMap<String, (Option<i64>, Vec<Value>)>,
    /// How many sets were published.
    pub publications: usize,
    /// Every message of the server, in order.
    pub log: Vec<Value>,
}

impl Client {
    /// A client that has not said anything yet.
    pub fn connect() -> Self {
        Self::connect_with(Arc::new(OwnSearch))
    }

    /// The same, with what the solvers are given.
    pub fn connect_with(aids: Arc<dyn Aids>) -> Self {
        let (ours, theirs) = tokio::io::duplex(1 << 20);
        let (back_ours, back_theirs) = tokio::io::duplex(1 << 20);
        let server = tokio::spawn(serve_on(theirs, back_theirs, aids));
        Self {
            to: ours,
            from: BufReader::new(back_ours),
            server,
            next: 0,
            answers: true,
            configuration: Value::Null,
            scoped: HashMap::new(),
            published: HashMap::new(),
            publications: 0,
            log: Vec::new(),
        }
    }

    /// A client that has shaken hands, with these capabilities and options.
    pub async fn start_with(capabilities: Value, options: Value) -> Self {
        let mut client = Self::connect();
        client.greet(Value::Null, capabilities, options).await;
        client
    }

    /// A client that has shaken hands about a folder, with these options.
    pub async fn start_in(folder: &Folder, options: Value) -> Self {
        let mut client = Self::connect();
        client.greet(json!(folder.uri()), json!({}), options).await;
        client
    }

    /// Shakes hands.
    pub async fn greet(&mut self, root: Value, capabilities: Value, options: Value) {
        self.request(
            "initialize",
            json!({"processId": null, "rootUri": root, "capabilities": capabilities,
                   "initializationOptions": options}),
        )
        .await;
        self.notify("initialized", json!({})).await;
    }

    /// Tells of files that were made (1), written (2) or deleted (3).
    pub async fn watched(&mut self, files: impl IntoIterator<Item = (String, u8)>) {
        let changes = files.into_iter();
        let changes: Vec<Value> = changes
            .map(|(uri, what)| json!({"uri": uri, "type": what}))
            .collect();
        self.notify(
            "workspace/didChangeWatchedFiles",
            json!({"changes": changes}),
        )
        .await;
    }

    /// A client that has shaken hands.
    pub async fn start() -> Self {
        Self::start_with(json!({}), Value::Null).await
    }

    pub async fn raw(&mut self, bytes: &[u8]) {
        timeout(PATIENCE, self.to.write_all(bytes))
            .await
            .expect("the server reads")
            .expect("the stream is open");
    }

    async fn send(&mut self, message: &Value) {
        let body = message.to_string();
        let frame = format!("Content-Length: {}\r\n\r\n{body}", body.len());
        self.raw(frame.as_bytes()).await;
    }

    pub async fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}))
            .await;
    }

    /// Sends a request and gives its number.
    pub async fn post(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        let id = self.next;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}))
            .await;
        id
    }

    /// Sends a request and waits for its answer, which must not be an error.
    pub async fn request(&mut self, method: &str, params: Value) -> Value {
        let id = self.post(method, params).await;
        let answer = self.answer(id).await;
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer.get("result").cloned().unwrap_or(Value::Null)
    }

    /// Waits for the answer to a request.
    pub async fn answer(&mut self, id: i64) -> Value {
        loop {
            let message = self.read().await;
            if message.get("method").is_none() && message["id"] == json!(id) {
                return message;
            }
        }
    }

    /// Reads one message and does what a client does with it.
    pub async fn read(&mut self) -> Value {
        timeout(PATIENCE, self.read_now())
            .await
            .expect("the server answers in time")
    }

    /// Reads a message if one comes within `patience`.
    pub async fn read_within(&mut self, patience: Duration) -> Option<Value> {
        // A frame that began is read to its end, so nothing is lost by the timeout.
        match timeout(patience, self.from.fill_buf()).await {
            Ok(Ok([])) | Err(_) | Ok(Err(_)) => None,
            Ok(Ok(_)) => Some(self.read().await),
        }
    }

    async fn read_now(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            let read = self.from.read_line(&mut line).await.expect("a header");
            assert!(read > 0, "the server closed the stream");
            let line = line.trim_end();
            if line.is_empty() {
                break;
            }
            if let Some(value) = line.strip_prefix("Content-Length: ") {
                length = value.parse().expect("a length");
            }
        }
        let mut body = vec![0; length];
        self.from.read_exact(&mut body).await.expect("a body");
        let message: Value = serde_json::from_slice(&body).expect("JSON");
        self.log.push(message.clone());
        self.take(&message).await;
        message
    }

    async fn take(&mut self, message: &Value) {
        let Some(method) = message.get("method").and_then(Value::as_str) else {
            return;
        };
        if method == "textDocument/publishDiagnostics" {
            let params = &message["params"];
            self.publications += 1;
            self.published.insert(
                params["uri"].as_str().expect("a URI").to_owned(),
                (
                    params["version"].as_i64(),
                    params["diagnostics"].as_array().expect("a list").clone(),
                ),
            );
        }
        if let Some(id) = message.get("id")
            && self.answers
        {
            let result = if method == "workspace/configuration" {
                let items = message["params"]["items"].as_array().expect("items");
                let told = items.iter().map(|item| match item["scopeUri"].as_str() {
                    None => self.configuration.clone(),
                    Some(scope) => self.scoped.get(scope).cloned().unwrap_or_default(),
                });
                Value::Array(told.collect())
            } else {
                Value::Null
            };
            let answer = json!({"jsonrpc": "2.0", "id": id, "result": result});
            self.send(&answer).await;
        }
    }

    pub async fn open(&mut self, uri: &str, version: i64, text: &str) {
        self.open_as(uri, "pgn", version, text).await;
    }

    /// Opens a document of a language.
    pub async fn open_as(&mut self, uri: &str, language: &str, version: i64, text: &str) {
        self.notify(
            "textDocument/didOpen",
            json!({"textDocument": {"uri": uri, "languageId": language, "version": version,
                                    "text": text}}),
        )
        .await;
    }

    /// Runs a command of the server's.
    pub async fn command(&mut self, command: &str, arguments: Value) -> Value {
        self.request(
            "workspace/executeCommand",
            json!({"command": command, "arguments": arguments}),
        )
        .await
    }

    /// Waits until no claim of a document waits for its verdict.
    pub async fn all_settled(&mut self, uri: &str) -> Value {
        loop {
            let counts = self.command("gainsay.counts", json!([uri])).await;
            if counts["settling"] == false {
                return counts;
            }
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
    }

    /// Replaces a range (start line, start column, end line, end column).
    pub async fn edit(&mut self, uri: &str, version: i64, range: [usize; 4], text: &str) {
        self.notify(
            "textDocument/didChange",
            json!({"textDocument": {"uri": uri, "version": version}, "contentChanges": [{
                "range": {"start": {"line": range[0], "character": range[1]},
                          "end": {"line": range[2], "character": range[3]}},
                "text": text}]}),
        )
        .await;
    }

    /// Waits until diagnostics of this version or a later one are published.
    pub async fn published(&mut self, uri: &str, version: i64) -> Vec<Value> {
        loop {
            if let Some((Some(known), set)) = self.published.get(uri)
                && *known >= version
            {
                return set.clone();
            }
            self.read().await;
        }
    }

    /// Reads until something is so.
    pub async fn until(&mut self, so: impl Fn(&Self) -> bool) {
        while !so(self) {
            self.read().await;
        }
    }

    /// Reads until the server is quiet for `pause`.
    pub async fn settle(&mut self, pause: Duration) {
        while self.read_within(pause).await.is_some() {}
    }

    /// The actions that are offered for a range, with the diagnostics that touch it.
    pub async fn actions(&mut self, uri: &str, range: &Value) -> Vec<Value> {
        let known = self.published.get(uri).map(|(_, found)| found.clone());
        let shown: Vec<Value> = known
            .unwrap_or_default()
            .into_iter()
            .filter(|found| found["range"] == *range)
            .collect();
        let offered = self
            .request(
                "textDocument/codeAction",
                json!({"textDocument": {"uri": uri}, "range": range,
                       "context": {"diagnostics": shown}}),
            )
            .await;
        offered.as_array().expect("a list").clone()
    }

    /// A request about a place in a document.
    pub async fn at(&mut self, method: &str, uri: &str, line: usize, column: usize) -> Value {
        self.request(
            method,
            json!({"textDocument": {"uri": uri},
                   "position": {"line": line, "character": column}}),
        )
        .await
    }

    /// Ends the session as a client should.
    pub async fn stop(mut self) -> Ended {
        self.request("shutdown", Value::Null).await;
        self.notify("exit", Value::Null).await;
        timeout(PATIENCE, self.server)
            .await
            .expect("the server ends")
            .expect("the server does not panic")
    }

    /// Goes away without a word.
    pub async fn vanish(self) -> Ended {
        drop(self.to);
        drop(self.from);
        timeout(PATIENCE, self.server)
            .await
            .expect("the server ends")
            .expect("the server does not panic")
    }
}

/// A folder on disk that goes when it is dropped.
pub struct Folder(pub std::path::PathBuf);

impl Folder {
    /// An empty folder; the name tells the folders of one test apart.
    pub fn new(name: &str) -> Self {
        use std::sync::atomic::{AtomicUsize, Ordering};
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("gainsay-{name}-{}-{count}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    pub fn uri(&self) -> String {
        format!("file://{}", self.0.display())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Rule and range of each diagnostic, in order, for comparing.
pub fn outline(diagnostics: &[Value]) -> Vec<String> {
    let mut lines: Vec<String> = diagnostics
        .iter()
        .map(|diagnostic| {
            format!(
                "{} {} {}",
                diagnostic["code"].as_str().unwrap_or_default(),
                diagnostic["range"],
                diagnostic["message"]
            )
        })
        .collect();
    lines.sort();
    lines
}

/// Makes the edits of an action and gives the text that comes out.
pub fn applied(text: &str, edits: &Value) -> String {
    let mut buffer = Buffer::new(text);
    let offset = |buffer: &Buffer, at: &Value| {
        let wanted = (
            at["line"].as_u64().expect("a number") as usize,
            at["character"].as_u64().expect("a number") as usize,
        );
        (0..=buffer.units.len())
            .find(|&at| buffer.place(at) == wanted)
            .expect("a value")
    };
    let mut edits: Vec<&Value> = edits.as_array().expect("a value").iter().collect();
    edits.reverse();
    for edit in edits {
        let start = offset(&buffer, &edit["range"]["start"]);
        let end = offset(&buffer, &edit["range"]["end"]);
        buffer.replace(start..end, edit["newText"].as_str().expect("a value"));
    }
    buffer.text()
}

/// The range of the first place of `words` in a text, in UTF-16.
pub fn range_of(text: &str, words: &str) -> Value {
    let at = text.find(words).expect("the words are there");
    let buffer = Buffer::new(text);
    let start = text[..at].encode_utf16().count();
    let (line, column) = buffer.place(start);
    let (last, end) = buffer.place(start + words.encode_utf16().count());
    json!({"start": {"line": line, "character": column}, "end": {"line": last, "character": end}})
}

/// The action whose title holds `words`.
pub fn titled<'a>(actions: &'a [Value], words: &str) -> &'a Value {
    actions
        .iter()
        .find(|action| action["title"].as_str().expect("a title").contains(words))
        .unwrap_or_else(|| panic!("{words} in {actions:#?}"))
}

/// A generator of numbers for tests, the same on every machine.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, most: usize) -> usize {
        // xorshift64*, Vigna 2014.
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let number = self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33;
        number as usize % most.max(1)
    }

    pub fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}

/// The text as the client keeps it: in UTF-16, changed by lines and columns, by code
/// that shares nothing with the server's.
#[derive(Clone)]
pub struct Buffer {
    pub units: Vec<u16>,
}

impl Buffer {
    pub fn new(text: &str) -> Self {
        Self {
            units: text.encode_utf16().collect(),
        }
    }

    pub fn text(&self) -> String {
        String::from_utf16(&self.units).expect("whole characters")
    }

    /// Line and column of an offset in units.
    pub fn place(&self, offset: usize) -> (usize, usize) {
        let (mut line, mut column) = (0, 0);
        let mut at = 0;
        while at < offset {
            match (self.units[at], self.units.get(at + 1)) {
                (0x0d, Some(0x0a)) => {
                    if at + 1 == offset {
                        return (line, column);
                    }
                    at += 1;
                    line += 1;
                    column = 0;
                }
                (0x0a | 0x0d, _) => {
                    line += 1;
                    column = 0;
                }
                _ => column += 1,
            }
            at += 1;
        }
        (line, column)
    }

    /// A random offset that splits neither a surrogate pair nor CRLF.
    pub fn anywhere(&self, dice: &mut Dice) -> usize {
        self.whole(dice.below(self.units.len() + 1))
    }

    /// The last offset up to `at` that splits neither a surrogate pair nor CRLF.
    pub fn whole(&self, mut at: usize) -> usize {
        while at > 0
            && at < self.units.len()
            && ((0xdc00..0xe000).contains(&self.units[at])
                || (self.units[at] == 0x0a && self.units[at - 1] == 0x0d))
        {
            at -= 1;
        }
        at
    }

    pub fn replace(&mut self, range: std::ops::Range<usize>, text: &str) {
        self.units.splice(range, text.encode_utf16());
    }
}
