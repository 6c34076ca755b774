//! Which files of a folder hold chess, whether a file is text at all, and what an author has
//! set for them. The command and the language server pick the same files and read the same
//! settings.

use std::{
    fs::File,
    io::Read,
    path::{Path, PathBuf},
};

use gainsay_notation::{Format, SectionKind, manuscript};

mod docx;
mod known;
mod selection;
mod settings;

pub use docx::{
    DocxError, Paragraph, Paragraphs, Remark, is_docx, is_ours, read_docx, with_comments,
};
pub use known::{Head, KnownFinding, KnownFindings, Likeness, NoList, read_known};
pub use selection::{BadPattern, Selection};
#[cfg(feature = "schema")]
pub use settings::schema;
pub use settings::{
    ClosedFiles, Distrusted, Held, Hints, LEAST_MEMORY, Layer, Manuscripts, SETTINGS, Verdicts,
    Wrong, WrongSetting, has_settings, held, selection_for, settled_by, unknown_rule,
};

/// A file that holds chess, by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picked {
    /// Its path.
    pub path: PathBuf,
    /// How it is to be read.
    pub format: Format,
}

/// A folder or file that a walk cannot read; the message says which and why.
#[derive(Clone, Debug, thiserror::Error)]
#[error(transparent)]
pub struct Unreadable(ignore::Error);

/// The chess files in a folder and the folders in it, in a fixed order. Hidden files are
/// left out, and so is what a `.gitignore` or `.ignore` names and what the author does not want;
/// links are not followed. What cannot be read is told in its place.
pub fn pick(
    folder: &Path,
    wanted: &Selection,
) -> impl Iterator<Item = Result<Picked, Unreadable>> + use<> {
    walk(folder, wanted, usize::MAX, |path| {
        if is_docx(path) {
            docx_of_folder(path)
        } else {
            of_folder(path)
        }
    })
}

/// The same of the first `most` files and folders, whatever they hold, and only of those that are
/// text by themselves: no `.docx`.
pub fn pick_within(
    folder: &Path,
    wanted: &Selection,
    most: usize,
) -> impl Iterator<Item = Result<Picked, Unreadable>> + use<> {
    walk(folder, wanted, most, of_folder)
}

fn walk(
    folder: &Path,
    wanted: &Selection,
    most: usize,
    format_of: fn(&Path) -> Option<Format>,
) -> impl Iterator<Item = Result<Picked, Unreadable>> + use<> {
    let wanted = wanted.clone();
    // The author's patterns stand for whole paths.
    let whole = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    let named = folder.to_owned();
    let walk = ignore::WalkBuilder::new(folder)
        .sort_by_file_path(Ord::cmp)
        .filter_entry(move |entry| {
            let within = entry.path().strip_prefix(&named).unwrap_or(entry.path());
            let is_folder = entry.file_type().is_some_and(|kind| kind.is_dir());
            entry.depth() == 0 || wanted.takes(&whole.join(within), is_folder)
        })
        .build();
    walk.take(most).filter_map(move |entry| {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => return Some(Err(Unreadable(error))),
        };
        let is_file = entry.file_type().is_some_and(|kind| kind.is_file());
        let format = Some(entry.path()).filter(|_| is_file).and_then(format_of)?;
        Some(Ok(Picked {
            path: entry.into_path(),
            format,
        }))
    })
}

/// The format of a file in a folder. Most text has nothing to do with chess, so that its
/// beginning is looked at.
fn of_folder(path: &Path) -> Option<Format> {
    Format::from_path(path).filter(|&format| match format {
        Format::Pgn | Format::Epd | Format::Markdown => true,
        Format::Text | Format::Latex | Format::AsciiDoc => holds_chess(path, format),
    })
}

/// Whether the beginning of a manuscript has a game in a paragraph of its own, or a position.
fn holds_chess(path: &Path, format: Format) -> bool {
    const LOOK_AT: u64 = 256 << 10;
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(LOOK_AT).read_to_end(&mut head));
    read.is_ok() && sniff(&head).is_ok() && has_chess(&head, format)
}

fn has_chess(text: &[u8], format: Format) -> bool {
    let read = manuscript(text, format);
    let mut sections = read.sections.iter();
    sections.any(|section| section.kind != SectionKind::Prose)
}

/// How a document of a word processor in a folder is read, where it holds chess.
fn docx_of_folder(path: &Path) -> Option<Format> {
    let (text, _) = read_docx(path).ok()?;
    has_chess(text.as_bytes(), Format::Markdown).then_some(Format::Markdown)
}

/// Formats of documents that authors write chess in and that are not read, by their extension.
const UNREAD: [&str; 7] = ["rst", "html", "htm", "doc", "odt", "rtf", "pdf"];

/// The extension of a file whose format is known and not read.
#[must_use]
pub fn unread_format(path: &Path) -> Option<&'static str> {
    let extension = path.extension()?.to_str()?.to_ascii_lowercase();
    UNREAD.into_iter().find(|unread| *unread == extension)
}

/// Why bytes are not a text that can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoText {
    /// They have control characters all over.
    #[error("this is no text but binary data")]
    Binary,
    /// They are in an encoding that is not read.
    #[error("this text is in UTF-16: save it as UTF-8")]
    Utf16,
}

/// Whether a file that begins with `bytes` can be game text at all.
///
/// A damaged game file has a few control characters, binary data has them all over.
///
/// # Errors
///
/// [`NoText`] says what it is instead.
pub fn sniff(bytes: &[u8]) -> Result<(), NoText> {
    const LOOK_AT: usize = 8 << 10;
    const FEW: usize = 8;
    const ONE_IN: usize = 50;
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err(NoText::Utf16);
    }
    let head = bytes.get(..LOOK_AT).unwrap_or(bytes);
    let controls = head
        .iter()
        .filter(|byte| byte.is_ascii_control() && !byte.is_ascii_whitespace())
        .count();
    if controls >= FEW && controls * ONE_IN > head.len() {
        return Err(NoText::Binary);
    }
    Ok(())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn picks_what_holds_chess_and_is_not_ignored() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for sub in ["b", ".hidden", "left", ".git"] {
            fs::create_dir(at(sub)).unwrap();
        }
        for name in [
            "b/two.epd",
            "one.PGN",
            "three.md",
            "notes.txt",
            "picture.png",
            ".hidden/a.pgn",
            "left/out.pgn",
        ] {
            fs::write(at(name), "").unwrap();
        }
        fs::write(at(".gitignore"), "left/\n").unwrap();
        let found: Vec<(PathBuf, Format)> = pick(folder.path(), &Selection::default())
            .map(|picked| picked.map(|picked| (picked.path, picked.format)))
            .collect::<Result<_, _>>()
            .unwrap();
        assert_eq!(
            found,
            [
                (at("b/two.epd"), Format::Epd),
                (at("one.PGN"), Format::Pgn),
                (at("three.md"), Format::Markdown),
            ]
        );
        // A text that holds a game is one of them, a shopping list is not.
        fs::write(
            at("notes.txt"),
            "The first game:\n\n1. e4 e5 2. Nf3 Nc6 *\n",
        )
        .unwrap();
        fs::write(at("list.txt"), "4. eggs\n5. tea\n\nNo. 1 first.\n").unwrap();
        let texts: Vec<PathBuf> = pick(folder.path(), &Selection::default())
            .filter_map(Result::ok)
            .filter(|picked| picked.format == Format::Text)
            .map(|picked| picked.path)
            .collect();
        assert_eq!(texts, [at("notes.txt")]);
        assert!(
            pick(&at("nowhere"), &Selection::default())
                .next()
                .unwrap()
                .is_err()
        );
        // The folder itself and the first thing in it.
        assert_eq!(
            pick_within(folder.path(), &Selection::default(), 3).count(),
            1
        );
    }

    #[test]
    fn formats_that_are_not_read_are_known() {
        assert_eq!(unread_format(Path::new("a/Chapter.RTF")), Some("rtf"));
        assert_eq!(unread_format(Path::new("chapter.txt")), None);
        assert_eq!(unread_format(Path::new("tex")), None);
    }

    #[test]
    fn tells_text_from_what_is_none() {
        assert_eq!(sniff(b"1. e4 e5 \x00\x01 *"), Ok(()));
        assert_eq!(sniff(&[0; 100]), Err(NoText::Binary));
        assert_eq!(sniff(b"\xff\xfe1\x00"), Err(NoText::Utf16));
    }
}
