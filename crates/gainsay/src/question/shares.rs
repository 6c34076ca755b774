//! What each claim of a game may cost.
//!
//! A game has a budget besides the claim's own, so that no file keeps anybody waiting for
//! hours. The shares are fixed by the game's questions before any of them is settled: no
//! verdict depends on what another cost, on their order or on the number of threads.

use std::{
    collections::{HashMap, hash_map::Entry},
    hash::{DefaultHasher, Hash, Hasher},
};

use gainsay_commentary::{ClaimKind, Feature};

use super::asked::Question;
use crate::settings::Settings;

/// Shares the game's budget out among its claims. The same question twice counts once, for it
/// is answered once.
pub(crate) fn share_out<'p>(claims: impl Iterator<Item = &'p mut Question>, settings: &Settings) {
    let mut claims: Vec<&mut Question> = claims.filter(|claim| claim.may_search()).collect();
    let mut caps: HashMap<u64, u64> = HashMap::new();
    for claim in &claims {
        let cap = settings.nodes.min(claim.nodes);
        match caps.entry(claim.question()) {
            Entry::Vacant(place) => {
                place.insert(cap);
            }
            Entry::Occupied(mut place) => {
                let most = cap.max(*place.get());
                place.insert(most);
            }
        }
    }
    let mut caps: Vec<u64> = caps.into_values().collect();
    let Some(share) = level(&mut caps, settings.of_a_game()) else {
        return;
    };
    for claim in &mut claims {
        claim.nodes = claim.nodes.min(share);
    }
}

/// The most that one may take so that all together, each with a cap of its own, take no more
/// than `budget`; `None` where the caps do not exceed it. One at least.
pub(crate) fn level(caps: &mut [u64], budget: u64) -> Option<u64> {
    caps.sort_unstable();
    let mut left = budget;
    for (at, &cap) in caps.iter().enumerate() {
        let share = left / (caps.len() - at) as u64;
        if cap > share {
            return Some(share.max(1));
        }
        left -= cap;
    }
    None
}

impl Question {
    /// Whether settling it may take a search.
    fn may_search(&self) -> bool {
        if self.claim.told.is_some() || !self.unread.is_empty() {
            return false;
        }
        match &self.claim.kind {
            ClaimKind::Line
            | ClaimKind::Mention
            | ClaimKind::Pieces(_)
            | ClaimKind::Count(_)
            | ClaimKind::Shade(_)
            | ClaimKind::Deed(_)
            | ClaimKind::Retake(_)
            | ClaimKind::Trade(_)
            | ClaimKind::Exchanged(_)
            | ClaimKind::First(_)
            | ClaimKind::Pawns(_)
            | ClaimKind::Bearing(_)
            | ClaimKind::Reference(_)
            | ClaimKind::GameEnd(_) => false,
            ClaimKind::Structure(said) => said.feature == Feature::Promotes,
            _ => true,
        }
    }

    /// A fingerprint of what is asked: the claim and the position it is made in.
    fn question(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        let claim = &self.claim;
        format!(
            "{:?} {:?} {:?} {:?}",
            claim.kind, claim.subject, claim.polarity, claim.mood
        )
        .hash(&mut hasher);
        self.comment.scene.here.hash(&mut hasher);
        hasher.finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, Solver, Verdict, check};

    #[test]
    fn shares_are_level_and_keep_to_the_budget() {
        assert_eq!(level(&mut [5, 5, 5], 15), None);
        assert_eq!(level(&mut [5, 5, 5], 14), Some(4));
        // What asks for little leaves more to the others.
        assert_eq!(level(&mut [2, 100, 100], 62), Some(30));
        assert_eq!(level(&mut [7; 10], 3), Some(1));
        assert_eq!(level(&mut [], 3), None);
    }

    const MIDDLE: &str = "[SetUp \"1\"]\n[FEN \"r1bqk2r/pp2bppp/2n1pn2/3p4/3P1B2/2NBPN2/PP3PPP/R2QK2R w KQkq - 0 9\"]\n\n9. O-O ";

    /// The same claim of the same position costs what one costs.
    #[test]
    fn a_question_is_answered_once() {
        let settings = Settings {
            nodes: 20_000,
            ..Settings::default()
        };
        let searched = |times: usize| {
            let text = format!(
                "{MIDDLE}{} O-O *\n",
                "{Black mates in three.} ".repeat(times)
            );
            let mut solver = Solver::new(1 << 20);
            let report = crate::check_piece(
                text.as_bytes(),
                gainsay_notation::SectionKind::Games,
                &settings,
                &mut solver,
            );
            assert_eq!(report.claims.len(), times);
            let verdicts: Vec<Verdict> = report.claims.iter().map(|claim| claim.verdict).collect();
            assert!(
                verdicts
                    .iter()
                    .all(|verdict| Some(verdict) == verdicts.first())
            );
            solver.searched()
        };
        let once = searched(1);
        assert!(once > 0);
        assert_eq!(searched(100), once);
    }

    /// With many different questions each gets less, the first no more than the last.
    #[test]
    fn a_game_keeps_to_its_budget() {
        let mut moves = String::from("1. Nf3 {White mates in nine.} Nf6 ");
        for number in 2..40 {
            let (white, black) = if number % 2 == 0 {
                ("Ng1", "Ng8")
            } else {
                ("Nf3", "Nf6")
            };
            moves.push_str(&format!(
                "{number}. {white} {{White mates in {number}.}} {black} "
            ));
        }
        let settings = Settings {
            nodes: 100_000,
            game_nodes: Some(400_000),
            ..Settings::default()
        };
        let report = check(format!("{moves}*\n").as_bytes(), &settings);
        assert!(report.claims.len() > 30);
        let total: u64 = report.claims.iter().map(|claim| claim.nodes).sum();
        // A search ends only behind the position it is at.
        assert!(total <= 420_000, "{total}");
        assert!(
            report.claims.iter().any(|claim| claim.short),
            "{:#?}",
            report.claims
        );
        let most = report.claims.iter().map(|claim| claim.nodes).max();
        assert!(most <= Some(420_000 / 30));
    }
}
