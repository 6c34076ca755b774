//! The command line.

use std::path::PathBuf;

use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};
use gainsay::Severity;
use shakmaty::Color;

/// Reads annotated chess files and says which moves, lines and claims do not hold.
#[derive(Debug, Parser)]
#[command(name = "gainsay", version, max_term_width = 100)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check files: moves, signs, lines and claims.
    Check(CheckArgs),
    /// Write proof sheets: a page for each source with every claim, its verdict, boards and moves.
    Sheet(SheetArgs),
    /// List the exercises of books: whether each is sound, its solutions, and what is wrong.
    Exercises(ExercisesArgs),
    /// Draw a position: of a FEN, or at a line of a file.
    Board(BoardArgs),
    /// Draw all diagrams of books, numbered as in the text.
    Diagrams(DiagramArgs),
    /// Look for forced mates in positions.
    Prove(ProveArgs),
    /// Replay written proofs of mate and say whether they are sound.
    Verify {
        /// A file that "--proof" of "gainsay prove" or "gainsay check" wrote.
        file: PathBuf,
    },
    /// Print the documentation of a rule.
    Explain {
        /// The name of the rule, as findings show it; without one, all rules are listed.
        rule: Option<String>,
    },
    /// List all rules with their severities.
    Rules {
        /// Print the documentation of all rules as one Markdown page.
        #[arg(long)]
        markdown: bool,
    },
    /// Start the language server on standard input and output.
    Serve,
    /// Speak the UCI protocol: move search and mate prover for boards that use engines.
    Uci,
    /// Print the settings that hold for a file or folder, and where each comes from.
    Settings {
        /// The file or folder.
        #[arg(default_value = ".")]
        path: PathBuf,
    },
    /// Print a JSON Schema: of what is printed as JSON, or of the settings file.
    Schema {
        /// Of what.
        of: SchemaOf,
    },
    /// Print a pre-commit script for Git, which checks what is staged.
    Hook,
    /// Print completions for a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page.
    Manual,
}

/// What is checked, and what with: the same for every command that checks.
#[derive(Debug, Arguments)]
pub(crate) struct WorkArgs {
    /// Files and folders; "-" is standard input.
    #[arg(required = true)]
    pub(crate) paths: Vec<PathBuf>,
    /// Read every file as this, whatever its name says.
    #[arg(long = "as", value_name = "FORMAT", value_parser = format_of_file())]
    pub(crate) file_format: Option<gainsay::Format>,
    /// Of the files that are named, leave out those that the settings "exclude", as it is done in
    /// folders; for hooks, which name what has changed.
    #[arg(long)]
    pub(crate) only_wanted: bool,
    /// The budget of one claim, in moves played on the solver's board [default: 1000000].
    #[arg(long, value_name = "N")]
    pub(crate) nodes: Option<u64>,
    /// The budget of all claims of one game together [default: a hundred times that of one].
    #[arg(long, value_name = "N")]
    pub(crate) game_nodes: Option<u64>,
    /// Megabytes of memory that the process may take at most [default: 256].
    #[arg(long, value_name = "MB")]
    pub(crate) memory: Option<usize>,
    /// Report this rule only (may be repeated).
    #[arg(long, value_name = "RULE")]
    pub(crate) only: Vec<String>,
    /// Do not report this rule (may be repeated).
    #[arg(long, value_name = "RULE")]
    pub(crate) without: Vec<String>,
    /// Check moves and signs only, settle no claims.
    #[arg(long)]
    pub(crate) no_claims: bool,
    /// Check only games, positions and paragraphs that have changed since this revision of Git: since
    /// the branch left it, where it has gone on.
    #[arg(long, value_name = "REVISION")]
    pub(crate) changed_since: Option<String>,
    /// Leave out the findings that this list knows ("--write-known" writes one).
    #[arg(long, value_name = "FILE")]
    pub(crate) known: Option<PathBuf>,
    /// Report what the list of known findings in the settings leaves out, too.
    #[arg(long, conflicts_with = "known")]
    pub(crate) no_known: bool,
    /// Read the settings from this file instead of the nearest gainsay.toml.
    #[arg(long, value_name = "FILE")]
    pub(crate) settings: Option<PathBuf>,
    /// Settle every claim anew: neither read nor write the user's cache folder.
    #[arg(long)]
    pub(crate) no_cache: bool,
    /// Say on standard error how many games were remembered from earlier runs.
    #[arg(short, long)]
    pub(crate) verbose: bool,
    /// Threads to work with [default: one a core].
    #[arg(long, value_name = "N")]
    pub(crate) threads: Option<usize>,
}

#[derive(Debug, Arguments)]
#[command(group = clap::ArgGroup::new("edits").args(["mend", "export"]))]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    pub(crate) work: WorkArgs,
    /// How to print what was found.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: Printed,
    /// The least severity that makes the exit code 1 [default: error].
    #[arg(long, value_name = "SEVERITY")]
    pub(crate) fail_on: Option<Degree>,
    /// The least severity that is shown; the numbers at the end count all [default: everything
    /// in json, ndjson and sarif, else information, or less where "--fail-on" is less].
    #[arg(long, value_name = "SEVERITY")]
    pub(crate) show: Option<Degree>,
    /// Draw the position under each finding (text format).
    #[arg(long)]
    pub(crate) boards: bool,
    /// List every claim with its verdict and its moves (text format).
    #[arg(long)]
    pub(crate) claims: bool,
    /// Apply every safe remedy to the files first (signs, numbers, spelling), then report
    /// what is left.
    #[arg(long, conflicts_with = "changed_since")]
    pub(crate) mend: bool,
    /// Write the moves of old books (P-K4, KtxP) in algebraic notation into the files first, in
    /// games and in words, with the piece letters of this language; then report what is left.
    #[arg(long, value_name = "LANGUAGE", num_args = 0..=1, require_equals = true,
        default_missing_value = "English", value_parser = language(),
        conflicts_with_all = ["changed_since", "watch"])]
    pub(crate) export: Option<gainsay::Language>,
    /// Show what "--mend" or "--export" would edit as a unified diff, and write nothing. The exit
    /// code is 1 where it would edit something.
    #[arg(long, requires = "edits")]
    pub(crate) dry_run: bool,
    /// Check again whenever a file is written, until interrupted.
    #[arg(long, conflicts_with = "mend")]
    pub(crate) watch: bool,
    /// Write all findings to this list of known ones, and report none. What it knows of other
    /// files is kept.
    #[arg(long, value_name = "FILE", 
        conflicts_with_all = ["watch", "changed_since", "only", "without", "no_claims"])]
    pub(crate) write_known: Option<PathBuf>,
    /// Write a copy of the one .docx file that is checked, with what is found as comments on its
    /// paragraphs.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["watch", "edits", "write_known"])]
    pub(crate) comments: Option<PathBuf>,
    /// Write the proofs of all mates that are claimed and hold to this file, for "gainsay
    /// verify". Every claim is settled anew.
    #[arg(long, value_name = "FILE", conflicts_with = "watch")]
    pub(crate) proof: Option<PathBuf>,
}

#[derive(Debug, Arguments)]
pub(crate) struct SheetArgs {
    #[command(flatten)]
    pub(crate) work: WorkArgs,
    /// The folder that the pages are written to; it is made where it is missing.
    #[arg(short, long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
    /// The least severity of the notation that is shown; claims are shown all.
    #[arg(long, value_name = "SEVERITY", default_value = "information")]
    pub(crate) show: Degree,
}

#[derive(Debug, Arguments)]
pub(crate) struct ExercisesArgs {
    #[command(flatten)]
    pub(crate) work: WorkArgs,
    /// How to print the table.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TablePrinted,
    /// Print a page of solutions instead, of those that are sound, with the defences as side-lines.
    #[arg(long)]
    pub(crate) solutions: bool,
}

/// How a table is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum TablePrinted {
    /// For people.
    Text,
    /// An array of objects.
    Json,
    /// A table in Markdown.
    Markdown,
    /// Comma-separated values (RFC 4180).
    Csv,
}

#[derive(Debug, Arguments)]
pub(crate) struct BoardArgs {
    /// A position in FEN, or a file and a line: the position behind the last move up to there.
    #[arg(value_name = "FEN|FILE:LINE")]
    pub(crate) what: String,
    /// What to write [default: as the name of "--out" ends, else svg].
    #[arg(long, value_name = "FORMAT")]
    pub(crate) format: Option<Drawn>,
    /// The file to write; without it the drawing goes to standard output.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// The side at the lower edge.
    #[arg(long, value_name = "SIDE", default_value = "white")]
    pub(crate) side: Side,
    /// Width and height, in pixels.
    #[arg(long, value_name = "N", default_value = "640", value_parser = clap::value_parser!(u32).range(16..=8192))]
    pub(crate) size: u32,
}

#[derive(Debug, Arguments)]
pub(crate) struct DiagramArgs {
    /// Files and folders.
    #[arg(required = true, value_name = "BOOK")]
    pub(crate) books: Vec<PathBuf>,
    /// The folder that the drawings are written to; it is made where it is missing.
    #[arg(short, long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
    /// What to write.
    #[arg(long, value_name = "FORMAT", default_value = "svg")]
    pub(crate) format: Drawn,
    /// Width and height, in pixels.
    #[arg(long, value_name = "N", default_value = "640", value_parser = clap::value_parser!(u32).range(16..=8192))]
    pub(crate) size: u32,
}

#[derive(Debug, Arguments)]
pub(crate) struct ProveArgs {
    /// A position in FEN, or a file: positions in EPD or FEN, one a line, or games with a FEN
    /// tag.
    #[arg(value_name = "FEN|FILE")]
    pub(crate) what: String,
    /// Look for a mate in at most this many moves.
    #[arg(long, value_name = "N")]
    pub(crate) within: Option<u32>,
    /// Say of every first move whether it mates within that number, or within that of the
    /// shortest mate found (where the side to move mates).
    #[arg(long)]
    pub(crate) moves: bool,
    /// The side that is to mate [default: either; a small part of the budget shows which].
    #[arg(long, value_name = "SIDE")]
    pub(crate) side: Option<Side>,
    /// The budget of one position, in moves played on the solver's board.
    #[arg(long, value_name = "N", default_value = "1000000")]
    pub(crate) nodes: u64,
    /// Megabytes of memory that the process may take at most [default: 256].
    #[arg(long, value_name = "MB")]
    pub(crate) memory: Option<usize>,
    /// Write the proofs to this file, for "gainsay verify".
    #[arg(long, value_name = "FILE")]
    pub(crate) proof: Option<PathBuf>,
    /// How to print the answers.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: ProvePrinted,
    /// Threads to work with [default: one a core].
    #[arg(long, value_name = "N")]
    pub(crate) threads: Option<usize>,
}

impl CheckArgs {
    /// The least severity to print: programs get all there is, people what they have to know.
    pub(crate) fn show(&self, fail_on: Severity) -> Severity {
        match (self.show, self.format) {
            (Some(degree), _) => degree.into(),
            (None, Printed::Json | Printed::Ndjson | Printed::Sarif) => Severity::Hint,
            (None, Printed::Text | Printed::Lines | Printed::Junit | Printed::Github) => {
                Severity::Information.min(fail_on)
            }
        }
    }
}

/// A side as an option.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Side {
    White,
    Black,
}

impl From<Side> for Color {
    fn from(side: Side) -> Self {
        match side {
            Side::White => Self::White,
            Side::Black => Self::Black,
        }
    }
}

/// How a position is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Drawn {
    /// Lines, sharp at every size.
    Svg,
    /// Dots.
    Png,
}

/// How to print answers about mates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ProvePrinted {
    /// For people.
    Text,
    /// One JSON object.
    Json,
    /// A game for every position, with every defence as a side-line; cut at 10000 moves.
    Pgn,
}

/// How to print findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Printed {
    /// For people.
    Text,
    /// One line a finding, as compilers print them.
    Lines,
    /// One JSON object; "gainsay schema report" describes it.
    Json,
    /// A JSON object a finding, one a line; "gainsay schema finding" describes it.
    Ndjson,
    /// SARIF 2.1.0.
    Sarif,
    /// JUnit XML.
    Junit,
    /// Workflow commands of GitHub Actions.
    Github,
}

/// What has a JSON Schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// The object of "gainsay check --format json".
    Report,
    /// A line of "gainsay check --format ndjson".
    Finding,
    /// The settings file gainsay.toml, for editors that complete and check TOML.
    Settings,
}

/// A severity as an option.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Degree {
    Error,
    Warning,
    Information,
    Hint,
}

impl From<Degree> for Severity {
    fn from(degree: Degree) -> Self {
        match degree {
            Degree::Error => Self::Error,
            Degree::Warning => Self::Warning,
            Degree::Information => Self::Information,
            Degree::Hint => Self::Hint,
        }
    }
}

/// Reads the name of a file format, offering the known ones in help and errors.
fn format_of_file() -> impl clap::builder::TypedValueParser<Value = gainsay::Format> {
    use clap::builder::TypedValueParser as _;
    clap::builder::PossibleValuesParser::new(gainsay::Format::ALL.map(gainsay::Format::name))
        .map(|name| gainsay::Format::from_name(&name).unwrap_or_default())
}

/// A language by its English name.
fn language() -> impl clap::builder::TypedValueParser<Value = gainsay::Language> {
    use clap::builder::TypedValueParser as _;
    let all = gainsay::Language::ALL;
    clap::builder::PossibleValuesParser::new(all.map(gainsay::Language::name)).map(move |name| {
        let named = all.into_iter().find(|language| language.name() == name);
        named.unwrap_or_default()
    })
}
