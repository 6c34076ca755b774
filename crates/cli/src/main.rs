//! The command `gainsay`: the only part that reads files, prints, and knows about
//! exit codes.

// Both panic where nobody listens; `print` does not.
#![deny(clippy::print_stdout, clippy::print_stderr)]

mod aids;
mod args;
mod asked;
mod bar;
mod blocks;
mod board;
mod cache;
mod changed;
mod check;
mod checker;
mod comments;
mod cut;
mod drawing;
mod engine;
mod exercises;
mod exit;
mod explain;
mod files;
mod firsts;
mod held;
mod known;
mod memory;
mod mend;
mod output;
mod pool;
mod print;
mod prove;
mod schema;
mod serve;
mod settings;
mod sheet;
mod tips;
mod totals;
mod uci;
mod verify;
mod watch;
mod written;

use std::{
    io::{self, Write as _},
    process::ExitCode,
};

use clap::{CommandFactory, Parser};

use args::{Args, Command};
use exit::{CLEAN, TROUBLE};
use print::complain;

fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => return ExitCode::from(refuse(error)),
    };
    let code = match args.command {
        Command::Check(args) => check::run(&args),
        Command::Sheet(args) => sheet::run(&args),
        Command::Exercises(args) => exercises::run(&args),
        Command::Board(args) => drawing::board(&args),
        Command::Diagrams(args) => drawing::diagrams(&args),
        Command::Prove(args) => prove::run(&args),
        Command::Verify { file } => verify::run(&file),
        Command::Explain { rule } => explain::explain(rule.as_deref()),
        Command::Rules { markdown } => explain::rules(markdown),
        Command::Schema { of } => schema::run(of),
        Command::Settings { path } => held::run(&path),
        Command::Serve => serve::run(),
        Command::Uci => uci::run(),
        Command::Hook => print::all(include_bytes!("hook.sh")),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Args::command(), "gainsay", &mut script);
            print::all(&script)
        }
        Command::Manual => manual(),
    };
    ExitCode::from(code)
}

/// Prints the manual page: the command, and behind it a chapter a subcommand.
fn manual() -> u8 {
    let mut command = Args::command();
    command.build();
    let mut page = Vec::new();
    let made = (clap_mangen::Man::new(command.clone()).render(&mut page)).and_then(|()| {
        let all = command.get_subcommands();
        for subcommand in all.filter(|subcommand| subcommand.get_name() != "help") {
            chapter(subcommand, &mut page)?;
        }
        Ok(())
    });
    // There is one page, and none for each subcommand.
    let page = String::from_utf8_lossy(&page).replace("gainsay\\-", "gainsay ");
    match made {
        Ok(()) => print::all(page.replace("(1)\n", "\n").as_bytes()),
        Err(error) => print::done(Err(error), "the manual page", TROUBLE),
    }
}

fn chapter(subcommand: &clap::Command, page: &mut Vec<u8>) -> io::Result<()> {
    let man = clap_mangen::Man::new(subcommand.clone());
    let mut sections = Vec::new();
    man.render_synopsis_section(&mut sections)?;
    man.render_description_section(&mut sections)?;
    man.render_options_section(&mut sections)?;
    let name = subcommand.get_name();
    writeln!(page, ".SH GAINSAY {}", name.to_uppercase())?;
    let sections = String::from_utf8_lossy(&sections)
        .replace(".SH ", ".SS ")
        .replacen(
            &format!("\\fB{name}\\fR"),
            &format!("\\fBgainsay {name}\\fR"),
            1,
        );
    page.extend(sections.as_bytes());
    Ok(())
}

/// Prints help, or what is wrong with the options: that is trouble (exit 2).
fn refuse(mut error: clap::Error) -> u8 {
    if !error.use_stderr() {
        return print::done(error.print(), "the help", CLEAN);
    }
    tips::add(&mut error);
    let mut arguments = std::env::args_os();
    if arguments.any(|argument| argument.to_string_lossy().contains(print::acts)) {
        // A name that a shell put there may hold anything, and it is quoted.
        complain(error.render().to_string().trim_end());
    } else {
        let _ = error.print();
    }
    TROUBLE
}
