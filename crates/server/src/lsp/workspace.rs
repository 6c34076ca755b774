//! Games of the workspace: of open documents, and of files that are not open.

use std::{
    collections::BTreeSet,
    path::PathBuf,
    sync::atomic::{AtomicBool, Ordering},
};

use gainsay_files::Picked;
use gainsay_notation::{Columns, Format, Game, LineIndex, SectionKind, manuscript};
use tower_lsp::lsp_types::{Location, Position, Range, TextEdit, Url};

use super::{convert, survey::files_of};
use crate::{
    address::address_of,
    closed::read,
    document::Snapshot,
    features::{
        links::Name,
        outline::{each_game, games_in, symbol},
    },
};

/// So many symbols are given.
const MOST: usize = 200;

/// The workspace, to be looked through.
pub(super) struct Workspace {
    /// Documents that are open.
    pub(super) open: Vec<(Url, Snapshot)>,
    pub(super) folders: Vec<PathBuf>,
    pub(super) columns: Columns,
}

/// Games whose players or event contain all words of `query`, in any case; as far as it
/// gets until `stop` is raised.
pub(super) fn symbols(
    workspace: &Workspace,
    query: &str,
    stop: &AtomicBool,
) -> Vec<(String, Location)> {
    let columns = workspace.columns;
    let words: Vec<String> = query.split_whitespace().map(str::to_lowercase).collect();
    let mut found = Vec::new();
    let mut take = |bytes: &[u8], game: &Game, number: usize, place: &dyn Fn(usize) -> Location| {
        let symbol = symbol(bytes, game, 0, number, false);
        let name = if symbol.detail.is_empty() {
            symbol.name
        } else {
            format!("{} ({})", symbol.name, symbol.detail)
        };
        let lower = name.to_lowercase();
        if found.len() < MOST && words.iter().all(|word| lower.contains(word)) {
            found.push((name, place(symbol.head.start)));
        }
        found.len() < MOST
    };
    let mut more = true;
    for (uri, snapshot) in &workspace.open {
        let mut number = 0;
        for section in snapshot.sections() {
            each_game(snapshot, section, |bytes, game| {
                number += 1;
                more = take(bytes, game, number, &|offset| {
                    let at = convert::position(&snapshot.text, section.start + offset, columns);
                    Location::new(uri.clone(), Range::new(at, at))
                });
            });
        }
    }
    for file in workspace.closed().flatten() {
        if !more || stop.load(Ordering::Relaxed) {
            break;
        }
        let mut number = 0;
        file.each_game(|text, base, game| {
            number += 1;
            more = take(text, game, number, &|offset| {
                let at = file.position(base + offset, columns);
                Location::new(file.uri.clone(), Range::new(at, at))
            });
        });
    }
    found
}

/// The edits of a file, with the version of a document that is open.
pub(super) type FileEdits = (Url, Option<i32>, Vec<TextEdit>);

/// The edits that rename a name in the files that are not open, and how many files could
/// not be read.
pub(super) fn rename_in_closed(
    workspace: &Workspace,
    name: &Name,
    new: &str,
) -> (Vec<FileEdits>, usize) {
    let columns = workspace.columns;
    let mut unread = 0;
    let mut all = Vec::new();
    for file in workspace.closed() {
        let Some(file) = file else {
            unread += 1;
            continue;
        };
        let mut edits = Vec::new();
        file.each_game(|text, base, game| {
            for span in name.places(text, game) {
                let start = file.position(base + span.start as usize, columns);
                let end = file.position(base + span.end as usize, columns);
                edits.push(TextEdit::new(Range::new(start, end), new.to_owned()));
            }
        });
        if !edits.is_empty() {
            all.push((file.uri, None, edits));
        }
    }
    (all, unread)
}

/// A chess file that is not open.
struct File {
    uri: Url,
    format: Format,
    bytes: Vec<u8>,
    lines: LineIndex,
}

impl Workspace {
    /// The chess files that are not open, read one after the other; `None` for what cannot
    /// be read.
    fn closed(&self) -> impl Iterator<Item = Option<File>> {
        let open = self.open.iter();
        let open = open.filter_map(|(uri, _)| uri.to_file_path().ok());
        let open: BTreeSet<PathBuf> = open.collect();
        let files = files_of(&self.folders);
        let closed = files.picked.into_iter();
        let closed = closed.filter(move |file| !open.contains(&file.path));
        let left_out = std::iter::repeat_with(|| None).take(files.left_out);
        closed.map(|file| File::read(&file)).chain(left_out)
    }
}

impl File {
    fn read(file: &Picked) -> Option<Self> {
        let uri = address_of(&file.path)?;
        let bytes = read(&file.path).ok()?;
        let lines = LineIndex::new(&bytes);
        Some(Self {
            uri,
            format: file.format,
            bytes,
            lines,
        })
    }

    /// Reads the games with the text of their section and where it begins.
    fn each_game(&self, mut each: impl FnMut(&[u8], usize, &Game)) {
        for (section, text) in manuscript(&self.bytes, self.format).parts() {
            if section.kind != SectionKind::Games {
                continue;
            }
            let base = section.range.start;
            games_in(text, |text, game| each(text, base, game));
        }
    }

    fn position(&self, offset: usize, columns: Columns) -> Position {
        let place = self.lines.position(&self.bytes, offset, columns);
        Position::new(place.line, place.column)
    }
}
