//! The frames of the protocol: a header with the length of a body, and the body.

use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncReadExt, BufReader};

/// No body is longer; a longer one is skipped without being kept.
const MOST: u64 = 1 << 30;

/// Bodies up to this size are read into memory that is kept for the next one.
const KEPT: usize = 1 << 20;

/// Reads frames from a stream. What is no frame is skipped up to the next header.
pub(super) struct Frames<I> {
    input: BufReader<I>,
    body: Vec<u8>,
}

impl<I: AsyncRead + Unpin> Frames<I> {
    pub(super) fn new(input: I) -> Self {
        Self {
            input: BufReader::with_capacity(1 << 16, input),
            body: Vec::new(),
        }
    }

    /// The next body; `None` at the end of the input.
    ///
    /// # Errors
    ///
    /// When the stream cannot be read.
    pub(super) async fn next(&mut self) -> std::io::Result<Option<&mut [u8]>> {
        self.body.clear();
        // One long message must not hold its memory for ever.
        self.body.shrink_to(KEPT);
        while let Some(length) = self.header().await? {
            let mut body = (&mut self.input).take(length);
            if length > MOST {
                tokio::io::copy(&mut body, &mut tokio::io::sink()).await?;
                continue;
            }
            let read = body.read_to_end(&mut self.body).await?;
            if (read as u64) < length {
                return Ok(None);
            }
            return Ok(Some(&mut self.body));
        }
        Ok(None)
    }

    /// Reads up to the end of a header and gives the length of the body; `None` at the end
    /// of the input. Lines that are no header field are skipped.
    async fn header(&mut self) -> std::io::Result<Option<u64>> {
        const LONGEST_LINE: u64 = 4096;
        const FIELD: &[u8] = b"content-length:";
        let mut length = None;
        let mut line = Vec::new();
        loop {
            line.clear();
            let mut limited = (&mut self.input).take(LONGEST_LINE);
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
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn bodies(input: &str) -> Vec<String> {
        let mut frames = Frames::new(input.as_bytes());
        let mut seen = Vec::new();
        while let Some(body) = frames.next().await.expect("no trouble") {
            seen.push(String::from_utf8(body.to_vec()).expect("text"));
        }
        seen
    }

    fn frame(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    #[tokio::test]
    async fn what_is_no_frame_is_skipped() {
        let good = frame("{\"x\":\"é\"}");
        for bad in [
            "nonsense\r\n\r\n",
            "Content-Length: many\r\n\r\n",
            "Content-Length: -1\r\n\r\n",
            "Content-Type: text/plain\r\n\r\n",
            "\r\n\r\n\n",
        ] {
            let input = format!("{good}{bad}{good}");
            assert_eq!(bodies(&input).await, ["{\"x\":\"é\"}"; 2], "{bad}");
        }
        // The body is longer than the header says.
        let input = format!("Content-Length: 2\r\n\r\n{{}}xyz{good}");
        assert_eq!(bodies(&input).await, ["{}", "{\"x\":\"é\"}"]);
        // The input ends within a body.
        assert_eq!(bodies("Content-Length: 9\r\n\r\n{}").await, [""; 0]);
        assert_eq!(bodies(&frame("")).await, [""]);
    }
}
