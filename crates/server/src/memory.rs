//! What was settled before: verdicts by the text they depend on.

use std::{
    collections::{HashMap, VecDeque},
    hash::{DefaultHasher, Hash, Hasher},
    sync::{Arc, Mutex, PoisonError},
};

use gainsay::Settings;

use crate::document::Settlement;

/// So many sections are remembered; the oldest are forgotten first.
const MOST: usize = 20_000;

/// A section's text and the settings that matter to its claims, as a fingerprint of
/// 128 bits: two texts with the same one do not occur by chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Key(u64, u64);

impl Key {
    pub(crate) fn of(text: &[u8], settings: &Settings) -> Self {
        let half = |salt: u8| {
            let mut hasher = DefaultHasher::new();
            salt.hash(&mut hasher);
            text.hash(&mut hasher);
            settings.nodes.hash(&mut hasher);
            settings.language.hash(&mut hasher);
            settings.only.hash(&mut hasher);
            for (name, level) in &settings.levels {
                name.hash(&mut hasher);
                (*level as u8).hash(&mut hasher);
            }
            hasher.finish()
        };
        Self(half(0), half(1))
    }
}

/// Settled sections, shared by the workers: an undone edit costs nothing.
#[derive(Debug, Default)]
pub(crate) struct Memory(Mutex<Kept>);

#[derive(Debug, Default)]
struct Kept {
    known: HashMap<Key, Arc<Settlement>>,
    order: VecDeque<Key>,
}

impl Memory {
    pub(crate) fn get(&self, key: Key) -> Option<Arc<Settlement>> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.known.get(&key).cloned()
    }

    pub(crate) fn keep(&self, key: Key, settlement: &Settlement) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept
            .known
            .insert(key, Arc::new(settlement.clone()))
            .is_none()
        {
            kept.order.push_back(key);
        }
        while kept.order.len() > MOST {
            if let Some(oldest) = kept.order.pop_front() {
                kept.known.remove(&oldest);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_are_forgotten() {
        let memory = Memory::default();
        let settings = Settings::default();
        let key = |n: usize| Key::of(n.to_string().as_bytes(), &settings);
        for n in 0..=MOST {
            memory.keep(key(n), &Settlement::default());
        }
        assert!(memory.get(key(0)).is_none());
        assert!(memory.get(key(1)).is_some());
        assert!(memory.get(key(MOST)).is_some());
    }

    #[test]
    fn a_key_depends_on_text_and_budget() {
        let settings = Settings::default();
        let more = Settings {
            nodes: 2,
            ..Settings::default()
        };
        let key = Key::of(b"a", &settings);
        assert_eq!(key, Key::of(b"a", &settings));
        assert_ne!(key, Key::of(b"b", &settings));
        assert_ne!(key, Key::of(b"a", &more));
    }
}
