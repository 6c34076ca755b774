//! Mating patterns as geometry of the final position.

mod net;
mod picture;

use net::MatingNet;
pub use picture::MatingPattern;
use shakmaty::Chess;

impl MatingPattern {
    /// Whether the position is checkmate and shows this picture.
    #[must_use]
    pub fn matches(self, position: &Chess) -> bool {
        MatingNet::new(position).is_some_and(|net| net.shows(self))
    }

    /// Every picture that the position shows; none unless it is checkmate.
    #[must_use]
    pub fn of(position: &Chess) -> Vec<Self> {
        MatingNet::new(position).map_or_else(Vec::new, |net| {
            Self::ALL
                .into_iter()
                .filter(|&pattern| net.shows(pattern))
                .collect()
        })
    }
}

#[cfg(test)]
mod tests;
