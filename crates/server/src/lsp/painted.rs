//! Semantic tokens as the client has them, so that only what an edit changed is sent again.

use std::{
    collections::BTreeMap,
    sync::{Mutex, PoisonError},
};

use tower_lsp::lsp_types::{
    SemanticToken, SemanticTokens, SemanticTokensDelta, SemanticTokensEdit,
    SemanticTokensFullDeltaResult, Url,
};

/// Of a document with more tokens (20 bytes each) all are sent each time.
const MOST_TOKENS: usize = 100_000;

/// So many documents are kept in mind.
const MOST_DOCUMENTS: usize = 16;

/// How many numbers a token is in an edit.
const NUMBERS: usize = 5;

/// The tokens that the client was given last, by document.
#[derive(Debug, Default)]
pub(crate) struct Painted(Mutex<Given>);

#[derive(Debug, Default)]
struct Given {
    count: u64,
    documents: BTreeMap<Url, (u64, Vec<SemanticToken>)>,
}

impl Painted {
    /// Notes what is given now, and names it.
    pub(super) fn give(&self, uri: &Url, data: Vec<SemanticToken>) -> SemanticTokens {
        let mut given = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if data.len() > MOST_TOKENS {
            given.documents.remove(uri);
            return SemanticTokens {
                result_id: None,
                data,
            };
        }
        given.count += 1;
        let id = given.count;
        given.documents.insert(uri.clone(), (id, data.clone()));
        while given.documents.len() > MOST_DOCUMENTS {
            let oldest = given.documents.iter().min_by_key(|(_, (id, _))| *id);
            let Some(oldest) = oldest.map(|(uri, _)| uri.clone()) else {
                break;
            };
            given.documents.remove(&oldest);
        }
        SemanticTokens {
            result_id: Some(id.to_string()),
            data,
        }
    }

    /// What changed since the client was given `previous`, or all where that is forgotten.
    pub(super) fn change(
        &self,
        uri: &Url,
        previous: &str,
        data: Vec<SemanticToken>,
    ) -> SemanticTokensFullDeltaResult {
        let old = {
            let given = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let known = given.documents.get(uri);
            known.filter(|(id, _)| id.to_string() == previous).cloned()
        };
        let Some((_, old)) = old else {
            return SemanticTokensFullDeltaResult::Tokens(self.give(uri, data));
        };
        let edits: Vec<SemanticTokensEdit> = edit(&old, &data).into_iter().collect();
        let given = self.give(uri, data);
        match given.result_id {
            None => SemanticTokensFullDeltaResult::Tokens(given),
            result_id => {
                SemanticTokensFullDeltaResult::TokensDelta(SemanticTokensDelta { result_id, edits })
            }
        }
    }

    /// Forgets a document.
    pub(super) fn forget(&self, uri: &Url) {
        let mut given = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        given.documents.remove(uri);
    }
}

/// The one replacement that makes the old tokens into the new ones; none where they are the same.
fn edit(old: &[SemanticToken], new: &[SemanticToken]) -> Option<SemanticTokensEdit> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let (old, new) = (old.get(head..)?, new.get(head..)?);
    let pairs = old.iter().rev().zip(new.iter().rev());
    let tail = pairs.take_while(|(a, b)| a == b).count();
    let gone = old.len() - tail;
    let put = new.get(..new.len() - tail)?;
    (gone > 0 || !put.is_empty()).then(|| SemanticTokensEdit {
        start: (head * NUMBERS) as u32,
        delete_count: (gone * NUMBERS) as u32,
        data: (!put.is_empty()).then(|| put.to_vec()),
    })
}
