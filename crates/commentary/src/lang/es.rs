//! Spanish.

use super::Data;

pub(super) const DATA: Data = Data {
    sets: &[],
    numbers: &[],
    pieces: &[],
    common: "",
    rules: &[],
};
