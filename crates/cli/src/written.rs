//! Files that a command writes into a folder: whole or not at all, and never in the place of
//! somebody else's.

use std::{
    collections::HashSet,
    fs,
    io::{self, BufWriter, Write as _},
    path::{Path, PathBuf},
};

use crate::print::name;

/// What stands near the beginning of a file that this program wrote: of pages, of drawings and
/// of pictures of dots.
const OURS: [&[u8]; 3] = [
    b"<meta name=\"generator\" content=\"gainsay\">",
    b"data-drawn-by=\"gainsay\"",
    b"Software\0gainsay",
];

/// How far from the beginning that may stand.
const NEAR: usize = 4 << 10;

/// Why a file is not written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum WriteError {
    #[error(
        "{}: this file was not written by gainsay; move it away, or name another folder with --out",
        name(.0)
    )]
    Foreign(PathBuf),
    #[error("{}: {source}", name(path))]
    Io { path: PathBuf, source: io::Error },
}

/// Makes sure that a file may be written: there is none, or one that this program wrote.
pub(crate) fn may_write(path: &Path) -> Result<(), WriteError> {
    let io = |source| WriteError::Io {
        path: path.to_owned(),
        source,
    };
    let mut file = match fs::File::open(path) {
        Ok(file) => io::Read::take(file, NEAR as u64),
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(io(error)),
    };
    let mut start = Vec::new();
    io::Read::read_to_end(&mut file, &mut start).map_err(io)?;
    let ours = OURS
        .iter()
        .any(|mark| memchr::memmem::find(&start, mark).is_some());
    if ours || start.is_empty() {
        Ok(())
    } else {
        Err(WriteError::Foreign(path.to_owned()))
    }
}

/// Writes a file in one step, and the folders above it where they are missing.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    may_write(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let written = fs::create_dir_all(folder).and_then(|()| whole(path, |out| out.write_all(bytes)));
    written.map_err(|source| WriteError::Io {
        path: path.to_owned(),
        source,
    })
}

/// Writes a file whole or not at all, in the place of whatever was there.
pub(crate) fn whole(
    path: &Path,
    content: impl FnOnce(&mut BufWriter<&mut fs::File>) -> io::Result<()>,
) -> io::Result<()> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As any new file has; the user's mask takes away what is not wanted.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    let mut out = BufWriter::new(file.as_file_mut());
    content(&mut out)?;
    out.flush()?;
    drop(out);
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}

/// A name of its own for the files of each source, without folders and without an ending: what
/// the source is called, with its ending where others have the same, with its folder in front
/// where that is taken, and with a number where that does not do. Names that differ in case only are the same on some systems.
pub(crate) fn names(paths: &[&Path]) -> Vec<String> {
    let plain = |part: Option<&std::ffi::OsStr>| {
        let part = part.unwrap_or_default().to_string_lossy();
        let safe = |c: char| {
            if c.is_alphanumeric() || "-_.".contains(c) {
                c
            } else {
                '-'
            }
        };
        let text: String = part.chars().map(safe).collect();
        let text = text.trim_start_matches('.');
        match text {
            "" | "-" => "input".to_owned(),
            text => text.to_owned(),
        }
    };
    let stems: Vec<String> = paths.iter().map(|path| plain(path.file_stem())).collect();
    // The list of sheets has this name.
    let mut taken: HashSet<String> = HashSet::from(["index".to_owned()]);
    let mut names = Vec::new();
    for (path, stem) in paths.iter().zip(&stems) {
        let lower = stem.to_lowercase();
        let same = stems.iter().filter(|other| other.to_lowercase() == lower);
        let base = if same.count() > 1 {
            plain(path.file_name()).replace('.', "-")
        } else {
            stem.clone()
        };
        let numbered = (2..).map(|number| format!("{base}-{number}"));
        let folder = path.parent().and_then(Path::file_name);
        let in_folder = folder.map(|folder| format!("{}-{base}", plain(Some(folder))));
        let mut choices = std::iter::once(base.clone())
            .chain(in_folder)
            .chain(numbered);
        let free = choices.find(|choice| taken.insert(choice.to_lowercase()));
        names.push(free.unwrap_or(base));
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_source_has_a_name_of_its_own() {
        let paths = [
            "a/games.pgn",
            "b/Games.pgn",
            "games.epd",
            "-",
            "index.md",
            "x y<.md",
        ]
        .map(Path::new);
        assert_eq!(
            names(&paths),
            [
                "games-pgn",
                "b-Games-pgn",
                "games-epd",
                "input",
                "index-2",
                "x-y-"
            ]
        );
    }

    #[test]
    fn only_our_own_files_are_written_over() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("new/picture.svg");
        let ours = b"<svg data-drawn-by=\"gainsay\"/>";
        write(&path, ours).expect("it is new");
        write(&path, ours).expect("it is ours");
        fs::write(&path, "<svg>mine</svg>").expect("it can be written");
        let error = write(&path, ours).expect_err("it is somebody's");
        assert!(matches!(error, WriteError::Foreign(_)), "{error}");
        assert_eq!(fs::read(&path).expect("it is there"), b"<svg>mine</svg>");
        assert_eq!(
            fs::read_dir(folder.path().join("new"))
                .expect("a folder")
                .count(),
            1
        );
    }
}
