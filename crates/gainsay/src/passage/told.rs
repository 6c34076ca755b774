//! What a claim of prose comes to beside several neighbours.

use gainsay_proof::Verdict;

use crate::outcome::{Judged, Open, Outcome};

/// What a claim came to beside one neighbour.
#[derive(Debug)]
pub(super) struct Told {
    /// As it holds, in a reading of it.
    pub(super) holds: Option<Judged>,
    /// As it does not.
    pub(super) other: Option<Judged>,
    /// Whether it fails in all readings.
    pub(super) all_fail: bool,
    /// Whether the neighbour is a game, of whose positions any can be meant.
    pub(super) of_game: bool,
    /// Whether it holds although nothing says that it is meant.
    pub(super) loose: bool,
}

impl Default for Told {
    fn default() -> Self {
        Self {
            holds: None,
            other: None,
            all_fail: true,
            of_game: false,
            loose: false,
        }
    }
}

impl Told {
    /// Whether it fails beside what is meant.
    pub(super) fn is_refuted(&self) -> bool {
        let fails = |other: &Judged| other.outcome.verdict() == Verdict::Fails;
        self.holds.is_none() && self.other.as_ref().is_some_and(fails)
    }
}

impl Judged {
    /// The same without a verdict, since something else may be meant.
    pub(super) fn left_open(mut self) -> Self {
        self.remarks.clear();
        if self.outcome.verdict() != Verdict::Unsettled {
            self.outcome = Outcome::Unsettled(Open::Undecided);
        }
        self
    }
}

/// What a claim comes to beside all that it can be said of. A `line` that can be played beside one
/// of them is told of that one.
pub(super) fn agreed(told: impl Iterator<Item = Told>, line: bool) -> Judged {
    let told: Vec<Told> = told.collect();
    let loose = told.iter().any(|told| told.loose);
    let mut meant: Vec<Told> = (told.into_iter())
        .filter(|told| told.holds.is_some() || told.other.is_some())
        .collect();
    let holding = meant.iter().filter(|told| told.holds.is_some()).count();
    let positions = meant.iter().any(|told| !told.of_game);
    let agree = holding == meant.len()
        || line
        || meant
            .iter()
            .all(|told| told.holds.is_some() || told.of_game && positions);
    if holding > 0 && agree {
        let alone = meant.len() == 1;
        let first = meant.iter_mut().find_map(|told| told.holds.take());
        let mut first = first.unwrap_or_else(Judged::of_nothing);
        if !alone {
            first.remarks.clear();
        }
        return first;
    }
    let fails = !meant.is_empty()
        && meant
            .iter()
            .all(|told| told.all_fail && told.holds.is_none());
    let first = meant.into_iter().find_map(|told| told.other.or(told.holds));
    match first {
        Some(first) if fails && !loose => first,
        Some(first) if fails || first.outcome.verdict() != Verdict::Unsettled => first.left_open(),
        Some(mut first) => {
            first.remarks.clear();
            first
        }
        None => Judged::of_nothing(),
    }
}
