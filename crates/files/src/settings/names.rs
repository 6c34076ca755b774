//! The names of the settings, what each must be, and what it is where nobody sets it.

use gainsay::Language;

use super::layer::LEAST_MEMORY;

/// A setting.
pub(super) struct Setting {
    /// Its name.
    pub(super) key: &'static str,
    /// What it must be.
    pub(super) must: &'static str,
    /// What it is where nobody sets it, as TOML, or else in words behind a "#".
    pub(super) usual: &'static str,
}

const PATTERNS: &str = "a list of patterns as in a .gitignore file";
const FLAG: &str = "true or false";
const SEVERITY: &str = "hint, information, warning or error";
pub(super) const LEVEL: &str = "off, hint, information, warning or error";

/// What stands in the table `hints`, with what it is where nobody sets it.
pub(super) const HINTS: [Setting; 3] = [
    of("verdicts", "none, failures or all", "\"failures\""),
    of("numbers", FLAG, "true"),
    of("unread", FLAG, "false"),
];

/// All settings.
pub(super) const ALL: [Setting; 18] = [
    of("nodes", "a number of at least 1", "1000000"),
    of(
        "game-nodes",
        "a number of at least 1",
        "# a hundred times nodes",
    ),
    of("memory", "", "256"),
    of("language", "", "# recognised game by game"),
    of("fail-on", SEVERITY, "\"error\""),
    of("claims", FLAG, "true"),
    of("cache", FLAG, "true"),
    of("syzygy", "a folder of Syzygy tables", "# none"),
    of(
        "engine",
        "a command as in a shell, or a list of words",
        "# none",
    ),
    of("known", "the file of a list of known findings", "# none"),
    of("exclude", PATTERNS, "[]"),
    of("include", PATTERNS, "[]"),
    of("rules", "a table of levels by the names of rules", ""),
    of(
        "hints",
        "true, false or a table with \"verdicts\", \"numbers\" and \"unread\"",
        "",
    ),
    of("pictures", FLAG, "false"),
    of("closed-files", "off, asked or pushed", "\"asked\""),
    of("manuscripts", "none, markdown or all", "\"all\""),
    of("rule-pages", "the address of a page", "# none"),
];

const fn of(key: &'static str, must: &'static str, usual: &'static str) -> Setting {
    Setting { key, must, usual }
}

/// Whether there is a setting of this name.
pub(super) fn is_known(key: &str) -> bool {
    ALL.iter().any(|setting| setting.key == key)
}

/// What a setting must be.
pub(super) fn expected(key: &str) -> String {
    match key {
        "memory" => format!("a number of megabytes, {LEAST_MEMORY} at least"),
        "language" => format!("one of {}", Language::ALL.map(Language::name).join(", ")),
        _ => {
            let known = ALL.iter().find(|setting| setting.key == key);
            known.map_or("", |setting| setting.must).to_owned()
        }
    }
}
