//! Numbers that look random and are the same everywhere.

/// A fixed generator (xorshift, G. Marsaglia 2003), so that a test is the same on every machine.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// The generator of a seed, which is not 0.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `most`; 0 where that is 0.
    pub fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % most.max(1) as u64) as usize
    }
}
