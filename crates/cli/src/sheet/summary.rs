//! The tables at the top, and the filters.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::{
    item::{Item, State},
    marks::mark,
    words::kind as told,
};

/// The verdicts of claims, as the columns of their table.
const VERDICTS: [State; 4] = [
    State::Fails,
    State::Unsettled,
    State::Holds,
    State::Accepted,
];
/// The severities of the notation, as those of theirs.
const DEGREES: [State; 4] = [
    State::Error,
    State::Warning,
    State::Information,
    State::Hint,
];

type Counts<'a> = BTreeMap<&'a str, BTreeMap<State, u64>>;

/// How many items there are of each kind and each of these states.
fn counts<'a>(items: &'a [Item], columns: &[State]) -> Counts<'a> {
    let mut counts = Counts::new();
    for item in items.iter().filter(|item| columns.contains(&item.state)) {
        let row = counts.entry(&item.kind).or_default();
        *row.entry(item.state).or_default() += 1;
    }
    counts
}

/// The numbers in a sentence.
pub(super) fn totals(items: &[Item]) -> Markup {
    let count = |state| items.iter().filter(|item| item.state == state).count() as u64;
    let [holds, fails, open] = [State::Holds, State::Fails, State::Unsettled].map(count);
    let wrong = count(State::Error) + count(State::Warning);
    html! {
        p {
            (gainsay::show::verdicts(holds, fails, open)) ". In the notation "
            (gainsay::show::counted(wrong, "place")) " wrong or probably wrong."
        }
    }
}

/// Claims by kind and verdict, and findings of the notation by rule and degree.
pub(super) fn tables(items: &[Item]) -> Markup {
    let claims = counts(items, &VERDICTS);
    let notation = counts(items, &DEGREES);
    html! {
        div.tables {
            (table("Claims by kind and verdict", "Kind", &claims, &VERDICTS))
            (table("Notation by rule", "Rule", &notation, &DEGREES))
        }
        @let unread = items.iter().filter(|item| item.state == State::Unread).count();
        @if unread > 0 {
            p { a href="#unread" { (gainsay::show::counted(unread as u64, "sentence")) } " left for your own eyes." }
        }
    }
}

fn table(caption: &str, first: &str, counts: &Counts<'_>, columns: &[State]) -> Markup {
    let total = |state: &State| {
        counts
            .values()
            .filter_map(|row| row.get(state))
            .sum::<u64>()
    };
    // Columns without anything in them say nothing.
    let columns: Vec<State> = columns
        .iter()
        .copied()
        .filter(|state| total(state) > 0)
        .collect();
    html! {
        @if counts.is_empty() {
            p { (caption) ": none." }
        } @else {
            table {
                caption { (caption) }
                thead {
                    tr {
                        th scope="col" { (first) }
                        @for &state in &columns { th scope="col" { (mark(state)) " " (state.told()) } }
                    }
                }
                tbody {
                    @for (kind, row) in counts {
                        tr {
                            th scope="row" { (told(kind)) }
                            @for state in &columns {
                                td { @if let Some(count) = row.get(state) { (count) } }
                            }
                        }
                    }
                }
                tfoot {
                    tr {
                        th scope="row" { "all" }
                        @for state in &columns { td { (total(state)) } }
                    }
                }
            }
        }
    }
}

/// Boxes that hide what is not wanted. Without the page's script they are not shown, and
/// everything else is.
pub(super) fn filters(items: &[Item]) -> Markup {
    let shown = |state: &State| items.iter().any(|item| item.state == *state);
    let kinds: BTreeMap<&str, usize> = items.iter().fold(BTreeMap::new(), |mut kinds, item| {
        if item.state != State::Unread {
            *kinds.entry(item.kind.as_str()).or_default() += 1;
        }
        kinds
    });
    html! {
        form.filters.script {
            fieldset {
                legend { "Show" }
                @for state in State::ALL.into_iter().filter(shown) {
                    label { input type="checkbox" name="state" value=(state.key()) checked; " " (mark(state)) " " (state.told()) }
                }
            }
            details {
                summary { "Kinds" }
                fieldset {
                    legend { "Show these kinds and rules" }
                    button type="button" data-all="1" { "All" } " "
                    button type="button" data-all="" { "None" } " "
                    @for (kind, count) in kinds {
                        label { input type="checkbox" name="kind" value=(kind) checked; " " (told(kind)) " (" (count) ")" }
                    }
                }
            }
            p #count role="status" {}
        }
    }
}
