//! Pawns beside pawns, and files, counted: the narrow sense of a word for what may be
//! confirmed, and the wide sense for what may be refuted.

use shakmaty::{Bitboard, Board, Color, File, Rank, Square, attacks};

use super::structure::{
    Wing, ahead, is_half_open, is_open, neighbours, passed_pawns, protected_pawns,
};

/// The files without any pawn, as [`is_open`].
pub fn open_files(board: &Board) -> impl Iterator<Item = File> {
    File::ALL.into_iter().filter(|&file| is_open(board, file))
}

/// The files on which at least one side has no pawn: what an author may call open in the
/// widest sense (Nimzowitsch, *My System*, 1925, "The open file": no *own* pawn).
pub fn files_for_rooks(board: &Board) -> impl Iterator<Item = File> {
    File::ALL.into_iter().filter(|&file| {
        let half = |&color: &Color| is_half_open(board, file, color);
        is_open(board, file) || Color::ALL.iter().any(half)
    })
}

/// Whether pawns of both sides stand on the file: it is closed. Common practice, no source.
#[must_use]
pub fn is_closed(board: &Board, file: File) -> bool {
    let pawns = board.pawns() & Bitboard::from_file(file);
    Color::ALL
        .into_iter()
        .all(|color| (pawns & board.by_color(color)).any())
}

/// The passed pawns of `color` that no pawn of their own side stands in front of: of two
/// doubled pawns the front one only. The narrow sense of [`passed_pawns`]. Common
/// practice, no source.
#[must_use]
pub fn leading_passed_pawns(board: &Board, color: Color) -> Bitboard {
    let own = board.by_piece(color.pawn());
    passed_pawns(board, color)
        .into_iter()
        .filter(|&pawn| (own & Bitboard::from_file(pawn.file()) & ahead(pawn, color)).is_empty())
        .collect()
}

/// The passed pawns of `color` that have another passed pawn of their side on a
/// neighbouring file, on whatever rank (Nimzowitsch, *My System*, 1925, "The passed pawn",
/// on two connected passed pawns).
#[must_use]
pub fn connected_passed_pawns(board: &Board, color: Color) -> Bitboard {
    let passed = passed_pawns(board, color);
    passed
        .into_iter()
        .filter(|&pawn| (passed & neighbours(pawn)).any())
        .collect()
}

/// The pawns of `color` that may be called backward in the widest sense: no pawn of their
/// own side defends them. Authors differ on whether the file must be half-open and whether
/// a neighbour may stand beside the pawn, but a link of a chain is never backward. Common
/// practice, no source; the narrow sense is [`super::backward_pawns`].
#[must_use]
pub fn unsupported_pawns(board: &Board, color: Color) -> Bitboard {
    board.by_piece(color.pawn()) & !protected_pawns(board, color)
}

/// How many islands the pawns of `color` form: groups of files with pawns, parted by files
/// without (after Capablanca, as the trade tells it; from memory).
#[must_use]
pub fn pawn_islands(board: &Board, color: Color) -> usize {
    let own = board.by_piece(color.pawn());
    let has = |file: File| (own & Bitboard::from_file(file)).any();
    File::ALL
        .into_iter()
        .filter(|&file| has(file) && !file.offset(-1).is_some_and(has))
        .count()
}

/// The files of `color`'s pawns that hold at least three of them.
#[must_use]
pub fn tripled_pawns(board: &Board, color: Color) -> Bitboard {
    let own = board.by_piece(color.pawn());
    own.into_iter()
        .filter(|pawn| (own & Bitboard::from_file(pawn.file())).count() > 2)
        .collect()
}

/// Whether `square` may be called an outpost of `color` in the widest sense: it lies on
/// the fourth to seventh rank as that side counts, and no enemy pawn attacks it or could
/// after one step forward. Common practice, no source; the narrow sense is
/// [`super::supported_outpost`].
#[must_use]
pub fn may_be_outpost(board: &Board, color: Color, square: Square) -> bool {
    let rank = color.relative_rank(square.rank());
    (Rank::Fourth..=Rank::Seventh).contains(&rank) && chasers(board, color, square).is_empty()
}

/// The enemy pawns that attack `square`, held by `color`, or could after one step forward,
/// two from their first rank.
#[must_use]
pub fn chasers(board: &Board, color: Color, square: Square) -> Bitboard {
    let theirs = board.by_piece((!color).pawn());
    let back = (!color).fold_wb(8, -8);
    let free = |at: &Square| !board.occupied().contains(*at);
    let mut found = theirs & attacks::pawn_attacks(color, square);
    for stop in attacks::pawn_attacks(color, square) {
        if !free(&stop) {
            continue;
        }
        let Some(one) = stop.offset(-back) else {
            continue;
        };
        found |= theirs & Bitboard::from_square(one);
        let first = (!color).relative_rank(Rank::Second);
        if free(&one)
            && let Some(two) = one.offset(-back)
            && two.rank() == first
        {
            found |= theirs & Bitboard::from_square(two);
        }
    }
    found
}

/// Whether `color` has a rook or queen on its seventh rank, or on the rank that is the
/// seventh of the board: authors who count from White may mean either.
#[must_use]
pub fn on_a_seventh(board: &Board, color: Color) -> Bitboard {
    let ranks = Bitboard::from_rank(color.relative_rank(Rank::Seventh))
        | Bitboard::from_rank(Rank::Seventh);
    board.rooks_and_queens() & board.by_color(color) & ranks
}

impl Wing {
    /// The files of the wing in its wide reading.
    #[must_use]
    pub fn files(self) -> Bitboard {
        let [wide, _] = self.readings();
        wide
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, square};
    use shakmaty::{Chess, Position};

    /// The pawn letters of a side by file, from the text of the board alone.
    fn files(board: &Board, color: Color) -> [Vec<i32>; 8] {
        let mut found: [Vec<i32>; 8] = Default::default();
        for (row, text) in (0..8).zip(board.to_string().split('/')) {
            let mut file = 0;
            for letter in text.chars() {
                if let Some(empty) = letter.to_digit(10) {
                    file += empty as usize;
                    continue;
                }
                if letter == color.fold_wb('P', 'p') {
                    // Ranks from the side's own end, 0 to 7.
                    found[file].push(color.fold_wb(7 - row, row));
                }
                file += 1;
            }
        }
        found
    }

    fn at(color: Color, file: usize, rank: i32) -> Square {
        let rank = color.fold_wb(rank, 7 - rank);
        Square::from_coords(File::new(file as u32), Rank::new(rank as u32))
    }

    #[test]
    fn words_for_pawns_equal_their_plain_statement() {
        let mut seen = [0; 4];
        for position in playouts(80, 140) {
            let board = position.board();
            let white = files(board, Color::White);
            let black = files(board, Color::Black);
            let both = |f: usize| !white[f].is_empty() && !black[f].is_empty();
            for file in File::ALL {
                let f = file as usize;
                assert_eq!(is_closed(board, file), both(f));
                assert_eq!(files_for_rooks(board).any(|open| open == file), !both(f));
            }
            let none = (0..8).filter(|&f| white[f].is_empty() && black[f].is_empty());
            assert_eq!(open_files(board).count(), none.count());
            for color in Color::ALL {
                let own = color.fold_wb(&white, &black);
                let theirs: Vec<Vec<i32>> = color
                    .fold_wb(&black, &white)
                    .iter()
                    .map(|file| file.iter().map(|rank| 7 - rank).collect())
                    .collect();
                let beside = |f: usize| {
                    let left = f.checked_sub(1);
                    left.into_iter().chain((f < 7).then_some(f + 1))
                };
                let passed = |f: usize, rank: i32| {
                    beside(f)
                        .chain([f])
                        .all(|f| theirs[f].iter().all(|&other| other <= rank))
                };
                let mut leading = Bitboard::EMPTY;
                let mut connected = Bitboard::EMPTY;
                let mut tripled = Bitboard::EMPTY;
                for f in 0..8 {
                    for &rank in &own[f] {
                        let here = at(color, f, rank);
                        if passed(f, rank) && own[f].iter().all(|&other| other <= rank) {
                            leading.add(here);
                        }
                        let friend = beside(f).any(|g| own[g].iter().any(|&r| passed(g, r)));
                        if passed(f, rank) && friend {
                            connected.add(here);
                        }
                        if own[f].len() > 2 {
                            tripled.add(here);
                        }
                    }
                }
                assert_eq!(leading_passed_pawns(board, color), leading);
                assert_eq!(connected_passed_pawns(board, color), connected);
                assert_eq!(tripled_pawns(board, color), tripled);
                let row: String = own
                    .iter()
                    .map(|file| if file.is_empty() { ' ' } else { 'p' })
                    .collect();
                assert_eq!(pawn_islands(board, color), row.split_whitespace().count());
                seen[0] += leading.count();
                seen[1] += connected.count();
                seen[2] += tripled.count();
                seen[3] += pawn_islands(board, color);
            }
        }
        assert!(seen[0] > 100 && seen[1] > 20 && seen[3] > 1000, "{seen:?}");
    }

    /// A pawn that can attack a square in one step, said with the rules library alone.
    #[test]
    fn chasers_equal_playing_every_pawn_move() {
        let mut found = 0;
        for position in playouts(40, 100) {
            let board = position.board();
            // The side to move chases; its king may forbid a step, so only boards on which
            // it is never attacked are compared.
            let chaser = position.turn();
            let hits = |board: &Board, to: Square| {
                let pawns = board.by_piece(chaser.pawn());
                pawns
                    .into_iter()
                    .filter(|&pawn| board.attacks_from(pawn).contains(to))
                    .collect::<Bitboard>()
            };
            let mut bare = board.clone();
            for slider in board.by_color(!chaser) & board.sliders() {
                let _ = bare.remove_piece_at(slider);
            }
            let setup = shakmaty::Setup {
                board: bare.clone(),
                turn: chaser,
                ..shakmaty::Setup::empty()
            };
            let Ok(position) = setup.position::<Chess>(shakmaty::CastlingMode::Standard) else {
                continue;
            };
            if position.is_check() {
                continue;
            }
            for to in Square::ALL {
                let mut expected = hits(&bare, to);
                for m in position.legal_moves() {
                    if m.role() != shakmaty::Role::Pawn || m.is_capture() || m.is_promotion() {
                        continue;
                    }
                    let mut after = position.clone();
                    after.play_unchecked(m);
                    if hits(after.board(), to).contains(m.to())
                        && let Some(from) = m.from()
                    {
                        expected.add(from);
                    }
                }
                found += expected.count();
                assert_eq!(chasers(&bare, !chaser, to), expected, "{bare} {to}");
            }
        }
        assert!(found > 1000);
    }

    #[test]
    fn wide_senses() {
        // A chain a2-b3: b3 is defended, so it cannot be backward; a2 may be called so.
        let b = board("4k3/8/8/2p5/8/1P6/P7/4K3");
        assert_eq!(unsupported_pawns(&b, Color::White), square("a2").into());
        // Black's pawn on c6 attacks d5, the one on c7 could attack d6 by no step.
        let b = board("4k3/8/2p5/8/8/8/8/4K3");
        assert!(!may_be_outpost(&b, Color::White, square("d5")));
        assert!(may_be_outpost(&b, Color::White, square("d6")));
        assert!(!may_be_outpost(&b, Color::White, square("d3")));
        // From c7 the pawn reaches d5's guard c6 in one step and d4's guard c5 in two.
        let b = board("4k3/2p5/8/8/8/8/8/4K3");
        assert!(!may_be_outpost(&b, Color::White, square("d5")));
        assert!(!may_be_outpost(&b, Color::White, square("d4")));
        // A rook on Black's second rank stands on the seventh of the board.
        let b = board("4k3/r7/8/8/8/8/1r6/4K3");
        assert_eq!(on_a_seventh(&b, Color::Black).count(), 2);
        assert_eq!(
            super::super::on_seventh(&b, Color::Black),
            square("b2").into()
        );
    }
}
