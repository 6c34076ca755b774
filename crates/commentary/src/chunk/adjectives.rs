//! What adjectives say of a piece, and those behind its noun: "el peón aislado", "la torre blanca".

use shakmaty::Color;

use super::chunker::Chunker;
use crate::noun::{Owner, Traits};
use crate::sense::Sense;
use crate::set::Set;
use crate::token::TokenKind;

/// The adjectives that say something of a piece.
const TRAITS: [(Set, Traits); 12] = [
    (Set::Passed, Traits::PASSED),
    (Set::Isolated, Traits::ISOLATED),
    (Set::Doubled, Traits::DOUBLED),
    (Set::Tripled, Traits::TRIPLED),
    (Set::Backward, Traits::BACKWARD),
    (Set::Pinned, Traits::PINNED),
    (Set::Trapped, Traits::TRAPPED),
    (Set::Loose, Traits::LOOSE),
    (Set::Hanging, Traits::HANGING),
    (Set::Extra, Traits::EXTRA),
    (Set::Connected, Traits::CONNECTED),
    (Set::Protected, Traits::PROTECTED),
];

/// The sets of all of them.
pub(super) const ANY_TRAIT: u128 = {
    let mut any = 0;
    let mut at = 0;
    while at < TRAITS.len() {
        any |= TRAITS[at].0.bit();
        at += 1;
    }
    any
};

/// What a word says of a piece as an adjective.
pub(super) fn traits_of(sense: &Sense) -> Traits {
    let said = TRAITS.into_iter().filter(|&(set, _)| sense.is(set));
    said.fold(Traits::default(), |all, (_, known)| all.with(known))
}

/// Words behind a noun that are looked at, at most.
const MOST: usize = 6;

/// What adjectives say.
#[derive(Clone, Copy, Debug)]
pub(super) struct Said {
    /// Whose the piece is.
    pub(super) owner: Owner,
    pub(super) traits: Traits,
}

impl Chunker<'_> {
    /// Reads the adjectives from token `at` on, behind a noun of which `said` is said in front;
    /// returns the token behind them.
    pub(super) fn adjectives(&self, mut at: usize, plural: bool, said: &mut Said) -> usize {
        for _ in 0..MOST {
            let sense = self.sense(at);
            if !matches!(self.token(at), Some(TokenKind::Word { .. })) {
                break;
            }
            let anyones = said.owner == Owner::Anyone;
            // "Le fou cloue la tour" pins, "le fou cloué" is pinned.
            let plain = self.span(at).of(self.text).ends_with(b"e");
            if sense.is(Set::Acts) && plain {
                break;
            }
            if sense.is_any(ANY_TRAIT) {
                said.traits = said.traits.with(traits_of(sense));
            } else if anyones && sense.is_any(Set::White.bit() | Set::Black.bit()) {
                // "Con la torre blancas ganan": a colour that does not agree is a side.
                if !plural && self.span(at).of(self.text).ends_with(b"s") {
                    break;
                }
                said.owner = Owner::Side(Color::from_white(sense.is(Set::White)));
            } else if anyones && sense.is_any(Set::Enemy.bit() | Set::Opponent.bit()) {
                said.owner = Owner::Other;
            } else if !sense.is(Set::Adjective) && !self.joins_adjectives(at, said.traits) {
                break;
            }
            at += 1;
        }
        at
    }

    /// Whether "and" at token `at` joins two adjectives of one piece: "pasado y aislado".
    pub(super) fn joins_adjectives(&self, at: usize, traits: Traits) -> bool {
        let sense = self.sense(at);
        let and = sense.is(Set::And) && !sense.is(Set::Or);
        and && !traits.is_empty() && self.sense(at + 1).is_any(ANY_TRAIT)
    }
}
