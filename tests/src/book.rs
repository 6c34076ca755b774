//! An annotated book of any size for measuring: games that our own search plays against
//! itself, with the comments of the commonest kinds that annotators write. The same
//! number always gives the same book.

use std::fmt::Write as _;

use gainsay::show;
use gainsay_proof::{Budget, search::Searcher};
use shakmaty::{Chess, Color, File, Move, Position, Role, Square};

/// Nodes for a move: enough to see what hangs.
const NODES: u64 = 400;

/// A game goes on for so many plies at most.
const LONGEST: usize = 100;

/// The first moves are varied, so that no two games are alike.
const VARIED: usize = 12;

/// Numbers that look like chance and are always the same (a linear congruence with the
/// constants of Knuth's MMIX).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % bound.max(1)
    }
}

/// A book of so many games, as PGN.
#[must_use]
pub fn book(games: u32) -> String {
    let mut searcher = Searcher::new(1 << 20);
    let mut text = String::new();
    for game in 1..=games {
        let mut numbers = Numbers(u64::from(game) << 32 | 0x5eed);
        write_game(game, &mut numbers, &mut searcher, &mut text);
    }
    text
}

/// The best lines of a position.
fn best(searcher: &mut Searcher, position: &Chess, lines: usize) -> Vec<Vec<Move>> {
    let mut budget = Budget::nodes(NODES * lines as u64);
    let found = searcher.best(position, lines, &mut budget);
    found.into_iter().map(|line| line.moves).collect()
}

fn write_game(game: u32, numbers: &mut Numbers, searcher: &mut Searcher, text: &mut String) {
    let mut body = String::new();
    let mut position = Chess::default();
    let mut numbered = true;
    for ply in 0..LONGEST {
        let lines = best(searcher, &position, 3);
        let choice = if ply < VARIED {
            numbers.below(lines.len())
        } else {
            0
        };
        let Some(&m) = lines.get(choice).and_then(|line| line.first()) else {
            break;
        };
        if numbered || position.turn() == Color::White {
            let _ = write!(body, "{} ", show::number(&position));
        }
        let _ = write!(body, "{}", show::san(&position, m));
        let mut after = position.clone();
        after.play_unchecked(m);
        numbered = false;
        if ply >= 6 && numbers.below(9) == 0 {
            let next = best(searcher, &after, 1).pop().unwrap_or_default();
            if let Some(said) = comment(numbers, &position, &after, &lines, &next) {
                let _ = write!(body, " {{{said}}}");
                numbered = true;
            }
        }
        if ply >= 6
            && numbers.below(15) == 0
            && let Some(other) = lines.iter().find(|line| line.first() != Some(&m))
        {
            let _ = write!(
                body,
                " ({} {{A sharp alternative.}})",
                show::line(&position, other)
            );
            numbered = true;
        }
        body.push(if ply % 8 == 7 { '\n' } else { ' ' });
        position = after;
    }
    let result = match position.outcome().winner() {
        Some(Color::White) => "1-0",
        Some(Color::Black) => "0-1",
        None if position.is_game_over() => "1/2-1/2",
        None => "*",
    };
    let _ = write!(
        text,
        "[Event \"Measured games\"]\n[Site \"?\"]\n[Date \"????.??.??\"]\n[Round \"{game}\"]\n\
         [White \"Carrera, Ana\"]\n[Black \"Olsen, Bo\"]\n[Result \"{result}\"]\n\n{body}{result}\n\n"
    );
}

/// What an annotator might say behind a move, of the kinds and about as often as was
/// counted in 12,529 comments of public files; one piece in twenty stands elsewhere. `lines` are those of the position `before`, `next` is the best play
/// of the one `after`.
fn comment(
    numbers: &mut Numbers,
    before: &Chess,
    after: &Chess,
    lines: &[Vec<Move>],
    next: &[Move],
) -> Option<String> {
    let us = show::side(before.turn());
    let them = show::side(after.turn());
    let other = lines.get(1).or(lines.first())?;
    Some(match numbers.below(100) {
        0..=15 => {
            let (square, piece) = piece(numbers, after)?;
            let board = after.board();
            let target = (board.attacks_from(square) & board.occupied())
                .into_iter()
                .next()?;
            let name = noun(board.role_at(target)?);
            format!("{piece} on {square} looks at the {name} on {target}.")
        }
        16..=29 => format!("{} was possible too.", show::line(before, other.get(..1)?)),
        30..=41 => format!("The {}-file is open.", File::new(numbers.below(8) as u32)),
        42..=50 => format!("{us} is a pawn up."),
        51..=59 => {
            let (square, piece) = piece(numbers, after)?;
            let told = match numbers.below(20) {
                0 => Square::new(numbers.below(64) as u32),
                _ => square,
            };
            format!("{piece} on {told} is well placed.")
        }
        60..=68 => {
            let said = ["is better", "is winning", "has a slight edge"];
            format!("{us} {}.", said[numbers.below(said.len())])
        }
        69..=76 => ["A blunder.", "The best move.", "A mistake."][numbers.below(3)].to_owned(),
        77..=79 => "The only move.".to_owned(),
        80..=83 => {
            let threat = show::line(before, lines.first()?.get(..1)?);
            format!("{us} threatened {threat}, of course.")
        }
        84 => format!("{us} threatens mate."),
        85..=88 => format!("After {} the game goes on.", show::line(after, next)),
        89..=91 => "The position is equal.".to_owned(),
        92 => format!("{them} forces mate."),
        _ => "Both players were short of time here, and the spectators crowded round the board."
            .to_owned(),
    })
}

/// A piece that stands there, with the article.
fn piece(numbers: &mut Numbers, position: &Chess) -> Option<(Square, String)> {
    let board = position.board();
    let squares: Vec<Square> = (board.occupied() & !(board.pawns() | board.kings()))
        .into_iter()
        .collect();
    let square = *squares.get(numbers.below(squares.len()))?;
    let piece = board.piece_at(square)?;
    let name = noun(piece.role);
    Some((square, format!("{}'s {name}", show::side(piece.color))))
}

const fn noun(role: Role) -> &'static str {
    match role {
        Role::Pawn => "pawn",
        Role::Knight => "knight",
        Role::Bishop => "bishop",
        Role::Rook => "rook",
        Role::Queen => "queen",
        Role::King => "king",
    }
}
