//! The rules, one file each: documentation, code and tests together.

use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::Rule,
    sink::Sink,
    whole::{Remark, What},
};

mod ambiguous_move;
mod bad_date;
mod bad_glyph;
pub(crate) mod binary_data;
pub(crate) mod broken_epd;
mod broken_tag;
mod byte_order_mark;
mod capture_sign;
mod clashing_glyphs;
mod duplicate_tag;
pub(crate) mod false_check_sign;
pub(crate) mod false_mate_sign;
pub(crate) mod idle_allowance;
pub(crate) mod illegal_move;
pub(crate) mod illegal_position;
mod loose_words;
pub(crate) mod misnamed_allowance;
mod missing_check_sign;
pub(crate) mod missing_exercise;
mod missing_mate_sign;
mod missing_promotion;
mod missing_result;
mod missing_roster_tag;
pub(crate) mod missing_solution;
mod missing_target;
mod move_spelling;
mod moves_after_end;
mod name_spelling;
mod needless_origin;
mod nested_comment;
mod repeated_diagram;
mod repeated_game;
pub(crate) mod repeated_number;
mod result_against_position;
mod result_disagreement;
mod result_left_open;
mod result_spelling;
mod setup_without_fen;

mod noticed;
mod stray_bracket;
mod unclosed_comment;
mod unclosed_side_line;
mod unknown_variant;
mod unreadable_move;
mod wrong_caption;
mod wrong_diagram;
mod wrong_direction;
mod wrong_heading;
mod wrong_move_number;
mod wrong_side_dots;

/// The rules about claims; what decides them stands in [`crate::claims`].
static CLAIM_RULES: &[&Rule] = &[
    &crate::claims::cited::AMBIGUOUS_CITATION,
    &crate::claims::relations::FALSE_ATTACK,
    &crate::claims::bearings::FALSE_ATTACK_COUNT,
    &crate::claims::counts::FALSE_COUNT,
    &crate::claims::danger::FALSE_DANGER,
    &crate::claims::deeds::FALSE_DEED,
    &crate::claims::draws::FALSE_DRAW,
    &crate::claims::exercises::FALSE_KEY,
    &crate::claims::exercises::MISSING_DEFENCE,
    &crate::claims::exercises::SECOND_SOLUTION,
    &crate::claims::exercises::SOLUTION_LENGTH,
    &crate::claims::ends::FALSE_END,
    &crate::claims::exchanges::FALSE_EXCHANGE,
    &crate::claims::flight::FALSE_FLIGHT,
    &crate::claims::contradicted::FALSE_GLYPH,
    &crate::claims::mate_in::FALSE_MATE,
    &crate::claims::material::FALSE_MATERIAL,
    &crate::claims::pieces::FALSE_PIECE,
    &crate::claims::relations::FALSE_PIN,
    &crate::claims::retakes::FALSE_RECAPTURE,
    &crate::claims::told_games::FALSE_REFERENCE,
    &crate::claims::stipulations::FALSE_STIPULATION,
    &crate::claims::structure::FALSE_STRUCTURE,
    &crate::claims::threats::FALSE_THREAT,
    &crate::claims::standings::FALSE_VERDICT,
    &crate::claims::refutations::LINE_DOES_NOT_REFUTE,
    &crate::claims::references::LOST_REFERENCE,
    &crate::claims::patterns::MISNAMED_MATE,
    &crate::claims::cited::MISNUMBERED_LINE,
    &crate::claims::firsts::NOT_THE_FIRST,
    &crate::claims::only_move::NOT_THE_ONLY_MOVE,
    &crate::claims::only_sensible::OTHER_MOVES_HOLD,
    &crate::claims::mate_in::SHORTER_MATE,
    &crate::claims::cited::UNPLAYABLE_LINE,
    &crate::claims::cited::UNSIGNED_CITATION,
    &crate::claims::compared::WEAKER_MOVE,
];

/// The rules about claims, in the order of their names.
///
/// ```
/// let names: Vec<&str> = gainsay::claim_rules().map(|rule| rule.name).collect();
/// assert!(names.contains(&"false-mate") && !names.contains(&"illegal-move"));
/// ```
pub fn claim_rules() -> impl Iterator<Item = &'static Rule> {
    CLAIM_RULES.iter().copied()
}

/// The rules about EPD; what decides them stands in [`crate::epd`].
static EPD_RULES: &[&Rule] = &[&broken_epd::RULE, &crate::epd::desk::NOT_THE_BEST_MOVE];

/// The rules about numbers of exercises; what decides them stands in [`crate::numbering`].
static NUMBER_RULES: &[&Rule] = &[
    &missing_exercise::RULE,
    &missing_solution::RULE,
    &repeated_number::RULE,
];

/// The rules about what only a whole text tells; what decides them stands in [`crate::whole`].
static WHOLE_RULES: &[&Rule] = &[
    &missing_target::RULE,
    &name_spelling::RULE,
    &repeated_diagram::RULE,
    &repeated_game::RULE,
    &wrong_direction::RULE,
    &wrong_heading::RULE,
];

/// Whether only the whole text tells what a rule is about.
pub(crate) fn is_of_the_whole(rule: &Rule) -> bool {
    WHOLE_RULES.contains(&rule) || NUMBER_RULES.contains(&rule)
}

/// The finding about a remark.
pub(crate) fn remarked(remark: &Remark) -> Finding {
    let span = &remark.span;
    match &remark.what {
        What::NoTarget {
            noun,
            number,
            numbers,
        } => missing_target::finding(span, noun, *number, numbers),
        What::OtherWay {
            noun,
            number,
            stands,
            word,
        } => wrong_direction::finding(span, noun, *number, *stands, word.as_ref()),
        What::SameDiagram { noun, number, how } => {
            repeated_diagram::finding(span, noun, *number, *how)
        }
        What::SameGame {
            moves,
            game,
            players,
        } => repeated_game::finding(span, *moves, *game, players),
        What::OtherSpelling { name, times } => name_spelling::finding(span, name, *times),
        What::OtherHeading(against) => wrong_heading::finding(span, against),
    }
}

/// The rules about allowances; what decides them stands in [`crate::allowance`].
static ALLOWANCE_RULES: &[&Rule] = &[&idle_allowance::RULE, &misnamed_allowance::RULE];

/// Whether a rule is about claims: those of prose and glyphs, or those of a line of EPD.
pub(crate) fn is_about_claims(rule: &Rule) -> bool {
    CLAIM_RULES.contains(&rule) || *rule == crate::epd::desk::NOT_THE_BEST_MOVE
}

/// The rule about check signs, which holds for cited moves too.
pub(crate) static CHECK_SIGN: &Rule = &false_check_sign::RULE;

/// A rule of the notation and what makes it worth running on a game.
struct Entry {
    rule: &'static Rule,
    trigger: Trigger,
    check: fn(&View<'_>, &mut Sink<'_>),
}

/// What a game must have for a rule to have anything to say.
enum Trigger {
    /// A move with one of these marks.
    Marks(Marks),
    /// A fault of the reader.
    Faults,
    /// Nothing: the rule looks at every game.
    Always,
}

static NOTATION: &[Entry] = &[
    Entry {
        rule: &illegal_move::RULE,
        trigger: Trigger::Marks(Marks::ILLEGAL),
        check: illegal_move::check,
    },
    Entry {
        rule: &unreadable_move::RULE,
        trigger: Trigger::Marks(Marks::UNREADABLE),
        check: unreadable_move::check,
    },
    Entry {
        rule: &ambiguous_move::RULE,
        trigger: Trigger::Marks(Marks::AMBIGUOUS),
        check: ambiguous_move::check,
    },
    Entry {
        rule: &missing_promotion::RULE,
        trigger: Trigger::Marks(Marks::NO_PROMOTION),
        check: missing_promotion::check,
    },
    Entry {
        rule: &false_mate_sign::RULE,
        trigger: Trigger::Marks(Marks::FALSE_MATE),
        check: false_mate_sign::check,
    },
    Entry {
        rule: &false_check_sign::RULE,
        trigger: Trigger::Marks(Marks::SURPLUS_CHECK),
        check: false_check_sign::check,
    },
    Entry {
        rule: &missing_mate_sign::RULE,
        trigger: Trigger::Marks(Marks::MISSING_MATE),
        check: missing_mate_sign::check,
    },
    Entry {
        rule: &missing_check_sign::RULE,
        trigger: Trigger::Marks(Marks::MISSING_CHECK),
        check: missing_check_sign::check,
    },
    Entry {
        rule: &wrong_move_number::RULE,
        trigger: Trigger::Marks(Marks::WRONG_NUMBER),
        check: wrong_move_number::check,
    },
    Entry {
        rule: &wrong_side_dots::RULE,
        trigger: Trigger::Marks(Marks::WRONG_DOTS),
        check: wrong_side_dots::check,
    },
    Entry {
        rule: &moves_after_end::RULE,
        trigger: Trigger::Marks(Marks::AFTER_END),
        check: moves_after_end::check,
    },
    Entry {
        rule: &needless_origin::RULE,
        trigger: Trigger::Marks(Marks::NEEDLESS_ORIGIN.union(Marks::UNUSUAL_ORIGIN)),
        check: needless_origin::check,
    },
    Entry {
        rule: &capture_sign::RULE,
        trigger: Trigger::Marks(Marks::MISSING_CAPTURE.union(Marks::SURPLUS_CAPTURE)),
        check: capture_sign::check,
    },
    Entry {
        rule: &move_spelling::RULE,
        trigger: Trigger::Marks(Marks::ODD_SPELLING),
        check: move_spelling::check,
    },
    Entry {
        rule: &unclosed_comment::RULE,
        trigger: Trigger::Faults,
        check: unclosed_comment::check,
    },
    Entry {
        rule: &nested_comment::RULE,
        trigger: Trigger::Faults,
        check: nested_comment::check,
    },
    Entry {
        rule: &unclosed_side_line::RULE,
        trigger: Trigger::Faults,
        check: unclosed_side_line::check,
    },
    Entry {
        rule: &stray_bracket::RULE,
        trigger: Trigger::Faults,
        check: stray_bracket::check,
    },
    Entry {
        rule: &loose_words::RULE,
        trigger: Trigger::Faults,
        check: loose_words::check,
    },
    Entry {
        rule: &bad_glyph::RULE,
        trigger: Trigger::Faults,
        check: bad_glyph::check,
    },
    Entry {
        rule: &byte_order_mark::RULE,
        trigger: Trigger::Faults,
        check: byte_order_mark::check,
    },
    Entry {
        rule: &binary_data::RULE,
        trigger: Trigger::Faults,
        check: binary_data::check,
    },
    Entry {
        rule: &broken_tag::RULE,
        trigger: Trigger::Faults,
        check: broken_tag::check,
    },
    Entry {
        rule: &illegal_position::RULE,
        trigger: Trigger::Always,
        check: illegal_position::check,
    },
    Entry {
        rule: &wrong_caption::RULE,
        trigger: Trigger::Always,
        check: wrong_caption::check,
    },
    Entry {
        rule: &wrong_diagram::RULE,
        trigger: Trigger::Always,
        check: wrong_diagram::check,
    },
    Entry {
        rule: &unknown_variant::RULE,
        trigger: Trigger::Always,
        check: unknown_variant::check,
    },
    Entry {
        rule: &setup_without_fen::RULE,
        trigger: Trigger::Always,
        check: setup_without_fen::check,
    },
    Entry {
        rule: &clashing_glyphs::RULE,
        trigger: Trigger::Always,
        check: clashing_glyphs::check,
    },
    Entry {
        rule: &duplicate_tag::RULE,
        trigger: Trigger::Always,
        check: duplicate_tag::check,
    },
    Entry {
        rule: &bad_date::RULE,
        trigger: Trigger::Always,
        check: bad_date::check,
    },
    Entry {
        rule: &missing_roster_tag::RULE,
        trigger: Trigger::Always,
        check: missing_roster_tag::check,
    },
    Entry {
        rule: &result_spelling::RULE,
        trigger: Trigger::Always,
        check: result_spelling::check,
    },
    Entry {
        rule: &result_disagreement::RULE,
        trigger: Trigger::Always,
        check: result_disagreement::check,
    },
    Entry {
        rule: &result_against_position::RULE,
        trigger: Trigger::Always,
        check: result_against_position::check,
    },
    Entry {
        rule: &result_left_open::RULE,
        trigger: Trigger::Always,
        check: result_left_open::check,
    },
    Entry {
        rule: &missing_result::RULE,
        trigger: Trigger::Always,
        check: missing_result::check,
    },
];

/// Runs every rule of the notation that has something to look at.
pub(crate) fn check_notation(view: &View<'_>, sink: &mut Sink<'_>) {
    let marks = view.replay.marks;
    let faults = !view.game.faults.is_empty();
    for entry in NOTATION {
        let due = match entry.trigger {
            Trigger::Marks(wanted) => marks.intersects(wanted),
            Trigger::Faults => faults,
            Trigger::Always => true,
        };
        if due && sink.wants(entry.rule) {
            (entry.check)(view, sink);
        }
    }
}

/// All rules, in the order of their names.
///
/// ```
/// let names: Vec<&str> = gainsay::rules().iter().map(|rule| rule.name).collect();
/// assert!(names.is_sorted() && names.contains(&"illegal-move") && names.contains(&"false-mate"));
/// ```
#[must_use]
pub fn rules() -> Vec<&'static Rule> {
    let mut rules: Vec<&'static Rule> = all().collect();
    rules.sort_by_key(|rule| rule.name);
    rules
}

/// All rules, in no order that matters.
fn all() -> impl Iterator<Item = &'static Rule> {
    let notation = NOTATION.iter().map(|entry| entry.rule);
    let others = [
        CLAIM_RULES,
        EPD_RULES,
        NUMBER_RULES,
        WHOLE_RULES,
        ALLOWANCE_RULES,
    ];
    notation.chain(others.into_iter().flatten().copied())
}

/// The rule of this name.
///
/// ```
/// assert_eq!(gainsay::rule("false-mate").unwrap().name, "false-mate");
/// assert!(gainsay::rule("no-such-rule").is_none());
/// ```
#[must_use]
pub fn rule(name: &str) -> Option<&'static Rule> {
    all().find(|rule| rule.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Format, Settings, check_as};

    /// The fenced blocks of a rule's documentation whose fence ends with this word,
    /// with their formats.
    fn examples(rule: &Rule, which: &str) -> Vec<(Format, String)> {
        let mut found = Vec::new();
        let mut lines = rule.documentation.lines();
        while let Some(line) = lines.next() {
            let Some((name, word)) = line
                .trim()
                .strip_prefix("```")
                .and_then(|fence| fence.split_once(' '))
            else {
                continue;
            };
            if word == which
                && let Some(format) = Format::from_name(name)
            {
                let block: Vec<&str> = lines
                    .by_ref()
                    .map(|line| line.strip_prefix(' ').unwrap_or(line))
                    .take_while(|line| !line.starts_with("```"))
                    .collect();
                found.push((format, block.join("\n")));
            }
        }
        found
    }

    #[test]
    fn every_rule_shows_itself() {
        for rule in rules() {
            for (which, expected) in [("before", true), ("after", false)] {
                let examples = examples(rule, which);
                assert!(
                    !examples.is_empty(),
                    "{} lacks an example {which}",
                    rule.name
                );
                for (format, text) in examples {
                    let report = check_as(text.as_bytes(), format, &Settings::default());
                    assert_eq!(
                        report.findings.iter().any(|finding| finding.rule == rule),
                        expected,
                        "{} {which}:\n{text}\n{:#?}",
                        rule.name,
                        report.findings
                    );
                }
            }
        }
    }

    #[test]
    fn names_are_kebab_case_and_unique() {
        let names: Vec<&str> = rules().iter().map(|rule| rule.name).collect();
        for pair in names.windows(2) {
            assert_ne!(pair[0], pair[1]);
        }
        for name in names {
            assert!(name.chars().all(|c| c.is_ascii_lowercase() || c == '-'));
            assert!(!name.starts_with('-') && !name.ends_with('-'));
        }
    }

    #[test]
    fn every_summary_is_a_sentence() {
        for rule in rules() {
            assert!(rule.summary().ends_with('.'), "{}", rule.name);
        }
    }
}
