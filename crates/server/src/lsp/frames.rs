//! The frames of the protocol, checked before they reach the library, which ends the
//! session at the first one that it cannot read.

use serde::{Deserialize, de::IgnoredAny};
use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, BufReader};

/// No message is longer; a longer one is skipped without being kept.
const MOST: u64 = 1 << 30;

/// What every message has, looked at without keeping it.
#[derive(Deserialize)]
struct Message {
    jsonrpc: String,
    #[serde(default)]
    id: Option<Id>,
    method: Option<String>,
    /// There even where the result is null.
    #[serde(default, deserialize_with = "present")]
    result: bool,
    error: Option<Trouble>,
}

#[derive(Deserialize)]
#[serde(untagged)]
#[allow(dead_code, reason = "only the shape matters")]
enum Id {
    Number(i64),
    Text(String),
}

#[derive(Deserialize)]
#[allow(dead_code, reason = "only the shape matters")]
struct Trouble {
    code: i64,
    message: String,
}

fn present<'de, D: serde::Deserializer<'de>>(from: D) -> Result<bool, D::Error> {
    IgnoredAny::deserialize(from).map(|_| true)
}

/// Passes well-formed messages on and drops all else, until the input ends.
pub(super) async fn pass_on<I, O>(input: I, mut output: O) -> std::io::Result<()>
where
    I: AsyncRead + Unpin,
    O: AsyncWrite + Unpin,
{
    let mut input = BufReader::with_capacity(1 << 16, input);
    let mut body = Vec::new();
    while let Some(length) = header(&mut input).await? {
        if length > MOST {
            tokio::io::copy(&mut (&mut input).take(length), &mut tokio::io::sink()).await?;
            continue;
        }
        body.clear();
        (&mut input).take(length).read_to_end(&mut body).await?;
        if is_message(&body) {
            let header = format!("Content-Length: {}\r\n\r\n", body.len());
            output.write_all(header.as_bytes()).await?;
            output.write_all(&body).await?;
        }
        // One long message must not hold its memory for ever.
        body.clear();
        body.shrink_to(1 << 20);
    }
    output.shutdown().await
}

/// Reads up to the end of a header and gives the length of the body; `None` at the end
/// of the input. Lines that are no header field are skipped.
async fn header<I: AsyncRead + Unpin>(input: &mut BufReader<I>) -> std::io::Result<Option<u64>> {
    const LONGEST_LINE: u64 = 4096;
    const FIELD: &[u8] = b"content-length:";
    let mut length = None;
    let mut line = Vec::new();
    loop {
        line.clear();
        let mut limited = (&mut *input).take(LONGEST_LINE);
        if limited.read_until(b'\n', &mut line).await? == 0 {
            return Ok(None);
        }
        let text = line.trim_ascii();
        if text.is_empty() {
            if length.is_some() {
                return Ok(length);
            }
            continue;
        }
        let lower = text.to_ascii_lowercase();
        // Where a body was longer than its header said, the next header begins in the
        // middle of a line.
        if let Some(at) = memchr::memmem::rfind(&lower, FIELD) {
            length = lower
                .get(at + FIELD.len()..)
                .and_then(|value| std::str::from_utf8(value).ok())
                .and_then(|value| value.trim().parse().ok());
        }
    }
}

fn is_message(body: &[u8]) -> bool {
    let Ok(message) = serde_json::from_slice::<Message>(body) else {
        return false;
    };
    let answer = message.id.is_some() && (message.result || message.error.is_some());
    message.jsonrpc == "2.0" && (message.method.is_some() || answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn passed(input: &[u8]) -> String {
        let mut output = Vec::new();
        pass_on(input, &mut output).await.expect("no trouble");
        String::from_utf8(output).expect("text")
    }

    fn frame(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    #[tokio::test]
    async fn messages_pass_and_garbage_does_not() {
        let good = frame(r#"{"jsonrpc":"2.0","method":"a","params":{"x":"é"}}"#);
        let null = frame(r#"{"jsonrpc":"2.0","id":1,"result":null}"#);
        for bad in [
            frame("{\"a\": ["),
            frame("[]"),
            frame(r#"{"jsonrpc":"1.0","method":"a"}"#),
            frame(r#"{"jsonrpc":"2.0","id":[],"method":"a"}"#),
            frame(r#"{"jsonrpc":"2.0"}"#),
            "nonsense\r\n\r\n".to_owned(),
            "Content-Length: many\r\n\r\n".to_owned(),
            // The body is longer than the header says.
            "Content-Length: 2\r\n\r\n{}xyz".to_owned(),
        ] {
            let input = format!("{good}{bad}{null}{good}");
            assert_eq!(
                passed(input.as_bytes()).await,
                format!("{good}{null}{good}"),
                "{bad}"
            );
        }
    }
}
