//! Words that mend one thing about a move and leave everything else as it is written:
//! what rules of single signs offer.

use gainsay_notation::{
    CommentKind, Element, ElementKind, Language, Oddities, Signs, WrittenMove, parse_move,
};
use shakmaty::san::{San, SanPlus};

use crate::{
    marks::Marks,
    replay::{Ply, View},
    report::Edit,
    show,
};

/// The words of a move as they should be, but for what only the author can mend: a sign
/// of check, mate or capture that is false stays, so that its rule can tell it.
pub(crate) fn standard(view: &View<'_>, ply: &Ply, language: Language) -> Option<String> {
    let written = view.written(ply)?;
    let guessed = Marks::AMBIGUOUS | Marks::NO_PROMOTION | Marks::PAWN_OR_PIECE;
    let played = ply.played.filter(|_| !ply.marks.intersects(guessed));
    let (Some(m), Some(before)) = (played, view.replay.before(ply)) else {
        return plain(&written, written.signs, language);
    };
    let mut right: SanPlus = SanPlus::from_move(before.clone(), m);
    if let San::Normal { capture, .. } = &mut right.san {
        *capture |= ply.marks.contains(Marks::SURPLUS_CAPTURE);
    }
    let san = if ply
        .marks
        .intersects(Marks::SURPLUS_CHECK | Marks::FALSE_MATE)
    {
        format!("{}{}", right.san, sign(written.signs))
    } else {
        right.to_string()
    };
    Some(show::in_language(&san, language))
}

/// What is written, in the usual form; `None` for what the standard has no form for.
fn plain(written: &WrittenMove, signs: Signs, language: Language) -> Option<String> {
    let text = format!("{}{}", written.shape.san()?, sign(signs));
    Some(show::in_language(&text, language))
}

const fn sign(signs: Signs) -> &'static str {
    match signs {
        Signs::None => "",
        Signs::Check | Signs::DoubleCheck => "+",
        Signs::Mate => "#",
    }
}

/// The words of a move with a sign behind it that lacks its own, and the edit for it.
pub(crate) fn signed(view: &View<'_>, ply: &Ply, sign: char) -> Option<(String, Edit)> {
    let span = view.span(ply.element);
    let words = view.words(span);
    let signs = view.written(ply)?.signs;
    if signs != Signs::None && !words.ends_with('+') {
        // A sign in letters, or with something behind it.
        let text = standard(view, ply, view.replay.language)?;
        return Some((
            text.clone(),
            Edit {
                span: span.range(),
                text,
            },
        ));
    }
    let base = words.trim_end_matches('+');
    let kept = words.len() - base.len();
    let end = span.end as usize;
    // A glyph that is glued to the move would make another one of the sign.
    let glued = view.text.get(end).is_some_and(|byte| {
        !byte.is_ascii_whitespace()
            && !matches!(byte, b'!' | b'?' | b')' | b'(' | b'{' | b';' | b'$' | b',')
    });
    let text = format!("{sign}{}", if glued { " " } else { "" });
    Some((
        format!("{base}{sign}"),
        Edit {
            span: end - kept..end,
            text,
        },
    ))
}

/// The words of a move with its sign of capture.
pub(crate) fn capturing(view: &View<'_>, ply: &Ply) -> Option<String> {
    let written = view.written(ply)?;
    let words = view.words(view.span(ply.element));
    // Between squares of the long form something stands already.
    if written.oddities.contains(Oddities::HYPHEN) {
        return standard(view, ply, view.replay.language);
    }
    let at = words.rfind(&ply.played?.to().to_string())?;
    let (before, target) = words.split_at_checked(at)?;
    Some(format!("{before}x{target}"))
}

/// The words of a move with the origin that SAN gives it.
pub(crate) fn with_origin(view: &View<'_>, ply: &Ply) -> Option<String> {
    let written = view.written(ply)?;
    let mut san = San::from_move(view.replay.before(ply)?, ply.played?);
    if let (San::Normal { capture, .. }, Some(San::Normal { capture: said, .. })) =
        (&mut san, written.shape.san())
    {
        *capture = said;
    }
    let text = format!("{san}{}", sign(written.signs));
    Some(show::in_language(&text, view.replay.language))
}

/// The edits that write all moves of a game in the letters of English, or `None` where
/// one of them cannot be read, or where a comment cites moves in the letters of the game,
/// which would then differ from those it is about.
pub(crate) fn in_english(view: &View<'_>) -> Option<Vec<Edit>> {
    let mut edits = Vec::new();
    for ply in &view.replay.plies {
        let span = view.span(ply.element);
        let text = standard(view, ply, Language::English)?;
        if view.words(span) != text {
            edits.push(Edit {
                span: span.range(),
                text,
            });
        }
    }
    let cites = |element: &Element| match element.kind {
        ElementKind::Comment { body, kind } => {
            kind != CommentKind::Escape && cites_foreign(&view.words(body), view.replay.language)
        }
        _ => false,
    };
    (!view.game.elements.iter().any(cites)).then_some(edits)
}

/// Whether words cite a move in letters that are not English.
fn cites_foreign(words: &str, language: Language) -> bool {
    words
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | ':' | '=' | '+' | '#')))
        .map(|word| word.trim_start_matches(|c: char| c.is_ascii_digit()))
        .filter(|word| word.len() > 1)
        .filter_map(|word| parse_move(word.as_bytes(), language))
        .any(|written| written.oddities.contains(Oddities::FOREIGN))
}

/// Text for `span`, with blanks where it would run into what stands beside it.
pub(crate) fn apart(view: &View<'_>, span: std::ops::Range<usize>, text: &str) -> String {
    let joins = |byte: Option<&u8>| {
        byte.is_some_and(|byte| {
            !byte.is_ascii_whitespace() && !matches!(byte, b'(' | b')' | b'{' | b'}' | b'[' | b']')
        })
    };
    let before = joins(span.start.checked_sub(1).and_then(|at| view.text.get(at)));
    let behind = joins(view.text.get(span.end));
    match (text.is_empty(), before, behind) {
        // Nothing in the place of something must not join its neighbours.
        (true, true, true) => " ".to_owned(),
        (true, ..) => String::new(),
        (false, ..) => format!(
            "{}{text}{}",
            if before { " " } else { "" },
            if behind { " " } else { "" }
        ),
    }
}
