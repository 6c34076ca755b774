//! What the other side says: the commands of the protocol.

use shakmaty::{
    CastlingMode, Chess, FromSetup, Position, PositionError,
    fen::{Fen, ParseFenError},
    uci::UciMove,
};

/// A line from the other side. Words that are not known are skipped, as the protocol
/// wants it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Command {
    Uci,
    IsReady,
    NewGame,
    Option {
        name: String,
        value: String,
    },
    Position(Where),
    Go(Go),
    /// The move that was pondered on was played.
    PonderHit,
    Stop,
    Quit,
    /// Nothing that calls for an answer.
    Nothing,
}

/// Where a position comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Where {
    /// `None` is the usual starting position.
    fen: Option<String>,
    moves: Vec<String>,
}

/// What bounds a search. All are upper bounds; none given is no bound.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Go {
    pub(super) nodes: Option<u64>,
    pub(super) depth: Option<u32>,
    /// Look for a mate in so many moves only.
    pub(super) mate: Option<u32>,
    /// Milliseconds for this move.
    pub(super) movetime: Option<u64>,
    /// Milliseconds on the clocks of White and Black.
    pub(super) clock: [Option<u64>; 2],
    /// Milliseconds that each side gains by a move.
    pub(super) gain: [u64; 2],
    /// Moves until the clocks are set again.
    pub(super) moves_to_go: Option<u64>,
    /// Whether the answer has to wait for `stop`.
    pub(super) infinite: bool,
    /// Whether it has to wait for `ponderhit` or `stop`.
    pub(super) ponder: bool,
    /// The moves that are considered; all when empty.
    pub(super) only: Vec<String>,
    /// The words behind which no number was found that can be read.
    pub(super) unread: Vec<&'static str>,
}

/// Why there is no position to search.
#[derive(Debug, thiserror::Error)]
pub(super) enum WhereError {
    #[error("\"{0}\" is no FEN: {1}")]
    Fen(String, ParseFenError),
    #[error("\"{0}\" is no legal position: {1}")]
    Illegal(String, Box<PositionError<Chess>>),
    #[error("the move \"{0}\" cannot be played")]
    Move(String),
}

impl Command {
    pub(super) fn read(line: &str) -> Self {
        let mut words = line.split_ascii_whitespace();
        // Unknown words in front of a command are skipped.
        while let Some(word) = words.next() {
            return match word {
                "uci" => Self::Uci,
                "isready" => Self::IsReady,
                "ucinewgame" => Self::NewGame,
                "setoption" => option(words),
                "position" => Self::Position(Where::read(words)),
                "go" => Self::Go(Go::read(words)),
                "ponderhit" => Self::PonderHit,
                "stop" => Self::Stop,
                "quit" => Self::Quit,
                "debug" | "register" => Self::Nothing,
                _ => continue,
            };
        }
        Self::Nothing
    }
}

/// `name` and `value` may each be of several words.
fn option<'w>(words: impl Iterator<Item = &'w str>) -> Command {
    let (mut name, mut value) = (Vec::new(), Vec::new());
    let mut in_value = false;
    for word in words {
        match word {
            "name" if name.is_empty() && !in_value => {}
            "value" if !in_value => in_value = true,
            _ if in_value => value.push(word),
            _ => name.push(word),
        }
    }
    Command::Option {
        name: name.join(" "),
        value: value.join(" "),
    }
}

impl Where {
    fn read<'w>(words: impl Iterator<Item = &'w str>) -> Self {
        let mut place = Self::default();
        let mut fen = Vec::new();
        let mut in_moves = false;
        for word in words {
            match word {
                "moves" => in_moves = true,
                _ if in_moves => place.moves.push(word.to_owned()),
                "startpos" | "fen" => {}
                _ => fen.push(word),
            }
        }
        place.fen = (!fen.is_empty()).then(|| fen.join(" "));
        place
    }

    /// The position, and those of the game before it, oldest first.
    pub(super) fn resolve(&self, mode: CastlingMode) -> Result<(Chess, Vec<Chess>), WhereError> {
        let mut position = match &self.fen {
            None => Chess::default(),
            Some(text) => {
                let fen: Fen = text
                    .parse()
                    .map_err(|error| WhereError::Fen(text.clone(), error))?;
                Chess::from_setup(fen.into_setup(), mode)
                    .or_else(PositionError::ignore_too_much_material)
                    .or_else(PositionError::ignore_impossible_check)
                    .map_err(|error| WhereError::Illegal(text.clone(), Box::new(error)))?
            }
        };
        let mut past = Vec::new();
        for word in &self.moves {
            let m = word
                .parse::<UciMove>()
                .ok()
                .and_then(|m| m.to_move(&position).ok())
                .ok_or_else(|| WhereError::Move(word.clone()))?;
            past.push(position.clone());
            position.play_unchecked(m);
        }
        Ok((position, past))
    }
}

/// A number of the protocol. It may be negative where a clock has run out, which counts as
/// zero; some boards write fractions.
fn number(word: &str) -> Option<u64> {
    if let Ok(value) = word.parse::<i128>() {
        return Some(u64::try_from(value.max(0)).unwrap_or(u64::MAX));
    }
    let value = word.parse::<f64>().ok().filter(|value| value.is_finite())?;
    // The conversion stops at the bounds of the type.
    Some(value as u64)
}

impl Go {
    fn read<'w>(words: impl Iterator<Item = &'w str>) -> Self {
        const KEYS: [&str; 13] = [
            "searchmoves",
            "ponder",
            "wtime",
            "btime",
            "winc",
            "binc",
            "movestogo",
            "depth",
            "nodes",
            "mate",
            "movetime",
            "infinite",
            "perft",
        ];
        let mut go = Self::default();
        let mut words = words.peekable();
        let small = |value: u64| u32::try_from(value).unwrap_or(u32::MAX);
        while let Some(word) = words.next() {
            let Some(&key) = KEYS.iter().find(|&&key| key == word) else {
                continue;
            };
            match key {
                "searchmoves" => {
                    while let Some(word) = words.next_if(|word| !KEYS.contains(word)) {
                        go.only.push(word.to_owned());
                    }
                    continue;
                }
                "infinite" => {
                    go.infinite = true;
                    continue;
                }
                "ponder" => {
                    go.ponder = true;
                    continue;
                }
                _ => {}
            }
            let value = words.next_if(|word| !KEYS.contains(word)).and_then(number);
            if value.is_none() {
                go.unread.push(key);
            }
            // A time that cannot be read is no time: an answer has to come.
            let time = value.unwrap_or(0);
            match key {
                "wtime" => go.clock[0] = Some(time),
                "btime" => go.clock[1] = Some(time),
                "winc" => go.gain[0] = time,
                "binc" => go.gain[1] = time,
                "movetime" => go.movetime = Some(time),
                "movestogo" => go.moves_to_go = value,
                "depth" => go.depth = value.map(small),
                "nodes" => go.nodes = value,
                "mate" => go.mate = value.map(small),
                _ => {}
            }
        }
        go
    }
}

#[cfg(test)]
mod tests {
    use shakmaty::Color;

    use super::*;

    #[test]
    fn commands_are_read() {
        assert_eq!(Command::read("  uci \r"), Command::Uci);
        assert_eq!(Command::read("joho isready"), Command::IsReady);
        assert_eq!(Command::read("what is this"), Command::Nothing);
        assert_eq!(Command::read(""), Command::Nothing);
        assert_eq!(
            Command::read("setoption name Clear Hash Now value a b"),
            Command::Option {
                name: "Clear Hash Now".to_owned(),
                value: "a b".to_owned()
            }
        );
        let Command::Go(go) = Command::read(
            "go searchmoves e2e4 d2d4 nodes 500 wtime -3 btime 9 winc 1 depth 7 mate x infinite",
        ) else {
            panic!("a go");
        };
        assert_eq!(go.only, ["e2e4", "d2d4"]);
        assert_eq!((go.nodes, go.depth, go.mate), (Some(500), Some(7), None));
        assert_eq!((go.clock, go.gain), ([Some(0), Some(9)], [1, 0]));
        assert!(go.infinite && !go.ponder);
        assert_eq!(go.unread, ["mate"]);
        let Command::Go(go) = Command::read("go ponder movetime 12.5 depth nodes btime soon")
        else {
            panic!("a go");
        };
        assert!(go.ponder && !go.infinite);
        assert_eq!((go.movetime, go.depth, go.nodes), (Some(12), None, None));
        assert_eq!(go.clock, [None, Some(0)]);
        assert_eq!(go.unread, ["depth", "nodes", "btime"]);
        assert_eq!(Command::read("ponderhit"), Command::PonderHit);
    }

    fn resolve(line: &str, mode: CastlingMode) -> Result<(Chess, Vec<Chess>), WhereError> {
        match Command::read(line) {
            Command::Position(place) => place.resolve(mode),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn positions_are_played_to() {
        let standard = CastlingMode::Standard;
        let (position, past) =
            resolve("position startpos moves e2e4 e7e5 g1f3", standard).expect("a position");
        assert_eq!((position.turn(), past.len()), (Color::Black, 3));
        let castle = "position fen 4k3/8/8/8/8/8/8/1R2K2R w H - 0 1 moves e1h1";
        let (position, _) = resolve(castle, CastlingMode::Chess960).expect("a position");
        assert_eq!(
            position.board().king_of(Color::White),
            Some(shakmaty::Square::G1)
        );
        for wrong in [
            "position fen 8/8 w - - 0 1",
            "position fen 8/8/8/8/8/8/8/8 w - - 0 1",
            "position startpos moves e2e5",
            "position startpos moves e2e4 zz",
        ] {
            let error = resolve(wrong, standard).expect_err(wrong).to_string();
            assert!(!error.is_empty());
        }
    }
}
