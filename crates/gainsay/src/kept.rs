//! What mending and formatting must keep: the games, the moves, the tags, the comments.

use std::collections::BTreeMap;

use gainsay_notation::{
    ElementKind, Format, Game, GameResult, Glyph, Manuscript, SectionKind, manuscript, read_game,
};

use crate::{
    check::NotationReader,
    marks::Marks,
    replay::{Ply, Replay, View},
    settings::Settings,
};

/// What is not the same in two texts, one of which was to be the other, mended.
///
/// ```
/// use gainsay::{Difference, Format, Settings, difference};
/// let found = difference(b"Words.", b"Others.", Format::Text, &Settings::default());
/// assert_eq!(found, Some(Difference::Prose { at: 0 }));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Difference {
    /// Games and prose do not follow each other as before.
    #[error("there are {after} games and passages where there were {before}")]
    Parts {
        /// How many there were.
        before: usize,
        /// How many there are.
        after: usize,
    },
    /// Words that are in no game changed.
    #[error("the words from byte {at} on are not the same")]
    Prose {
        /// Where they began.
        at: usize,
    },
    /// A tag lost its name, its value or its place.
    #[error("game {game} lost its tag {tag}")]
    Tag {
        /// Which game, from 1.
        game: usize,
        /// Its name and value.
        tag: String,
    },
    /// A comment is not the same to the byte.
    #[error("game {game} does not have the same comments")]
    Comments {
        /// Which game, from 1.
        game: usize,
    },
    /// A glyph is not the same.
    #[error("game {game} does not have the same glyphs")]
    Glyphs {
        /// Which game, from 1.
        game: usize,
    },
    /// A result is not the same, or one was added to another.
    #[error("game {game} does not have the same result")]
    Result {
        /// Which game, from 1.
        game: usize,
    },
    /// A move is not the same, or not in the same line.
    #[error("game {game} does not have the same moves: {moves}")]
    Moves {
        /// Which game, from 1.
        game: usize,
        /// The first that differs.
        moves: String,
    },
    /// Something is found that was not there before, in text that was reached before.
    #[error("game {game} has a new finding: {rule}")]
    Finding {
        /// Which game, from 1.
        game: usize,
        /// The rule.
        rule: &'static str,
    },
}

/// A part of a text: a game as it is read, or what is none.
enum Part<'t> {
    Game(Box<Read<'t>>),
    Other(usize, &'t [u8]),
}

struct Read<'t> {
    text: &'t [u8],
    game: Game,
    replay: Replay,
    /// How often each rule has something to say.
    found: BTreeMap<&'static str, usize>,
}

/// Compares a text with what mending or formatting made of it: the first difference in
/// what must be kept, if there is one.
///
/// Every game must be there with its tags (others may have been added), its comments to
/// the byte, its glyphs, and its moves in the same lines; a move that could be played must
/// be the same in the same position. Only text behind a move that could not be played may
/// show findings that were not there.
///
/// ```
/// use gainsay::{Format, Settings, difference};
/// let between = |after| difference(b"1. e2-e4 {A word.} *", after, Format::Pgn, &Settings::default());
/// assert_eq!(between(b"1. e4 {A word.} *"), None);
/// let found = between(b"1. e4 {Words.} *").unwrap();
/// assert_eq!(found.to_string(), "game 1 does not have the same comments");
/// ```
#[must_use]
pub fn difference(
    before: &[u8],
    after: &[u8],
    format: Format,
    settings: &Settings,
) -> Option<Difference> {
    let [old, new] = [before, after].map(|text| (text, manuscript(text, format)));
    let [old, new] = [&old, &new].map(|(text, read)| parts(text, read, settings));
    if old.len() != new.len() {
        return Some(Difference::Parts {
            before: old.len(),
            after: new.len(),
        });
    }
    let mut game = 0;
    for pair in old.iter().zip(&new) {
        let found = match pair {
            (Part::Other(at, one), Part::Other(_, other)) => {
                (one != other).then_some(Difference::Prose { at: *at })
            }
            (Part::Game(one), Part::Game(other)) => {
                game += 1;
                in_game(game, one, other)
            }
            _ => Some(Difference::Parts {
                before: old.len(),
                after: new.len(),
            }),
        };
        if found.is_some() {
            return found;
        }
    }
    None
}

/// The games as they are read, and what stands between them as it stands in the file.
fn parts<'t>(text: &'t [u8], read: &'t Manuscript<'_>, settings: &Settings) -> Vec<Part<'t>> {
    let mut parts = Vec::new();
    let mut reader = NotationReader::default();
    for (section, own) in read.parts() {
        if section.kind != SectionKind::Games {
            let own = text.get(section.range.clone()).unwrap_or_default();
            parts.push(Part::Other(section.range.start, own));
            continue;
        }
        let first = parts.len();
        let mut from = 0;
        let mut game = Game::default();
        while let Some(next) = read_game(own, from, &mut game) {
            from = next.max(from + 1);
            let replay = Replay::of(own, &game, settings.language);
            parts.push(Part::Game(Box::new(Read {
                text: own,
                game: std::mem::take(&mut game),
                replay,
                found: BTreeMap::new(),
            })));
        }
        for finding in reader.read(own, section.kind, settings).report.findings {
            let number = finding.game.unwrap_or(1).saturating_sub(1) as usize;
            if let Some(Part::Game(read)) = parts.get_mut(first + number) {
                *read.found.entry(finding.rule.name).or_default() += 1;
            }
        }
    }
    parts
}

impl Read<'_> {
    fn tags(&self) -> impl Iterator<Item = (&[u8], &[u8])> {
        let tags = self.game.tags.iter();
        tags.map(|tag| (tag.name.of(self.text), tag.value.of(self.text)))
    }

    fn comments(&self) -> impl Iterator<Item = &[u8]> {
        let elements = self.game.elements.iter();
        elements
            .filter(|element| matches!(element.kind, ElementKind::Comment { .. }))
            .map(|element| element.span.of(self.text))
    }

    fn glyphs(&self) -> impl Iterator<Item = Glyph> {
        self.game
            .elements
            .iter()
            .filter_map(|element| match element.kind {
                ElementKind::Glyph { glyph, .. } => Some(glyph),
                _ => None,
            })
    }

    fn results(&self) -> Vec<GameResult> {
        let elements = self.game.elements.iter();
        let results = elements.filter_map(|element| match element.kind {
            ElementKind::Result(result) => Some(result),
            _ => None,
        });
        results.collect()
    }

    fn name(&self, ply: &Ply) -> String {
        let view = View {
            text: self.text,
            game: &self.game,
            replay: &self.replay,
            index: 1,
        };
        view.name(ply)
    }
}

fn in_game(game: usize, old: &Read<'_>, new: &Read<'_>) -> Option<Difference> {
    let mut there = new.tags();
    for (name, value) in old.tags() {
        if !there.any(|tag| tag == (name, value)) {
            let tag = format!(
                "{} \"{}\"",
                String::from_utf8_lossy(name),
                String::from_utf8_lossy(value)
            );
            return Some(Difference::Tag { game, tag });
        }
    }
    if !old.comments().eq(new.comments()) {
        return Some(Difference::Comments { game });
    }
    if !old.glyphs().eq(new.glyphs()) {
        return Some(Difference::Glyphs { game });
    }
    let (one, other) = (old.results(), new.results());
    let same = |(old, new): (&GameResult, &GameResult)| old == new || *old == GameResult::Unknown;
    let added = one.is_empty() && other.len() == 1;
    if !added && (one.len() != other.len() || !one.iter().zip(&other).all(same)) {
        return Some(Difference::Result { game });
    }
    let (one, other) = (&old.replay.plies, &new.replay.plies);
    for (old_ply, new_ply) in one.iter().zip(other) {
        if !same_move(old_ply, new_ply) {
            let moves = format!("{} is {} now", old.name(old_ply), new.name(new_ply));
            return Some(Difference::Moves { game, moves });
        }
    }
    if one.len() != other.len() {
        let moves = format!("{} are {} now", one.len(), other.len());
        return Some(Difference::Moves { game, moves });
    }
    // What stands behind a wrong move can show more once it is read in other letters.
    let unreached = Marks::LOST | Marks::ILLEGAL | Marks::UNREADABLE;
    if old.replay.marks.intersects(unreached) || old.replay.start.position.is_none() {
        return None;
    }
    let more = |(rule, count): (&&'static str, &usize)| {
        (old.found.get(rule).is_none_or(|known| known < count)).then_some(*rule)
    };
    let rule = new.found.iter().find_map(more)?;
    Some(Difference::Finding { game, rule })
}

fn same_move(old: &Ply, new: &Ply) -> bool {
    let place = old.parent == new.parent && old.depth == new.depth && old.count == new.count;
    let known = old.after.is_none() || (old.played == new.played && old.after == new.after);
    place && known
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(before: &str, after: &str) -> Option<String> {
        let settings = Settings::default();
        difference(before.as_bytes(), after.as_bytes(), Format::Pgn, &settings)
            .map(|difference| difference.to_string())
    }

    #[test]
    fn what_mending_may_do_is_no_difference() {
        let before = "[White \"Osk\"]\n\n1.e4 e5 3. Qh5 Ke7 3. Qe5 {at last}\n";
        let after =
            "[Event \"?\"]\n[White \"Osk\"]\n\n1. e4 e5 2. Qh5 Ke7 3. Qxe5# {at last} 1-0\n";
        assert_eq!(told(before, after), None);
    }

    #[test]
    fn every_loss_is_told() {
        let text = "[Event \"?\"]\n[White \"Osk\"]\n\n1. e4 {good} e5 $1 (1... c5) 2. Nf3 0-1\n";
        for (from, to, words) in [
            ("Osk", "Osc", "lost its tag White"),
            ("[White", "[Black", "lost its tag White"),
            ("good", "good ", "the same comments"),
            ("$1", "$2", "the same glyphs"),
            ("0-1", "1-0", "the same result"),
            ("0-1", "0-1 *", "the same result"),
            ("Nf3", "Nc3", "2.Nf3 is 2.Nc3 now"),
            ("c5)", "c5 2. Nf3)", "the same moves"),
            ("Nf3 0", "Nf3 Nc6 0", "4 are 5 now"),
            ("Nf3", "Nf3+", "a new finding: false-check-sign"),
            ("2. Nf3", "4. Nf3", "a new finding: wrong-move-number"),
            ("0-1\n", "0-1\n\n[Event \"?\"]\n\n*\n", "there are 2 games"),
        ] {
            let told = told(text, &text.replacen(from, to, 1)).unwrap_or_default();
            assert!(told.contains(words), "{from} to {to}: {told}");
        }
    }
}
