//! What the pointers of a passage lead to in the book.

use std::ops::Range;

use gainsay_commentary::{Claim, ClaimKind, Context, OtherGame, Prose, Reader, Reference};
use gainsay_notation::Span;

use crate::{
    book::{self, Found, Within},
    quote::quoted,
    replay::View,
    settings::Settings,
};

/// More pointers of one passage are not followed.
const MOST: usize = 16;

/// A pointer of a passage with what it leads to.
#[derive(Debug)]
pub(crate) struct Pointed {
    /// Where the pointer begins in the passage, and its sentence.
    pub(crate) at: u32,
    pub(crate) sentence: u32,
    pub(crate) found: Found,
    /// The players' names as they are written.
    pub(crate) players: Option<[String; 2]>,
}

/// A place in a book, seen from the game that begins at `here`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lookout<'b> {
    pub(crate) within: Within<'b>,
    pub(crate) here: Option<usize>,
}

impl<'b> Lookout<'b> {
    /// From a game, if it may point at others at all.
    pub(crate) fn of(view: &View<'_>, within: Option<Within<'b>>) -> Option<Self> {
        let within = within.filter(|_| book::comments_may_point(view))?;
        let here = book::start_of(view).map(|start| start + within.base);
        Some(Self { within, here })
    }

    /// Looks up the pointers of `prose`, which is what `passage` says. What is told of
    /// another game is read again with the names of its players.
    pub(crate) fn look_up(
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
            let said = |span: Span| quoted(passage, span);
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

pub(crate) fn pointer(claim: &Claim) -> Option<OtherGame> {
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
pub(crate) fn print(pointed: &[Pointed], into: &mut Vec<u8>) {
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
