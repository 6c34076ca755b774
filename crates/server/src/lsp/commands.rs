//! Commands of our own.

use gainsay::{Severity, Verdict, View};
use gainsay_notation::{ElementKind, SectionKind, parse_epd_line};
use serde_json::{Value, json};
use shakmaty::{Chess, Position as _};
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{ExecuteCommandParams, Position, Url},
};

use super::{
    convert, diagnostics,
    names::{BOARD, COUNTS, FEN, FINDINGS, SETTLE},
    server::{Server, key},
    session::Session,
};
use crate::{
    document::Snapshot,
    features::{board, place},
    state::Event,
    words::session as words,
};

impl Server {
    pub(super) async fn execute(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        let arguments = &params.arguments;
        match params.command.as_str() {
            BOARD | FEN => {
                let (uri, at) = place_of(arguments)?;
                let fen_only = params.command == FEN;
                let board = self
                    .look(&uri, move |snapshot, session| {
                        board_at(snapshot, at, session)
                    })
                    .await?
                    .flatten();
                Ok(board.map(|board| {
                    if fen_only {
                        board.get("fen").cloned().unwrap_or_default()
                    } else {
                        board
                    }
                }))
            }
            FINDINGS => {
                let wanted = arguments.first().and_then(Value::as_str).map(str::to_owned);
                let session = self.shared.session();
                let files = match &wanted {
                    Some(_) => Vec::new(),
                    None => self.survey_all().await,
                };
                let open = self.open_documents().await;
                let found = tokio::task::spawn_blocking(move || {
                    let open = open
                        .iter()
                        .filter(|(uri, _)| {
                            wanted.as_ref().is_none_or(|wanted| uri.as_str() == wanted)
                        })
                        .map(|(uri, snapshot)| findings(snapshot, uri, &session));
                    open.chain(files).collect::<Vec<Value>>()
                })
                .await;
                found
                    .map(|found| Some(json!(found)))
                    .map_err(|_| Error::internal_error())
            }
            COUNTS => {
                let uri = document(arguments)?;
                self.look(&uri, |snapshot, _| counts(snapshot)).await
            }
            SETTLE => {
                let (uri, at) = place_of(arguments)?;
                let offset = self
                    .look(&uri, move |snapshot, session| {
                        snapshot.text.offset(convert::place(at), session.columns)
                    })
                    .await?;
                if let Some(offset) = offset {
                    self.tell(Event::SettleAgain {
                        uri: key(&uri),
                        offset,
                    });
                }
                Ok(None)
            }
            other => Err(Error::invalid_params(words::no_command(other))),
        }
    }
}

/// The document and the place that a command is about.
fn place_of(arguments: &[Value]) -> Result<(Url, Position)> {
    let uri = document(arguments)?;
    let position = arguments
        .get(1)
        .and_then(|position| serde_json::from_value(position.clone()).ok())
        .ok_or_else(|| Error::invalid_params(words::NO_POSITION))?;
    Ok((uri, position))
}

/// The document that a command is about.
fn document(arguments: &[Value]) -> Result<Url> {
    arguments
        .first()
        .and_then(Value::as_str)
        .and_then(|uri| Url::parse(uri).ok())
        .ok_or_else(|| Error::invalid_params(words::NO_DOCUMENT))
}

/// The position that an author has in mind at a place.
fn board_at(snapshot: &Snapshot, at: Position, session: &Session) -> Option<Value> {
    let offset = snapshot.text.offset(convert::place(at), session.columns);
    let place = place::Place::at(snapshot, offset)?;
    if place.section.kind == SectionKind::Epd {
        return epd_board(place.text());
    }
    let view = place.view()?;
    let index = place::ply_at(&view, place.offset);
    let position = view.replay.at(index)?;
    let ply = index.and_then(|index| view.replay.ply(index));
    let marked: Vec<_> = ply
        .and_then(|ply| ply.played)
        .into_iter()
        .flat_map(|m| m.from().into_iter().chain([gainsay::show::target(m)]))
        .collect();
    Some(json!({
        "svg": board::picture(position, &marked),
        "fen": gainsay::show::fen(position),
        "summary": board::summary(position),
        "move": ply.map(|ply| view.name(ply)),
        "lastMove": marked.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "check": checked(position),
        "comment": comment_behind(&view, ply.map(|ply| ply.element)),
        "game": game_number(snapshot, place.section.start) + view.index as usize,
    }))
}

/// The position of a line of EPD.
fn epd_board(line: &[u8]) -> Option<Value> {
    let record = parse_epd_line(line)?;
    let fields = gainsay_notation::decode(line.get(record.position.range())?);
    let (position, _) = gainsay::read_fen(&fields, false);
    let position = position?;
    Some(json!({
        "svg": board::picture(&position, &[]),
        "fen": gainsay::show::fen(&position),
        "summary": board::summary(&position),
        "move": null,
        "lastMove": [],
        "check": checked(&position),
        "comment": null,
    }))
}

/// The square of the king in check.
fn checked(position: &Chess) -> Option<String> {
    let king = position.board().king_of(position.turn())?;
    position.is_check().then(|| king.to_string())
}

/// The comment behind a move, or the one before the first move.
fn comment_behind(view: &View<'_>, element: Option<u32>) -> Option<String> {
    let first = element.map_or(0, |element| element as usize + 1);
    view.game
        .elements
        .get(first..)?
        .iter()
        .find_map(|element| match element.kind {
            ElementKind::Glyph { .. } => None,
            ElementKind::Comment { body, .. } => Some(Some(view.words(body).trim().to_owned())),
            _ => Some(None),
        })
        .flatten()
}

/// How many games stand before a section.
fn game_number(snapshot: &Snapshot, start: usize) -> usize {
    snapshot
        .sections()
        .take_while(|section| section.start < start)
        .filter_map(|section| section.found().report.as_ref())
        .map(|report| report.games as usize)
        .sum()
}

/// The findings of a document, without a limit.
fn findings(snapshot: &Snapshot, uri: &Url, session: &Session) -> Value {
    json!({
        "uri": uri,
        "version": snapshot.version,
        "diagnostics": diagnostics::all(snapshot, uri, session),
    })
}

/// How many findings a document has by severity, and how many claims by verdict, as far
/// as they are settled.
fn counts(snapshot: &Snapshot) -> Value {
    let mut findings = [0_u64; Severity::ALL.len()];
    let (mut holds, mut fails, mut unsettled, mut settling) = (0_u64, 0_u64, 0_u64, false);
    for section in snapshot.sections() {
        for finding in snapshot.findings(section) {
            for (count, severity) in findings.iter_mut().zip(Severity::ALL) {
                *count += u64::from(finding.severity == severity);
            }
        }
        for claim in section
            .claims
            .settlement()
            .iter()
            .flat_map(|all| &all.claims)
        {
            *match claim.verdict {
                Verdict::Holds => &mut holds,
                Verdict::Fails => &mut fails,
                Verdict::Unsettled => &mut unsettled,
            } += 1;
        }
        settling |= section.claims.is_waiting();
    }
    let findings: serde_json::Map<String, Value> = Severity::ALL
        .iter()
        .zip(findings)
        .map(|(severity, count)| (severity.as_str().to_owned(), json!(count)))
        .collect();
    json!({
        "findings": findings,
        "claims": {"holds": holds, "fails": fails, "unsettled": unsettled},
        "settling": settling,
    })
}
