//! A browser, driven as the WebDriver standard says (W3C, "WebDriver", second edition): commands as JSON
//! to the driver that comes with it.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::thread::sleep;
use std::time::Duration;

/// One browser at a time: two would share two processors.
static ONE: Mutex<()> = Mutex::new(());

/// How often something is looked for before it is missed, and how long between two looks.
const LOOKS: usize = 600;
const BETWEEN: Duration = Duration::from_millis(20);

/// The name of an element in the standard.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// A browser with one window.
pub struct Browser {
    driver: Child,
    session: String,
    agent: ureq::Agent,
    _one: MutexGuard<'static, ()>,
}

/// An element on the page.
#[derive(Clone)]
pub struct Element<'b> {
    browser: &'b Browser,
    id: String,
}

/// How a window begins.
pub struct Window {
    pub width: u32,
    pub height: u32,
    /// More switches of the browser.
    pub args: &'static [&'static str],
}

impl Default for Window {
    fn default() -> Window {
        Window {
            width: 1280,
            height: 900,
            args: &[],
        }
    }
}

impl Browser {
    /// Starts one; `None`, with a word about it, if there is none on this machine and none is demanded.
    pub fn open(window: &Window) -> Option<Browser> {
        let one = ONE.lock().unwrap_or_else(PoisonError::into_inner);
        let started = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn();
        let mut driver = match started {
            Ok(driver) => driver,
            Err(why) => {
                let said = "apt-get install chromium chromium-driver";
                assert!(
                    std::env::var_os("REQUIRE_BROWSER").is_none(),
                    "no browser ({why}): {said}"
                );
                eprintln!("skipped: no browser ({why}); {said}");
                return None;
            }
        };
        let lines = BufReader::new(driver.stdout.take().expect("its answer")).lines();
        let port = lines
            .map_while(Result::ok)
            .find_map(|line| {
                let (_, after) = line.split_once("successfully on port ")?;
                after.trim_end_matches('.').parse::<u16>().ok()
            })
            .expect("the driver names its port");
        let config = ureq::Agent::config_builder()
            .timeout_global(Some(Duration::from_secs(900)))
            .http_status_as_error(false)
            .build();
        let mut browser = Browser {
            driver,
            session: format!("http://127.0.0.1:{port}/session"),
            agent: config.into(),
            _one: one,
        };
        let size = format!("--window-size={},{}", window.width, window.height);
        let mut args = vec![
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
            &size,
        ];
        args.extend(window.args);
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "browserName": "chrome",
            "goog:chromeOptions": { "args": args },
            "goog:loggingPrefs": { "browser": "ALL" },
        } } });
        let made = browser.post("", &wanted);
        let id = made["sessionId"].as_str().expect("a session").to_owned();
        browser.session = format!("{}/{id}", browser.session);
        // Headless windows are as large inside as they are said to be; a phone's is narrower than the least.
        browser.post("/timeouts", &json!({ "script": 600_000 }));
        let metrics = json!({ "width": window.width, "height": window.height, "deviceScaleFactor": 1, "mobile": false });
        browser.devtools("Emulation.setDeviceMetricsOverride", &metrics);
        Some(browser)
    }

    fn answer(
        &self,
        path: &str,
        said: Result<ureq::http::Response<ureq::Body>, ureq::Error>,
    ) -> Value {
        let mut said = said.unwrap_or_else(|why| panic!("{path}: {why}"));
        let value: Value = said.body_mut().read_json().expect("an answer");
        value["value"].clone()
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        let said = self
            .agent
            .post(format!("{}{path}", self.session))
            .send_json(body);
        self.answer(path, said)
    }

    fn get(&self, path: &str) -> Value {
        let said = self.agent.get(format!("{}{path}", self.session)).call();
        self.answer(path, said)
    }

    /// A command of the browser's own, beside the standard.
    pub fn devtools(&self, command: &str, params: &Value) -> Value {
        self.post(
            "/goog/cdp/execute",
            &json!({ "cmd": command, "params": params }),
        )
    }

    pub fn go(&self, address: &str) {
        self.post("/url", &json!({ "url": address }));
    }

    /// Opens another window and goes there; its name and that of the first.
    pub fn window(&self, address: &str) -> (String, String) {
        let first = self.get("/window");
        let first = first.as_str().unwrap_or_default().to_owned();
        let made = self.post("/window/new", &json!({ "type": "tab" }));
        let other = made["handle"].as_str().unwrap_or_default().to_owned();
        self.switch(&other);
        self.go(address);
        (other, first)
    }

    pub fn switch(&self, window: &str) {
        self.post("/window", &json!({ "handle": window }));
    }

    /// The first element of a selector, when it is there.
    pub fn find(&self, selector: &str) -> Element<'_> {
        self.until(&format!("an element {selector}"), || self.now(selector))
    }

    /// The same without waiting.
    pub fn now(&self, selector: &str) -> Option<Element<'_>> {
        let said = self.post(
            "/element",
            &json!({ "using": "css selector", "value": selector }),
        );
        let id = said[ELEMENT].as_str()?.to_owned();
        Some(Element { browser: self, id })
    }

    /// The button of these words, or of words that begin so.
    pub fn button(&self, words: &str) -> Element<'_> {
        // A number keeps to its fraction by a space at which no line ends.
        let said = "normalize-space(translate(., '\u{a0}', ' '))";
        let path = format!("//button[starts-with({said}, \"{words}\")]");
        self.by_path(&path)
    }

    /// The box that is labelled so.
    pub fn entry(&self, label: &str) -> Element<'_> {
        let path = format!("//*[@id=//label[normalize-space(.)=\"{label}\"]/@for]");
        self.by_path(&path)
    }

    pub fn by_path(&self, path: &str) -> Element<'_> {
        self.until(&format!("an element {path}"), || {
            let said = self.post("/element", &json!({ "using": "xpath", "value": path }));
            let id = said[ELEMENT].as_str()?.to_owned();
            Some(Element { browser: self, id })
        })
    }

    /// Looks until there is something, or too often.
    pub fn until<T>(&self, what: &str, look: impl Fn() -> Option<T>) -> T {
        for _ in 0..LOOKS {
            if let Some(found) = look() {
                return found;
            }
            sleep(BETWEEN);
        }
        let page = self.run(
            "return ['bar', 'strip', 'say', 'bag', 'leaf'].map((id) => `${id}: ${document.getElementById(id)?.innerText.replace(/\\s+/g, ' ').slice(0, 300)}`).join('\\n') + '\\nnotes: ' + [...document.querySelectorAll('.note')].map((it) => it.innerText).join('') + '\\nasked: ' + (document.querySelector('#cut .answer-box')?.innerText || '') + '\\ntext: ' + document.getElementById('album-text')?.value.slice(0, 400)",
            &json!([]),
        );
        let page = page.as_str().unwrap_or_default();
        panic!(
            "there is never {what}; the page says:\n{page}\n{}",
            self.log().join("\n")
        );
    }

    /// Looks until a part holds these words.
    pub fn sees(&self, selector: &str, words: &str) {
        self.until(&format!("\"{words}\" in {selector}"), || {
            self.text(selector).contains(words).then_some(())
        });
    }

    /// What an element shows; empty if it is not there.
    pub fn text(&self, selector: &str) -> String {
        let script =
            "const it = document.querySelector(arguments[0]); return it ? it.innerText : ''";
        let said = self.run(script, &json!([selector]));
        said.as_str().unwrap_or_default().replace('\u{a0}', " ")
    }

    /// Runs a function's body in the page.
    pub fn run(&self, script: &str, args: &Value) -> Value {
        self.post("/execute/sync", &json!({ "script": script, "args": args }))
    }

    /// The same, which calls its last argument with the answer.
    pub fn run_and_wait(&self, script: &str, args: &Value) -> Value {
        self.post("/execute/async", &json!({ "script": script, "args": args }))
    }

    /// Keys to whatever has the focus.
    pub fn press(&self, keys: &str) {
        let actions: Vec<Value> = keys
            .chars()
            .flat_map(|key| {
                let key = key.to_string();
                [
                    json!({ "type": "keyDown", "value": key }),
                    json!({ "type": "keyUp", "value": key }),
                ]
            })
            .collect();
        self.post(
            "/actions",
            &json!({ "actions": [{ "type": "key", "id": "keys", "actions": actions }] }),
        );
    }

    /// What the browser wrote to its log: errors, and rules of the page that were broken.
    pub fn log(&self) -> Vec<String> {
        let said = self.post("/se/log", &json!({ "type": "browser" }));
        let lines = said.as_array().cloned().unwrap_or_default();
        let lines = lines.iter().filter_map(|line| line["message"].as_str());
        lines.map(str::to_owned).collect()
    }

    /// The title of the window.
    pub fn title(&self) -> String {
        self.get("/title").as_str().unwrap_or_default().to_owned()
    }

    /// A picture of the window, written to where `SHOW_PAGE` says, if it says so.
    pub fn show(&self, name: &str) {
        let Some(folder) = std::env::var_os("SHOW_PAGE") else {
            return;
        };
        let said = self.devtools(
            "Page.captureScreenshot",
            &json!({ "captureBeyondViewport": true }),
        );
        let data = said["data"].as_str().expect("a picture");
        let path = std::path::Path::new(&folder).join(format!("{name}.png"));
        std::fs::write(path, decoded(data)).expect("a file");
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // Its windows close with it.
        let _ = self.agent.delete(&self.session).call();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

impl Element<'_> {
    fn post(&self, path: &str, body: &Value) -> Value {
        self.browser
            .post(&format!("/element/{}{path}", self.id), body)
    }

    /// Clicks it, as a hand does: in its middle, wherever it is scrolled to.
    pub fn click(&self) {
        let script = "arguments[0].scrollIntoView({ block: 'center' })";
        self.browser.until("a place to click", || {
            self.browser.run(script, &json!([{ ELEMENT: self.id }]));
            let said = self.post("/click", &json!({}));
            // What grew above it meanwhile moved it away under the strip.
            if said["error"] == "element click intercepted" {
                return None;
            }
            assert!(said["error"].is_null(), "{said}");
            Some(())
        });
    }

    /// Types behind what stands there.
    pub fn keys(&self, keys: &str) {
        let said = self.post("/value", &json!({ "text": keys }));
        assert!(said["error"].is_null(), "{said}");
    }

    /// Puts the caret into it and chooses all that stands there.
    pub fn choose_all(&self) {
        let script = "arguments[0].focus(); arguments[0].select()";
        self.browser.run(script, &json!([{ ELEMENT: self.id }]));
    }

    /// Types over what stands there, key by key.
    pub fn type_over(&self, words: &str) {
        self.choose_all();
        match words {
            "" => self.browser.press("\u{e003}"),
            words => self.browser.press(words),
        }
    }

    /// Chooses an option by its words.
    pub fn pick(&self, words: &str) {
        let script = "const [it, words] = arguments; it.focus();
            const all = [...it.options]; const one = all.find((o) => o.text === words);
            if (!one) return all.map((o) => o.text).join('; ');
            it.value = one.value; it.dispatchEvent(new Event('input', { bubbles: true }));
            it.dispatchEvent(new Event('change', { bubbles: true })); return ''";
        let said = self
            .browser
            .run(script, &json!([{ ELEMENT: self.id }, words]));
        assert_eq!(said.as_str(), Some(""), "no option {words}");
    }

    pub fn value(&self) -> String {
        let said = self
            .browser
            .get(&format!("/element/{}/property/value", self.id));
        said.as_str().unwrap_or_default().to_owned()
    }

    pub fn attribute(&self, name: &str) -> Option<String> {
        let said = self
            .browser
            .get(&format!("/element/{}/attribute/{name}", self.id));
        said.as_str().map(str::to_owned)
    }
}

/// Bytes of a text in base 64 (RFC 4648).
fn decoded(text: &str) -> Vec<u8> {
    let value = |letter: u8| match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let letters: Vec<u8> = text.bytes().filter(|letter| *letter != b'=').collect();
    let four = letters.chunks(4).flat_map(|four| {
        let bits = four
            .iter()
            .fold(0_u32, |bits, letter| bits << 6 | u32::from(value(*letter)));
        let bits = bits << (6 * (4 - four.len()));
        bits.to_be_bytes()[1..four.len()].to_vec()
    });
    four.collect()
}
