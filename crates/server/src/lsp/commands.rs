//! Commands of our own.

use gainsay::{Severity, Verdict};
use serde_json::{Value, json};
use shakmaty::{Chess, Position as _};
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{ExecuteCommandParams, Position, Url},
};

use super::{
    convert, diagnostics,
    names::{BOARD, COUNTS, FEN, FINDINGS, SETTLE, STEP},
    server::{Server, key},
    session::Session,
};
use crate::{
    document::Snapshot,
    features::{
        board,
        walk::{self, Direction},
    },
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
                        let offset = snapshot.text.offset(convert::place(at), session.columns);
                        board_at(snapshot, offset)
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
            STEP => {
                let (uri, at) = place_of(arguments)?;
                let direction = arguments.get(2).and_then(Value::as_str);
                let direction = direction
                    .and_then(Direction::of)
                    .ok_or_else(|| Error::invalid_params(words::NO_DIRECTION))?;
                let step = self.look(&uri, move |snapshot, session| {
                    let offset = snapshot.text.offset(convert::place(at), session.columns);
                    step_from(snapshot, offset, direction, session)
                });
                step.await.map(Option::flatten)
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

/// The position that an author has in mind at an offset.
fn board_at(snapshot: &Snapshot, offset: usize) -> Option<Value> {
    let shown = walk::shown(snapshot, offset)?;
    let position = &shown.position;
    let letters = board::letters(position.board(), &shown.marked);
    Some(json!({
        "svg": board::picture(position, &shown.marked),
        "text": letters.lines().collect::<Vec<_>>(),
        "fen": gainsay::show::fen(position),
        "summary": board::summary(position),
        "move": shown.name,
        "lastMove": shown.marked.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "check": checked(position),
        "comment": shown.comment,
        "game": shown.game,
    }))
}

/// The place that a step leads to, with the position there.
fn step_from(
    snapshot: &Snapshot,
    offset: usize,
    direction: Direction,
    session: &Session,
) -> Option<Value> {
    let target = walk::step(snapshot, offset, direction)?;
    let mut board = board_at(snapshot, target)?;
    let place = convert::position(&snapshot.text, target, session.columns);
    board
        .as_object_mut()?
        .insert("position".to_owned(), json!(place));
    Some(board)
}

/// The square of the king in check.
fn checked(position: &Chess) -> Option<String> {
    let king = position.board().king_of(position.turn())?;
    position.is_check().then(|| king.to_string())
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
