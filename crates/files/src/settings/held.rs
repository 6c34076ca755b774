//! Which settings hold, and where each comes from.

use gainsay_notation::{Columns, LineIndex};
use toml::de::{DeTable, DeValue};

use super::names::{ALL, HINTS};

/// A setting that holds.
///
/// ```
/// use gainsay_files::held;
/// let held = held("# ours\nfail-on = \"warning\"\n");
/// let of = |key: &str| held.iter().find(|setting| setting.key == key).unwrap();
/// assert_eq!((of("fail-on").value.as_str(), of("fail-on").line), ("\"warning\"", Some(2)));
/// assert_eq!((of("nodes").value.as_str(), of("nodes").line), ("1000000", None));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The table that it stands in; empty for none.
    pub table: &'static str,
    /// Its name.
    pub key: String,
    /// Its value as TOML; words behind a "#" where it is not set and means something that is no
    /// value.
    pub value: String,
    /// The line of the settings file that sets it, from 1; `None` where nobody does.
    pub line: Option<u32>,
}

/// All settings as they hold with a settings file of this text, which must be sound: those without
/// a table first. Of rules only those are listed that are set.
#[must_use]
pub fn held(text: &str) -> Vec<Held> {
    let lines = LineIndex::new(text.as_bytes());
    let file = DeTable::parse(text).map(toml::Spanned::into_inner);
    let file = file.unwrap_or_default();
    // A value as written, on one line.
    let set = |table: &DeTable<'_>, key: &str| {
        let (at, value) = table.get_key_value(key)?;
        let written = text.get(value.span()).unwrap_or_default();
        let words: Vec<&str> = written.split_whitespace().collect();
        let place = lines.position(text.as_bytes(), at.span().start, Columns::Scalars);
        Some((words.join(" "), place.line + 1))
    };
    let held = |table: &'static str, key: &str, usual: &str, within: &DeTable<'_>| {
        let found = set(within, key);
        let line = found.as_ref().map(|(_, line)| *line);
        let value = found.map_or_else(|| usual.to_owned(), |(value, _)| value);
        Held {
            table,
            key: key.to_owned(),
            value,
            line,
        }
    };
    let table = |name: &str| match file.get(name).map(|value| value.get_ref()) {
        Some(DeValue::Table(table)) => table.clone(),
        _ => DeTable::new(),
    };
    let single = ALL
        .iter()
        .filter(|setting| !matches!(setting.key, "rules" | "hints"));
    let mut all: Vec<Held> = single
        .map(|setting| held("", setting.key, setting.usual, &file))
        .collect();
    let rules = table("rules");
    all.extend(
        rules
            .keys()
            .map(|rule| held("rules", rule.get_ref(), "", &rules)),
    );
    match file.get("hints").map(|value| value.get_ref()) {
        // All at once.
        Some(DeValue::Boolean(_)) => all.push(held("", "hints", "", &file)),
        _ => {
            let hints = table("hints");
            all.extend(HINTS.map(|hint| held("hints", hint.key, hint.usual, &hints)));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Layer;

    #[test]
    fn what_nobody_sets_is_as_the_table_says() {
        let usual: String = held("")
            .iter()
            .filter(|held| !held.value.starts_with('#'))
            .map(|held| {
                assert_eq!(held.line, None);
                let dot = if held.table.is_empty() { "" } else { "." };
                format!("{}{dot}{} = {}\n", held.table, held.key, held.value)
            })
            .collect();
        // It can be written into a file, and says the same.
        let (layer, wrong) = Layer::of_file(&usual);
        assert!(wrong.is_empty(), "{wrong:?}");
        let nobody = Layer::default();
        assert_eq!(layer.settings(), nobody.settings());
        assert_eq!(
            layer.closed_files,
            Some(nobody.closed_files.unwrap_or_default())
        );
        assert_eq!(
            layer.manuscripts,
            Some(nobody.manuscripts.unwrap_or_default())
        );
    }

    #[test]
    fn tables_are_listed_by_their_own_lines() {
        let text = "exclude = [\n  \"a\",\n  \"b\",\n]\n[rules]\nfalse-mate = \"hint\"\n\
                    [hints]\nunread = true\n";
        let found: Vec<String> = held(text)
            .iter()
            .filter_map(|held| {
                let line = held.line?;
                Some(format!("{}/{} {} {line}", held.table, held.key, held.value))
            })
            .collect();
        assert_eq!(
            found,
            [
                "/exclude [ \"a\", \"b\", ] 1",
                "rules/false-mate \"hint\" 6",
                "hints/unread true 8"
            ]
        );
    }
}
