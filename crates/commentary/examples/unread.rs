//! Counts the words that keep claims from being judged in the comments of standard input, one
//! a line, the most frequent first: what to review next for a lexicon.

use std::collections::BTreeMap;
use std::io::{BufRead, Write};

use gainsay_commentary::{Context, Prose, Reader};

fn main() -> std::io::Result<()> {
    let context = Context::default();
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut counts: BTreeMap<String, u32> = BTreeMap::new();
    let (mut claims, mut unread) = (0_u32, 0_u32);
    for line in std::io::stdin().lock().split(b'\n') {
        let line = line?;
        reader.read(&line, &context, &mut prose);
        claims += u32::try_from(prose.claims.len()).unwrap_or_default();
        for claim in prose.claims.iter().filter(|claim| !claim.unread.is_empty()) {
            unread += 1;
            for span in prose.unread_of(claim) {
                let word = String::from_utf8_lossy(span.of(&line)).to_lowercase();
                *counts.entry(word).or_default() += 1;
            }
        }
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let mut out = std::io::stdout().lock();
    writeln!(out, "{unread} of {claims} claims are not judged")?;
    for (word, count) in counts {
        writeln!(out, "{count} {word}")?;
    }
    Ok(())
}
