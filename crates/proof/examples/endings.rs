//! Builds ending tables and tells what is in them.
//!
//! `endings` builds all 33 tables and prints, for each, its longest win, its counts and
//! the time. `endings KRK KPKP` builds those only. `endings probe` reads positions in
//! FEN from standard input and prints the distance to mate in plies of each (`draw`,
//! `none` when no table tells, `illegal`), building what is needed.

//!
//! `endings syzygy FOLDER` compares the verdicts of all tables that the folder has with
//! Syzygy's, over positions of random placement, and exits with 1 when one differs.

use std::io::{BufRead, Write};
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use gainsay_proof::endings::{Outcome, Signature, SyzygyTables, Tables};
use shakmaty::{CastlingMode, Chess, Color, Role, Setup, Square, fen::Fen};

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
    if let [command, folder] = names.as_slice()
        && command == "syzygy"
    {
        return compare(&tables, &SyzygyTables::open(folder.as_ref())?, &mut out);
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

/// Compares verdicts on some thousand positions of every signature.
fn compare(
    tables: &Tables,
    syzygy: &SyzygyTables,
    out: &mut impl Write,
) -> Result<(), Box<dyn std::error::Error>> {
    let (mut compared, mut differ) = (0_u32, 0_u32);
    let mut state = 1_u64;
    // Knuth's linear congruential generator (MMIX); its high bits are random enough.
    let mut number = |below: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    for signature in Signature::all() {
        let table = tables.build(signature, &AtomicBool::new(false))?;
        let name = table.signature().to_string();
        let (strong, weak) = name
            .get(1..)
            .and_then(|n| n.split_once('K'))
            .unwrap_or_default();
        for _ in 0..4_000 {
            let mut setup = Setup::empty();
            setup.turn = Color::from_white(number(2) == 0);
            let colour = Color::from_white(number(2) == 0);
            for (color, men) in [(colour, strong), (!colour, weak)] {
                for role in men.chars().filter_map(Role::from_char).chain([Role::King]) {
                    let square = u32::try_from(number(64)).map(Square::new)?;
                    setup.board.set_piece_at(square, role.of(color));
                }
            }
            let Ok(position) = setup.position::<Chess>(CastlingMode::Standard) else {
                continue;
            };
            if let (Some(own), Some(theirs)) = (tables.probe(&position), syzygy.probe(&position)) {
                compared += 1;
                if own.outcome != theirs.outcome {
                    differ += 1;
                    writeln!(out, "{position:?}: {own:?}, Syzygy {theirs:?}")?;
                }
            }
        }
    }
    writeln!(out, "{compared} compared, {differ} differ")?;
    if differ > 0 {
        return Err("verdicts differ".into());
    }
    Ok(())
}
