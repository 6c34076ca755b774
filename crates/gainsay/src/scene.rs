//! The positions that a comment can speak of.

use std::{collections::HashMap, fmt::Write as _, sync::Arc};

use gainsay_notation::GameResult;
use shakmaty::{Chess, Color, Move, Position};

use crate::{
    memory::Digest,
    outcome::Line,
    printed::printed,
    replay::{CommentSite, View},
    resolve::pass,
    show,
};

/// How far before and behind a comment its words reach, in plies. Statements about a
/// square that are not true at once are true within six to eight plies (measured on
/// 1,142 statements of annotators).
pub(crate) const REACH: usize = 8;

/// Half moves since White's first move of move 0, as in [`crate::Ply::count`].
pub(crate) fn count(position: &Chess) -> u32 {
    position
        .fullmoves()
        .get()
        .saturating_mul(2)
        .saturating_add(u32::from(position.turn() == Color::Black))
}

/// Every position of a game, the main line's first, each with its count.
#[derive(Debug, Default)]
pub(crate) struct Tree {
    positions: Vec<(u32, Chess)>,
    /// The moves, in the order of the text.
    moves: Vec<Node>,
    /// The positions with a count, by their places; a long game has many claims, and none may
    /// look through all of it.
    counted: HashMap<u32, Vec<u32>>,
    /// The moves that are made in positions with a count, by their places, the main line's
    /// first.
    made: HashMap<u32, Vec<u32>>,
    /// The number of the last move in any line.
    last_number: Option<u32>,
    /// For every ply the plies by which Black and White castled before it or with it.
    castled: Vec<[Option<u32>; 2]>,
    /// The positions that are printed as diagrams, by their numbers.
    diagrams: Vec<(u32, Chess)>,
    /// How the game ended, where that is known.
    result: Option<GameResult>,
    /// The last move of the main line.
    last: Option<u32>,
    /// A fingerprint of all that.
    print: Digest,
}

/// A move of the game.
#[derive(Clone, Copy, Debug)]
struct Node {
    /// The move that it follows.
    parent: Option<u32>,
    mv: Option<Move>,
    /// Where the position behind it stands among the positions.
    after: Option<usize>,
}

impl Tree {
    /// The moves behind one, in side-lines too, in the order of the text: the position before, the move
    /// and the position after.
    pub(crate) fn moves_behind(&self, root: Option<u32>) -> Vec<(&Chess, Move, &Chess)> {
        let mut within: Vec<bool> = Vec::with_capacity(self.moves.len());
        let mut found = Vec::new();
        for node in &self.moves {
            let inside = node.parent == root
                || (node.parent.and_then(|parent| within.get(parent as usize)))
                    .is_some_and(|&it| it);
            within.push(inside);
            let step = || {
                Some((
                    self.behind(node.parent)?,
                    node.mv?,
                    self.position(node.after)?,
                ))
            };
            found.extend(step().filter(|_| inside));
        }
        found
    }

    /// The positions of a game that was played through.
    pub(crate) fn of(view: &View<'_>) -> Self {
        let replay = view.replay;
        let counted = |position: &Chess| (count(position), position.clone());
        let mut positions: Vec<(u32, Chess)> = replay.start.position.iter().map(counted).collect();
        let node = |ply: &crate::replay::Ply| Node {
            parent: ply.parent,
            mv: ply.played,
            after: None,
        };
        let mut moves: Vec<Node> = replay.plies.iter().map(node).collect();
        for main in [true, false] {
            for (ply, node) in replay.plies.iter().zip(&mut moves) {
                if (ply.depth == 0) == main
                    && let Some(after) = &ply.after
                {
                    node.after = Some(positions.len());
                    positions.push(counted(after));
                }
            }
        }
        let mut castled: Vec<[Option<u32>; 2]> = Vec::new();
        for (at, ply) in (0..).zip(&replay.plies) {
            let parent = ply.parent.and_then(|parent| castled.get(parent as usize));
            let mut here = parent.copied().unwrap_or_default();
            if ply.played.is_some_and(|m| m.castling_side().is_some()) {
                here[usize::from(ply.side().is_white())] = Some(at);
            }
            castled.push(here);
        }
        let mut tree = Self {
            positions,
            moves,
            castled,
            diagrams: diagrams(view),
            result: view.ended(),
            last: (0..)
                .zip(&replay.plies)
                .filter(|(_, ply)| ply.depth == 0)
                .last()
                .map(|(at, _)| at),
            ..Self::default()
        };
        tree.number();
        tree.print = tree.printed(view);
        tree
    }

    /// The fingerprint of a game: where it starts, its moves with their lines, and its diagrams.
    fn printed(&self, view: &View<'_>) -> Digest {
        let start = self.position(Some(0)).map_or_else(String::new, show::fen);
        let mut moves = String::new();
        for ply in &view.replay.plies {
            let _ = write!(
                moves,
                "{:?} {} {} {:?} {},",
                ply.parent,
                ply.depth,
                ply.count,
                ply.played,
                ply.after.is_some()
            );
        }
        let _ = write!(moves, "{:?}", self.result);
        Digest::of(&[start.as_bytes(), moves.as_bytes(), &self.seen()])
    }

    /// The fingerprint of the diagrams.
    fn seen(&self) -> Vec<u8> {
        let diagrams = self.diagrams.iter();
        let told = diagrams.map(|(number, position)| format!("{number} {} ", show::fen(position)));
        told.collect::<String>().into_bytes()
    }

    /// Sorts positions and moves by their counts.
    fn number(&mut self) {
        for (place, (count, _)) in (0..).zip(&self.positions) {
            self.counted.entry(*count).or_default().push(place);
        }
        let mut made: Vec<(usize, u32, u32)> = Vec::new();
        let mut last = None;
        for (place, node) in (0..).zip(&self.moves) {
            let Some(before) = self.behind(node.parent) else {
                continue;
            };
            last = last.max(Some(before.fullmoves().get()));
            if let Some(after) = node.after {
                made.push((after, count(before), place));
            }
        }
        self.last_number = last;
        made.sort_unstable();
        for (_, count, place) in made {
            self.made.entry(count).or_default().push(place);
        }
    }

    fn position(&self, index: Option<usize>) -> Option<&Chess> {
        self.positions.get(index?).map(|(_, position)| position)
    }

    /// The position behind a move, or the one that the game starts from.
    fn behind(&self, at: Option<u32>) -> Option<&Chess> {
        match at {
            Some(at) => self.position(self.moves.get(at as usize)?.after),
            None => self.position(Some(0)),
        }
    }

    /// The positions from the one behind move `at` back to the start.
    pub(crate) fn way_back(&self, at: Option<u32>) -> impl Iterator<Item = &Chess> {
        let parent = |at: &Option<u32>| Some(self.moves.get((*at)? as usize)?.parent);
        std::iter::successors(Some(at), parent).filter_map(|at| self.behind(at))
    }

    /// The moves from the one behind which move `at` stands back to the first, the nearest first.
    pub(crate) fn steps_back(&self, at: Option<u32>) -> impl Iterator<Item = Step> {
        let parent = |at: &u32| self.moves.get(*at as usize)?.parent;
        std::iter::successors(at, parent).filter_map(|at| self.step(self.moves.get(at as usize)?))
    }

    /// The moves that are made in positions with this count, the main line's first.
    pub(crate) fn moves_at(&self, wanted: u32) -> Vec<Step> {
        let made = self.made.get(&wanted).into_iter().flatten();
        made.filter_map(|&place| self.step(self.moves.get(place as usize)?))
            .collect()
    }

    fn step(&self, node: &Node) -> Option<Step> {
        Some(Step {
            before: self.behind(node.parent)?.clone(),
            mv: node.mv,
            after: self.position(node.after)?.clone(),
        })
    }

    /// All moves, in the order of the text.
    pub(crate) fn steps(&self) -> impl Iterator<Item = Step> {
        self.moves.iter().filter_map(|node| self.step(node))
    }

    /// How the game ended, where its tag and its marker do not contradict each other.
    pub(crate) fn result(&self) -> Option<GameResult> {
        self.result
    }

    /// The last move of the main line.
    pub(crate) fn last_step(&self) -> Option<Step> {
        self.step(self.moves.get(self.last? as usize)?)
    }

    /// Whether the main line ends with the move of this place.
    pub(crate) fn is_last(&self, at: Option<u32>) -> bool {
        at.is_some() && at == self.last
    }

    /// The number of the last move in any line.
    pub(crate) fn last_number(&self) -> Option<u32> {
        self.last_number
    }

    /// How many diagrams there are.
    pub(crate) fn diagrams(&self) -> &[(u32, Chess)] {
        &self.diagrams
    }

    /// The diagram of this number, counted through the game, or in a manuscript through the
    /// text.
    pub(crate) fn diagram(&self, number: u32) -> Option<&Chess> {
        let found = self.diagrams.iter().find(|(own, _)| *own == number);
        found.map(|(_, position)| position)
    }

    /// All positions, the main line's first.
    pub(crate) fn all(&self) -> impl Iterator<Item = &Chess> {
        self.positions.iter().map(|(_, position)| position)
    }

    /// The positions with this count.
    pub(crate) fn at(&self, wanted: u32) -> impl Iterator<Item = &Chess> {
        let counted = self.counted.get(&wanted).into_iter().flatten();
        counted.filter_map(|&place| self.position(Some(place as usize)))
    }
}

/// The positions of a game's diagrams.
fn diagrams(view: &View<'_>) -> Vec<(u32, Chess)> {
    let places = printed(view).into_iter();
    let positions = places.filter_map(|place| view.replay.at(place.after));
    (1..).zip(positions.cloned()).collect()
}

/// How many moves stand in front of a comment.
fn plies_before(view: &View<'_>, site: &CommentSite) -> usize {
    let plies = &view.replay.plies;
    plies.partition_point(|ply| ply.element < site.element)
}

/// A move with the positions before and after it.
#[derive(Clone, Debug)]
pub(crate) struct Step {
    pub(crate) before: Chess,
    /// `None` for a pass.
    pub(crate) mv: Option<Move>,
    pub(crate) after: Chess,
}

impl Step {
    /// The move; no moves for a pass.
    pub(crate) fn shown(&self) -> Line {
        let moves: Vec<Move> = self.mv.into_iter().collect();
        Line::new(&self.before, &moves)
    }
}

/// The positions around a comment.
#[derive(Debug)]
pub(crate) struct Scene {
    /// The position the comment stands in: after the move before it.
    pub(crate) here: Chess,
    /// That move's place in the tree.
    pub(crate) after: Option<u32>,
    /// The move before it, where the comment stands behind one.
    pub(crate) played: Option<Step>,
    /// The moves behind it in its line, the nearest first.
    pub(crate) steps: Vec<Step>,
    /// The positions before it in its line, the nearest first.
    pub(crate) back: Vec<Chess>,
    /// The positions behind it in its line, the nearest first.
    pub(crate) ahead: Vec<Chess>,
    /// The positions of side-lines that begin at the comment's move or just behind it.
    pub(crate) beside: Vec<Chess>,
    /// The moves by which Black and White castled on the way to the comment.
    pub(crate) castled: [Option<Step>; 2],
    /// All positions of the game.
    pub(crate) tree: Arc<Tree>,
    /// A fingerprint of the game and of the place in it.
    pub(crate) print: Digest,
}

impl Scene {
    /// The positions around the comment at `site`; `None` where its position is lost.
    pub(crate) fn of(view: &View<'_>, site: &CommentSite, tree: &Arc<Tree>) -> Option<Self> {
        let replay = view.replay;
        let here = replay.at(site.after)?.clone();
        let played = site.after.filter(|_| !site.opens).and_then(|at| {
            let ply = replay.ply(at)?;
            Some(Step {
                before: replay.before(ply)?.clone(),
                mv: ply.played,
                after: here.clone(),
            })
        });
        let mut back = Vec::new();
        let mut at = site.after;
        while let Some(ply) = at.and_then(|at| replay.ply(at)) {
            let Some(before) = replay.before(ply) else {
                break;
            };
            back.push(before.clone());
            if back.len() == REACH {
                break;
            }
            at = ply.parent;
        }
        let step = |at: u32| {
            let ply = replay.ply(at)?;
            Some(Step {
                before: replay.before(ply)?.clone(),
                mv: ply.played,
                after: ply.after.clone()?,
            })
        };
        let castled = site
            .after
            .and_then(|at| tree.castled.get(at as usize))
            .copied()
            .unwrap_or_default()
            .map(|at| at.and_then(step));
        let mut scene = Self {
            here,
            after: site.after,
            castled,
            played,
            steps: Vec::new(),
            back,
            ahead: Vec::new(),
            beside: Vec::new(),
            tree: Arc::clone(tree),
            print: Digest::default(),
        };
        let first = plies_before(view, site);
        let place = format!("{:?} {} {} {first}", site.after, site.opens, site.depth);
        scene.print = Digest::of(&[tree.print.bytes(), place.as_bytes()]);
        scene.look_ahead(view, site);
        Some(scene)
    }

    /// A position without a game.
    pub(crate) fn alone(position: &Chess) -> Self {
        let mut tree = Tree {
            positions: vec![(count(position), position.clone())],
            ..Tree::default()
        };
        tree.number();
        tree.print = Digest::of(&[show::fen(position).as_bytes()]);
        Self {
            print: tree.print,
            here: position.clone(),
            after: None,
            played: None,
            steps: Vec::new(),
            back: Vec::new(),
            ahead: Vec::new(),
            beside: Vec::new(),
            castled: [None, None],
            tree: Arc::new(tree),
        }
    }

    /// Lets the text point at these diagrams, unless the game has its own.
    pub(crate) fn see(&mut self, diagrams: &[(u32, Chess)]) {
        if let Some(tree) = Arc::get_mut(&mut self.tree)
            && tree.diagrams.is_empty()
        {
            tree.diagrams = diagrams.to_vec();
            self.print = Digest::of(&[self.print.bytes(), &tree.seen()]);
        }
    }

    /// Walks from the comment on through its own line, and through the lines beside it.
    fn look_ahead(&mut self, view: &View<'_>, site: &CommentSite) {
        // The plies behind the comment, by what they follow.
        let first = plies_before(view, site);
        // The other moves in the position that a side-line starts from stand before it: "21...h5 is
        // better; with the actual move he pins himself".
        let own = site.after.and_then(|at| view.replay.plies.get(at as usize));
        let instead = own.filter(|_| !site.opens);
        let window = first.saturating_sub(32 * REACH)..first;
        for ply in view.replay.plies.get(window).unwrap_or_default() {
            let other = match instead {
                Some(own) => ply.parent == own.parent && ply.depth < own.depth,
                None => site.opens && ply.parent == site.after,
            };
            if other
                && self.beside.len() < REACH
                && let Some(after) = &ply.after
            {
                self.beside.push(after.clone());
            }
        }
        let mut last = site.after;
        for (at, ply) in view.replay.plies.iter().enumerate().skip(first) {
            if self.ahead.len() == REACH && self.beside.len() >= 4 * REACH {
                break;
            }
            if ply.depth < site.depth || at > first + 64 * REACH {
                break;
            }
            let Some(after) = &ply.after else {
                continue;
            };
            if ply.depth == site.depth {
                if ply.parent != last {
                    break;
                }
                last = u32::try_from(at).ok();
                if self.ahead.len() < REACH {
                    self.steps
                        .extend(view.replay.before(ply).map(|before| Step {
                            before: before.clone(),
                            mv: ply.played,
                            after: after.clone(),
                        }));
                    self.ahead.push(after.clone());
                }
            } else if self.ahead.len() <= 1 && self.beside.len() < 4 * REACH {
                self.beside.push(after.clone());
            }
        }
    }

    /// The moves of the game up to the comment, the last one first.
    pub(crate) fn way(&self) -> Vec<Step> {
        self.tree.steps_back(self.after).collect()
    }

    /// The position in front of the move the comment stands behind.
    pub(crate) fn before(&self) -> Option<&Chess> {
        self.back.first()
    }

    /// The position with the side to move having passed.
    pub(crate) fn passed(&self) -> Option<Chess> {
        pass(&self.here)
    }

    /// Whether the comment belongs to a game, and not to a position by itself.
    pub(crate) fn is_of_a_game(&self) -> bool {
        !self.tree.moves.is_empty()
    }

    /// Whether the game began before the moves that are given.
    pub(crate) fn is_set_up(&self) -> bool {
        let start = self.tree.all().next();
        start.is_none_or(|start| start.board() != Chess::default().board())
    }

    /// Every position of the own line within reach, the nearest first.
    pub(crate) fn around(&self) -> impl Iterator<Item = &Chess> {
        let ahead = self.ahead.iter().map(Some).chain(std::iter::repeat(None));
        let back = self.back.iter().map(Some).chain(std::iter::repeat(None));
        std::iter::once(&self.here).chain(
            back.zip(ahead)
                .take(REACH)
                .flat_map(|(back, ahead)| back.into_iter().chain(ahead)),
        )
    }
}
