//! `tuckwright open` with a browser on its page.

use crate::driver::{Browser, Window};
use serde_json::json;
use std::fs;
use std::io::{BufRead, BufReader};
use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// The page of one album, in a folder of its own.
pub struct Page {
    browser: Browser,
    server: Child,
    folder: TempDir,
}

impl Deref for Page {
    type Target = Browser;

    fn deref(&self) -> &Browser {
        &self.browser
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// The albums that are shipped, with their supplies.
fn models(to: &Path) {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("models");
    for part in ["albums", "supplies"] {
        fs::create_dir(to.join(part)).expect("a folder");
        for file in fs::read_dir(from.join(part)).expect("it is shipped") {
            let file = file.expect("a file").path();
            let name = file.file_name().expect("a name");
            fs::copy(&file, to.join(part).join(name)).expect("a copy");
        }
    }
}

/// `tuckwright open`, and the address that it prints.
fn started(folder: &TempDir, name: Option<&str>) -> (Child, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
    command.args(["open", "--no-browser"]);
    if let Some(name) = name {
        command.arg(format!("{name}.toml"));
    }
    let mut server = command
        .current_dir(folder.path().join("albums"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("tuckwright starts");
    let lines = BufReader::new(server.stdout.take().expect("its answer")).lines();
    let address = lines.map_while(Result::ok).find_map(|line| {
        let at = line.find("http://")?;
        let address = line[at..].split_whitespace().next()?;
        Some(address.to_owned())
    });
    (server, address.expect("it names its address"))
}

impl Page {
    /// An album that is shipped; `None` without a browser.
    pub fn of(name: &str) -> Option<Page> {
        Page::with(Some(name), &Window::default())
    }

    /// An empty album.
    pub fn empty() -> Option<Page> {
        Page::with(None, &Window::default())
    }

    pub fn with(name: Option<&str>, window: &Window) -> Option<Page> {
        let browser = Browser::open(window)?;
        let folder = tempfile::tempdir().expect("a folder");
        models(folder.path());
        let (server, address) = started(&folder, name);
        let page = Page {
            browser,
            server,
            folder,
        };
        page.go(&address);
        page.find(".verdict");
        Some(page)
    }

    /// Ends the server as a power cut does.
    pub fn kill(&mut self) {
        self.server.kill().expect("it runs");
        self.server.wait().expect("it ends");
    }

    /// Starts another one on the same album, and goes to its page.
    pub fn again(&mut self, name: &str) {
        let (server, address) = started(&self.folder, Some(name));
        self.server = server;
        self.go(&address);
        self.find(".verdict");
    }

    /// The address that a second start of the same album prints.
    pub fn second(&self, name: &str) -> String {
        let (mut server, address) = started(&self.folder, Some(name));
        server.wait().expect("it ends");
        address
    }

    /// A file in the folder of the album.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join("albums").join(name)
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.file(name)).expect("a file")
    }

    /// The answer holds these words.
    pub fn says(&self, words: &str) {
        self.sees("#strip", words);
    }

    /// Looks at the leaf of this name.
    pub fn look_at(&self, leaf: &str) {
        self.find(&format!("#f-pick-{leaf}")).click();
        self.until(&format!("{leaf} in the middle"), || {
            self.text("#leaf h2").contains(leaf).then_some(())
        });
    }

    /// Opens the fold whose line begins so, if it is closed.
    pub fn unfold(&self, words: &str) {
        let script = "const all = [...document.querySelectorAll('summary')];
            const one = all.find((it) => it.innerText.trim().startsWith(arguments[0]));
            if (one && !one.parentNode.open) one.click(); return !!one";
        self.until(&format!("a fold {words}"), || {
            self.run(script, &json!([words])).as_bool().filter(|it| *it)
        });
    }

    /// Types another text into the box of the album's text.
    pub fn put_text(&self, text: &str) {
        self.unfold("The album as text");
        let script = "const it = document.getElementById('album-text'); it.focus();
            it.value = arguments[0]; it.dispatchEvent(new Event('input', { bubbles: true }))";
        self.run(script, &json!([text]));
    }

    /// Leaves the box that has the caret.
    pub fn leave(&self) {
        self.run("document.activeElement.blur()", &json!([]));
    }

    /// The lines of the drawing: another drawing has others.
    pub fn drawing(&self) -> String {
        let script = "return [...document.querySelectorAll('#leaf svg path')].map((it) => it.getAttribute('d')).join()";
        let said = self.run(script, &json!([]));
        said.as_str().unwrap_or_default().to_owned()
    }

    /// Nothing broke, and no rule that the page set itself was broken.
    pub fn is_clean(&self) {
        let log: Vec<String> = self
            .log()
            .into_iter()
            .filter(|line| !line.contains("favicon"))
            .collect();
        assert!(log.is_empty(), "{}", log.join("\n"));
    }
}
