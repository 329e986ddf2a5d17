//! Each question that a tab may post, and what is done for it in the room. `asks` reads who asks, and answers.

use super::answer::{Answer, Outcomes};
use super::ask::{Question, Shelf};
use super::asks::{Asks, Who, answered, beside, json, page, sizes, told};
use super::change::{self, New};
use super::guard::{again, guard, start};
use super::history::Visit;
use super::print::printed;
use super::read::{Reading, Refusal};
use super::room::Room;
use super::shared::Shared;
use super::sight::{Side, View, field};
use super::view;
use axum::Router;
use axum::extract::State;
use axum::http::header;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get, post};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

/// Whoever follows asks again after this time.
const FOLLOW: Duration = Duration::from_secs(10);
/// News of this time come together: each answer has the whole page looked through.
const GATHER: Duration = Duration::from_millis(80);
/// After this time the best cutting plan so far is printed.
const PRINT: Duration = Duration::from_secs(20);

pub fn router(shared: &Arc<Shared>) -> Router {
    let file = |kind, text| get(async move || page(kind, text));
    let script = "text/javascript; charset=utf-8";
    Router::new()
        .route(
            "/",
            get(async || page("text/html; charset=utf-8", view::shell())),
        )
        .route("/icon.svg", file("image/svg+xml", view::ICON))
        .route("/page.css", file("text/css; charset=utf-8", view::STYLE))
        .route("/page.js", file(script, view::SCRIPT))
        .route("/start", post(start))
        .route("/again", post(again))
        .route("/set", asked(set))
        .route("/add", asked(add))
        .route("/remove", asked(remove))
        .route("/shift", asked(shift))
        .route("/paper", asked(paper))
        .route("/do", asked(mend))
        .route("/ask", asked(ask))
        .route("/keep", asked(keep))
        .route("/back", asked(back))
        .route("/text", asked(text))
        .route("/undo", asked(undo))
        .route("/redo", asked(redo))
        .route("/look", asked(look))
        .route("/follow", post(follow))
        .route("/save", asked(save))
        .route("/print", post(print))
        .route("/stop", post(stop))
        .layer(from_fn_with_state(Arc::clone(shared), guard))
        .with_state(Arc::clone(shared))
}

/// A question for which something is done in the room.
fn asked<Q: DeserializeOwned + Send + 'static>(
    work: fn(&Room, &Who, Q) -> Outcomes,
) -> MethodRouter<Arc<Shared>> {
    post(async move |State(shared), Asks(who, question): Asks<Q>| {
        answered(&shared, who, move |shared, who| {
            work(&shared.room, who, question)
        })
        .await
    })
}

#[derive(Deserialize)]
struct Set {
    field: String,
    text: String,
}

fn set(room: &Room, who: &Who, Set { field, text }: Set) -> Outcomes {
    let words = field::split(&field);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if let ["first", key] = words[..] {
        return Outcomes::of(&field, room.begin(key, &text, visit(who, &field)));
    }
    if words == ["style"] {
        return Outcomes::of(&field, room.of_kind(&text));
    }
    let visit = visit(who, &field);
    let done = room.change(visit, |reading, now| {
        change::set(reading, now, &words, &text)
    });
    let is_none = done.is_err() && room.state().text().is_empty();
    match words[..] {
        ["bag", change::FIRST_BAG, key] if is_none => {
            Outcomes::of(&field, room.begin(key, &text, None).and(done))
        }
        _ => Outcomes::of(&field, done),
    }
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

fn remove(room: &Room, _: &Who, Remove { field, fields }: Remove) -> Outcomes {
    let all = field.iter().chain(&fields).map(|it| field::split(it));
    let all: Vec<Vec<String>> = all.collect();
    let done = room.change(None, |reading, now| change::remove(reading, now, &all));
    Outcomes::of("", done)
}

#[derive(Deserialize)]
struct Use {
    paper: String,
}

fn paper(room: &Room, _: &Who, of: Use) -> Outcomes {
    let make = |reading: &Reading, now: &str| change::paper_for_all(reading, now, &of.paper);
    Outcomes::of("", room.change(None, make))
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Shift {
    field: String,
    forward: bool,
}

fn shift(room: &Room, _: &Who, to: Shift) -> Outcomes {
    let row = field::split(&to.field);
    let done = room.change(None, |reading, now| {
        change::shift(reading, now, &row, to.forward)
    });
    Outcomes::of("", done)
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
    /// What is typed before it is there: its values by their keys.
    #[serde(flatten)]
    typed: BTreeMap<String, serde_json::Value>,
}

fn add(room: &Room, who: &Who, add: Add) -> Outcomes {
    let new = New {
        what: &add.what,
        like: add.like.as_deref(),
        leaf: add.leaf.as_deref(),
        place: &add.place,
        section: &add.section,
        bag: &add.bag,
        typed: add
            .typed
            .iter()
            .filter_map(|(key, it)| Some((key.strip_prefix("its-")?, it.as_str()?)))
            .collect(),
    };
    let done = room.change(None, |reading, now| change::add(reading, now, &new));
    if done.is_ok() && add.what == "leaf" {
        room.look_at_last(&who.tab);
    }
    Outcomes::of("", done)
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

fn mend(room: &Room, _: &Who, what: Do) -> Outcomes {
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

fn ask(room: &Room, _: &Who, ask: Ask) -> Outcomes {
    let Ask {
        what,
        size,
        leaf,
        width,
        height,
        bag,
        albums,
    } = ask;
    // Whoever asks is led to the answer.
    let focus = match what.as_str() {
        "bags" | "arrange" | "buy" | "price" | "card" => Some("asked"),
        "people" => Some("sheets-answer"),
        _ => None,
    };
    let mut outcomes = match what.as_str() {
        "none" => {
            room.close();
            Outcomes::default()
        }
        "bags" => Outcomes::of("", room.ask(Question::Bags)),
        "arrange" => {
            let shelf = Shelf(Arc::clone(&room.desk));
            Outcomes::of("", room.ask(Question::Arrange(shelf)))
        }
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
            match Question::card((width, &height), at, ruler) {
                Ok(question) => Outcomes::of("ask-width", room.ask(question)),
                Err(why) => {
                    room.unasked(why);
                    Outcomes::default()
                }
            }
        }
        _ => Outcomes::of("", Err(Refusal::new("That cannot be asked."))),
    };
    outcomes.focus = focus.filter(|_| outcomes.refused.is_none());
    outcomes
}

#[derive(Deserialize)]
struct Text {
    text: String,
}

fn text(room: &Room, who: &Who, Text { text }: Text) -> Outcomes {
    let visit = visit(who, "text");
    Outcomes::of("text", room.whole(text, visit))
}

#[derive(Default, Deserialize)]
struct Nothing {}

fn keep(room: &Room, _: &Who, Nothing {}: Nothing) -> Outcomes {
    room.keep_bag();
    Outcomes::default()
}

fn back(room: &Room, _: &Who, Nothing {}: Nothing) -> Outcomes {
    Outcomes::of("", room.go_back())
}

fn undo(room: &Room, _: &Who, Nothing {}: Nothing) -> Outcomes {
    Outcomes::say(room.undo())
}

fn redo(room: &Room, _: &Who, Nothing {}: Nothing) -> Outcomes {
    Outcomes::say(room.redo())
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
    /// Whoever asks is led to what is shown.
    lead: bool,
}

fn look(room: &Room, who: &Who, at: LookAt) -> Outcomes {
    let mut state = room.state();
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
        Some("both") => tab.look.side = Side::Both,
        Some("open") => tab.look.side = Side::Open,
        _ => {}
    }
    if let Some(piece) = at.piece.filter(|piece| piece.len() <= 200) {
        tab.look.piece = piece;
    }
    Outcomes {
        focus: at.lead.then_some("leaf-part"),
        ..Outcomes::default()
    }
}

/// Waits until something is to be seen that this tab has not got, and no question of its own brings.
async fn follow(
    State(shared): State<Arc<Shared>>,
    Asks(who, Nothing {}): Asks<Nothing>,
) -> Response {
    let mut listen = shared.room.listen();
    let mut stop = shared.stop.0.subscribe();
    let has_news = || {
        let mut state = shared.room.state();
        let stamp = state.stamp;
        let tab = state.tab(&who.tab);
        tab.asking == 0 && tab.seen < stamp
    };
    let news = async {
        loop {
            while !has_news() {
                if listen.changed().await.is_err() {
                    return;
                }
            }
            // What comes at nearly the same time comes at once; a question of its own may bring it, too.
            tokio::time::sleep(GATHER).await;
            if has_news() {
                break;
            }
        }
        sizes(&shared, shared.room.listen()).await;
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

fn save(room: &Room, _: &Who, Save { name }: Save) -> Outcomes {
    Outcomes::said("name", room.save(name.as_deref()))
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Print {
    /// For how many who each make one.
    albums: Option<String>,
}

async fn print(State(shared): State<Arc<Shared>>, Asks(who, of): Asks<Print>) -> Response {
    sizes(&shared, shared.room.listen()).await;
    let made = beside(&shared, move |shared| {
        printed(&shared.room, of.albums.as_deref(), PRINT)
    });
    match made.await {
        Ok(Ok((file, pdf))) => {
            let headers = [
                (header::CONTENT_TYPE, "application/pdf".to_owned()),
                (
                    header::CONTENT_DISPOSITION,
                    format!("attachment; filename=\"{file}\""),
                ),
            ];
            (headers, pdf).into_response()
        }
        Ok(Err(refusal)) => told(&shared, who, Outcomes::of("", Err(refusal))).await,
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
        outcomes: Outcomes::say(Some("tuckwright has stopped.".to_owned())),
        ..Answer::default()
    })
}
