//! Claims about mate, by what is said.

use super::{
    answer::{Answer, Court},
    forced::{settle_forced, settle_no_mate},
    mate_in::settle_mate_in,
    mated::settle_mate_now,
};
use crate::question::Question;
use gainsay_commentary::Mate;

/// Settles a claim about mate.
pub(super) fn settle_mate(question: &Question, mate: Mate, court: &mut Court<'_>) -> Answer {
    match mate {
        Mate::In { moves, .. } if moves == 0 || moves > 200 => Answer::unsettled(),
        Mate::In { moves, at_most } => settle_mate_in(question, moves, at_most, court),
        Mate::Next => settle_mate_in(question, 1, true, court),
        Mate::Forced => settle_forced(question, court),
        Mate::Now => settle_mate_now(question, court),
        Mate::Absent { moves } => settle_no_mate(question, moves, court),
    }
}
