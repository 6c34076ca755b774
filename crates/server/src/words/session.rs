//! Progress, and answers to requests that cannot be met.

use gainsay::show::counted;

/// Work that may last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Work {
    /// The claims of open documents are settled.
    Settling,
    /// Files that are not open are checked.
    Checking,
}

impl Work {
    pub(crate) const fn title(self) -> &'static str {
        match self {
            Self::Settling => "Settling claims",
            Self::Checking => "Checking the workspace",
        }
    }

    /// How much is left to do.
    pub(crate) fn left(self, count: usize) -> String {
        let unit = match self {
            Self::Settling => "game",
            Self::Checking => "file",
        };
        format!("{} left", counted(count as u64, unit))
    }
}

/// A command that the server does not have.
pub(crate) fn no_command(name: &str) -> String {
    format!("There is no command \"{name}\".")
}

/// A command without a position.
pub(crate) const NO_POSITION: &str = "the second argument must be a position";
/// A step without a direction.
pub(crate) const NO_DIRECTION: &str =
    "the third argument must be \"next\", \"previous\", \"start\" or \"end\"";
/// A command without a document.
pub(crate) const NO_DOCUMENT: &str = "the first argument must be the address of a document";
/// Why games are left as they are; the first one begins on this line, from 1.
pub(crate) fn not_formatted(line: u32) -> String {
    format!(
        "Nothing was formatted: in the game that begins on line {line} a move cannot be read without doubt."
    )
}

/// A new name with nothing in it.
pub(crate) const EMPTY_NAME: &str =
    "A name cannot be empty; write \"?\" for one that is not known.";
/// A place where no name stands.
pub(crate) const NO_NAME: &str =
    "Only the name of a player, an event, a site or an annotator can be renamed.";
