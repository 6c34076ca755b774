//! Adjectives behind the noun for a piece: "el peón aislado", "la torre blanca".

use shakmaty::Color;

use super::chunker::Chunker;
use super::noun::{ANY_TRAIT, traits_of};
use crate::noun::{Owner, Traits};
use crate::set::Set;
use crate::token::TokenKind;

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
