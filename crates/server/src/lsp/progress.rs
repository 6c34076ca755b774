//! Progress while claims settle and files are checked, with cancel.

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

use crate::words::session as words;

/// Work that is shorter needs no progress.
const SHORT: Duration = Duration::from_millis(400);
/// How far apart reports are.
const APART: Duration = Duration::from_millis(250);
/// A client that does not answer for so long shows no progress.
const PATIENCE: Duration = Duration::from_secs(5);

/// Work that may last.
#[derive(Clone, Copy, Debug)]
pub(super) struct Work {
    /// What it is called.
    words: words::Work,
    /// What its tokens begin with.
    token: &'static str,
}

/// Settling the claims of open documents.
pub(super) const SETTLING: Work = Work {
    words: words::Work::Settling,
    token: "gainsay/settling/",
};

/// Checking files that are not open.
pub(super) const FILES: Work = Work {
    words: words::Work::Checking,
    token: "gainsay/files/",
};

/// Whether a token is that of [`FILES`].
pub(super) fn is_of_files(token: &NumberOrString) -> bool {
    matches!(token, NumberOrString::String(token) if token.starts_with(FILES.token))
}

/// Shows progress whenever work lasts, until the session ends.
pub(super) async fn run(client: Client, work: Work, mut waiting: watch::Receiver<usize>) {
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
        let token = NumberOrString::String(format!("{}{session}", work.token));
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
            title: work.words.title().to_owned(),
            cancellable: Some(true),
            message: Some(work.words.left(all)),
            percentage: Some(0),
        }))
        .await;
        let (mut most, mut told) = (all, 0);
        loop {
            let now = *waiting.borrow_and_update();
            if now == 0 {
                break;
            }
            if now != told {
                told = now;
                most = most.max(now);
                let done = 100 * (most - now) / most;
                tell(WorkDoneProgress::Report(WorkDoneProgressReport {
                    cancellable: Some(true),
                    message: Some(work.words.left(now)),
                    percentage: u32::try_from(done).ok(),
                }))
                .await;
            }
            tokio::time::sleep(APART).await;
            if waiting.has_changed().is_err() {
                return;
            }
        }
        tell(WorkDoneProgress::End(WorkDoneProgressEnd { message: None })).await;
    }
}
