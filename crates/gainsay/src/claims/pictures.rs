//! What the pictures of mates are called, and what each cannot do without.

use gainsay_proof::facts::{self, MatingPattern};
use shakmaty::{Chess, File, Position, Rank, Role, Square};

use crate::outcome::{At, Kind, Lack, Pattern, Side};

/// What a mate is called instead, where it has a firm name.
pub(super) fn called(mate: &Chess) -> Option<Pattern> {
    // Légal's mate is taken widely, to confirm what authors call so, not to name it.
    let shown = MatingPattern::of(mate)
        .into_iter()
        .find(|&shown| shown != MatingPattern::Legal);
    shown.map(Pattern)
}

/// What a mate lacks that its name cannot do without; `None` where it lacks nothing, or
/// the name is too loose to tell. Common practice, no source.
pub(super) fn lacks(pattern: MatingPattern, mate: &Chess) -> Option<Lack> {
    let board = mate.board();
    let winner = !mate.turn();
    let has = |role: Role| board.by_piece(role.of(winner)).any();
    let by = |roles: &[Role]| {
        let checks = mate.checkers().into_iter().any(|square| {
            board
                .role_at(square)
                .is_some_and(|role| roles.contains(&role))
        });
        (!checks).then(|| Lack::CheckBy(roles.iter().copied().map(Kind).collect()))
    };
    let without = |roles: &[Role]| {
        let missing = roles.iter().find(|&&role| !has(role));
        missing.map(|&role| Lack::Piece(Side(winner), Kind(role)))
    };
    let two = |role: Role| {
        let enough = board.by_piece(role.of(winner)).count() >= 2;
        (!enough).then_some(Lack::Two(Kind(role)))
    };
    let weak = Square::from_coords(File::F, mate.turn().relative_rank(Rank::Second));
    use MatingPattern as P;
    match pattern {
        P::Smothered | P::Suffocation => by(&[Role::Knight]),
        P::BackRank => {
            let home = facts::on_edge(board.king_of(mate.turn())?);
            (!home)
                .then_some(Lack::Edge)
                .or_else(|| by(&[Role::Rook, Role::Queen]))
        }
        P::Arabian | P::Hook => without(&[Role::Rook, Role::Knight]).or_else(|| by(&[Role::Rook])),
        P::Anastasia => without(&[Role::Knight]).or_else(|| by(&[Role::Rook, Role::Queen])),
        P::Boden | P::DoubleBishop => two(Role::Bishop),
        P::Epaulette | P::Ladder | P::Corridor => by(&[Role::Queen, Role::Rook]),
        P::Dovetail | P::SwallowTail => by(&[Role::Queen]),
        P::BlindSwine => two(Role::Rook),
        P::Legal => by(&[Role::Knight, Role::Bishop]),
        P::Scholars => {
            let there = board.role_at(weak) == Some(Role::Queen);
            (!there).then_some(Lack::QueenOn(At(weak)))
        }
        P::Fools => by(&[Role::Queen, Role::Bishop, Role::Pawn])
            .map(|_| Lack::Diagonal)
            .or_else(|| {
                let taken = mate.checkers().contains(weak);
                taken.then_some(Lack::CheckElsewhere(At(weak)))
            }),
        P::Pawn => by(&[Role::Pawn]),
        P::DoubleCheck => (mate.checkers().count() != 2).then_some(Lack::SecondCheck),
        P::Pillsbury | P::Morphy | P::Opera => without(&[Role::Bishop]).or_else(|| {
            let heavy = has(Role::Rook) || has(Role::Queen);
            (!heavy).then_some(Lack::HeavyPiece)
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
