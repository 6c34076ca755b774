//! The language of the piece letters.

use gainsay_notation::{
    Element, ElementKind, Game, Language, Oddities, WrittenMove, WrittenShape, parse_move,
};
use shakmaty::{Chess, Role};

use super::parts::Replay;
use crate::{
    marks::Marks,
    resolve::{Resolution, resolve},
};

/// The move at an element, in the letters of `language`.
pub(super) fn written(text: &[u8], element: &Element, language: Language) -> Option<WrittenMove> {
    match element.kind {
        ElementKind::Move(written) if language == Language::English => Some(written),
        ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
            read(text, element, language)
        }
        _ => None,
    }
}

fn read(text: &[u8], element: &Element, language: Language) -> Option<WrittenMove> {
    parse_move(
        gainsay_notation::decode(element.span.of(text)).as_bytes(),
        language,
    )
}

/// How the moves of a game look in the letters of one language.
#[derive(Clone, Copy, Debug, Default)]
struct Letters {
    /// The moves whose letter names a piece. The letter of a pawn does not count, since
    /// hardly anybody writes it.
    named: usize,
    /// The words with the shape of a move that this language does not have.
    unread: usize,
}

/// What a walk through the game in the letters of one language came to.
#[derive(Clone, Copy, Debug)]
struct Walked {
    language: Language,
    /// The moves that could be played.
    playable: usize,
}

/// Whether the words of a game leave room for another language than English: a word that
/// is no English move, or a pawn with its letter, which is the knight of another language.
pub(super) fn may_be_foreign(game: &Game) -> bool {
    game.elements.iter().any(|element| match element.kind {
        ElementKind::Word { movelike } => movelike,
        ElementKind::Move(written) => written.oddities.contains(Oddities::PAWN_LETTER),
        _ => false,
    })
}

impl Replay {
    /// Reads the game, which was walked through in English letters, in those of the
    /// language that reads most of its words, if that is another one. Wrong moves do not
    /// hide it, since all words of all lines are asked; which moves can be played decides
    /// only between languages that read as many.
    pub(super) fn recognise(&mut self, text: &[u8], game: &Game) {
        let count = Language::ALL.len();
        let mut letters = vec![Letters::default(); count];
        for element in &game.elements {
            if !matches!(
                element.kind,
                ElementKind::Move(_) | ElementKind::Word { movelike: true }
            ) {
                continue;
            }
            for (language, letters) in Language::ALL.into_iter().zip(&mut letters) {
                match written(text, element, language) {
                    Some(written) => letters.named += usize::from(names_a_piece(&written)),
                    None => letters.unread += 1,
                }
            }
        }
        let of = |language: Language| letters.get(language as usize).copied().unwrap_or_default();
        let english = of(Language::English).named;
        let most = letters.iter().map(|letters| letters.named).max();
        let Some(most) = most.filter(|&most| most > english) else {
            return;
        };
        let in_english = self.playable();
        let mut tried: Vec<[&str; 6]> = Vec::new();
        let mut walked: Vec<Walked> = Vec::new();
        for language in Language::ALL {
            if of(language).named < most || tried.contains(&language.letters()) {
                continue;
            }
            tried.push(language.letters());
            self.walk(text, game, language);
            walked.push(Walked {
                language,
                playable: self.playable(),
            });
        }
        let furthest = walked.iter().map(|walked| walked.playable).max();
        walked.retain(|walked| Some(walked.playable) == furthest);
        let Some(best) = walked.first().copied() else {
            return;
        };
        // Where no move speaks for the language, one word of it may be a slip of the pen.
        let chosen = best.playable > in_english
            || (best.playable == in_english && most > english.saturating_add(1));
        if !chosen {
            self.walk(text, game, Language::English);
            return;
        }
        if self.language != best.language {
            self.walk(text, game, best.language);
        }
        let same = |element: &Element| {
            let shape =
                |walked: &Walked| read(text, element, walked.language).map(|written| written.shape);
            let first = shape(&best);
            walked.iter().skip(1).all(|other| shape(other) == first)
        };
        self.sure = best.playable > in_english
            && of(best.language).unread == 0
            && !self.marks.intersects(Marks::PAWN_OR_PIECE)
            && game.elements.iter().all(same);
    }

    /// How many moves of the game can be played.
    fn playable(&self) -> usize {
        self.plies.iter().filter(|ply| ply.after.is_some()).count()
    }
}

/// Whether a letter of the alphabet in the move names a piece.
fn names_a_piece(written: &WrittenMove) -> bool {
    let figurine = written.oddities.contains(Oddities::FIGURINE);
    match written.shape {
        WrittenShape::To {
            role, promotion, ..
        } => !figurine && (role != Role::Pawn || promotion.is_some()),
        WrittenShape::PawnCapture { promotion, .. } => !figurine && promotion.is_some(),
        WrittenShape::Descriptive(_) | WrittenShape::Castles => true,
        WrittenShape::Castle(_) | WrittenShape::Null => false,
    }
}

/// Whether the letter before a pawn's move is that of a piece in another language, and
/// that piece could go there as well.
pub(super) fn may_be_a_piece(
    text: &[u8],
    element: &Element,
    written: &WrittenMove,
    position: &Chess,
) -> bool {
    let first = element.span.of(text).first();
    let letter = first.map_or(' ', |&byte| char::from(byte.to_ascii_uppercase()));
    Language::ALL.iter().any(|language| {
        language
            .role(letter)
            .filter(|&role| role != Role::Pawn)
            .is_some_and(|other| {
                let mut meant = *written;
                if let WrittenShape::To { role, .. } = &mut meant.shape {
                    *role = other;
                }
                !matches!(resolve(position, &meant), Resolution::Illegal)
            })
    })
}
