//! Commands of our own.

use serde_json::{Value, json};
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{Position, Url},
};

use super::{convert, session::Session};
use crate::{
    document::Snapshot,
    features::{board, hover, picture, place},
    options::EditorOptions,
};

/// The board at a place as SVG, with its FEN and what it says at a glance.
pub(super) const BOARD: &str = "gainsay.board";
/// The FEN at a place.
pub(super) const FEN: &str = "gainsay.fen";
/// All findings of the open documents, or of one.
pub(super) const FINDINGS: &str = "gainsay.findings";
/// Settles the claims of the game at a place with ten times the budget.
pub(super) const SETTLE: &str = "gainsay.settleMore";

/// All of them.
pub(super) const ALL: [&str; 4] = [BOARD, FEN, FINDINGS, SETTLE];

/// The document and the place that a command is about.
pub(super) fn place(arguments: &[Value]) -> Result<(Url, Position)> {
    let told = |message: &str| Error::invalid_params(message.to_owned());
    let uri = arguments
        .first()
        .and_then(Value::as_str)
        .and_then(|uri| Url::parse(uri).ok())
        .ok_or_else(|| told("the first argument must be the address of a document"))?;
    let position = arguments
        .get(1)
        .and_then(|position| serde_json::from_value(position.clone()).ok())
        .ok_or_else(|| told("the second argument must be a position"))?;
    Ok((uri, position))
}

/// The position that an author has in mind at a place.
pub(super) fn board(snapshot: &Snapshot, at: Position, session: &Session) -> Option<Value> {
    let offset = snapshot.text.offset(convert::place(at), session.columns);
    let place = place::Place::at(snapshot, offset)?;
    let view = place.view()?;
    let index = place::ply_at(&view, place.offset);
    let position = view.replay.at(index)?;
    let ply = index.and_then(|index| view.replay.ply(index));
    let marked: Vec<_> = ply
        .and_then(|ply| ply.played)
        .into_iter()
        .flat_map(|m| m.from().into_iter().chain([hover::target(m)]))
        .collect();
    Some(json!({
        "svg": picture::svg(position, shakmaty::Color::White, &marked),
        "fen": gainsay::show::fen(position),
        "summary": board::summary(position),
        "move": ply.map(|ply| view.name(ply)),
        "lastMove": marked.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "game": game_number(snapshot, place.section.start) + view.index as usize,
    }))
}

/// How many games stand before a section.
fn game_number(snapshot: &Snapshot, start: usize) -> usize {
    snapshot
        .sections
        .iter()
        .take_while(|section| section.start < start)
        .filter_map(|section| section.report.as_ref())
        .map(|report| report.games as usize)
        .sum()
}

/// The findings of a document, without a limit.
pub(super) fn findings(
    snapshot: &Snapshot,
    uri: &Url,
    session: &Session,
    editor: &EditorOptions,
) -> Value {
    json!({
        "uri": uri,
        "version": snapshot.version,
        "diagnostics": convert::all_diagnostics(snapshot, uri, session, editor),
    })
}
