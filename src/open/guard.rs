//! Who is answered. Every request passes here first, whatever it asks.
//!
//! Other pages in the same browser, other users of the same machine and names that lead here are no
//! strangers to the loopback address; none of them knows a key.

use super::asks::{Asks, json};
use super::keys::{Traded, same};
use super::shared::{Caller, Event, Shared};
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;

/// Bytes of a request's body.
const MOST_BODY: usize = 1_000_000;
/// A body is here by then.
const BODY: Duration = Duration::from_secs(10);

/// The header that holds the key of a tab.
const KEY: &str = "x-tuckwright";

/// What may be asked without a key.
const OPEN: &[&str] = &["/start", "/again"];

/// On every answer. Nothing is fetched from elsewhere, nothing is kept, nothing is shown inside another
/// page.
const HEADERS: &[(&str, &str)] = &[
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
         connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'; \
         require-trusted-types-for 'script'; trusted-types tuckwright",
    ),
    ("x-content-type-options", "nosniff"),
    ("cache-control", "no-store"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// Lets through what may be answered, with its whole body; puts the headers on every answer.
pub(super) async fn guard(
    State(shared): State<Arc<Shared>>,
    request: Request,
    next: Next,
) -> Response {
    let mut answer = match passed(&shared, request).await {
        Ok(request) => next.run(request).await,
        Err(refused) => refused,
    };
    for (name, value) in HEADERS {
        let name = HeaderName::from_static(name);
        answer
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    answer
}

/// A refusal, in a sentence.
fn refused(status: StatusCode, said: &'static str) -> Response {
    let kind = [(header::CONTENT_TYPE, "text/plain; charset=utf-8")];
    // What was not read is not read any more.
    let close = [(header::CONNECTION, "close")];
    (status, kind, close, said).into_response()
}

/// The only value of a header; `None` if there is none or several.
fn only<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(first)
}

async fn passed(shared: &Shared, request: Request) -> Result<Request, Response> {
    let headers = request.headers();
    let path = request.uri().path();
    if only(headers, "host") != Some(shared.host.as_str()) || request.uri().authority().is_some() {
        let said = "This address has another name here.";
        return Err(refused(StatusCode::MISDIRECTED_REQUEST, said));
    }
    let origin = only(headers, "origin");
    let own =
        origin.and_then(|origin| origin.strip_prefix("http://")) == Some(shared.host.as_str());
    let foreign = refused(
        StatusCode::FORBIDDEN,
        "This page does not answer other pages.",
    );
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    if request.method() == Method::GET {
        let navigates = only(headers, "sec-fetch-mode") == Some("navigate");
        let near = matches!(site, None | Some(b"same-origin" | b"none")) || navigates;
        return match (headers.contains_key("origin") && !own) || !near {
            true => Err(foreign),
            false => Ok(request),
        };
    }
    if request.method() != Method::POST {
        let said = "Only GET and POST are answered.";
        return Err(refused(StatusCode::METHOD_NOT_ALLOWED, said));
    }
    if !own || !matches!(site, None | Some(b"same-origin")) {
        return Err(foreign);
    }
    let kind = only(headers, "content-type").unwrap_or("");
    let kind = kind.split(';').next().unwrap_or("").trim();
    if !kind.eq_ignore_ascii_case("application/json") {
        let said = "Only JSON is read.";
        return Err(refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, said));
    }
    let knows = only(headers, KEY).is_some_and(|key| shared.keys().knows(key));
    if !knows && !OPEN.contains(&path) {
        let said = "This tab has no key. Type `tuckwright open` again.";
        return Err(refused(StatusCode::UNAUTHORIZED, said));
    }
    if let (true, Some(caller)) = (knows, request.extensions().get::<Arc<Caller>>()) {
        caller.known.store(true, Ordering::Relaxed);
    }
    let (head, body) = request.into_parts();
    let body: Bytes = match tokio::time::timeout(BODY, to_bytes(body, MOST_BODY)).await {
        Ok(Ok(body)) => body,
        Ok(Err(_)) => {
            let said = "That is too much at once, or it broke off.";
            return Err(refused(StatusCode::PAYLOAD_TOO_LARGE, said));
        }
        Err(_) => {
            return Err(refused(
                StatusCode::REQUEST_TIMEOUT,
                "That came too slowly.",
            ));
        }
    };
    Ok(Request::from_parts(head, Body::from(body)))
}

/// That of the address.
#[derive(Deserialize)]
pub struct Key {
    key: String,
}

/// Trades the key in the address for that of the session.
pub async fn start(State(shared): State<Arc<Shared>>, Asks(_, Key { key }): Asks<Key>) -> Response {
    #[derive(Serialize)]
    struct Session {
        session: String,
    }
    let traded = shared.keys().trade(&key);
    match traded {
        Traded::For(session) => json(&Session { session }),
        Traded::Late { first } => {
            if let (true, Some(address)) = (first, shared.address()) {
                (shared.hear)(Event::Late { address });
            }
            let said =
                "This address was used already, or is too old. The terminal shows a new one.";
            (StatusCode::GONE, said).into_response()
        }
        Traded::Unknown => {
            let said = "This key is not known. Type `tuckwright open` again.";
            (StatusCode::UNAUTHORIZED, said).into_response()
        }
    }
}

/// That of the run which has the album.
#[derive(Deserialize)]
pub struct Secret {
    secret: String,
}

/// A fresh address for another run that may read this one's secret.
pub async fn again(
    State(shared): State<Arc<Shared>>,
    Asks(_, Secret { secret }): Asks<Secret>,
) -> Response {
    if !same(&secret, &shared.secret) {
        return (StatusCode::UNAUTHORIZED, "This key is not known.").into_response();
    }
    match shared.address() {
        Some(address) => json(&serde_json::json!({ "address": address })),
        None => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
