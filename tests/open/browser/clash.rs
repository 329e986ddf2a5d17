//! What does not go in: the same trouble in the strip, the drawing and the list, and a button that mends it.

use crate::page::Page;

/// The demo album with a tag of 9 in, typed into its box.
fn too_high() -> Option<Page> {
    let page = Page::of("low-water")?;
    page.look_at("shore");
    page.entry("Height of species tag").type_over("9");
    page.says("Does not fit: the species tag (shore) is 3 1/2 in too high");
    Some(page)
}

const MEND: &str = "Cut the species tag (shore) to 5 1/2 in high";

#[test]
fn the_last_good_drawing_stays() {
    let Some(page) = too_high() else { return };
    page.find("#leaf svg.leaf.pale");
    assert!(
        page.title().starts_with("Does not fit: Low Water"),
        "{}",
        page.title()
    );
    page.sees("#cut", "Sizes before, which fitted");
    page.show("clash");
    page.is_clean();
}

#[test]
fn one_trouble_has_one_number() {
    let Some(page) = too_high() else { return };
    page.button(MEND);
    for part in ["#strip", "#troubles", "#bag"] {
        page.sees(part, "3 1/2 in too high");
    }
    let drawn = page.run(
        "return document.querySelector('#leaf .offender text').textContent",
        &serde_json::json!([]),
    );
    assert_eq!(
        drawn
            .as_str()
            .map(|it| it.replace('\u{a0}', " "))
            .as_deref(),
        Some("3½ in too high")
    );
    for part in ["#strip", "#troubles"] {
        page.sees(part, MEND);
    }
}

#[test]
fn the_first_button_mends_it_and_undo_goes_back() {
    let Some(page) = too_high() else { return };
    page.button(MEND).click();
    page.says("It fits.");
    page.until("5 1/2 in", || {
        (page.entry("Height of species tag").value() == "5 1/2 in").then_some(())
    });
    // The button is gone: the answer has the focus.
    let has = page.run("return document.activeElement.id", &serde_json::json!([]));
    assert_eq!(has.as_str(), Some("strip"));
    page.find("#undo").click();
    page.says("Does not fit");
    page.find("#undo").click();
    page.says("It fits.");
    assert_eq!(page.entry("Height of species tag").value(), "4 in");
    page.find("#redo").click();
    page.says("Does not fit");
}

/// Each way that is offered mends it.
#[test]
fn the_other_ways_mend_it_too() {
    let Some(page) = too_high() else { return };
    page.unfold("3 other ways");
    let count = "return document.querySelectorAll('#troubles .ways button').length";
    let count = page
        .run(count, &serde_json::json!([]))
        .as_u64()
        .unwrap_or(0);
    assert!(count >= 2, "{count}");
    for n in 0..count {
        page.says("Does not fit");
        page.unfold("3 other ways");
        page.find(&format!("#troubles .ways li:nth-child({}) button", n + 1))
            .click();
        page.says("It fits.");
        page.find("#undo").click();
    }
}

/// A thumb notch is punched by pressing a button.
#[test]
fn what_is_to_be_watched_has_a_button() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.sees("#troubles", "thumb notch");
    page.button("Give photo mat (shore) a thumb notch").click();
    page.until("the notch in the text", || {
        page.find("#album-text")
            .value()
            .contains("grip = \"notch\"")
            .then_some(())
    });
    page.says("It fits.");
    page.until("nothing of the notch to watch", || {
        (!page
            .text("#troubles")
            .contains("Give photo mat (shore) a thumb notch"))
        .then_some(())
    });
}
