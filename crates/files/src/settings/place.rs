//! Where settings files stand.

use std::path::Path;

/// The name of the settings file.
pub const SETTINGS: &str = "gainsay.toml";

/// The folder whose settings hold for `folder`: the nearest one, from itself upwards, in
/// which `has` finds a settings file.
pub fn settled_by(folder: &Path, has: impl Fn(&Path) -> bool) -> Option<&Path> {
    folder.ancestors().find(|above| has(above))
}

/// Whether a folder has a settings file.
#[must_use]
pub fn has_settings(folder: &Path) -> bool {
    folder.join(SETTINGS).is_file()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn the_nearest_settings_hold() {
        let folder = tempfile::tempdir().unwrap();
        let inner = folder.path().join("a/b");
        fs::create_dir_all(&inner).unwrap();
        fs::write(folder.path().join(SETTINGS), "").unwrap();
        assert_eq!(settled_by(&inner, has_settings), Some(folder.path()));
        fs::write(inner.join(SETTINGS), "").unwrap();
        assert_eq!(settled_by(&inner, has_settings), Some(inner.as_path()));
    }
}
