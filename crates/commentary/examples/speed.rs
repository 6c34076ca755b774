//! How fast prose is read: megabytes a second over the standard input, repeated to
//! 10 MB, one thread. Comments are split at line ends.

use std::{
    io::{Read, Write},
    time::Instant,
};

use gainsay_commentary::{Context, Prose, Reader};

fn main() -> std::io::Result<()> {
    let mut text = Vec::new();
    std::io::stdin().lock().read_to_end(&mut text)?;
    if text.is_empty() {
        text = b"White mates in two: 24.Qh6+ and the knight on f6 is pinned.\n".to_vec();
    }
    let comments: Vec<&[u8]> = text.split(|&byte| byte == b'\n').collect();
    let context = Context::default();
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let (mut bytes, mut claims) = (0, 0);
    let start = Instant::now();
    while bytes < 10_000_000 {
        for comment in &comments {
            reader.read(comment, &context, &mut prose);
            bytes += comment.len() + 1;
            claims += prose.claims.len();
        }
    }
    let seconds = start.elapsed().as_secs_f64();
    writeln!(
        std::io::stdout().lock(),
        "{:.1} MB/s, {claims} claims in {bytes} bytes",
        bytes as f64 / 1e6 / seconds
    )
}
