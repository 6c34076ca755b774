//! The games of a text, as its words can point at them: "see game 3".
//!
//! Games get their numbers from the author: from a tag ("Game 3" as Event, as a title or in
//! White's place), from the comment before the first move, or from the heading above them in
//! a manuscript. Where all games have such a number and no two the same, "game 3" is the
//! game with that number and no other. Where none has one, the rounds of a match count, and
//! of all other files only the order is known, so that nothing can be called wrong.
//!
//! Chapters are files of their own, and "game 12" may stand in another one.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    ops::Range,
    sync::{Arc, OnceLock},
};

use gainsay_commentary::{Names, OtherGame, Way, Which};
use gainsay_notation::{ElementKind, Format, Game, Section, SectionKind, read_game, sections};

mod label;

use crate::{other::Other, pieces::Piece, reading::Reading, replay::View, settings::Settings};
pub(crate) use gainsay_commentary::may_point_at_game as may_point;

/// Texts of more bytes are archives, not books: nothing in them is looked up elsewhere, so
/// that checking a piece never waits for the rest of a large file.
///
/// ```
/// use gainsay::{Document, Format, LARGEST_BOOK, NotationReader, Settings};
/// let text = "1. e4 {Game 2 was won by Black.} e5 *\n";
/// for (text, points) in [(text.to_owned(), true), (text.to_owned() + &" ".repeat(LARGEST_BOOK), false)] {
///     let mut document = Document::open(text.into_bytes(), Format::Pgn);
///     let _ = document.read(0, &mut NotationReader::default(), &Settings::default());
///     assert_eq!(document.points(0), points);
/// }
/// ```
pub const LARGEST_BOOK: usize = 4 << 20;

/// A game of more bytes is not looked at from elsewhere.
const LARGEST_GAME: usize = 256 << 10;

/// The games of a whole text. They are listed when somebody asks for the first time.
///
/// ```
/// use gainsay::{Book, Document, Format, Settings, Solver, Verdict};
/// let text = b"[Event \"Game 1\"]\n\n1. e4 {Game 2 was won by Black.} e5 *\n\n[Event \"Game 2\"]\n\n1. d4 0-1\n";
/// let document = Document::open(text, Format::Pgn);
/// let (first, mut solver) = (document.excerpt(0).unwrap(), Solver::new(1 << 20));
/// let mut verdict = |book: Book| {
///     first.check(text, &book, &Settings::default(), &mut solver).claims[0].verdict
/// };
/// assert_eq!(verdict(document.book()), Verdict::Holds);
/// assert_eq!(verdict(Book::unknown()), Verdict::Unsettled);
/// ```
#[derive(Debug)]
pub struct Book<'t> {
    text: &'t [u8],
    format: Format,
    pieces: &'t [Piece],
    listing: &'t Listing,
}

/// The list of the games of a text, which is kept as long as the text is the same.
#[derive(Debug, Default)]
pub(crate) struct Listing(OnceLock<Listed>);

/// All games, with what is known of their numbers.
#[derive(Debug, Default)]
struct Listed {
    games: Vec<Entry>,
    numbering: Numbering,
}

/// What "game 3" means.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Numbering {
    /// Every game has a number of its own.
    Own,
    /// Some have one.
    Partial,
    /// None has, but the rounds number the games of one match, or say the same as the order.
    Rounds,
    /// None has.
    #[default]
    Order,
}

/// A game in the list.
#[derive(Debug)]
struct Entry {
    /// Its first tag or element.
    start: usize,
    /// The section it stands in, and which game of it it is.
    section: Range<usize>,
    nth: usize,
    label: Option<u32>,
    round: Option<u32>,
    players: [String; 2],
    names: Names,
    loaded: OnceLock<Option<Arc<Other>>>,
}

/// A place in a book.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Within<'b> {
    /// The book.
    pub(crate) book: &'b Book<'b>,
    /// Where the text that is checked begins in it.
    pub(crate) base: usize,
}

/// What a pointer leads to.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// The games that can be meant.
    pub(crate) games: Vec<Arc<Other>>,
    /// Whether the first of them is meant, and nothing else.
    pub(crate) certain: bool,
    /// What is wrong with the pointer.
    pub(crate) wrong: Option<Wrong>,
}

/// What is wrong with a pointer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Wrong {
    /// The game of that number is another one; the players' game has this number.
    Players {
        /// Its number.
        number: u32,
        /// Who played the game that is pointed at.
        other: String,
    },
    /// It stands on the other side.
    Way,
    /// All games on that side have numbers on the other side of it.
    Beyond(u32),
    /// The numbers leave it out.
    Missing {
        /// The next lower number.
        below: u32,
        /// The next higher number.
        above: u32,
    },
}

impl<'t> Book<'t> {
    /// The book whose whole text this is as it is read, cut into pieces.
    pub(crate) const fn of(
        text: &'t [u8],
        format: Format,
        pieces: &'t [Piece],
        listing: &'t Listing,
    ) -> Self {
        Self {
            text,
            format,
            pieces,
            listing,
        }
    }

    /// Nothing is known of the other games of a text.
    #[must_use]
    pub fn unknown() -> Self {
        static NOTHING: Listing = Listing(OnceLock::new());
        Self::of(b"", Format::Pgn, &[], &NOTHING)
    }

    /// What is read by itself: pieces of game files may hold many games.
    fn sections(&self) -> Vec<Section> {
        match self.format {
            Format::Pgn => sections(self.text).collect(),
            _ => (self.pieces.iter())
                .map(|piece| Section {
                    range: piece.range.clone(),
                    kind: piece.kind,
                })
                .collect(),
        }
    }

    fn list(&self) -> &Listed {
        self.listing.0.get_or_init(|| {
            if self.text.len() > LARGEST_BOOK || self.format == Format::Epd {
                return Listed::default();
            }
            let mut games = Vec::new();
            let mut heading = label::Heading::default();
            let mut game = Game::default();
            for section in self.sections() {
                let text = self.text.get(section.range.clone()).unwrap_or_default();
                match section.kind {
                    SectionKind::Prose => heading.pass(text),
                    SectionKind::Epd | SectionKind::Board => {}
                    SectionKind::Games => {
                        let mut from = 0;
                        let mut nth = 0;
                        while let Some(next) = read_game(text, from, &mut game) {
                            from = next.max(from + 1);
                            if let Some(start) = start(&game) {
                                let start = section.range.start + start;
                                let own = label::of(text, &game).or_else(|| heading.number());
                                games.push(Entry::of(text, &game, start, &section.range, nth, own));
                            }
                            nth += 1;
                        }
                    }
                }
            }
            let numbering = numbering(&games);
            Listed { games, numbering }
        })
    }

    /// The game that `game` of a pointer means, seen from the game that begins at `here`.
    pub(crate) fn find(
        &self,
        pointer: &OtherGame,
        players: Option<[&[u8]; 2]>,
        here: Option<usize>,
        settings: &Settings,
    ) -> Found {
        let list = self.list();
        let here = here.and_then(|start| list.at(start));
        let number = match pointer.which {
            Which::Number(number) => number,
            Which::Previous => return self.beside(here.and_then(|at| at.checked_sub(1)), settings),
            Which::Next => return self.beside(here.map(|at| at + 1), settings),
        };
        let (mut meant, mut certain) = list.numbered(number);
        if let Some(players) = players {
            let named = list.named(players);
            let both: Vec<usize> = (meant.iter().copied())
                .filter(|at| named.contains(at))
                .collect();
            match (both.as_slice(), named.as_slice(), meant.as_slice()) {
                ([], &[named], &[other]) if certain => {
                    return list.other_players(named, other);
                }
                ([], ..) => return Found::default(),
                // Number and names say the same.
                ([_], ..) => certain = true,
                _ => {}
            }
            meant = both;
        }
        if let Some(wrong) = list.wrong_way(pointer.way.map(|said| said.way), number, &meant, here)
        {
            return Found {
                wrong: Some(wrong),
                ..Found::default()
            };
        }
        let loaded = meant.iter().map(|&at| self.load(at, settings));
        let games: Option<Vec<Arc<Other>>> = loaded.collect();
        Found {
            certain: certain && meant.len() == 1 && !pointer.contest,
            wrong: list.missing(number).filter(|_| meant.is_empty()),
            games: games.unwrap_or_default(),
        }
    }

    /// The game before or behind.
    fn beside(&self, at: Option<usize>, settings: &Settings) -> Found {
        let game = at.and_then(|at| self.load(at, settings));
        Found {
            games: game.into_iter().collect(),
            ..Found::default()
        }
    }

    fn load(&self, at: usize, settings: &Settings) -> Option<Arc<Other>> {
        let list = self.list();
        let entry = list.games.get(at)?;
        let loaded = entry.loaded.get_or_init(|| {
            let range = entry.section.clone();
            let text = self.text.get(range.clone())?;
            if text.len() > LARGEST_GAME {
                return None;
            }
            let reading = Reading::of(text, settings);
            let view = reading.views(text).nth(entry.nth)?;
            Some(Arc::new(Other::of(
                &view,
                list.title(at),
                entry.names.clone(),
                range,
            )?))
        });
        loaded.clone()
    }
}

/// Where a game begins; `None` where it is empty.
fn start(game: &Game) -> Option<usize> {
    let tag = game.tags.first().map(|tag| tag.span.start);
    let element = game.elements.first().map(|element| element.span.start);
    Some(tag.into_iter().chain(element).min()? as usize)
}

impl Entry {
    fn of(
        text: &[u8],
        game: &Game,
        start: usize,
        section: &Range<usize>,
        nth: usize,
        label: Option<u32>,
    ) -> Self {
        let tag = |name| {
            let tag = game.tag(text, name);
            tag.map_or_else(String::new, |tag| tag.value(text).into_owned())
        };
        let players = [tag("White"), tag("Black")];
        let [white, black] = &players;
        Self {
            start,
            section: section.clone(),
            nth,
            label,
            round: tag("Round").trim().parse().ok(),
            names: Names::new(white, black),
            players,
            loaded: OnceLock::new(),
        }
    }

    /// The two players in the order of the alphabet.
    fn pair(&self) -> [&str; 2] {
        let mut pair = [self.players[0].as_str(), self.players[1].as_str()];
        pair.sort_unstable();
        pair
    }
}

fn numbering(games: &[Entry]) -> Numbering {
    let labels = games.iter().filter(|game| game.label.is_some()).count();
    if labels == games.len() && are_distinct(games.iter().filter_map(|game| game.label)) {
        return Numbering::Own;
    }
    if labels > 0 {
        return Numbering::Partial;
    }
    let ordered = (1..).zip(games).all(|(at, game)| game.round == Some(at));
    let match_of_two = games.windows(2).all(|games| {
        let [a, b] = games else { return false };
        a.round.is_some() && a.pair() == b.pair() && !a.players[0].is_empty()
    });
    let rounds = games.iter().filter_map(|game| game.round);
    let all = rounds.clone().count() == games.len();
    if games.len() > 1 && all && (ordered || match_of_two) && are_distinct(rounds) {
        return Numbering::Rounds;
    }
    Numbering::Order
}

fn are_distinct(numbers: impl Iterator<Item = u32>) -> bool {
    let mut numbers: Vec<u32> = numbers.collect();
    numbers.sort_unstable();
    numbers.windows(2).all(|pair| pair[0] != pair[1])
}

impl Listed {
    /// The game that begins at an offset.
    fn at(&self, start: usize) -> Option<usize> {
        self.games
            .binary_search_by_key(&start, |game| game.start)
            .ok()
    }

    /// The number of a game, where every game has one.
    fn number(&self, at: usize) -> Option<u32> {
        let game = self.games.get(at)?;
        match self.numbering {
            Numbering::Own => game.label,
            Numbering::Rounds => game.round,
            Numbering::Partial | Numbering::Order => None,
        }
    }

    fn numbers(&self) -> impl Iterator<Item = u32> {
        (0..self.games.len()).filter_map(|at| self.number(at))
    }

    /// The games that "game N" can mean, and whether nothing else can be meant.
    fn numbered(&self, number: u32) -> (Vec<usize>, bool) {
        /// More are not looked at.
        const MOST: usize = 4;
        let all = || (0..).zip(&self.games);
        let own = (0..self.games.len()).find(|&at| self.number(at) == Some(number));
        if matches!(self.numbering, Numbering::Own | Numbering::Rounds) {
            return (own.into_iter().collect(), own.is_some());
        }
        let labelled = all().filter(|(_, game)| game.label == Some(number));
        let place = (number as usize).checked_sub(1);
        let placed = place.filter(|&at| at < self.games.len());
        let rounds = all()
            .filter(|(_, game)| self.numbering == Numbering::Order && game.round == Some(number));
        let mut meant: Vec<usize> = (labelled.chain(rounds).map(|(at, _)| at))
            .chain(placed)
            .collect();
        meant.sort_unstable();
        meant.dedup();
        if meant.len() > MOST {
            meant.clear();
        }
        (meant, false)
    }

    /// The games that two players of these names played.
    fn named(&self, players: [&[u8]; 2]) -> Vec<usize> {
        let plays = |game: &Entry| {
            let [a, b] = players.map(|player| game.names.calls(player));
            a.is_some() && b.is_some() && a != b
        };
        let games = self.games.iter().enumerate();
        games
            .filter(|(_, game)| plays(game))
            .map(|(at, _)| at)
            .collect()
    }

    /// The players' game has another number than the one that is told.
    fn other_players(&self, named: usize, other: usize) -> Found {
        let known = self.games.get(other).filter(|game| !game.names.is_empty());
        let wrong = self
            .number(named)
            .zip(known)
            .map(|(number, _)| Wrong::Players {
                number,
                other: self.title(other),
            });
        Found {
            wrong,
            ..Found::default()
        }
    }

    /// Whether every game has a number and they go up.
    fn goes_up(&self) -> bool {
        let numbers: Vec<u32> = self.numbers().collect();
        self.games.len() > 1
            && numbers.len() == self.games.len()
            && numbers.windows(2).all(|pair| pair[0] < pair[1])
    }

    fn wrong_way(
        &self,
        way: Option<Way>,
        number: u32,
        meant: &[usize],
        here: Option<usize>,
    ) -> Option<Wrong> {
        let (way, here) = (way?, here?);
        if !self.goes_up() {
            return None;
        }
        match meant {
            [at] => {
                let right = match way {
                    Way::Above => *at <= here,
                    Way::Below => *at >= here,
                };
                (!right).then_some(Wrong::Way)
            }
            _ => {
                let (least, most) = (self.numbers().min()?, self.numbers().max()?);
                match way {
                    Way::Above if number > most => Some(Wrong::Beyond(most)),
                    Way::Below if number < least => Some(Wrong::Beyond(least)),
                    _ => None,
                }
            }
        }
    }

    /// A number that is left out between others.
    fn missing(&self, number: u32) -> Option<Wrong> {
        let below = self.numbers().filter(|&other| other < number).max()?;
        let above = self.numbers().filter(|&other| other > number).min()?;
        (self.goes_up() && self.numbering == Numbering::Own)
            .then_some(Wrong::Missing { below, above })
    }

    /// A game by its number and players: "game 3 (Lind–Moreau)".
    fn title(&self, at: usize) -> String {
        let Some(game) = self.games.get(at) else {
            return String::new();
        };
        let number = self.number(at).or(game.label);
        let number = number.unwrap_or_else(|| u32::try_from(at + 1).unwrap_or(u32::MAX));
        let last = |name: &str| {
            let name = name.split(',').next().unwrap_or_default().trim();
            let family =
                if name.contains(' ') && !game.players.iter().any(|name| name.contains(',')) {
                    name.rsplit(' ').next().unwrap_or(name)
                } else {
                    name
                };
            family.to_owned()
        };
        let [white, black] = [last(&game.players[0]), last(&game.players[1])];
        if game.names.is_empty() {
            format!("game {number}")
        } else {
            format!("game {number} ({white}\u{2013}{black})")
        }
    }
}

/// What the numbers and names of a game depend on, as a fingerprint.
pub(crate) fn print(view: &View<'_>, into: &mut DefaultHasher) {
    for tag in &view.game.tags {
        tag.name.of(view.text).hash(into);
        tag.value.of(view.text).hash(into);
    }
    label::of(view.text, view.game).hash(into);
}

/// A fingerprint of the headings of prose, which number the games behind them; 0 where there
/// are none.
pub(crate) fn print_headings(prose: &[u8]) -> u64 {
    let mut hasher = None;
    for heading in label::headings(prose) {
        heading.hash(hasher.get_or_insert_with(DefaultHasher::new));
    }
    hasher.map_or(0, |hasher| hasher.finish())
}

/// The offset of the game of a view in its book, by which the book knows it.
pub(crate) fn start_of(view: &View<'_>) -> Option<usize> {
    start(view.game)
}

/// Whether some comment of a game may point at other games, at next to no cost.
pub(crate) fn comments_may_point(view: &View<'_>) -> bool {
    view.replay.comments.iter().any(|site| {
        let body = match view.element(site.element).map(|element| element.kind) {
            Some(ElementKind::Comment { body, .. }) => body,
            _ => return false,
        };
        may_point(body.of(view.text))
    })
}

#[cfg(test)]
mod tests;
