//! The messages of JSON-RPC, read once. One that cannot be read is answered, as the
//! specification of JSON-RPC 2.0 (section 5.1) wants it, and never ends the session.

use serde::Deserialize;
use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Id, Request, Response};

/// What the body of a frame is.
#[derive(Debug, PartialEq)]
pub(super) enum Message {
    /// A request or a notification of the client.
    Request(Request),
    /// The client's answer to a request of ours.
    Response(Response),
    /// None of them; the client is told so.
    Bad(Response),
}

/// All members that a message can have.
#[derive(Deserialize)]
struct Members {
    jsonrpc: String,
    #[serde(default, deserialize_with = "present")]
    id: Option<Id>,
    method: Option<String>,
    /// There even where it is null.
    #[serde(default, deserialize_with = "present")]
    params: Option<Value>,
    #[serde(default, deserialize_with = "present")]
    result: Option<Value>,
    error: Option<Trouble>,
}

/// What went wrong at the client's; some write more than the specification names.
#[derive(Deserialize)]
struct Trouble {
    code: i64,
    message: String,
    data: Option<Value>,
}

impl From<Trouble> for Error {
    fn from(trouble: Trouble) -> Self {
        Self {
            code: trouble.code.into(),
            message: trouble.message.into(),
            data: trouble.data,
        }
    }
}

fn present<'de, T, D>(from: D) -> Result<Option<T>, D::Error>
where
    T: Deserialize<'de>,
    D: serde::Deserializer<'de>,
{
    T::deserialize(from).map(Some)
}

impl Message {
    /// Reads the body of a frame, which may be changed on the way.
    pub(super) fn read(body: &mut [u8]) -> Self {
        let trouble = match serde_json::from_slice(body) {
            Ok(members) => return Self::of(members),
            Err(trouble) => trouble,
        };
        // An editor that cuts a character in two, or that sends a file as it lies on disk,
        // means the rest of its message all the same: dropping an edit would make our text
        // another one than the editor's.
        mend_surrogates(body);
        let text = String::from_utf8_lossy(body);
        match serde_json::from_str(&text) {
            Ok(members) => Self::of(members),
            Err(_) => Self::Bad(Response::from_error(
                id_within(&text),
                match trouble.classify() {
                    serde_json::error::Category::Data => Error::invalid_request(),
                    _ => Error::parse_error(),
                },
            )),
        }
    }

    fn of(members: Members) -> Self {
        let Members {
            jsonrpc,
            id,
            method,
            params,
            result,
            error,
        } = members;
        let bad = |id: Option<Id>| {
            let error = Error::invalid_request();
            Self::Bad(Response::from_error(id.unwrap_or(Id::Null), error))
        };
        if jsonrpc != "2.0" {
            return bad(id);
        }
        match (method, id, result, error) {
            (Some(method), id, ..) => {
                let mut request = Request::build(method);
                if let Some(id) = id {
                    request = request.id(id);
                }
                if let Some(params) = params {
                    request = request.params(params);
                }
                Self::Request(request.finish())
            }
            (None, Some(id), _, Some(error)) => {
                Self::Response(Response::from_error(id, error.into()))
            }
            (None, Some(id), Some(result), None) => Self::Response(Response::from_ok(id, result)),
            (None, id, ..) => bad(id),
        }
    }
}

/// The number of a request whose other members cannot be read.
fn id_within(text: &str) -> Id {
    #[derive(Deserialize)]
    struct Numbered {
        id: Id,
    }
    serde_json::from_str(text).map_or(Id::Null, |numbered: Numbered| numbered.id)
}

/// Puts the replacement character in place of halves of surrogate pairs (`\ud800`), which
/// no text of ours can hold. It is one unit of UTF-16 as they are, so that no column moves.
fn mend_surrogates(body: &mut [u8]) {
    const REPLACEMENT: &[u8; 6] = b"\\ufffd";
    let mut at = 0;
    while let Some(backslash) = memchr::memchr(b'\\', body.get(at..).unwrap_or_default()) {
        at += backslash;
        match escaped(body, at) {
            Some(0xd800..=0xdbff) if matches!(escaped(body, at + 6), Some(0xdc00..=0xdfff)) => {
                at += 12;
            }
            Some(0xd800..=0xdfff) => {
                if let Some(escape) = body.get_mut(at..at + 6) {
                    escape.copy_from_slice(REPLACEMENT);
                }
                at += 6;
            }
            _ => at += 2,
        }
    }
}

/// The unit of UTF-16 that an escape at `at` writes, if there is one.
fn escaped(body: &[u8], at: usize) -> Option<u16> {
    let digits = body.get(at..at + 6)?.strip_prefix(b"\\u")?;
    let digits = std::str::from_utf8(digits).ok()?;
    u16::from_str_radix(digits, 16).ok()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn read(body: &[u8]) -> Message {
        Message::read(&mut body.to_vec())
    }

    fn params(message: Message) -> Value {
        match message {
            Message::Request(request) => request.params().cloned().unwrap_or_default(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn requests_and_answers_are_told_apart() {
        let request = Request::build("a").id(1).params(json!({"x": "é"})).finish();
        let body = r#"{"jsonrpc":"2.0","id":1,"method":"a","params":{"x":"é"}}"#;
        assert_eq!(read(body.as_bytes()), Message::Request(request));
        let null = Request::build("a").params(Value::Null).finish();
        assert_eq!(
            read(br#"{"jsonrpc":"2.0","method":"a","params":null}"#),
            Message::Request(null)
        );
        assert_eq!(
            read(br#"{"jsonrpc":"2.0","id":"b","result":null}"#),
            Message::Response(Response::from_ok(Id::String("b".into()), Value::Null))
        );
    }

    #[test]
    fn what_is_no_message_is_answered_under_its_number() {
        let deep = format!(
            r#"{{"jsonrpc":"2.0","id":9,"method":"a","params":{}{}}}"#,
            "[".repeat(500),
            "]".repeat(500)
        );
        for (body, id, code) in [
            ("{\"a\": [", Id::Null, -32700),
            ("", Id::Null, -32700),
            ("[]", Id::Null, -32600),
            (
                r#"{"jsonrpc":"1.0","id":4,"method":"a"}"#,
                Id::Number(4),
                -32600,
            ),
            (
                r#"{"jsonrpc":"2.0","id":[],"method":"a"}"#,
                Id::Null,
                -32600,
            ),
            (r#"{"jsonrpc":"2.0","id":4}"#, Id::Number(4), -32600),
            (
                r#"{"jsonrpc":"2.0","id":4,"method":7}"#,
                Id::Number(4),
                -32600,
            ),
            (&deep, Id::Number(9), -32700),
        ] {
            let Message::Bad(answer) = read(body.as_bytes()) else {
                panic!("{body}");
            };
            assert_eq!(answer.id(), &id, "{body}");
            let error = answer.error().map(|error| error.code.code());
            assert_eq!(error, Some(code), "{body}");
        }
    }

    #[test]
    fn halves_of_characters_are_replaced_one_for_one() {
        let body = br#"{"jsonrpc":"2.0","method":"a","params":"\ud83dx\ude00 \ud83d\ude00 \\ud83d \ud83d\ud83d\ude00"}"#;
        let wanted = "\u{fffd}x\u{fffd} \u{1f600} \\ud83d \u{fffd}\u{1f600}";
        assert_eq!(params(read(body)), json!(wanted));
        let bytes = b"{\"jsonrpc\":\"2.0\",\"method\":\"a\",\"params\":\"caf\xe9 \\udfff\"}";
        assert_eq!(params(read(bytes)), json!("caf\u{fffd} \u{fffd}"));
        let cut = br#"{"jsonrpc":"2.0","method":"a","params":"\ud83"}"#;
        assert!(matches!(read(cut), Message::Bad(_)));
        assert!(matches!(read(b"\"\\ud800\\u"), Message::Bad(_)));
    }
}
