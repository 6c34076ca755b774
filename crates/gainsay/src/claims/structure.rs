//! Features of structure and placement.

use gainsay_commentary::{Feature, Nuance, Owner, Structure, Tense, Traits};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, Chess, Color, File, Position, Square};

use super::{
    Pending,
    answer::Answer,
    board::owners,
    facts::{Soon, Statement},
    features::{self, with_traits},
    told::{Told, pawns_of, pieces, places, stand},
};
use crate::{rules, show};

impl Pending {
    /// Settles a feature of the structure.
    pub(super) fn settle_structure(&self, said: &Structure) -> Answer {
        let Structure {
            feature,
            file,
            square,
            owner,
            ..
        } = *said;
        if matches!(feature, Feature::Castled(_) | Feature::BothCastled) {
            return self.settle_castled(feature, owner);
        }
        let sides = owners(owner);
        // "White fears the queenside majority": it may be Black's.
        let whose = said.owned || feature == Feature::CastlingRights;
        let either = match owner {
            Owner::Side(color) if whose => vec![color],
            _ => Color::ALL.to_vec(),
        };
        if self.denied()
            && feature == Feature::CastlingRights
            && let &[side] = sides.as_slice()
            && let Some(answer) = self.can_castle(side)
        {
            return answer;
        }
        if feature == Feature::CastlingRights
            && !self.denied()
            && let &[side] = sides.as_slice()
        {
            return self.settle_right(side);
        }
        // "No open file": a half-open one is none.
        let strict = self.denied() && feature == Feature::OpenFile;
        let firm = self.is_firm(said);
        let cornered = |position: &Chess| {
            let king = |&side: &Color| facts::king_in_corner(position.board(), side, false);
            sides.iter().any(king)
        };
        let holds = |position: &Chess| features::holds(position, said, &sides);
        self.settle_statement(&Statement {
            holds: &holds,
            plausible: &|position| {
                if strict {
                    features::holds(position, said, &sides)
                } else {
                    features::may_hold(position, said, &either)
                }
            },
            rule: firm.then_some(&rules::false_structure::RULE),
            denial: self.denies(said).then_some(&rules::false_structure::RULE),
            told: &|here| instead(here.board(), said, &either),
            // "The e-file is open" is not said of a file that the next exchange halfway opens.
            soon: match (feature, file, square) {
                (Feature::OpenFile, Some(_), _) => Soon::If(&holds),
                (Feature::KingInCorner, ..) => Soon::If(&cornered),
                _ => Soon::ByAnyMove,
            },
        })
    }

    /// Whether the phrase itself says that there is none: "no open file". A "not" further
    /// off may deny something else.
    fn denies(&self, said: &Structure) -> bool {
        let kinds = matches!(
            said.feature,
            Feature::OpenFile
                | Feature::PassedPawn
                | Feature::ConnectedPassedPawns
                | Feature::IsolatedPawn
                | Feature::DoubledPawns
                | Feature::TripledPawns
        );
        kinds && self.claim.wording.has(Nuance::No)
    }

    /// Whether the words are exact enough to be called false where no sense of them fits.
    fn is_firm(&self, said: &Structure) -> bool {
        let owned = said.owned;
        let placed = said.file.is_some() || said.square.is_some();
        let firm = match said.feature {
            Feature::OpenFile => placed || !said.only,
            Feature::HalfOpenFile
            | Feature::DoubledPawns
            | Feature::OppositeBishops
            | Feature::SameBishops
            | Feature::QueensOff
            | Feature::TripledPawns
            | Feature::KingInCorner => true,
            Feature::ClosedFile => said.file.is_some(),
            // "The passed pawn" may be any in the book.
            Feature::PassedPawn | Feature::ConnectedPassedPawns => owned || placed || said.both,
            Feature::IsolatedPawn => placed || said.count.is_some() && owned,
            Feature::BackwardPawn => said.square.is_some() || owned,
            Feature::Pawn(_) => placed || owned,
            Feature::BishopPair
            | Feature::PawnIslands
            | Feature::QueensideMajority
            | Feature::KingsideMajority
            | Feature::CentralMajority
            | Feature::RookOnSeventh
            | Feature::RooksOnSeventh => owned || said.both,
            Feature::Outpost => owned && said.square.is_some(),
            Feature::CastlingRights => {
                matches!(said.owner, Owner::Side(_)) && !self.claim.wording.begins(Nuance::Castling)
            }
            Feature::Ending(role) => role.is_some() && self.is_all(),
            Feature::EnPassant => (owned || placed) && self.claim.closed,
            Feature::Castled(_)
            | Feature::BothCastled
            | Feature::PromotionNext
            | Feature::Promotes => false,
        };
        // What opens a file or gets a passed pawn may do so in the end.
        let to_come = self.claim.tense == Tense::Future || self.claim.wording.has(Nuance::Becomes);
        // "A passed pawn on d5 is far away."
        firm && !to_come && !self.claim.wording.begins(Nuance::Any)
    }
}

/// What is true instead of a feature that is not there.
fn instead(board: &Board, said: &Structure, sides: &[Color]) -> Told {
    let claimed = sides;
    // A square that is named tells whose pawn is meant.
    let own = said.square.and_then(|square| board.color_at(square));
    let own: Vec<Color> = own.into_iter().collect();
    let sides = if own.is_empty() { sides } else { &own };
    let each = |of: &dyn Fn(Color) -> String| {
        let told: Vec<String> = sides.iter().map(|&side| of(side)).collect();
        Told::words(show::list(&told, "and"))
    };
    let listed = |of: &dyn Fn(Color) -> Bitboard, name: &str| {
        each(&|side| {
            let found = of(side);
            if found.is_empty() {
                format!("{} has no {name}", show::side(side))
            } else {
                let plural = if found.more_than_one() { "s" } else { "" };
                let verb = stand(found);
                format!(
                    "{}'s {name}{plural} {verb} on {}",
                    show::side(side),
                    places(found)
                )
            }
        })
    };
    match said.feature {
        Feature::OpenFile | Feature::HalfOpenFile | Feature::ClosedFile => match said.file {
            Some(file) if !said.only => Told::words(on_file(board, file)),
            _ => Told::words(files(board)),
        },
        Feature::PassedPawn | Feature::ConnectedPassedPawns => {
            if let Some(at) = said.square
                && let Some(color) = board.color_at(at)
            {
                return Told::words(faces(board, color, at));
            }
            listed(&|side| facts::passed_pawns(board, side), "passed pawn")
        }
        Feature::IsolatedPawn => {
            listed(&|side| facts::isolated_pawns(board, side), "isolated pawn")
        }
        Feature::DoubledPawns | Feature::TripledPawns => {
            listed(&|side| facts::doubled_pawns(board, side), "doubled pawn")
        }
        Feature::BackwardPawn => match said.square {
            Some(at) if board.pawns().contains(at) => {
                let by = facts::defenders(board, at) & board.pawns();
                Told::words(format!(
                    "{} is defended by {}",
                    show::named(board, at),
                    pieces(board, by)
                ))
            }
            _ => listed(&|side| facts::backward_pawns(board, side), "backward pawn"),
        },
        Feature::PawnIslands => each(&|side| {
            let islands = facts::pawn_islands(board, side);
            let plural = if islands == 1 { "" } else { "s" };
            format!("{} has {islands} pawn island{plural}", show::side(side))
        }),
        Feature::QueensideMajority => counted(board, facts::Wing::Queenside),
        Feature::KingsideMajority => counted(board, facts::Wing::Kingside),
        Feature::CentralMajority => counted(board, facts::Wing::Centre),
        Feature::RookOnSeventh | Feature::RooksOnSeventh => {
            listed(&|side| board.by_piece(side.rook()), "rook")
        }
        Feature::Outpost => Told::words(no_outpost(board, said.square, claimed)),
        Feature::KingInCorner => {
            let kings = sides
                .iter()
                .filter_map(|&side| board.king_of(side))
                .collect();
            Told::words(format!("there {} {}", stand(kings), pieces(board, kings)))
        }
        Feature::QueensOff => Told::words(format!(
            "there {} {}",
            stand(board.queens()),
            pieces(board, board.queens())
        )),
        Feature::Pawn(traits) => {
            let mut words = Vec::new();
            for (known, name) in [
                (Traits::PASSED, "passed pawn"),
                (Traits::ISOLATED, "isolated pawn"),
                (Traits::DOUBLED, "doubled pawn"),
                (Traits::BACKWARD, "backward pawn"),
                (Traits::PROTECTED, "protected pawn"),
            ] {
                if traits.contains(known) {
                    let of = |side| with_traits(board, side, known, false);
                    words.push(listed(&of, name).words);
                }
            }
            Told::words(words.join("; "))
        }
        Feature::OppositeBishops | Feature::SameBishops | Feature::BishopPair => {
            Told::words(match pieces(board, board.bishops()) {
                all if all.is_empty() => "there are no bishops".to_owned(),
                all => format!("there {} {all}", stand(board.bishops())),
            })
        }
        Feature::EnPassant => Told::words("no pawn can be taken so"),
        Feature::Ending(_) => {
            let men = board.occupied() & !board.kings() & !board.pawns();
            Told::words(if men.is_empty() {
                "there are only pawns left".to_owned()
            } else {
                format!("there {} {}", stand(men), pieces(board, men))
            })
        }
        _ => Told::words("that is not so here, nor within eight plies"),
    }
}

/// The pawns on a file.
fn on_file(board: &Board, file: File) -> String {
    let on = Bitboard::from_file(file) & board.pawns();
    if on.is_empty() {
        format!("no pawn stands on the {}-file", file.char())
    } else {
        format!("there {} {}", stand(on), pieces(board, on))
    }
}

/// The files without pawns.
fn files(board: &Board) -> String {
    let open: Vec<String> = facts::open_files(board)
        .map(|file| format!("{}-file", file.char()))
        .collect();
    match open.len() {
        0 => "there is a pawn on every file".to_owned(),
        1 => format!("only the {} is open", show::list(&open, "and")),
        _ => format!("the {} are open", show::list(&open, "and")),
    }
}

/// What keeps a pawn from being passed.
fn faces(board: &Board, color: Color, at: Square) -> String {
    let against = facts::stoppers(board, color, at);
    if against.is_empty() {
        return format!(
            "{} has no other passed pawn beside it",
            show::named(board, at)
        );
    }
    format!(
        "{} faces {}",
        show::named(board, at),
        pawns_of(board, !color, against)
    )
}

/// How many pawns each side has on a wing, or in the centre.
fn counted(board: &Board, wing: facts::Wing) -> Told {
    let files = match wing {
        facts::Wing::Queenside => "files a to d",
        facts::Wing::Kingside => "files e to h",
        facts::Wing::Centre => "files c to f",
    };
    let of = |color| {
        let [wide, _] = facts::pawns_on_wing(board, color, wing);
        wide
    };
    Told::words(format!(
        "on the {files} White has {} and Black {} of the pawns",
        of(Color::White),
        of(Color::Black)
    ))
}

/// Why a square is no outpost.
fn no_outpost(board: &Board, square: Option<Square>, sides: &[Color]) -> String {
    let (Some(square), Some(&side)) = (square, sides.first()) else {
        return "there is no such square".to_owned();
    };
    let chasers = facts::chasers(board, side, square);
    if chasers.is_empty() {
        format!("{square} lies in {}'s own half", show::side(side))
    } else {
        format!("{} can attack a piece on {square}", pieces(board, chasers))
    }
}
