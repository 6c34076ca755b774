//! `gainsay prove`: is there a forced mate?

use std::{
    fs::File,
    io::{self, BufWriter, Write},
    path::Path,
};

use gainsay::{Solver, Verdict, show, unfold};
use gainsay_proof::MateAnswer;
use serde::Serialize;
use shakmaty::{Chess, Color, EnPassantMode, FromSetup as _, Position};

use crate::{
    aids::Aids,
    args::{ProveArgs, ProvePrinted},
    asked::{Asked, positions},
    exit::{CLEAN, FOUND, TROUBLE},
    firsts::{Firsts, FirstsJson},
    memory::MemoryLimit,
    pool::in_order,
    print::{self, complain, done, name},
    verify::{create, label},
};

/// Where no side is named, the side to move is asked about first with this part of the
/// budget, which is enough for most short mates,
const FIRST: u64 = 128;

/// and then the other with this part. What it shows decides who gets the rest.
const PROBE: u64 = 64;

/// So many positions are in work or have answers that wait for earlier ones.
const WAITING: usize = 64;

/// What became of it.
struct Answered<'a> {
    asked: &'a Asked,
    position: &'a Chess,
    /// The side that mates, or that was asked about.
    side: Color,
    within: Option<u32>,
    answer: MateAnswer,
    /// Which first moves mate, if that was asked.
    firsts: Option<Firsts>,
    /// The moves of a mate that comes too late for the fifty-move rule, where no other was
    /// found.
    late: Option<u32>,
    /// The budget.
    nodes: u64,
}

#[derive(Serialize)]
struct AnswerJson<'a> {
    position: &'a str,
    /// Where it stands in a file.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<&'a str>,
    verdict: &'a str,
    moves: Option<u32>,
    exact: bool,
    nodes: u64,
    evidence: Vec<String>,
    /// The side that mates.
    #[serde(skip_serializing_if = "Option::is_none")]
    side: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    first_moves: Option<FirstsJson>,
}

/// Answers, and returns the exit code: 0 when every position was settled as a mate,
/// 1 when some were not, 2 when some could not be read.
pub(crate) fn run(args: &ProveArgs) -> u8 {
    let asked = match positions(&args.what) {
        Ok(asked) => asked,
        Err(message) => {
            complain(&message);
            return TROUBLE;
        }
    };
    let memory = match MemoryLimit::megabytes(args.memory) {
        Ok(memory) => memory,
        Err(error) => {
            complain(&error.to_string());
            return TROUBLE;
        }
    };
    let mut proofs = None;
    if let Some(path) = &args.proof {
        match create(path) {
            Ok(file) => proofs = Some(BufWriter::new(file)),
            Err(error) => {
                complain(&format!(
                    "cannot write the proofs to {}: {error}",
                    name(path)
                ));
                return TROUBLE;
            }
        }
    }
    let mut code = CLEAN;
    let told = answer(args, memory, &asked, &mut code, &mut proofs);
    let code = done(told, "the answers", code);
    match proofs.map(|mut file| file.flush()) {
        Some(Err(error)) => done(Err(error), "the proofs", TROUBLE),
        _ => code,
    }
}

fn answer(
    args: &ProveArgs,
    memory: MemoryLimit,
    asked: &[Asked],
    code: &mut u8,
    proofs: &mut Option<BufWriter<File>>,
) -> io::Result<()> {
    let mut out = BufWriter::new(io::stdout());
    let mut first = true;
    if args.format == ProvePrinted::Json {
        write!(out, "{{\"schema\":1,\"positions\":[")?;
    }
    let nodes = args.nodes;
    let work = |asked, solver: &mut Solver| (asked, answer_one(asked, args, solver));
    let solvers = Aids::new(nodes, memory, true).solvers(memory, args.threads, nodes);
    let mut solvers: Vec<Solver> = solvers.into_iter().map(Solver::with_proofs).collect();
    in_order(
        asked,
        &mut solvers,
        (|_: &Asked| 1, WAITING),
        work,
        |(asked, answered)| {
            let Some(answered) = answered else {
                let place = asked.place.as_ref().map(|place| format!("{place}: "));
                let place = place.unwrap_or_default();
                complain(&format!("{place}\"{}\" is no legal position", asked.text));
                *code = TROUBLE;
                return Ok(());
            };
            let answer = &answered.answer;
            if answer.verdict != Verdict::Holds {
                *code = (*code).max(FOUND);
            }
            if let (Some(file), Some(proof)) = (proofs.as_mut(), &answer.proof) {
                if let Some(place) = &asked.place {
                    label(file, &format!("{}, {place}", name(Path::new(&args.what))))?;
                }
                write!(file, "{proof}")?;
            }
            match args.format {
                ProvePrinted::Text => answered.text(&mut out)?,
                ProvePrinted::Json => {
                    out.write_all(if first { b"\n" } else { b",\n" })?;
                    first = false;
                    print::json(&mut out, &answered.json())?;
                }
                ProvePrinted::Pgn => writeln!(out, "{}\n", answered.game())?,
            }
            out.flush()
        },
    )?;
    if args.format == ProvePrinted::Json {
        writeln!(out, "\n]}}")?;
    }
    out.flush()
}

/// Asks whether the side named mates, or whether either does: the side to move first.
/// Where it is asked which first moves do it, they get half of the budget at least.
fn answer_one<'a>(asked: &'a Asked, args: &ProveArgs, solver: &mut Solver) -> Option<Answered<'a>> {
    let position = asked.position.as_ref()?;
    let within = args.within;
    let nodes = if args.moves {
        args.nodes / 2
    } else {
        args.nodes
    };
    let mut inquiry = Inquiry {
        position,
        within,
        left: nodes,
        solver,
    };
    let (side, mut answer) = match args.side.map(Color::from) {
        Some(side) => (side, inquiry.ask(side, nodes)),
        None => inquiry.either(nodes),
    };
    let late = inquiry.late(side, &answer);
    answer.nodes = nodes - inquiry.left;
    let mut firsts = None;
    if args.moves && side == position.turn() {
        let left = args.nodes - answer.nodes;
        if let Some((told, spent)) = Firsts::ask(position, within, &answer, left, solver) {
            answer.nodes += spent;
            firsts = Some(told);
        }
    }
    // A table knows a line that is not that of its proof, and nothing of the others.
    if let Some(proof) = answer.proof.as_ref().filter(|_| answer.exact) {
        answer.line = proof.main_line();
        answer.others = proof.others();
    }
    let mut answered = Answered {
        asked,
        position,
        side,
        within,
        answer,
        firsts,
        late,
        nodes: args.nodes,
    };
    if answered.by_rule().is_some() && answered.answer.verdict == Verdict::Fails {
        // Moves show nothing where the rules tell.
        answered.answer.line.clear();
    }
    Some(answered)
}

/// Questions about one position, and what is left of its budget.
struct Inquiry<'a> {
    position: &'a Chess,
    within: Option<u32>,
    left: u64,
    solver: &'a mut Solver,
}

impl Inquiry<'_> {
    /// Does `side` mate?
    fn ask(&mut self, side: Color, nodes: u64) -> MateAnswer {
        let nodes = nodes.min(self.left);
        let answer = if side == self.position.turn() {
            self.solver.mate(self.position, self.within, nodes)
        } else {
            self.solver.mated(self.position, self.within, nodes)
        };
        self.left = self.left.saturating_sub(answer.nodes);
        answer
    }

    /// The same with all that is left, unless more nodes cannot change the answer that is
    /// known.
    fn insist(&mut self, side: Color, known: MateAnswer) -> MateAnswer {
        if known.exact || known.verdict == Verdict::Fails {
            return known;
        }
        let answer = self.ask(side, self.left);
        if answer.verdict == Verdict::Unsettled {
            known
        } else {
            answer
        }
    }

    /// In how many moves `side` would mate, were the count of the fifty-move rule to begin
    /// here, where that is what keeps the question open.
    fn late(&mut self, side: Color, answer: &MateAnswer) -> Option<u32> {
        if answer.verdict != Verdict::Unsettled || self.position.halfmoves() == 0 {
            return None;
        }
        let mut setup = self.position.to_setup(EnPassantMode::Legal);
        setup.halfmoves = 0;
        let fresh = Chess::from_setup(setup, self.position.castles().mode()).ok()?;
        let mut inquiry = Inquiry {
            position: &fresh,
            within: self.within,
            left: self.left,
            solver: &mut *self.solver,
        };
        let answer = inquiry.ask(side, inquiry.left);
        self.left = inquiry.left;
        answer.moves.filter(|_| answer.verdict == Verdict::Holds)
    }

    /// Does either side mate? With the side that does, or else that to move.
    fn either(&mut self, nodes: u64) -> (Color, MateAnswer) {
        let turn = self.position.turn();
        let mates = self.ask(turn, nodes / FIRST);
        if mates.verdict == Verdict::Holds {
            return (turn, self.insist(turn, mates));
        }
        let mated = self.ask(!turn, nodes / PROBE);
        if mated.verdict != Verdict::Holds && mates.verdict == Verdict::Unsettled {
            return (turn, self.insist(turn, mates));
        }
        let mated = self.insist(!turn, mated);
        if mated.verdict == Verdict::Holds {
            (!turn, mated)
        } else {
            (turn, mates)
        }
    }
}

impl Answered<'_> {
    /// What a person reads.
    fn text(&self, out: &mut impl Write) -> io::Result<()> {
        let words = self.sentence();
        let cost = self.cost();
        let place = self.asked.place.as_ref().map(|place| format!(" ({place})"));
        let place = place.unwrap_or_default();
        writeln!(out, "{words}{cost}\n  {}{place}", self.asked.text)?;
        let line = show::line(self.position, &self.answer.line);
        if !line.is_empty() {
            writeln!(out, "  {line}")?;
        }
        if let Some(others) = self.answer.others {
            writeln!(out, "  {}", show::others(others))?;
        }
        if let Some(firsts) = &self.firsts {
            writeln!(out, "  {}", firsts.words(self.position))?;
        }
        Ok(())
    }

    fn json(&self) -> AnswerJson<'_> {
        let answer = &self.answer;
        let line = show::line(self.position, &answer.line);
        let holds = answer.verdict == Verdict::Holds;
        AnswerJson {
            position: &self.asked.text,
            place: self.asked.place.as_deref(),
            verdict: answer.verdict.as_str(),
            moves: answer.moves,
            exact: answer.exact,
            nodes: answer.nodes,
            evidence: if line.is_empty() {
                Vec::new()
            } else {
                vec![line]
            },
            side: holds.then(|| show::side(self.side)),
            note: match answer.verdict {
                Verdict::Fails if answer.nodes == 0 => Some(self.sentence()),
                Verdict::Fails => Some(show::searched(answer.nodes)),
                Verdict::Unsettled => Some(self.sentence()),
                Verdict::Holds => answer.others.map(|others| show::others(others).to_owned()),
            },
            first_moves: (self.firsts.as_ref()).map(|firsts| firsts.json(self.position)),
        }
    }

    /// A game that shows it.
    fn game(&self) -> String {
        let mut words = self.sentence();
        match (self.answer.verdict, self.answer.others) {
            (Verdict::Fails, _) => words.push_str(&self.cost()),
            (_, Some(others)) => words.push_str(&format!("; {}", show::others(others))),
            _ => {}
        }
        if let Some(firsts) = &self.firsts {
            words.push_str(&format!("; {}", firsts.words(self.position)));
        }
        words.push('.');
        match &self.answer.proof {
            Some(proof) => unfold::game(proof, &words, unfold::MOVES),
            None => unfold::game_of_line(self.position, &words, &self.answer.line),
        }
    }

    /// What it cost, behind the answer. What the rules say at once costs nothing.
    fn cost(&self) -> String {
        let nodes = self.answer.nodes;
        match self.answer.verdict {
            Verdict::Fails if nodes == 0 => String::new(),
            Verdict::Fails => format!(" ({})", show::searched(nodes)),
            Verdict::Holds => format!(" ({})", show::counted(nodes, "node")),
            Verdict::Unsettled => format!(" ({nodes} of {})", show::counted(self.nodes, "node")),
        }
    }

    /// What the rules say of a position in which no search is needed to know that there is no
    /// mate.
    fn by_rule(&self) -> Option<String> {
        let position = self.position;
        let turn = show::side(position.turn());
        if position.is_checkmate() {
            Some(format!("{turn} is mated already"))
        } else if position.is_stalemate() {
            Some(format!("{turn} is stalemated: the game is drawn"))
        } else if position.has_insufficient_material(self.side) {
            let side = show::side(self.side);
            Some(format!("{side} has no mate: its pieces cannot mate"))
        } else {
            None
        }
    }

    /// Why a question is open that the budget would have sufficed for.
    fn fifty_moves(&self, mates: &str, moves: u32) -> String {
        const LIMIT: u32 = 100;
        let left = LIMIT.saturating_sub(self.position.halfmoves());
        let limit = match left {
            0 => "has been reached".to_owned(),
            _ => format!("is {} away", show::counted(left.into(), "half-move")),
        };
        format!(
            "unsettled: {mates} in at most {moves}, but too late for the fifty-move rule, whose \
             limit {limit}; no mate before it was found or ruled out"
        )
    }

    /// The answer in words.
    fn sentence(&self) -> String {
        let turn = self.position.turn();
        let loser = show::side(!self.side);
        let (mates, none) = if self.side == turn {
            let side = show::side(self.side);
            (format!("{side} mates"), format!("{side} has no mate"))
        } else {
            let not = format!("{loser}, to move, is not mated");
            (format!("{loser}, to move, is mated"), not)
        };
        let within = match self.within {
            Some(moves) => format!(" in {moves}"),
            None => String::new(),
        };
        match (self.answer.verdict, self.answer.moves) {
            (Verdict::Holds, Some(0)) => format!("{loser} is mated"),
            (Verdict::Holds, Some(moves)) if self.answer.exact => {
                format!("{mates} in {moves}, not sooner")
            }
            (Verdict::Holds, Some(moves)) => format!("{mates} in at most {moves}"),
            (Verdict::Fails, _) => match self.by_rule() {
                Some(words) => words,
                None => format!("{none}{within}"),
            },
            _ if let Some(moves) = self.late => self.fifty_moves(&mates, moves),
            _ => format!(
                "unsettled: the budget did not suffice to find a mate{within} for {} or to rule \
                 it out",
                show::side(self.side)
            ),
        }
    }
}
