//! Phrases that point to other places.

use crate::lang::make;
use crate::pattern::Rule;

pub(super) const RULES: &[Rule] = &[
    Rule::new(
        "note|notes|comment|remark|remarks to|on|at|after|under move? N; note|notes|comment|remark|remarks to|on|at|after|under SIDE 's? N move?; see|cf|compare|recall|remember move N; \
         note|notes|comment|remark|remarks to|on|at|after|under N move; see|cf|compare SIDE 's? N move; as|like on|at move N",
        make::move_reference,
    ),
    Rule::new("SIDE 's N? ORD move", make::nth_reference).inside(),
    Rule::new(
        "@his N? ORD move; on|at|with|after the? N? ORD move",
        make::nth_reference,
    )
    .nobody(),
    Rule::new("on|at move N", make::on_move),
    Rule::nothing(
        "time|clock|control|limit at|by? move N; before|until|reached|reaching|reach|by|within|around move N; move N time|clock|control; \
         agreed|resigned|resigns|ended|ends|drawn|draw|over|finished|flag|forfeited|adjourned|sealed|theory|book|novelty|known|win|wins|won|lost|mated|checkmated|time on|at|by|in|around? move N",
    ),
    Rule::new("move N", make::move_mention),
    Rule::new("diagram N", make::diagram_reference),
    Rule::new(
        "@det diagram; see|cf diagram; diagrammed position",
        make::the_diagram,
    ),
    Rule::new("N moves|move ago|earlier|before", make::ago_reference),
    Rule::new("N moves|move later|afterwards", make::later_reference),
];
