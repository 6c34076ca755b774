//! `gainsay explain` and `gainsay rules`.

use gainsay::{Rule, rule};
use gainsay_files::unknown_rule;

use crate::{
    exit::TROUBLE,
    print::{self, complain},
};

/// Prints the documentation of a rule, or which there are.
pub(crate) fn explain(name: Option<&str>) -> u8 {
    let Some(name) = name else {
        return rules(false);
    };
    match rule(name) {
        Some(rule) => print::all(page(rule, "#").as_bytes()),
        None => {
            complain(&unknown_rule(name));
            TROUBLE
        }
    }
}

/// All rules with their severities and first sentences.
fn list() -> String {
    let mut text = String::new();
    let all = gainsay::rules();
    let width = all.iter().map(|rule| rule.name.len()).max().unwrap_or(0);
    for rule in all {
        let summary = rule.summary();
        text.push_str(&format!(
            "{:width$}  {:11}  {}\n",
            rule.name,
            rule.severity.as_str(),
            summary.split_whitespace().collect::<Vec<_>>().join(" ")
        ));
    }
    text
}

/// Prints all rules, as a list or as one Markdown page.
pub(crate) fn rules(markdown: bool) -> u8 {
    print::all(if markdown { book() } else { list() }.as_bytes())
}

/// The documentation of all rules as one Markdown page.
fn book() -> String {
    let mut text = "# The rules of gainsay\n\nMade from the rules' own files by \
                    `gainsay rules --markdown`; do not edit.\n"
        .to_owned();
    for rule in gainsay::rules() {
        text.push('\n');
        text.push_str(&page(rule, "##"));
    }
    text
}

/// The documentation of a rule as Markdown.
fn page(rule: &Rule, heading: &str) -> String {
    let body: String = rule
        .documentation
        .lines()
        .map(|line| {
            let line = line.strip_prefix(' ').unwrap_or(line);
            match line.strip_prefix("```pgn ") {
                Some("before") => "Found:\n\n```pgn\n".to_owned(),
                Some("after") => "Mended:\n\n```pgn\n".to_owned(),
                _ => format!("{line}\n"),
            }
        })
        .collect();
    format!(
        "{heading} {} ({})\n\n{body}",
        rule.name,
        rule.severity.as_str()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_of_rules_is_up_to_date() {
        assert!(
            include_str!("../../gainsay/RULES.md") == book(),
            "run: cargo run -p gainsay-cli -- rules --markdown > crates/gainsay/RULES.md"
        );
    }
}
