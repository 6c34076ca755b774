//! Which first moves mate, for `gainsay prove --moves`.

use gainsay::{Solver, Verdict, show};
use gainsay_proof::{MateAnswer, MatingMove};
use serde::Serialize;
use shakmaty::{Chess, Position};

/// What became of every first move.
#[derive(Debug)]
pub(crate) struct Firsts {
    /// The number of moves they were to mate within.
    within: u32,
    moves: Vec<MatingMove>,
}

#[derive(Serialize)]
pub(crate) struct FirstsJson {
    within: u32,
    moves: Vec<FirstJson>,
}

#[derive(Serialize)]
struct FirstJson {
    /// In SAN.
    #[serde(rename = "move")]
    first: String,
    verdict: &'static str,
    moves: Option<u32>,
    /// The reply that escapes, in SAN.
    escape: Option<String>,
}

impl Firsts {
    /// Asks of every move of the side that mates, which is to move: does it mate within
    /// `within` moves, or where no number is given within those of `answer`? With the nodes
    /// it cost. `None` where there is no such number.
    pub(crate) fn ask(
        position: &Chess,
        within: Option<u32>,
        answer: &MateAnswer,
        nodes: u64,
        solver: &mut Solver,
    ) -> Option<(Self, u64)> {
        let within = within.or(answer.moves)?;
        let legal = position.legal_moves();
        // The first move of a proof needs no other.
        let proved = answer.line.first().filter(|_| {
            answer.verdict == Verdict::Holds && answer.moves.is_some_and(|moves| moves <= within)
        });
        let open: Vec<_> = (legal.iter().copied())
            .filter(|first| Some(first) != proved)
            .collect();
        let (told, spent) = solver.mating_moves(position, &open, Some(within), nodes);
        let mut told = told.into_iter();
        let moves = (legal.into_iter())
            .filter_map(|first| {
                if Some(&first) != proved {
                    return told.next();
                }
                Some(MatingMove {
                    verdict: Verdict::Holds,
                    moves: answer.moves,
                    ..MatingMove::unsettled(first)
                })
            })
            .collect();
        Some((Self { within, moves }, spent))
    }

    /// The moves of one verdict in SAN, in alphabetical order.
    fn names(&self, position: &Chess, verdict: Verdict) -> Vec<String> {
        let mut names: Vec<String> = (self.moves.iter())
            .filter(|told| told.verdict == verdict)
            .map(|told| show::san(position, told.first))
            .collect();
        names.sort_unstable();
        names
    }

    /// What a person reads: which mate, and which are not settled.
    pub(crate) fn words(&self, position: &Chess) -> String {
        let within = format!("within {}", show::counted(u64::from(self.within), "move"));
        let open = self.names(position, Verdict::Unsettled);
        let mating = self.names(position, Verdict::Holds);
        let mut words = match &mating[..] {
            [] if open.is_empty() => format!("no first move mates {within}"),
            [] => format!("no first move is known to mate {within}"),
            [only] if open.is_empty() => format!("only {only} mates {within}"),
            [one] => format!("{one} mates {within}"),
            many => format!("{} mate {within}", show::list(many, "and")),
        };
        if !open.is_empty() {
            words.push_str(&format!("; unsettled: {}", show::list(&open, "and")));
        }
        words
    }

    /// Every move with its verdict, in the order of [`Firsts::names`].
    pub(crate) fn json(&self, position: &Chess) -> FirstsJson {
        let mut moves: Vec<FirstJson> = (self.moves.iter())
            .map(|told| FirstJson {
                first: show::san(position, told.first),
                verdict: told.verdict.as_str(),
                moves: told.moves,
                escape: told.escape.map(|escape| {
                    let mut after = position.clone();
                    after.play_unchecked(told.first);
                    show::san(&after, escape)
                }),
            })
            .collect();
        moves.sort_unstable_by(|one, other| one.first.cmp(&other.first));
        FirstsJson {
            within: self.within,
            moves,
        }
    }
}
