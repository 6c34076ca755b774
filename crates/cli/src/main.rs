//! The command `gainsay`: the only part that reads files, prints, and knows about
//! exit codes.

mod aids;
mod args;
mod board;
mod cache;
mod check;
mod engine;
mod explain;
mod files;
mod firsts;
mod memory;
mod mend;
mod output;
mod pool;
mod prove;
mod serve;
mod settings;
mod uci;
mod verify;
mod watch;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Args, Command};

/// Nothing at or above the failing severity.
pub(crate) const CLEAN: u8 = 0;
/// Something at or above the failing severity.
pub(crate) const FOUND: u8 = 1;
/// The work could not be done; standard error says why.
pub(crate) const TROUBLE: u8 = 2;

fn main() -> ExitCode {
    // A bad option is trouble (exit 2), which is also what clap's own exit says.
    let args = Args::parse();
    let code = match args.command {
        Command::Check(args) => check::run(&args),
        Command::Prove(args) => prove::run(&args),
        Command::Verify { file } => verify::run(&file),
        Command::Explain { rule } => explain::explain(&rule),
        Command::Rules { markdown } => explain::rules(markdown),
        Command::Serve => serve::run(),
        Command::Uci => uci::run(),
        Command::Completions { shell } => {
            clap_complete::generate(
                shell,
                &mut Args::command(),
                "gainsay",
                &mut std::io::stdout(),
            );
            CLEAN
        }
        Command::Manual => manual(),
    };
    ExitCode::from(code)
}

fn manual() -> u8 {
    match clap_mangen::Man::new(Args::command()).render(&mut std::io::stdout()) {
        Ok(()) => CLEAN,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => CLEAN,
        Err(error) => {
            complain(&error.to_string());
            TROUBLE
        }
    }
}

/// Says on standard error why the work could not be done.
pub(crate) fn complain(message: &str) {
    eprintln!("gainsay: {message}");
}
