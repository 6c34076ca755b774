//! Proofs of mate as movetext: the main line, and every other defence as a side-line.
//!
//! A proof shares what follows positions that are reached in several ways. In the
//! movetext each is written out once, and elsewhere a comment tells where: `{as after
//! 2... Kg8 3. Qg7+ Kh8}`. The line in the comment begins at the move in which the two
//! ways part. Positions near the main line are written out first, so that what a bound on
//! the length cuts off is what is farthest from it.

use std::collections::{HashMap, VecDeque};

use gainsay_proof::{
    Proof,
    evidence::{Answer, Step},
};
use shakmaty::{Chess, Color, Move, Position};

use crate::{
    resolve::played,
    show::{self, WIDTH},
};

/// The most moves that the games of [`game`] have unless more are asked for.
///
/// ```
/// use gainsay::{Solver, read_fen, unfold::{MOVES, game}};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", false).0.unwrap();
/// let proof = Solver::new(1 << 20).mate(&position, Some(1), 1000).proof.unwrap();
/// assert!(game(&proof, "White mates.", MOVES).ends_with("{White mates.} 1. Ra8# 1-0"));
/// ```
pub const MOVES: usize = 10_000;

/// More moves are not offered for insertion into a game.
const INSERTED: usize = 60;

/// A proof as movetext.
///
/// ```
/// use gainsay::{Solver, read_fen, unfold::unfold};
/// let position = read_fen("5r1k/6pp/7N/3Q4/8/8/8/7K w - - 0 1", false).0.unwrap();
/// let proof = Solver::new(1 << 20).mate(&position, Some(2), 100_000).proof.unwrap();
/// let unfolded = unfold(&proof, 100);
/// assert_eq!((unfolded.moves, unfolded.cut), (3, 0));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfolded {
    /// The moves with their numbers and side-lines, on one line, without a result.
    pub movetext: String,
    /// How many moves it has.
    pub moves: usize,
    /// How many defences are not followed to the mate because of the bound.
    pub cut: usize,
}

/// What follows a reply.
#[derive(Clone, Copy)]
enum Child {
    /// A move that mates.
    Mate(Move),
    /// A position that is written out behind it.
    Place(usize),
    /// A position that is written out elsewhere.
    Same(usize),
    /// Nothing, for the bound is reached.
    Cut,
}

/// A position of the proof that is written out: the attacker is to move there, unless it
/// is the first and the defender is.
struct Place<'p> {
    step: &'p Step,
    position: Chess,
    /// Where it comes from: the place, and which of its replies leads here.
    parent: Option<(usize, usize)>,
    /// How many places come before it on the way from the first.
    depth: usize,
    /// What follows each reply.
    children: Vec<Child>,
}

impl Place<'_> {
    /// The position in which the defender is to move.
    fn after(&self) -> Chess {
        let mut after = self.position.clone();
        if let Some(attack) = self.step.attack {
            after.play_unchecked(attack);
        }
        after
    }
}

/// The places of a proof, and how many moves they take.
struct Plan<'p> {
    proof: &'p Proof,
    most: usize,
    places: Vec<Place<'p>>,
    /// The place of a position.
    known: HashMap<Chess, usize>,
    moves: usize,
    cut: usize,
}

impl<'p> Plan<'p> {
    fn new(proof: &'p Proof, most: usize) -> Self {
        let mut plan = Self {
            proof,
            most,
            places: Vec::new(),
            known: HashMap::new(),
            moves: 0,
            cut: 0,
        };
        let Some(first) = proof.steps().first() else {
            return plan;
        };
        let mut open = VecDeque::new();
        // The main line is written out whatever the bound.
        let mut next = Some((first, proof.position().clone(), None));
        while let Some((step, position, parent)) = next.take() {
            let at = plan.add(step, position, parent);
            let Some((longest, Answer::Step(number))) = proof.longest(step) else {
                continue;
            };
            let reply = step.replies.iter().position(|&(reply, _)| reply == longest);
            if let (Some(reply), Some(step)) = (reply, proof.steps().get(number as usize)) {
                let mut position = plan.after(at);
                position.play_unchecked(longest);
                next = Some((step, position, Some((at, reply))));
            }
        }
        open.extend(0..plan.places.len());
        while let Some(at) = open.pop_front() {
            plan.follow(at, &mut open);
        }
        plan
    }

    fn after(&self, at: usize) -> Chess {
        let place = self.places.get(at);
        place.map_or_else(|| self.proof.position().clone(), Place::after)
    }

    /// The moves that a step takes without what is written out behind it.
    fn cost(step: &Step) -> usize {
        let mates = step.replies.iter();
        let mates = mates.filter(|(_, answer)| matches!(answer, Answer::Mate(_)));
        usize::from(step.attack.is_some()) + step.replies.len() + mates.count()
    }

    fn add(&mut self, step: &'p Step, position: Chess, parent: Option<(usize, usize)>) -> usize {
        let at = self.places.len();
        let above = parent.and_then(|(place, _)| self.places.get_mut(place));
        let depth = above.map_or(0, |above| {
            if let Some(child) = parent.and_then(|(_, reply)| above.children.get_mut(reply)) {
                *child = Child::Place(at);
            }
            above.depth + 1
        });
        let children = step.replies.iter().map(|&(_, answer)| match answer {
            Answer::Mate(m) => Child::Mate(m),
            Answer::Step(_) => Child::Cut,
        });
        self.moves += Self::cost(step);
        self.known.insert(position.clone(), at);
        self.places.push(Place {
            step,
            position,
            parent,
            depth,
            children: children.collect(),
        });
        at
    }

    /// Decides what follows the replies of a place.
    fn follow(&mut self, at: usize, open: &mut VecDeque<usize>) {
        let Some(place) = self.places.get(at) else {
            return;
        };
        let after = place.after();
        let step = place.step;
        let proof = self.proof;
        for (index, &(reply, answer)) in step.replies.iter().enumerate() {
            let child = self
                .places
                .get(at)
                .and_then(|place| place.children.get(index));
            let (Some(Child::Cut), Answer::Step(number)) = (child, answer) else {
                continue;
            };
            let Some(next) = proof.steps().get(number as usize) else {
                continue;
            };
            let position = played(&after, reply);
            // A shorter way to mate never leads back to a longer one, so that no comment
            // refers in a circle.
            let same = self.known.get(&position).copied().filter(|&same| {
                let known = self.places.get(same);
                known.is_some_and(|known| known.step.moves <= next.moves)
            });
            if let Some(same) = same {
                let place = self.places.get_mut(at);
                if let Some(child) = place.and_then(|place| place.children.get_mut(index)) {
                    *child = Child::Same(same);
                }
            } else if self.moves + Self::cost(next) <= self.most {
                open.push_back(self.add(next, position, Some((at, index))));
            } else {
                self.cut += 1;
            }
        }
    }

    /// The line to the place `to` from where it parts from the way to the place `from`.
    fn way(&self, from: usize, to: usize) -> String {
        let depth = |at: usize| self.places.get(at).map_or(0, |place| place.depth);
        let parent = |at: usize| self.places.get(at).and_then(|place| place.parent);
        let mut ancestor = from;
        let mut at = to;
        let mut replies = Vec::new();
        while at != ancestor {
            if depth(at) >= depth(ancestor) {
                let Some((above, reply)) = parent(at) else {
                    break;
                };
                replies.push((above, reply));
                at = above;
            } else {
                let Some((above, _)) = parent(ancestor) else {
                    break;
                };
                ancestor = above;
            }
        }
        let mut moves = Vec::new();
        for (index, &(at, reply)) in replies.iter().rev().enumerate() {
            if let Some(place) = self.places.get(at) {
                moves.extend(place.step.attack.filter(|_| index > 0));
                moves.extend(place.step.replies.get(reply).map(|&(reply, _)| reply));
            }
        }
        show::line(&self.after(at), &moves)
    }
}

/// What is left to write, the last first.
enum Task {
    /// What follows a reply of a place.
    Behind { place: usize, reply: usize },
    /// A reply of a place as a side-line.
    Side { place: usize, reply: usize },
    /// The end of a side-line.
    Close,
}

/// The proof as movetext with at most `most` moves, or those of the main line if that has
/// more.
///
/// ```
/// use gainsay::{Solver, read_fen, unfold::unfold};
/// let position = read_fen("5r1k/6pp/7N/3Q4/8/8/8/7K w - - 0 1", false).0.unwrap();
/// let proof = Solver::new(1 << 20).mate(&position, Some(2), 100_000).proof.unwrap();
/// assert_eq!(unfold(&proof, 100).movetext, "1. Qg8+ Rxg8 2. Nf7#");
/// ```
#[must_use]
pub fn unfold(proof: &Proof, most: usize) -> Unfolded {
    let plan = Plan::new(proof, most);
    let mut writer = Writer {
        plan: &plan,
        text: String::new(),
        tasks: Vec::new(),
        number_due: true,
    };
    if !plan.places.is_empty() {
        writer.place(0);
    }
    while let Some(task) = writer.tasks.pop() {
        match task {
            Task::Behind { place, reply } => writer.behind(place, reply),
            Task::Side { place, reply } => {
                writer.token("(");
                writer.number_due = true;
                writer.reply(place, reply);
                writer.tasks.push(Task::Close);
                writer.tasks.push(Task::Behind { place, reply });
            }
            Task::Close => {
                writer.text.push(')');
                writer.number_due = true;
            }
        }
    }
    Unfolded {
        movetext: writer.text,
        moves: plan.moves,
        cut: plan.cut,
    }
}

struct Writer<'w, 'p> {
    plan: &'w Plan<'p>,
    text: String,
    tasks: Vec<Task>,
    /// Whether the next move needs its number whoever plays it.
    number_due: bool,
}

impl Writer<'_, '_> {
    fn token(&mut self, token: &str) {
        if !self.text.is_empty() && !self.text.ends_with('(') {
            self.text.push(' ');
        }
        self.text.push_str(token);
    }

    fn one(&mut self, position: &Chess, m: Move) {
        if self.number_due || position.turn() == Color::White {
            self.token(&show::number(position));
        }
        self.token(&show::san(position, m));
        self.number_due = false;
    }

    fn comment(&mut self, words: &str) {
        self.token(&format!("{{{words}}}"));
        self.number_due = true;
    }

    /// Writes a place: its move, the longest reply, the others as side-lines.
    fn place(&mut self, at: usize) {
        let Some(place) = self.plan.places.get(at) else {
            return;
        };
        if let Some(attack) = place.step.attack {
            self.one(&place.position, attack);
        }
        let Some((longest, _)) = self.plan.proof.longest(place.step) else {
            return;
        };
        let replies = || place.step.replies.iter().enumerate();
        let others = replies().filter(|&(_, &(reply, _))| reply != longest);
        let main = replies().find(|&(_, &(reply, _))| reply == longest);
        let Some((main, _)) = main else {
            return;
        };
        self.reply(at, main);
        self.tasks.push(Task::Behind {
            place: at,
            reply: main,
        });
        let sides = others
            .rev()
            .map(|(reply, _)| Task::Side { place: at, reply });
        self.tasks.extend(sides);
    }

    /// Writes a reply, and where to look for what follows if that is not written here.
    fn reply(&mut self, at: usize, reply: usize) {
        let Some(place) = self.plan.places.get(at) else {
            return;
        };
        if let Some(&(m, _)) = place.step.replies.get(reply) {
            self.one(&place.after(), m);
        }
        match place.children.get(reply) {
            Some(&Child::Same(same)) => {
                let way = self.plan.way(at, same);
                self.comment(&format!("as after {way}"));
            }
            Some(Child::Cut) => self.comment("and so on"),
            _ => {}
        }
    }

    fn behind(&mut self, at: usize, reply: usize) {
        let Some(place) = self.plan.places.get(at) else {
            return;
        };
        match place.children.get(reply) {
            Some(&Child::Mate(m)) => {
                let mut position = place.after();
                if let Some(&(reply, _)) = place.step.replies.get(reply) {
                    position.play_unchecked(reply);
                }
                self.one(&position, m);
            }
            Some(&Child::Place(next)) => self.place(next),
            _ => {}
        }
    }
}

/// The moves of a proof with every other defence as a side-line, where there are other
/// defences and few enough moves to be put into a game.
pub(crate) fn to_insert(proof: &Proof) -> Option<String> {
    let listed: usize = proof.steps().iter().map(|step| step.replies.len()).sum();
    if listed > INSERTED || proof.others() == Some(gainsay_proof::Others::None) {
        return None;
    }
    let unfolded = unfold(proof, INSERTED);
    (unfolded.cut == 0 && unfolded.movetext.contains('(')).then_some(unfolded.movetext)
}

/// A game that shows the proof: the position as its tags say, `words` as its first
/// comment, and at most `most` moves. In export format, without a line end behind it.
///
/// ```
/// use gainsay::{Solver, read_fen, unfold::game};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", false).0.unwrap();
/// let proof = Solver::new(1 << 20).mate(&position, Some(1), 1000).proof.unwrap();
/// let game = game(&proof, "The back rank is weak.", 100);
/// assert!(game.ends_with("\n\n{The back rank is weak.} 1. Ra8# 1-0"));
/// ```
#[must_use]
pub fn game(proof: &Proof, words: &str, most: usize) -> String {
    let Unfolded {
        mut movetext, cut, ..
    } = unfold(proof, most);
    let mut words = words.to_owned();
    if cut > 0 {
        words.push_str(&format!(
            " Cut at {}: {} not followed to the mate.",
            show::counted(most as u64, "move"),
            if cut == 1 {
                "1 defence is".to_owned()
            } else {
                format!("{cut} defences are")
            }
        ));
    }
    if !movetext.is_empty() {
        movetext.push(' ');
    }
    let result = match proof.attacker() {
        Color::White => "1-0",
        Color::Black => "0-1",
    };
    written(proof.position(), &words, &movetext, result)
}

/// A game of one line: a position, `words` as its first comment, and moves. In export
/// format, without a line end behind it.
///
/// ```
/// use gainsay::{shakmaty::Chess, unfold::game_of_line};
/// let game = game_of_line(&Chess::default(), "Nothing is played.", &[]);
/// assert!(game.ends_with("\n\n{Nothing is played.} *"));
/// ```
#[must_use]
pub fn game_of_line(position: &Chess, words: &str, line: &[Move]) -> String {
    let mut movetext = show::line(position, line);
    if !movetext.is_empty() {
        movetext.push(' ');
    }
    written(position, words, &movetext, "*")
}

fn written(position: &Chess, words: &str, movetext: &str, result: &str) -> String {
    let mut text = format!(
        "[Event \"Proof\"]\n[Site \"?\"]\n[Date \"????.??.??\"]\n[Round \"?\"]\n[White \"?\"]\n\
         [Black \"?\"]\n[Result \"{result}\"]\n[SetUp \"1\"]\n[FEN \"{}\"]\n",
        show::fen(position)
    );
    // Between tokens and within comments a line end is as good as a space.
    let mut column = WIDTH;
    for word in format!("{{{words}}} {movetext}{result}").split(' ') {
        if column + 1 + word.len() > WIDTH {
            text.push('\n');
            column = 0;
        } else {
            text.push(' ');
            column += 1;
        }
        text.push_str(word);
        column += word.len();
    }
    text
}
