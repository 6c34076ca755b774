//! What was answered before in this run.
//!
//! Answers depend on nothing but the question, so that asking again changes nothing but the
//! time it takes; the nodes that are told of an answer are those it cost when it was found.

use std::{
    fmt,
    hash::{BuildHasherDefault, DefaultHasher, Hash, Hasher},
    sync::Arc,
};

use gainsay_proof::{
    MateAnswer, MatingMove,
    search::{Perpetual, Variation},
};
use quick_cache::{
    Weighter,
    sync::{Cache, DefaultLifecycle},
};
use shakmaty::{Chess, Move, Position};

/// Bytes that the answers take at most.
const MEMORY: u64 = 4 << 20;

/// What solvers of one kind, with the same memory and the same tables, answered before.
///
/// ```
/// use gainsay::{Answers, Solver, read_fen};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", false).0.unwrap();
/// let answers = Answers::default();
/// let [mut first, mut second] = [(); 2].map(|()| Solver::new(1 << 20).sharing(answers.clone()));
/// let [one, other] = [&mut first, &mut second].map(|solver| solver.mate(&position, Some(1), 1000));
/// assert_eq!(one.line, other.line);
/// assert!(first.searched() > 0 && second.searched() == 0);
/// ```
#[derive(Clone)]
pub struct Answers(Arc<Cache<Asking, Arc<Reply>, Bytes, Hashers>>);

/// Without random numbers: where the system has none to give, there would be no answers.
type Hashers = BuildHasherDefault<DefaultHasher>;

impl Default for Answers {
    fn default() -> Self {
        Self(Arc::new(Cache::with(
            1_000,
            MEMORY,
            Bytes,
            Hashers::default(),
            DefaultLifecycle::default(),
        )))
    }
}

impl fmt::Debug for Answers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Answers({})", self.0.len())
    }
}

impl Answers {
    pub(super) fn get(&self, question: &Asking) -> Option<Arc<Reply>> {
        self.0.get(question)
    }

    pub(super) fn keep(&self, question: Asking, reply: Arc<Reply>) {
        self.0.insert(question, reply);
    }
}

/// What can be asked of a position.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) enum Asked {
    /// Whether the side to move mates, or is mated, within so many moves or at all.
    Mate { moves: Option<u32>, mated: bool },
    /// Which of these moves mate.
    Firsts {
        firsts: Vec<Move>,
        moves: Option<u32>,
    },
    /// The best lines, so many of them.
    Best(usize),
    /// Whether the side to move gives check for ever.
    Perpetual,
}

/// A question with the budget it may cost.
#[derive(Clone, Debug)]
pub(super) struct Asking {
    asked: Asked,
    position: Chess,
    nodes: u64,
}

impl Asking {
    pub(super) fn new(asked: Asked, position: &Chess, nodes: u64) -> Self {
        Self {
            asked,
            position: position.clone(),
            nodes,
        }
    }

    /// All that tells two questions apart. Positions that differ in the clock of the
    /// fifty-move rule alone are equal to their own type.
    fn whole(&self) -> (&Asked, &Chess, u32, u64) {
        let clock = self.position.halfmoves();
        (&self.asked, &self.position, clock, self.nodes)
    }
}

impl PartialEq for Asking {
    fn eq(&self, other: &Self) -> bool {
        self.whole() == other.whole()
    }
}

impl Eq for Asking {}

impl Hash for Asking {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.whole().hash(state);
    }
}

/// An answer.
#[derive(Clone, Debug)]
pub(super) enum Reply {
    Mate(MateAnswer),
    Firsts(Vec<MatingMove>, u64),
    Best(Vec<Variation>, u64),
    Perpetual(Perpetual),
}

impl Reply {
    /// The nodes it cost.
    pub(super) const fn nodes(&self) -> u64 {
        match self {
            Self::Mate(answer) => answer.nodes,
            Self::Firsts(_, nodes) | Self::Best(_, nodes) => *nodes,
            Self::Perpetual(found) => found.nodes,
        }
    }
}

/// Weighs answers by what they take, roughly.
#[derive(Clone)]
struct Bytes;

impl Weighter<Asking, Arc<Reply>> for Bytes {
    fn weight(&self, question: &Asking, reply: &Arc<Reply>) -> u64 {
        const FIXED: usize = 400;
        let moves = match &question.asked {
            Asked::Firsts { firsts, .. } => firsts.len(),
            _ => 0,
        };
        let listed = match reply.as_ref() {
            Reply::Mate(answer) => {
                let steps = answer.proof.as_ref().map_or(0, |proof| {
                    let replies = proof.steps().iter().map(|step| step.replies.len());
                    proof.steps().len() * 4 + replies.sum::<usize>() * 2
                });
                answer.line.len() + steps
            }
            Reply::Firsts(told, _) => told.len() * 3,
            Reply::Best(lines, _) => lines.iter().map(|line| line.moves.len() + 4).sum(),
            Reply::Perpetual(found) => found.line.len(),
        };
        (FIXED + (moves + listed) * size_of::<Move>()) as u64
    }
}
