//! Named mates: "a smothered mate".

use gainsay_commentary::NamedMate;
use gainsay_proof::{
    Verdict,
    facts::{self, MatingPattern},
};
use shakmaty::{Chess, File, Position, Rank, Role, Square};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    judge::JUDGEMENT,
    mate_names::{self, pattern},
    scene::Step,
};
use crate::{rules, show};

impl Pending {
    /// Settles the name of a mate by the picture of the final position. Authors stretch
    /// the names, so a name is false only where the mate lacks the very piece, or the very
    /// place of the king, that the name stands for.
    pub(super) fn settle_pattern(&self, named: &NamedMate, court: &mut Court<'_>) -> Answer {
        let name = self.words(named.span);
        let pattern = pattern(named.name);
        let scene = &self.comment.scene;
        let shows = |position: &&Chess| pattern.matches(position);
        if let Some(position) = self.within_reach().chain(scene.tree.all()).find(shows) {
            return if self.denied() {
                Answer::unsettled()
            } else {
                Answer::new(Verdict::Holds).on(position)
            };
        }
        if let Some(answer) = self.settle_named_mate(pattern, &name, named.comes, court) {
            return answer;
        }
        // The mate that can be proved from here, or was threatened.
        for start in [Some(scene.here.clone()), scene.passed()]
            .into_iter()
            .flatten()
        {
            let forced = court.mates_within(&start, 3, JUDGEMENT);
            let mut position = start.clone();
            for &m in &forced.line {
                position.play_unchecked(m);
            }
            if forced.verdict == Verdict::Holds && pattern.matches(&position) && !self.denied() {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(evidence(&start, &forced.line));
            }
        }
        self.misnamed(pattern, &name)
    }

    /// The mate at the end of the cited line, or at the comment, where it is not what it
    /// is called.
    fn misnamed(&self, pattern: MatingPattern, name: &str) -> Answer {
        let ends: Vec<&Step> = match self.line() {
            Some(line) => line
                .readings
                .iter()
                .filter_map(|steps| steps.last())
                .collect(),
            None => self.comment.scene.played.iter().collect(),
        };
        let Some(&last) = ends.first() else {
            return Answer::unsettled();
        };
        let mate = &last.after;
        let mut missing = None;
        for Step { after, .. } in &ends {
            match lacks(pattern, after) {
                Some(what) if after.is_checkmate() => missing = Some(what),
                _ => return Answer::unsettled(),
            }
        }
        let (Some(missing), false) = (missing, self.denied()) else {
            return Answer::unsettled();
        };
        let real = called(mate);
        let message = format!("This is no {name} mate: {missing}.{real}");
        self.refuted(&rules::misnamed_mate::RULE, mate, message, last.shown())
    }
}

/// A sentence that says what a mate is called instead; empty where it has no firm name.
pub(super) fn called(mate: &Chess) -> String {
    // Légal's mate is taken widely, to confirm what authors call so, not to name it.
    let shown = MatingPattern::of(mate)
        .into_iter()
        .find(|&shown| shown != MatingPattern::Legal);
    shown.map_or_else(String::new, |shown| {
        format!(" It shows {}.", mate_names::called(shown))
    })
}

/// What a mate lacks that its name cannot do without; `None` where it lacks nothing, or
/// the name is too loose to tell. Common practice, no source.
pub(super) fn lacks(pattern: MatingPattern, mate: &Chess) -> Option<String> {
    let board = mate.board();
    let winner = !mate.turn();
    let has = |role: Role| board.by_piece(role.of(winner)).any();
    let gives_check = |roles: &[Role]| {
        mate.checkers().into_iter().any(|square| {
            board
                .role_at(square)
                .is_some_and(|role| roles.contains(&role))
        })
    };
    let without = |roles: &[Role]| {
        roles
            .iter()
            .find(|&&role| !has(role))
            .map(|&role| format!("{} has no {}", show::side(winner), show::piece(role)))
    };
    let unless = |told: bool, what: &str| (!told).then(|| what.to_owned());
    use MatingPattern as P;
    match pattern {
        P::Smothered | P::Suffocation => {
            unless(gives_check(&[Role::Knight]), "no knight gives the check")
        }
        P::BackRank => {
            let home = facts::on_edge(board.king_of(mate.turn())?);
            unless(home, "the king does not stand on the edge of the board").or_else(|| {
                unless(
                    gives_check(&[Role::Rook, Role::Queen]),
                    "neither rook nor queen gives the check",
                )
            })
        }
        P::Arabian | P::Hook => without(&[Role::Rook, Role::Knight])
            .or_else(|| unless(gives_check(&[Role::Rook]), "no rook gives the check")),
        P::Anastasia => without(&[Role::Knight]).or_else(|| {
            unless(
                gives_check(&[Role::Rook, Role::Queen]),
                "neither rook nor queen gives the check",
            )
        }),
        P::Boden | P::DoubleBishop => unless(
            board.by_piece(Role::Bishop.of(winner)).count() >= 2,
            "it takes two bishops",
        ),
        P::Epaulette | P::Ladder | P::Corridor => unless(
            gives_check(&[Role::Queen, Role::Rook]),
            "neither queen nor rook gives the check",
        ),
        P::Dovetail | P::SwallowTail => unless(
            gives_check(&[Role::Queen]),
            "the queen does not give the check",
        ),
        P::BlindSwine => unless(
            board.by_piece(Role::Rook.of(winner)).count() >= 2,
            "it takes two rooks",
        ),
        P::Legal => unless(
            gives_check(&[Role::Knight, Role::Bishop]),
            "no minor piece gives the check",
        ),
        P::Scholars => {
            let weak = Square::from_coords(File::F, mate.turn().relative_rank(Rank::Second));
            let there = board.role_at(weak) == Some(Role::Queen);
            unless(there, &format!("no queen mates on {weak}"))
        }
        P::Fools => unless(
            gives_check(&[Role::Queen, Role::Bishop, Role::Pawn]),
            "the check does not come along a diagonal",
        )
        .or_else(|| {
            let weak = Square::from_coords(File::F, mate.turn().relative_rank(Rank::Second));
            let taken = mate.checkers().contains(weak);
            unless(!taken, &format!("the check comes from {weak}"))
        }),
        P::Pawn => unless(gives_check(&[Role::Pawn]), "no pawn gives the check"),
        P::DoubleCheck => unless(mate.checkers().count() == 2, "only one piece gives check"),
        P::Pillsbury | P::Morphy | P::Opera => without(&[Role::Bishop]).or_else(|| {
            unless(
                has(Role::Rook) || has(Role::Queen),
                "there is neither rook nor queen",
            )
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_denied_only_by_what_it_cannot_do_without() {
        let mate = |fen: &str| crate::read_fen(fen, false).0.expect("a position");
        // A rook mates on the back rank; see crates/proof for the pictures themselves.
        let back = mate("R5k1/5ppp/8/8/8/8/8/4K3 b - - 0 1");
        assert!(lacks(MatingPattern::BackRank, &back).is_none());
        assert!(lacks(MatingPattern::Corridor, &back).is_none());
        for pattern in [
            MatingPattern::Smothered,
            MatingPattern::Arabian,
            MatingPattern::Boden,
            MatingPattern::Dovetail,
            MatingPattern::Legal,
            MatingPattern::Pawn,
        ] {
            assert!(lacks(pattern, &back).is_some(), "{pattern:?}");
        }
        // No mate is denied a name that its picture shows.
        for fen in [
            "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1",
            "R5k1/5ppp/8/8/8/8/8/4K3 b - - 0 1",
            "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1",
            "3rkr2/8/4Q3/8/8/8/8/4K3 b - - 0 1",
        ] {
            let position = mate(fen);
            assert!(position.is_checkmate(), "{fen}");
            for pattern in MatingPattern::of(&position) {
                assert!(lacks(pattern, &position).is_none(), "{fen}: {pattern:?}");
            }
        }
    }
}
