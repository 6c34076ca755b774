//! Boards that are drawn in characters, as plain texts print their diagrams.
//!
//! A drawing is eight lines of eight squares, from White's side or from Black's, with or without lines
//! between, numbers of ranks beside and letters of files below:
//!
//! ```text
//! 8 | #R |    | #B |   or   8  r . b q k . n r   or   r.bqk.nr
//! ```
//!
//! Sources: the first form is that of old books in transcription, the others are common practice.

use std::ops::Range;

use shakmaty::{Board, Color, File, Piece, Rank, Role, Square};

/// A board that is drawn, with its caption.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Drawing {
    /// Whole lines, with the line end of the last one.
    pub(crate) range: Range<usize>,
    /// What stands where.
    pub(crate) board: Board,
    /// Who is to move, if a line below says so.
    pub(crate) turn: Option<Color>,
    /// The number in its caption.
    pub(crate) number: Option<u32>,
}

impl Drawing {
    /// What it shows, in the order of FEN: the pieces, the side to move if that is told, and the number.
    pub(crate) fn words(&self) -> String {
        let mut words = self.board.to_string();
        if let Some(turn) = self.turn {
            words.push(' ');
            words.push(turn.char());
        }
        if let Some(number) = self.number {
            words.push_str(&format!(" {number}"));
        }
        words
    }
}

/// The squares of a line, from left to right, and the number beside them.
struct Row {
    cells: [Option<Piece>; 8],
    rank: Option<u32>,
}

/// A line longer than this draws no rank.
const LONGEST: usize = 160;

/// All drawings of a text.
pub(crate) fn drawings(text: &[u8]) -> Vec<Drawing> {
    let lines: Vec<Range<usize>> = lines(text).collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        match drawing(text, &lines, at) {
            Some((drawing, next)) => {
                found.push(drawing);
                at = next;
            }
            None => at += 1,
        }
    }
    found
}

/// The lines with their line ends.
fn lines(text: &[u8]) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut start = 0;
    text.split_inclusive(|&byte| byte == b'\n')
        .map(move |line| {
            let range = start..start + line.len();
            start = range.end;
            range
        })
}

/// The drawing whose first rank is line `first`, and the line behind it.
fn drawing(text: &[u8], lines: &[Range<usize>], first: usize) -> Option<(Drawing, usize)> {
    let line = |at: usize| -> &str {
        let bytes = lines.get(at).and_then(|range| text.get(range.clone()));
        let bytes = bytes
            .filter(|bytes| bytes.len() <= LONGEST)
            .unwrap_or_default();
        std::str::from_utf8(bytes).unwrap_or_default().trim()
    };
    let mut rows = vec![row(line(first))?];
    let mut at = first + 1;
    while rows.len() < 8 {
        if !is_rule(line(at)) {
            rows.push(row(line(at))?);
        }
        at += 1;
    }
    at += usize::from(is_rule(line(at)));
    let files = files(line(at));
    at += usize::from(files.is_some());
    let board = board(&rows, files)?;
    let turn = turn(line(at));
    at += usize::from(turn.is_some());
    // A caption may stand below, apart from the board.
    let mut caption = at;
    while caption < (at + 3).min(lines.len()) && line(caption).is_empty() {
        caption += 1;
    }
    let number = caption_number(line(caption));
    if number.is_some() {
        at = caption + 1;
    }
    let start = match first.checked_sub(1) {
        Some(before) if is_rule(line(before)) => before,
        _ => first,
    };
    let range = lines.get(start)?.start..lines.get(at.checked_sub(1)?)?.end;
    let drawing = Drawing {
        range,
        board,
        turn,
        number,
    };
    Some((drawing, at))
}

/// Whether a line only draws the edge of the board or of its ranks.
fn is_rule(line: &str) -> bool {
    let drawn = |sign| matches!(sign, '-' | '_' | '=' | '─' | '━');
    line.chars().filter(|&sign| drawn(sign)).count() >= 8
        && (line.chars()).all(|sign| drawn(sign) || matches!(sign, '|' | '+' | ' ' | ':'))
}

/// The squares of a line.
fn row(line: &str) -> Option<Row> {
    let (line, left) = without_rank(line, true);
    let (line, right) = without_rank(line, false);
    let inner = line.trim();
    let cells = match inner
        .strip_prefix('|')
        .and_then(|rest| rest.strip_suffix('|'))
    {
        Some(inner) if inner.contains('|') => all(inner.split('|'), true)?,
        inside => {
            let inner = inside.unwrap_or(inner).trim();
            match inner.contains(' ') {
                true => all(inner.split_ascii_whitespace(), false)?,
                false => {
                    let mut buffers = [[0; 4]; 8];
                    if inner.chars().count() != 8 {
                        return None;
                    }
                    let signs = inner.chars().zip(&mut buffers);
                    let signs = signs.map(|(sign, buffer)| &*sign.encode_utf8(buffer));
                    let mut cells = [None; 8];
                    for (cell, sign) in cells.iter_mut().zip(signs) {
                        *cell = square(sign, false)?;
                    }
                    cells
                }
            }
        }
    };
    Some(Row {
        cells,
        rank: left.or(right),
    })
}

/// Eight squares and no more.
fn all<'s>(mut texts: impl Iterator<Item = &'s str>, blank: bool) -> Option<[Option<Piece>; 8]> {
    let mut cells = [None; 8];
    for cell in &mut cells {
        *cell = square(texts.next()?.trim(), blank)?;
    }
    texts.next().is_none().then_some(cells)
}

/// A line without the number of its rank at one end.
fn without_rank(line: &str, left: bool) -> (&str, Option<u32>) {
    let digit = match left {
        true => line.chars().next(),
        false => line.chars().next_back(),
    };
    let rank = digit.and_then(|digit| digit.to_digit(10));
    match rank.filter(|rank| (1..=8).contains(rank)) {
        Some(rank) if left => (line.get(1..).unwrap_or_default().trim_start(), Some(rank)),
        Some(rank) => {
            let end = line.len().saturating_sub(1);
            (line.get(..end).unwrap_or_default().trim_end(), Some(rank))
        }
        None => (line, None),
    }
}

/// What stands on a square; the outer `None` is no square. Squares may be `blank` where lines part them.
#[allow(clippy::option_option)]
fn square(text: &str, blank: bool) -> Option<Option<Piece>> {
    let empty = |sign| matches!(sign, '.' | '-' | '_' | '*' | '+' | ':' | '·');
    if text.is_empty() {
        return blank.then_some(None);
    }
    if text.len() <= 3 && text.chars().all(empty) {
        return Some(None);
    }
    let mut signs = text.chars();
    let first = signs.next()?;
    let rest = signs.as_str();
    let (color, name) = match first {
        '#' => (Color::Black, rest),
        '*' if rest.starts_with(|sign: char| sign.is_ascii_uppercase()) => (Color::Black, rest),
        '^' => (Color::White, rest),
        'w' | 'b' if rest.starts_with(|sign: char| sign.is_ascii_uppercase()) => {
            (Color::from_white(first == 'w'), rest)
        }
        '♔'..='♙' => (Color::White, text),
        '♚'..='♟' => (Color::Black, text),
        _ => (Color::from_white(first.is_ascii_uppercase()), text),
    };
    Some(Some(Piece {
        color,
        role: role(name)?,
    }))
}

fn role(name: &str) -> Option<Role> {
    Some(match name {
        "K" | "k" | "♔" | "♚" => Role::King,
        "Q" | "q" | "♕" | "♛" => Role::Queen,
        "R" | "r" | "♖" | "♜" => Role::Rook,
        "B" | "b" | "♗" | "♝" => Role::Bishop,
        "N" | "n" | "Kt" | "kt" | "KT" | "S" | "s" | "♘" | "♞" => Role::Knight,
        "P" | "p" | "♙" | "♟" => Role::Pawn,
        _ => return None,
    })
}

/// Whether the letters below go from a to h (`Some(true)`) or from h to a.
fn files(line: &str) -> Option<bool> {
    let letters: String = line
        .split_ascii_whitespace()
        .collect::<String>()
        .to_ascii_lowercase();
    match letters.as_str() {
        "abcdefgh" => Some(true),
        "hgfedcba" => Some(false),
        _ => None,
    }
}

/// The board of eight rows; `None` where their numbers are in no order or nothing stands there.
fn board(rows: &[Row], files: Option<bool>) -> Option<Board> {
    let ordered = |up: bool| {
        let ranks = (1..=8).zip(rows);
        let mut ranks = ranks.filter_map(|(nth, row)| Some((nth, row.rank?)));
        ranks.all(|(nth, rank)| rank == if up { nth } else { 9 - nth })
    };
    let numbered = rows.iter().any(|row| row.rank.is_some());
    let from_black = match (ordered(false), ordered(true)) {
        _ if !numbered => files == Some(false),
        (true, _) => false,
        (_, true) => true,
        _ => return None,
    };
    if files.is_some_and(|forward| forward == from_black) {
        return None;
    }
    let mut board = Board::empty();
    for (down, row) in (0..8).zip(rows) {
        for (across, &piece) in (0..8).zip(&row.cells) {
            let rank = if from_black { down } else { 7 - down };
            let file = if from_black { 7 - across } else { across };
            if let Some(piece) = piece {
                let square =
                    Square::from_coords(File::try_from(file).ok()?, Rank::try_from(rank).ok()?);
                board.set_piece_at(square, piece);
            }
        }
    }
    (!board.occupied().is_empty()).then_some(board)
}

/// The side of a line that says whose move it is and nothing else: `(^ to move)`, `White to play`.
fn turn(line: &str) -> Option<Color> {
    let line =
        line.trim_matches(|sign: char| !sign.is_alphanumeric() && !matches!(sign, '^' | '#'));
    let lower = line.to_ascii_lowercase();
    let side = lower
        .strip_suffix("to move")
        .or_else(|| lower.strip_suffix("to play"))?;
    match side.trim() {
        "^" | "white" | "w" => Some(Color::White),
        "#" | "black" | "b" => Some(Color::Black),
        _ => None,
    }
}

/// The number in a line that is a caption and nothing else: `Diagram 12.`, `DIAG. 1.`
pub(crate) fn caption_number(line: &str) -> Option<u32> {
    const WORDS: [&str; 5] = ["diagram", "diag", "figure", "fig", "position"];
    let line = line
        .trim_matches(|sign: char| sign.is_whitespace() || matches!(sign, '*' | '_' | '(' | ')'));
    let lower = line.to_ascii_lowercase();
    let rest = WORDS.iter().find_map(|word| lower.strip_prefix(word))?;
    let rest = rest.trim_start_matches(['.', ' ']);
    let rest = rest.strip_prefix("no.").unwrap_or(rest).trim_start();
    let digits = rest.chars().take_while(char::is_ascii_digit).count();
    let (number, behind) = rest.split_at_checked(digits)?;
    let ends = behind.trim_matches(['.', ' ', ':', ')', ']']);
    ends.is_empty().then(|| number.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(String, Option<u32>, &str)> {
        let one = |drawing: Drawing| {
            let board = drawing.board.to_string();
            (board, drawing.number, &text[drawing.range])
        };
        drawings(text.as_bytes()).into_iter().map(one).collect()
    }

    const OLD: &str = "Words.\n\n        -------------------\n\
     8 |    |    |    | #K |    |    | #Kt|    |\n       |-------------------|\n\
     7 |    | #P |    |    |    |    |    |    |\n       |-------------------|\n\
     6 |    |    |    |    | *  |    |    |    |\n       |-------------------|\n\
     5 |    |    |    |    |    |    |    |    |\n       |-------------------|\n\
     4 |    |    |    |    |    |    |    |    |\n       |-------------------|\n\
     3 |    |    |    |    |    |    |    |    |\n       |-------------------|\n\
     2 | ^P |    |    |    |    |    |    |    |\n       |-------------------|\n\
     1 |^Kt |    |    |    | ^K |    |    |^R  |\n        -------------------\n\
         A    B    C    D    E    F    G    H\n\n                Diag. 7.\n\nMore.\n";

    #[test]
    fn boards_with_lines_between_are_read() {
        let found = told(OLD);
        assert_eq!(found.len(), 1);
        let (board, number, lines) = &found[0];
        assert_eq!(board, "3k2n1/1p6/8/8/8/8/P7/N3K2R");
        assert_eq!(*number, Some(7));
        assert!(lines.starts_with("        ---") && lines.ends_with("Diag. 7.\n"));
    }

    #[test]
    fn boards_of_letters_are_read_from_both_sides() {
        let white = "8 r . . q . r k .\n7 p p p . . p p p\n6 . . . . . . . .\n5 . . . . . . . .\n\
                     4 . . . . . . . .\n3 . . . . . N . .\n2 P P P . . P P P\n1 . . . R . . K .\n  a b c d e f g h\n";
        let board = "r2q1rk1/ppp2ppp/8/8/8/5N2/PPP2PPP/3R2K1";
        assert_eq!(told(white), [(board.to_owned(), None, white)]);
        let lines: Vec<String> = white
            .lines()
            .map(|line| line.chars().rev().collect())
            .collect();
        let black: Vec<&str> = lines.iter().rev().skip(1).map(String::as_str).collect();
        let black = black.join("\n") + "\n";
        assert_eq!(told(&black), [(board.to_owned(), None, black.as_str())]);
        let bare =
            "r..q.rk.\nppp..ppp\n........\n........\n........\n.....N..\nPPP..PPP\n...R..K.\n";
        assert_eq!(told(bare), [(board.to_owned(), None, bare)]);
    }

    #[test]
    fn what_is_no_board_is_left_alone() {
        for text in [
            // Seven ranks.
            &OLD.replace("7 |    | #P |    |    |    |    |    |    |\n", ""),
            // Ranks in no order.
            &OLD.replace("7 |", "3 |"),
            // A piece that there is not.
            &OLD.replace("#Kt", "#X "),
            "one two three four\nfive six\n| a | b |\n|---|---|\n| 1 | 2 |\n",
            "",
        ] {
            assert_eq!(told(text), [], "{text}");
        }
    }

    #[test]
    fn a_line_below_may_say_whose_move_it_is() {
        let text = OLD.replace("G    H\n\n", "G    H\n (# to move)\n\n");
        let [drawing] = &drawings(text.as_bytes())[..] else {
            panic!("one drawing")
        };
        assert_eq!(drawing.words(), "3k2n1/1p6/8/8/8/8/P7/N3K2R b 7");
    }

    #[test]
    fn captions_have_nothing_but_their_number() {
        for (line, number) in [
            ("Diagram 12", Some(12)),
            ("**DIAG. 3.**", Some(3)),
            ("(Fig. 4)", Some(4)),
            ("Position No. 8:", Some(8)),
            ("Diagram 12 shows the idea", None),
            ("Diagram", None),
            ("Diagram 4294967296", None),
        ] {
            assert_eq!(caption_number(line), number, "{line}");
        }
    }
}
