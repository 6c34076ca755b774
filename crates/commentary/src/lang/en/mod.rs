//! English.

mod draws;
mod exercises;
mod games;
mod mate_names;
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

use crate::lang::data::Data;

pub(super) const DATA: Data = Data {
    sets: sets::SETS,
    nuances: nuances::NUANCES,
    numbers: words::NUMBERS,
    counted: words::COUNTED,
    ordinals: words::ORDINALS,
    game: "game",
    number_signs: &["number", "no", "#"],
    ways: ["above", "below"],
    mate_names: mate_names::MATE_NAMES,
    pieces: words::PIECES,
    common: words::COMMON,
    phrases: &[
        mates::PHRASES,
        threats::PHRASES,
        moves::PHRASES,
        pieces::PHRASES,
        material::PHRASES,
        verdicts::PHRASES,
        draws::PHRASES,
        structure::PHRASES,
        exercises::PHRASES,
        places::PHRASES,
        games::PHRASES,
    ],
};
