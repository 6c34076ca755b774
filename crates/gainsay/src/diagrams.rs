//! The positions that a book prints, and the position at a place of a text.

use gainsay_notation::SectionKind;
use shakmaty::{Chess, Color, Move};

use crate::{
    drawn, edition::Edition, printed::printed, reading::Reading, replay::View, settings::Settings,
};

/// A position with what led to it.
///
/// ```
/// use gainsay::{Document, Format, Settings};
/// let text = Document::open(b"1. e4 e5\n2. Nf3 *\n", Format::Pgn);
/// let moment = text.moment(9, &Settings::default()).unwrap();
/// assert_eq!(moment.name.as_deref(), Some("1...e5"));
/// ```
#[derive(Clone, Debug)]
pub struct Moment {
    /// The position.
    pub position: Chess,
    /// The move that was played last.
    pub last: Option<Move>,
    /// That move as written, with its number: `24...Kh8`.
    pub name: Option<String>,
}

impl Moment {
    /// A position that no move led to.
    const fn alone(position: Chess) -> Self {
        Self {
            position,
            last: None,
            name: None,
        }
    }

    /// The position behind the ply of this index, or at the start of a game.
    fn behind(view: &View<'_>, after: Option<u32>) -> Option<Self> {
        let ply = after.and_then(|at| view.replay.ply(at));
        Some(Self {
            position: view.replay.at(after)?.clone(),
            last: ply.and_then(|ply| ply.played),
            name: ply.map(|ply| view.name(ply)),
        })
    }
}

/// A position that is printed: what prose calls a diagram.
///
/// ```
/// use gainsay::{Document, Format, Settings, shakmaty::Color};
/// let text = b"1. e4 $221 e5 2. Nf3 {[diagram]} *\n\n[Event \"B\"]\n\n1. d4 $220 *\n";
/// let text = Document::open(text, Format::Pgn);
/// let diagrams = text.diagrams(&Settings::default());
/// let told: Vec<_> = diagrams.iter().map(|one| (one.game, one.number)).collect();
/// assert_eq!(told, [(Some(1), 1), (Some(1), 2), (Some(2), 1)]);
/// assert_eq!(diagrams[0].below, Color::Black);
/// ```
#[derive(Clone, Debug)]
pub struct Diagram {
    /// Its number: in a game among the game's, else among the positions of the text.
    pub number: u32,
    /// The game that it stands in, counted from 1 through the text; `None` for a position that
    /// stands by itself.
    pub game: Option<u32>,
    /// Where it stands, in bytes.
    pub offset: usize,
    /// The side at its lower edge.
    pub below: Color,
    /// The position.
    pub moment: Moment,
}

impl Edition<'_> {
    /// All diagrams, in the order of the text: positions that stand by themselves, and the
    /// moments of games that are marked as diagrams. What is no position is left out and
    /// counted, so that the numbers are those of the text.
    #[must_use]
    pub fn diagrams(&self, settings: &Settings) -> Vec<Diagram> {
        let mut found = Vec::new();
        let (mut games, mut positions) = (0, 0);
        for piece in self.pieces() {
            let text = self.bytes_of(piece);
            if piece.is_position() {
                positions += 1;
                let number = drawn::number(piece.kind, text).unwrap_or(positions);
                let position = drawn::positions(piece.kind, text).into_iter().next();
                found.extend(position.map(|position| Diagram {
                    number,
                    game: None,
                    offset: piece.range.start,
                    below: Color::White,
                    moment: Moment::alone(position),
                }));
            }
            if piece.kind != SectionKind::Games {
                continue;
            }
            for view in Reading::of(text, settings).views(text) {
                games += 1;
                let places = (1..).zip(printed(&view));
                found.extend(places.filter_map(|(number, place)| {
                    Some(Diagram {
                        number,
                        game: Some(games),
                        offset: piece.range.start + view.span(place.element).start as usize,
                        below: Color::from_white(!place.from_black),
                        moment: Moment::behind(&view, place.after)?,
                    })
                }));
            }
        }
        found
    }

    /// The position that stands at an offset: behind the last move that begins before it, or the
    /// last position before it that stands by itself; `None` where there is neither.
    #[must_use]
    pub fn moment(&self, offset: usize, settings: &Settings) -> Option<Moment> {
        let pieces = self.pieces();
        let count = pieces.partition_point(|piece| piece.range.start < offset);
        pieces.get(..count)?.iter().rev().find_map(|piece| {
            let text = self.bytes_of(piece);
            let inside = offset - piece.range.start;
            match piece.kind {
                SectionKind::Prose => None,
                SectionKind::Epd | SectionKind::Board => {
                    let mut positions = drawn::positions(piece.kind, text).into_iter();
                    positions.next().map(Moment::alone)
                }
                SectionKind::Games => {
                    let reading = Reading::of(text, settings);
                    let before = |view: &View<'_>| (view.game.span.start as usize) < inside;
                    let view = reading.views(text).take_while(before).last()?;
                    let plies = view.replay.plies.iter();
                    let last = plies.zip(0..).filter(|(ply, _)| {
                        let start = view.span(ply.element).start as usize;
                        start < inside && ply.after.is_some()
                    });
                    Moment::behind(&view, last.last().map(|(_, at)| at))
                }
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Document, Format, show};

    const BOOK: &[u8] = b"# One\n\n```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n```fen\nnothing\n```\n\n\
        ```pgn\n1. e4 {[Diagram]} e5 $221 *\n```\n\n```fen\n8/8/8/8/8/8/8/K1k5 w - - 0 1\n```\n\nThe end.\n";

    #[test]
    fn diagrams_have_the_numbers_of_the_text() {
        let text = Document::open(BOOK, Format::Markdown);
        let told: Vec<(Option<u32>, u32, String, Color)> = (text.diagrams(&Settings::default()))
            .into_iter()
            .map(|one| {
                let fen = show::fen(&one.moment.position);
                (one.game, one.number, fen[..8].to_owned(), one.below)
            })
            .collect();
        let wanted = [
            (None, 1, "6k1/5ppp", Color::White),
            (Some(1), 1, "rnbqkbnr", Color::White),
            (Some(1), 2, "rnbqkbnr", Color::Black),
            (None, 3, "8/8/8/8/", Color::White),
        ];
        assert_eq!(
            told,
            wanted.map(|(game, number, fen, below)| (game, number, fen.to_owned(), below))
        );
    }

    #[test]
    fn a_moment_is_what_stands_before_a_place() {
        let text = Document::open(BOOK, Format::Markdown);
        let at = |words: &str| {
            let end =
                memchr::memmem::find(BOOK, words.as_bytes()).expect("the words") + words.len();
            let moment = text.moment(end, &Settings::default())?;
            Some(moment.name.unwrap_or_else(|| show::fen(&moment.position)))
        };
        assert_eq!(at("# One"), None);
        assert_eq!(
            at("R3K3").as_deref(),
            Some("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1")
        );
        assert_eq!(at("1. e4").as_deref(), Some("1.e4"));
        assert_eq!(at(" e5").as_deref(), Some("1...e5"));
        assert_eq!(
            at("The end").as_deref(),
            Some("8/8/8/8/8/8/8/K1k5 w - - 0 1")
        );
    }
}
