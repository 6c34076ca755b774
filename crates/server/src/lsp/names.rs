//! The names of the server's commands.

/// The board at a place as SVG and in letters, with its FEN and what it says at a glance.
pub(super) const BOARD: &str = "gainsay.board";
/// The FEN at a place.
pub(super) const FEN: &str = "gainsay.fen";
/// The same at the next or previous move of the line at a place, or at its start or end, and
/// where that is.
pub(super) const STEP: &str = "gainsay.step";
/// All findings of the workspace, open or not, or those of one document that is open.
pub(super) const FINDINGS: &str = "gainsay.findings";
/// How many findings and claims a document has, by severity and verdict.
pub(super) const COUNTS: &str = "gainsay.counts";
/// Settles the claims of the game at a place with ten times the budget.
pub(super) const SETTLE: &str = "gainsay.settleMore";

/// All of them.
pub(super) const ALL: [&str; 6] = [BOARD, FEN, STEP, FINDINGS, COUNTS, SETTLE];
