//! Reading prose, against the least that any reader of words does, measured in the same
//! run: splitting the same bytes at white space and hashing every word.
//!
//! `cargo bench -p gainsay-commentary` reads the comments of `fixtures/claims`, one a
//! line, repeated to 10 MB; a path as argument takes the lines of that file instead. The
//! ratio is to be at least 0.1 on an idle machine.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    hint::black_box,
    path::Path,
    time::{Duration, Instant},
};

use gainsay_commentary::{Context, Prose, Reader};

/// Bytes that are read in a round.
const BYTES: usize = 10_000_000;

/// The best of so many rounds counts: everything else is other work of the machine.
const ROUNDS: usize = 7;

fn main() -> std::io::Result<()> {
    let path = std::env::args().skip(1).find(|arg| !arg.starts_with("--"));
    let text = match path {
        Some(path) => std::fs::read(path)?,
        None => fixtures()?,
    };
    let lines: Vec<&[u8]> = text
        .split(|&byte| byte == b'\n')
        .filter(|line| !line.is_empty())
        .collect();
    let once: usize = lines.iter().map(|line| line.len()).sum();
    let times = BYTES.div_ceil(once.max(1));
    let read: Vec<&[u8]> = lines.repeat(times);
    let bytes = once * times;

    let context = Context::default();
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut claims = 0;
    let (mut words, mut ours) = (Duration::MAX, Duration::MAX);
    for _ in 0..ROUNDS {
        words = words.min(timed(|| {
            for line in &read {
                black_box(hashes(line));
            }
        }));
        claims = 0;
        ours = ours.min(timed(|| {
            for line in &read {
                reader.read(line, &context, &mut prose);
                claims += prose.claims.len();
            }
        }));
    }
    let rate = |time: Duration| bytes as f64 / 1e6 / time.as_secs_f64();
    println!(
        "{bytes} bytes, {claims} claims: {:.1} MB/s, splitting and hashing {:.1} MB/s, ratio {:.2}",
        rate(ours),
        rate(words),
        words.as_secs_f64() / ours.as_secs_f64()
    );
    Ok(())
}

/// The comments of the project's corpus, one a line.
fn fixtures() -> std::io::Result<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/claims");
    let mut paths: Vec<_> = std::fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    paths.sort();
    let mut text = Vec::new();
    for path in paths {
        for line in std::fs::read_to_string(path)?.lines() {
            if let Some((_, comment)) = line.split_once(" | ") {
                text.extend_from_slice(comment.as_bytes());
                text.push(b'\n');
            }
        }
    }
    Ok(text)
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

fn hashes(line: &[u8]) -> u64 {
    let mut all = 0;
    for word in line.split(u8::is_ascii_whitespace) {
        let mut hasher = DefaultHasher::new();
        word.hash(&mut hasher);
        all ^= hasher.finish();
    }
    all
}
