//! Builds ending tables and tells what is in them.
//!
//! `endings` builds all 33 tables and prints, for each, its longest win, its counts and
//! the time. `endings KRK KPKP` builds those only. `endings probe` reads positions in
//! FEN from standard input and prints the distance to mate in plies of each (`draw`,
//! `none` when no table tells, `illegal`), building what is needed.

use std::io::{BufRead, Write};
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use gainsay_proof::endings::{Outcome, Signature, Tables};
use shakmaty::{CastlingMode, Chess, fen::Fen};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let stop = AtomicBool::new(false);
    let tables = Tables::new(usize::MAX);
    let names: Vec<String> = std::env::args().skip(1).collect();
    let mut out = std::io::stdout().lock();
    if names.first().is_some_and(|name| name == "probe") {
        for line in std::io::stdin().lock().lines() {
            let fen: Fen = line?.parse()?;
            let Ok(position) = fen.into_position::<Chess>(CastlingMode::Standard) else {
                writeln!(out, "illegal")?;
                continue;
            };
            if let Some(needed) = Tables::needs(&position) {
                tables.build(needed, &stop)?;
            }
            match tables.probe(&position) {
                None => writeln!(out, "none")?,
                Some(ending) => match (ending.outcome, ending.dtm_plies) {
                    (Outcome::Win, Some(plies)) => writeln!(out, "{plies}")?,
                    (Outcome::Loss, Some(plies)) => writeln!(out, "-{plies}")?,
                    _ => writeln!(out, "draw")?,
                },
            }
        }
        return Ok(());
    }
    let signatures = if names.is_empty() {
        Signature::all()
    } else {
        names
            .iter()
            .map(|name| name.parse())
            .collect::<Result<_, _>>()?
    };
    let start = Instant::now();
    for signature in signatures {
        let since = Instant::now();
        let table = tables.build(signature, &stop)?;
        let plies = table.longest();
        writeln!(
            out,
            "{signature:6} longest {plies:3} plies ({} moves)  won/drawn/lost {:?}  {:.1} MB, {:.1} MB packed  {:.2} s",
            plies.div_ceil(2),
            table.counts(),
            table.memory() as f64 / 1e6,
            table.to_bytes().len() as f64 / 1e6,
            since.elapsed().as_secs_f64(),
        )?;
    }
    writeln!(out, "all in {:.1} s", start.elapsed().as_secs_f64())?;
    Ok(())
}
