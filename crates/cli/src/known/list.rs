//! Writing the list of known findings.

use std::{
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use gainsay_files::{Head, KnownFinding};

use crate::{
    print::{self, name},
    written::whole,
};

/// The list cannot be written.
#[derive(Debug, thiserror::Error)]
#[error("cannot write the known findings {}: {source}", name(path))]
pub(crate) struct Unwritable {
    path: PathBuf,
    source: io::Error,
}

/// Writes a list, whole or not at all.
pub(crate) fn write(path: &Path, entries: &[KnownFinding]) -> Result<(), Unwritable> {
    let written = whole(path, |out| {
        print::json(out, &Head::OURS)?;
        writeln!(out)?;
        for entry in entries {
            print::json(out, entry)?;
            writeln!(out)?;
        }
        Ok(())
    });
    written.map_err(|source| Unwritable {
        path: path.to_owned(),
        source,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use gainsay::Fingerprint;
    use gainsay_files::{NoList, read_known};

    use std::fs;

    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("known.jsonl");
        assert!(matches!(read_known(&path), Err(NoList::Missing(_))));
        let entry = KnownFinding {
            file: "a/1.pgn".to_owned(),
            rule: "false-mate".to_owned(),
            r#move: "24...Kh8".to_owned(),
            words: "mates in \"two\"\u{202e}".to_owned(),
            print: Fingerprint {
                place: 1,
                position: 2,
                game: u64::MAX,
            },
        };
        write(&path, std::slice::from_ref(&entry)).unwrap();
        assert_eq!(read_known(&path).unwrap(), [entry]);
        fs::write(&path, "{\"known\":1}\n{\"file\":\"x\"}\n").unwrap();
        assert!(read_known(&path).unwrap_err().to_string().contains(":2: "));
        fs::write(&path, "{\"known\":2}\n").unwrap();
        assert!(matches!(read_known(&path), Err(NoList::Version(_))));
    }
}
