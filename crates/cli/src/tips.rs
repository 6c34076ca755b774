//! What somebody may have meant who names an option or a command that is not ours.

use std::path::Path;

use clap::{
    builder::StyledStr,
    error::{ContextKind, ContextValue, ErrorKind},
};

/// Names of options as other tools have them, and what does the same here.
const OPTIONS: &[(&[&str], &str)] = &[
    (
        &[
            "--fix",
            "--autofix",
            "--auto-fix",
            "--correct",
            "--repair",
            "--write",
            "-w",
            "-i",
            "--in-place",
        ],
        "'--mend' writes the safe remedies into the files",
    ),
    (
        &["--diff", "--check", "-n", "--fix-dry-run"],
        "'--mend --dry-run' shows the edits and writes nothing",
    ),
    (
        &["--quiet", "-q", "--silent", "-s"],
        "'--show error' shows errors only, '--format lines' one line a finding",
    ),
    (
        &["-o", "--output", "--output-file", "--out"],
        "results go to standard output: put '> FILE' behind the command",
    ),
    (&["--json"], "'--format json'"),
    (
        &["--jsonl", "--ndjson", "--json-lines"],
        "'--format ndjson'",
    ),
    (
        &["--html"],
        "'gainsay sheet PATH --out FOLDER' writes a page for each source",
    ),
    (&["--sarif"], "'--format sarif'"),
    (&["--junit", "--xml"], "'--format junit'"),
    (&["--github"], "'--format github'"),
    (&["--lines", "--compact", "--oneline"], "'--format lines'"),
    (&["--pgn"], "'--format pgn', of 'gainsay prove'"),
    (
        &[
            "-f",
            "--output-format",
            "--reporter",
            "--report",
            "--message-format",
        ],
        "'--format FORMAT' says how findings are printed",
    ),
    (
        &["-c", "--config", "--config-file", "--conf"],
        "'--settings FILE' reads the settings from a file",
    ),
    (
        &[
            "--ignore",
            "--disable",
            "--skip",
            "--allow",
            "-A",
            "--no-rule",
            "--suppress",
        ],
        "'--without RULE' leaves a rule out",
    ),
    (
        &["--rule", "--rules", "--select", "--enable", "-r"],
        "'--only RULE' reports one rule, 'gainsay rules' lists them",
    ),
    (
        &["--exclude", "--ignore-path", "--ignore-pattern", "-x"],
        "'exclude = [\"drafts/\"]' in gainsay.toml leaves files out of folders, and so does a .gitignore",
    ),
    (
        &[
            "--severity",
            "--level",
            "--min-severity",
            "--minimum-severity",
        ],
        "'--show SEVERITY' says what is shown, '--fail-on SEVERITY' what makes the exit code 1",
    ),
    (
        &[
            "--strict",
            "--deny",
            "-D",
            "-W",
            "--werror",
            "--error-on-warnings",
            "--max-warnings",
            "--deny-warnings",
        ],
        "'--fail-on warning' makes the exit code 1 for warnings too",
    ),
    (
        &["-j", "--jobs", "--parallel", "--workers"],
        "'--threads N'",
    ),
    (
        &["--timeout", "--time", "--movetime", "-t", "--depth", "-d"],
        "'--nodes N' is the budget of one claim; nothing depends on the time",
    ),
    (&["--stdin", "--stdin-filename"], "'-' is standard input"),
    (
        &["--stdio", "--lsp", "--tcp", "--socket", "--port"],
        "'gainsay serve' speaks on standard input and output, without an option",
    ),
    (
        &["--since", "--diff-base", "--changed"],
        "'--changed-since REVISION'",
    ),
    (
        &["--baseline", "--baseline-file"],
        "'--known FILE', which '--write-known FILE' writes",
    ),
    (
        &["--type", "--lang", "--input-format", "--from"],
        "'--as FORMAT' says what the files are",
    ),
    (
        &["--color", "--colour", "--no-color", "--no-colour"],
        "colours are for terminals; the environment variable NO_COLOR=1 switches them off",
    ),
    (
        &["--engine"],
        "'engine = \"…\"' in gainsay.toml, which '--settings gainsay.toml' names",
    ),
    (&["--language"], "'language = \"German\"' in gainsay.toml"),
    (&["--board", "--diagrams"], "'--boards'"),
    (&["--version", "-v"], "'gainsay --version'"),
    (&["--explain"], "'gainsay explain RULE'"),
    (&["--list-rules"], "'gainsay rules'"),
    (&["--mate", "-m"], "'--within N', of 'gainsay prove'"),
];

/// Names of commands as other tools have them, and what does the same here.
const COMMANDS: &[(&[&str], &str)] = &[
    (
        &[
            "lint",
            "validate",
            "scan",
            "test",
            "run",
            "proofread",
            "read",
            "analyze",
            "analyse",
            "report",
        ],
        "'gainsay check FILE'",
    ),
    (
        &[
            "fix", "mend", "format", "fmt", "repair", "correct", "autofix",
        ],
        "'gainsay check --mend FILE'",
    ),
    (
        &["diff"],
        "'gainsay check --mend --dry-run FILE' shows the edits",
    ),
    (&["watch"], "'gainsay check --watch FILE'"),
    (
        &[
            "lsp",
            "server",
            "language-server",
            "langserver",
            "start",
            "daemon",
        ],
        "'gainsay serve' is the language server",
    ),
    (&["engine", "play"], "'gainsay uci' speaks the UCI protocol"),
    (
        &["mate", "solve", "solver", "search"],
        "'gainsay prove FEN|FILE'",
    ),
    (
        &["list", "list-rules", "rule"],
        "'gainsay rules' lists the rules, 'gainsay explain RULE' documents one",
    ),
    (&["doc", "docs", "describe", "info"], "'gainsay explain'"),
    (
        &["pre-commit", "install", "hooks", "git-hook"],
        "'gainsay hook' prints a pre-commit script for Git",
    ),
    (&["man"], "'gainsay manual'"),
    (&["completion", "complete"], "'gainsay completions SHELL'"),
    (&["version"], "'gainsay --version'"),
    (
        &["init", "config"],
        "'gainsay settings' prints the settings that hold; a file gainsay.toml changes them",
    ),
];

/// Adds to an error of the command line what may have been meant.
pub(crate) fn add(error: &mut clap::Error) {
    let (kind, table) = match error.kind() {
        ErrorKind::UnknownArgument => (ContextKind::InvalidArg, OPTIONS),
        ErrorKind::InvalidSubcommand => (ContextKind::InvalidSubcommand, COMMANDS),
        _ => return,
    };
    let Some(ContextValue::String(written)) = error.get(kind) else {
        return;
    };
    let known = table.iter().find(|(names, _)| {
        let name = written.split('=').next().unwrap_or_default();
        names.contains(&name)
    });
    let tip = match known {
        Some((_, tip)) => (*tip).to_owned(),
        None if kind == ContextKind::InvalidSubcommand && Path::new(written).exists() => {
            format!("'gainsay check {written}'")
        }
        None => return,
    };
    // What only looks alike is not what was meant.
    for guess in [
        ContextKind::SuggestedArg,
        ContextKind::SuggestedSubcommand,
        ContextKind::Suggested,
    ] {
        error.remove(guess);
    }
    let tips = vec![StyledStr::from(tip)];
    error.insert(ContextKind::Suggested, ContextValue::StyledStrs(tips));
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory as _;

    use super::*;
    use crate::args::Args;

    fn told(arguments: &[&str]) -> String {
        let parsed = Args::command().try_get_matches_from(arguments);
        let mut error = parsed.expect_err("none of ours");
        add(&mut error);
        error.render().to_string()
    }

    #[test]
    fn every_foreign_name_is_answered() {
        for (names, tip) in OPTIONS {
            for name in *names {
                // Where all commands know an option, it is no tip but clutter.
                let taken = *name == "-v" || *name == "--version";
                let arguments = ["gainsay", if taken { "prove" } else { "check" }, name];
                let text = told(&arguments);
                assert!(text.contains(tip), "{name}: {text}");
                assert_eq!(text.matches("tip:").count(), 1, "{name}: {text}");
            }
        }
        for (names, tip) in COMMANDS {
            for name in *names {
                let text = told(&["gainsay", name, "games.pgn"]);
                assert!(text.contains(tip), "{name}: {text}");
                assert_eq!(text.matches("tip:").count(), 1, "{name}: {text}");
            }
        }
    }

    #[test]
    fn tips_name_options_and_commands_that_are_there() {
        let ours = Args::command();
        for (_, tip) in OPTIONS.iter().chain(COMMANDS) {
            for quoted in tip.split('\'').skip(1).step_by(2) {
                for word in quoted.split_whitespace() {
                    let known = |command: &clap::Command| {
                        let mut arguments = command.get_arguments();
                        arguments.any(|argument| argument.get_long() == word.strip_prefix("--"))
                    };
                    if word.starts_with("--") {
                        assert!(
                            word == "--version" || ours.get_subcommands().any(known),
                            "{word}"
                        );
                    }
                }
                if let Some(rest) = quoted.strip_prefix("gainsay ") {
                    let name = rest.split(' ').next().unwrap_or_default();
                    assert!(
                        name.starts_with('-') || ours.find_subcommand(name).is_some(),
                        "{name}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_file_without_a_command_is_to_be_checked() {
        let here = concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml");
        let text = told(&["gainsay", here]);
        assert!(text.contains(&format!("'gainsay check {here}'")), "{text}");
    }
}
