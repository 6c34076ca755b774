//! English.

mod draws;
mod exercises;
mod games;
mod material;
mod mates;
mod moves;
mod nuances;
mod pieces;
mod places;
mod sets;
mod structure;
mod threats;
mod verdicts;
mod words;

use super::Data;

pub(super) const DATA: Data = Data {
    sets: sets::SETS,
    nuances: nuances::NUANCES,
    numbers: words::NUMBERS,
    counted: words::COUNTED,
    ordinals: words::ORDINALS,
    ways: ["above", "below"],
    pieces: words::PIECES,
    common: words::COMMON,
    rules: &[
        mates::RULES,
        threats::RULES,
        moves::RULES,
        pieces::RULES,
        material::RULES,
        verdicts::RULES,
        draws::RULES,
        structure::RULES,
        exercises::RULES,
        places::RULES,
        games::RULES,
    ],
};
