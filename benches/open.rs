//! From a key to the new drawing, in a browser: median and 99th of 200 keys, over five boxes of both albums
//! that are shipped. A key is an event `input` of a box; its drawing is there once the frame after the parts
//! of the page were put in their places is painted: a message that is posted when a frame begins is handled
//! when it is done.
//!
//! Without a browser it says that it was skipped.

// The tests of the page use all of both files, the bench a part.
#[path = "../tests/open/browser/driver.rs"]
#[allow(dead_code)]
mod driver;
#[path = "../tests/open/browser/page.rs"]
#[allow(dead_code)]
mod page;

use page::Page;
use serde_json::json;

/// Keys in all, and what each of five boxes gets in turn.
const KEYS: u64 = 200;

/// Types into one box after the other, waits for the frame after each change of the page, and gives the times
/// in milliseconds.
const SCRIPT: &str = "const [keys, done] = arguments;
const find = (label) => document.getElementById([...document.querySelectorAll('label')].find((it) => it.innerText === label).htmlFor);
const boxes = [...document.querySelectorAll('#bag .bag input, #have .tucked .two input')].slice(0, 5).map((it) => it.id);
const values = new Map(boxes.map((id) => { const it = document.getElementById(id); const said = it.value || it.placeholder; return [id, said]; }));
const other = (said) => { const parts = said.match(/^(\\d+)(.*) (in|mm)$/); return parts ? (parts[2] ? `${parts[1]} ${parts[3]}` : parts[3] === 'mm' ? `${parts[1] - 1} mm` : `${parts[1] - 1} 7/8 in`) : said; };
const times = [];
(async () => {
  for (let n = 0; n < keys; n += 1) {
    const it = document.getElementById(boxes[n % boxes.length]);
    const said = values.get(it.id);
    it.focus();
    it.value = Math.floor(n / boxes.length) % 2 ? said : other(said);
    const changed = new Promise((then) => {
      const watch = new MutationObserver(() => { watch.disconnect(); requestAnimationFrame(() => { const { port1, port2 } = new MessageChannel(); port1.onmessage = () => then(true); port2.postMessage(0); }); });
      watch.observe(document.querySelector('main'), { subtree: true, childList: true, attributes: true, characterData: true });
      setTimeout(() => { watch.disconnect(); then(false); }, 1500);
    });
    const start = performance.now();
    it.dispatchEvent(new Event('input', { bubbles: true }));
    if (await changed) times.push(performance.now() - start);
    await new Promise((then) => setTimeout(then, 450));
  }
  done(times);
})()";

fn main() {
    for name in ["low-water", "hut-book"] {
        let Some(page) = Page::of(name) else { return };
        page.says("It fits.");
        let said = page.run_and_wait(SCRIPT, &json!([KEYS]));
        let times = said.as_array().cloned().unwrap_or_default();
        let mut times: Vec<f64> = times.iter().filter_map(serde_json::Value::as_f64).collect();
        times.sort_by(f64::total_cmp);
        let at =
            |part: usize| times.get((times.len() * part / 100).min(times.len().saturating_sub(1)));
        let (Some(median), Some(last)) = (at(50), at(99)) else {
            println!("{name}: nothing was drawn: {said}");
            continue;
        };
        println!(
            "{name}: {} keys, median {median:.1} ms, 99th {last:.1} ms",
            times.len()
        );
    }
}
