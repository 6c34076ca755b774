//! Replacing a file by its mended text, whole or not at all, without losing what somebody
//! else writes at the same time.
//!
//! The mended text is written beside the file. Then the two exchange their names in one
//! step, and what came out is compared with what was read: if it differs, somebody wrote
//! the file in between, and they exchange their names again.

use std::{
    fs::{self, File, Metadata, OpenOptions},
    io::{self, BufWriter, Read as _, Write as _},
    path::{Path, PathBuf},
    time::{Duration, SystemTime},
};

use blake3::{Hash, Hasher};
use tempfile::NamedTempFile;

use super::error::MendError;

/// How the names of our files beside the author's begin.
const PREFIX: &str = ".gainsay-mend-";

/// A mended text that is being written; it is locked and may be deleted.
const NEW: &str = "new";

/// A file that may hold the author's text, from just before the exchange on.
const OLD: &str = "old";

/// Programs that save a file do not pause as long between two pieces of it.
const QUIET: Duration = Duration::from_millis(100);

/// A file to be mended.
#[derive(Debug)]
pub(super) struct Target {
    /// As the author names it.
    named: PathBuf,
    /// The file itself: what a link points to.
    path: PathBuf,
    data: Metadata,
}

impl Target {
    /// Refuses what cannot be mended without losing something.
    pub(super) fn of(path: &Path) -> Result<Self, MendError> {
        let named = path.to_owned();
        let unwritable = |source| MendError::Unwritable {
            path: named.clone(),
            source,
        };
        // A link stays a link: what it points to is replaced.
        let path = fs::canonicalize(path).map_err(unwritable)?;
        let data = fs::metadata(&path).map_err(unwritable)?;
        if !data.is_file() {
            return Err(MendError::NoFile(named));
        }
        // Who may do anything is asked for the rights all the same.
        if data.permissions().readonly() {
            return Err(MendError::ReadOnly(named));
        }
        match OpenOptions::new().write(true).open(&path) {
            Err(error) if error.kind() == io::ErrorKind::PermissionDenied => {
                return Err(MendError::ReadOnly(named));
            }
            opened => drop(opened.map_err(unwritable)?),
        }
        let names = names(&data);
        if names > 1 {
            return Err(MendError::Linked { path: named, names });
        }
        Ok(Self { named, path, data })
    }

    /// The path as the author gave it.
    pub(super) fn named(&self) -> &Path {
        &self.named
    }

    pub(super) fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new("."))
    }

    pub(super) fn open(&self) -> Result<File, MendError> {
        File::open(&self.path).map_err(|source| self.unwritable(source))
    }

    pub(super) fn unwritable(&self, source: io::Error) -> MendError {
        MendError::Unwritable {
            path: self.named.clone(),
            source,
        }
    }

    /// Waits until nobody can be in the midst of writing the file: what is written after it
    /// was read then shows by its time.
    fn wait_until_quiet(&self) {
        let written = self.data.modified().ok();
        let age = written.and_then(|written| SystemTime::now().duration_since(written).ok());
        if let Some(left) = age.and_then(|age| QUIET.checked_sub(age)) {
            std::thread::sleep(left);
        }
    }

    /// Whether the file, which may have another name by now, was not written since it was
    /// looked at.
    fn is_untouched(&self, path: &Path) -> bool {
        let written = |data: &Metadata| data.modified().ok();
        fs::metadata(path)
            .is_ok_and(|now| now.len() == self.data.len() && written(&now) == written(&self.data))
    }

    /// Gives a new file the owner and the rights of this one.
    fn give(&self, file: &File) -> Result<(), MendError> {
        self.give_owner(file).map_err(|source| MendError::Owner {
            path: self.named.clone(),
            source,
        })?;
        file.set_permissions(self.data.permissions())
            .map_err(|source| self.unwritable(source))
    }

    #[cfg(unix)]
    fn give_owner(&self, file: &File) -> io::Result<()> {
        use std::os::unix::fs::{MetadataExt as _, fchown};
        let new = file.metadata()?;
        if (new.uid(), new.gid()) == (self.data.uid(), self.data.gid()) {
            return Ok(());
        }
        fchown(file, Some(self.data.uid()), Some(self.data.gid()))
    }

    #[cfg(not(unix))]
    fn give_owner(&self, _: &File) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(unix)]
fn names(data: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(data)
}

#[cfg(not(unix))]
fn names(_: &Metadata) -> u64 {
    1
}

/// A mended text that is being written beside its file.
#[derive(Debug)]
pub(super) struct Draft {
    file: BufWriter<NamedTempFile>,
    hash: Hasher,
}

/// Exchanges the names of two files in one step; `false` where the file system cannot.
type Exchange = fn(&Path, &Path) -> io::Result<bool>;

impl Draft {
    pub(super) fn of(target: &Target) -> Result<Self, MendError> {
        let unwritable = |source| target.unwritable(source);
        let file = tempfile::Builder::new()
            .prefix(PREFIX)
            .suffix(&format!(".{NEW}"))
            .tempfile_in(target.folder())
            .map_err(unwritable)?;
        // Others see that it is in use. Where there are no locks, its age must do.
        let _ = file.as_file().try_lock();
        Ok(Self {
            file: BufWriter::new(file),
            hash: Hasher::new(),
        })
    }

    pub(super) fn write(&mut self, target: &Target, bytes: &[u8]) -> Result<(), MendError> {
        self.hash.update(bytes);
        let written = self.file.write_all(bytes);
        written.map_err(|source| target.unwritable(source))
    }

    /// Puts the text in the place of the file, if that still holds what was `read`.
    /// `false` where the file system cannot exchange files, so that a last instant was
    /// not watched.
    pub(super) fn replace(self, target: &Target, read: Hash) -> Result<bool, MendError> {
        self.replace_by(target, read, exchange)
    }

    fn replace_by(self, target: &Target, read: Hash, swap: Exchange) -> Result<bool, MendError> {
        let unwritable = |source| target.unwritable(source);
        let ours = self.hash.finalize();
        let new = self.file.into_inner();
        let new = new.map_err(|error| unwritable(error.into_error()))?;
        target.give(new.as_file())?;
        new.as_file().sync_all().map_err(unwritable)?;
        target.wait_until_quiet();
        let beside = new.path().with_extension(OLD);
        let changed = || MendError::Changed(target.named.clone());
        if !swap_works(new.path(), &target.path, &beside, swap).map_err(unwritable)? {
            let now = hash(&target.path).map_err(unwritable)?;
            if now != read || !target.is_untouched(&target.path) {
                return Err(changed());
            }
            new.persist(&target.path)
                .map_err(|error| unwritable(error.error))?;
            sync(target.folder());
            return Ok(false);
        }
        // The name beside holds the author's file now, so it must not go by itself.
        let _ = new.into_temp_path().keep();
        let out = hash(&beside).map_err(unwritable)?;
        // Somebody may have written the same so far and go on writing.
        if out == read && target.is_untouched(&beside) {
            sync(target.folder());
            fs::remove_file(&beside).map_err(unwritable)?;
            return Ok(true);
        }
        swap(&beside, &target.path).map_err(unwritable)?;
        let back = hash(&beside).map_err(unwritable)?;
        if back == ours {
            fs::remove_file(&beside).map_err(unwritable)?;
            return Err(changed());
        }
        // Somebody wrote a second time, over our text: theirs is the last word.
        swap(&beside, &target.path).map_err(unwritable)?;
        if hash(&beside).map_err(unwritable)? == out {
            fs::remove_file(&beside).map_err(unwritable)?;
            return Err(changed());
        }
        Err(MendError::ChangedTwice {
            path: target.named.clone(),
            kept: beside,
        })
    }
}

/// Exchanges the new text at `new` with the file at `path`, by way of the name `beside`,
/// which holds the file afterwards. `false`, and nothing done, where that cannot be.
fn swap_works(new: &Path, path: &Path, beside: &Path, swap: Exchange) -> io::Result<bool> {
    fs::rename(new, beside)?;
    match swap(beside, path) {
        Ok(true) => Ok(true),
        other => {
            fs::rename(beside, new)?;
            other
        }
    }
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn exchange(one: &Path, other: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn exchange(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}

fn hash(path: &Path) -> io::Result<Hash> {
    let mut file = File::open(path)?;
    let mut hasher = Hasher::new();
    let mut buffer = vec![0; 1 << 16];
    loop {
        let count = file.read(&mut buffer)?;
        match buffer.get(..count) {
            Some(bytes) if !bytes.is_empty() => hasher.update(bytes),
            _ => return Ok(hasher.finalize()),
        };
    }
}

/// Makes a new name last through a loss of power, where folders can be synced at all.
fn sync(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Deletes mended texts in `folder` that runs left half written which were broken off, and
/// returns the files that they left in the midst of an exchange: these may hold the
/// author's text, so that only the author can delete them.
pub(super) fn sweep(folder: &Path, now: SystemTime) -> Vec<PathBuf> {
    /// A run that has just begun has perhaps not locked its file yet.
    const FRESH: Duration = Duration::from_secs(60);
    let mut left = Vec::new();
    let Ok(entries) = fs::read_dir(folder) else {
        return left;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|name| name.starts_with(PREFIX));
        let Some(data) = entry.metadata().ok().filter(|data| ours && data.is_file()) else {
            continue;
        };
        if now
            .duration_since(touched(&data))
            .is_ok_and(|age| age < FRESH)
        {
            continue;
        }
        match path.extension().and_then(|kind| kind.to_str()) {
            Some(NEW) => {
                let unused = File::open(&path).is_ok_and(|file| file.try_lock().is_ok());
                if unused {
                    let _ = fs::remove_file(&path);
                }
            }
            Some(OLD) => left.push(path),
            _ => {}
        }
    }
    left.sort();
    left
}

/// When a file was last written or given another name.
#[cfg(unix)]
fn touched(data: &Metadata) -> SystemTime {
    use std::os::unix::fs::MetadataExt as _;
    let seconds = u64::try_from(data.ctime()).unwrap_or(0);
    SystemTime::UNIX_EPOCH + Duration::from_secs(seconds)
}

#[cfg(not(unix))]
fn touched(data: &Metadata) -> SystemTime {
    data.modified().unwrap_or(SystemTime::UNIX_EPOCH)
}

#[cfg(test)]
mod tests {
    use tempfile::TempDir;

    use super::*;

    struct Case {
        folder: TempDir,
        target: Target,
        read: Hash,
    }

    fn case() -> (Case, Draft) {
        let folder = TempDir::new().expect("a folder");
        let path = folder.path().join("lesson.pgn");
        fs::write(&path, "as it was read").expect("a file");
        let target = Target::of(&path).expect("a file to mend");
        let mut draft = Draft::of(&target).expect("a draft");
        draft.write(&target, b"mended").expect("written");
        let read = hash(&path).expect("read");
        let case = Case {
            folder,
            target,
            read,
        };
        (case, draft)
    }

    impl Case {
        fn holds(&self) -> String {
            fs::read_to_string(&self.target.path).expect("the file")
        }

        fn files(&self) -> usize {
            fs::read_dir(self.folder.path())
                .expect("the folder")
                .count()
        }
    }

    /// A file system that cannot exchange files.
    fn cannot(_: &Path, _: &Path) -> io::Result<bool> {
        Ok(false)
    }

    /// Plain renames in the place of an exchange, for systems that have none.
    fn in_steps(one: &Path, other: &Path) -> io::Result<bool> {
        let third = one.with_extension("third");
        fs::rename(one, &third)?;
        fs::rename(other, one)?;
        fs::rename(&third, other)?;
        Ok(true)
    }

    #[test]
    fn a_file_that_nobody_touched_is_replaced() {
        for swap in [exchange, cannot, in_steps] {
            let (case, draft) = case();
            draft
                .replace_by(&case.target, case.read, swap)
                .expect("replaced");
            assert_eq!(case.holds(), "mended");
            assert_eq!(case.files(), 1);
        }
    }

    #[test]
    fn a_save_in_between_stands() {
        for swap in [exchange, cannot, in_steps] {
            let (case, draft) = case();
            fs::write(&case.target.path, "saved").expect("a save");
            let error = draft
                .replace_by(&case.target, case.read, swap)
                .expect_err("it changed");
            assert!(matches!(error, MendError::Changed(_)), "{error}");
            assert_eq!(case.holds(), "saved");
            assert_eq!(case.files(), 1);
        }
    }

    #[test]
    fn who_has_written_the_same_so_far_is_not_cut_off() {
        for swap in [exchange, cannot, in_steps] {
            let (case, draft) = case();
            let mut saving = File::create(&case.target.path).expect("a save");
            saving.write_all(b"as it was read").expect("half of it");
            let later = SystemTime::now() + Duration::from_secs(1);
            saving.set_modified(later).expect("its time");
            draft
                .replace_by(&case.target, case.read, swap)
                .expect_err("it is being written");
            saving.write_all(b", and more").expect("the rest");
            assert_eq!(case.holds(), "as it was read, and more");
            assert_eq!(case.files(), 1);
        }
    }

    /// Exchanges, and somebody saves over the mended text at once.
    fn saved_over(one: &Path, other: &Path) -> io::Result<bool> {
        in_steps(one, other)?;
        if fs::read_to_string(other)? == "mended" {
            fs::write(other, "saved again")?;
        }
        Ok(true)
    }

    #[test]
    fn of_two_saves_in_between_the_later_stands() {
        let (case, draft) = case();
        fs::write(&case.target.path, "saved").expect("a save");
        let error = draft
            .replace_by(&case.target, case.read, saved_over)
            .expect_err("it changed");
        assert!(matches!(error, MendError::Changed(_)), "{error}");
        assert_eq!(case.holds(), "saved again");
        assert_eq!(case.files(), 1);
    }

    #[test]
    fn a_save_right_after_the_exchange_stands() {
        let (case, draft) = case();
        draft
            .replace_by(&case.target, case.read, saved_over)
            .expect("it was what was read");
        assert_eq!(case.holds(), "saved again");
    }

    #[test]
    fn what_runs_left_is_swept_and_nothing_else() {
        let folder = TempDir::new().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        let broken = at(".gainsay-mend-abc.new");
        let used = at(".gainsay-mend-def.new");
        let old = at(".gainsay-mend-ghi.old");
        let other = at(".gainsay-notes.new");
        for path in [&broken, &used, &old, &other] {
            fs::write(path, "text").expect("a file");
        }
        let lock = File::open(&used).expect("a file");
        lock.lock().expect("a lock");
        let now = SystemTime::now();
        // What is fresh may be in use without a lock.
        assert_eq!(sweep(folder.path(), now), Vec::<PathBuf>::new());
        assert!(broken.exists());
        let later = now + Duration::from_secs(3600);
        assert_eq!(sweep(folder.path(), later), std::slice::from_ref(&old));
        assert!(!broken.exists() && used.exists() && old.exists() && other.exists());
    }

    #[cfg(unix)]
    #[test]
    fn what_would_lose_something_is_refused() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = TempDir::new().expect("a folder");
        let path = folder.path().join("lesson.pgn");
        fs::write(&path, "text").expect("a file");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("rights");
        assert!(matches!(Target::of(&path), Err(MendError::ReadOnly(_))));
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("rights");
        fs::hard_link(&path, folder.path().join("other.pgn")).expect("a link");
        assert!(matches!(
            Target::of(&path),
            Err(MendError::Linked { names: 2, .. })
        ));
        assert!(matches!(
            Target::of(folder.path()),
            Err(MendError::NoFile(_))
        ));
    }
}
