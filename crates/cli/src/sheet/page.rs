//! The page of a source.

use std::path::Path;

use gainsay::Format;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{
    article::article,
    head::head,
    item::{Item, State},
    link::{place, relative},
    marks,
    strip::strip,
    summary::{filters, tables, totals},
};
use crate::print::name;

/// What steps, filters and keys need; everything can be read without.
const SCRIPT: &str = include_str!("script.js");
/// What a page is made of.
pub(crate) struct Sheet<'a> {
    pub(crate) source: &'a Path,
    /// Where the page is written to.
    pub(crate) page: &'a Path,
    pub(crate) format: Format,
    /// In the order of the text.
    pub(crate) items: &'a [Item],
    /// How many more there are.
    pub(crate) left_out: usize,
    pub(crate) games: u64,
    /// The length of the text in bytes.
    pub(crate) end: usize,
}

impl Sheet<'_> {
    /// The source as a link from the page, if it is a file.
    pub(super) fn link(&self) -> Option<String> {
        let folder = self.page.parent().unwrap_or(Path::new(""));
        relative(folder, self.source)
    }
}

/// The whole page.
pub(crate) fn page(sheet: &Sheet<'_>) -> Markup {
    let file = name(sheet.source);
    let read: Vec<(usize, &Item)> = (sheet.items.iter().enumerate())
        .filter(|(_, item)| item.state != State::Unread)
        .collect();
    let unread: Vec<&Item> = (sheet.items.iter())
        .filter(|item| item.state == State::Unread)
        .collect();
    let link = sheet.link();
    html! {
        (DOCTYPE)
        html lang="en" {
            head { (head(&format!("Proof sheet: {file}"))) }
            body {
                (gainsay_draw::symbols())
                (marks::symbols())
                a.skip href="#findings" { "Skip to the findings" }
                header {
                    h1 { "Proof sheet: " (file) }
                    p {
                        @match &link {
                            Some(link) => a href=(link) { (file) },
                            None => (file),
                        }
                        " as gainsay reads it."
                        @if sheet.items.iter().any(|item| item.state.is_verdict()) { " Every verdict shows its moves." }
                    }
                }
                main {
                    section aria-labelledby="summary" {
                        h2 #summary { "Summary" }
                        (totals(sheet.items))
                        @if sheet.left_out > 0 {
                            p.message {
                                "This text has more to tell than a page can hold: " (sheet.left_out)
                                " claims and findings behind these are left out. Make sheets of its parts."
                            }
                        }
                        (strip(sheet.items, sheet.games, sheet.end))
                        (tables(sheet.items))
                        @if !sheet.items.is_empty() {
                            (filters(sheet.items))
                            (legend())
                        }
                    }
                    section aria-labelledby="findings" {
                        h2 #findings tabindex="-1" { "Claims and findings" }
                        @if read.is_empty() { p { "Nothing was found that could be checked." } }
                        @for group in read.chunk_by(|(_, one), (_, other)| one.game == other.game) {
                            @let game = group.first().and_then(|(_, item)| item.game);
                            @let players = group.first().and_then(|(_, item)| item.players.as_deref());
                            section.game {
                                h3 {
                                    @match (game, sheet.format) {
                                        (Some(game), Format::Pgn) => { "Game " (game) }
                                        (Some(line), Format::Epd) => { "Position in line " (line) }
                                        (Some(block), _) => { "Block " (block) }
                                        (None, _) => "Text",
                                    }
                                    @if let Some(players) = players { ": " (players) }
                                }
                                @for &(at, item) in group { (article(item, at, &file, link.as_deref())) }
                            }
                        }
                    }
                    @if !unread.is_empty() { (own_eyes(&unread, &file, link.as_deref())) }
                }
                @if !sheet.items.is_empty() { script { (PreEscaped(SCRIPT)) } }
            }
        }
    }
}

/// What the signs mean, and the keys.
fn legend() -> Markup {
    html! {
        details.legend {
            summary { "Signs and keys" }
            ul.signs {
                @for state in State::ALL {
                    @if state != State::Unread { li { (marks::mark(state)) " " (state.told()) } }
                }
            }
            p {
                "On the boards: corners mark the squares of the move that was played last, a frame of dashes a \
                 square that the author's words name, an arrow the first move that shows the verdict. \
                 The spot beside the board is at the side that is to move, in its colour."
            }
            p.script {
                "Keys: " kbd { "n" } " and " kbd { "p" } " go to the next and the previous thing that is \
                 wrong. On a board " kbd { "→" } " and " kbd { "←" } " step through the moves that show \
                 it, " kbd { "↓" } " and " kbd { "↑" } " go to the next and the previous line, " kbd { "Home" }
                " goes back to the first board and " kbd { "End" } " to the last."
            }
        }
    }
}

/// The sentences that were not understood.
fn own_eyes(unread: &[&Item], file: &str, link: Option<&str>) -> Markup {
    html! {
        section.unread aria-labelledby="unread" data-state="unread" {
            h2 #unread { "For your own eyes" }
            p {
                "These sentences hold a move, a square or a term of the trade, and were not, or not wholly, \
                 understood. Nobody has checked them."
            }
            ol {
                @for item in unread {
                    li {
                        (place(item, file, link)) " "
                        @if let Some(mv) = &item.mv { b { (mv) } " " }
                        q { (item.quoted.words) }
                        @for words in &item.notes { span.not { " not understood: " (words) } }
                    }
                }
            }
        }
    }
}
