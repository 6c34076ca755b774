//! Reading and judging the notation, against pgn-reader's reader with shakmaty's
//! legality on the same bytes, measured in the same run.
//!
//! `cargo bench -p gainsay --bench notation` uses the game collections that
//! pgn-reader's crate ships; a path as argument uses that file instead. The first ratio
//! is to be at least 0.8, the second at least 1.5 on two cores.

use std::{
    ops::ControlFlow,
    path::PathBuf,
    process::Command,
    sync::atomic::{AtomicUsize, Ordering},
    time::{Duration, Instant},
};

use gainsay::{Document, Format, Settings, Solver, check_piece};
use pgn_reader::{
    RawTag, Reader, SanPlus, Visitor,
    shakmaty::{CastlingMode, Chess, Position, fen::Fen},
};

/// Bytes of a piece of work, as in the command.
const PIECE: usize = 16 << 10;

/// The reference: plays every move of the main lines and stops at nothing else.
struct Legality {
    moves: u64,
}

impl Visitor for Legality {
    type Tags = Option<Chess>;
    type Movetext = Chess;
    type Output = bool;

    fn begin_tags(&mut self) -> ControlFlow<bool, Self::Tags> {
        ControlFlow::Continue(None)
    }

    fn tag(&mut self, tags: &mut Self::Tags, name: &[u8], value: RawTag<'_>) -> ControlFlow<bool> {
        if name == b"FEN" {
            let position = Fen::from_ascii(value.as_bytes())
                .ok()
                .and_then(|fen| fen.into_position(CastlingMode::Chess960).ok());
            match position {
                Some(position) => *tags = Some(position),
                None => return ControlFlow::Break(false),
            }
        }
        ControlFlow::Continue(())
    }

    fn begin_movetext(&mut self, tags: Self::Tags) -> ControlFlow<bool, Chess> {
        ControlFlow::Continue(tags.unwrap_or_default())
    }

    fn san(&mut self, position: &mut Chess, san: SanPlus) -> ControlFlow<bool> {
        match san.san.to_move(position) {
            Ok(m) => {
                position.play_unchecked(m);
                self.moves += 1;
                ControlFlow::Continue(())
            }
            Err(_) => ControlFlow::Break(false),
        }
    }

    fn end_game(&mut self, _position: Chess) -> bool {
        true
    }
}

fn reference(text: &[u8]) -> u64 {
    let mut visitor = Legality { moves: 0 };
    let mut reader = Reader::new(text);
    while let Ok(Some(_)) = reader.read_game(&mut visitor) {}
    visitor.moves
}

fn ours(text: &[u8], settings: &Settings, solver: &mut Solver) -> u64 {
    let document = Document::in_pieces(text, Format::Pgn, PIECE);
    let pieces = document.pieces().iter();
    pieces
        .map(|piece| check_piece(document.bytes_of(piece), piece.kind, settings, solver).plies)
        .sum()
}

/// The command's way: threads take pieces until none is left.
fn ours_on_two(text: &[u8], settings: &Settings) -> u64 {
    let document = Document::in_pieces(text, Format::Pgn, PIECE);
    let pieces = document.pieces();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut solver = Solver::new(1 << 20);
        let mut plies = 0;
        while let Some(piece) = pieces.get(next.fetch_add(1, Ordering::Relaxed)) {
            let own = document.bytes_of(piece);
            plies += check_piece(own, piece.kind, settings, &mut solver).plies;
        }
        plies
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(work);
        work() + other.join().expect("no panic")
    })
}

/// The median of several runs.
fn time(mut work: impl FnMut() -> u64) -> (Duration, u64) {
    const RUNS: usize = 15;
    let mut times = Vec::with_capacity(RUNS);
    let mut result = 0;
    for _ in 0..RUNS {
        let start = Instant::now();
        result = std::hint::black_box(work());
        times.push(start.elapsed());
    }
    times.sort();
    (times[RUNS / 2], result)
}

fn collections() -> Vec<PathBuf> {
    let metadata = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1"])
        .output()
        .expect("cargo metadata");
    let text = String::from_utf8_lossy(&metadata.stdout);
    let marker = "pgn-reader-0.29.0";
    let end = text.find(marker).expect("pgn-reader's sources") + marker.len();
    let start = text[..end].rfind('"').expect("a path") + 1;
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(PathBuf::from(&text[start..end]).join("benches"))
            .expect("its collections")
            .filter_map(|entry| Some(entry.ok()?.path()))
            .filter(|path| path.extension().is_some_and(|ending| ending == "pgn"))
            .collect();
    files.sort();
    files
}

fn main() {
    let named: Vec<PathBuf> = std::env::args()
        .skip(1)
        .filter(|argument| !argument.starts_with('-'))
        .map(PathBuf::from)
        .collect();
    let files = if named.is_empty() {
        collections()
    } else {
        named
    };
    let settings = Settings {
        claims: false,
        ..Settings::default()
    };
    let mut solver = Solver::new(1 << 20);
    println!("bytes      moves    reference  ours       ratio  two cores  gain");
    for path in files {
        let text = std::fs::read(&path).expect("a readable file");
        let (base, moves) = time(|| reference(&text));
        let (own, _) = time(|| ours(&text, &settings, &mut solver));
        let (two, _) = time(|| ours_on_two(&text, &settings));
        println!(
            "{:<10} {moves:<8} {base:>9.2?}  {own:>9.2?}  {:.2}   {two:>9.2?}  {:.2}",
            text.len(),
            base.as_secs_f64() / own.as_secs_f64(),
            own.as_secs_f64() / two.as_secs_f64(),
        );
    }
}
