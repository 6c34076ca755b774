//! `gainsay prove`: is there a forced mate?

use std::{
    fs::File,
    io::{self, BufWriter, Write},
    path::Path,
};

use gainsay::{Solver, Verdict, read_fen, show};
use gainsay_notation::{SectionKind, parse_epd_line, sections_of};
use gainsay_proof::MateAnswer;
use serde::Serialize;
use shakmaty::{Chess, Position};

use crate::{
    CLEAN, FOUND, TROUBLE,
    aids::Aids,
    args::{ProveArgs, ProvePrinted},
    complain,
    memory::Memory,
    pool::in_order,
};

/// What was asked of one position.
struct Asked {
    /// The position as written.
    text: String,
    position: Option<Chess>,
}

#[derive(Serialize)]
struct AnswerJson<'a> {
    position: &'a str,
    verdict: &'a str,
    moves: Option<u32>,
    exact: bool,
    nodes: u64,
    evidence: Vec<String>,
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
    let within = args.within;
    let nodes = args.nodes;
    let written = args.proof.is_some();
    let work = move |asked, solver: &mut Solver| {
        let answer = ask(asked, within, nodes, solver);
        let answer = answer.map(|answer| {
            if written {
                write_down(asked, answer, nodes, solver)
            } else {
                answer
            }
        });
        (asked, answer)
    };
    in_order(
        asked,
        &mut memory.share(args.threads, nodes, &Aids::new(nodes, memory, true)),
        work,
        |(asked, answer)| {
            let (Some(position), Some(answer)) = (&asked.position, answer) else {
                complain(&format!("\"{}\" is no legal position", asked.text));
                code = TROUBLE;
                return Ok(());
            };
            if answer.verdict != Verdict::Holds {
                code = code.max(FOUND);
            }
            if let (Some(file), Some(proof)) = (&mut proofs, &answer.proof) {
                write!(file, "{proof}")?;
            }
            let line = show::line(position, &answer.line);
            match args.format {
                ProvePrinted::Text => {
                    writeln!(out, "{}", sentence(within, position, &answer))?;
                    writeln!(out, "  {}", asked.text)?;
                    if !line.is_empty() {
                        writeln!(out, "  {line}")?;
                    }
                    out.flush()
                }
                ProvePrinted::Json => {
                    out.write_all(if first { b"\n" } else { b",\n" })?;
                    first = false;
                    serde_json::to_writer(
                        &mut out,
                        &AnswerJson {
                            position: &asked.text,
                            verdict: answer.verdict.as_str(),
                            moves: answer.moves,
                            exact: answer.exact,
                            nodes: answer.nodes,
                            evidence: if line.is_empty() {
                                Vec::new()
                            } else {
                                vec![line]
                            },
                        },
                    )?;
                    Ok(())
                }
            }
        },
    )?;
    if args.format == ProvePrinted::Json {
        writeln!(out, "\n]}}")?;
    }
    out.flush()?;
    if let Some(mut file) = proofs {
        file.flush()?;
    }
    Ok(code)
}

fn ask(asked: &Asked, within: Option<u32>, nodes: u64, solver: &mut Solver) -> Option<MateAnswer> {
    let position = asked.position.as_ref()?;
    Some(solver.mate(position, within, nodes))
}

/// Tables know a mate without a proof that can be written down; the prover makes one,
/// now that the number of moves is known. Without success the answer stands as it is.
fn write_down(asked: &Asked, answer: MateAnswer, nodes: u64, solver: &mut Solver) -> MateAnswer {
    let (Some(position), Some(moves), None) = (&asked.position, answer.moves, &answer.proof) else {
        return answer;
    };
    let (prover, mut budget) = solver.mates(nodes);
    let proved = prover.mate_within(position, moves, &mut budget);
    if proved.verdict == Verdict::Holds {
        proved
    } else {
        answer
    }
}

/// The answer in words.
fn sentence(within: Option<u32>, position: &Chess, answer: &MateAnswer) -> String {
    let side = show::side(position.turn());
    let asked = within.map_or_else(|| "a mate".to_owned(), |moves| format!("a mate in {moves}"));
    match (answer.verdict, answer.moves) {
        (Verdict::Holds, Some(moves)) => format!(
            "{side} mates in {moves}{} ({} nodes)",
            if answer.exact {
                ", not sooner"
            } else {
                " or fewer"
            },
            answer.nodes
        ),
        (Verdict::Fails, _) => format!("{side} has no {} ({} nodes)", &asked[2..], answer.nodes),
        _ => format!(
            "unsettled: {} nodes did not suffice to find {asked} for {side} or to rule it out",
            answer.nodes
        ),
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
