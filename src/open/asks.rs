//! What every tab says of itself with what it asks, and the answer that it gets: the parts of the page that
//! it has not got yet.

use super::answer::{Answer, Outcomes};
use super::shared::Shared;
use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use tokio::sync::watch;

pub fn page(kind: &'static str, text: impl IntoResponse) -> Response {
    ([(header::CONTENT_TYPE, kind)], text).into_response()
}

pub fn json(answer: &impl Serialize) -> Response {
    match serde_json::to_vec(answer) {
        Ok(bytes) => ([(header::CONTENT_TYPE, "application/json")], bytes).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// What every tab says with what it asks.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Who {
    pub tab: String,
    pub seq: u64,
    /// CSS pixels that the drawing has. A question about a card has its own width in its place.
    pub width: serde_json::Value,
    pub visit: Option<u64>,
}

/// Bytes of a tab's name.
const LONGEST_TAB: usize = 64;

/// What a tab says of itself, and its question.
pub struct Asks<Q>(pub Who, pub Q);

impl<S: Send + Sync, Q: DeserializeOwned> FromRequest<S> for Asks<Q> {
    type Rejection = (StatusCode, &'static str);

    async fn from_request(request: Request, state: &S) -> Result<Asks<Q>, Self::Rejection> {
        const WRONG: (StatusCode, &str) =
            (StatusCode::BAD_REQUEST, "This is not what the page sends.");
        let body = Bytes::from_request(request, state)
            .await
            .map_err(|_| WRONG)?;
        let who: Who = serde_json::from_slice(&body).map_err(|_| WRONG)?;
        let question = serde_json::from_slice(&body).map_err(|_| WRONG)?;
        match who.tab.len() <= LONGEST_TAB {
            true => Ok(Asks(who, question)),
            false => Err(WRONG),
        }
    }
}

/// Works beside the other requests. A defect in it leaves the album as it was.
pub async fn beside<T: Send + 'static>(
    shared: &Arc<Shared>,
    work: impl FnOnce(&Shared) -> T + Send + 'static,
) -> Result<T, Response> {
    let shared = Arc::clone(shared);
    let done = tokio::task::spawn_blocking(move || work(&shared)).await;
    done.map_err(|_| {
        let said = "tuckwright made a mistake; the album is as it was.";
        (StatusCode::INTERNAL_SERVER_ERROR, said).into_response()
    })
}

/// A question that is not answered yet: the same tab's [`follow`](super::posts) leaves it the news.
struct Asking<'a>(&'a Shared, String);

impl Asking<'_> {
    fn of<'a>(shared: &'a Shared, tab: &str) -> Asking<'a> {
        shared.room.state().tab(tab).asking += 1;
        Asking(shared, tab.to_owned())
    }
}

impl Drop for Asking<'_> {
    fn drop(&mut self) {
        let mut state = self.0.room.state();
        if let Some(tab) = state.tabs.get_mut(&self.1) {
            tab.asking = tab.asking.saturating_sub(1);
        }
        self.0.room.nudge(&state);
    }
}

/// Does what a tab asks, waits for the sizes, and answers with what the tab has not got.
pub async fn answered(
    shared: &Arc<Shared>,
    who: Who,
    work: impl FnOnce(&Shared, &Who) -> Outcomes + Send + 'static,
) -> Response {
    let listen = shared.room.listen();
    let _asking = Asking::of(shared, &who.tab);
    let asker = who.clone();
    let done = beside(shared, move |shared| {
        let newest = {
            let mut state = shared.room.state();
            let tab = state.tab(&asker.tab);
            let newest = asker.seq == 0 || asker.seq > tab.seq;
            if newest {
                tab.seq = asker.seq.max(tab.seq);
                let width = asker
                    .width
                    .as_u64()
                    .and_then(|width| u32::try_from(width).ok());
                if let Some(width) = width {
                    tab.width = width;
                }
            }
            newest
        };
        newest.then(|| work(shared, &asker))
    });
    let outcomes = match done.await {
        Ok(Some(outcomes)) => outcomes,
        Ok(None) => {
            let state = shared.room.state();
            return json(&Answer {
                seq: who.seq,
                version: state.version,
                stamp: state.stamp,
                dropped: true,
                ..Answer::default()
            });
        }
        Err(broken) => return broken,
    };
    sizes(shared, listen).await;
    told(shared, who, outcomes).await
}

/// Waits until the sizes of the text as it stands are known, or long enough.
pub async fn sizes(shared: &Arc<Shared>, mut listen: watch::Receiver<u64>) {
    let known = async {
        while shared.room.state().is_busy() {
            if listen.changed().await.is_err() {
                break;
            }
        }
    };
    let _ = tokio::time::timeout(shared.patience, known).await;
}

/// What a tab has not got.
pub async fn told(shared: &Arc<Shared>, who: Who, outcomes: Outcomes) -> Response {
    let done = beside(shared, move |shared| {
        let file = shared.room.desk.name();
        let mut state = shared.room.state();
        let mut answer = state.answer(&who.tab, file.as_deref(), who.seq);
        let style = state.reading.as_ref().map(|it| &it.style);
        let refused = outcomes.refused;
        answer.outcomes = Outcomes {
            say: outcomes.say.or(answer.outcomes.say),
            refused: refused.map(|it| it.paged(style.map(AsRef::as_ref))),
            ..outcomes
        };
        json(&answer)
    });
    done.await.unwrap_or_else(|broken| broken)
}
