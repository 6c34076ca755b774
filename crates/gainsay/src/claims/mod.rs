//! Claims: from prose to verdicts.
//!
//! A comment is read into claims ([`gainsay_commentary`]); its cited lines are played
//! from wherever they can start; every claim then has a few readings, each a position
//! and a statement. A claim holds if one plausible reading holds, and fails only if all
//! of them fail.

mod answer;
pub(crate) mod bearings;
mod castling;
mod checks;
pub(crate) mod cited;
pub(crate) mod compared;
pub(crate) mod contradicted;
pub(crate) mod counts;
pub(crate) mod danger;
pub(crate) mod deeds;
mod denied;
pub(crate) mod draws;
mod endings;
pub(crate) mod ends;
pub(crate) mod exchanges;
pub(crate) mod exercises;
mod features;
pub(crate) mod firsts;
pub(crate) mod flight;
mod forced;
mod gains;
mod games;
mod glyphs;
mod instead;
mod judgements;
mod margins;
mod mate;
pub(crate) mod mate_in;
mod mate_names;
mod mated;
pub(crate) mod material;
mod named;
mod no_mate;
mod not_gained;
mod nouns;
pub(crate) mod only_move;
pub(crate) mod only_sensible;
mod only_square;
mod only_wins;
pub(crate) mod patterns;
mod pictures;
pub(crate) mod pieces;
mod promotes;
mod readings;
pub(crate) mod references;
pub(crate) mod refutations;
pub(crate) mod relations;
pub(crate) mod retakes;
pub(crate) mod standings;
mod statements;
pub(crate) mod stipulations;
pub(crate) mod structure;
mod takes;
pub(crate) mod threats;
pub(crate) mod told_games;

use gainsay_commentary::{ClaimKind, Feature, Reference};

use self::{
    answer::{Answer, Court},
    bearings::settle_bearing,
    cited::settle_line,
    counts::{settle_count, settle_pawns},
    danger::settle_plight,
    deeds::settle_deed,
    draws::settle_draw,
    ends::settle_end,
    exchanges::{settle_exchanged, settle_trade},
    firsts::settle_first,
    gains::settle_gain,
    games::settle_other_game,
    glyphs::settle_glyph,
    judgements::settle_quality,
    mate::settle_mate,
    material::settle_material,
    only_move::settle_only,
    patterns::settle_pattern,
    pieces::{settle_pieces, settle_shade},
    promotes::settle_promotes,
    references::settle_reference,
    refutations::settle_refutation,
    relations::settle_relation,
    retakes::settle_retake,
    standings::settle_standing,
    stipulations::settle_stipulation,
    structure::settle_structure,
    threats::settle_threat,
    told_games::settle_told,
};
use crate::{outcome::Judged, question::Question, settings::Settings, solver::Solver};

/// Settles the claim within the settings' budget.
///
/// `None` when the solver was stopped.
pub(crate) fn settle(
    question: &Question,
    solver: &mut Solver,
    settings: &Settings,
) -> Option<Judged> {
    let proofs = solver.proofs();
    let mut court = Court::new(solver, settings.nodes.min(question.nodes));
    if let Some(genre) = question.comment.genre.filter(|_| exercises::asks(question)) {
        let number = (question.comment.given.as_deref()).and_then(|given| given.number);
        return Some(Judged::not_proved(number, genre));
    }
    if !question.unread.is_empty() {
        let judged = Judged::not_understood(question.unread.clone());
        return Some(exercises::left_open(question, judged));
    }
    if !question.is_asserted() {
        return Some(Judged::not_asserted());
    }
    let mut answer = answer(question, &mut court);
    exercises::examine(question, &mut answer, &mut court);
    if court.is_stopped() {
        return None;
    }
    Some(answer.judged(&court, question.may_fail(), proofs))
}

fn answer(question: &Question, court: &mut Court<'_>) -> Answer {
    if let Some(told) = question.claim.told {
        return settle_told(question, told);
    }
    if question.leans_on_cut_line() {
        return Answer::unsettled();
    }
    match &question.claim.kind {
        ClaimKind::Line | ClaimKind::Mention => settle_line(question),
        ClaimKind::Mate(mate) => settle_mate(question, *mate, court),
        ClaimKind::Threat(threat) => settle_threat(question, threat, court),
        ClaimKind::Pieces(noun) => settle_pieces(question, noun),
        ClaimKind::OnlyMove(only) => settle_only(question, *only, court),
        ClaimKind::Refutation(refutation) => settle_refutation(question, *refutation, court),
        ClaimKind::Relation {
            relation,
            actor,
            targets,
        } => {
            let answer = settle_relation(question, *relation, actor.as_ref(), targets);
            settle_plight(question, *relation, targets, answer, court)
        }
        ClaimKind::Bearing(said) => settle_bearing(question, said),
        ClaimKind::Material(material) => settle_material(question, *material, court),
        ClaimKind::Count(count) => settle_count(question, *count),
        ClaimKind::Shade(said) => settle_shade(question, said),
        ClaimKind::Pawns(said) => settle_pawns(question, said),
        ClaimKind::Gain { what, how } => settle_gain(question, *what, *how, court),
        ClaimKind::Standing(standing) => settle_standing(question, *standing, court),
        ClaimKind::Quality(quality) if question.is_glyph() => {
            settle_glyph(question, *quality, court)
        }
        ClaimKind::Quality(quality) => settle_quality(question, *quality, court),
        ClaimKind::Draw(draw) => settle_draw(question, *draw, court),
        ClaimKind::Deed(deed) => settle_deed(question, deed),
        ClaimKind::Retake(said) => settle_retake(question, said),
        ClaimKind::Trade(said) => settle_trade(question, *said),
        ClaimKind::Exchanged(said) => settle_exchanged(question, *said),
        ClaimKind::First(said) => settle_first(question, *said),
        ClaimKind::Structure(said) if said.feature == Feature::Promotes => {
            settle_promotes(question, said, court)
        }
        ClaimKind::Structure(said) => settle_structure(question, said),
        ClaimKind::Pattern(named) => settle_pattern(question, named, court),
        ClaimKind::Stipulation(stipulation) => settle_stipulation(question, *stipulation, court),
        ClaimKind::Reference(Reference::Game(game)) => settle_other_game(question, game),
        ClaimKind::Reference(reference) => settle_reference(question, *reference),
        ClaimKind::GameEnd(said) => settle_end(question, *said),
    }
}
