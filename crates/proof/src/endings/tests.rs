//! Tables against the rules library, against each other, and against published records.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use shakmaty::{Chess, Position};

use super::*;
use crate::facts::testing::{Numbers, position};

/// The tables these tests share; built once.
fn tables() -> &'static Tables {
    static TABLES: OnceLock<Tables> = OnceLock::new();
    TABLES.get_or_init(|| Tables::new(usize::MAX))
}

fn build(name: &str) -> Arc<Table> {
    tables()
        .build(name.parse().unwrap(), &AtomicBool::new(false))
        .unwrap()
}

/// What the moves of the rules library make of a position, from the values after them:
/// the definition of the distance to mate.
fn by_definition(position: &Chess) -> Option<u8> {
    let moves = position.legal_moves();
    if moves.is_empty() {
        return position.is_check().then_some(0);
    }
    let after: Vec<Option<u8>> = moves
        .into_iter()
        .map(|m| {
            let mut next = position.clone();
            next.play_unchecked(m);
            tables().probe(&next).unwrap().dtm_plies
        })
        .collect();
    let losing = after.iter().flatten().filter(|ply| **ply % 2 == 0).min();
    match losing {
        Some(ply) => Some(ply + 1),
        None if after.iter().all(Option::is_some) => after.iter().flatten().max().map(|p| p + 1),
        None => None,
    }
}

/// Of all 33 tables, which take most of a minute to build.
#[test]
fn values_follow_from_the_values_after_every_move() {
    let mut compared = 0;
    let all = Signature::all();
    for name in all.iter().map(ToString::to_string) {
        let table = build(&name);
        let mut numbers = Numbers(7);
        for _ in 0..20_000 {
            let number = numbers.below(table.len());
            let Some(position) = table.position(number) else {
                continue;
            };
            compared += 1;
            let known = tables().probe(&position).unwrap();
            assert_eq!(
                known.dtm_plies,
                by_definition(&position),
                "{name} {position:?}"
            );
        }
    }
    assert!(all.len() == 33 && compared > 5_000 * all.len());
}

#[test]
fn every_en_passant_position_follows_from_its_moves() {
    let table = build("KPKP");
    let mut compared = 0;
    let mut numbers = Numbers(11);
    while compared < 2_000 {
        let number = numbers.below(table.len());
        // Only numbers whose white pawn is written on the first rank.
        let number = (number & !(0b111 << 9)) | (1 << 23);
        let Some(position) = table.position(number) else {
            continue;
        };
        assert!(position.maybe_ep_square().is_some());
        compared += 1;
        let known = tables().probe(&position).unwrap();
        assert_eq!(known.dtm_plies, by_definition(&position), "{position:?}");
    }
}

/// Longest wins in moves, from the published tables of Thompson and Nalimov
/// (from memory).
#[test]
fn the_longest_wins_are_the_published_ones() {
    for (name, moves) in [("KQK", 10), ("KRK", 16), ("KPK", 28), ("KRKN", 40)] {
        assert_eq!(build(name).longest().div_ceil(2), moves, "{name}");
    }
}

#[test]
fn handbook_endings_of_king_and_pawn() {
    verdicts(&[
        // King and pawn: opposition (Philidor 1777, from memory).
        ("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1", Wdl::Win),
        ("4k3/8/4K3/4P3/8/8/8/8 b - - 0 1", Wdl::Loss),
        ("8/4k3/8/4K3/4P3/8/8/8 w - - 0 1", Wdl::Draw),
        ("4k3/4P3/4K3/8/8/8/8/8 b - - 0 1", Wdl::Draw),
        ("k7/8/8/8/P7/8/1K6/8 w - - 0 1", Wdl::Draw),
    ]);
}

#[test]
fn handbook_endings_of_four_men() {
    verdicts(&[
        // Saavedra and Barbier 1895: the pawn wins by promoting to a rook (from memory).
        ("8/8/1KP5/3r4/8/8/8/k7 w - - 0 1", Wdl::Win),
        // Réti, Ostrauer Morgenzeitung 1921: White draws (from memory).
        ("7K/8/k1P5/7p/8/8/8/8 w - - 0 1", Wdl::Draw),
        // The wrong bishop: it does not hold the corner where the rook pawn promotes, and
        // the right one (common practice, no source).
        ("k7/8/8/P7/8/8/3B4/2K5 w - - 0 1", Wdl::Draw),
        ("k7/8/8/P7/8/8/4B3/2K5 w - - 0 1", Wdl::Win),
    ]);
}

fn verdicts(expected: &[(&str, Wdl)]) {
    for &(fen, outcome) in expected {
        let p = position(fen);
        if let Some(needed) = Tables::needs(&p) {
            build(&needed.to_string());
        }
        assert_eq!(tables().probe(&p).unwrap().outcome, outcome, "{fen}");
    }
}

#[test]
fn lines_end_in_mate_after_the_distance_told() {
    build("KRK");
    let p = position("8/8/8/3k4/8/8/8/R3K3 w - - 0 1");
    let ending = tables().probe(&p).unwrap();
    let line = tables().line(&p).unwrap();
    assert_eq!(line.len(), usize::from(ending.dtm_plies.unwrap()));
    let mut end = p;
    for m in line {
        end = end.play(m).unwrap();
    }
    assert!(end.is_checkmate());
    assert_eq!(ending.beats_fifty(0), Some(true));
    assert_eq!(ending.beats_fifty(90), None);
}

#[test]
fn colours_and_mirrors_do_not_matter() {
    build("KRK");
    let p = position("8/8/8/3k4/8/8/8/R3K3 w - - 0 1");
    let q = position("r3k3/8/8/8/3K4/8/8/8 b - - 0 1");
    assert_eq!(tables().probe(&p), tables().probe(&q));
    let castling = position("8/8/8/3k4/8/8/8/R3K3 w Q - 0 1");
    assert_eq!(tables().probe(&castling), None);
}

#[test]
fn bytes_go_round_and_damage_is_found() {
    let table = build("KRK");
    let bytes = table.to_bytes();
    let again = Table::from_bytes(&bytes).unwrap();
    assert_eq!(again.signature(), table.signature());
    assert_eq!(again.to_bytes(), bytes);
    let mut numbers = Numbers(3);
    for _ in 0..200 {
        let mut damaged = bytes.clone();
        let at = numbers.below(damaged.len());
        damaged[at] ^= 1 << numbers.below(8);
        assert!(Table::from_bytes(&damaged).is_err());
        assert!(Table::from_bytes(&bytes[..at]).is_err());
    }
    assert!(Table::from_bytes(&[]).is_err());
}

#[test]
fn a_raised_flag_stops_the_work() {
    let fresh = Tables::new(usize::MAX);
    let result = fresh.build("KQKR".parse().unwrap(), &AtomicBool::new(true));
    assert_eq!(result.unwrap_err(), TableError::Stopped);
}

#[test]
fn memory_is_bounded() {
    let small = Tables::new(1);
    for name in ["KQK", "KRK"] {
        small
            .build(name.parse().unwrap(), &AtomicBool::new(false))
            .unwrap();
    }
    assert!(small.get("KQK".parse().unwrap()).is_none());
    assert!(small.get("KRK".parse().unwrap()).is_some());
}

/// A store in memory that counts what it gives.
#[derive(Debug, Default)]
struct Shelf {
    kept: std::sync::Mutex<Vec<Vec<u8>>>,
    given: std::sync::atomic::AtomicUsize,
}

impl Store for std::sync::Arc<Shelf> {
    fn load(&self, signature: Signature, _: &AtomicBool) -> Option<Arc<Table>> {
        let kept = self.kept.lock().unwrap();
        let table = kept
            .iter()
            .filter_map(|bytes| Table::from_bytes(bytes).ok())
            .find(|table| table.signature() == signature)?;
        self.given
            .fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        Some(Arc::new(table))
    }

    fn keep(&self, table: &Table) {
        self.kept.lock().unwrap().push(table.to_bytes());
    }
}

#[test]
fn tables_are_kept_and_taken_again() {
    let stop = AtomicBool::new(false);
    let shelf = std::sync::Arc::new(Shelf::default());
    // King and pawn: the table needs those of queen and rook.
    let p = position("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1");
    let ask = || {
        let tables = Tables::new(1).kept_by(Box::new(std::sync::Arc::clone(&shelf)));
        (tables.settle(&p, &stop), tables.best_play(&p, 60, &stop))
    };
    let first = ask();
    let built = shelf.kept.lock().unwrap().len();
    assert_eq!(built, 3);
    let given = shelf.given.load(std::sync::atomic::Ordering::Relaxed);
    assert_eq!(ask(), first);
    assert_eq!(shelf.kept.lock().unwrap().len(), built);
    assert!(shelf.given.load(std::sync::atomic::Ordering::Relaxed) > given);
    // The line is as long as the distance says and ends with mate, through a promotion
    // although only one table fits the memory.
    let (Some(ending), Some(line)) = first else {
        panic!("known");
    };
    assert_eq!(
        ending.dtm_plies.map(usize::from),
        Some(line.len()).filter(|n| *n > 0)
    );
    let mut at = p.clone();
    for m in line {
        at = at.play(m).expect("legal");
    }
    assert!(at.is_checkmate());
}
