//! The position that `gainsay board` is asked for.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use gainsay::{Document, FenTrouble, Format, LineIndex, Moment, Settings, read_fen};
use shakmaty::{Board, Color, Position as _, fen::Fen};

use crate::print::{line, name};

/// A board, which may be no legal position where it was written as such.
pub(super) struct Place {
    pub(super) board: Board,
    pub(super) turn: Color,
    /// What led to it in a file.
    pub(super) moment: Option<Moment>,
    /// What is wrong with it.
    pub(super) trouble: Option<FenTrouble>,
}

/// Why there is no position.
#[derive(Debug, thiserror::Error)]
pub(super) enum PlaceError {
    #[error("\"{}\" is neither a FEN nor FILE:LINE with a file that is there", line(.0))]
    Nothing(String),
    #[error("{}: {source}", name(path))]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{}:{number}: it has {lines} lines; name one of them", name(path))]
    Beyond {
        path: PathBuf,
        number: usize,
        lines: usize,
    },
    #[error("{}:{number}: no position stands there or before it", name(path))]
    NoPosition { path: PathBuf, number: usize },
}

/// The position of a FEN, or at a line of a file.
pub(super) fn place(what: &str) -> Result<Place, PlaceError> {
    if let Some((path, number)) = split(what) {
        return in_file(path, number);
    }
    let fen: Fen = what
        .parse()
        .map_err(|_| PlaceError::Nothing(what.to_owned()))?;
    let setup = fen.into_setup();
    Ok(Place {
        board: setup.board,
        turn: setup.turn,
        moment: None,
        trouble: read_fen(what, false).1,
    })
}

/// A file that is there and a line, counted from 1.
fn split(what: &str) -> Option<(&Path, usize)> {
    let (path, number) = what.rsplit_once(':')?;
    let path = Path::new(path);
    let number = number.parse().ok()?;
    path.is_file().then_some((path, number))
}

fn in_file(path: &Path, number: usize) -> Result<Place, PlaceError> {
    let text = fs::read(path).map_err(|source| PlaceError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    let index = LineIndex::new(&text);
    let lines = index.len();
    let there = number.checked_sub(1).and_then(|at| index.line(&text, at));
    let Some(there) = there else {
        return Err(PlaceError::Beyond {
            path: path.to_owned(),
            number,
            lines,
        });
    };
    let format = Format::from_path(path).unwrap_or_default();
    let moment = Document::open(&text[..], format).moment(there.end, &Settings::default());
    let moment = moment.ok_or_else(|| PlaceError::NoPosition {
        path: path.to_owned(),
        number,
    })?;
    Ok(Place {
        board: moment.position.board().clone(),
        turn: moment.position.turn(),
        moment: Some(moment),
        trouble: None,
    })
}
