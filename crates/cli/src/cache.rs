//! Verdicts, remembered in the user's cache folder from one run to the next.
//!
//! A file a game: sixteen folders of them, each with a limit of its own. Files are
//! written beside their place and renamed, so that any number of processes can share the
//! folder, and carry a checksum. All of it may be deleted at any time.

use std::{
    fs,
    io::{self, Read, Write},
    path::{Path, PathBuf},
    sync::atomic::{AtomicBool, AtomicU64, Ordering},
    time::{Duration, SystemTime},
};

use gainsay::{Digest, Memory, outcome::Judged};

/// Folders that the files are spread over, by the first digit of their names.
const SHARDS: usize = 16;

/// No more bytes are kept in one of them.
const MOST_BYTES: u64 = 4 << 20;

/// A small file takes as much of a disk as this.
const LEAST_FILE: u64 = 4 << 10;

/// What is longer is neither written nor read.
const LONGEST_FILE: u64 = 1 << 20;

/// A file that is used is marked as such, but not more often than this.
const MARK_AFTER: Duration = Duration::from_secs(24 * 60 * 60);

/// A folder of the user's cache (`XDG_CACHE_HOME`, or what the system has in its place).
pub(crate) fn folder(name: &str) -> Option<PathBuf> {
    use etcetera::BaseStrategy as _;
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.cache_dir().join("gainsay").join(name))
}

/// A fingerprint of this program: another build may come to other verdicts.
pub(crate) fn program() -> io::Result<blake3::Hash> {
    let file = fs::File::open(std::env::current_exe()?)?;
    let mut hasher = blake3::Hasher::new();
    hasher.update_reader(file)?;
    Ok(hasher.finalize())
}

/// The verdicts that are remembered.
#[derive(Debug)]
pub(crate) struct Verdicts {
    folder: PathBuf,
    /// What verdicts depend on beyond text and settings.
    circumstances: blake3::Hash,
    recalled: AtomicU64,
    settled: AtomicU64,
    /// The folders that were written to.
    written: [AtomicBool; SHARDS],
}

/// Where a game's verdicts are kept, and what the checksum begins with.
struct Place {
    shard: usize,
    path: PathBuf,
    name: blake3::Hash,
}

impl Verdicts {
    /// The verdicts in a folder, under these circumstances.
    pub(crate) fn new(folder: PathBuf, circumstances: blake3::Hash) -> Self {
        Self {
            folder,
            circumstances,
            recalled: AtomicU64::new(0),
            settled: AtomicU64::new(0),
            written: Default::default(),
        }
    }

    /// How many games were remembered, and how many were settled.
    pub(crate) fn counts(&self) -> (u64, u64) {
        (
            self.recalled.load(Ordering::Relaxed),
            self.settled.load(Ordering::Relaxed),
        )
    }

    /// The file of some questions, which stand together in a text.
    fn place(&self, questions: &[Digest]) -> Place {
        let mut hasher = blake3::Hasher::new();
        hasher.update(self.circumstances.as_bytes());
        hasher.update(Digest::of_all(questions).bytes());
        let name = hasher.finalize();
        let shard = usize::from(name.as_bytes()[0] >> 4);
        let hex = name.to_hex();
        Place {
            shard,
            path: self.shard(shard).join(&hex.as_str()[1..40]),
            name,
        }
    }

    fn shard(&self, shard: usize) -> PathBuf {
        self.folder.join(format!("{shard:x}"))
    }

    fn read(&self, place: &Place) -> io::Result<Vec<Judged>> {
        let file = fs::File::open(&place.path)?;
        let data = file.metadata()?;
        let mut bytes = Vec::new();
        file.take(LONGEST_FILE).read_to_end(&mut bytes)?;
        let (sum, text) = bytes
            .split_at_checked(blake3::OUT_LEN)
            .ok_or(io::ErrorKind::UnexpectedEof)?;
        if sum != checksum(&place.name, text).as_bytes() {
            return Err(io::ErrorKind::InvalidData.into());
        }
        let judged = serde_json::from_slice(text)?;
        let unmarked = data.modified().is_ok_and(|marked| {
            let age = SystemTime::now().duration_since(marked);
            age.is_ok_and(|age| age > MARK_AFTER)
        });
        if unmarked {
            fs::File::options()
                .append(true)
                .open(&place.path)?
                .set_modified(SystemTime::now())?;
        }
        Ok(judged)
    }

    fn write(&self, place: &Place, judged: &[Judged]) -> io::Result<()> {
        let text = serde_json::to_vec(judged)?;
        if text.len() as u64 + blake3::OUT_LEN as u64 > LONGEST_FILE {
            return Ok(());
        }
        let folder = self.shard(place.shard);
        fs::create_dir_all(&folder)?;
        let mut file = tempfile::NamedTempFile::new_in(&folder)?;
        file.write_all(checksum(&place.name, &text).as_bytes())?;
        file.write_all(&text)?;
        file.persist(&place.path)?;
        if let Some(written) = self.written.get(place.shard) {
            written.store(true, Ordering::Relaxed);
        }
        Ok(())
    }

    /// Forgets what was not used for longest where too much is kept.
    pub(crate) fn tidy(&self) {
        for (shard, written) in self.written.iter().enumerate() {
            if written.load(Ordering::Relaxed) {
                // What cannot be deleted now will be by a later run.
                let _ = shrink(&self.shard(shard), MOST_BYTES);
            }
        }
    }
}

/// The checksum of a file's contents, which holds under its own name only.
fn checksum(name: &blake3::Hash, text: &[u8]) -> blake3::Hash {
    blake3::keyed_hash(name.as_bytes(), text)
}

/// Deletes the oldest files of a folder that holds more than `most` bytes, until a
/// quarter of that is free.
fn shrink(folder: &Path, most: u64) -> io::Result<()> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let data = entry.metadata()?;
        files.push((data.modified()?, data.len().max(LEAST_FILE), entry.path()));
    }
    let mut total: u64 = files.iter().map(|(_, size, _)| size).sum();
    if total <= most {
        return Ok(());
    }
    files.sort();
    for (_, size, path) in files {
        if total <= most / 4 * 3 {
            break;
        }
        fs::remove_file(path)?;
        total -= size;
    }
    Ok(())
}

impl Memory for Verdicts {
    /// What cannot be read is as good as not there.
    fn recall(&self, questions: &[Digest]) -> Vec<Option<Judged>> {
        let found = self.read(&self.place(questions)).unwrap_or_default();
        if found.len() != questions.len() {
            return Vec::new();
        }
        self.recalled.fetch_add(1, Ordering::Relaxed);
        found.into_iter().map(Some).collect()
    }

    /// A cache that cannot be written costs time and nothing else, so nothing is said.
    fn keep(&self, questions: &[Digest], judged: &[Judged]) {
        self.settled.fetch_add(1, Ordering::Relaxed);
        let _ = self.write(&self.place(questions), judged);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_used_files_are_deleted() {
        let place = tempfile::tempdir().expect("a folder");
        let path = |at: u64| place.path().join(format!("{at}"));
        for at in 0..12 {
            fs::write(path(at), b"a verdict").expect("written");
            let used = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000 * (at + 1));
            let file = fs::File::options().append(true).open(path(at));
            file.and_then(|file| file.set_modified(used))
                .expect("marked");
        }
        let left = || (0..12).filter(|&at| path(at).exists()).collect::<Vec<_>>();
        shrink(place.path(), 12 * LEAST_FILE).expect("it fits");
        assert_eq!(left().len(), 12);
        shrink(place.path(), 8 * LEAST_FILE).expect("shrunk");
        assert_eq!(left(), [6, 7, 8, 9, 10, 11]);
    }
}
