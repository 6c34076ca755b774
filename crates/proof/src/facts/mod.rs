//! Facts that a board shows without any search.
//!
//! Every function here is pure: a [`Board`](shakmaty::Board) or a
//! [`Chess`](shakmaty::Chess) position goes in, a set of squares, a number or a
//! yes or no comes out, and nothing is searched. Each documents its definition and
//! where the definition comes from. Values are in centipawns unless said otherwise.
//!
//! Where the trade uses a word in a wide and a narrow sense, the narrow one has its
//! own function, and the wide one is the one a claim should be refuted by.

mod attack;
mod bearing;
mod draw;
mod exchange;
mod freedom;
mod king;
mod legality;
mod made;
mod material;
mod pattern;
mod pawns;
mod pin;
mod structure;
mod tactics;

pub use attack::{
    Battery, XRay, attackers, attackers_by_role, attacks, attacks_piece, batteries, controls,
    defenders, defends, supporters, x_ray_squares, x_rays,
};
pub use bearing::{Bearing, bearing};
pub use draw::{can_never_mate, dead_position, insufficient_material, pawns_locked};
pub use exchange::{
    best_capture, capture_gain, duties, exchange, exchange_of, hanging, legal_targets, overloaded,
    role_value, safe_squares, trapped, undefended,
};
pub use freedom::{is_free, roams, tasks, ways_out};
pub use king::{
    KingField, corner_of, escape_squares, in_corner, king_field, king_in_corner, on_edge,
};
pub use legality::{Obstacle, obstacle};
pub use made::{is_double_step, taken_on};
pub use material::{Difference, balance, difference, has_mating_majority};
pub use pattern::MatingPattern;
pub use pawns::{
    chasers, connected_passed_pawns, files_for_rooks, is_closed, leading_passed_pawns,
    may_be_outpost, on_a_seventh, open_files, pawn_islands, tripled_pawns, unsupported_pawns,
};
pub use pin::{Pin, PinKind, absolute_pins, is_pinned, pins};
pub use structure::{
    Wing, backward_pawns, bishop_pair, can_castle, connected_pawns, doubled_pawns,
    has_castling_right, has_majority, is_half_open, is_open, isolated_pawns, on_seventh,
    only_bishop_pair, opposite_bishops, outpost_square, passed_pawns, pawns_on_wing,
    protected_pawns, stoppers, supported_outpost,
};
pub use tactics::{
    Discovery, Skewer, attacked_pieces, discoveries, double_attacks, fork_targets, forks,
    gives_discovered_check, gives_double_check, is_double_check, masked_lines, skewers,
};

#[cfg(test)]
pub(crate) mod testing;
