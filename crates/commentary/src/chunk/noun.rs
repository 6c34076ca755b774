//! Noun phrases for pieces.

use gainsay_notation::{Signs, WrittenMove};
use shakmaty::{Color, Role};

use super::adjectives::{ANY_TRAIT, Said, traits_of};
use super::chunker::Chunker;
use crate::chunks::ChunkKind;
use crate::noun::{Noun, Owner, Traits};
use crate::set::Set;
use crate::token::TokenKind;
use crate::wording::{Nuance, Wording};

/// The sets of all that may stand between article and noun as an adjective.
const ADJECTIVES: u128 = ANY_TRAIT
    | Set::Adjective.bit()
    | Set::White.bit()
    | Set::Black.bit()
    | Set::Enemy.bit()
    | Set::Opponent.bit();

impl Chunker<'_> {
    /// Reads a noun phrase for a piece at the current token, if there is one:
    /// `[owner] [count] [adjectives] [square or file] piece [adjectives] [on square]`, where the
    /// language has its adjectives in front, behind or both.
    pub(super) fn noun(&mut self) -> bool {
        let Some((noun, end)) = self.noun_at(self.at) else {
            return false;
        };
        self.push(end, ChunkKind::Noun(noun));
        true
    }

    #[allow(clippy::too_many_lines)] // One phrase, read from left to right.
    fn noun_at(&self, start: usize) -> Option<(Noun, usize)> {
        // "In game 3 the knight", "in game 3 White's knight"
        let sense = self.sense(start + 1);
        let named = sense.is(Set::White) || sense.is(Set::Black);
        if matches!(self.token(start), Some(TokenKind::Number(_)))
            && (sense.is(Set::Det) || sense.is(Set::His) || named && self.possessive(start + 2))
        {
            return None;
        }
        // "On h4 the bishop does nothing", "on f7 two white pieces meet": it does not stand there.
        if matches!(self.token(start), Some(TokenKind::Square(_))) {
            let on = start.checked_sub(1).is_some_and(|at| self.is(at, Set::On));
            // "До a7 слон не достаёт", but "der e4-Bauer": only a hyphen joins them there.
            let glued = self.text.get(self.span(start).end as usize) == Some(&b'-');
            if sense.is(Set::Det) || on || self.senses.free_order() && !glued {
                return None;
            }
        }
        let mut at = start;
        let mut owner = Owner::Anyone;
        let mut count = None;
        let mut determined = false;
        // "У белых лишняя пешка" says that there is one.
        let mut had = false;
        let mut file = None;
        let mut square = None;
        let mut traits = Traits::default();
        let mut wording = Wording::default();
        // Where the words begin that claim no more than that the piece is there.
        let mut bare = start;
        let before = self.senses.adjectives().stand_before();
        // In front of the noun: at most eight words, so that reading stays linear.
        for _ in 0..8 {
            let sense = self.sense(at);
            // "У белых ладья": the case of a side says nothing of the piece.
            let side = sense.is_any(Set::White.bit() | Set::Black.bit());
            let cases = Nuance::Subject.bit() | Nuance::Object.bit();
            let word = Wording::word(sense.nuances & if side { !cases } else { !0 });
            wording = if at == start { word } else { wording.and(word) };
            match self.token(at)? {
                TokenKind::Name(color) => {
                    // A name owns a piece only with an 's behind it.
                    if !self.possessive(at + 1) {
                        return None;
                    }
                    owner = Owner::Side(color);
                    at += 1;
                }
                TokenKind::Word { .. } if !sense.opens_noun => {
                    // "a passed and protected pawn", "Black's"
                    if !(self.joins_adjectives(at, traits) || at > start && self.possessive(at)) {
                        return None;
                    }
                }
                TokenKind::Word { .. } if sense.piece.is_some() => break,
                // "Aislado el peón": that is said of no noun in front.
                TokenKind::Word { .. } if sense.is_any(ADJECTIVES) && !before => return None,
                TokenKind::Word { .. } => {
                    if sense.is_any(ANY_TRAIT) {
                        bare = at + 1;
                        traits = traits.with(traits_of(sense));
                    }
                    if (sense.is(Set::Light) || sense.is(Set::Dark))
                        && self.is(at + 1, Set::SquareWord)
                    {
                        // "light-squared": no owner, though the word may be "white".
                        traits = traits.with(if sense.is(Set::Light) {
                            Traits::LIGHT
                        } else {
                            Traits::DARK
                        });
                        at += 1;
                    } else if sense.is(Set::White) || sense.is(Set::Black) {
                        owner = Owner::Side(Color::from_white(sense.is(Set::White)));
                        had = sense.is(Set::Owned);
                    } else if sense.is_any(Set::His.bit() | Set::Det.bit()) && square.is_some() {
                        // "The knight did its work on d6, my queen looked on."
                        return None;
                    } else if sense.is(Set::His) {
                        owner = match self.author {
                            Some(author) if sense.is(Set::Me) => Owner::Side(author),
                            _ if sense.is(Set::Me) => Owner::Mine,
                            _ => Owner::He,
                        };
                        determined = true;
                    } else if sense.is(Set::Enemy) || sense.is(Set::Opponent) {
                        owner = Owner::Other;
                    } else if sense.is(Set::Both) {
                        count = Some(2);
                    } else if let Some(number) = sense.number {
                        count = Some(number);
                    } else if sense.is(Set::Det) {
                        // In "Black pinned the knight" the noun begins at the article.
                        if determined || owner != Owner::Anyone || !traits.is_empty() {
                            return None;
                        }
                        determined = true;
                    } else if !(sense.is(Set::Adjective) || at > start && self.possessive(at)) {
                        return None;
                    }
                }
                TokenKind::Number(value) => count = u8::try_from(value).ok(),
                TokenKind::Square(at_square) => square = Some(at_square),
                TokenKind::File(at_file) => file = Some(at_file),
                // "The Nf3", but "a Kb1" is a move.
                TokenKind::Move(written)
                    if determined && at > start && !wording.begins(Nuance::Any) =>
                {
                    return self.noun_of_move(start, at, &written, owner);
                }
                _ => return None,
            }
            at += 1;
            // "the e5 and d4 pawns": a pawn on each of them.
            if (square.is_some() || file.is_some()) && self.lists_pawns(at) {
                let noun = Noun {
                    span: self.span(start).to(self.span(at - 1)),
                    role: Some(Role::Pawn),
                    owner,
                    square,
                    file,
                    plural: false,
                    count: None,
                    traits,
                    determined: true,
                    wording,
                    bare: self.span(bare).to(self.span(at - 1)),
                    apposed: false,
                };
                return Some((noun, at));
            }
        }
        let piece = self.sense(at).piece?;
        // "L'aile dame", "el flanco de dama"
        let behind = self.senses.adjectives().stand_behind() && at == start;
        let word = |back: usize, sets: u128| {
            let before = at.checked_sub(back);
            before.is_some_and(|at| self.sense(at).is_any(sets))
        };
        let of = Set::On.bit() | Set::Owned.bit();
        let adjunct = Set::Adjunct.bit();
        if behind && (word(1, adjunct) || word(1, of) && word(2, adjunct)) {
            return None;
        }
        // "A passer" is a passed pawn, "an isolani" an isolated one, "ein Mehrbauer" an extra one.
        traits = traits.with(traits_of(self.sense(at)));
        at += 1;
        // "queen's side", "queen sacrifice", "pawn structure"
        let adjunct = self.is(at, Set::Adjunct) && (piece.plural || !self.acts(at));
        if self.possessive(at) && self.is(at + 1, Set::Adjunct) || adjunct {
            return None;
        }
        if self.senses.adjectives().stand_behind() {
            let mut said = Said { owner, traits };
            at = self.adjectives(at, piece.plural, &mut said);
            // "Los peones aislados son débiles" speaks of no position.
            let these = !piece.plural || count.is_some() || said.owner != Owner::Anyone;
            owner = said.owner;
            traits = if these { said.traits } else { traits };
        }
        if let Some((color, behind)) = self.owned_by(at)
            && owner == Owner::Anyone
        {
            owner = Owner::Side(color);
            at = behind;
        }
        // A bare "queen" may be a verb: "can queen", "to queen".
        if at - start == 1
            && at >= 2
            && (self.is(at - 2, Set::Would) || self.is(at - 2, Set::Future))
        {
            return None;
        }
        let mut apposed = false;
        let mut one = false;
        // "The pawn of e4": nothing stands between.
        let of = self.is(at, Set::Of) && matches!(self.token(at + 1), Some(TokenKind::Square(_)));
        if square.is_none() && (of || self.is(at, Set::On)) {
            // "On the square e5"
            let mut behind = at + 1;
            behind += usize::from(self.is(behind, Set::Det));
            behind += usize::from(self.is(behind, Set::SquareWord));
            match self.token(behind) {
                // "His eye with the knight on the d3-pawn": the knight stands elsewhere.
                Some(TokenKind::Square(_)) if self.names_piece(behind) => {}
                Some(TokenKind::Square(on)) => {
                    square = Some(on);
                    at = behind + 1;
                }
                Some(TokenKind::File(on)) if file.is_none() && self.token(behind + 1).is_some() => {
                    file = Some(on);
                    at = behind + 2;
                }
                _ => {}
            }
        } else if square.is_none()
            && let Some(TokenKind::Square(on)) = self.token(at)
        {
            // "Bishop d6"; "пешки e5" is of one pawn where no other square is joined.
            let joined = self.is(at + 1, Set::And)
                || matches!(
                    self.token(at + 1),
                    Some(TokenKind::Comma | TokenKind::Slash)
                );
            one = piece.plural && count.is_none() && self.senses.free_order() && !joined;
            if !piece.plural || one {
                square = Some(on);
                apposed = true;
                at += 1;
            }
        }
        if let Some((color, behind)) = self.owned_by(at)
            && owner == Owner::Anyone
        {
            owner = Owner::Side(color);
            at = behind;
        }
        let noun = Noun {
            span: self.span(start).to(self.span(at - 1)),
            role: piece.role,
            owner,
            square,
            file,
            // "Два слона" has the singular behind it.
            plural: piece.plural && !one || !determined && count.is_some_and(|count| count > 1),
            count,
            traits,
            determined: determined || owner != Owner::Anyone && !had,
            wording,
            bare: self.span(bare).to(self.span(at - 1)),
            apposed,
        };
        Some((noun, at))
    }

    /// The side at token `at` that a piece in front belongs to, and the token behind: "la tour des
    /// Blancs", "ладья белых".
    fn owned_by(&self, at: usize) -> Option<(Color, usize)> {
        if !self.is(at, Set::Owned) {
            return None;
        }
        let side = |at: usize| {
            let sense = self.sense(at);
            let named = sense.is_any(Set::White.bit() | Set::Black.bit());
            named.then(|| Color::from_white(sense.is(Set::White)))
        };
        if let Some(color) = side(at) {
            return Some((color, at + 1));
        }
        let behind = at + 1 + usize::from(self.is(at + 1, Set::Det));
        // "Die Dame von Weißem Turm" and "de blancas torres" go on.
        let adjective = self.sense(behind + 1).piece.is_some();
        side(behind)
            .filter(|_| !adjective)
            .map(|color| (color, behind + 1))
    }

    /// Whether the word at token `at` is a verb that has an object: "the rook pins the knight".
    fn acts(&self, at: usize) -> bool {
        let object = self.sense(at + 1);
        self.is(at, Set::Acts)
            && (object
                .is_any(Set::Det.bit() | Set::His.bit() | Set::White.bit() | Set::Black.bit())
                || object.piece.is_some()
                || matches!(self.token(at + 1), Some(TokenKind::Square(_))))
    }

    /// Whether the square at token `at` belongs to a piece directly behind it: "g4-pawn".
    fn names_piece(&self, at: usize) -> bool {
        let joined = self.text.get(self.span(at).end as usize) == Some(&b'-');
        self.sense(at + 1).piece.is_some() && (joined || self.is(at.wrapping_sub(1), Set::Det))
    }

    /// "the Nf3", "Black's Be6": a piece on its square, unless a word such as "idea"
    /// follows, or "move" stands in front.
    fn noun_of_move(
        &self,
        start: usize,
        at: usize,
        written: &WrittenMove,
        owner: Owner,
    ) -> Option<(Noun, usize)> {
        let (role, to) = written.shape.piece_and_square()?;
        let glyph = matches!(
            self.token(at + 1),
            Some(TokenKind::Glyph(_) | TokenKind::Move(_))
        );
        if written.signs != Signs::None
            || glyph
            || role == Role::Pawn
            // "Note that Be7 was no better."
            || at > start && self.is(at - 1, Set::This)
            || self.is(at + 1, Set::Adjunct)
            || self.is(at + 1, Set::Plan)
        {
            return None;
        }
        let noun = Noun {
            span: self.span(start).to(self.span(at)),
            role: Some(role),
            owner,
            square: Some(to),
            file: None,
            plural: false,
            count: None,
            traits: Traits::default(),
            determined: true,
            wording: Wording::default(),
            bare: self.span(start).to(self.span(at)),
            apposed: false,
        };
        Some((noun, at + 1))
    }

    /// Whether the square or file in front of token `at` begins a list of them, which ends
    /// with the word for pawns: "the e5 and d4 pawns", "his a-, c- and g-pawns".
    fn lists_pawns(&self, at: usize) -> bool {
        // "The rook on d1, e4 pawns and all"
        if at >= 2 && self.is(at - 2, Set::On) {
            return false;
        }
        let mut more = false;
        // There are no more than eight files, with a comma and "and" between two of them.
        for behind in at..at + 24 {
            match self.token(behind) {
                Some(TokenKind::Comma | TokenKind::Slash) => more = false,
                Some(TokenKind::Square(_) | TokenKind::File(_)) if behind > at && !more => {
                    more = true;
                }
                Some(TokenKind::Word { .. }) if self.is(behind, Set::And) => more = false,
                Some(TokenKind::Word { .. }) if more => {
                    let piece = self.sense(behind).piece;
                    return piece.is_some_and(|piece| piece.role == Some(Role::Pawn));
                }
                _ => return false,
            }
        }
        false
    }

    /// Whether the token is `'s`.
    fn possessive(&self, at: usize) -> bool {
        matches!(self.token(at), Some(TokenKind::Word { .. }))
            && self
                .span(at)
                .of(self.text)
                .first()
                .is_some_and(|&byte| byte == b'\'' || byte == 0xe2)
            && self.span(at).of(self.text).last() == Some(&b's')
    }
}
