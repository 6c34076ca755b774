//! The language server as an editor runs it: the protocol's frames through its standard input
//! and output.

use std::{
    io::{BufRead as _, BufReader, Read as _, Write as _},
    process::{Child, ChildStdin, ChildStdout, Command, Stdio},
};

use serde_json::{Value, json};

/// A running server.
pub(crate) struct Server {
    process: Child,
    to: ChildStdin,
    from: BufReader<ChildStdout>,
    next: u64,
}

impl Server {
    /// Starts `gainsay serve`.
    pub(crate) fn start(command: &mut Command) -> Self {
        let mut process = command
            .arg("serve")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the server runs");
        let (to, from) = (process.stdin.take(), process.stdout.take());
        Self {
            process,
            to: to.expect("a pipe"),
            from: BufReader::new(from.expect("a pipe")),
            next: 0,
        }
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.to, "Content-Length: {}\r\n\r\n{body}", body.len()).expect("the server reads");
        self.to.flush().expect("the server reads");
    }

    pub(crate) fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Sends a request and gives its number, which its answer bears.
    pub(crate) fn ask(&mut self, method: &str, params: Value) -> u64 {
        self.next += 1;
        let id = self.next;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}));
        id
    }

    /// The bytes of the next message.
    pub(crate) fn read(&mut self) -> Vec<u8> {
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
        body
    }

    /// Closes its input and gives the process, to be waited for.
    pub(crate) fn close(self) -> Child {
        self.process
    }
}
