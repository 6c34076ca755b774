//! `gainsay sheet`: proof sheets, one page a source, made of the same reports as the output of
//! `gainsay check`.

mod article;
mod collect;
mod head;
mod index;
mod item;
mod lines;
mod link;
mod marks;
mod page;
mod quoted;
mod strip;
mod summary;
mod titles;
mod which;
mod words;

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use gainsay::Format;

use collect::{Collector, Written};
use item::State;

use crate::{
    args::SheetArgs,
    check::prepare,
    checker::check_all,
    exit::TROUBLE,
    print::{self, complain, name},
    written::{WriteError, may_write, names, write},
};

/// Writes the sheets and returns the exit code: 0 once they are written, whatever they say.
pub(crate) fn run(args: &SheetArgs) -> u8 {
    let Some((found, chosen, troubled)) = prepare(&args.work) else {
        return TROUBLE;
    };
    let paths: Vec<&Path> = found.iter().map(|source| source.path.as_path()).collect();
    let pages: BTreeMap<PathBuf, (PathBuf, Format)> = (found.iter().zip(names(&paths)))
        .map(|(source, name)| {
            let page = args.out.join(format!("{name}.html"));
            (source.path.clone(), (page, source.format))
        })
        .collect();
    let index = args.out.join("index.html");
    // It is told before the work, not after it.
    let several = pages.len() > 1;
    let places = pages
        .values()
        .map(|(page, _)| page)
        .chain(several.then_some(&index));
    let foreign: Vec<WriteError> = places.filter_map(|path| may_write(path).err()).collect();
    for error in &foreign {
        complain(&error.to_string());
    }
    if !foreign.is_empty() || found.is_empty() {
        return TROUBLE;
    }
    let folder = std::fs::create_dir_all(&args.out).map_err(|source| WriteError::Io {
        path: args.out.clone(),
        source,
    });
    if let Err(error) = folder {
        complain(&error.to_string());
        return TROUBLE;
    }
    let mut collector = Collector::new(pages, args.show.into());
    let done = check_all(&found, &chosen, &args.work, None, &mut collector);
    let mut told: String = collector.written.iter().map(line).collect();
    if several {
        match write(
            &index,
            index::index(&collector.written).into_string().as_bytes(),
        ) {
            Ok(()) => told.push_str(&format!("{}\n", name(&index))),
            Err(error) => {
                complain(&error.to_string());
                return TROUBLE;
            }
        }
    }
    let code = print::all(told.as_bytes());
    if troubled || done.troubled {
        TROUBLE
    } else {
        code
    }
}

/// What was written, in a line.
fn line(written: &Written) -> String {
    let count = |state| written.counts.get(&state).copied().unwrap_or_default();
    let [fails, open, holds] = [State::Fails, State::Unsettled, State::Holds].map(count);
    format!(
        "{}: {}; {} wrong in the notation\n",
        name(&written.page),
        gainsay::show::verdicts(holds, fails, open),
        count(State::Error)
    )
}
