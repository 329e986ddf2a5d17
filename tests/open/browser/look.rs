//! How it looks: nothing off the page, nothing on anything, large enough to read; in every width and light.

use crate::driver::Window;
use crate::page::Page;
use serde_json::json;

const WIDTHS: [u32; 5] = [1280, 768, 640, 390, 320];

fn window(width: u32) -> Window {
    Window {
        width,
        height: 900,
        args: &[],
    }
}

/// At every width, which is also 1280 pixels at 200 % and 400 %.
#[test]
fn nothing_stands_off_the_page() {
    for width in WIDTHS {
        let Some(page) = Page::with(Some("low-water"), &window(width)) else {
            return;
        };
        page.look_at("shore");
        page.button("photo mat").click();
        page.find("#leaf .size");
        let script =
            "return document.documentElement.scrollWidth - document.documentElement.clientWidth";
        let over = page.run(script, &json!([]));
        assert_eq!(over.as_i64(), Some(0), "{width}");
        page.show(&format!("fits-{width}"));
        page.entry("Height of species tag").type_over("9");
        page.says("Does not fit");
        assert_eq!(page.run(script, &json!([])).as_i64(), Some(0), "{width}");
        page.show(&format!("clash-{width}"));
    }
}

/// The leaf stays in sight beside what is typed, and lies on nothing that comes below it.
#[test]
fn the_leaf_lies_on_nothing() {
    for width in [1280, 768] {
        let Some(page) = Page::with(Some("low-water"), &window(width)) else {
            return;
        };
        page.says("It fits.");
        let script = "const of = (id) => document.getElementById(id).getBoundingClientRect();
            const wrong = [];
            for (let y = 0; y < document.documentElement.scrollHeight; y += 150) {
              scrollTo(0, y);
              const a = of('leaf-part');
              for (const id of ['have-part', 'cut-part']) {
                const b = of(id);
                if (a.left + 1 < b.right && b.left + 1 < a.right && a.top + 1 < b.bottom && b.top + 1 < a.bottom) wrong.push(`${id} at ${y}`);
              }
            }
            return wrong.join('; ')";
        let said = page.run(script, &json!([]));
        assert_eq!(said.as_str(), Some(""), "{width}");
    }
}

/// The words of the drawing are at least 14 pixels high, and none lies on another.
#[test]
fn labels_can_be_read() {
    for width in [1280, 768, 390] {
        let Some(page) = Page::with(Some("low-water"), &window(width)) else {
            return;
        };
        for leaf in ["cover", "shore", "ledger"] {
            page.look_at(leaf);
            let script = "const all = [...document.querySelectorAll('#leaf svg.leaf text')].map((it) => [it.textContent, it.getBoundingClientRect(), parseFloat(getComputedStyle(it).fontSize) * it.getScreenCTM().a]);
                const wrong = [];
                for (const [i, [words, a, size]] of all.entries()) {
                  if (size < 13.9) wrong.push(`${words} is ${size}`);
                  for (const [other, b] of all.slice(i + 1)) {
                    if (a.left + 1 < b.right && b.left + 1 < a.right && a.top + 3 < b.bottom && b.top + 3 < a.bottom) wrong.push(`${words} on ${other}`);
                  }
                }
                return wrong.join('; ')";
            let said = page.run(script, &json!([]));
            assert_eq!(said.as_str(), Some(""), "{width} {leaf}");
        }
    }
}

/// What has the focus is seen: it has a ring, and the strip does not cover it.
#[test]
fn the_focus_is_seen() {
    for width in [1280, 390] {
        let Some(page) = Page::with(Some("low-water"), &window(width)) else {
            return;
        };
        page.look_at("shore");
        page.run("document.activeElement.blur(); scrollTo(0, 0)", &json!([]));
        for _ in 0..40 {
            page.press("\u{e004}");
            let script = "const it = document.activeElement; if (it === document.body) return '';
                const box = it.getBoundingClientRect(); const strip = document.getElementById('strip').getBoundingClientRect();
                const ring = getComputedStyle(it.closest('label.tick input') || it);
                const isUnder = !it.closest('#strip') && !it.closest('#bar') && getComputedStyle(document.getElementById('strip')).position === 'sticky' && box.bottom < strip.bottom + 1 && box.top > strip.top - 1;
                const name = `${it.nodeName} ${it.id} ${it.innerText}`;
                if (ring.outlineStyle === 'none' || parseFloat(ring.outlineWidth) < 2) return `no ring: ${name}`;
                return isUnder ? `covered: ${name}` : ''";
            let said = page.run(script, &json!([]));
            assert_eq!(said.as_str(), Some(""), "{width}");
        }
    }
}

/// In the dark, in forced colours and on paper there is still everything to see.
#[test]
fn it_is_seen_in_every_light() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let media = |media: &str, name: &str, value: &str| {
        page.devtools(
            "Emulation.setEmulatedMedia",
            &json!({ "media": media, "features": [{ "name": name, "value": value }] }),
        );
    };
    media("", "prefers-color-scheme", "dark");
    page.show("dark-1280");
    let ground = "return getComputedStyle(document.documentElement).backgroundColor";
    assert_eq!(
        page.run(ground, &json!([])).as_str(),
        Some("rgb(22, 27, 25)")
    );
    media("", "forced-colors", "active");
    page.show("forced-1280");
    let edge = "return getComputedStyle(document.querySelector('#leaf .edge')).stroke !== getComputedStyle(document.querySelector('#leaf .paper')).fill";
    assert_eq!(page.run(edge, &json!([])).as_bool(), Some(true));
    media("print", "prefers-color-scheme", "light");
    page.show("print-1280");
    let hidden = "return getComputedStyle(document.getElementById('have-part')).display";
    assert_eq!(page.run(hidden, &json!([])).as_str(), Some("none"));
    // Nothing moves, whoever asks for it or not.
    let moves = "return document.getAnimations().length";
    assert_eq!(page.run(moves, &json!([])).as_u64(), Some(0));
}

/// The browser reports no broken rule of the page's own, whatever is pressed.
#[test]
fn the_page_keeps_its_own_rules() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.find("#side").pick("cut open");
    page.sees("#leaf h2", "cut open");
    page.find("#view").pick("the template");
    page.sees("#leaf h2", "The template");
    page.is_clean();
}
