//! Lines of moves with the position behind each.

use gainsay::show;
use shakmaty::{Board, Chess, Color, Move, Position, Square, san::SanPlus};

/// More moves of a line are not shown on boards.
const MOST: usize = 60;

/// A move with the position behind it.
#[derive(Clone, Debug)]
pub(crate) struct Step {
    /// The move, with its number where it needs one.
    pub(crate) told: String,
    /// The squares it went from and to.
    pub(crate) squares: (Square, Square),
    pub(crate) board: Board,
    pub(crate) turn: Color,
    /// How the game ends with it: `checkmate`.
    pub(crate) end: Option<&'static str>,
}

/// Something that shows a verdict: moves to be stepped through, or words.
#[derive(Clone, Debug)]
pub(crate) enum Shown {
    Moves { start: Box<Chess>, steps: Vec<Step> },
    Words(String),
}

impl Shown {
    /// A line.
    pub(crate) fn line(start: &Chess, moves: &[Move]) -> Self {
        let mut position = start.clone();
        let mut steps = Vec::new();
        for &m in moves.iter().take(MOST) {
            if !position.is_legal(m) {
                break;
            }
            let numbered = steps.is_empty() || position.turn() == Color::White;
            let number = numbered.then(|| show::number(&position));
            let squares = show::ends(m).into();
            let san = SanPlus::from_move_and_play_unchecked(&mut position, m);
            steps.push(Step {
                told: number.map_or_else(|| san.to_string(), |number| format!("{number} {san}")),
                squares,
                board: position.board().clone(),
                turn: position.turn(),
                end: gainsay_draw::end(&position),
            });
        }
        Self::Moves {
            start: Box::new(start.clone()),
            steps,
        }
    }

    /// Where its moves start, if it has any.
    pub(crate) fn start(&self) -> Option<&Chess> {
        match self {
            Self::Moves { start, steps } if !steps.is_empty() => Some(start),
            _ => None,
        }
    }

    /// What was written as text: a line, if it can be played from one of these positions.
    pub(crate) fn read<'p>(text: &str, from: impl IntoIterator<Item = &'p Chess>) -> Self {
        from.into_iter()
            .find_map(|start| Some(Self::line(start, &played(text, start)?)))
            .unwrap_or_else(|| Self::Words(text.to_owned()))
    }
}

/// The line that an author's words are, if they are nothing else and all of it can be played
/// from here; moves may stand directly behind their numbers, and have signs.
pub(crate) fn cited(words: &str, start: &Chess) -> Option<Shown> {
    let mut position = start.clone();
    let words = words.split_whitespace().map(|word| {
        let word = word.trim_start_matches(|c: char| c.is_ascii_digit());
        word.trim_start_matches('.')
            .trim_end_matches(['!', '?', ','])
    });
    let moves: Vec<Move> = words
        .filter(|word| !word.is_empty())
        .map(|word| show::play(&mut position, word))
        .collect::<Option<_>>()?;
    (!moves.is_empty()).then(|| Shown::line(start, &moves))
}

/// The moves of a text that is a line from here and nothing else.
fn played(text: &str, start: &Chess) -> Option<Vec<Move>> {
    let mut position = start.clone();
    let mut moves = Vec::new();
    for word in text.split_ascii_whitespace() {
        if word.ends_with('.') && word.starts_with(|c: char| c.is_ascii_digit()) {
            if word != show::number(&position) {
                return None;
            }
            continue;
        }
        moves.push(show::play(&mut position, word)?);
    }
    (!moves.is_empty()).then_some(moves)
}

/// What the page's script draws a step from: the pieces as in FEN, and the side to move.
pub(crate) fn data(board: &Board, turn: Color) -> String {
    format!("{} {}", board.board_fen(), turn.char())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_read_where_it_can_be_played() {
        let start = Chess::default();
        let Shown::Moves { steps, .. } = Shown::read("1. e4 e5 2. Nf3", [&start]) else {
            panic!("it can be played");
        };
        let told: Vec<&str> = steps.iter().map(|step| step.told.as_str()).collect();
        assert_eq!(told, ["1. e4", "e5", "2. Nf3"]);
        let last = steps.last().expect("three moves");
        assert_eq!(
            data(&last.board, last.turn),
            "rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R b"
        );
        let Some(Shown::Moves { steps, .. }) = cited("1.e4! e5 2.Nf3", &start) else {
            panic!("it can be played");
        };
        assert_eq!(steps.len(), 3);
        assert!(cited("after 1.e4", &start).is_none() && cited("1...", &start).is_none());
        for text in ["2. e4", "1. e4 e4", "judged by nobody", ""] {
            assert!(
                matches!(Shown::read(text, [&start]), Shown::Words(_)),
                "{text}"
            );
        }
    }
}
