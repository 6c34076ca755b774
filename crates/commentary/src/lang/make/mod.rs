//! What patterns make of their slots; shared by all languages.

mod bearing;
mod deeds;
mod exchanges;
mod games;
mod material;
mod pawns;
mod pieces;
mod structure;

pub(super) use bearing::*;
pub(super) use deeds::*;
pub(super) use exchanges::*;
pub(super) use games::*;
use material::first;
pub(crate) use material::goods;
pub(super) use material::*;
pub(super) use pawns::*;
pub(super) use pieces::*;
pub(crate) use structure::pawn_feature;
pub(super) use structure::*;

use crate::kind::{
    ClaimKind, Draw, Goods, Mate, Material, OnlyMove, Passing, Quality, Reference, Refutation,
    Relation, Standing, Stipulation, Target, Threat,
};
use crate::pattern::Slots;

/// Nothing: the words only keep others from being read in them, or are looked up elsewhere.
pub(super) fn nothing(_: &Slots) -> Option<ClaimKind> {
    None
}

/// "Two legal moves".
pub(super) fn legal_moves(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::OnlyMove(OnlyMove::Count(slots.number?)))
}

/// "3-fold repetition".
pub(super) fn n_fold(slots: &Slots) -> Option<ClaimKind> {
    (slots.number? == 3).then_some(ClaimKind::Draw(Draw::Threefold))
}

pub(super) fn mate_in(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::In {
        moves: slots.number?,
        at_most: false,
    }))
}

pub(super) fn mate_at_most(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::In {
        moves: slots.number2.unwrap_or(0).max(slots.number?),
        at_most: true,
    }))
}

pub(super) fn mate_next(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Next))
}

pub(super) fn mate_forced(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Forced))
}

pub(super) fn mate_now(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Now))
}

pub(super) fn mate_threat(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Mate(slots.number)))
}

pub(super) fn mate_threat_next(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Mate(Some(1))))
}

pub(super) fn mate_threat_on(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::MateOn(slots.square?)))
}

pub(super) fn no_mate(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Absent {
        moves: slots.number,
    }))
}

/// "The only square for the king is f7".
pub(super) fn square_is(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::OnlyMove(OnlyMove::SquareIs(slots.square?)))
}

/// "The king must go to f7".
pub(super) fn must_go(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::OnlyMove(OnlyMove::Goes(slots.square?)))
}

pub(super) fn threat_line(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Line))
}

pub(super) fn threat_any(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Any))
}

/// What is threatened to be done to the targets.
macro_rules! threats {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            let mut targets = slots.targets.clone();
            targets.extend(slots.square.map(Target::Square));
            (!targets.is_empty())
                .then_some(ClaimKind::Threat(Threat::Relation(Relation::$relation, targets)))
        })*
    };
}

threats! {
    threat_fork => Forks;
    threat_pin => Pins;
    threat_skewer => Skewers;
    threat_trap => Trapped;
    threat_attack => Attacks;
}

pub(super) fn threat_targets(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Pieces(slots.targets.clone())))
}

pub(super) fn threat_gain(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(first(slots)?)))
}

pub(super) fn threat_exchange(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(Goods::Exchange(1))))
}

pub(super) fn threat_material(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(Goods::Material)))
}

/// A maker of a claim without slots.
macro_rules! plain {
    ($($name:ident => $kind:expr;)*) => {
        $(pub(super) fn $name(_: &Slots) -> Option<ClaimKind> {
            Some($kind)
        })*
    };
}

plain! {
    only_legal => ClaimKind::OnlyMove(OnlyMove::Legal);
    only_sensible => ClaimKind::OnlyMove(OnlyMove::Sensible);
    only_square => ClaimKind::OnlyMove(OnlyMove::Square);
    only_forced => ClaimKind::OnlyMove(OnlyMove::Forced);
    only_defence => ClaimKind::OnlyMove(OnlyMove::Defence);
    only_win => ClaimKind::OnlyMove(OnlyMove::Win);
    only_mate => ClaimKind::OnlyMove(OnlyMove::Mate);
    no_move => ClaimKind::OnlyMove(OnlyMove::NoMove);
    take_with => ClaimKind::OnlyMove(OnlyMove::TakeWith);
    must_be_taken => ClaimKind::OnlyMove(OnlyMove::Taken);
    loses => ClaimKind::Refutation(Refutation::Bare);
    stalemate => ClaimKind::Draw(Draw::Stalemate);
    dead => ClaimKind::Draw(Draw::Dead);
    perpetual => ClaimKind::Draw(Draw::Perpetual);
    repetition => ClaimKind::Draw(Draw::Repetition);
    threefold => ClaimKind::Draw(Draw::Threefold);
    fifty => ClaimKind::Draw(Draw::FiftyMoves);
    insufficient => ClaimKind::Draw(Draw::Insufficient);
    winning => ClaimKind::Standing(Standing::Winning);
    much_better => ClaimKind::Standing(Standing::MuchBetter);
    better => ClaimKind::Standing(Standing::Better);
    equal => ClaimKind::Standing(Standing::Equal);
    unclear => ClaimKind::Standing(Standing::Unclear);
    worse => ClaimKind::Standing(Standing::Worse);
    much_worse => ClaimKind::Standing(Standing::MuchWorse);
    lost => ClaimKind::Standing(Standing::Lost);
    drawn => ClaimKind::Standing(Standing::Drawn);
    best => ClaimKind::Quality(Quality::Best);
    better_move => ClaimKind::Quality(Quality::Better);
    good_move => ClaimKind::Quality(Quality::Good);
    wins => ClaimKind::Quality(Quality::Wins);
    mistake => ClaimKind::Quality(Quality::Mistake);
    blunder => ClaimKind::Quality(Quality::Blunder);
    missed => ClaimKind::Quality(Quality::Missed);
    material_level => ClaimKind::Material(Material::Level);
    exchange_up => ClaimKind::Material(Material::Up(Goods::Exchange(1)));
    exchange_down => ClaimKind::Material(Material::Down(Goods::Exchange(1)));
    material_up => ClaimKind::Material(Material::Up(Goods::Material));
    material_down => ClaimKind::Material(Material::Down(Goods::Material));
    wins_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Won };
    wins_material => ClaimKind::Gain { what: Goods::Material, how: Passing::Won };
    loses_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Lost };
    gives_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Given };
    loses_material => ClaimKind::Gain { what: Goods::Material, how: Passing::Lost };
    the_diagram => ClaimKind::Reference(Reference::TheDiagram);
    to_play => ClaimKind::Stipulation(Stipulation::ToPlay);
    turn => ClaimKind::Stipulation(Stipulation::Turn);
    to_win => ClaimKind::Stipulation(Stipulation::Win);
    to_draw => ClaimKind::Stipulation(Stipulation::Draw);
    find_mate => ClaimKind::Stipulation(Stipulation::AnyMate);
    find_best => ClaimKind::Stipulation(Stipulation::BestMove);
}

pub(super) fn to_mate(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Stipulation(Stipulation::Mate(slots.number?)))
}

/// A refutation by the line in the pattern, or the second of two lines.
pub(super) fn refuted(slots: &Slots) -> Option<ClaimKind> {
    let fails = slots.line2.and(slots.line);
    Some(ClaimKind::Refutation(Refutation::By { fails }))
}

/// An answer to the first of two lines, or to the move of the comment.
pub(super) fn answered(slots: &Slots) -> Option<ClaimKind> {
    let fails = slots.line2.and(slots.line);
    Some(ClaimKind::Refutation(Refutation::Met { fails }))
}

/// A pointer to another place.
macro_rules! references {
    ($($name:ident => $reference:ident;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(ClaimKind::Reference(Reference::$reference(slots.number?)))
        })*
    };
}

references! {
    move_reference => Move;
    move_mention => Mention;
    on_move => On;
    later_reference => Later;
    diagram_reference => Diagram;
    ago_reference => Ago;
}

/// "White's twenty-third move".
pub(super) fn nth_reference(slots: &Slots) -> Option<ClaimKind> {
    let number = match (slots.number?, slots.number2) {
        (tens, Some(units)) if tens >= 20 && units < 10 => tens + units,
        (_, Some(_)) => return None,
        (number, None) => number,
    };
    let firm = !slots.worded;
    Some(ClaimKind::Reference(Reference::Nth { number, firm }))
}
