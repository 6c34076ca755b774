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
                                @for state in State::ALL { th scope="col" { (mark(state)) " " (state.told()) } }
                            }
                        }
                        tbody {
                            @for sheet in written {
                                tr {
                                    th scope="row" { a href=(page_name(&sheet.page)) { (name(&sheet.source)) } }
                                    @for state in State::ALL {
                                        td { (sheet.counts.get(&state).copied().unwrap_or_default()) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn page_name(path: &Path) -> String {
    address(&path.file_name().unwrap_or_default().to_string_lossy())
}
