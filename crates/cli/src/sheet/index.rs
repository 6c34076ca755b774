//! The list of sheets.

use std::path::Path;

use maud::{DOCTYPE, Markup, html};

use super::{
    collect::Written,
    head::head,
    item::State,
    link::address,
    marks::{self, mark},
};
use crate::print::name;

/// A page that leads to the sheets beside it.
pub(super) fn index(written: &[Written]) -> Markup {
    // Columns without anything in them say nothing.
    let shown = |state: &State| written.iter().any(|sheet| sheet.counts.contains_key(state));
    let columns: Vec<State> = State::ALL.into_iter().filter(shown).collect();
    html! {
        (DOCTYPE)
        html lang="en" {
            head { (head("Proof sheets")) }
            body {
                (marks::symbols())
                header { h1 { "Proof sheets" } }
                main {
                    table.index {
                        caption { (gainsay::show::counted(written.len() as u64, "source")) " as gainsay reads them" }
                        thead {
                            tr {
                                th scope="col" { "Source" }
                                @for &state in &columns { th scope="col" { (mark(state)) " " span.told { (state.told()) } } }
                            }
                        }
                        tbody {
                            @for sheet in written {
                                tr {
                                    th scope="row" { a href=(page_name(&sheet.page)) { (name(&sheet.source)) } }
                                    @for state in &columns {
                                        td { (sheet.counts.get(state).copied().unwrap_or_default()) }
                                    }
                                }
                            }
                        }
                    }
                    // Where there is no room for words in the table they stand below it.
                    ul.signs.narrow aria-hidden="true" {
                        @for &state in &columns { li { (mark(state)) " " (state.told()) } }
                    }
                }
            }
        }
    }
}

fn page_name(path: &Path) -> String {
    address(&path.file_name().unwrap_or_default().to_string_lossy())
}
