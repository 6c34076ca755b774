//! Messages from the client to the service and back.
//!
//! The library's own transport ends the session at the first message that it cannot read,
//! and checking each before it sees it would read all of them twice.

use futures_util::{
    FutureExt as _, Sink, SinkExt as _, Stream, StreamExt as _, stream::FuturesUnordered,
};
use serde::Serialize;
use tokio::{
    io::{AsyncRead, AsyncWrite, AsyncWriteExt as _},
    sync::mpsc::{Receiver, Sender, channel},
};
use tower_lsp::{
    Loopback,
    jsonrpc::{Request, Response},
};
use tower_service::Service;

use super::{frames::Frames, message::Message};

/// So many requests are answered at once: one that takes long must not keep edits from
/// being read.
const AT_ONCE: usize = 256;

/// So many messages wait for the next step at most.
const WAITING: usize = 128;

/// Serves until the input ends and everything is answered, or the client is gone.
pub(super) async fn serve<I, O, L, S>(input: I, output: O, loopback: L, service: S)
where
    I: AsyncRead + Unpin,
    O: AsyncWrite,
    L: Loopback,
    L::RequestStream: Unpin,
    L::ResponseSink: Unpin,
    S: Service<Request, Response = Option<Response>>,
{
    let (ours, theirs) = loopback.split();
    let (calls, called) = channel(WAITING);
    let (answers, answered) = channel(WAITING);
    let reading = read(Frames::new(input), service, theirs, calls, answers.clone());
    let answering = answer(called, answers);
    let writing = write(Box::pin(output), answered, ours);
    // All that is answered is written; when that ends, nobody reads any more.
    tokio::pin!(writing);
    tokio::select! {
        ((), ()) = async { tokio::join!(reading, answering) } => writing.await,
        () = &mut writing => {}
    }
}

/// Reads messages and calls the service, in their order.
async fn read<I, S, R>(
    mut frames: Frames<I>,
    mut service: S,
    mut responses: R,
    calls: Sender<S::Future>,
    answers: Sender<Response>,
) where
    I: AsyncRead + Unpin,
    S: Service<Request, Response = Option<Response>>,
    R: Sink<Response> + Unpin,
{
    while let Ok(Some(body)) = frames.next().await {
        let heard = match Message::read(body) {
            Message::Request(request) => {
                // The service has ended when it is no longer ready.
                let ready = std::future::poll_fn(|context| service.poll_ready(context)).await;
                ready.is_ok() && calls.send(service.call(request)).await.is_ok()
            }
            Message::Response(response) => responses.send(response).await.is_ok(),
            Message::Bad(answer) => answers.send(answer).await.is_ok(),
        };
        if !heard {
            break;
        }
    }
}

/// Brings the calls to their ends, as many at once as may be.
async fn answer<F, E>(mut called: Receiver<F>, answers: Sender<Response>)
where
    F: Future<Output = Result<Option<Response>, E>>,
{
    let mut calls = FuturesUnordered::new();
    let mut open = true;
    while open || !calls.is_empty() {
        tokio::select! {
            call = called.recv(), if open && calls.len() < AT_ONCE => match call {
                Some(call) => calls.push(call.map(|answer| answer.ok().flatten())),
                None => open = false,
            },
            done = calls.next(), if !calls.is_empty() => {
                if let Some(Some(answer)) = done
                    && answers.send(answer).await.is_err()
                {
                    return;
                }
            }
        }
    }
}

/// Writes answers, and the messages that are ours, until there are no more answers.
async fn write<O, R>(mut output: O, mut answers: Receiver<Response>, mut ours: R)
where
    O: AsyncWrite + Unpin,
    R: Stream<Item = Request> + Unpin,
{
    let mut open = true;
    loop {
        let written = tokio::select! {
            answer = answers.recv() => match answer {
                Some(answer) => put(&mut output, &answer).await,
                None => return,
            },
            message = ours.next(), if open => match message {
                Some(message) => put(&mut output, &message).await,
                None => {
                    open = false;
                    Ok(())
                }
            },
        };
        if written.is_err() {
            return;
        }
    }
}

/// Writes one frame.
async fn put<O>(output: &mut O, message: &impl Serialize) -> std::io::Result<()>
where
    O: AsyncWrite + Unpin,
{
    let body = serde_json::to_vec(message)?;
    let header = format!("Content-Length: {}\r\n\r\n", body.len());
    output.write_all(header.as_bytes()).await?;
    output.write_all(&body).await?;
    output.flush().await
}
