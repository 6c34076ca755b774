//! Mating patterns as geometry of the final position.

use shakmaty::{Bitboard, Board, Chess, Color, Position, Rank, Role, Square, attacks};

use super::king::{KingField, king_field};

/// A named picture of mate.
///
/// The names are the trade's; most are collected in Renaud and Kahn, *The Art of the
/// Checkmate*, 1953, and Vuković, *The Art of Attack in Chess*, 1965 (both from memory);
/// where neither has one it is common practice, no source. Definitions are permissive:
/// they hold the features without which nobody would use the name, so that a claim
/// fails only when the picture is clearly another. A position may match several.
///
/// In every definition *covers* means: attacks a square next to the king that no man of
/// the king's side holds, the king thought away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MatingPattern {
    /// Rook or queen checks along the edge rank on which the king stands.
    BackRank,
    /// A lone knight checks and the king's own men hold every square around it, one at
    /// most excepted.
    Smothered,
    /// A knight checks, own men hold two squares or more, and a bishop or queen covers
    /// a square on a diagonal.
    Suffocation,
    /// King in the corner, checked by a rook; a knight defends the rook or covers.
    Arabian,
    /// King on the edge, checked along that edge by rook or queen; a knight covers, and
    /// an own man holds the square next to the king off the edge.
    Anastasia,
    /// A bishop checks, another bishop covers on a diagonal of the other direction, and
    /// an own man holds a square.
    Boden,
    /// Bishops check and cover: one checks, another covers.
    DoubleBishop,
    /// Rook or queen checks, and men stand on both sides of the king in a row; usually both
    /// are its own.
    Epaulette,
    /// A rook next to the king checks, a knight defends it, a pawn defends the knight or
    /// covers, and an own man holds a square.
    Hook,
    /// A queen diagonally next to the king checks; of the two squares she does not reach
    /// at least one is held by an own man.
    Dovetail,
    /// A queen straight next to the king checks; the two squares diagonally behind it,
    /// which she does not reach, are held by own men, one at least.
    SwallowTail,
    /// King on the edge, checked along it by rook or queen; another rook or queen on the
    /// next line covers.
    Ladder,
    /// Rook or queen checks; it and another rook or queen stand on the seventh rank, or
    /// stood there but for the last step to the eighth.
    BlindSwine,
    /// Rook or queen checks along a file or rank from afar; own men or the enemy leave
    /// the king only that line, an own man holding a square.
    Corridor,
    /// A queen next to the king checks, a pawn defends her.
    Damiano,
    /// A queen next to the king checks, a bishop defends her.
    DamianoBishop,
    /// King near its own home square is mated by minor pieces: a knight or bishop checks,
    /// knights and bishops alone cover, both kinds take part.
    Legal,
    /// Rook or queen straight next to the king checks, a bishop defends it.
    Opera,
    /// King in the corner or next to it, checked along the edge by rook or queen; a
    /// bishop covers, an own man holds a square.
    Greco,
    /// A queen next to the king checks, a pawn on the sixth rank defends her.
    Lolli,
    /// A bishop checks, another bishop covers, a knight defends or covers.
    Blackburne,
    /// A bishop diagonally next to the king checks, a rook or queen defends it, own men
    /// hold two squares or more.
    Reti,
    /// A queen next to the king checks, a rook on the same line defends her.
    Triangle,
    /// A rook next to the king checks, a queen defends it and covers.
    KillBox,
    /// A queen next to the king checks, any man defends her.
    Support,
    /// King on the edge, usually in the corner, checked by a knight; a rook or queen
    /// covers.
    Corner,
    /// A queen next to the king on the edge checks, a bishop defends her.
    MaxLange,
    /// A rook checks, a bishop covers.
    Pillsbury,
    /// A bishop checks, a rook or queen covers, an own man holds a square.
    Morphy,
    /// Rook or queen next to the king checks along its back rank, a pawn, bishop or king
    /// defends it.
    Anderssen,
    /// A rook next to the king on the edge checks, a bishop defends it.
    Mayet,
    /// A rook next to the king on the edge checks, something defends it, a knight covers
    /// two squares in front of the king.
    Vukovic,
    /// A bishop checks, a queen covers, and no rook takes part.
    Balestra,
    /// A pawn checks and mates.
    Pawn,
    /// A knight checks, another knight covers.
    TwoKnights,
    /// A queen on f7 (f2) next to the king on its home square mates, a bishop defends her.
    Scholars,
    /// The queen mates on the short diagonal h5-e8 (h4-e1), nothing else takes part.
    Fools,
    /// Two pieces check at once.
    DoubleCheck,
    /// Rook or queen checks along the edge, the mating king stands opposite and covers.
    Opposition,
    /// Castling gives mate. The board does not show the move, so this holds when a rook on
    /// the d-file or f-file checks beside its own castled king.
    Castling,
}

/// Every pattern with its name and its other names, in lower case and without "mate".
const NAMES: &[(MatingPattern, &str, &[&str])] = &[
    (
        MatingPattern::BackRank,
        "back-rank",
        &[
            "back rank",
            "backrank",
            "back-row",
            "first-rank",
            "eighth-rank",
            "last-rank",
            "bottom-rank",
        ],
    ),
    (
        MatingPattern::Smothered,
        "smothered",
        &[
            "smother",
            "smothering",
            "philidor's",
            "philidor's legacy",
            "lucena's",
        ],
    ),
    (
        MatingPattern::Suffocation,
        "suffocation",
        &["suffocated", "suffocating"],
    ),
    (MatingPattern::Arabian, "Arabian", &["arab"]),
    (MatingPattern::Anastasia, "Anastasia's", &["anastasia"]),
    (
        MatingPattern::Boden,
        "Boden's",
        &["boden", "criss-cross", "crisscross"],
    ),
    (
        MatingPattern::DoubleBishop,
        "double-bishop",
        &["two-bishop", "two-bishops", "double bishop", "two bishops"],
    ),
    (
        MatingPattern::Epaulette,
        "epaulette",
        &["epaulet", "epaulettes", "epaulets"],
    ),
    (MatingPattern::Hook, "hook", &[]),
    (
        MatingPattern::Dovetail,
        "dovetail",
        &["dove-tail", "cozio's", "cozio"],
    ),
    (
        MatingPattern::SwallowTail,
        "swallow-tail",
        &[
            "swallow's tail",
            "swallowtail",
            "swallow tail",
            "gueridon",
            "guéridon",
        ],
    ),
    (
        MatingPattern::Ladder,
        "ladder",
        &[
            "lawnmower",
            "lawn-mower",
            "staircase",
            "rolling",
            "rook-roller",
            "two-rook",
            "two-rooks",
        ],
    ),
    (
        MatingPattern::BlindSwine,
        "blind-swine",
        &[
            "blind swine",
            "blind pigs",
            "two rooks on the seventh",
            "seventh-rank",
        ],
    ),
    (MatingPattern::Corridor, "corridor", &["hallway"]),
    (MatingPattern::Damiano, "Damiano's", &["damiano"]),
    (
        MatingPattern::DamianoBishop,
        "Damiano's bishop",
        &["damiano's bishop's", "queen-and-bishop", "queen and bishop"],
    ),
    (
        MatingPattern::Legal,
        "Légal's",
        &["legal's", "legal", "légal", "legall's", "legall"],
    ),
    (MatingPattern::Opera, "opera", &["opera-house"]),
    (MatingPattern::Greco, "Greco's", &["greco"]),
    (MatingPattern::Lolli, "Lolli's", &["lolli"]),
    (MatingPattern::Blackburne, "Blackburne's", &["blackburne"]),
    (MatingPattern::Reti, "Réti's", &["reti's", "reti", "réti"]),
    (MatingPattern::Triangle, "triangle", &["triangular"]),
    (
        MatingPattern::KillBox,
        "kill-box",
        &["kill box", "killbox", "box"],
    ),
    (
        MatingPattern::Support,
        "support",
        &[
            "supported",
            "kiss-of-death",
            "kiss of death",
            "helper",
            "helpmate queen",
        ],
    ),
    (MatingPattern::Corner, "corner", &[]),
    (
        MatingPattern::MaxLange,
        "Max Lange's",
        &["max lange", "lange's"],
    ),
    (MatingPattern::Pillsbury, "Pillsbury's", &["pillsbury"]),
    (MatingPattern::Morphy, "Morphy's", &["morphy"]),
    (
        MatingPattern::Anderssen,
        "Anderssen's",
        &["anderssen", "h-file"],
    ),
    (MatingPattern::Mayet, "Mayet's", &["mayet"]),
    (
        MatingPattern::Vukovic,
        "Vuković's",
        &["vukovic's", "vukovic", "vuković"],
    ),
    (
        MatingPattern::Balestra,
        "Balestra",
        &["balestra's", "crossbow"],
    ),
    (MatingPattern::Pawn, "pawn", &["david and goliath"]),
    (
        MatingPattern::TwoKnights,
        "two-knights",
        &["two knights", "double-knight", "knights"],
    ),
    (
        MatingPattern::Scholars,
        "scholar's",
        &["scholars", "scholars'", "four-move", "schoolboy's"],
    ),
    (
        MatingPattern::Fools,
        "fool's",
        &["fools", "fools'", "two-move"],
    ),
    (
        MatingPattern::DoubleCheck,
        "double-check",
        &["double check"],
    ),
    (
        MatingPattern::Opposition,
        "opposition",
        &["king-and-rook", "rook-and-king"],
    ),
    (MatingPattern::Castling, "castling", &["castles", "castle"]),
];

impl MatingPattern {
    /// Every pattern.
    pub fn all() -> impl Iterator<Item = Self> {
        NAMES.iter().map(|&(pattern, _, _)| pattern)
    }

    fn entry(self) -> (&'static str, &'static [&'static str]) {
        NAMES
            .iter()
            .find(|(pattern, _, _)| *pattern == self)
            .map_or(("", &[]), |&(_, name, aliases)| (name, aliases))
    }

    /// Its name as it stands before the word "mate".
    #[must_use]
    pub fn name(self) -> &'static str {
        self.entry().0
    }

    /// Its other names, in lower case.
    #[must_use]
    pub fn aliases(self) -> &'static [&'static str] {
        self.entry().1
    }

    /// The pattern of that name or other name, without regard to case, to a hyphen for a
    /// space, or to a typographic apostrophe; the word "mate" is left out.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        let plain = |text: &str| text.to_lowercase().replace('-', " ").replace('’', "'");
        let wanted = plain(name);
        NAMES
            .iter()
            .find(|(_, own, aliases)| {
                plain(own) == wanted || aliases.iter().any(|alias| plain(alias) == wanted)
            })
            .map(|&(pattern, _, _)| pattern)
    }

    /// Whether the position is checkmate and shows this picture.
    #[must_use]
    pub fn matches(self, position: &Chess) -> bool {
        Scene::new(position).is_some_and(|scene| scene.shows(self))
    }

    /// Every picture that the position shows; none unless it is checkmate.
    #[must_use]
    pub fn of(position: &Chess) -> Vec<Self> {
        Scene::new(position).map_or_else(Vec::new, |scene| {
            Self::all()
                .filter(|&pattern| scene.shows(pattern))
                .collect()
        })
    }
}

/// A mate and what its definitions ask about.
struct Scene<'a> {
    board: &'a Board,
    /// The side that mates.
    us: Color,
    king: Square,
    field: KingField,
    checkers: Bitboard,
    /// The board without the mated king.
    occupied: Bitboard,
}

impl<'a> Scene<'a> {
    fn new(position: &'a Chess) -> Option<Self> {
        if !position.is_checkmate() {
            return None;
        }
        let board = position.board();
        let field = king_field(board, position.turn())?;
        Some(Self {
            board,
            us: !position.turn(),
            king: field.king,
            field,
            checkers: position.checkers(),
            occupied: board.occupied().without(field.king),
        })
    }

    fn ours(&self, roles: &[Role]) -> Bitboard {
        roles
            .iter()
            .fold(Bitboard::EMPTY, |all, &role| all | self.board.by_role(role))
            & self.board.by_color(self.us)
    }

    fn attacked_from(&self, from: Square) -> Bitboard {
        self.board.piece_at(from).map_or(Bitboard::EMPTY, |piece| {
            attacks::attacks(from, piece, self.occupied)
        })
    }

    /// The flight squares that our men on `squares` cover.
    fn covered_by(&self, squares: Bitboard) -> Bitboard {
        squares.into_iter().fold(Bitboard::EMPTY, |all, from| {
            all | (self.attacked_from(from) & self.field.covered)
        })
    }

    fn covers(&self, squares: Bitboard) -> bool {
        self.covered_by(squares).any()
    }

    /// Our men of these roles that defend the square.
    fn protectors(&self, square: Square, roles: &[Role]) -> Bitboard {
        self.board.attacks_to(square, self.us, self.occupied) & self.ours(roles)
    }

    fn checkers_of(&self, roles: &[Role]) -> Bitboard {
        self.checkers & self.ours(roles)
    }

    fn straight(&self, square: Square) -> bool {
        square.file() == self.king.file() || square.rank() == self.king.rank()
    }

    /// Heavy pieces that check along a rank or file.
    fn line_checkers(&self) -> Bitboard {
        self.checkers_of(&[Role::Rook, Role::Queen])
            .into_iter()
            .filter(|&square| self.straight(square))
            .collect()
    }

    fn adjacent(&self, square: Square) -> bool {
        square.distance(self.king) == 1
    }

    fn blocked(&self) -> usize {
        self.field.blocked.count()
    }

    fn on_edge(&self) -> bool {
        Bitboard::EDGES.contains(self.king)
    }

    fn in_corner(&self) -> bool {
        Bitboard::CORNERS.contains(self.king)
    }

    fn near_corner(&self) -> bool {
        Bitboard::CORNERS
            .into_iter()
            .any(|corner| corner.distance(self.king) <= 1)
    }

    /// The edge lines, ranks or files, on which the king stands.
    fn edges(&self) -> Vec<Bitboard> {
        let rank = Bitboard::from_rank(self.king.rank());
        let file = Bitboard::from_file(self.king.file());
        [rank, file]
            .into_iter()
            .filter(|line| line.is_subset(Bitboard::EDGES))
            .collect()
    }

    fn edge_checkers(&self) -> Bitboard {
        self.edges().into_iter().fold(Bitboard::EMPTY, |all, line| {
            all | (self.line_checkers() & line)
        })
    }

    /// The checkers of these roles next to the king that one of `by` defends.
    fn contact(&self, roles: &[Role], by: &[Role]) -> Bitboard {
        self.checkers_of(roles)
            .into_iter()
            .filter(|&square| self.adjacent(square) && self.protectors(square, by).any())
            .collect()
    }

    fn shows(&self, pattern: MatingPattern) -> bool {
        use MatingPattern as P;
        use Role::{Bishop, King, Knight, Pawn, Queen, Rook};
        const HEAVY: &[Role] = &[Rook, Queen];
        let rank = Bitboard::from_rank(self.king.rank());
        match pattern {
            P::BackRank => {
                rank.is_subset(Bitboard::BACKRANKS) && (self.line_checkers() & rank).any()
            }
            P::Smothered => {
                self.checkers_of(&[Knight]).any()
                    && self.checkers.single_square().is_some()
                    && self.field.covered.count() <= 1
                    && self.blocked() >= 2
            }
            P::Suffocation => {
                self.checkers_of(&[Knight]).any()
                    && self.blocked() >= 2
                    && self.covers(self.ours(&[Bishop, Queen]))
            }
            P::Arabian => {
                self.in_corner()
                    && self.checkers_of(&[Rook]).into_iter().any(|rook| {
                        self.protectors(rook, &[Knight]).any() || self.covers(self.ours(&[Knight]))
                    })
            }
            P::Anastasia => self.anastasia(),
            P::Boden => {
                self.blocked() >= 1
                    && self
                        .checkers_of(&[Bishop])
                        .into_iter()
                        .any(|checker| self.crossing_bishop(checker))
            }
            P::DoubleBishop => self
                .checkers_of(&[Bishop])
                .into_iter()
                .any(|checker| self.covers(self.ours(&[Bishop]).without(checker))),
            P::Epaulette => self.epaulette(),
            P::Hook => {
                self.blocked() >= 1
                    && self.checkers_of(&[Rook]).into_iter().any(|rook| {
                        self.adjacent(rook)
                            && self.protectors(rook, &[Knight]).into_iter().any(|knight| {
                                self.protectors(knight, &[Pawn]).any()
                                    || self.covers(self.ours(&[Pawn]))
                            })
                    })
            }
            P::Dovetail => self.tail(false),
            P::SwallowTail => self.tail(true),
            P::Ladder => self.edge_checkers().into_iter().any(|checker| {
                self.ours(HEAVY)
                    .without(checker)
                    .into_iter()
                    .any(|other| self.straight_cover(other))
            }),
            P::BlindSwine => self.two_on_the_seventh(),
            P::Corridor => self.line_checkers().any() && self.blocked() >= 1,
            P::Damiano => self.contact(&[Queen], &[Pawn]).any(),
            P::DamianoBishop => self.contact(&[Queen], &[Bishop]).any(),
            P::Legal => self.legal(),
            P::Opera => self
                .contact(HEAVY, &[Bishop])
                .into_iter()
                .any(|piece| self.straight(piece)),
            P::Greco => {
                self.near_corner()
                    && self.edge_checkers().any()
                    && self.covers(self.ours(&[Bishop]))
                    && self.blocked() >= 1
            }
            P::Lolli => self.contact(&[Queen], &[Pawn]).into_iter().any(|queen| {
                (self.protectors(queen, &[Pawn])
                    & Bitboard::from_rank(self.us.relative_rank(Rank::Sixth)))
                .any()
            }),
            P::Blackburne => self.checkers_of(&[Bishop]).into_iter().any(|checker| {
                self.covers(self.ours(&[Bishop]).without(checker))
                    && (self.protectors(checker, &[Knight]).any()
                        || self.covers(self.ours(&[Knight])))
            }),
            P::Reti => self.contact(&[Bishop], HEAVY).any() && self.blocked() >= 2,
            P::Triangle => self.contact(&[Queen], &[Rook]).any(),
            P::KillBox => self.contact(&[Rook], &[Queen]).any() && self.covers(self.ours(&[Queen])),
            P::Support => self
                .contact(&[Queen], &[Pawn, Knight, Bishop, Rook, Queen, King])
                .any(),
            P::Corner => {
                self.on_edge() && self.checkers_of(&[Knight]).any() && self.covers(self.ours(HEAVY))
            }
            P::MaxLange => self.on_edge() && self.contact(&[Queen], &[Bishop]).any(),
            P::Pillsbury => self.checkers_of(&[Rook]).any() && self.covers(self.ours(&[Bishop])),
            P::Morphy => {
                self.checkers_of(&[Bishop]).any()
                    && self.covers(self.ours(HEAVY))
                    && self.blocked() >= 1
            }
            P::Anderssen => {
                rank.is_subset(Bitboard::BACKRANKS)
                    && (self.contact(HEAVY, &[Pawn, Bishop, King]) & rank).any()
            }
            P::Mayet => self.on_edge() && self.contact(&[Rook], &[Bishop]).any(),
            P::Vukovic => {
                self.on_edge()
                    && self
                        .contact(&[Rook], &[Pawn, Bishop, Rook, Queen, King])
                        .any()
                    && self.ours(&[Knight]).into_iter().any(|knight| {
                        self.covered_by(knight.into()).any() && knight.distance(self.king) <= 2
                    })
            }
            P::Balestra => {
                self.checkers_of(&[Bishop]).any()
                    && self.covers(self.ours(&[Queen]))
                    && !self.covers(self.ours(&[Rook]))
            }
            P::Pawn => self.checkers_of(&[Pawn]).any(),
            P::TwoKnights => self
                .checkers_of(&[Knight])
                .into_iter()
                .any(|checker| self.covers(self.ours(&[Knight]).without(checker))),
            P::Scholars => {
                let home =
                    Square::from_coords(shakmaty::File::E, (!self.us).relative_rank(Rank::First));
                let weak =
                    Square::from_coords(shakmaty::File::F, (!self.us).relative_rank(Rank::Second));
                self.king == home && self.contact(&[Queen], &[Bishop]).contains(weak)
            }
            P::Fools => {
                let home =
                    Square::from_coords(shakmaty::File::E, (!self.us).relative_rank(Rank::First));
                self.king == home
                    && self
                        .checkers_of(&[Queen])
                        .into_iter()
                        .any(|queen| !self.straight(queen) && queen.file() > self.king.file())
            }
            P::DoubleCheck => self.checkers.more_than_one(),
            P::Opposition => self.edge_checkers().any() && self.covers(self.ours(&[King])),
            P::Castling => self.castled(),
        }
    }

    fn anastasia(&self) -> bool {
        self.covers(self.ours(&[Role::Knight]))
            && self.edges().into_iter().any(|line| {
                // The squares next to the king off the line.
                let inward = attacks::king_attacks(self.king) & !line;
                (self.line_checkers() & line).any() && (self.field.blocked & inward).any()
            })
    }

    /// Whether a bishop other than `checker` covers a square along the other direction
    /// of diagonals than that of the check.
    fn crossing_bishop(&self, checker: Square) -> bool {
        let rising = |a: Square, b: Square| {
            (a.file() as i32 - b.file() as i32) == (a.rank() as i32 - b.rank() as i32)
        };
        self.ours(&[Role::Bishop])
            .without(checker)
            .into_iter()
            .any(|bishop| {
                self.covered_by(bishop.into())
                    .into_iter()
                    .any(|square| rising(bishop, square) != rising(checker, self.king))
            })
    }

    fn epaulette(&self) -> bool {
        let held = |delta_file: i32, delta_rank: i32| match (
            self.king.file().offset(delta_file),
            self.king.rank().offset(delta_rank),
        ) {
            (Some(file), Some(rank)) => self.occupied.contains(Square::from_coords(file, rank)),
            _ => false,
        };
        self.checkers_of(&[Role::Rook, Role::Queen]).any()
            && ((held(-1, 0) && held(1, 0)) || (held(0, -1) && held(0, 1)))
    }

    /// A queen next to the king, straight or diagonally, and an own man on a square that
    /// she does not reach.
    fn tail(&self, straight: bool) -> bool {
        self.checkers_of(&[Role::Queen]).into_iter().any(|queen| {
            let unreached = attacks::king_attacks(self.king) & !self.attacked_from(queen);
            self.adjacent(queen)
                && self.straight(queen) == straight
                && (unreached.without(queen) & self.field.blocked).any()
        })
    }

    /// Whether the heavy piece covers a square along a rank or file.
    fn straight_cover(&self, piece: Square) -> bool {
        self.covered_by(piece.into())
            .into_iter()
            .any(|square| square.file() == piece.file() || square.rank() == piece.rank())
    }

    fn two_on_the_seventh(&self) -> bool {
        let seventh = Bitboard::from_rank(self.us.relative_rank(Rank::Seventh));
        let eighth = Bitboard::from_rank(self.us.relative_rank(Rank::Eighth));
        let heavy = self.ours(&[Role::Rook, Role::Queen]);
        (self.checkers & heavy & (seventh | eighth)).any()
            && (heavy & seventh).any()
            && (heavy & (seventh | eighth)).more_than_one()
    }

    fn legal(&self) -> bool {
        let minors = self.ours(&[Role::Knight, Role::Bishop]);
        let taking_part: Bitboard = minors
            .into_iter()
            .filter(|&piece| self.checkers.contains(piece) || self.covered_by(piece.into()).any())
            .collect();
        let home = self.us.relative_rank(Rank::Seventh);
        let last = self.us.relative_rank(Rank::Eighth);
        (self.checkers & minors).any()
            && (taking_part & self.board.knights()).any()
            && (taking_part & self.board.bishops()).any()
            && self.field.covered.is_subset(self.covered_by(minors))
            && (self.king.rank() == home || self.king.rank() == last)
            && (shakmaty::File::D..=shakmaty::File::F).contains(&self.king.file())
    }

    fn castled(&self) -> bool {
        let first = self.us.relative_rank(Rank::First);
        let at = |file| Square::from_coords(file, first);
        let rook = self.checkers_of(&[Role::Rook]);
        let king = self.board.king_of(self.us);
        (king == Some(at(shakmaty::File::G)) && rook.contains(at(shakmaty::File::F)))
            || (king == Some(at(shakmaty::File::C)) && rook.contains(at(shakmaty::File::D)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{playouts, position};

    /// Invented final positions, one or more a pattern; every one must be mate.
    const EXAMPLES: &[(MatingPattern, &str)] = &[
        (
            MatingPattern::BackRank,
            "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Smothered, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Suffocation,
            "5rk1/4Np1p/8/8/8/8/1B6/6K1 b - - 0 1",
        ),
        (MatingPattern::Arabian, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Anastasia, "8/4N1pk/8/7R/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Boden, "2kr4/3p4/B7/8/5B2/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::DoubleBishop,
            "7k/7p/8/3BB3/8/8/8/6K1 b - - 0 1",
        ),
        (
            MatingPattern::Epaulette,
            "3rkr2/8/4Q3/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Hook, "4R3/4kp2/5N2/4P3/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Dovetail,
            "8/8/5p2/4pk2/6Q1/7P/8/6K1 b - - 0 1",
        ),
        (
            MatingPattern::SwallowTail,
            "3r1r2/4k3/4Q3/3P4/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Ladder, "R6k/1R6/8/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::BlindSwine,
            "5rk1/6RR/8/8/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Corridor, "6rk/6p1/8/8/8/8/8/6KR b - - 0 1"),
        (MatingPattern::Damiano, "5rk1/7Q/6P1/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::DamianoBishop,
            "5rk1/6Q1/5B2/8/8/8/8/6K1 b - - 0 1",
        ),
        (
            MatingPattern::Legal,
            "3q1b2/3pkB2/3p4/3NN3/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::Opera, "3Rkb2/5p2/8/6B1/8/8/8/2K5 b - - 0 1"),
        (MatingPattern::Greco, "7k/6p1/8/7Q/2B5/8/8/6K1 b - - 0 1"),
        (MatingPattern::Lolli, "6k1/5pQp/5P1p/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Blackburne,
            "5rk1/7B/8/6N1/8/8/1B6/6K1 b - - 0 1",
        ),
        (MatingPattern::Reti, "1nbB4/1pk5/2p5/8/8/8/8/2KR4 b - - 0 1"),
        (
            MatingPattern::Triangle,
            "4kr2/3Q4/8/3R4/8/8/8/6K1 b - - 0 1",
        ),
        (MatingPattern::KillBox, "3Rk3/8/5Q2/8/8/8/8/7K b - - 0 1"),
        (MatingPattern::Support, "4k3/4Q3/4K3/8/8/8/8/8 b - - 0 1"),
        (MatingPattern::Corner, "7k/5N1p/8/8/8/8/8/6RK b - - 0 1"),
        (MatingPattern::MaxLange, "6Q1/5Bpk/7p/8/8/8/8/6K1 b - - 0 1"),
        (
            MatingPattern::Pillsbury,
            "5rk1/5p1p/8/8/8/8/1B6/6RK b - - 0 1",
        ),
        (MatingPattern::Morphy, "7k/7p/8/8/8/8/1B6/6RK b - - 0 1"),
        (
            MatingPattern::Anderssen,
            "5rkR/5pP1/8/8/8/8/1B6/6K1 b - - 0 1",
        ),
        (MatingPattern::Mayet, "5rkR/5p2/8/8/8/8/1B6/6K1 b - - 0 1"),
        (MatingPattern::Vukovic, "4k3/4R3/3PN3/8/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Balestra, "4k3/8/2B2Q2/8/8/8/8/6K1 b - - 0 1"),
        (MatingPattern::Pawn, "7k/5KPp/8/8/8/8/8/8 b - - 0 1"),
        (MatingPattern::TwoKnights, "7k/4NN1p/7K/8/8/8/8/8 b - - 0 1"),
        (
            MatingPattern::Scholars,
            "r1bqkb1r/pppp1Qpp/2n2n2/4p3/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 0 4",
        ),
        (
            MatingPattern::Fools,
            "rnb1kbnr/pppp1ppp/8/4p3/6Pq/5P2/PPPPP2P/RNBQKBNR w KQkq - 1 3",
        ),
        (
            MatingPattern::DoubleCheck,
            "3rkb2/3p1p2/5N2/8/8/8/8/4R1K1 b - - 0 1",
        ),
        (MatingPattern::Opposition, "R3k3/8/4K3/8/8/8/8/8 b - - 0 1"),
        (
            MatingPattern::Castling,
            "3k4/1R6/4Q3/8/8/8/8/2KR4 b - - 0 1",
        ),
    ];

    #[test]
    fn every_example_is_mate_and_shows_its_pattern() {
        let mut wrong = Vec::new();
        for &(pattern, fen) in EXAMPLES {
            let p = position(fen);
            if !p.is_checkmate() {
                wrong.push(format!("{pattern:?} {fen} is no mate"));
            } else if !pattern.matches(&p) {
                wrong.push(format!(
                    "{pattern:?} {fen} shows {:?}",
                    MatingPattern::of(&p)
                ));
            }
        }
        assert!(wrong.is_empty(), "{wrong:#?}");
    }

    #[test]
    fn clearly_other_pictures_do_not_match() {
        for (pattern, fen) in [
            (
                MatingPattern::Smothered,
                "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
            ),
            (MatingPattern::BackRank, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
            (MatingPattern::Arabian, "6rk/5Npp/8/8/8/8/8/6K1 b - - 0 1"),
            (MatingPattern::Boden, "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1"),
            (
                MatingPattern::Epaulette,
                "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
            ),
            (MatingPattern::Smothered, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
            (
                MatingPattern::Anastasia,
                "3R2k1/5ppp/8/8/8/8/8/6K1 b - - 0 1",
            ),
            (MatingPattern::Legal, "7k/7R/5N2/8/8/8/8/6K1 b - - 0 1"),
            // Not mate at all: the king takes the rook.
            (MatingPattern::Arabian, "7k/7R/8/8/8/8/8/6K1 b - - 0 1"),
        ] {
            assert!(!pattern.matches(&position(fen)), "{pattern:?} {fen}");
        }
    }

    #[test]
    fn names_are_found_and_unique() {
        for pattern in MatingPattern::all() {
            assert_eq!(MatingPattern::from_name(pattern.name()), Some(pattern));
            for alias in pattern.aliases() {
                assert_eq!(MatingPattern::from_name(alias), Some(pattern), "{alias}");
            }
        }
        assert_eq!(
            MatingPattern::from_name("Back Rank"),
            Some(MatingPattern::BackRank)
        );
        assert_eq!(
            MatingPattern::from_name("swallow’s tail"),
            Some(MatingPattern::SwallowTail)
        );
        assert_eq!(MatingPattern::from_name("beautiful"), None);
    }

    #[test]
    fn nothing_but_mate_has_a_pattern_and_mirrors_agree() {
        let mut mates = 0;
        for position in playouts(400, 400) {
            let shown = MatingPattern::of(&position);
            if !position.is_checkmate() {
                assert!(shown.is_empty());
                continue;
            }
            mates += 1;
            let mirrored = position
                .to_setup(shakmaty::EnPassantMode::Legal)
                .into_mirrored()
                .position::<Chess>(shakmaty::CastlingMode::Standard)
                .unwrap();
            assert_eq!(shown, MatingPattern::of(&mirrored));
        }
        assert!(mates > 5);
    }
}
