//! `gainsay prove`: is there a forced mate?

use std::{
    fs::File,
    io::{self, BufWriter, Write},
    path::Path,
};

use gainsay::{Solver, Verdict, read_fen, show, unfold};
use gainsay_notation::{SectionKind, parse_epd_line, sections_of};
use gainsay_proof::MateAnswer;
use serde::Serialize;
use shakmaty::{Chess, Color, Position};

use crate::{
    CLEAN, FOUND, TROUBLE,
    aids::Aids,
    args::{ProveArgs, ProvePrinted},
    complain,
    firsts::{Firsts, FirstsJson},
    memory::Memory,
    pool::in_order,
};

/// Where no side is named, the side to move is asked about first with this part of the
/// budget, which is enough for most short mates,
const FIRST: u64 = 128;

/// and then the other with this part. What it shows decides who gets the rest.
const PROBE: u64 = 64;

/// What was asked of one position.
struct Asked {
    /// The position as written.
    text: String,
    position: Option<Chess>,
}

/// What became of it.
struct Answered<'a> {
    text: &'a str,
    position: &'a Chess,
    /// The side that mates, or that was asked about.
    side: Color,
    within: Option<u32>,
    answer: MateAnswer,
    /// Which first moves mate, if that was asked.
    firsts: Option<Firsts>,
}

#[derive(Serialize)]
struct AnswerJson<'a> {
    position: &'a str,
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
    let memory = match Memory::megabytes(args.memory) {
        Ok(memory) => memory,
        Err(error) => {
            complain(&error.to_string());
            return TROUBLE;
        }
    };
    match answer(args, memory, &asked) {
        Ok(code) => code,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => CLEAN,
        Err(error) => {
            complain(&format!("cannot write the answers: {error}"));
            TROUBLE
        }
    }
}

fn answer(args: &ProveArgs, memory: Memory, asked: &[Asked]) -> io::Result<u8> {
    let mut out = BufWriter::new(io::stdout());
    let mut proofs = match &args.proof {
        Some(path) => Some(BufWriter::new(File::create(path)?)),
        None => None,
    };
    let mut code = CLEAN;
    let mut first = true;
    if args.format == ProvePrinted::Json {
        write!(out, "{{\"schema\":1,\"positions\":[")?;
    }
    let nodes = args.nodes;
    let work = |asked, solver: &mut Solver| (asked, answer_one(asked, args, solver));
    let solvers = memory.share(args.threads, nodes, &Aids::new(nodes, memory, true));
    let mut solvers: Vec<Solver> = solvers.into_iter().map(Solver::with_proofs).collect();
    in_order(asked, &mut solvers, work, |(asked, answered)| {
        let Some(answered) = answered else {
            complain(&format!("\"{}\" is no legal position", asked.text));
            code = TROUBLE;
            return Ok(());
        };
        let answer = &answered.answer;
        if answer.verdict != Verdict::Holds {
            code = code.max(FOUND);
        }
        if let (Some(file), Some(proof)) = (&mut proofs, &answer.proof) {
            write!(file, "{proof}")?;
        }
        match args.format {
            ProvePrinted::Text => answered.text(&mut out)?,
            ProvePrinted::Json => {
                out.write_all(if first { b"\n" } else { b",\n" })?;
                first = false;
                serde_json::to_writer(&mut out, &answered.json())?;
            }
            ProvePrinted::Pgn => writeln!(out, "{}\n", answered.game())?,
        }
        out.flush()
    })?;
    if args.format == ProvePrinted::Json {
        writeln!(out, "\n]}}")?;
    }
    out.flush()?;
    if let Some(mut file) = proofs {
        file.flush()?;
    }
    Ok(code)
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
    Some(Answered {
        text: &asked.text,
        position,
        side,
        within,
        answer,
        firsts,
    })
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
        let cost = match self.answer.verdict {
            Verdict::Fails => show::searched(self.answer.nodes),
            _ => show::counted(self.answer.nodes, "node"),
        };
        writeln!(out, "{words} ({cost})\n  {}", self.text)?;
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
            position: self.text,
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
                Verdict::Fails => Some(show::searched(answer.nodes)),
                _ => answer.others.map(|others| show::others(others).to_owned()),
            },
            first_moves: (self.firsts.as_ref()).map(|firsts| firsts.json(self.position)),
        }
    }

    /// A game that shows it.
    fn game(&self) -> String {
        let mut words = self.sentence();
        match (self.answer.verdict, self.answer.others) {
            (Verdict::Fails, _) => {
                words.push_str(&format!(" ({})", show::searched(self.answer.nodes)));
            }
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
            (Verdict::Fails, _) => format!("{none}{within}"),
            _ => format!(
                "unsettled: the budget did not suffice to find a mate{within} for {} or to rule \
                 it out",
                show::side(self.side)
            ),
        }
    }
}

/// The positions that the argument names: those of a file, or itself.
fn positions(what: &str) -> Result<Vec<Asked>, String> {
    let path = Path::new(what);
    if !path.is_file() {
        let (position, trouble) = read_fen(what, false);
        return match position {
            Some(_) if trouble.is_none() => Ok(vec![Asked {
                text: what.to_owned(),
                position,
            }]),
            _ => Err(format!(
                "\"{what}\" is neither a file nor the FEN of a legal position"
            )),
        };
    }
    let bytes = std::fs::read(path).map_err(|error| format!("{what}: {error}"))?;
    let mut asked = Vec::new();
    for section in sections_of(&bytes, gainsay::Format::Epd) {
        if section.kind != SectionKind::Epd {
            continue;
        }
        let line = bytes.get(section.range).unwrap_or_default();
        let Some(record) = parse_epd_line(line) else {
            continue;
        };
        let mut text = gainsay_notation::decode(record.position.of(line)).into_owned();
        if let Some(counters) = record.counters {
            text.push(' ');
            text.push_str(&gainsay_notation::decode(counters.of(line)));
        }
        let (position, _) = read_fen(&text, false);
        asked.push(Asked { text, position });
    }
    Ok(asked)
}
