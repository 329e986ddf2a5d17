//! A server in this process over a desk without a disk, and a client that sends just what it is told to.

use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::Duration;
use tuckwright::album::Album;
use tuckwright::open::desk::Draft;
use tuckwright::open::{Desk, Event, SaveError, Setup, Stopper, serve};
use tuckwright::plan::Plan;
use tuckwright::report::handout::Section;
use tuckwright::solve::Limits;
use tuckwright::style::Style;

/// Longer than any answer of these tests takes on a busy machine: then something hangs.
pub const LONG: Duration = Duration::from_secs(60);

pub const ALBUM: &str = include_str!("../../models/albums/low-water.toml");
pub const SUPPLIES: &str = include_str!("../../models/supplies/seaside.toml");

/// Files that are kept in memory.
#[derive(Default)]
pub struct Memory {
    pub name: Mutex<Option<String>>,
    pub files: Mutex<BTreeMap<String, String>>,
    pub draft: Mutex<Option<Draft>>,
}

impl Memory {
    pub fn with(album: &str) -> Memory {
        let memory = Memory::default();
        *memory.name.lock().unwrap() = Some("low-water.toml".to_owned());
        memory.put("low-water.toml", album);
        memory.put("../supplies/seaside.toml", SUPPLIES);
        memory
    }

    pub fn put(&self, name: &str, text: &str) {
        let mut files = self.files.lock().unwrap();
        files.insert(name.to_owned(), text.to_owned());
    }

    pub fn file(&self, name: &str) -> Option<String> {
        self.files.lock().unwrap().get(name).cloned()
    }
}

impl Desk for Memory {
    fn name(&self) -> Option<String> {
        self.name.lock().unwrap().clone()
    }

    fn album(&self) -> Result<Option<String>, String> {
        Ok(self.name().and_then(|name| self.file(&name)))
    }

    fn load(&self, path: &str) -> Result<Vec<u8>, String> {
        assert!(path != "broken.toml", "a defect");
        let file = self.file(path).map(String::into_bytes);
        file.ok_or_else(|| "there is no such file".to_owned())
    }

    fn arranged(&self, _: &Album, _: &Style, _: &Plan, _: &Limits) -> Result<Vec<Section>, String> {
        Err("There are no photos in memory.".to_owned())
    }

    fn standing(&self, _: &Album, _: &Style, _: &mut Plan) -> Result<(), String> {
        Ok(())
    }

    fn save(&self, before: &str, after: &str) -> Result<(), SaveError> {
        let name = self.name().unwrap();
        match self.file(&name) {
            Some(now) if now == before => self.put(&name, after),
            now => return Err(SaveError::Changed(now)),
        }
        Ok(())
    }

    fn save_as(&self, name: &str, text: &str) -> Result<(), SaveError> {
        if self.file(name).is_some() {
            return Err(SaveError::Taken);
        }
        self.put(name, text);
        *self.name.lock().unwrap() = Some(name.to_owned());
        Ok(())
    }

    fn drafts(&self) -> Vec<Draft> {
        self.draft.lock().unwrap().iter().cloned().collect()
    }

    fn keep_draft(&self, draft: &Draft) {
        *self.draft.lock().unwrap() = Some(draft.clone());
    }

    fn drop_draft(&self, _: Option<&str>) {
        *self.draft.lock().unwrap() = None;
    }
}

/// A server, stopped when it is dropped.
pub struct Server {
    pub host: String,
    /// The key in its address.
    pub key: String,
    pub secret: String,
    pub desk: Arc<Memory>,
    pub events: Receiver<Event>,
    stop: Stopper,
    thread: Option<JoinHandle<()>>,
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop.stop();
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// Host and key of an address.
pub fn parts(address: &str) -> (String, String) {
    let rest = address.strip_prefix("http://").expect("an address");
    let (host, key) = rest.split_once("/#").expect("a key");
    (host.to_owned(), key.to_owned())
}

impl Server {
    pub fn with(album: &str) -> Server {
        Server::of(Memory::with(album), LONG)
    }

    pub fn empty() -> Server {
        Server::of(Memory::default(), LONG)
    }

    pub fn of(desk: Memory, key_life: Duration) -> Server {
        let desk = Arc::new(desk);
        let stop = Stopper::default();
        let setup = Setup {
            desk: Arc::clone(&desk) as Arc<dyn Desk>,
            ruler: "1/8 in",
            key_life,
            patience: LONG,
            stop: stop.clone(),
        };
        let (send, events) = channel();
        let send = Mutex::new(send);
        let thread = std::thread::spawn(move || {
            let hear = move |event| {
                let _ = send.lock().unwrap().send(event);
            };
            serve(setup, hear).expect("a server");
        });
        let Ok(Event::Listens {
            address, secret, ..
        }) = events.recv_timeout(LONG)
        else {
            panic!("it does not listen");
        };
        let (host, key) = parts(&address);
        Server {
            host,
            key,
            secret,
            desk,
            events,
            stop,
            thread: Some(thread),
        }
    }

    /// Waits until it has stopped of its own.
    pub fn ended(mut self) {
        let thread = self.thread.take().expect("a thread");
        thread.join().expect("a clean end");
    }

    /// A tab of a browser that has traded the key.
    pub fn tab(&self) -> Tab {
        Tab::open(&self.host, &self.key)
    }
}

/// What came back.
#[derive(Clone, Debug)]
pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Reply {
    pub fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        let mut named = lines.filter(|(key, _)| key.eq_ignore_ascii_case(name));
        named.next().map(|(_, value)| value)
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> Value {
        // Spaces at which no line ends are spaces here.
        let said = self.text().replace('\u{a0}', " ");
        serde_json::from_str(&said).unwrap_or_else(|_| panic!("no JSON: {}", self.text()))
    }
}

/// Sends these bytes and reads what comes back until it ends; `None` if nothing does.
pub fn raw(host: &str, bytes: &[u8]) -> Option<Reply> {
    let mut stream = TcpStream::connect(host).ok()?;
    stream.set_read_timeout(Some(LONG)).ok()?;
    // A server that has refused reads no further.
    let _ = stream.write_all(bytes);
    read(&mut stream)
}

pub fn read(stream: &mut TcpStream) -> Option<Reply> {
    let mut all = Vec::new();
    // What was sent and not read may cut the answer off: what came before that counts.
    let _ = stream.read_to_end(&mut all);
    let at = all.windows(4).position(|four| four == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&all[..at]).into_owned();
    let status = head.split(' ').nth(1)?.parse().ok()?;
    Some(Reply {
        status,
        head,
        body: all[at + 4..].to_vec(),
    })
}

/// A request with these headers, as it is sent.
pub fn request(method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Vec<u8> {
    let mut bytes = format!("{method} {path} HTTP/1.1\r\n").into_bytes();
    for (name, value) in headers {
        bytes.extend(format!("{name}: {value}\r\n").bytes());
    }
    bytes.extend(
        format!(
            "Content-Length: {}\r\nConnection: close\r\n\r\n",
            body.len()
        )
        .bytes(),
    );
    bytes.extend(body);
    bytes
}

/// A tab of a browser.
pub struct Tab {
    pub host: String,
    pub name: String,
    pub session: String,
    seq: AtomicU64,
}

impl Tab {
    pub fn open(host: &str, key: &str) -> Tab {
        let reply = start(host, key);
        assert_eq!(reply.status, 200, "{}", reply.text());
        let session = reply.json();
        let session = session["session"].as_str().expect("a key");
        // Each has a name of its own, as tabs of a browser do.
        Tab::beside(host, session, &session[..8])
    }

    /// Another tab with the same key.
    pub fn beside(host: &str, session: &str, name: &str) -> Tab {
        Tab {
            host: host.to_owned(),
            name: name.to_owned(),
            session: session.to_owned(),
            seq: AtomicU64::new(0),
        }
    }

    /// The headers that a browser sends.
    pub fn headers(&self) -> Vec<(String, String)> {
        [
            ("Host", self.host.clone()),
            ("Origin", format!("http://{}", self.host)),
            ("Content-Type", "application/json".to_owned()),
            ("Sec-Fetch-Site", "same-origin".to_owned()),
            ("x-tuckwright", self.session.clone()),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .to_vec()
    }

    /// Posts with one more to the count of questions.
    pub fn reply(&self, path: &str, question: Value) -> Reply {
        let seq = self.seq.fetch_add(1, Ordering::SeqCst) + 1;
        let mut all = json!({ "tab": self.name, "seq": seq, "width": 600 });
        for (key, value) in question.as_object().expect("an object") {
            all[key] = value.clone();
        }
        let headers = self.headers();
        let headers: Vec<(&str, &str)> = headers.iter().map(|(a, b)| (&**a, &**b)).collect();
        let bytes = request("POST", path, &headers, all.to_string().as_bytes());
        raw(&self.host, &bytes).expect("an answer")
    }

    /// The answer to what is asked.
    pub fn post(&self, path: &str, question: Value) -> Value {
        let reply = self.reply(path, question);
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
        reply.json()
    }

    /// Sets a field to a text that is taken.
    pub fn set(&self, field: &str, text: &str) -> Value {
        let answer = self.post("/set", json!({ "field": field, "text": text }));
        assert!(
            answer.get("refused").is_none(),
            "{field} {text}: {}",
            answer["refused"]
        );
        answer
    }

    /// Why a field does not take a text.
    pub fn refused(&self, field: &str, text: &str) -> Value {
        let answer = self.post("/set", json!({ "field": field, "text": text }));
        assert!(answer["refused"].is_object(), "{field} took {text}");
        answer["refused"].clone()
    }

    /// Follows until a part of the page contains these words.
    pub fn until(&self, part: &str, words: &str) -> String {
        let mut answer = self.post("/look", json!({ "all": true }));
        assert!(answer.get("dropped").is_none(), "another tab has this name");
        // Whoever follows is answered after ten seconds at the latest.
        for _ in 0..60 {
            let html = answer["parts"][part].as_str().unwrap_or("");
            if html.contains(words) {
                return html.to_owned();
            }
            answer = self.post("/follow", json!({}));
        }
        panic!("`{words}` never came in {part}");
    }
}

pub fn start(host: &str, key: &str) -> Reply {
    let origin = format!("http://{host}");
    let headers = [
        ("Host", host),
        ("Origin", &origin),
        ("Content-Type", "application/json"),
    ];
    let body = json!({ "key": key }).to_string();
    raw(host, &request("POST", "/start", &headers, body.as_bytes())).expect("an answer")
}

/// The text of the album as the page shows it, without HTML.
pub fn said(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for sign in html.chars() {
        match sign {
            '<' => inside = true,
            '>' => inside = false,
            _ if !inside => text.push(sign),
            _ => {}
        }
    }
    text.replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

/// The album's text as a tab shows it: its box holds it whole.
pub fn text_of(tab: &Tab) -> String {
    let answer = tab.post("/look", json!({ "all": true }));
    let text = answer["parts"]["text"].as_str().expect("a part");
    let (_, rest) = text.split_once("<textarea").expect("the album's text");
    let (_, rest) = rest.split_once('>').expect("a box");
    said(rest.split("</textarea>").next().expect("its end"))
}
