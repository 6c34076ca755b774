//! Prints what is read in each line of standard input, to look at by hand.

use std::io::{BufRead, Write};

use gainsay_commentary::{ClaimKind, Context, Prose, Reader};

fn main() -> std::io::Result<()> {
    let context = Context::default();
    let mut reader = Reader::new();
    let mut prose = Prose::default();
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().split(b'\n') {
        let line = line?;
        reader.read(&line, &context, &mut prose);
        writeln!(out, "{}", String::from_utf8_lossy(&line))?;
        for claim in &prose.claims {
            let words = String::from_utf8_lossy(claim.span.of(&line));
            let kind = match &claim.kind {
                ClaimKind::Line | ClaimKind::Mention => claim
                    .at
                    .line()
                    .and_then(|line| prose.lines.get(line as usize))
                    .map_or(String::new(), |line| {
                        format!(
                            "{} {:?} {:?} depth {}",
                            claim.kind.name(),
                            line.role,
                            line.joint,
                            line.depth
                        )
                    }),
                kind => format!("{kind:?}"),
            };
            writeln!(
                out,
                "    `{words}`: {kind} | {:?} {:?} {:?} {:?} {:?} {:?} closed {} asserted {}",
                claim.polarity,
                claim.mood,
                claim.tense,
                claim.subject,
                claim.at,
                claim.told,
                claim.closed,
                claim.asserted
            )?;
        }
    }
    Ok(())
}
