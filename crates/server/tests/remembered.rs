//! What is settled once and not again.

mod client;

use std::{
    fs,
    sync::{
        Arc, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
};

use client::{Client, Folder};
use gainsay::{Digest, Memory, Solver, outcome::Judged};
use gainsay_server::{Aids, OwnSearch, Share, Wanted};
use serde_json::{Value, json};

/// A memory that counts, and gives nothing back.
#[derive(Debug, Default)]
struct Counting {
    asked: AtomicUsize,
    kept: Mutex<Vec<Digest>>,
}

impl Memory for Counting {
    fn recall(&self, _: &[Digest]) -> Vec<Option<Judged>> {
        self.asked.fetch_add(1, Ordering::Relaxed);
        Vec::new()
    }

    fn keep(&self, questions: &[Digest], _: &[Judged]) {
        self.kept.lock().expect("no panic").extend(questions);
    }
}

/// Solvers, with that memory for what lasts, and with what they were asked for.
#[derive(Debug, Default)]
struct Watched {
    memory: Arc<Counting>,
    made: Mutex<Vec<Wanted>>,
}

impl Aids for Watched {
    fn share(&self, wanted: &Wanted, nodes: u64) -> Share {
        OwnSearch.share(wanted, nodes)
    }

    fn solver(&self, wanted: &Wanted, nodes: u64) -> Solver {
        self.made.lock().expect("no panic").push(wanted.clone());
        OwnSearch.solver(wanted, nodes)
    }

    fn memory(&self, _: &Wanted, _: u64) -> Option<Arc<dyn Memory>> {
        Some(Arc::<Counting>::clone(&self.memory))
    }

    fn troubles(&self, _: &Wanted) -> Vec<String> {
        Vec::new()
    }
}

/// A manuscript with two passages that claim something of the position between them.
const CHAPTER: &str = "White mates in one from here.\n\n```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\nIndeed White mates in one.\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_passage_is_settled_once() {
    let aids = Arc::new(Watched::default());
    let asked = || aids.memory.asked.load(Ordering::Relaxed);
    let mut client = Client::connect_with(Arc::<Watched>::clone(&aids));
    client.greet(Value::Null, json!({}), Value::Null).await;
    let uri = "file:///book/chapter.md";
    client.open_as(uri, "markdown", 1, CHAPTER).await;
    let before = client.all_settled(uri).await;
    assert_eq!(before["claims"]["holds"], 2, "{before}");
    // What is not at hand is asked of the memory that lasts: here each passage once.
    assert_eq!(asked(), 2);
    // A word is typed into the second passage and taken back.
    client.edit(uri, 2, [6, 0, 6, 6], "Truly").await;
    assert_eq!(client.all_settled(uri).await, before);
    assert_eq!(asked(), 3);
    client.edit(uri, 3, [6, 0, 6, 5], "Indeed").await;
    assert_eq!(client.all_settled(uri).await, before);
    assert_eq!(asked(), 3);
    // What an author types is not kept for ever.
    assert_eq!(aids.memory.kept.lock().expect("no panic").len(), 0);
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_files_come_to_is_kept() {
    let folder = Folder::new("kept");
    fs::write(folder.0.join("chapter.md"), CHAPTER).expect("written");
    fs::write(folder.0.join("gainsay.toml"), "memory = 100\n").expect("written");
    let aids = Arc::new(Watched::default());
    let mut client = Client::connect_with(Arc::<Watched>::clone(&aids));
    client
        .greet(json!(folder.uri()), json!({}), Value::Null)
        .await;
    client.command("gainsay.findings", json!([])).await;
    assert_eq!(aids.memory.kept.lock().expect("no panic").len(), 2);
    let made = aids.made.lock().expect("no panic").clone();
    assert!(
        made.iter().all(|wanted| wanted.memory == Some(100)),
        "{made:?}"
    );
    assert!(!made.is_empty());
    client.stop().await;
}
