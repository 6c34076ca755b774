//! Which files of a folder an author wants to have checked.

use std::path::{Path, PathBuf};

use ignore::gitignore::{Gitignore, GitignoreBuilder};

/// What the settings `exclude` and `include` say, in the patterns of `.gitignore` files (manual
/// page of gitignore), seen from the folder of the settings file.
///
/// ```
/// use std::path::Path;
/// use gainsay_files::Selection;
/// let patterns = |one: &str| vec![one.to_owned()];
/// let wanted = Selection::of(Path::new("/book"), &patterns("drafts/"), &patterns("*.pgn")).unwrap();
/// assert!(wanted.takes(Path::new("/book/a/1.pgn"), false));
/// assert!(!wanted.takes(Path::new("/book/a/1.md"), false));
/// assert!(!wanted.takes(Path::new("/book/drafts/1.pgn"), false));
/// assert!(!wanted.takes(Path::new("/book/drafts"), true));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Selection {
    base: PathBuf,
    exclude: Option<Gitignore>,
    include: Option<Gitignore>,
}

/// A pattern that is none; the message says which and why.
#[derive(Clone, Debug, thiserror::Error)]
#[error(transparent)]
pub struct BadPattern(ignore::Error);

impl Selection {
    /// What two lists of patterns select, seen from the folder `base`. Without patterns to include,
    /// everything is.
    ///
    /// # Errors
    ///
    /// [`BadPattern`] tells of the first that is none.
    pub fn of(base: &Path, exclude: &[String], include: &[String]) -> Result<Self, BadPattern> {
        Ok(Self {
            base: base.to_owned(),
            exclude: patterns(base, exclude)?,
            include: patterns(base, include)?,
        })
    }

    /// Whether a file is to be looked at, or a folder to be looked into.
    #[must_use]
    pub fn takes(&self, path: &Path, is_folder: bool) -> bool {
        // What stands elsewhere is not spoken of.
        if !path.starts_with(&self.base) {
            return true;
        }
        let named = |patterns: &Option<Gitignore>| {
            let patterns = patterns.as_ref();
            patterns.map(|it| it.matched_path_or_any_parents(path, is_folder).is_ignore())
        };
        named(&self.exclude) != Some(true) && (is_folder || named(&self.include) != Some(false))
    }
}

fn patterns(base: &Path, lines: &[String]) -> Result<Option<Gitignore>, BadPattern> {
    if lines.is_empty() {
        return Ok(None);
    }
    let mut builder = GitignoreBuilder::new(base);
    for line in lines {
        builder.add_line(None, line).map_err(BadPattern)?;
    }
    builder.build().map(Some).map_err(BadPattern)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_last_pattern_that_fits_decides() {
        let lines = ["*.md", "!keep.md", "/old"].map(str::to_owned);
        let selection = Selection::of(Path::new("/b"), &lines, &[]).unwrap();
        for (path, taken) in [
            ("/b/x.md", false),
            ("/b/deep/keep.md", true),
            ("/b/old/1.pgn", false),
            ("/b/deep/old/1.pgn", true),
            ("/elsewhere/x.md", true),
        ] {
            assert_eq!(selection.takes(Path::new(path), false), taken, "{path}");
        }
    }

    #[test]
    fn a_pattern_that_is_none_is_told() {
        let error = Selection::of(Path::new("/b"), &["[z-a]".to_owned()], &[]).unwrap_err();
        assert!(error.to_string().contains("[z-a]"), "{error}");
    }
}
