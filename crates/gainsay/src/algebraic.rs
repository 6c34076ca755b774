//! Old notation in algebraic: the moves of games and those that words cite, one by one.

use std::ops::Range;

use gainsay_notation::{Language, Oddities, SectionKind, WrittenMove, parse_move};
use shakmaty::{Move, Position};

use crate::{
    edition::Edition,
    marks::Marks,
    mending::{Mended, apply},
    question::meaning,
    reading::Reading,
    replay::{Ply, View},
    report::Edit,
    resolve::Resolution,
    settings::Settings,
    show, spelling,
    spoken::CitedStep,
};

/// The edits that write the moves of piece `at` in algebraic notation, with the piece letters of
/// `language`: those in descriptive notation (`P-K4`) and, where these are not the letters of the
/// text, all others, in games and in words. The words themselves stay.
///
/// A move stays as it is where it cannot be played, where it can mean several moves, where a move
/// before it was guessed, and in words also where readings differ on it. Signs that are false
/// stay, for their rules to tell.
///
/// Offsets are relative to the piece, and the edits can be written into the file
/// ([`Edition::writable`]).
///
/// ```
/// use gainsay::{Document, Format, Language, Settings, algebraic, apply};
/// let text = b"1. P-K4 {Not 1. P-Q4.} P-K4 2. Kt-KB3 *\n";
/// let document = Document::open(text, Format::Pgn);
/// let told = algebraic(&document, 0, Language::English, &Settings::default());
/// assert_eq!(apply(text, &told.edits), b"1. e4 {Not 1. d4.} e5 2. Nf3 *\n");
/// ```
#[must_use]
pub fn algebraic(
    edition: &Edition<'_>,
    at: usize,
    language: Language,
    settings: &Settings,
) -> Mended {
    let Some(piece) = edition.pieces().get(at) else {
        return Mended::default();
    };
    let text = edition.bytes_of(piece);
    let settings = &Settings {
        claims: true,
        ..settings.clone()
    };
    let mut edits = match piece.kind {
        SectionKind::Games => of_games(text, language, settings).unwrap_or_default(),
        SectionKind::Epd | SectionKind::Prose | SectionKind::Board => Vec::new(),
    };
    if matches!(piece.kind, SectionKind::Games | SectionKind::Prose) {
        let cited = edition.questions(at, settings).cited();
        edits.extend(
            cited
                .iter()
                .filter_map(|step| of_cited(text, step, language)),
        );
    }
    edits.sort_by_key(|edit| edit.span.start);
    edits.dedup_by(|later, earlier| later.span.start < earlier.span.end);
    let mended = Mended {
        made: edits.len(),
        edits,
        ..Mended::default()
    };
    edition.writable(piece, mended)
}

/// Whether a text may hold moves in descriptive notation: what costs next to nothing to ask.
#[must_use]
pub fn may_be_old(text: &[u8]) -> bool {
    let letter = |byte: u8| matches!(byte, b'K' | b'Q' | b'R' | b'B' | b'N' | b'P' | b't');
    memchr::memchr2_iter(b'-', b'x', text).any(|at| {
        let side = |at: Option<usize>| at.and_then(|at| text.get(at)).copied().unwrap_or(b' ');
        let before = side(at.checked_sub(1));
        let behind = side(Some(at + 1));
        (letter(before) || matches!(before, b')' | b' ' | b'1'..=b'8'))
            && (letter(behind) || behind.is_ascii_whitespace())
    })
}

/// The edits of the moves of games; `None` where they would change a game.
fn of_games(text: &[u8], language: Language, settings: &Settings) -> Option<Vec<Edit>> {
    let reading = Reading::of(text, settings);
    let mut edits: Vec<Edit> = Vec::new();
    for view in reading.views(text) {
        let plies = view.replay.plies.iter();
        edits.extend(plies.filter_map(|ply| of_ply(&view, ply, language)));
    }
    let settings = &Settings {
        language: Some(language),
        ..settings.clone()
    };
    let after = apply(text, &edits);
    let after = Reading::of(&after, settings);
    let same = edits.is_empty() || played(&reading, text) == played(&after, text);
    same.then_some(edits)
}

/// The moves of all games, as they are played.
fn played(reading: &Reading, text: &[u8]) -> Vec<Option<Move>> {
    let views = reading.views(text);
    let plies = views.flat_map(|view| view.replay.plies.iter());
    plies.map(|ply| ply.played).collect()
}

fn of_ply(view: &View<'_>, ply: &Ply, language: Language) -> Option<Edit> {
    let guessed = Marks::AMBIGUOUS | Marks::NO_PROMOTION | Marks::PAWN_OR_PIECE | Marks::GUESSED;
    if !view.is_told(ply) || ply.marks.intersects(guessed) || ply.played.is_none() {
        return None;
    }
    let old = view.written(ply)?.oddities.contains(Oddities::DESCRIPTIVE);
    if !old && language == view.replay.language {
        return None;
    }
    let span = view.span(ply.element);
    let text = spelling::standard(view, ply, language)?;
    (span.of(view.text) != text.as_bytes()).then(|| Edit {
        span: span.range(),
        text,
    })
}

fn of_cited(text: &[u8], step: &CitedStep, language: Language) -> Option<Edit> {
    let words = text.get(step.span.clone())?;
    let m = step.played.filter(|_| step.sure)?;
    let reads = |written: &WrittenMove| match meaning(&step.before, written) {
        Resolution::Legal(found, _) => {
            found == m && !written.oddities.contains(Oddities::DESCRIPTIVE)
        }
        _ => false,
    };
    if parse_move(words, language).as_ref().is_some_and(reads) {
        return None;
    }
    let mut san = show::san(&step.before, m);
    if says_mate(text, &step.span) && step.after.is_checkmate() {
        san = san.trim_end_matches('#').to_owned();
    }
    let new = show::in_language(&san, language);
    (words != new.as_bytes()).then(|| Edit {
        span: step.span.clone(),
        text: new,
    })
}

/// Whether the word "mate" stands behind a move that words cite.
fn says_mate(text: &[u8], span: &Range<usize>) -> bool {
    let behind = text.get(span.end..).unwrap_or_default();
    let behind = behind.trim_ascii_start();
    let behind = behind.strip_prefix(b",").unwrap_or(behind);
    behind.trim_ascii_start().starts_with(b"mate")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Document, Format};

    fn written(text: &str, language: Language) -> String {
        let document = Document::open(text.as_bytes(), Format::Text);
        let mut out = Vec::new();
        for (at, piece) in document.pieces().iter().enumerate() {
            let told = algebraic(&document, at, language, &Settings::default());
            out.extend(apply(document.bytes_of(piece), &told.edits));
        }
        String::from_utf8(out).expect("UTF-8")
    }

    #[test]
    fn games_and_words_are_written_move_by_move() {
        let text = "[White \"Ada\"]\n\n1. P-K4 P-K4 2. Kt-KB3 {threatens KtxP} Kt-QB3\n\
                    3. B-B4 B-B4 {or 3. ... P-Q3; 4. P-Q4, B-Kt5 with a free game}\n\
                    4. Castles Kt-B3 *\n\nAfter 3. ... B-B4 White can play 4. P-B3 as well.\n";
        assert_eq!(
            written(text, Language::English),
            "[White \"Ada\"]\n\n1. e4 e5 2. Nf3 {threatens Nxe5} Nc6\n\
             3. Bc4 Bc5 {or 3. ... d6; 4. d4, Bg4 with a free game}\n\
             4. O-O Nf6 *\n\nAfter 3. ... Bc5 White can play 4. c3 as well.\n"
        );
        assert_eq!(
            written(text, Language::German),
            "[White \"Ada\"]\n\n1. e4 e5 2. Sf3 {threatens Sxe5} Sc6\n\
             3. Lc4 Lc5 {or 3. ... d6; 4. d4, Lg4 with a free game}\n\
             4. O-O Sf6 *\n\nAfter 3. ... Lc5 White can play 4. c3 as well.\n"
        );
    }

    #[test]
    fn long_forms_of_other_languages_are_read_in_games_and_words() {
        for (text, short) in [
            (
                "1. e2-e4 e7-e5 2. Sg1-f3 Sb8-c6 3. Lf1-c4 {Besser war 3. Lf1-b5 a7-a6 4. Lb5-a4.} \
                 Sg8-f6 4. 0-0 Lf8-c5 5. Tf1-e1 0-0 *\n",
                "{Besser war 3. Bb5 a7-a6 4. Ba4.}",
            ),
            (
                "1. e2-e4 e7-e5 2. Cg1-f3 Cb8-c6 3. Ff1-c4 {On joue aussi 3. Ff1-b5 a7-a6 4. \
                 Fb5-a4.} Cg8-f6 4. 0-0 Ff8-c5 5. Tf1-e1 0-0 *\n",
                "{On joue aussi 3. Bb5 a7-a6 4. Ba4.}",
            ),
            (
                "1. e2-e4 e7-e5 2. Cg1-f3 Cb8-c6 3. Af1-c4 {Mejor era 3. Af1-b5 a7-a6 4. Ab5-a4.} \
                 Cg8-f6 4. 0-0 Af8-c5 5. Tf1-e1 0-0 *\n",
                "{Mejor era 3. Bb5 a7-a6 4. Ba4.}",
            ),
        ] {
            let text = format!("[White \"Ada\"]\n\n{text}");
            let english = format!(
                "[White \"Ada\"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bc4 {short} Nf6 4. O-O Bc5 5. Re1 O-O *\n"
            );
            assert_eq!(written(&text, Language::English), english);
        }
    }

    #[test]
    fn what_is_wrong_or_open_stays_as_it_is() {
        for text in [
            // Two knights can go there, and what follows hangs on the guess.
            "[White \"Ada\"]\n\n1. P-Q4 P-Q4 2. Kt-KB3 Kt-KB3 3. Kt-Q2 P-K3 *\n",
            "[White \"Ada\"]\n\n1. P-K4 P-K4 2. Kt-K3 Kt-QB3 *\n",
        ] {
            let out = written(text, Language::English);
            let (kept, _) = text.split_at(text.len());
            let tail = kept.rfind(" 3. ").or_else(|| kept.rfind(" Kt-K3"));
            let tail = &kept[tail.expect("a tail")..];
            assert!(out.ends_with(tail), "{out}");
            assert!(
                out.contains("1. e4 e5 2.") || out.contains("1. d4 d5 2. Nf3 Nf6"),
                "{out}"
            );
        }
        // Nothing is written otherwise in a text in algebraic notation.
        let text = "[White \"Ada\"]\n\n1. e2-e4 {or d4, 1.Nf3} e5 0-1\n";
        assert_eq!(written(text, Language::English), text);
    }
}
