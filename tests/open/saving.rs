//! Saving: whole or not at all, never over what another program wrote; and nothing is lost with the server.

use super::client::*;
use serde_json::json;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};

/// A program that serves a folder.
struct Program {
    child: Child,
    out: BufReader<ChildStdout>,
    tab: Tab,
}

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Program {
    fn open(folder: &Path, named: &str) -> Program {
        Program::begin(
            folder,
            named,
            Command::new(env!("CARGO_BIN_EXE_tuckwright")).args(["open", "--no-browser"]),
        )
    }

    fn begin(folder: &Path, named: &str, command: &mut Command) -> Program {
        command.current_dir(folder);
        if !named.is_empty() {
            command.arg(named);
        }
        command.stdin(Stdio::null()).stdout(Stdio::piped());
        let mut child = command.spawn().expect("the program");
        let mut out = BufReader::new(child.stdout.take().expect("its output"));
        let mut line = String::new();
        out.read_line(&mut line).expect("a line");
        let at = line
            .find("http://")
            .unwrap_or_else(|| panic!("no address: {line}"));
        let (host, key) = parts(line[at..].trim());
        Program {
            child,
            out,
            tab: Tab::open(&host, &key),
        }
    }

    /// Ends it from the page; what it said last, and its exit code.
    fn stop(mut self) -> (String, Option<i32>) {
        self.tab.post("/stop", json!({}));
        self.ended()
    }

    fn ended(&mut self) -> (String, Option<i32>) {
        let mut said = String::new();
        self.out.read_to_string(&mut said).expect("its last words");
        (said, self.child.wait().expect("an end").code())
    }
}

/// A folder with the album and its supplies.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("albums")).expect("a folder");
    fs::create_dir(folder.path().join("supplies")).expect("a folder");
    fs::write(album_in(&folder), ALBUM).expect("an album");
    fs::write(folder.path().join("supplies/seaside.toml"), SUPPLIES).expect("supplies");
    folder
}

fn album_in(folder: &tempfile::TempDir) -> PathBuf {
    folder.path().join("albums/low-water.toml")
}

fn draft_in(folder: &tempfile::TempDir) -> PathBuf {
    folder.path().join("albums/.low-water.toml.draft")
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

const TAG: &str = "leaf.shore.insert.species_tag.height";

fn with_tag(height: &str) -> String {
    ALBUM.replace("height = \"4 in\"", &format!("height = \"{height} in\""))
}

#[test]
fn a_file_is_saved_with_its_comments() {
    let folder = folder();
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3 1/2");
    assert_eq!(read(&album_in(&folder)), ALBUM);
    let answer = program.tab.post("/save", json!({}));
    assert_eq!(answer["told"], "Saved low-water.toml.");
    assert_eq!(read(&album_in(&folder)), with_tag("3 1/2"));
    let (said, code) = program.stop();
    assert!(said.ends_with("Stopped.\n") && code == Some(0), "{said}");
    assert!(!draft_in(&folder).exists());
    let names = fs::read_dir(folder.path().join("albums")).expect("a folder");
    assert_eq!(names.count(), 1, "nothing but the album is left");
}

#[test]
fn a_new_album_gets_a_name_and_no_file_is_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let program = Program::open(folder.path(), "");
    let tab = &program.tab;
    assert!(tab.post("/save", json!({}))["refused"].is_object());
    tab.set("first.width", "5 1/8");
    tab.set("first.height", "8 1/2");
    let refused = tab.post("/save", json!({}));
    assert_eq!(refused["refused"]["field"], "name");
    for odd in ["", "..", "/", "\u{0}", "   ", "../../", "\\"] {
        assert!(
            tab.post("/save", json!({ "name": odd }))["refused"].is_object(),
            "{odd}"
        );
    }
    fs::write(folder.path().join("tide-pools.toml"), "mine").expect("a file");
    assert!(tab.post("/save", json!({ "name": "Tide Pools" }))["refused"].is_object());
    assert_eq!(read(&folder.path().join("tide-pools.toml")), "mine");
    // Whatever is typed names a file in this folder.
    let answer = tab.post("/save", json!({ "name": "../../etc/Tide: Pools" }));
    assert_eq!(answer["told"], "Saved etc-tide-pools.toml.", "{answer}");
    assert!(read(&folder.path().join("etc-tide-pools.toml")).contains("5 1/8 x 8 1/2 in"));
    // From then on it is that file.
    tab.set("bag.my bag.gusset", "3");
    assert_eq!(
        tab.post("/save", json!({}))["told"],
        "Saved etc-tide-pools.toml."
    );
    assert!(read(&folder.path().join("etc-tide-pools.toml")).contains("gusset = \"3 in\""));
    assert_eq!(program.stop().1, Some(0));
    let again = Program::open(folder.path(), "etc-tide-pools.toml");
    again.tab.until("strip", "It fits");
}

#[test]
fn what_another_program_wrote_is_never_written_over() {
    for (way, kept, others) in [(0, true, true), (1, false, true)] {
        let folder = folder();
        let program = Program::open(folder.path(), "albums/low-water.toml");
        program.tab.set(TAG, "3");
        let theirs = ALBUM.replace("count = 4", "count = 6");
        fs::write(album_in(&folder), &theirs).expect("another program");
        let answer = program.tab.post("/save", json!({}));
        assert!(
            answer["refused"]["said"]
                .as_str()
                .expect("why")
                .contains("another program")
        );
        assert_eq!(read(&album_in(&folder)), theirs);
        program.tab.until("strip", "was changed by another program");
        let answer = program
            .tab
            .post("/do", json!({ "notice": "file", "way": way }));
        assert!(answer.get("refused").is_none(), "{answer}");
        assert_eq!(read(&album_in(&folder)) == theirs, others);
        let other = folder.path().join("albums/low-water-2.toml");
        assert_eq!(other.exists(), kept);
        if kept {
            assert_eq!(read(&other), with_tag("3"));
        } else {
            program.tab.until("text", "count = 6");
        }
        // Undo reaches what was here before.
        program.tab.post("/undo", json!({}));
        assert_eq!(program.tab.post("/save", json!({})).get("refused"), None);
    }
}

#[test]
fn what_another_program_wrote_is_followed_if_nothing_is_unsaved() {
    let folder = folder();
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.post("/look", json!({}));
    let theirs = ALBUM.replace("count = 4", "count = 6");
    fs::write(album_in(&folder), &theirs).expect("another program");
    program.tab.until("text", "count = 6");
    program.tab.post("/undo", json!({}));
    program.tab.until("text", "count = 4");
    assert_eq!(read(&album_in(&folder)), theirs);
}

#[test]
fn a_file_that_is_gone_is_written_anew_when_asked() {
    let folder = folder();
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3");
    fs::remove_file(album_in(&folder)).expect("it was there");
    assert!(program.tab.post("/save", json!({}))["refused"].is_object());
    assert!(!album_in(&folder).exists());
    let answer = program
        .tab
        .post("/do", json!({ "notice": "file", "way": 0 }));
    assert!(answer.get("refused").is_none(), "{answer}");
    assert_eq!(read(&album_in(&folder)), with_tag("3"));
}

#[test]
fn unsaved_work_survives_the_server() {
    let folder = folder();
    let mut program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3");
    program.tab.set(TAG, "3 1/4");
    wait_for(&draft_in(&folder), "3 1/4 in");
    // It is killed without a word.
    program.child.kill().expect("a kill");
    program.child.wait().expect("an end");
    drop(program);
    assert_eq!(read(&album_in(&folder)), ALBUM);
    let again = Program::open(folder.path(), "albums/low-water.toml");
    let strip = again.tab.post("/look", json!({}))["parts"]["strip"].to_string();
    assert!(
        strip.contains("not saved") && strip.contains("Take it"),
        "{strip}"
    );
    // While it is offered, other work does not replace it.
    again.tab.set("leaf.shore.count", "5");
    assert!(read(&draft_in(&folder)).contains("3 1/4 in"));
    again
        .tab
        .post("/do", json!({ "notice": "draft0", "way": 0 }));
    again.tab.until("text", "3 1/4 in");
    assert_eq!(
        again.tab.post("/save", json!({}))["told"],
        "Saved low-water.toml."
    );
    assert_eq!(read(&album_in(&folder)), with_tag("3 1/4"));
    assert_eq!(again.stop().1, Some(0));
    assert!(!draft_in(&folder).exists());
}

#[test]
fn a_draft_is_thrown_away_when_asked() {
    let folder = folder();
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3");
    let (said, _) = program.stop();
    assert!(said.contains("kept"), "{said}");
    assert!(read(&draft_in(&folder)).contains("3 in"));
    let again = Program::open(folder.path(), "albums/low-water.toml");
    again
        .tab
        .post("/do", json!({ "notice": "draft0", "way": 1 }));
    assert_eq!(again.stop().1, Some(0));
    assert!(!draft_in(&folder).exists());
    assert_eq!(read(&album_in(&folder)), ALBUM);
}

/// Two albums that never had a file are begun at once in one folder: each keeps its own work.
#[test]
fn two_new_albums_keep_apart_and_both_are_offered() {
    let folder = tempfile::tempdir().expect("a folder");
    let begun = |program: &Program, height: &str| {
        program.tab.set("first.width", "5");
        program.tab.set("first.height", height);
    };
    let [one, two] = ["7", "9"].map(|height| {
        let program = Program::open(folder.path(), "");
        begun(&program, height);
        program
    });
    // What another run works on is not offered.
    let strip = two.tab.post("/look", json!({ "all": true }))["parts"]["strip"].to_string();
    assert!(!strip.contains("Take it"), "{strip}");
    for program in [one, two] {
        let (said, _) = program.stop();
        assert!(said.contains("kept"), "{said}");
    }
    let again = Program::open(folder.path(), "");
    let strip = again.tab.post("/look", json!({}))["parts"]["strip"].to_string();
    let offers = |strip: &str| ["5 x 7 in", "5 x 9 in"].map(|size| strip.contains(size));
    assert_eq!(offers(&strip), [true, true], "{strip}");
    // One is taken and saved; the other stays for the next start, where it is thrown away.
    let way = |program: &Program, size: &str, way: usize| {
        let strip = program.tab.post("/look", json!({ "all": true }))["parts"]["strip"].to_string();
        let (_, rest) = strip.split_once(size).expect("an offer");
        let (_, rest) = rest.split_once("draft").expect("its button");
        let notice = format!("draft{}", &rest[..1]);
        program
            .tab
            .post("/do", json!({ "notice": notice, "way": way }));
    };
    way(&again, "5 x 9 in", 0);
    again.tab.until("text", "5 x 9 in");
    again.tab.post("/save", json!({ "name": "tall" }));
    assert!(read(&folder.path().join("tall.toml")).contains("5 x 9 in"));
    // From then on it is this run's.
    let other = Command::new(env!("CARGO_BIN_EXE_tuckwright"))
        .args(["open", "--no-browser", "tall.toml"])
        .current_dir(folder.path())
        .output()
        .expect("the program");
    assert!(String::from_utf8_lossy(&other.stdout).contains("open already"));
    assert_eq!(again.stop().1, Some(0));
    let last = Program::open(folder.path(), "");
    let strip = last.tab.post("/look", json!({}))["parts"]["strip"].to_string();
    assert_eq!(offers(&strip), [true, false], "{strip}");
    way(&last, "5 x 7 in", 1);
    assert!(last.stop().0.ends_with("Stopped.\n"));
    let names = fs::read_dir(folder.path()).expect("a folder");
    assert_eq!(names.count(), 1, "nothing but the saved album is left");
}

/// Waits for a file that another process writes; whoever runs the tests stops one that never comes.
fn wait_for(path: &Path, words: &str) {
    while !fs::read_to_string(path).is_ok_and(|text| text.contains(words)) {
        std::thread::yield_now();
    }
}

/// Whatever the moment, the file is one whole text or the other, and the next run finds the rest.
#[test]
fn a_kill_during_a_save_leaves_a_whole_file() {
    let folder = folder();
    // Long enough that writing it takes a while.
    let long = |n: usize| format!("{ALBUM}\n# {}\n", n.to_string().repeat(100_000));
    let texts = [long(1), long(2)];
    fs::write(album_in(&folder), &texts[0]).expect("an album");
    for kill_after in 0..12 {
        let mut program = Program::open(folder.path(), "albums/low-water.toml");
        let tab = Tab::beside(&program.tab.host, &program.tab.session, "saver");
        let saver = std::thread::spawn(move || {
            for n in 0.. {
                // Whether it is answered depends on when the program ends.
                let text = long(1 + n % 2);
                if !ask(&tab, "/text", &json!({ "text": text })) || !ask(&tab, "/save", &json!({}))
                {
                    break;
                }
            }
        });
        // A few questions of another tab later, wherever the other one is.
        for _ in 0..kill_after {
            program.tab.post("/undo", json!({}));
        }
        program.child.kill().expect("a kill");
        program.child.wait().expect("an end");
        saver.join().expect("the saver");
        drop(program);
        let now = read(&album_in(&folder));
        assert!(texts.contains(&now), "{} bytes", now.len());
        fs::write(album_in(&folder), &texts[0]).expect("an album");
        let _ = fs::remove_file(draft_in(&folder));
    }
    // What the killed runs left is taken away by the next that writes there.
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3");
    program.tab.post("/save", json!({}));
    assert_eq!(program.stop().1, Some(0));
    let names = fs::read_dir(folder.path().join("albums")).expect("a folder");
    let names: Vec<String> = names
        .map(|it| it.expect("one").file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(names, ["low-water.toml"]);
}

fn ask(tab: &Tab, path: &str, question: &serde_json::Value) -> bool {
    let headers = tab.headers();
    let headers: Vec<(&str, &str)> = headers.iter().map(|(a, b)| (&**a, &**b)).collect();
    let mut all = question.clone();
    all["tab"] = json!(tab.name);
    let reply = raw(
        &tab.host,
        &request("POST", path, &headers, all.to_string().as_bytes()),
    );
    reply.is_some_and(|reply| reply.status == 200)
}

#[cfg(unix)]
#[test]
fn a_draft_is_for_its_owner_and_no_link_is_followed() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = folder();
    let victim = folder.path().join("victim");
    fs::write(
        &victim,
        "{\"text\":\"album = \\\"stolen\\\"\",\"base\":null}",
    )
    .expect("a file");
    symlink(&victim, draft_in(&folder)).expect("a link");
    let program = Program::open(folder.path(), "albums/low-water.toml");
    let parts = program.tab.post("/look", json!({}))["parts"].to_string();
    assert!(
        !parts.contains("stolen") && !parts.contains("Take it"),
        "{parts}"
    );
    program.tab.set(TAG, "3");
    assert_eq!(program.stop().1, Some(0));
    assert!(read(&victim).contains("stolen"));
    let draft = draft_in(&folder);
    let kept = fs::symlink_metadata(&draft).expect("a draft");
    assert!(kept.is_file());
    assert_eq!(kept.permissions().mode() & 0o777, 0o600);
}

#[cfg(unix)]
#[test]
fn no_file_outside_the_folder_is_read_for_a_page() {
    use std::os::unix::fs::symlink;
    let folder = folder();
    let secret = folder.path().join("secret.toml");
    fs::write(
        &secret,
        "[[bag]]\nname = \"secret bag\"\nsize = \"5 x 8 in\"\n",
    )
    .expect("a file");
    symlink(&secret, folder.path().join("albums/link.toml")).expect("a link");
    let program = Program::open(folder.path(), "albums/low-water.toml");
    let absolute = secret.display().to_string();
    for path in [
        "../secret.toml",
        "link.toml",
        &absolute,
        "../albums/../secret.toml",
        "/dev/zero",
        "/etc/passwd",
        "/proc/self/environ",
        ".",
    ] {
        let text = ALBUM.replace(
            "[\"../supplies/seaside.toml\"]",
            &format!("[\"../supplies/seaside.toml\", \"{path}\"]"),
        );
        let answer = program.tab.post("/text", json!({ "text": text }));
        let parts = answer["parts"].to_string();
        assert!(
            !parts.contains("secret bag") && !parts.contains("root:"),
            "{path}"
        );
        assert!(
            answer["parts"]["strip"]
                .as_str()
                .expect("a part")
                .contains("seaside.toml")
                || parts.contains(path),
            "{path}: {parts}"
        );
        let style = ALBUM.replace("\"upright\"", &format!("\"{path}/x.toml\""));
        let answer = program.tab.post("/text", json!({ "text": style }));
        assert_eq!(answer.get("refused"), None);
    }
    // What the file itself named when it was opened is its maker's.
    program.tab.post("/text", json!({ "text": ALBUM }));
    program.tab.until("strip", "It fits");
}

#[test]
fn a_folder_is_opened_by_its_album() {
    let folder = folder();
    let program = Program::open(folder.path(), "albums");
    program.tab.until("strip", "It fits");
    drop(program);
    let refused = |named: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
        command
            .args(["open", "--no-browser", named])
            .current_dir(folder.path());
        let done = command.output().expect("the program");
        assert_eq!(done.status.code(), Some(2), "{named}");
        String::from_utf8_lossy(&done.stderr).into_owned()
    };
    fs::write(folder.path().join("albums/second.toml"), ALBUM).expect("an album");
    assert!(refused("albums").contains("second.toml"));
    assert!(refused("none.toml").contains("there is no such file"));
}

#[cfg(unix)]
#[test]
fn control_c_ends_it_cleanly() {
    let folder = folder();
    let mut program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.set(TAG, "3");
    let pid = program.child.id().to_string();
    let sent = Command::new("sh")
        .args(["-c", &format!("kill -INT {pid}")])
        .status()
        .expect("kill");
    assert!(sent.success());
    let (said, code) = program.ended();
    assert!(said.contains("kept") && code == Some(0), "{said} {code:?}");
    assert!(read(&draft_in(&folder)).contains("3 in"));
    assert_eq!(read(&album_in(&folder)), ALBUM);
}

#[test]
fn a_conflict_in_memory_keeps_both() {
    let server = Server::with(ALBUM);
    let tab = server.tab();
    tab.set(TAG, "3");
    server.desk.put("low-water.toml", "other");
    assert!(tab.post("/save", json!({}))["refused"].is_object());
    assert_eq!(server.desk.file("low-water.toml").as_deref(), Some("other"));
}

#[test]
fn a_second_run_opens_the_page_of_the_first() {
    let folder = folder();
    let lock = folder.path().join("albums/.low-water.toml.open");
    let first = Program::open(folder.path(), "albums/low-water.toml");
    first.tab.set(TAG, "3");
    let mut second = Program::open(folder.path(), "albums/low-water.toml");
    let (_, code) = second.ended();
    assert_eq!(code, Some(0));
    // Both are tabs of one album.
    assert_eq!(first.tab.host, second.tab.host);
    assert_ne!(first.tab.session, second.tab.session);
    second.tab.until("text", "3 in");
    assert!(lock.exists());
    assert_eq!(first.stop().1, Some(0));
    assert!(!lock.exists());
}

#[test]
fn a_killed_run_does_not_keep_others_off() {
    let folder = folder();
    let mut first = Program::open(folder.path(), "albums/low-water.toml");
    first.child.kill().expect("a kill");
    first.child.wait().expect("an end");
    let second = Program::open(folder.path(), "albums/low-water.toml");
    assert_ne!(first.tab.host, second.tab.host);
    second.tab.until("strip", "It fits");
}

#[cfg(unix)]
#[test]
fn what_lies_in_the_place_of_the_lock_is_not_believed() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = folder();
    let lock = folder.path().join("albums/.low-water.toml.open");
    let victim = folder.path().join("victim");
    fs::write(&victim, "mine").expect("a file");
    symlink(&victim, &lock).expect("a link");
    let program = Program::open(folder.path(), "albums/low-water.toml");
    assert_eq!(program.stop().1, Some(0));
    assert_eq!(read(&victim), "mine");
    fs::remove_file(&lock).expect("the link");
    // Others may write to it.
    fs::write(&lock, "{\"address\":\"127.0.0.1:1\",\"secret\":\"x\"}").expect("a file");
    fs::set_permissions(&lock, fs::Permissions::from_mode(0o666)).expect("open to all");
    let program = Program::open(folder.path(), "albums/low-water.toml");
    assert_eq!(program.stop().1, Some(0));
}

#[test]
fn it_serves_where_there_is_no_browser() {
    let folder = folder();
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    // No program is found that could open one.
    command.arg("open").env("PATH", "");
    let program = Program::begin(folder.path(), "albums/low-water.toml", &mut command);
    program.tab.until("strip", "It fits");
    assert_eq!(program.stop().1, Some(0));
}

/// The list lies beside the album's folder, named in its file; one that a page names anew is not read.
#[test]
fn photos_are_placed_by_the_list_that_the_file_names() {
    let folder = folder();
    fs::create_dir(folder.path().join("photos")).expect("a folder");
    let photos = include_str!("../../models/photos/low-water.csv");
    fs::write(folder.path().join("photos/low-water.csv"), photos).expect("a list");
    fs::write(folder.path().join("secret.csv"), photos).expect("a list");
    let program = Program::open(folder.path(), "albums/low-water.toml");
    program.tab.until("ask", "Where photos and designs go");
    program.tab.post("/ask", json!({ "what": "arrange" }));
    let cut = program.tab.until("ask", "Where each photo goes");
    assert!(cut.contains("ada with a crab"), "{cut}");
    let text = ALBUM.replace("../photos/low-water.csv", "../secret.csv");
    program.tab.post("/text", json!({ "text": text }));
    program.tab.until("ask", "Where photos and designs go");
    program.tab.post("/ask", json!({ "what": "arrange" }));
    program.tab.until("ask", "lies outside the album");
}
