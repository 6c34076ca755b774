//! The parts of a package, and what its XML is made of.

use std::{
    fs::File,
    io::{self, BufReader, Read},
    path::Path,
};

use quick_xml::{
    Reader,
    events::{BytesStart, Event},
};
use zip::{ZipArchive, result::ZipError};

/// The part that holds the text.
pub(super) const DOCUMENT: &str = "word/document.xml";

/// A part may be so many bytes long once it is unpacked.
const MOST_BYTES: u64 = 64 << 20;

/// Why a manuscript cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum DocxError {
    /// The file cannot be read at all.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// It is no package.
    #[error("this is no .docx file, or it is damaged ({0}): open it and save it again as .docx")]
    Package(ZipError),
    /// It is a package of something else.
    #[error("{0} is missing: this is a .docx file by its name only, save it as .docx")]
    Missing(&'static str),
    /// A part is too long.
    #[error("{0} is longer than 64 MB: split the file")]
    Long(String),
    /// A part is no XML that can be read.
    #[error("{part} cannot be read ({why}): open the file and save it again as .docx")]
    Xml {
        /// Which.
        part: String,
        /// What is wrong.
        why: String,
    },
}

impl From<ZipError> for DocxError {
    fn from(error: ZipError) -> Self {
        match error {
            ZipError::Io(error) if error.kind() != io::ErrorKind::UnexpectedEof => Self::Io(error),
            other => Self::Package(other),
        }
    }
}

pub(super) type Archive = ZipArchive<BufReader<File>>;

pub(super) fn open(path: &Path) -> Result<Archive, DocxError> {
    Ok(ZipArchive::new(BufReader::new(File::open(path)?))?)
}

/// The text of a part; `None` where there is none.
pub(super) fn part(archive: &mut Archive, name: &str) -> Result<Option<String>, DocxError> {
    let file = match archive.by_name(name) {
        Ok(file) => file,
        Err(ZipError::FileNotFound) => return Ok(None),
        Err(error) => return Err(error.into()),
    };
    let mut bytes = Vec::new();
    let read = file.take(MOST_BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| wrong(name, error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(DocxError::Long(name.to_owned()));
    }
    let text = String::from_utf8(bytes).map_err(|_| wrong(name, "it is not in UTF-8"))?;
    Ok(Some(text))
}

pub(super) fn wrong(part: &str, why: impl ToString) -> DocxError {
    DocxError::Xml {
        part: part.to_owned(),
        why: why.to_string(),
    }
}

/// The text of the manuscript's main part.
pub(super) fn document(archive: &mut Archive) -> Result<String, DocxError> {
    part(archive, DOCUMENT)?.ok_or(DocxError::Missing(DOCUMENT))
}

/// The events of a part, each with where it begins and ends in bytes.
pub(super) fn events<'x>(
    part: &'static str,
    xml: &'x str,
) -> impl Iterator<Item = Result<(Event<'x>, usize, usize), DocxError>> {
    let mut reader = Reader::from_str(xml);
    let mut done = false;
    std::iter::from_fn(move || {
        if done {
            return None;
        }
        let start = reader.buffer_position() as usize;
        match reader.read_event() {
            Ok(Event::Eof) => None,
            Ok(event) => Some(Ok((event, start, reader.buffer_position() as usize))),
            Err(error) => {
                done = true;
                Some(Err(wrong(part, error)))
            }
        }
    })
}

/// What stands before the names of the elements of the root's kind: `w:`, mostly.
pub(super) fn prefix(root: &BytesStart<'_>) -> String {
    let prefix = root.name().prefix();
    let prefix = prefix.map(|prefix| String::from_utf8_lossy(prefix.as_ref()).into_owned());
    prefix.map_or_else(String::new, |prefix| prefix + ":")
}

/// The value of an attribute, by its whole name.
pub(super) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = element.try_get_attribute(name).ok()??;
    Some(found.unescape_value().ok()?.into_owned())
}
