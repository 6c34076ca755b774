//! Mating patterns as geometry of the final position.

mod picture;
mod scene;

pub use picture::MatingPattern;
use scene::Scene;
use shakmaty::Chess;

impl MatingPattern {
    /// Whether the position is checkmate and shows this picture.
    #[must_use]
    pub fn matches(self, position: &Chess) -> bool {
        Scene::new(position).is_some_and(|scene| scene.shows(self))
    }

    /// Every picture that the position shows; none unless it is checkmate.
    #[must_use]
    pub fn of(position: &Chess) -> Vec<Self> {
        Scene::new(position).map_or_else(Vec::new, |scene| {
            Self::ALL
                .into_iter()
                .filter(|&pattern| scene.shows(pattern))
                .collect()
        })
    }
}

#[cfg(test)]
mod tests;
