//! What someone sees who uses the page for the first time.

use crate::driver::Window;
use crate::page::Page;
use serde_json::json;

/// Its text is as it was, and so is the list of pieces.
#[test]
fn a_number_that_is_refused_is_as_it_was_before_the_typing() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let before = page.text("#cut table");
    let text = page.find("#album-text").value();
    for typed in ["99999999", "4,5,6", "6..5"] {
        page.entry("Width").type_over(typed);
        page.sees("#untaken", "1 box not taken");
        page.until(&format!("what was before {typed}"), || {
            let same = page.text("#cut table") == before;
            (same && page.find("#album-text").value() == text).then_some(())
        });
    }
}

#[test]
fn a_first_bag_in_millimetres() {
    let Some(page) = Page::empty() else { return };
    page.entry("Width").keys("180");
    page.find("#f-bag-height").keys("260");
    page.sees("#bag", "the most is 78 in");
    page.sees("#bag", "Use 260 mm");
    page.entry("I measure in").pick("millimetres, to 1");
    page.says("It fits.");
    page.sees("#cut", "180 × 260 mm");
    assert!(!page.text("#bag").contains("78 in"));
    assert_eq!(page.find("#f-bag-height").value(), "260 mm");
    page.is_clean();
}

/// Heights of holes and boxes of sizes stand on the drawing's own ground.
#[test]
fn nothing_of_a_drawing_is_cut_off() {
    for width in [390, 1280] {
        let window = Window {
            width,
            ..Window::default()
        };
        let Some(page) = Page::with(None, &window) else {
            return;
        };
        page.entry("I measure in").pick("millimetres, to 0.5");
        page.entry("Width").keys("180");
        page.find("#f-bag-height").keys("260.5");
        page.says("It fits.");
        page.button("photo mat").click();
        page.find("#leaf .size");
        let script = "const stage = document.querySelector('#leaf .stage').getBoundingClientRect();
            const all = [...document.querySelectorAll('#leaf .stage text, #leaf .stage .size')];
            const off = all.filter((it) => { const r = it.getBoundingClientRect(); return r.left < stage.left || r.right > stage.right; });
            const wide = all.filter((it) => it.matches('.size') && it.scrollWidth > it.clientWidth);
            return [...off, ...wide].map((it) => it.textContent || it.placeholder).join('; ')";
        page.show(&format!("millimetres-{width}"));
        let said = page.run(script, &json!([]));
        assert_eq!(said.as_str(), Some(""), "{width}");
    }
}

/// An answer that stands elsewhere is led to.
#[test]
fn an_answer_is_in_sight() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    let in_sight = "const it = document.querySelector(arguments[0]); if (!it) return false;
        const r = it.getBoundingClientRect(); return r.top >= 0 && r.top < innerHeight - 60";
    for (button, answer) in [
        ("Which of my bags?", "#asked"),
        ("What to buy", "#asked"),
        ("Sheets for all of them", "#sheets-answer"),
    ] {
        page.button(button).click();
        page.until(&format!("{answer} in sight"), || {
            page.run(in_sight, &json!([answer]))
                .as_bool()
                .filter(|it| *it)
        });
    }
    page.show("in-sight");
}

/// Sheets and pieces as they are drawn for the table: their words stay on their own ground.
#[test]
fn words_of_a_drawing_stay_on_it() {
    for width in [1280, 390] {
        let window = Window {
            width,
            ..Window::default()
        };
        let Some(page) = Page::with(Some("low-water"), &window) else {
            return;
        };
        page.button("Look at the sheets").click();
        page.sees("#leaf h2", "The sheets");
        let script = "const wrong = [];
            for (const svg of document.querySelectorAll('#leaf svg.print')) {
              const ground = svg.getBoundingClientRect();
              for (const it of svg.querySelectorAll('text')) {
                const r = it.getBoundingClientRect();
                if (r.left < ground.left - 2 || r.right > ground.right + 2) wrong.push(it.textContent);
              }
            }
            return wrong.join('; ')";
        page.show(&format!("sheets-{width}"));
        assert_eq!(page.run(script, &json!([])).as_str(), Some(""), "{width}");
        page.entry("Show").pick("this leaf");
        page.entry("from").pick("cut open");
        page.find("#leaf svg.print");
        page.show(&format!("cut-open-{width}"));
        assert_eq!(page.run(script, &json!([])).as_str(), Some(""), "{width}");
        page.is_clean();
    }
}

/// Away from a box that was typed into, the keys for it take back what was done last.
#[test]
fn control_z_undoes() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.button("Add a kind of leaf").click();
    page.sees("#bag", "shore b, 1 of");
    let script = "document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true }))";
    page.run(script, &json!([]));
    page.until("the leaf gone", || {
        (!page.text("#bag").contains("shore b")).then_some(())
    });
}
