//! The strip that shows where in the text findings cluster.

use maud::{Markup, html};

use super::item::{Item, State};

/// So many columns it has.
const COLUMNS: usize = 60;
/// The width of a column and the height of the strip, in its own units.
const WIDTH: usize = 12;
const HEIGHT: usize = 64;

/// What stands in a column.
#[derive(Clone, Copy, Default)]
struct Column<'a> {
    /// What is wrong, what is probably wrong, and what is not settled.
    counts: [usize; 3],
    /// The first item that is counted, and the last.
    ends: Option<[(usize, &'a Item); 2]>,
}

/// A column a sixtieth of the text, which is `end` bytes long. The higher the more there is; what is wrong stands below in
/// solid, what is probably wrong hatched, what is not settled as an outline.
pub(super) fn strip(items: &[Item], games: u64, end: usize) -> Markup {
    let mut columns = [Column::default(); COLUMNS];
    for (at, item) in items.iter().enumerate() {
        let row = match item.state {
            State::Fails | State::Error => 0,
            State::Warning => 1,
            State::Unsettled => 2,
            _ => continue,
        };
        let column = item.offset * COLUMNS / end.max(1);
        let Some(column) = columns.get_mut(column.min(COLUMNS - 1)) else {
            continue;
        };
        column.counts[row] += 1;
        let first = column.ends.map_or((at, item), |[first, _]| first);
        column.ends = Some([first, (at, item)]);
    }
    let most = columns
        .iter()
        .map(|column| column.counts.iter().sum::<usize>());
    let most = most.max().unwrap_or_default();
    if most == 0 {
        return html! {};
    }
    let edge = COLUMNS * WIDTH;
    html! {
        figure.strip {
            figcaption {
                "Where in the text they stand, from its beginning to its end"
                @if games > 1 { " (" (gainsay::show::counted(games, "game")) ")" }
                ". Solid is wrong, hatched is probably wrong, an outline is not settled; each column leads to its first."
            }
            svg viewBox=(format!("0 0 {edge} {}", HEIGHT + 2)) role="group" aria-label="Where findings stand in the text" {
                defs {
                    pattern id="hatch" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                        path d="M0 0V4" stroke="currentColor" stroke-width="3" {}
                    }
                }
                path d=(format!("M0 {HEIGHT}.5H{edge}")) stroke="currentColor" {}
                @for (at, column) in columns.iter().enumerate() {
                    @if let Some([first, last]) = column.ends { (bars(at, column, first, last, most)) }
                }
            }
        }
    }
}

fn bars(
    at: usize,
    column: &Column<'_>,
    first: (usize, &Item),
    last: (usize, &Item),
    most: usize,
) -> Markup {
    let [wrong, doubtful, open] = column.counts;
    let lines = [first.1.place.line, last.1.place.line];
    let stretch = if lines[0] == lines[1] {
        format!("Line {}", lines[0])
    } else {
        format!("Lines {} to {}", lines[0], lines[1])
    };
    let told = format!("{stretch}: {wrong} wrong, {doubtful} probably wrong, {open} not settled");
    // One is seen beside hundreds.
    let height = |count: usize| {
        if count == 0 {
            0
        } else {
            (count * (HEIGHT - 6) / most).max(2)
        }
    };
    let (x, width) = (at * WIDTH + 1, WIDTH - 2);
    let [low, middle, high] = [wrong, doubtful, open].map(height);
    html! {
        a href={"#c" (first.0)} aria-label=(told) {
            title { (told) }
            rect.touch x=(x) y="0" width=(width) height=(HEIGHT) fill="none" pointer-events="all" {}
            @if low > 0 { rect x=(x) y=(HEIGHT - low) width=(width) height=(low) fill="currentColor" {} }
            @if middle > 0 {
                rect x=(x) y=(HEIGHT - low - middle) width=(width) height=(middle) fill="url(#hatch)" stroke="currentColor" {}
            }
            @if high > 0 {
                rect x=(x) y=((HEIGHT - low - middle).saturating_sub(high)) width=(width) height=(high) fill="none" stroke="currentColor" {}
            }
        }
    }
}
