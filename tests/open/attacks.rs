//! Whoever should get no answer: other pages of the browser, other users of the machine, other names.

use super::client::*;
use serde_json::json;
use std::io::Write;
use std::net::TcpStream;
use std::time::Duration;
use tuckwright::open::Event;

/// The headers of a tab, with some changed, added, or (empty) left out.
fn changed(tab: &Tab, changes: &[(&str, &str)]) -> Vec<(String, String)> {
    let mut headers = tab.headers();
    for (name, value) in changes {
        headers.retain(|(known, _)| known != name);
        if !value.is_empty() {
            headers.push(((*name).to_owned(), (*value).to_owned()));
        }
    }
    headers
}

fn send(tab: &Tab, method: &str, path: &str, changes: &[(&str, &str)], body: &str) -> Reply {
    let headers = changed(tab, changes);
    let headers: Vec<(&str, &str)> = headers.iter().map(|(a, b)| (&**a, &**b)).collect();
    raw(&tab.host, &request(method, path, &headers, body.as_bytes())).expect("an answer")
}

const LOOK: &str = r#"{"tab":"t","seq":1,"width":600}"#;

/// What an album says is in no refusal.
fn is_bare(reply: &Reply) {
    let text = reply.text();
    assert!(
        !text.contains("shore") && !text.contains("Low Water"),
        "{text}"
    );
}

#[test]
fn only_its_own_name_is_answered() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let port = server.host.rsplit_once(':').expect("a port").1;
    let names = [
        "album.example".to_owned(),
        format!("album.example:{port}"),
        format!("localhost:{port}"),
        format!("127.0.0.2:{port}"),
        format!("[::1]:{port}"),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{port}."),
        format!("127.0.0.1:{port}@album.example"),
        String::new(),
    ];
    for name in &names {
        for (method, path) in [("POST", "/look"), ("GET", "/")] {
            let reply = send(&tab, method, path, &[("Host", name)], LOOK);
            // Without a name it is no request of this kind of HTTP.
            assert!(matches!(reply.status, 421 | 400), "{name}: {}", reply.head);
            is_bare(&reply);
        }
    }
    // Two names.
    let twice = format!("{}\r\nHost: album.example", server.host);
    let reply = send(&tab, "POST", "/look", &[("Host", &twice)], LOOK);
    assert_eq!(reply.status, 421);
    assert_eq!(send(&tab, "POST", "/look", &[], LOOK).status, 200);
}

#[test]
fn other_pages_are_not_answered() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let port = server.host.rsplit_once(':').expect("a port").1;
    for origin in [
        "",
        "null",
        "http://album.example",
        &format!("https://{}", server.host),
        &format!("http://localhost:{port}"),
        &format!("http://{}.album.example", server.host),
        &format!("http://{}/", server.host),
        "http://127.0.0.1:1",
    ] {
        let reply = send(&tab, "POST", "/look", &[("Origin", origin)], LOOK);
        assert_eq!(reply.status, 403, "{origin}");
        is_bare(&reply);
    }
    for site in ["cross-site", "same-site", "none"] {
        let reply = send(&tab, "POST", "/look", &[("Sec-Fetch-Site", site)], LOOK);
        assert_eq!(reply.status, 403, "{site}");
    }
    // Another page may not use the script or the styles.
    for path in ["/page.js", "/page.css"] {
        let foreign = [("Sec-Fetch-Site", "cross-site"), ("Origin", "")];
        assert_eq!(send(&tab, "GET", path, &foreign, "").status, 403);
    }
    // A link to the page is a link to an empty page.
    let link = [
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Mode", "navigate"),
        ("Origin", ""),
    ];
    let reply = send(&tab, "GET", "/", &link, "");
    assert_eq!(reply.status, 200);
    is_bare(&reply);
    // No other page is told that it may ask.
    let reply = send(
        &tab,
        "OPTIONS",
        "/look",
        &[("Origin", "http://album.example")],
        "",
    );
    assert_eq!(reply.status, 405);
    assert!(reply.header("access-control-allow-origin").is_none());
}

#[test]
fn without_a_key_nothing_is_answered() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let longer = format!("{}0", tab.session);
    let mut other = tab.session.clone().into_bytes();
    other[0] = if other[0] == b'0' { b'1' } else { b'0' };
    let other = String::from_utf8(other).expect("hex");
    for path in [
        "/look", "/set", "/add", "/remove", "/shift", "/paper", "/do", "/ask", "/text", "/undo",
        "/redo", "/follow", "/save", "/print", "/keep", "/back", "/stop",
    ] {
        for key in ["", "0", &tab.session[1..], &longer, &other, &server.key] {
            let reply = send(&tab, "POST", path, &[("x-tuckwright", key)], LOOK);
            assert_eq!(reply.status, 401, "{path} {key}");
            is_bare(&reply);
        }
        let cookie = format!("x-tuckwright={}", tab.session);
        let reply = send(
            &tab,
            "POST",
            path,
            &[("x-tuckwright", ""), ("Cookie", &cookie)],
            LOOK,
        );
        assert_eq!(reply.status, 401);
    }
    // It still serves.
    assert_eq!(send(&tab, "POST", "/look", &[], LOOK).status, 200);
}

#[test]
fn a_key_of_an_address_is_good_once_and_a_second_use_is_reported() {
    let server = Server::with(ALBUM);
    let _tab = server.tab();
    let again = start(&server.host, &server.key);
    assert_eq!(again.status, 410, "{}", again.text());
    let Ok(Event::Late { address }) = server.events.recv_timeout(LONG) else {
        panic!("nobody was told");
    };
    let (host, key) = parts(&address);
    assert!(host == server.host && key != server.key);
    // Whoever looks at the terminal goes on with the new one; the same old one is reported once.
    assert_eq!(start(&server.host, &server.key).status, 410);
    let tab = Tab::open(&host, &key);
    assert_eq!(tab.reply("/look", json!({})).status, 200);
    assert!(server.events.try_recv().is_err());
    for guess in ["", "0", "é", &key[1..]] {
        assert_eq!(start(&server.host, guess).status, 401, "{guess}");
    }
    assert!(server.events.try_recv().is_err());
}

#[test]
fn a_key_of_an_address_grows_old() {
    let server = Server::of(Memory::with(ALBUM), Duration::ZERO);
    assert_eq!(start(&server.host, &server.key).status, 410);
    assert!(matches!(
        server.events.recv_timeout(LONG),
        Ok(Event::Late { .. })
    ));
}

#[test]
fn only_json_is_read() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    // What a form of another page may send without asking first.
    for kind in [
        "",
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data",
        "application/jsonp",
    ] {
        let reply = send(&tab, "POST", "/look", &[("Content-Type", kind)], LOOK);
        assert_eq!(reply.status, 415, "{kind}");
    }
    for body in ["", "{", "[]", "7", "{\"tab\":3}", "\u{0}", "{\"field\":{}}"] {
        let reply = send(&tab, "POST", "/set", &[], body);
        assert_eq!(reply.status, 400, "{body}");
    }
    let deep = "[".repeat(100_000);
    assert_eq!(send(&tab, "POST", "/set", &[], &deep).status, 400);
    let name = format!(r#"{{"tab":"{}"}}"#, "t".repeat(65));
    assert_eq!(send(&tab, "POST", "/look", &[], &name).status, 400);
    assert_eq!(send(&tab, "POST", "/nothing", &[], LOOK).status, 404);
    for method in ["PUT", "DELETE", "PATCH", "TRACE", "CONNECT"] {
        let reply = send(&tab, method, "/look", &[], LOOK);
        assert!(
            matches!(reply.status, 405 | 400 | 421),
            "{method} {}",
            reply.status
        );
    }
}

#[test]
fn every_answer_says_what_a_browser_may_do_with_it() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let replies = [
        send(
            &tab,
            "GET",
            "/",
            &[("Sec-Fetch-Site", "none"), ("Origin", "")],
            "",
        ),
        send(&tab, "GET", "/page.js", &[("Origin", "")], ""),
        send(&tab, "GET", "/page.css", &[("Origin", "")], ""),
        send(&tab, "GET", "/nothing", &[("Origin", "")], ""),
        tab.reply("/look", json!({})),
        tab.reply("/print", json!({})),
        send(&tab, "POST", "/look", &[("x-tuckwright", "")], LOOK),
    ];
    for reply in &replies {
        let policy = reply.header("content-security-policy").expect("a policy");
        assert!(
            policy.starts_with("default-src 'none';") && !policy.contains("unsafe"),
            "{policy}"
        );
        for part in [
            "frame-ancestors 'none'",
            "base-uri 'none'",
            "form-action 'none'",
        ] {
            assert!(policy.contains(part), "{policy}");
        }
        assert!(policy.contains("require-trusted-types-for 'script'"));
        assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(reply.header("cache-control"), Some("no-store"));
        assert_eq!(reply.header("referrer-policy"), Some("no-referrer"));
        assert_eq!(
            reply.header("cross-origin-opener-policy"),
            Some("same-origin")
        );
        assert_eq!(
            reply.header("cross-origin-resource-policy"),
            Some("same-origin")
        );
        assert!(reply.header("set-cookie").is_none());
        assert!(reply.header("access-control-allow-origin").is_none());
    }
    assert_eq!(replies[5].header("content-type"), Some("application/pdf"));
    // The page holds nothing of the album, and no script or style of its own.
    let shell = replies[0].text();
    is_bare(&replies[0]);
    assert!(!shell.contains("style=") && !shell.contains("<style"));
    assert_eq!(
        shell.matches("<script").count(),
        shell.matches("<script src=\"/page.js\"").count()
    );
}

#[test]
fn a_body_has_a_limit() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let before = tab.post("/look", json!({}))["version"].clone();
    let body = format!(r#"{{"tab":"t","text":"{}"}}"#, "x".repeat(10_000_000));
    assert_eq!(send(&tab, "POST", "/text", &[], &body).status, 413);
    // A text that a body has room for, and an album has not.
    let long = format!("{ALBUM}\n# {}", "x".repeat(300_000));
    let answer = tab.post("/text", json!({ "text": long }));
    assert!(
        answer["refused"]["said"]
            .as_str()
            .expect("why")
            .contains("256 KB"),
        "{answer}"
    );
    assert_eq!(tab.post("/look", json!({}))["version"], before);
}

#[test]
fn a_head_has_a_limit() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let long = "x".repeat(20_000);
    let reply = send(&tab, "POST", "/look", &[("X-Long", &long)], LOOK);
    assert_eq!(reply.status, 431);
    for bytes in [
        &b"\r\n\r\n"[..],
        b"GET",
        b"\x16\x03\x01\x02\x00\x01\x00",
        b"GET / HTTP/9.9\r\n\r\n",
        &[0; 64],
    ] {
        let mut stream = TcpStream::connect(&server.host).expect("a connection");
        let _ = stream.write_all(bytes);
        let _ = stream.shutdown(std::net::Shutdown::Write);
        if let Some(reply) = read(&mut stream) {
            assert!(reply.status >= 400, "{}", reply.head);
        }
    }
    assert_eq!(tab.reply("/look", json!({})).status, 200);
}

/// More connections than are held at once, each silent, or with half a head, or half a body.
#[test]
fn slow_connections_do_not_stop_it() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let headers = tab.headers();
    let headers: Vec<(&str, &str)> = headers.iter().map(|(a, b)| (&**a, &**b)).collect();
    let whole = request("POST", "/look", &headers, LOOK.as_bytes());
    let mut held = Vec::new();
    for n in 0..200 {
        let mut stream = TcpStream::connect(&server.host).expect("a connection");
        let sent = match n % 3 {
            0 => 0,
            1 => 40,
            _ => whole.len() - 5,
        };
        let _ = stream.write_all(&whole[..sent]);
        held.push(stream);
    }
    // The slow ones are dropped one after the other, and this has its turn.
    assert_eq!(tab.reply("/look", json!({})).status, 200);
    drop(held);
}

#[test]
fn two_hundred_requests_at_once_are_all_answered() {
    let server = Server::with(ALBUM);
    let first = server.tab();
    let _ = first.post("/look", json!({}));
    let (host, session) = (&server.host, &first.session);
    std::thread::scope(|scope| {
        let tabs = (0..200).map(|n| {
            scope.spawn(move || {
                let tab = Tab::beside(host, session, &format!("t{n}"));
                tab.reply("/look", json!({})).status
            })
        });
        let tabs: Vec<_> = tabs.collect();
        let all: Vec<u16> = tabs
            .into_iter()
            .map(|tab| tab.join().expect("an answer"))
            .collect();
        assert!(all.iter().all(|status| *status == 200), "{all:?}");
    });
}

#[test]
fn what_an_album_says_is_text() {
    let evil = "<script>alert(1)</script>";
    let album = ALBUM
        .replace("\"shore\"", &format!("\"{evil}\""))
        .replace("Low Water", "<img src=x onerror=alert(1)>");
    let server = Server::with(&album);
    let answer = server.tab().post("/look", json!({}));
    let html = answer["parts"].to_string();
    assert!(
        !html.contains("<script") && !html.contains("<img"),
        "{html}"
    );
    assert!(html.contains("&lt;script&gt;"));
}

#[test]
fn a_secret_gives_an_address_and_nothing_else_does() {
    let server = Server::with(ALBUM);
    let origin = format!("http://{}", server.host);
    let headers = [
        ("Host", server.host.as_str()),
        ("Origin", origin.as_str()),
        ("Content-Type", "application/json"),
    ];
    let again = |secret: &str| {
        let body = json!({ "secret": secret }).to_string();
        raw(
            &server.host,
            &request("POST", "/again", &headers, body.as_bytes()),
        )
        .expect("an answer")
    };
    for guess in ["", "x", &server.key] {
        assert_eq!(again(guess).status, 401, "{guess}");
    }
    let reply = again(&server.secret);
    let (host, key) = parts(reply.json()["address"].as_str().expect("an address"));
    assert_eq!(Tab::open(&host, &key).reply("/look", json!({})).status, 200);
    // It is no key of a tab.
    let tab = Tab::beside(&server.host, &server.secret, "t");
    assert_eq!(tab.reply("/look", json!({})).status, 401);
}

#[test]
fn a_defect_is_answered_and_the_album_is_as_it_was() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    let before = tab.post("/look", json!({}))["version"].clone();
    let broken = ALBUM.replace("../supplies/seaside.toml", "broken.toml");
    let reply = tab.reply("/text", json!({ "text": broken }));
    assert_eq!(reply.status, 500, "{}", reply.text());
    is_bare(&reply);
    let after = tab.post("/look", json!({ "all": true }));
    assert_eq!(after["version"], before);
    assert!(!after["parts"].to_string().contains("broken.toml"));
    tab.set("leaf.shore.count", "5");
}
