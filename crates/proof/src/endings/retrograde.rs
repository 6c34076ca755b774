//! Tables from nothing: which of the two ways of building one is taken.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use super::build::Retrograde;
use super::distance::TableError;
use super::sets::Sets;
use super::signature::Signature;
use super::table::Table;

impl Table {
    /// Builds the table of `signature`; `tables` gives those that captures and
    /// promotions lead to. Takes some seconds and about 34 MB with pawns, half of that
    /// without.
    ///
    /// # Errors
    ///
    /// [`TableError::Missing`] when a table is not given, [`TableError::Stopped`] soon
    /// after `stop` was raised.
    pub fn build(
        signature: Signature,
        tables: &dyn Fn(Signature) -> Option<Arc<Self>>,
        stop: &AtomicBool,
    ) -> Result<Self, TableError> {
        let builder = Retrograde::new(signature, tables, stop)?;
        // Sets know no en passant.
        let values = if builder.layout().may_pass() {
            builder.run_plainly()?
        } else {
            Sets::run(&builder)?
        };
        Ok(Self::of(signature, values))
    }

    /// The same table by a plain pass, position by position; the measure of [`Table::build`].
    ///
    /// # Errors
    ///
    /// As [`Table::build`].
    pub fn build_plainly(
        signature: Signature,
        tables: &dyn Fn(Signature) -> Option<Arc<Self>>,
        stop: &AtomicBool,
    ) -> Result<Self, TableError> {
        let values = Retrograde::new(signature, tables, stop)?.run_plainly()?;
        Ok(Self::of(signature, values))
    }
}
