//! What the answer says of boxes, and what keys and pastes do.

use crate::driver::Window;
use crate::page::Page;
use serde_json::json;

/// A green answer is not that of boxes that were not taken.
#[test]
fn boxes_that_are_not_taken_are_counted_in_the_header() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.entry("Width").type_over("12o");
    page.unfold("About shore");
    page.entry("How many").type_over("many");
    page.sees("#untaken", "2 boxes not taken");
    page.find("#save").click();
    page.sees("#told", "Saved low-water.toml. 2 boxes not taken.");
    page.find("#untaken").click();
    page.press("4");
    page.entry("Width").type_over("5");
    page.sees("#untaken", "1 box not taken");
    // Another text as a whole has no box with anything else in it.
    let text = page
        .find("#album-text")
        .value()
        .replace("count = 4", "count = 3");
    page.put_text(&text);
    page.until("no word of it", || {
        page.text("#untaken").is_empty().then_some(())
    });
    assert_eq!(page.entry("How many").value(), "3");
    page.is_clean();
}

/// Enter presses the button that reads a box; what comes next is typed there.
#[test]
fn a_name_and_enter_save_an_album() {
    let Some(page) = Page::empty() else { return };
    page.entry("Width").keys("5");
    page.find("#f-bag-height").keys("8");
    page.says("It fits.");
    page.unfold("Photos");
    page.unfold("Add photos");
    let photos = "#f-new-photo-lines";
    page.find(photos).keys("boat 6 x 4 in\nnet 3:2");
    page.button("Add them").click();
    page.until("both are there", || {
        page.find("#album-text")
            .value()
            .contains("name = \"net\"")
            .then_some(())
    });
    let script = "return document.activeElement.id + document.activeElement.value";
    page.until("the caret in the box", || {
        (page.run(script, &json!([])) == photos[1..]).then_some(())
    });
    page.find("#save-name").keys("my tides\u{E007}");
    page.sees("#told", "Saved my-tides.toml");
    page.is_clean();
}

/// Every column is to be seen, and nothing makes the page wider.
#[test]
fn bags_are_compared_in_sight() {
    for width in [1280, 768, 390] {
        let window = Window {
            width,
            ..Window::default()
        };
        let Some(page) = Page::with(Some("low-water"), &window) else {
            return;
        };
        page.button("Which of my bags?").click();
        page.sees("#asked", "Look at");
        let script =
            "const wide = document.querySelector('#asked .wide'), page = document.documentElement;
            return [wide.scrollWidth - wide.clientWidth, page.scrollWidth - page.clientWidth]";
        assert_eq!(page.run(script, &json!([])), json!([0, 0]), "{width}");
    }
}
