//! Plain text: games in paragraphs of their own.

use std::borrow::Cow;
use std::ops::Range;

use super::collector::Collector;
use super::printed::{Printed, What, printed};
use super::read::Manuscript;
use super::separators;
use super::weave::{Moves, Shape, chain, enclose, is_heading, is_twofold, measure, shape, write};
use crate::braces::braces;
use crate::bytes::{
    Class, byte, class, ends_word, is_line_end, is_space, line_end, read_tag, rest, skip_blanks,
    skip_space, word_end,
};
use crate::glyph::Glyph;
use crate::language::Language;
use crate::movetext::{Oddities, WrittenShape, read_move};
use crate::runs::number;
use crate::section::SectionKind;

use shakmaty::{Rank, Role};

/// Reads plain text, of which `view` is shown: paragraphs of games, positions, what its `blocks`
/// hold, and prose between them.
///
/// A game begins with a paragraph that starts with a tag pair, or with move
/// number 1 and a move with more movetext behind it. It goes on through the
/// paragraphs that start with movetext, and behind prose where moves with the number that is due
/// stand in a paragraph of their own. Moves from 1 on below a board are told of that board.
pub(super) fn read<'t>(
    text: &'t [u8],
    mut view: Cow<'t, [u8]>,
    blocks: Vec<Printed>,
) -> Manuscript<'t> {
    separators::blank(&mut view, &blocks);
    let boards = printed(text, &mut view, blocks);
    let mut plan = Plan::of(&view, &boards);
    for start in &plan.starts {
        write(view.to_mut(), &start.range, start.tags.as_bytes());
    }
    for gap in &plan.gaps {
        enclose(view.to_mut(), gap.clone(), &boards);
    }
    for game in &plan.unread {
        write(view.to_mut(), game, b"*");
    }
    for &stop in &plan.stops {
        if let Some(stop) = view.to_mut().get_mut(stop) {
            *stop = b' ';
        }
    }
    let within = |outer: &Range<usize>, inner: &Range<usize>| {
        outer.start <= inner.start && inner.end <= outer.end
    };
    for board in &boards {
        let begins = plan.starts.iter().any(|start| start.range == board.range);
        if begins || plan.gaps.iter().any(|gap| within(gap, &board.range)) {
            continue;
        }
        let in_game = |(game, kind): &(Range<usize>, SectionKind)| {
            *kind == SectionKind::Games && within(game, &board.range)
        };
        match &board.what {
            // A diagram among moves says nothing to them.
            _ if plan.blocks.iter().any(in_game) => view.to_mut()[board.range.clone()].fill(b' '),
            What::Board(words) => {
                write(view.to_mut(), &board.range, words.as_bytes());
                plan.blocks.push((board.range.clone(), SectionKind::Board));
            }
            What::Fen(fen) => plan.blocks.push((fen.clone(), SectionKind::Epd)),
            What::Lines(own) => plan.blocks.push((own.clone(), SectionKind::Epd)),
            What::Games(own) => plan.blocks.push((own.clone(), SectionKind::Games)),
        }
    }
    plan.blocks.sort_by_key(|(range, _)| range.start);
    let mut collector = Collector::new(&view);
    for (range, kind) in plan.blocks {
        match kind {
            SectionKind::Games => collector.games(range),
            SectionKind::Epd => collector.lines(range),
            kind => collector.block(range, kind),
        }
    }
    let sections = collector.finish();
    Manuscript { view, sections }
}

/// What is found in a text before its view is made.
#[derive(Default)]
struct Plan<'b> {
    /// The games.
    blocks: Vec<(Range<usize>, SectionKind)>,
    /// The prose between moves of a game.
    gaps: Vec<Range<usize>>,
    /// Full stops between moves of a game.
    stops: Vec<usize>,
    /// Games that are printed in columns side by side, whose moves nobody reads.
    unread: Vec<Range<usize>>,
    /// The moves of the game that is read now.
    game: Vec<Moves>,
    /// The game's first paragraphs, where nobody knows which moves they hold.
    closed: Option<Range<usize>>,
    /// Whether a board stands before, with nothing but prose between.
    below_board: bool,
    /// The board right above.
    board_above: Option<&'b Printed>,
    /// The board from which the game that is read goes on, if it does not begin at move 1.
    from: Option<&'b Printed>,
    /// The boards from which games go on.
    starts: Vec<Start>,
}

/// A board from which a game goes on.
struct Start {
    range: Range<usize>,
    /// The tags that say so.
    tags: String,
}

/// So many plies from move 1 on below a board are told of that board.
const SOLUTION: u32 = 24;

/// So many plies below a board that go on from a later move are a game.
const GAME: u32 = 12;

impl<'b> Plan<'b> {
    fn of(text: &[u8], boards: &'b [Printed]) -> Self {
        let mut plan = Self::default();
        let mut at = 0;
        let mut boards = boards.iter().peekable();
        loop {
            // A section begins with its first line, indented or not.
            let first = skip_space(text, at);
            if first >= text.len() {
                break;
            }
            if let Some(board) = boards.next_if(|board| board.range.start <= first) {
                at = board.range.end.max(first);
                let games = matches!(board.what, What::Games(_));
                if games {
                    plan.end_game();
                }
                plan.below_board = !games;
                plan.board_above = matches!(board.what, What::Board(_)).then_some(board);
                continue;
            }
            let board = boards.peek().map_or(text.len(), |board| board.range.start);
            at = plan.paragraphs(text, first, board);
            plan.board_above = None;
        }
        plan.end_game();
        plan
    }

    /// Takes the paragraph at `first`, with those behind it that belong to the same game; returns
    /// where they end.
    fn paragraphs(&mut self, text: &[u8], first: usize, most: usize) -> usize {
        let measured = |end| measure(text, first..end, move_end);
        // Two notations side by side show how the same moves are written.
        let one = |end: &usize| byte(text, first) == b'[' || !is_twofold(text, first..*end);
        let starts = (starts_game(text, first) && !is_solution(text, first, most))
            .then(|| paragraph_end(text, first, true))
            .filter(one);
        let Some(end) = starts else {
            let end = paragraph_end(text, first, false).min(most);
            let own = text.get(first..end).unwrap_or_default();
            if byte(text, first) == b'#' || is_heading(own) {
                self.end_game();
                self.below_board = false;
            } else if !self.game.is_empty() {
                self.game.extend(measured(end));
            } else if self.board_above.is_some()
                && let Some(moves) = measured(end).filter(|moves| moves.plies.start > 1)
            {
                self.from = self.board_above;
                self.game.push(moves);
            }
            return end;
        };
        self.end_game();
        let mut end = end.min(most);
        loop {
            let next = skip_space(text, end);
            if next >= most || !(starts_game(text, next) || goes_on(text, next)) {
                break;
            }
            end = paragraph_end(text, next, true).min(most);
        }
        match measured(end) {
            Some(moves) => self.game.push(moves),
            None if byte(text, first) == b'[' => self.closed = Some(first..end),
            None => match shape(text, first..end, move_end) {
                Shape::Movetext => self.closed = Some(first..end),
                Shape::Columns => {
                    self.unread.push(first..end);
                    self.closed = Some(first..end);
                }
                // Moves with the words about them in one paragraph are lines that words cite.
                Shape::Words => {}
            },
        }
        end
    }

    /// Takes in the game that is read.
    fn end_game(&mut self) {
        let from = self.from.take();
        if let Some(range) = self.closed.take() {
            self.blocks.push((range, SectionKind::Games));
            self.below_board = false;
        }
        let game = std::mem::take(&mut self.game);
        let chain: Vec<&Moves> = (chain(&game).into_iter())
            .filter_map(|at| game.get(at))
            .collect();
        let (Some(first), Some(last)) = (chain.first(), chain.last()) else {
            return;
        };
        if chain.len() == 1 && self.below_board && first.plies.len() <= SOLUTION as usize {
            return;
        }
        let plies: usize = chain.iter().map(|moves| moves.plies.len()).sum();
        let mut start = first.range.start;
        if let Some(board) = from {
            let tags = board.tags(first.plies.start);
            let Some(tags) =
                tags.filter(|tags| plies >= GAME as usize && tags.len() < board.range.len())
            else {
                return;
            };
            let range = board.range.clone();
            start = range.start;
            self.starts.push(Start { range, tags });
        }
        self.stops
            .extend(chain.iter().flat_map(|moves| &moves.stops));
        for pair in chain.windows(2) {
            if let [before, behind] = pair {
                self.gaps.push(before.range.end..behind.range.start);
            }
        }
        self.blocks
            .push((start..last.range.end, SectionKind::Games));
        self.below_board = false;
    }
}

/// The start of the blank line behind the paragraph at `at`, or the end of the
/// text. In a game, a blank line inside a comment does not count.
fn paragraph_end(text: &[u8], at: usize, in_game: bool) -> usize {
    let mut at = at;
    while at < text.len() {
        if in_game && byte(text, at) == b'{' {
            at = braces(text, at).end;
            continue;
        }
        if in_game && byte(text, at) == b';' {
            at = line_end(text, at);
            continue;
        }
        if !is_line_end(byte(text, at)) {
            at += 1;
            continue;
        }
        at += if rest(text, at).starts_with(b"\r\n") {
            2
        } else {
            1
        };
        if is_line_end(byte(text, skip_blanks(text, at))) {
            return at;
        }
    }
    text.len()
}

/// Whether a game starts with the paragraph at `at`.
fn starts_game(text: &[u8], at: usize) -> bool {
    if byte(text, at) == b'[' {
        let tag = read_tag(text, at);
        return !tag.broken;
    }
    // Games do not begin with a move of Black.
    let one = number(text, at).is_some_and(|(number, dots, _)| number == 1 && dots < 2);
    one && numbered_moves(text, at)
}

/// Whether a short paragraph at `at` that begins with move 1 cannot begin at the start of a game, nor
/// its first move be a slip of many: it is told of a board elsewhere, or its numbers are those of
/// exercises.
fn is_solution(text: &[u8], at: usize, most: usize) -> bool {
    /// A longer one is a game with a misprint.
    const LONGEST: usize = 400;
    if byte(text, at) == b'[' || paragraph_end(text, at, true).min(most) - at > LONGEST {
        return false;
    }
    let mut first = at;
    while matches!(byte(text, first), b'0'..=b'9' | b'.') || is_space(byte(text, first)) {
        first += 1;
    }
    let written = read_move(text, first, Language::English);
    let Some(WrittenShape::To { role, to, .. }) = written.map(|(written, _)| written.shape) else {
        return false;
    };
    let rank = to.rank();
    match role {
        Role::Pawn => false,
        Role::Knight => rank != Rank::Third,
        _ => true,
    }
}

/// Whether the paragraph at `at`, behind one of a game, belongs to the game.
fn goes_on(text: &[u8], at: usize) -> bool {
    match class(byte(text, at)) {
        Class::BraceOpen | Class::Star | Class::Dollar | Class::Semicolon => true,
        Class::ParenOpen | Class::ParenClose => goes_on_behind(text, at + 1),
        _ => is_result(text, at) || numbered_moves(text, at) || goes_on_behind(text, at),
    }
}

fn goes_on_behind(text: &[u8], at: usize) -> bool {
    let at = skip_space(text, at);
    numbered_moves(text, at) || move_end(text, at).is_some_and(|end| movetext_at(text, end))
}

fn is_result(text: &[u8], at: usize) -> bool {
    let word = text.get(at..word_end(text, at)).unwrap_or_default();
    matches!(word, b"1-0" | b"0-1" | b"1/2-1/2" | b"1/2")
}

/// Whether a move number and a move stand at `at`, with movetext behind them.
fn numbered_moves(text: &[u8], at: usize) -> bool {
    let mut end = at;
    while byte(text, end).is_ascii_digit() {
        end += 1;
    }
    if end == at {
        return false;
    }
    while byte(text, end) == b'.' || is_space(byte(text, end)) {
        end += 1;
    }
    move_end(text, end).is_some_and(|end| movetext_at(text, end))
}

fn move_end(text: &[u8], at: usize) -> Option<usize> {
    let (written, end) = read_move(text, at, Language::English)?;
    // `1. P-K4, P-K4; 2. Kt-KB3` stands in words: so old books separate moves there.
    let old = written.oddities.contains(Oddities::DESCRIPTIVE);
    let in_words = old && byte(text, skip_space(text, end)) == b';';
    (ends_word(text, end) && !in_words).then_some(end)
}

/// Whether movetext, or nothing, stands at `at`: prose like `1. e4 is best` has
/// a word there.
fn movetext_at(text: &[u8], at: usize) -> bool {
    let at = skip_space(text, at);
    match class(byte(text, at)) {
        _ if at >= text.len() => true,
        Class::Glyph
        | Class::BraceOpen
        | Class::ParenOpen
        | Class::ParenClose
        | Class::Dollar
        | Class::Star
        | Class::Semicolon
        | Class::Digit
        | Class::Bracket => true,
        Class::MoveLetter => move_end(text, at).is_some(),
        _ => {
            let word = text.get(at..word_end(text, at)).unwrap_or_default();
            word == b"Castles" || Glyph::of_symbol(word).is_some()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn games(text: &str) -> Vec<String> {
        let read = read(text.as_bytes(), Cow::Borrowed(text.as_bytes()), Vec::new());
        let parts = read
            .parts()
            .filter(|(section, _)| section.kind != SectionKind::Prose);
        parts
            .map(|(_, own)| String::from_utf8_lossy(own).into_owned())
            .collect()
    }

    #[test]
    fn a_game_goes_on_behind_prose() {
        let text = "1. e4 e5\n2. Nf3\n\nThe usual {move}.\n\nOr 2. f4.\n\n2. ... Nc6\n3. Bb5\n\n\
                    3. ... a6\n\nHere it ends.\n\n4. Bxc6 was tried.\n";
        let woven =
            "1. e4 e5\n2. Nf3\n{The usual (move).\n\nOr 2. f4.}\n2. ... Nc6\n3. Bb5\n\n3. ... a6\n";
        assert_eq!(games(text), [woven]);
        // A heading ends it, and so does another game.
        for between in ["# Next", "  Game No. 12", "THE END", "1. d4 d5\n2. c4"] {
            let text = format!("1. e4 e5\n2. Nf3\n\nWords.\n\n{between}\n\n2... Nc6 3. Bb5\n");
            assert_eq!(games(&text)[0], "1. e4 e5\n2. Nf3\n", "{between}");
        }
    }

    #[test]
    fn boards_are_sections_and_moves_below_are_told_of_them() {
        let board =
            "r..q.rk.\nppp..ppp\n........\n........\n........\n.....N..\nPPP..PPP\n...R..K.\n";
        let placement = "r2q1rk1/ppp2ppp/8/8/8/5N2/PPP2PPP/3R2K1";
        let text = format!("Words.\n\n{board}\nDiagram 4\n\nWhite wins:\n\n1. Rxd8 Raxd8 2. h3\n");
        let found = games(&text);
        assert_eq!(found.len(), 1);
        assert_eq!(
            found[0].split_ascii_whitespace().collect::<Vec<_>>(),
            [placement, "4"]
        );
        // Within a game, the board says what is printed there.
        let text = format!("1. e4 e5\n2. Nf3\n\n{board}\nSo far.\n\n2... Nc6 3. Bb5\n");
        let found = games(&text);
        assert_eq!(found.len(), 1);
        let words: Vec<&str> = found[0].split_ascii_whitespace().collect();
        let printed = [
            "{[%printed",
            &format!("{placement}]"),
            "So",
            "far.}",
            "2...",
        ];
        assert_eq!(words[5..10], printed);
    }

    #[test]
    fn a_game_goes_on_from_a_board_right_above() {
        let board = "8 r . b q k . . r\n7 . p p p . p p p\n6 p . n . . . . .\n5 . . . . p . . .\n\
                     4 B . . P n . . .\n3 . . . . . N . .\n2 P P P . . P P P\n1 R N B Q . R K .\n";
        let moves = "6... exd4\n7. Re1 d5\n8. Nxd4 Bd6\n\nBlack threatens.\n\n9. Nxc6 Bxh2+\n10. Kh1 Qh4\n\
                     11. Rxe4+ dxe4\n12. Qd8+ Qxd8\n";
        let found = games(&format!("Game 17\n\n{board}\n{moves}"));
        assert_eq!(found.len(), 1);
        let tag = "[FEN \"r1bqk2r/1ppp1ppp/p1n5/4p3/B2Pn3/5N2/PPP2PPP/RNBQ1RK1 b kq - 0 6\"]";
        assert!(found[0].starts_with(tag), "{}", found[0]);
        assert!(found[0].contains("{Black threatens.}"), "{}", found[0]);
        // A few moves are told of the board, and words between part it from the moves.
        for text in [
            format!("{board}\n6... exd4\n7. Re1 d5\n"),
            format!("{board}\nSome words.\n\n{moves}"),
        ] {
            assert!(
                games(&text).iter().all(|found| !found.contains("FEN")),
                "{text}"
            );
        }
    }

    #[test]
    fn paragraphs_of_plain_text_hold_games() {
        let text = "A letter to the editor.\n\n[White \"Ada\"]\n[Black \"Ben\"]\n\n\
                    1. e4 e5 2. Nf3\n{a comment\n\nof two paragraphs}\n\n2... Nc6 3. Bb5 *\n\n\
                    And that was that. 4. Nothing.\n\n1. d4 d5 2. c4\n\n1. e4 is my favourite.\n";
        assert_eq!(
            games(text),
            [
                "[White \"Ada\"]\n[Black \"Ben\"]\n\n1. e4 e5 2. Nf3\n{a comment\n\nof two \
                 paragraphs}\n\n2... Nc6 3. Bb5 *\n",
                "1. d4 d5 2. c4\n",
            ]
        );
    }

    #[test]
    fn moves_among_words_are_no_game_and_columns_side_by_side_an_unread_one() {
        let text = "1. e4 e5 2. Nc3 Nf6 3. f4 exf4 Taking is wrong here, because the knight will be chased.\n";
        assert_eq!(games(text), Vec::<String>::new());
        let text = "1  d4  Nf6     4  Rac1  f6\n2  c4  e5 (a)  5  g5  fxg5\n3  dxe5  Ng4   6  Bxg5  Qg6 (b)\n";
        assert_eq!(
            games(text)
                .iter()
                .map(|game| game.trim())
                .collect::<Vec<_>>(),
            ["*"]
        );
        // A word or two that nobody braced are slips.
        assert_eq!(games("1. e4 e5 novelty 2. Nc3 Nf6 3. f4 exf4\n").len(), 1);
    }

    #[test]
    fn prose_with_numbers_and_brackets_is_no_game() {
        for text in [
            "1. Introduction\n\n2. Results\n",
            "1 e4 was best, they say.\n",
            "[see below] for more\n",
            "1990 was a good year\n",
            "24. Rf1 is better.\n",
            "1. ... Nxe4; 2. Re1 Bf5; 3. Nc3\n",
            "",
        ] {
            assert_eq!(games(text), Vec::<String>::new(), "{text}");
        }
        assert_eq!(games("  1.e4 e5\n"), ["1.e4 e5\n"]);
    }
}
