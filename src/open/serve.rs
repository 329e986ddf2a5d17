//! The server: it listens on the loopback address, hands each request to the room, and sends back what a
//! tab has not got yet.

use super::answer::{Answer, Refused};
use super::ask::Question;
use super::change::{self, New};
use super::guard::guard;
use super::history::Visit;
use super::keys::{Keys, Traded, new_key, same};
use super::read::{Reading, Refusal};
use super::room::Room;
use super::shared::{Caller, Event, Setup, Shared};
use super::sight::{Side, View, field};
use super::view;
use crate::cut;
use crate::draw::paper::Paper;
use crate::draw::{handout, pdf};
use crate::plan::work::{Outcome, work};
use crate::solve::Limits;
use axum::Router;
use axum::body::Bytes;
use axum::extract::{FromRequest, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use hyper::body::Incoming;
use hyper::service::Service;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};

/// Connections at once; others wait.
const MOST_CONNECTIONS: usize = 64;
/// The head of a request is here by then.
const HEAD: Duration = Duration::from_secs(5);
/// Bytes of a request's head.
const MOST_HEAD: usize = 8 * 1024;
/// Where all connections are taken, one that has shown no key for this time makes room.
const GRACE: Duration = Duration::from_secs(1);
/// A connection lives no longer, whatever it does.
const CONNECTION: Duration = Duration::from_secs(120);
/// Whoever follows asks again after this time.
const FOLLOW: Duration = Duration::from_secs(10);
/// How often the album's file is looked at.
const LOOK: Duration = Duration::from_secs(2);
/// After this time the best cutting plan so far is printed.
const PRINT: Duration = Duration::from_secs(20);
/// What is asked when the server stops is still answered.
const LAST: Duration = Duration::from_millis(500);

/// Why there are no keys.
const NO_KEY: &str = "the system gives no random numbers";

/// Serves the page until it is stopped.
///
/// # Errors
/// If it cannot listen, if the album's file cannot be read, or if the system has no randomness to give.
pub fn serve(setup: Setup, hear: impl Fn(Event) + Send + Sync + 'static) -> io::Result<()> {
    let room = Room::open(setup.desk, setup.ruler).map_err(io::Error::other)?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async move {
        let listener = match TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await {
            Ok(listener) => listener,
            // A machine that knows only the newer kind of address.
            Err(_) => TcpListener::bind((Ipv6Addr::LOCALHOST, 0)).await?,
        };
        let address: SocketAddr = listener.local_addr()?;
        let secret = new_key();
        let secret = secret.ok_or_else(|| io::Error::other(NO_KEY))?;
        let shared = Arc::new(Shared {
            secret: secret.clone(),
            host: address.to_string(),
            keys: Mutex::new(Keys::new(setup.key_life)),
            room,
            patience: setup.patience,
            stop: setup.stop,
            hear: Box::new(hear),
        });
        let first = shared.address();
        let first = first.ok_or_else(|| io::Error::other(NO_KEY))?;
        (shared.hear)(Event::Listens {
            address: first,
            at: address,
            secret,
        });
        let watched = tokio::spawn(look_at_file(Arc::clone(&shared)));
        listen(listener, &shared).await;
        watched.abort();
        let last = Arc::clone(&shared);
        let _ = tokio::task::spawn_blocking(move || last.room.settle()).await;
        Ok(())
    })
}

async fn look_at_file(shared: Arc<Shared>) {
    loop {
        tokio::time::sleep(LOOK).await;
        let shared = Arc::clone(&shared);
        let _ = tokio::task::spawn_blocking(move || shared.room.look_at_file()).await;
    }
}

/// Answers until it is stopped.
async fn listen(listener: TcpListener, shared: &Arc<Shared>) {
    let router = router(shared);
    let free = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    let mut stop = shared.stop.0.subscribe();
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new())
        .header_read_timeout(HEAD)
        .max_buf_size(MOST_HEAD);
    // The connections that are there, the oldest first.
    let mut held: Vec<Arc<Caller>> = Vec::new();
    loop {
        let taken = tokio::select! {
            _ = stop.wait_for(|stop| *stop) => break,
            taken = listener.accept() => taken,
        };
        let Ok((stream, from)) = taken else {
            // No file is left to open: a moment later there may be.
            tokio::time::sleep(Duration::from_millis(20)).await;
            continue;
        };
        if !from.ip().is_loopback() {
            continue;
        }
        held.retain(|caller| Arc::strong_count(caller) > 1);
        let place = loop {
            // Whoever has shown no key for a while makes room for others, the oldest first.
            let strange = held.iter().position(|it| !it.known.load(Ordering::Relaxed));
            let since = strange
                .and_then(|at| held.get(at))
                .map(|it| it.began.elapsed());
            let wait = since.map_or(CONNECTION, |since| GRACE.saturating_sub(since));
            tokio::select! {
                biased;
                _ = stop.wait_for(|stop| *stop) => break None,
                place = Arc::clone(&free).acquire_owned() => break place.ok(),
                () = tokio::time::sleep(wait) => {
                    if let Some(at) = strange {
                        held.remove(at).leave.notify_one();
                    }
                }
            }
        };
        let Some(place) = place else { break };
        let caller = Arc::new(Caller::new());
        held.push(Arc::clone(&caller));
        let (router, of) = (router.clone(), Arc::clone(&caller));
        let service = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
            request.extensions_mut().insert(Arc::clone(&of));
            TowerToHyperService::new(router.clone()).call(request)
        });
        let connection = http.serve_connection(TokioIo::new(stream), service);
        let mut stop = shared.stop.0.subscribe();
        tokio::spawn(async move {
            let mut connection = std::pin::pin!(connection);
            let ended = tokio::select! {
                _ = connection.as_mut() => true,
                () = caller.leave.notified() => true,
                () = tokio::time::sleep(CONNECTION) => false,
                _ = stop.wait_for(|stop| *stop) => false,
            };
            if !ended {
                connection.as_mut().graceful_shutdown();
                let _ = tokio::time::timeout(LAST, connection).await;
            }
            drop(place);
        });
    }
    // Whatever is on its way gets its answer, for a moment.
    let all = u32::try_from(MOST_CONNECTIONS).unwrap_or(u32::MAX);
    let _ = tokio::time::timeout(LAST, free.acquire_many(all)).await;
}

fn router(shared: &Arc<Shared>) -> Router {
    Router::new()
        .route("/", get(|| async { page("text/html", view::shell()) }))
        .route(
            "/icon.svg",
            get(|| async { page("image/svg+xml", view::ICON) }),
        )
        .route("/page.css", get(|| async { page("text/css", view::STYLE) }))
        .route(
            "/page.js",
            get(|| async { page("text/javascript", view::SCRIPT) }),
        )
        .route("/start", post(start))
        .route("/again", post(again))
        .route("/set", post(set))
        .route("/add", post(add))
        .route("/remove", post(remove))
        .route("/shift", post(shift))
        .route("/paper", post(paper))
        .route("/do", post(mend))
        .route("/ask", post(ask))
        .route("/keep", post(keep))
        .route("/back", post(back))
        .route("/text", post(text))
        .route("/undo", post(undo))
        .route("/redo", post(redo))
        .route("/look", post(look))
        .route("/follow", post(follow))
        .route("/save", post(save))
        .route("/print", post(print))
        .route("/stop", post(stop))
        .layer(from_fn_with_state(Arc::clone(shared), guard))
        .with_state(Arc::clone(shared))
}

fn page(kind: &'static str, text: impl IntoResponse) -> Response {
    let mut answer = text.into_response();
    let kind = match kind {
        "text/html" => "text/html; charset=utf-8",
        "text/css" => "text/css; charset=utf-8",
        "image/svg+xml" => "image/svg+xml",
        _ => "text/javascript; charset=utf-8",
    };
    let headers = answer.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    answer
}

fn json(answer: &impl Serialize) -> Response {
    match serde_json::to_vec(answer) {
        Ok(bytes) => ([(header::CONTENT_TYPE, "application/json")], bytes).into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// What every tab says with what it asks.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Who {
    tab: String,
    seq: u64,
    /// CSS pixels that the drawing has. A question about a card has its own width in its place.
    width: serde_json::Value,
    /// What the tab has got.
    stamp: u64,
    visit: Option<u64>,
}

/// Bytes of a tab's name.
const LONGEST_TAB: usize = 64;

/// What a tab says of itself, and its question.
struct Asks<Q>(Who, Q);

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
async fn beside<T: Send + 'static>(
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

/// What came of a question, beside the parts.
#[derive(Default)]
struct Outcomes {
    say: Option<String>,
    told: Option<String>,
    focus: Option<&'static str>,
    refused: Option<Refused>,
}

impl Outcomes {
    fn of(field: &str, done: Result<(), Refusal>) -> Outcomes {
        Outcomes {
            refused: done.err().map(|refusal| Refused::at(field, refusal)),
            ..Outcomes::default()
        }
    }

    fn said(field: &str, done: Result<String, Refusal>) -> Outcomes {
        match done {
            Ok(said) => Outcomes {
                told: Some(said).filter(|said| !said.is_empty()),
                ..Outcomes::default()
            },
            Err(refusal) => Outcomes::of(field, Err(refusal)),
        }
    }
}

/// Does what a tab asks, waits for the sizes, and answers with what the tab has not got.
async fn answered(
    shared: &Arc<Shared>,
    who: Who,
    work: impl FnOnce(&Shared, &Who) -> Outcomes + Send + 'static,
) -> Response {
    let listen = shared.room.listen();
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
async fn sizes(shared: &Arc<Shared>, mut listen: watch::Receiver<u64>) {
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
async fn told(shared: &Arc<Shared>, who: Who, outcomes: Outcomes) -> Response {
    let done = beside(shared, move |shared| {
        let file = shared.room.desk.name();
        let mut answer = shared
            .room
            .state()
            .answer(&who.tab, file.as_deref(), who.seq);
        answer.say = outcomes.say.or(answer.say);
        answer.told = outcomes.told;
        answer.focus = outcomes.focus;
        answer.refused = outcomes.refused;
        json(&answer)
    });
    done.await.unwrap_or_else(|broken| broken)
}

#[derive(Deserialize)]
struct Key {
    key: String,
}

async fn start(State(shared): State<Arc<Shared>>, Asks(_, Key { key }): Asks<Key>) -> Response {
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

#[derive(Deserialize)]
struct Secret {
    secret: String,
}

/// A fresh address for another run that may read this one's secret.
async fn again(
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

#[derive(Deserialize)]
struct Set {
    field: String,
    text: String,
}

fn words(field: &str) -> Vec<String> {
    field::split(field)
}

async fn set(
    State(shared): State<Arc<Shared>>,
    Asks(who, Set { field, text }): Asks<Set>,
) -> Response {
    answered(&shared, who, move |shared, who| {
        let words = words(&field);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        if let ["first", key] = words[..] {
            return Outcomes::of(&field, shared.room.begin(key, &text));
        }
        let visit = visit(who, &field);
        let done = shared.room.change(visit, |reading, now| {
            change::set(reading, now, &words, &text)
        });
        Outcomes::of(&field, done)
    })
    .await
}

fn visit(who: &Who, field: &str) -> Option<Visit> {
    Some(Visit {
        tab: who.tab.clone(),
        field: field.to_owned(),
        number: who.visit?,
    })
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Remove {
    field: Option<String>,
    fields: Vec<String>,
}

async fn remove(
    State(shared): State<Arc<Shared>>,
    Asks(who, Remove { field, fields }): Asks<Remove>,
) -> Response {
    answered(&shared, who, move |shared, _| {
        let all: Vec<Vec<String>> = field.iter().chain(&fields).map(|it| words(it)).collect();
        let done = shared
            .room
            .change(None, |reading, now| change::remove(reading, now, &all));
        Outcomes::of("", done)
    })
    .await
}

#[derive(Deserialize)]
struct Use {
    paper: String,
}

async fn paper(State(shared): State<Arc<Shared>>, Asks(who, of): Asks<Use>) -> Response {
    answered(&shared, who, move |shared, _| {
        let make = |reading: &Reading, now: &str| change::paper_for_all(reading, now, &of.paper);
        Outcomes::of("", shared.room.change(None, make))
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Shift {
    field: String,
    forward: bool,
}

async fn shift(State(shared): State<Arc<Shared>>, Asks(who, to): Asks<Shift>) -> Response {
    answered(&shared, who, move |shared, _| {
        let row = words(&to.field);
        let done = shared.room.change(None, |reading, now| {
            change::shift(reading, now, &row, to.forward)
        });
        Outcomes::of("", done)
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Add {
    what: String,
    like: Option<String>,
    leaf: Option<String>,
    place: String,
    section: String,
    bag: String,
}

async fn add(State(shared): State<Arc<Shared>>, Asks(who, add): Asks<Add>) -> Response {
    answered(&shared, who, move |shared, _| {
        let new = New {
            what: &add.what,
            like: add.like.as_deref(),
            leaf: add.leaf.as_deref(),
            place: &add.place,
            section: &add.section,
            bag: &add.bag,
        };
        let done = shared
            .room
            .change(None, |reading, now| change::add(reading, now, &new));
        Outcomes::of("", done)
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Do {
    fix: Option<usize>,
    watch: Option<usize>,
    offer: Option<usize>,
    notice: Option<String>,
    way: usize,
}

async fn mend(State(shared): State<Arc<Shared>>, Asks(who, what): Asks<Do>) -> Response {
    answered(&shared, who, move |shared, _| {
        let room = &shared.room;
        let mut outcomes = match (what.fix, what.watch, what.offer, &what.notice) {
            (Some(fix), ..) => Outcomes::of("", room.mend(fix)),
            (_, Some(wish), ..) => Outcomes::of("", room.keep_wish(wish)),
            (_, _, Some(offer), _) => Outcomes::of("", room.take_offer(offer)),
            (.., Some(id)) => Outcomes::said("", room.answer_notice(id, what.way)),
            _ => Outcomes::of("", Err(Refusal::new("There is nothing to do."))),
        };
        if outcomes.refused.is_none() && (what.fix.is_some() || what.watch.is_some()) {
            outcomes.focus = Some("strip");
        }
        outcomes
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Ask {
    what: String,
    size: String,
    leaf: String,
    width: serde_json::Value,
    height: String,
    bag: String,
    albums: String,
}

async fn ask(State(shared): State<Arc<Shared>>, Asks(who, ask): Asks<Ask>) -> Response {
    answered(&shared, who, move |shared, _| {
        let room = &shared.room;
        let Ask {
            what,
            size,
            leaf,
            width,
            height,
            bag,
            albums,
        } = ask;
        match what.as_str() {
            "none" => {
                room.close();
                Outcomes::default()
            }
            "bags" => Outcomes::of("", room.ask(Question::Bags)),
            "buy" | "price" => {
                let counted = room.count_for(&albums);
                let asked = counted.and_then(|()| {
                    let albums = room.state().albums;
                    room.ask(match what.as_str() {
                        "buy" => Question::Buy(albums),
                        _ => Question::Price(albums),
                    })
                });
                Outcomes::of("ask-people", asked)
            }
            "try" => Outcomes::of("", room.try_bag(&bag)),
            "people" => Outcomes::of("ask-people", room.count_for(&albums)),
            // They are counted without being asked.
            "sheets" => Outcomes::default(),
            "grow" => Outcomes::of("", room.ask(Question::Grow { size, leaf })),
            "card" => {
                let width = width.as_str().unwrap_or("");
                let (ruler, at) = {
                    let state = room.state();
                    let album = state.reading.as_ref().map(|it| &it.album);
                    let leaves = album.map(|it| &it.leaves[..]).unwrap_or_default();
                    let at = leaves.iter().position(|it| it.name == leaf);
                    (album.map(|it| it.ruler), at)
                };
                let Some(ruler) = ruler else {
                    return Outcomes::of("", Err(Refusal::new("Measure a bag first.")));
                };
                let asked = Question::card((width, &height), at, ruler);
                Outcomes::of("ask-width", asked.and_then(|question| room.ask(question)))
            }
            _ => Outcomes::of("", Err(Refusal::new("That cannot be asked."))),
        }
    })
    .await
}

#[derive(Deserialize)]
struct Text {
    text: String,
}

async fn text(State(shared): State<Arc<Shared>>, Asks(who, Text { text }): Asks<Text>) -> Response {
    answered(&shared, who, move |shared, who| {
        let visit = visit(who, "text");
        Outcomes::of("text", shared.room.whole(text, visit))
    })
    .await
}

#[derive(Default, Deserialize)]
struct Nothing {}

async fn keep(State(shared): State<Arc<Shared>>, Asks(who, Nothing {}): Asks<Nothing>) -> Response {
    answered(&shared, who, |shared, _| {
        shared.room.keep_bag();
        Outcomes::default()
    })
    .await
}

async fn back(State(shared): State<Arc<Shared>>, Asks(who, Nothing {}): Asks<Nothing>) -> Response {
    answered(&shared, who, |shared, _| {
        Outcomes::of("", shared.room.go_back())
    })
    .await
}

async fn undo(State(shared): State<Arc<Shared>>, Asks(who, Nothing {}): Asks<Nothing>) -> Response {
    answered(&shared, who, |shared, _| Outcomes {
        say: shared.room.undo(),
        ..Outcomes::default()
    })
    .await
}

async fn redo(State(shared): State<Arc<Shared>>, Asks(who, Nothing {}): Asks<Nothing>) -> Response {
    answered(&shared, who, |shared, _| Outcomes {
        say: shared.room.redo(),
        ..Outcomes::default()
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct LookAt {
    leaf: Option<usize>,
    view: Option<String>,
    side: Option<String>,
    piece: Option<String>,
    /// Everything is sent again.
    all: bool,
}

async fn look(State(shared): State<Arc<Shared>>, Asks(who, at): Asks<LookAt>) -> Response {
    answered(&shared, who, move |shared, who| {
        let mut state = shared.room.state();
        let leaves = state.reading.as_ref().map_or(0, |it| it.album.leaves.len());
        let tab = state.tab(&who.tab);
        if at.all {
            tab.sent.clear();
        }
        if let Some(leaf) = at.leaf.filter(|leaf| *leaf < leaves)
            && leaf != tab.look.leaf
        {
            tab.look.leaf = leaf;
            tab.look.piece.clear();
        }
        match at.view.as_deref() {
            Some("leaf") => tab.look.view = View::Leaf,
            Some("album") => tab.look.view = View::Album,
            Some("sheets") => tab.look.view = View::Sheets,
            Some("template") => tab.look.view = View::Template,
            _ => {}
        }
        match at.side.as_deref() {
            Some("front") => tab.look.side = Side::Front,
            Some("back") => tab.look.side = Side::Back,
            Some("open") => tab.look.side = Side::Open,
            _ => {}
        }
        if let Some(piece) = at.piece.filter(|piece| piece.len() <= 200) {
            tab.look.piece = piece;
        }
        Outcomes::default()
    })
    .await
}

/// Waits until something is to be seen that this tab has not got.
async fn follow(
    State(shared): State<Arc<Shared>>,
    Asks(who, Nothing {}): Asks<Nothing>,
) -> Response {
    let mut listen = shared.room.listen();
    let mut stop = shared.stop.0.subscribe();
    let news = async {
        while shared.room.state().stamp <= who.stamp {
            if listen.changed().await.is_err() {
                break;
            }
        }
    };
    tokio::select! {
        _ = tokio::time::timeout(FOLLOW, news) => {}
        _ = stop.wait_for(|stop| *stop) => {}
    }
    told(&shared, who, Outcomes::default()).await
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Save {
    name: Option<String>,
}

async fn save(State(shared): State<Arc<Shared>>, Asks(who, Save { name }): Asks<Save>) -> Response {
    answered(&shared, who, move |shared, _| {
        Outcomes::said("name", shared.room.save(name.as_deref()))
    })
    .await
}

async fn print(
    State(shared): State<Arc<Shared>>,
    Asks(who, Nothing {}): Asks<Nothing>,
) -> Response {
    sizes(&shared, shared.room.listen()).await;
    let made = beside(&shared, |shared| {
        let (facts, sheets) = {
            let state = shared.room.state();
            let sheets = match &state.sheets {
                // One album is printed, however many were counted.
                Some((of, super::room::Sheets::Counted(counted)))
                    if *of == state.version && state.albums == 1 =>
                {
                    Some(Arc::clone(counted))
                }
                _ => None,
            };
            let facts = state.facts.clone();
            let current = !state.is_working() && state.slips.is_empty();
            (facts.filter(|_| current), sheets)
        };
        let facts = facts?;
        let Reading { album, style, .. } = &*facts.reading;
        // With all rules, for the rule book.
        let limits = Limits::lasting(PRINT);
        let Outcome::Fits(plan) = &work(style, album, &limits).ok()?.outcome else {
            return None;
        };
        let paper = match album.ruler.is_metric() {
            true => Paper::A4,
            false => Paper::Letter,
        };
        let order;
        let batches;
        let (order, batches) = match &sheets {
            Some(counted) => (&counted.order, &counted.batches),
            None => {
                order = super::bench::order(plan, album, 1);
                batches = cut::work::work(
                    &order,
                    None,
                    album.ruler,
                    &cut::work::Patience {
                        time: PRINT,
                        typed: None,
                        cancel: None,
                        told: None,
                    },
                )
                .unwrap_or_default();
                (&order, &batches)
            }
        };
        let cutting = (!batches.is_empty()).then_some(cut::Answer {
            order,
            batches,
            left: &[],
            asked: None,
        });
        let ask = handout::Ask {
            album,
            plan,
            answer: cutting,
            parts: None,
        };
        pdf::file(&handout::document(paper, &ask)).ok()
    });
    match made.await {
        Ok(Some(pdf)) => {
            let file = shared.room.desk.name().unwrap_or_default();
            let stem = file.strip_suffix(".toml").unwrap_or(&file);
            let plain = |sign: char| sign.is_ascii_alphanumeric() || " -_".contains(sign);
            let stem: String = stem.chars().filter(|sign| plain(*sign)).collect();
            let stem = if stem.is_empty() { "album" } else { &stem };
            let headers = [
                (header::CONTENT_TYPE, "application/pdf".to_owned()),
                (
                    header::CONTENT_DISPOSITION,
                    format!("attachment; filename=\"{stem}.pdf\""),
                ),
            ];
            (headers, pdf).into_response()
        }
        Ok(None) => {
            let why = match shared.room.state().slips.is_empty() {
                true => "There is nothing to print yet: the album does not fit.",
                false => "There is nothing to print yet: mend the album's text first.",
            };
            let refusal = Refusal::new(why);
            told(&shared, who, Outcomes::of("", Err(refusal))).await
        }
        Err(broken) => broken,
    }
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct End {
    what: String,
}

async fn stop(State(shared): State<Arc<Shared>>, Asks(who, End { what }): Asks<End>) -> Response {
    if what == "sheets" {
        return answered(&shared, who, |shared, _| {
            shared.room.stop_counting();
            Outcomes::default()
        })
        .await;
    }
    let (version, stamp) = {
        let state = shared.room.state();
        (state.version, state.stamp)
    };
    shared.stop.stop();
    json(&Answer {
        seq: who.seq,
        version,
        stamp,
        say: Some("tuckwright has stopped.".to_owned()),
        ..Answer::default()
    })
}
