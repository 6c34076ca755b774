//! Measures mates and their refutation on the positions of a file, one time each.

use std::time::Duration;

use gainsay_proof::{Budget, MateAnswer, MateProver, Verdict};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen, uci::UciMove};

use crate::clock::ThreadClock;

/// A middlegame has so many men at least.
const MEN: usize = 24;

/// The budget of a position.
const NODES: u64 = 10_000_000;

/// Measures a file: with the ending `.csv` one of lines `Id,FEN,Moves,…` (the moves in UCI,
/// the first played from the position), in whose middlegames mates in three are refuted,
/// before the first move and behind it; else EPD with the lengths of mates (`dm N`, or
/// `bm #N`), of which those in two, three and four are proved and shorter ones refuted.
///
/// Times are those of the thread, the clearing of the tables included.
pub(crate) fn measure(path: &str) -> std::io::Result<()> {
    let text = std::fs::read_to_string(path)?;
    let mut prover = MateProver::new(16 << 20);
    let mut ask = |position: &Chess, moves| {
        let clock = ThreadClock::own();
        let start = clock.now();
        let answer = prover.mate_within(position, moves, &mut Budget::nodes(NODES));
        (answer, clock.now().saturating_sub(start))
    };
    if path.ends_with(".csv") {
        let mut told = Tally::default();
        for position in text.lines().skip(1).flat_map(middlegames) {
            told.add(ask(&position, 3), |answer| answer.verdict == Verdict::Fails);
        }
        println!("{path}: no mate in 3 in middlegames: {told}");
        return Ok(());
    }
    for moves in 2..=4 {
        let mut told = Tally::default();
        for position in text.lines().filter_map(|line| mate_in(line, moves)) {
            told.add(ask(&position, moves), |answer| {
                answer.moves == Some(moves) && answer.exact
            });
        }
        println!("{path}: exact mate in {moves}: {told}");
    }
    Ok(())
}

fn position(fen: &str) -> Option<Chess> {
    fen.parse::<Fen>()
        .ok()?
        .into_position(CastlingMode::Standard)
        .ok()
}

/// The position of an EPD line that says that the side to move mates in so many moves.
pub(crate) fn mate_in(line: &str, moves: u32) -> Option<Chess> {
    let told = [format!(" dm {moves};"), format!(" bm #{moves};")];
    if !told.iter().any(|told| line.contains(told)) {
        return None;
    }
    let fields: Vec<&str> = line.split(' ').take(4).collect();
    position(&fields.join(" "))
}

/// The position of a line of the table and that behind the first move, as far as they are
/// middlegames.
fn middlegames(line: &str) -> Vec<Chess> {
    let mut fields = line.split(',').skip(1);
    let before = fields.next().and_then(position);
    let after = before
        .as_ref()
        .zip(fields.next())
        .and_then(|(before, moves)| {
            let first: UciMove = moves.split(' ').next()?.parse().ok()?;
            before.clone().play(first.to_move(before).ok()?).ok()
        });
    let men = |position: &Chess| position.board().occupied().count();
    let mut found: Vec<Chess> = before.into_iter().chain(after).collect();
    found.retain(|position| men(position) >= MEN);
    found
}

/// The times and nodes of the answers that were as expected.
#[derive(Default)]
struct Tally {
    times: Vec<Duration>,
    nodes: Vec<u64>,
    /// How many were unsettled.
    open: usize,
    /// How many were not as expected.
    others: usize,
}

impl Tally {
    fn add(
        &mut self,
        (answer, time): (MateAnswer, Duration),
        expected: impl Fn(&MateAnswer) -> bool,
    ) {
        if expected(&answer) {
            self.times.push(time);
            self.nodes.push(answer.nodes);
        } else if answer.verdict == Verdict::Unsettled {
            self.open += 1;
        } else {
            self.others += 1;
        }
    }
}

impl std::fmt::Display for Tally {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut times = self.times.clone();
        let mut nodes = self.nodes.clone();
        times.sort_unstable();
        nodes.sort_unstable();
        let count = times.len();
        write!(
            f,
            "{count} so, {} unsettled, {} otherwise",
            self.open, self.others
        )?;
        for (name, part) in [("median", 50), ("95 of 100", 95), ("all", 100)] {
            let at = count.saturating_sub(1) * part / 100;
            if let (Some(time), Some(nodes)) = (times.get(at), nodes.get(at)) {
                write!(f, "; {name} within {time:.3?}, {nodes} nodes")?;
            }
        }
        Ok(())
    }
}
