//! Other games of the book: what the pointers of a passage lead to.

use std::{ops::Range, sync::Arc};

use gainsay_commentary::{
    Claim, ClaimKind, Context, Names, OtherGame, Prose, Reader, Reference, Way, Which,
};
use gainsay_notation::{ElementKind, GameResult, Span};
use gainsay_proof::Verdict;

use super::{
    Pending,
    answer::Answer,
    scene::{Step, Tree},
};
use crate::{
    Settings, View, Within,
    book::{self, Found, Wrong},
    outcome::{Evidence, Fault, PlaceWhy, WrongPointer},
};

/// More pointers of one passage are not followed.
const MOST: usize = 16;

/// A game as others see it.
#[derive(Debug)]
pub(crate) struct Other {
    /// "game 3 (Lind–Moreau)"
    pub(super) title: String,
    /// The section of the book that it stands in.
    pub(super) section: Range<usize>,
    pub(super) tree: Arc<Tree>,
    /// Its main line.
    pub(super) main: Vec<Step>,
    pub(super) result: Option<GameResult>,
    names: Names,
    /// A fingerprint of its tags, moves and result.
    print: blake3::Hash,
}

impl Other {
    /// `None` where its first position is not known.
    pub(crate) fn of(
        view: &View<'_>,
        title: String,
        names: Names,
        section: Range<usize>,
    ) -> Option<Self> {
        let replay = view.replay;
        replay.start.position.as_ref()?;
        let mut main = Vec::new();
        for ply in replay.plies.iter().filter(|ply| ply.depth == 0) {
            let (Some(before), Some(after)) = (replay.before(ply), &ply.after) else {
                break;
            };
            main.push(Step {
                before: before.clone(),
                mv: ply.played,
                after: after.clone(),
            });
        }
        let mut hasher = blake3::Hasher::new();
        let tags = view.game.tags.iter().map(|tag| tag.span);
        let elements = view.game.elements.iter();
        let moves = elements.filter(|element| !matches!(element.kind, ElementKind::Comment { .. }));
        for span in tags.chain(moves.map(|element| element.span)) {
            hasher.update(span.of(view.text));
            hasher.update(b"\n");
        }
        Some(Self {
            title,
            section,
            tree: Arc::new(Tree::of(view)),
            main,
            result: book::result(view),
            names,
            print: hasher.finalize(),
        })
    }
}

/// A pointer of a passage with what it leads to.
#[derive(Debug)]
pub(super) struct Pointed {
    /// Where the pointer begins in the passage, and its sentence.
    at: u32,
    sentence: u32,
    pub(super) found: Found,
    /// The players' names as they are written.
    players: Option<[String; 2]>,
}

/// A place in a book, seen from the game that begins at `here`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lookout<'b> {
    pub(super) within: Within<'b>,
    pub(super) here: Option<usize>,
}

impl<'b> Lookout<'b> {
    /// From a game, if it may point at others at all.
    pub(super) fn of(view: &View<'_>, within: Option<Within<'b>>) -> Option<Self> {
        let within = within.filter(|_| book::comments_may_point(view))?;
        let here = book::start_of(view).map(|start| start + within.base);
        Some(Self { within, here })
    }

    /// Looks up the pointers of `prose`, which is what `passage` says. What is told of
    /// another game is read again with the names of its players.
    pub(super) fn look_up(
        &self,
        reader: &mut Reader,
        passage: &[u8],
        context: &Context,
        prose: &mut Prose,
        settings: &Settings,
    ) -> Vec<Pointed> {
        let pointers: Vec<(Claim, OtherGame)> = (prose.claims.iter())
            .filter_map(|claim| Some((claim.clone(), pointer(claim)?)))
            .take(MOST)
            .collect();
        let mut all = Vec::new();
        for (claim, game) in pointers {
            let players = game.players.map(|names| names.map(|name| name.of(passage)));
            let found = self.within.book.find(&game, players, self.here, settings);
            if let [other] = found.games.as_slice()
                && !other.names.is_empty()
            {
                let context = Context {
                    names: other.names.clone(),
                    ..context.clone()
                };
                let mut theirs = Prose::default();
                reader.read(passage, &context, &mut theirs);
                take_sentence(prose, theirs, claim.sentence);
            }
            let said = |span: Span| gainsay_notation::decode(span.of(passage)).into_owned();
            all.push(Pointed {
                at: claim.span.start,
                sentence: claim.sentence,
                found,
                players: game.players.map(|names| names.map(said)),
            });
        }
        all
    }
}

pub(super) fn pointer(claim: &Claim) -> Option<OtherGame> {
    match claim.kind {
        ClaimKind::Reference(Reference::Game(game)) => Some(game),
        _ => None,
    }
}

/// Replaces the claims of a sentence by those of another reading, if that sees the same
/// lines and the same pointer.
fn take_sentence(prose: &mut Prose, theirs: Prose, sentence: u32) {
    let of = |prose: &Prose| {
        let mut claims = prose.claims.iter();
        let start = claims.position(|claim| claim.sentence == sentence)?;
        let rest = prose.claims.iter().skip(start);
        let length = rest.take_while(|claim| claim.sentence == sentence).count();
        Some(start..start + length)
    };
    let pointers = |prose: &Prose, range: &Range<usize>| {
        let claims = prose.claims.get(range.clone()).unwrap_or_default();
        let pointers = claims.iter().filter(|claim| pointer(claim).is_some());
        pointers.map(|claim| claim.span).collect::<Vec<_>>()
    };
    if theirs.moves != prose.moves {
        return;
    }
    if let (Some(own), Some(other)) = (of(prose), of(&theirs))
        && pointers(prose, &own) == pointers(&theirs, &other)
        && let Some(claims) = theirs.claims.get(other)
    {
        prose.claims.splice(own, claims.iter().cloned());
    }
}

/// What all that `pointed` leads to depends on, as bytes for a fingerprint.
pub(super) fn print(pointed: &[Pointed], into: &mut Vec<u8>) {
    for Pointed { found, .. } in pointed {
        let Found {
            games,
            certain,
            wrong,
        } = found;
        into.extend_from_slice(format!("{} {certain} {wrong:?} ", games.len()).as_bytes());
        for game in games {
            into.extend_from_slice(game.title.as_bytes());
            into.extend_from_slice(game.print.as_bytes());
        }
    }
}

impl Pending {
    /// What the only pointer of this claim's sentence leads to.
    pub(super) fn told_game(&self) -> Option<&Found> {
        let mut pointed = self.comment.pointed.iter();
        let found = pointed.find(|pointed| pointed.sentence == self.claim.sentence)?;
        Some(&found.found)
    }

    /// Settles that there is such a game.
    pub(super) fn settle_other_game(&self, game: &OtherGame) -> Answer {
        let mut pointed = self.comment.pointed.iter();
        let Some(pointed) = pointed.find(|pointed| pointed.at == self.claim.span.start) else {
            return Answer::unsettled();
        };
        if let Some(wrong) = &pointed.found.wrong {
            return self.wrong_pointer(game, pointed, wrong);
        }
        let games = pointed.found.games.iter();
        let titles: Vec<Evidence> = games
            .map(|game| Evidence::Game(game.title.clone()))
            .collect();
        if titles.is_empty() {
            return Answer::unsettled();
        }
        titles
            .into_iter()
            .fold(Answer::new(Verdict::Holds), Answer::showing)
    }

    fn wrong_pointer(&self, game: &OtherGame, pointed: &Pointed, wrong: &Wrong) -> Answer {
        let Which::Number(number) = game.which else {
            return Answer::unsettled();
        };
        let below = game.way.is_some_and(|said| said.way == Way::Above);
        let (why, remedy) = match wrong {
            Wrong::Players { number, other } => (
                WrongPointer::Players {
                    players: pointed.players.clone().unwrap_or_default(),
                    number: *number,
                    other: other.clone(),
                },
                Some((game.number, number.to_string())),
            ),
            Wrong::Way => {
                let other = game.way.map(|said| (said.span, said.other.to_owned()));
                (WrongPointer::Way { number, below }, other)
            }
            Wrong::Beyond(end) => (
                WrongPointer::Beyond {
                    number,
                    end: *end,
                    down: !below,
                },
                None,
            ),
            Wrong::Missing { below, above } => (
                WrongPointer::Missing {
                    number,
                    below: *below,
                    above: *above,
                },
                None,
            ),
        };
        let mut fault = Fault::of(PlaceWhy::WrongGame(why));
        if let Some((span, text)) = remedy {
            fault = fault.or(span.start..span.end, text);
        }
        Answer::new(Verdict::Fails).found(fault)
    }
}
