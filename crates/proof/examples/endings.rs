//! Builds ending tables and tells what is in them.
//!
//! `endings` builds all 33 tables and prints, for each, its longest win, its counts and
//! the time. `endings KRK KPKP` builds those only. `endings probe` reads positions in
//! FEN from standard input and prints the distance to mate in plies of each (`draw`,
//! `none` when no table tells, `illegal`), building what is needed.
//!
//! `endings syzygy FOLDER` compares the verdicts of all tables with those of the Syzygy
//! tables in the folder, over every position that is no mirror image of another, and exits
//! with 1 when one differs; that takes an hour. `endings syzygy FOLDER KRK KPKP` compares
//! those only, `endings syzygy FOLDER 7` every seventh placement.

use std::io::{BufRead, Write};
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use gainsay_proof::endings::{Signature, SyzygyTables, TableError, Tables, Wdl};
use shakmaty::{
    Bitboard, Board, CastlingMode, Chess, Color, Piece, Position, Rank, Role, Setup, Square,
    fen::Fen,
};

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
                    (Wdl::Win, Some(plies)) => writeln!(out, "{plies}")?,
                    (Wdl::Loss, Some(plies)) => writeln!(out, "-{plies}")?,
                    _ => writeln!(out, "draw")?,
                },
            }
        }
        return Ok(());
    }
    if let [command, folder, names @ ..] = names.as_slice()
        && command == "syzygy"
    {
        let syzygy = SyzygyTables::open(folder.as_ref())?;
        let (every, names) = match names {
            [every, rest @ ..] if every.parse::<u64>().is_ok() => (every.parse()?, rest),
            all => (1, all),
        };
        return compare(&tables, &signatures(names)?, &syzygy, every, &mut out);
    }
    let signatures = signatures(&names)?;
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

/// The signatures of these names, or all.
fn signatures(names: &[String]) -> Result<Vec<Signature>, TableError> {
    if names.is_empty() {
        return Ok(Signature::all());
    }
    names.iter().map(|name| name.parse()).collect()
}

/// What a comparison came to.
#[derive(Default)]
struct Tally {
    compared: u64,
    won: u64,
    lost: u64,
    /// Not known to one of the two.
    unknown: u64,
    differ: u64,
}

/// Compares the verdicts on all positions of the signatures. With pawns the white king
/// stands on the left half of the board, without them in a triangle of ten squares: what is
/// left are mirror images.
fn compare(
    tables: &Tables,
    signatures: &[Signature],
    syzygy: &SyzygyTables,
    every: u64,
    out: &mut impl Write,
) -> Result<(), Box<dyn std::error::Error>> {
    let mut differ = 0;
    let start = Instant::now();
    for &signature in signatures {
        tables.build(signature, &AtomicBool::new(false))?;
        let name = signature.to_string();
        let (strong, weak) = name
            .get(1..)
            .and_then(|name| name.split_once('K'))
            .unwrap_or_default();
        let men = |names: &str, color: Color| -> Vec<Piece> {
            let roles = names.chars().filter_map(Role::from_char);
            roles.map(|role| role.of(color)).collect()
        };
        let mut pieces = vec![Color::White.king(), Color::Black.king()];
        pieces.extend(men(strong, Color::White));
        pieces.extend(men(weak, Color::Black));
        let pawns = pieces.iter().any(|piece| piece.role == Role::Pawn);
        let mut tally = Tally::default();
        let mut squares = vec![Square::A1; pieces.len()];
        let places = 64_u64.pow(u32::try_from(pieces.len())?);
        'places: for place in (0..places).step_by(usize::try_from(every.max(1))?) {
            let mut board = Board::empty();
            let mut rest = place;
            for (square, &piece) in squares.iter_mut().zip(&pieces) {
                *square = Square::new(u32::try_from(rest % 64)?);
                rest /= 64;
                if board.occupied().contains(*square) {
                    continue 'places;
                }
                board.set_piece_at(*square, piece);
            }
            let king = squares[0];
            let (file, rank) = (king.file() as u32, king.rank() as u32);
            if file > 3 || !pawns && (rank > file) {
                continue;
            }
            for turn in Color::ALL {
                let mut setup = Setup::empty();
                setup.board = board.clone();
                setup.turn = turn;
                compare_setup(setup.clone(), tables, syzygy, &mut tally, out)?;
                // The same with every pawn that may just have made a double step.
                let fourth = Bitboard::from_rank((!turn).relative_rank(Rank::Fourth));
                for pawn in board.pawns() & board.by_color(!turn) & fourth {
                    let mut setup = setup.clone();
                    let rank = (!turn).relative_rank(Rank::Third);
                    setup.ep_square = Some(Square::from_coords(pawn.file(), rank));
                    compare_setup(setup, tables, syzygy, &mut tally, out)?;
                }
            }
        }
        writeln!(
            out,
            "{name}: {} compared ({} won, {} lost), {} differ, {} unknown to one; {:.0} s",
            tally.compared,
            tally.won,
            tally.lost,
            tally.differ,
            tally.unknown,
            start.elapsed().as_secs_f64(),
        )?;
        differ += tally.differ;
    }
    if differ > 0 {
        return Err("verdicts differ".into());
    }
    Ok(())
}

/// Compares the verdicts on a position, if it is one.
fn compare_setup(
    setup: Setup,
    tables: &Tables,
    syzygy: &SyzygyTables,
    tally: &mut Tally,
    out: &mut impl Write,
) -> std::io::Result<()> {
    let passing = setup.ep_square.is_some();
    let Ok(position) = setup.position::<Chess>(CastlingMode::Standard) else {
        return Ok(());
    };
    // What cannot be captured in passing was compared without it.
    if passing && position.legal_ep_square().is_none() {
        return Ok(());
    }
    let (Some(own), Some(theirs)) = (tables.probe(&position), syzygy.probe(&position)) else {
        tally.unknown += 1;
        return Ok(());
    };
    tally.compared += 1;
    tally.won += u64::from(own.outcome == Wdl::Win);
    tally.lost += u64::from(own.outcome == Wdl::Loss);
    let in_time = own.beats_fifty(0) == Some(true);
    if own.outcome != theirs.outcome || in_time && theirs.under_fifty == Some(false) {
        tally.differ += 1;
        writeln!(out, "{position:?}: {own:?}, Syzygy {theirs:?}")?;
    }
    Ok(())
}
