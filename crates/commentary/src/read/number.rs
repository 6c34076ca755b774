//! The number of moves that a claim says, as it is written.

use std::str::from_utf8;

use super::maker::Maker;
use crate::chunks::ChunkKind;
use crate::key::WordKey;
use crate::kind::{ClaimKind, Mate, OnlyMove, Stipulation, Threat};
use crate::number::{CountedNoun, NumberForm, WrittenNumber};
use crate::pattern::Slots;

impl Maker<'_> {
    /// The number of moves that a claim of `kind` says, as it is written in the slots of its
    /// phrase; `None` where it is not written by itself, or twice.
    pub(super) fn written_number(&self, kind: &ClaimKind, slots: &Slots) -> Option<WrittenNumber> {
        let value = moves(kind)?;
        let says = |&&at: &&usize| match self.kind(at) {
            Some(ChunkKind::Number(number)) => number == value,
            _ => self.sense(at).number.map(u32::from) == Some(value),
        };
        let mut places = slots.number_chunks.iter().filter(says);
        let (Some(&at), None) = (places.next(), places.next()) else {
            return None;
        };
        self.number_at(at, value)
    }

    /// The number `value` as it is written at chunk `at`.
    pub(super) fn number_at(&self, at: usize, value: u32) -> Option<WrittenNumber> {
        let span = self.span(at, at + 1);
        let form = match span.of(self.text).first() {
            Some(first) if !first.is_ascii_digit() => NumberForm::Word {
                capital: first.is_ascii_uppercase(),
            },
            _ => NumberForm::Digits,
        };
        Some(WrittenNumber {
            value,
            span,
            form,
            tongue: self.tongue,
            noun: self.counted_noun(at, value),
            ascii_only: *self.latin.get_or_init(|| from_utf8(self.text).is_err()),
        })
    }

    /// The noun that says what the number at chunk `at` counts, in the form behind it: a noun in
    /// another form ("a two-move mate") is not inflected by the number.
    fn counted_noun(&self, at: usize, value: u32) -> Option<CountedNoun> {
        /// So many words stand between them at most: "two quiet moves".
        const NEAR: usize = 3;
        (at + 1..=at + NEAR)
            .map_while(|at| match self.kind(at) {
                Some(ChunkKind::Word { capital }) => Some((at, capital)),
                _ => None,
            })
            .find_map(|(at, capital)| {
                let span = self.span(at, at + 1);
                let key = WordKey::folded(span.of(self.text));
                let is = |form: &&str| WordKey::folded(form.as_bytes()) == key;
                let nouns = self.tongue.data().counted.iter();
                let nth = nouns
                    .map(|noun| noun.forms(value))
                    .position(|forms| forms.iter().any(is));
                nth.map(|nth| CountedNoun { span, nth, capital })
            })
    }
}

/// The number of moves that a claim says.
const fn moves(kind: &ClaimKind) -> Option<u32> {
    match *kind {
        ClaimKind::Mate(Mate::In { moves, .. })
        | ClaimKind::OnlyMove(OnlyMove::Count(moves))
        | ClaimKind::Stipulation(Stipulation::Mate(moves)) => Some(moves),
        ClaimKind::Mate(Mate::Absent { moves }) | ClaimKind::Threat(Threat::Mate(moves)) => moves,
        _ => None,
    }
}
