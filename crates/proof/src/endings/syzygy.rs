//! Syzygy tables that the author owns, read with shakmaty-syzygy.

use std::path::Path;

use shakmaty::{Chess, Position};
use shakmaty_syzygy::{AmbiguousWdl, Tablebase};

use super::tables::Wdl;

/// What goes wrong with Syzygy tables.
#[derive(Debug, thiserror::Error)]
pub enum SyzygyError {
    /// The folder cannot be read.
    #[error("cannot read the Syzygy folder {folder}: {source}; correct the setting or the rights")]
    Folder {
        /// The folder as given.
        folder: String,
        /// What the system said.
        source: std::io::Error,
    },
}

/// What Syzygy tables say of a position, seen by the side to move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct SyzygyVerdict {
    /// Who wins when the fifty-move rule is left aside.
    pub outcome: Wdl,
    /// Whether that is also the result under the fifty-move rule, counted from the
    /// position's own half-move clock; `None` when the tables' rounding leaves it open.
    /// A draw is always a draw.
    pub under_fifty: Option<bool>,
}

/// The Syzygy tables of one or more folders.
pub struct SyzygyTables {
    tables: Tablebase<Chess>,
}

impl std::fmt::Debug for SyzygyTables {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SyzygyTables")
            .field("max_pieces", &self.tables.max_pieces())
            .finish_non_exhaustive()
    }
}

impl SyzygyTables {
    /// Takes all tables of the folder; they are opened when they are first needed.
    ///
    /// # Errors
    ///
    /// [`SyzygyError::Folder`] when the folder cannot be read.
    pub fn open(folder: &Path) -> Result<Self, SyzygyError> {
        let mut tables = Tablebase::new();
        tables
            .add_directory(folder)
            .map_err(|source| SyzygyError::Folder {
                folder: folder.display().to_string(),
                source,
            })?;
        Ok(Self { tables })
    }

    /// The most men that any of the tables has.
    #[must_use]
    pub fn most_men(&self) -> usize {
        self.tables.max_pieces()
    }

    /// What the tables say; `None` when the position has castling rights, too many men,
    /// or the table is missing or damaged.
    #[must_use]
    pub fn probe(&self, position: &Chess) -> Option<SyzygyVerdict> {
        if position.castles().any() || position.board().occupied().count() > self.most_men() {
            return None;
        }
        let (outcome, under_fifty) = match self.tables.probe_wdl(position).ok()? {
            AmbiguousWdl::Win => (Wdl::Win, Some(true)),
            AmbiguousWdl::MaybeWin => (Wdl::Win, None),
            AmbiguousWdl::CursedWin => (Wdl::Win, Some(false)),
            AmbiguousWdl::Draw => (Wdl::Draw, Some(true)),
            AmbiguousWdl::BlessedLoss => (Wdl::Loss, Some(false)),
            AmbiguousWdl::MaybeLoss => (Wdl::Loss, None),
            AmbiguousWdl::Loss => (Wdl::Loss, Some(true)),
        };
        Some(SyzygyVerdict {
            outcome,
            under_fifty,
        })
    }
}
