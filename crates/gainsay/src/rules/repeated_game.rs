//! Games that stand in a text twice.

use std::ops::Range;

use crate::{
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// A game has the moves of one before it, from the first to the last.
    ///
    /// Told of games of at least ten moves that both players made. Two games with annotators of their own
    /// are left alone.
    ///
    /// ```pgn before
    /// [White "Lind"]
    /// [Black "Haas"]
    ///
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6
    /// 8. Bb3 Ba7 9. h3 h6 10. Nbd2 Re8 *
    ///
    /// [White "Osk"]
    /// [Black "Moreau"]
    ///
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6
    /// 8. Bb3 Ba7 9. h3 h6 10. Nbd2 Re8 *
    /// ```
    ///
    /// ```pgn after
    /// [White "Lind"]
    /// [Black "Haas"]
    ///
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6
    /// 8. Bb3 Ba7 9. h3 h6 10. Nbd2 Re8 *
    ///
    /// [White "Osk"]
    /// [Black "Moreau"]
    ///
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6
    /// 8. Bb3 Ba7 9. h3 h6 10. Nbd2 Be6 *
    /// ```
    RULE = "repeated-game", Severity::Hint
}

/// The finding about a game whose moves the game with this count has.
pub(super) fn finding(
    span: &Range<usize>,
    moves: u32,
    game: u32,
    players: &[String; 2],
) -> Finding {
    let names = match players {
        [white, black] if !white.is_empty() && !black.is_empty() => {
            format!(" ({white} \u{2013} {black})")
        }
        _ => String::new(),
    };
    Finding::new(
        &RULE,
        span,
        format!("All {moves} moves of this game are those of game {game} of this text{names}."),
    )
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    const MOVES: &str = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6 8. Bb3 \
                         Ba7 9. h3 h6 10. Nbd2 Re8";

    fn told(text: &str, format: Format) -> usize {
        let settings = Settings {
            only: vec!["repeated-game".to_owned()],
            ..Settings::default()
        };
        check_as(text.as_bytes(), format, &settings).findings.len()
    }

    #[test]
    fn a_game_may_be_written_otherwise() {
        let other = MOVES
            .replace("9. h3", "{Quiet.} 9. h3! (9. d4)")
            .replace("8. Bb3", "8.Bb3+");
        let short = MOVES.replace(" 10. Nbd2 Re8", "");
        for (first, second, count) in [
            (MOVES, MOVES, 1),
            (MOVES, other.as_str(), 1),
            (MOVES, short.as_str(), 0),
            (short.as_str(), short.as_str(), 0),
        ] {
            let games = format!("{first} *\n\n[Event \"B\"]\n\n{second} *\n");
            assert_eq!(told(&games, Format::Pgn), count, "{games}");
            let book = format!("## One\n\n{first}\n\n## Two\n\nAnd then:\n\n{second}\n");
            for format in [Format::Markdown, Format::Text] {
                assert_eq!(told(&book, format), count, "{book}");
            }
            let book = book.replace("##", "==");
            assert_eq!(told(&book, Format::AsciiDoc), count, "{book}");
            let book = book
                .replace("== One", "\\section{One}")
                .replace("== Two", "\\section{Two}");
            assert_eq!(told(&book, Format::Latex), count, "{book}");
        }
    }

    #[test]
    fn two_annotators_may_write_of_one_game() {
        let game = |name: &str| format!("[Annotator \"{name}\"]\n\n{MOVES} *\n\n");
        assert_eq!(told(&(game("Lind") + &game("Haas")), Format::Pgn), 0);
        assert_eq!(told(&(game("Lind") + &game("Lind")), Format::Pgn), 1);
    }
}
