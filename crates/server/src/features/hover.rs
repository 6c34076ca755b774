//! Hover: the board at a move, the verdict of a claim, the meaning of a sign.

use std::{fmt::Write as _, ops::Range};

use gainsay::{Ply, SettledClaim, Verdict, View, show};
use gainsay_notation::ElementKind;
use shakmaty::{Chess, Position, Square};

use super::{
    board,
    place::{Place, element_at, ply_at, tag_at},
    walk,
};
use crate::{
    document::{Settlement, Snapshot},
    words::hover as words,
};

/// What is told about a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Hover {
    /// The bytes of the document it is about.
    pub(crate) range: Range<usize>,
    /// Markdown.
    pub(crate) markdown: String,
    /// The position it speaks of, for those who can show pictures.
    pub(crate) position: Option<Chess>,
    /// The squares the last move went from and to.
    pub(crate) marked: Vec<Square>,
}

/// What is to be told about an offset of the document.
pub(crate) fn hover(snapshot: &Snapshot, offset: usize) -> Option<Hover> {
    let place = Place::at(snapshot, offset)?;
    let mut told = cited(&place)
        .or_else(|| claim(&place))
        .or_else(|| square(&place))
        .or_else(|| movetext(&place))
        .or_else(|| tag(&place));
    if let Some(findings) = findings(&place) {
        match &mut told {
            Some(hover) => {
                hover.markdown.push_str(words::PARTING);
                hover.markdown.push_str(&findings.markdown);
            }
            None => told = Some(findings),
        }
    }
    told
}

/// A square that a comment names: what stands there, and who attacks and defends it in
/// the position that the comment is about.
fn square(place: &Place<'_>) -> Option<Hover> {
    let view = place.view()?;
    let (_, element) = element_at(&view, place.offset)?;
    let ElementKind::Comment { body, .. } = element.kind else {
        return None;
    };
    let text = body.of(view.text);
    let at = (place.offset.checked_sub(body.start)? as usize).min(text.len());
    let is_word = |byte: &&u8| byte.is_ascii_alphanumeric();
    let before = text.get(..at)?.iter().rev().take_while(is_word).count();
    let behind = text.get(at..)?.iter().take_while(is_word).count();
    let word = text.get(at - before..at + behind)?;
    let square = Square::from_ascii(word).ok()?;
    let position = view.replay.at(ply_at(&view, element.span.start))?.clone();
    let stands = words::square(square, position.board().piece_at(square));
    let mut markdown = format!("{stands}\n");
    draw(&mut markdown, &position, &[square]);
    if let Some(control) = board::control(&position, square) {
        let _ = write!(markdown, "\n\n{control}");
    }
    let start = body.start as usize + at - before + place.section.start;
    Some(Hover {
        range: start..start + word.len(),
        markdown,
        position: Some(position),
        marked: vec![square],
    })
}

/// A move that a comment or prose cites: the board behind it, and what is claimed there.
fn cited(place: &Place<'_>) -> Option<Hover> {
    let (step, range) = walk::cited_at(place)?;
    let marked = walk::marked(&step);
    let mut markdown = words::played(&walk::name(place, &step));
    draw(&mut markdown, &step.after, &marked);
    if let Some(claim) = claim(place) {
        markdown.push_str(words::PARTING);
        markdown.push_str(&claim.markdown);
    }
    Some(Hover {
        range,
        markdown,
        position: Some(step.after),
        marked,
    })
}

fn claim(place: &Place<'_>) -> Option<Hover> {
    let settlement = place.section.claims.settlement()?;
    let offset = place.offset as usize;
    // The shortest claim around the offset is the one that is meant.
    let claim = settlement
        .claims
        .iter()
        .filter(|claim| claim.span.start <= offset && offset <= claim.span.end)
        .min_by_key(|claim| claim.span.len())?;
    Some(Hover {
        range: super::place::shifted(&claim.span, place.section.start),
        markdown: verdict(settlement, claim),
        position: None,
        marked: Vec::new(),
    })
}

/// A claim with its verdict, and with what its finding says.
pub(super) fn verdict(settlement: &Settlement, claim: &SettledClaim) -> String {
    let mut findings = settlement.findings.iter();
    // Of a line that fails the move is found that cannot be played.
    let within = |span: &Range<usize>| {
        let line = claim.kind == "line" && claim.verdict == Verdict::Fails;
        line && claim.span.start <= span.start && span.end <= claim.span.end
    };
    let finding = findings.find(|finding| finding.span == claim.span || within(&finding.span));
    words::verdict(claim, finding.map(|finding| finding.message.as_str()))
}

fn movetext(place: &Place<'_>) -> Option<Hover> {
    let view = place.view()?;
    let (at, element) = element_at(&view, place.offset)?;
    let range = place.range(element.span);
    match element.kind {
        ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
            let ply = view.replay.ply(view.replay.ply_of_element(at)?)?;
            Some(of_move(&view, ply, range))
        }
        ElementKind::Number(_) => {
            let ply = view
                .replay
                .plies
                .iter()
                .find(|ply| ply.number == Some(at))?;
            let position = view.replay.before(ply)?.clone();
            let mut markdown = words::before(&view.name(ply));
            draw(&mut markdown, &position, &[]);
            Some(Hover {
                range,
                markdown,
                position: Some(position),
                marked: Vec::new(),
            })
        }
        ElementKind::Glyph { glyph, .. } => Some(Hover {
            range,
            markdown: words::glyph(glyph),
            position: None,
            marked: Vec::new(),
        }),
        ElementKind::Result(result) => {
            let last = view.replay.last.and_then(|last| view.replay.ply(last));
            let position = view.replay.at(view.replay.last)?.clone();
            let mut markdown =
                words::result(result.as_str(), last.map(|ply| view.name(ply)).as_deref());
            draw(&mut markdown, &position, &[]);
            Some(Hover {
                range,
                markdown,
                position: Some(position),
                marked: Vec::new(),
            })
        }
        _ => None,
    }
}

fn of_move(view: &View<'_>, ply: &Ply, range: Range<usize>) -> Hover {
    let name = view.name(ply);
    let Some(after) = &ply.after else {
        if let Some(before) = view.replay.before(ply) {
            let mut markdown = words::unplayable(&name);
            draw(&mut markdown, before, &[]);
            return Hover {
                range,
                markdown,
                position: Some(before.clone()),
                marked: Vec::new(),
            };
        }
        return Hover {
            range,
            markdown: words::behind_unplayable(&name),
            position: None,
            marked: Vec::new(),
        };
    };
    let mut markdown = words::played(&name);
    let marked: Vec<Square> = ply
        .played
        .iter()
        .flat_map(|played| show::ends(*played))
        .collect();
    draw(&mut markdown, after, &marked);
    if let Some(control) = ply
        .played
        .and_then(|played| board::control(after, show::target(played)))
    {
        let _ = write!(markdown, "\n\n{control}");
    }
    Hover {
        range,
        markdown,
        position: Some(after.clone()),
        marked,
    }
}

/// The lines around a board of letters.
const OPENING: &str = "```text\n";
const CLOSING: &str = "```\n";

/// A board in a code block and what the position says at a glance.
pub(crate) fn draw(markdown: &mut String, position: &Chess, marked: &[Square]) {
    let _ = write!(
        markdown,
        "\n{OPENING}{}{CLOSING}\n{}",
        board::letters(position.board(), marked),
        board::summary(position)
    );
}

/// What was told, with a picture in place of the first board of letters.
pub(crate) fn with_picture(markdown: &str, picture: &str) -> String {
    let Some((before, rest)) = markdown.split_once(OPENING) else {
        return format!("{picture}{markdown}");
    };
    let after = rest.split_once(CLOSING).map_or("", |(_, after)| after);
    format!("{before}{picture}{after}")
}

fn tag(place: &Place<'_>) -> Option<Hover> {
    let view = place.view()?;
    let tag = tag_at(&view, place.offset)?;
    let name = view.words(tag.name);
    let mut hover = Hover {
        range: place.range(tag.span),
        markdown: words::tag(&name)?,
        position: None,
        marked: Vec::new(),
    };
    if name == "FEN"
        && let Some(position) = &view.replay.start.position
    {
        hover.markdown.push('\n');
        draw(&mut hover.markdown, position, &[]);
        hover.position = Some(position.clone());
    }
    Some(hover)
}

/// The rules whose findings stand here.
fn findings(place: &Place<'_>) -> Option<Hover> {
    let offset = place.offset as usize;
    let mut markdown = String::new();
    let mut range: Option<Range<usize>> = None;
    for finding in place.snapshot.findings(place.section) {
        if offset < finding.span.start || finding.span.end < offset {
            continue;
        }
        if !markdown.is_empty() {
            markdown.push_str("\n\n");
        }
        markdown.push_str(&words::rule(finding.rule));
        let span = super::place::shifted(&finding.span, place.section.start);
        range = Some(match range {
            Some(range) => range.start.max(span.start)..range.end.min(span.end),
            None => span,
        });
    }
    Some(Hover {
        range: range?,
        markdown,
        position: None,
        marked: Vec::new(),
    })
}
