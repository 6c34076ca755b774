//! What words add to a claim that holds them.

use crate::wording::Nuance;

pub(super) const NUANCES: &[(Nuance, &str)] = &[
    (Nuance::Any, "a an"),
    (Nuance::No, "no neither"),
    (Nuance::Merely, "only merely just no nothing"),
    (Nuance::Literal, "legal free available possible"),
    (
        Nuance::Loosely,
        "strategically positionally theoretically practically",
    ),
    (Nuance::Told, "was were had"),
    (
        Nuance::Becomes,
        "opens opened opening get gets got getting become becomes became",
    ),
    (Nuance::Back, "back"),
    (Nuance::With, "with"),
    (Nuance::Within, "in"),
    (Nuance::Castling, "castling"),
    (Nuance::Able, "can may"),
    (
        Nuance::Mate,
        "mate mates mated mating checkmate checkmates checkmated",
    ),
    (
        Nuance::Checkmate,
        "checkmate checkmates checkmated checkmating",
    ),
    (Nuance::Mated, "mated checkmated"),
    (Nuance::Lost, "lost forfeits forfeited"),
    (Nuance::Trapped, "trapped traps trap trapping squares"),
    (Nuance::Dominated, "dominated dominates dominate dominating"),
    (Nuance::Hangs, "hangs hang hanging"),
    (Nuance::Loose, "loose"),
];
