//! `gainsay board` and `gainsay diagrams`: positions as pictures.

mod place;

use std::{
    io::{self, IsTerminal as _, Read as _},
    path::{Path, PathBuf},
};

use gainsay::{Diagram, Document, Moment, Settings, show};
use gainsay_draw::{Picture, PngError, png};
use shakmaty::Position as _;

use crate::{
    args::{BoardArgs, DiagramArgs, Drawn},
    drawing::place::{Place, PlaceError, place},
    exit::{CLEAN, TROUBLE},
    files::{PathError, Source, sources},
    print::{self, complain, name},
    settings::selection,
    written::{WriteError, may_write, names, write},
};

/// Why nothing is drawn.
#[derive(Debug, thiserror::Error)]
enum DrawError {
    #[error(transparent)]
    Place(#[from] PlaceError),
    #[error(transparent)]
    Path(#[from] PathError),
    #[error(transparent)]
    Written(#[from] WriteError),
    #[error(transparent)]
    Dots(#[from] PngError),
    #[error("a PNG is nothing to read: name a file with --out")]
    Terminal,
}

/// Draws one position, and returns the exit code.
pub(crate) fn board(args: &BoardArgs) -> u8 {
    drawn(args).unwrap_or_else(|error| {
        complain(&error.to_string());
        TROUBLE
    })
}

fn drawn(args: &BoardArgs) -> Result<u8, DrawError> {
    let Place {
        board,
        turn,
        moment,
        trouble,
    } = place(&args.what)?;
    // It is drawn all the same: an author may want to see what is wrong.
    if let Some(trouble) = trouble {
        complain(&trouble.to_string());
    }
    let mut picture = Picture::of(&board, turn);
    picture.below = args.side.into();
    let title = moment.as_ref().and_then(mark(&mut picture));
    picture.title = title.as_deref();
    picture.end = (moment.as_ref()).and_then(|moment| gainsay_draw::end(&moment.position));
    let by_name = args.out.as_deref().and_then(Path::extension);
    let by_name = by_name.filter(|ending| ending.eq_ignore_ascii_case("png"));
    let format = args
        .format
        .unwrap_or(by_name.map_or(Drawn::Svg, |_| Drawn::Png));
    let bytes = bytes(&mut picture, format, args.size)?;
    let Some(out) = &args.out else {
        if format == Drawn::Png && io::stdout().is_terminal() {
            return Err(DrawError::Terminal);
        }
        return Ok(print::all(&bytes));
    };
    write(out, &bytes)?;
    Ok(CLEAN)
}

/// Marks the move that led to a position, and says which it was.
fn mark<'p>(picture: &'p mut Picture<'_>) -> impl FnOnce(&Moment) -> Option<String> + 'p {
    |moment| {
        if let Some(m) = moment.last {
            picture.moved = show::ends(m).into_iter().collect();
        }
        Some(format!("After {}", moment.name.as_ref()?))
    }
}

fn bytes(picture: &mut Picture<'_>, format: Drawn, size: u32) -> Result<Vec<u8>, PngError> {
    picture.size = Some(size);
    let svg = picture.svg();
    match format {
        Drawn::Svg => Ok(svg.into_bytes()),
        Drawn::Png => png(&svg, size),
    }
}

/// Draws the diagrams of books, tells their names and returns the exit code.
pub(crate) fn diagrams(args: &DiagramArgs) -> u8 {
    let wanted = match selection(&args.books) {
        Ok(wanted) => wanted,
        Err(errors) => {
            for error in errors {
                complain(&error.to_string());
            }
            return TROUBLE;
        }
    };
    let (found, missing) = sources(&args.books, None, &wanted);
    for error in &missing {
        complain(&error.to_string());
    }
    let mut troubled = !missing.is_empty();
    let mut told = String::new();
    let paths: Vec<&Path> = found.iter().map(|source| source.path.as_path()).collect();
    for (source, book) in found.iter().zip(names(&paths)) {
        let done = of_book(source, &book, args, &mut told);
        troubled |= done.is_err();
        if let Err(error) = done {
            complain(&error.to_string());
        }
    }
    let code = print::all(told.as_bytes());
    if troubled { TROUBLE } else { code }
}

/// Draws the diagrams of a book.
fn of_book(
    source: &Source,
    book: &str,
    args: &DiagramArgs,
    told: &mut String,
) -> Result<(), DrawError> {
    let mut text = Vec::new();
    let read = source.open()?.read_to_end(&mut text);
    read.map_err(|error| PathError::Unreadable {
        path: source.path.clone(),
        source: error,
    })?;
    source.sniff(&text)?;
    let lines = gainsay::LineIndex::new(&text);
    let diagrams = Document::open(&text[..], source.format).diagrams(&Settings::default());
    if diagrams.is_empty() {
        told.push_str(&format!("{}: no diagrams\n", name(&source.path)));
        return Ok(());
    }
    let ending = match args.format {
        Drawn::Svg => "svg",
        Drawn::Png => "png",
    };
    let width = Width::of(&diagrams);
    let outs: Vec<PathBuf> = (diagrams.iter())
        .map(|diagram| {
            args.out
                .join(format!("{book}-{}.{ending}", width.name(diagram)))
        })
        .collect();
    // All or none of a book.
    for out in &outs {
        may_write(out)?;
    }
    for (diagram, out) in diagrams.iter().zip(&outs) {
        let position = &diagram.moment.position;
        let mut picture = Picture::of(position.board(), position.turn());
        picture.below = diagram.below;
        let behind = mark(&mut picture)(&diagram.moment);
        let title = match behind {
            Some(behind) => format!("Diagram {}. {behind}", diagram.number),
            None => format!("Diagram {}", diagram.number),
        };
        picture.title = Some(&title);
        picture.end = gainsay_draw::end(position);
        write(out, &bytes(&mut picture, args.format, args.size)?)?;
        let line = lines.place(&text, diagram.offset).line;
        told.push_str(&format!("{}  {}:{line}\n", name(out), name(&source.path)));
    }
    Ok(())
}

/// How many digits the numbers have, so that the names of the files sort as the numbers do.
struct Width {
    game: usize,
    number: usize,
}

impl Width {
    fn of(diagrams: &[Diagram]) -> Self {
        let digits = |number: Option<u32>| number.unwrap_or_default().to_string().len();
        Self {
            game: digits(diagrams.iter().filter_map(|diagram| diagram.game).max()),
            number: digits(diagrams.iter().map(|diagram| diagram.number).max()).max(2),
        }
    }

    fn name(&self, diagram: &Diagram) -> String {
        let Self {
            game: long,
            number: width,
        } = self;
        let number = diagram.number;
        match diagram.game {
            Some(game) => format!("game-{game:0>long$}-diagram-{number:0>width$}"),
            None => format!("diagram-{number:0>width$}"),
        }
    }
}
