//! For everybody: keys alone, names, targets, and what an independent checker finds.

use crate::driver::{Browser, Window};
use crate::page::Page;
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;

/// Tab, Enter, Space, Escape, and the arrow up, as the standard writes them.
const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const ESCAPE: &str = "\u{e00c}";
const UP: &str = "\u{e013}";

/// Everything that the Tab key reaches, with what it is called.
fn stops(page: &Page) -> Vec<String> {
    page.run("document.querySelector('.skip').focus()", &json!([]));
    let mut all = Vec::new();
    for _ in 0..200 {
        page.press(TAB);
        let script = "const it = document.activeElement; if (it === document.body) return '';
            const label = it.labels && it.labels[0] ? it.labels[0].innerText : '';
            return `${it.nodeName} ${it.getAttribute('aria-label') || label || it.innerText || it.textContent}`.trim()";
        let said = page.run(script, &json!([]));
        let said = said.as_str().unwrap_or_default().to_owned();
        if said.is_empty() || all.first() == Some(&said) {
            break;
        }
        all.push(said);
    }
    all
}

#[test]
fn keys_alone_reach_everything_by_a_name() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let stops = stops(&page);
    assert!(stops.len() > 20, "{stops:#?}");
    for stop in &stops {
        assert!(
            stop.split_once(' ')
                .is_some_and(|(_, name)| !name.is_empty()),
            "no name: {stop}"
        );
    }
    let at = |words: &str| stops.iter().position(|it| it.contains(words));
    // In the order of the page: bar, answer, what I have, leaf, what to cut.
    let order = ["Undo", "Add a kind of leaf", "Show", "photo mat"];
    let order: Vec<_> = order
        .iter()
        .map(|words| at(words).unwrap_or_else(|| panic!("{words}: {stops:#?}")))
        .collect();
    assert!(order[0] < order[1] && order[1] < order[2], "{stops:#?}");
}

#[test]
fn the_trouble_is_mended_by_keys_alone() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.entry("Height of species tag").choose_all();
    page.press("9");
    page.says("Does not fit");
    page.find("#strip .act button");
    page.run("document.querySelector('.skip').focus()", &json!([]));
    page.press(ENTER);
    page.press(TAB);
    let said = page.run("return document.activeElement.innerText", &json!([]));
    assert!(
        said.as_str()
            .is_some_and(|it| it.starts_with("Cut the species tag")),
        "{said}"
    );
    page.press(ENTER);
    page.says("It fits.");
}

#[test]
fn arrows_step_along_the_ruler_and_escape_goes_back() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.entry("Height of species tag").choose_all();
    page.press(UP);
    let value = || page.entry("Height of species tag").value();
    page.until("4 1/8 in", || (value() == "4 1/8 in").then_some(()));
    page.until("4 1/8 in in the text", || {
        page.find("#album-text")
            .value()
            .contains("height = \"4 1/8 in\"")
            .then_some(())
    });
    page.press(ESCAPE);
    page.until("4 in in the text", || {
        page.find("#album-text")
            .value()
            .contains("height = \"4 in\"")
            .then_some(())
    });
    assert_eq!(value(), "4 in");
}

/// A sentence is spoken once, when the hand rests.
#[test]
fn the_verdict_is_spoken_once() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let watch = "window.spoken = []; new MutationObserver(() => spoken.push(document.getElementById('say').textContent))
        .observe(document.getElementById('say'), { childList: true, characterData: true, subtree: true })";
    page.run(watch, &json!([]));
    page.entry("Height of species tag").type_over("9 1/2");
    page.says("4 in too high");
    page.until("a spoken sentence", || {
        let said = page.run("return spoken.join('|')", &json!([]));
        said.as_str()
            .filter(|it| it.contains("Does not fit"))
            .map(|_| ())
    });
    let said = page.run(
        "return spoken.filter((it) => it.includes('Does not fit')).length",
        &json!([]),
    );
    assert_eq!(
        said.as_u64(),
        Some(1),
        "{}",
        page.run("return spoken", &json!([]))
    );
}

/// Buttons and boxes are large enough for a thumb: 44 pixels high; links in the strip 24.
#[test]
fn targets_are_large_enough() {
    let window = Window {
        width: 390,
        height: 844,
        args: &[],
    };
    let Some(page) = Page::with(Some("low-water"), &window) else {
        return;
    };
    page.look_at("shore");
    let script = "const low = [];
        for (const it of document.querySelectorAll('button, input:not(.unseen), select, textarea, summary')) {
          const box = (it.closest('label.tick') || it).getBoundingClientRect();
          if (box.width && !it.closest('svg') && box.height < (it.className === 'plain' ? 24 : 43.5)) low.push(`${it.nodeName} ${it.innerText || it.id} ${box.height}`);
        }
        return low.join('\\n')";
    let said = page.run(script, &json!([]));
    assert_eq!(said.as_str(), Some(""));
}

/// Brings a page into a state.
type State<'a> = &'a dyn Fn(&Page);

/// What an independent checker of accessibility finds: nothing serious.
#[test]
fn the_checker_finds_nothing() {
    let Some(script) = checker() else { return };
    let states: [(&str, State); 4] = [
        ("fits", &|page| page.look_at("shore")),
        ("clash", &|page| {
            page.look_at("shore");
            page.entry("Height of species tag").type_over("9");
            page.says("Does not fit");
        }),
        ("album", &|page| {
            page.find("#view").pick("the whole album");
            page.sees("#leaf", "Front cover");
        }),
        ("folds", &|page| {
            page.run(
                "document.querySelectorAll('details').forEach((it) => it.open = true)",
                &json!([]),
            );
        }),
    ];
    for dark in [false, true] {
        let Some(page) = Page::of("low-water") else {
            return;
        };
        let scheme = if dark { "dark" } else { "light" };
        page.devtools(
            "Emulation.setEmulatedMedia",
            &json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
        );
        for (name, state) in &states {
            state(&page);
            assert_eq!(found(&page, &script).as_str(), Some(""), "{scheme} {name}");
        }
    }
}

/// What the checker finds on the page that a browser shows.
fn found(page: &Browser, script: &str) -> Value {
    // Not as the page's own script: the page's rules for scripts stay as they are.
    page.devtools("Runtime.evaluate", &json!({ "expression": script }));
    let run = "const done = arguments[0];
        axe.run(document, { resultTypes: ['violations'] }).then((it) => done(it.violations.map((v) =>
            `${v.impact} ${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).slice(0, 4).join(' | ')}`).join('\\n')))";
    page.run_and_wait(run, &json!([]))
}

/// The same of the printout for a telephone, and of the pages that a student takes home.
#[test]
fn the_checker_finds_nothing_in_a_printout() {
    let Some(script) = checker() else { return };
    for width in [390, 1280] {
        let window = Window {
            width,
            height: 844,
            args: &[],
        };
        let Some(browser) = Browser::open(&window) else {
            return;
        };
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("out.html");
        let albums = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
        for (album, more) in [
            ("low-water", &["--pages", "all"][..]),
            ("quay-songs", &[]),
            ("seven-stops", &["--handout"]),
        ] {
            let mut program = Command::new(env!("CARGO_BIN_EXE_tuckwright"));
            program
                .arg("print")
                .arg(albums.join(album).with_extension("toml"));
            program.args(["--force", "--html"]).arg(&file).args(more);
            let done = program.output().expect("it runs");
            assert!(done.status.success(), "{album}");
            browser.go(&format!("file://{}", file.display()));
            browser.sees(
                "h1",
                if more == ["--handout"] {
                    "You make"
                } else {
                    ""
                },
            );
            assert_eq!(
                found(&browser, &script).as_str(),
                Some(""),
                "{album} at {width}"
            );
        }
    }
}

/// axe-core, where it is installed.
fn checker() -> Option<String> {
    let known = std::env::var_os("AXE_CORE").map(std::path::PathBuf::from);
    let script = known.and_then(|path| std::fs::read_to_string(path).ok());
    if script.is_none() {
        assert!(
            std::env::var_os("REQUIRE_BROWSER").is_none(),
            "`AXE_CORE` names no axe.min.js: npm install axe-core"
        );
        eprintln!("skipped: `AXE_CORE` names no axe.min.js (npm install axe-core)");
    }
    script
}
