//! Progress while claims settle, with cancel.

use std::time::Duration;

use tokio::{sync::watch, time::timeout};
use tower_lsp::{
    Client,
    lsp_types::{
        NumberOrString, ProgressParams, ProgressParamsValue, WorkDoneProgress,
        WorkDoneProgressBegin, WorkDoneProgressCreateParams, WorkDoneProgressEnd,
        WorkDoneProgressReport, notification::Progress, request::WorkDoneProgressCreate,
    },
};

/// Work that is shorter needs no progress.
const SHORT: Duration = Duration::from_millis(400);
/// How far apart reports are.
const APART: Duration = Duration::from_millis(250);
/// A client that does not answer for so long shows no progress.
const PATIENCE: Duration = Duration::from_secs(5);

/// Shows progress whenever work lasts, until the session ends.
pub(super) async fn run(client: Client, mut waiting: watch::Receiver<usize>) {
    let mut session = 0_u64;
    loop {
        if *waiting.borrow_and_update() == 0 {
            if waiting.changed().await.is_err() {
                return;
            }
            continue;
        }
        tokio::time::sleep(SHORT).await;
        let all = *waiting.borrow_and_update();
        if all == 0 {
            continue;
        }
        session += 1;
        let token = NumberOrString::String(format!("gainsay/settling/{session}"));
        let create = client.send_request::<WorkDoneProgressCreate>(WorkDoneProgressCreateParams {
            token: token.clone(),
        });
        if !matches!(timeout(PATIENCE, create).await, Ok(Ok(()))) {
            return;
        }
        let tell = |value| {
            client.send_notification::<Progress>(ProgressParams {
                token: token.clone(),
                value: ProgressParamsValue::WorkDone(value),
            })
        };
        tell(WorkDoneProgress::Begin(WorkDoneProgressBegin {
            title: "Settling claims".to_owned(),
            cancellable: Some(true),
            message: Some(left(all)),
            percentage: Some(0),
        }))
        .await;
        let mut most = all;
        loop {
            let now = *waiting.borrow_and_update();
            if now == 0 {
                break;
            }
            most = most.max(now);
            let done = 100 * (most - now) / most;
            tell(WorkDoneProgress::Report(WorkDoneProgressReport {
                cancellable: Some(true),
                message: Some(left(now)),
                percentage: u32::try_from(done).ok(),
            }))
            .await;
            tokio::time::sleep(APART).await;
            if now == *waiting.borrow() && waiting.changed().await.is_err() {
                return;
            }
        }
        tell(WorkDoneProgress::End(WorkDoneProgressEnd { message: None })).await;
    }
}

fn left(games: usize) -> String {
    let plural = if games == 1 { "" } else { "s" };
    format!("{games} game{plural} left")
}
